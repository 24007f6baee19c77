"""Pictures of pages: those that a person read because no program can, and those of the annex.

Made from hostile files in a child process.
"""

import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from evidence import files, jobs, jsondoc
from evidence.errors import InputError
from evidence.examining import MAX_EXHIBIT, Examined
from evidence.exhibits import Answer
from evidence.files import packaged
from evidence.guard import Guard, Limits
from evidence.model.exhibit import Item
from evidence.model.pages import annex_name, picture_name
from evidence.pageplan import MAX_READ, WHOLE_PAGE, Box, Paper, ReadPage, left_out, papers, read_pages

LIMITS = Limits(
    wall_seconds=30.0, cpu_seconds=20, memory_bytes=3 * 1024**3
)  # of the pages of one paper; usual are 0.2 s and 200 MB
READERS = {"pages": "evidence.compiling:pages_answer", "photo-part": "evidence.picture:part_answer"}
SOURCE = "page.typ"
REDACTED = ".redacted.pdf"
"""Ending of a redacted copy that the workshop supplied; a stub has another."""


@dataclass(frozen=True)
class _Grain:
    """How finely a page is drawn.

    Attributes:
        ppi: pixels an inch.
        quality: of the JPEG.
        least: pixels of a page's shorter side below which the picture shows nothing that could be read.
    """

    ppi: int
    quality: int
    least: int


_READ = _Grain(150, 80, 1)  # the picture stands in for a text: small print stays readable
_ANNEXED = _Grain(130, 75, 40)  # print of 7 points stays readable, and a page of text takes about 60 kB


@dataclass(frozen=True)
class PagePictures:
    """What became of the pages that somebody read or cited.

    Attributes:
        pictures: name, as ``picture_name`` and ``annex_name`` give it, to JPEG, for the whole dossier.
        redacted: the same of redacted copies, for the redacted dossier; they stand in no other place.
        left_out: names of read pages beyond the cap.
    """

    pictures: Mapping[str, bytes] = field(default_factory=dict)
    redacted: Mapping[str, bytes] = field(default_factory=dict)
    left_out: frozenset[str] = frozenset()


def of_job(job: jobs.Job, examined: Examined, environment: Mapping[str, str] | None = None) -> PagePictures:
    """Picture of each page, or part of it, that a claim says a person read, and of the annex's pages.

    One that cannot be made is missing.

    Args:
        job: the job folder.
        examined: its files as read.
        environment: environment of the child.

    Raises:
        InputError: a file changed since it was examined, or cannot be read any more.
    """
    record, items = job.record, examined.items
    copies = {exhibit: data for exhibit, (name, data) in examined.twins.items() if name.endswith(REDACTED)}
    made: dict[str, bytes] = {}
    redacted: dict[str, bytes] = {}
    with Guard(LIMITS, READERS, environment or {}) as guard:
        for each in read_pages(record, items)[:MAX_READ]:
            picture = _read(each, items[each.exhibit], original(job, examined, each.exhibit), guard)
            if picture is not None:
                made[picture_name(each.exhibit, each.page)] = picture
        for paper in papers(record, items):
            if paper.drawn:
                drawn = _annexed(paper, original(job, examined, paper.exhibit), guard)
                made |= {annex_name(paper.exhibit, page): jpeg for page, jpeg in drawn.items()}
        for paper in papers(record, items, copies):
            if paper.drawn:
                drawn = _annexed(paper, copies[paper.exhibit], guard)
                redacted |= {
                    annex_name(paper.exhibit, page, redacted=True): jpeg for page, jpeg in drawn.items()
                }
    return PagePictures(made, redacted, left_out(record, items))


def original(job: jobs.Job, examined: Examined, exhibit: str) -> bytes:
    """Bytes of an evidence file, which must still be those that were examined.

    Raises:
        InputError: source-changed, or the file cannot be read.
    """
    path = examined.sources[exhibit]
    data = files.read_inside(job.folder, str(path.relative_to(job.folder)), MAX_EXHIBIT)
    if jsondoc.digest(data) != examined.items[exhibit].sha256:
        raise InputError.one("source-changed", str(path))
    return data


def _read(wanted: ReadPage, item: Item, data: bytes, guard: Guard) -> bytes | None:
    if item.photo is None:
        return next(iter(_drawn({wanted.page: wanted.box}, data, _READ, guard).values()), None)
    head = jsondoc.canonical(list(wanted.box))
    try:
        answer = guard.run("photo-part", head + b"\n" + data, wanted.exhibit)
    except InputError:  # the dossier says that there is no picture; the file itself was read before
        return None
    return next(iter(_jpegs(answer, 1)), None) or None


def _annexed(paper: Paper, data: bytes, guard: Guard) -> dict[int, bytes]:
    """Pictures of pages of one paper; where one stops the others, each is tried by itself."""
    pages = dict.fromkeys(paper.drawn, WHOLE_PAGE)
    made = _drawn(pages, data, _ANNEXED, guard)
    if made or len(pages) == 1:
        return made
    for page in paper.drawn:
        made |= _drawn({page: WHOLE_PAGE}, data, _ANNEXED, guard)
    return made


def _drawn(boxes: Mapping[int, Box], data: bytes, grain: _Grain, guard: Guard) -> dict[int, bytes]:
    """Page to picture, for all or for none of them; one that is too narrow to be read is left out."""
    with tempfile.TemporaryDirectory(prefix="page-") as folder:
        root = Path(folder)
        shutil.copyfile(packaged("templates", "page") / SOURCE, root / SOURCE)
        (root / "page.pdf").write_bytes(data)
        (root / "order.json").write_bytes(jsondoc.canonical({"pages": list(boxes)}))
        order = {
            "boxes": [list(box) for box in boxes.values()],
            "folder": folder,
            "least": grain.least,
            "ppi": grain.ppi,
            "quality": grain.quality,
        }
        try:
            answer = guard.run("pages", jsondoc.canonical(order), SOURCE)
        except InputError:  # the dossier says that there is no picture; the file itself was read before
            return {}
    pictures = zip(boxes, _jpegs(answer, len(boxes)), strict=False)  # none at all where something went wrong
    return {page: jpeg for page, jpeg in pictures if jpeg}


def _jpegs(answer: Answer, count: int) -> Sequence[bytes]:
    """The pictures, or none where there are not as many or a reader that went wrong sent something else."""
    right = len(answer.blobs) == count and all(
        blob.startswith(b"\xff\xd8\xff") and blob.endswith(b"\xff\xd9") for blob in answer.blobs if blob
    )
    return answer.blobs if right else ()
