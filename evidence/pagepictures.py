"""Pictures of the pages that a person read, because no program can: made from hostile files in a child process."""

import shutil
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from evidence import files, jobs, jsondoc
from evidence.errors import InputError
from evidence.examining import MAX_EXHIBIT, Examined
from evidence.exhibits import Answer
from evidence.files import packaged
from evidence.guard import Guard, Limits
from evidence.model.exhibit import Item
from evidence.model.pages import picture_name
from evidence.model.record import JobRecord

MAX_PICTURES = 12  # of one dossier; each is about 200 kB
LIMITS = Limits(
    wall_seconds=30.0, cpu_seconds=20, memory_bytes=3 * 1024**3
)  # of one page; usual are 0.2 s and 200 MB
READERS = {"page": "evidence.compiling:page_answer", "photo-part": "evidence.picture:part_answer"}
SOURCE = "page.typ"
WHOLE_PAGE = (0, 0, 100, 100)  # percent
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class PagePictures:
    """What became of the pages that somebody read.

    Attributes:
        pictures: name, as ``picture_name`` gives it, to JPEG.
        left_out: names beyond the cap.
    """

    pictures: Mapping[str, bytes] = field(default_factory=dict)
    left_out: frozenset[str] = frozenset()


@dataclass(frozen=True)
class _Wanted:
    exhibit: str
    page: int
    box: Box


def of_job(job: jobs.Job, examined: Examined, environment: Mapping[str, str] | None = None) -> PagePictures:
    """Picture of each page, or part of it, that a claim says a person read; one that cannot be made is missing.

    Args:
        job: the job folder.
        examined: its files as read.
        environment: environment of the child.

    Raises:
        InputError: a file changed since it was examined, or cannot be read any more.
    """
    wanted = _wanted(job.record, examined.items)
    made: dict[str, bytes] = {}
    with Guard(LIMITS, READERS, environment or {}) as guard:
        for each in wanted[:MAX_PICTURES]:
            picture = _picture(
                each, examined.items[each.exhibit], original(job, examined, each.exhibit), guard
            )
            if picture is not None:
                made[picture_name(each.exhibit, each.page)] = picture
    return PagePictures(made, left_out(job.record, examined.items))


def left_out(record: JobRecord, items: Mapping[str, Item]) -> frozenset[str]:
    """Names of the pictures beyond the cap, which no dossier of this record shows."""
    return frozenset(picture_name(one.exhibit, one.page) for one in _wanted(record, items)[MAX_PICTURES:])


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


def _wanted(record: JobRecord, items: Mapping[str, Item]) -> list[_Wanted]:
    """One entry a page, by exhibit and page: several claims on a page share the smallest box around all."""
    boxes: dict[tuple[str, int], list[Box]] = {}
    for exhibit, page, crop in _read(record):
        if page in _pages(items.get(exhibit)):
            boxes.setdefault((exhibit, page), []).append(_box(crop))
    return [_Wanted(exhibit, page, _around(found)) for (exhibit, page), found in sorted(boxes.items())]


def _read(record: JobRecord) -> Iterator[tuple[str, int, str | None]]:
    for document in record.documents:
        for claim in document.claims:
            if document.exhibit is not None and claim.read_by is not None and claim.page is not None:
                yield document.exhibit, claim.page, claim.crop


def _pages(item: Item | None) -> range:
    if item is not None and item.pdf is not None:
        return range(1, item.pdf.pages + 1)
    return range(1, 2) if item is not None and item.photo is not None else range(0)


def _box(crop: str | None) -> Box:
    if crop is None:
        return WHOLE_PAGE
    left, top, right, bottom = (int(part) for part in crop.split())
    return left, top, right, bottom


def _around(boxes: list[Box]) -> Box:
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def _picture(wanted: _Wanted, item: Item, data: bytes, guard: Guard) -> bytes | None:
    try:
        if item.photo is not None:
            head = jsondoc.canonical(list(wanted.box))
            answer = guard.run("photo-part", head + b"\n" + data, wanted.exhibit)
        else:
            answer = _page(wanted, data, guard)
    except InputError:  # the dossier says that there is no picture; the file itself was read before
        return None
    return _jpeg(answer)


def _page(wanted: _Wanted, data: bytes, guard: Guard) -> Answer:
    with tempfile.TemporaryDirectory(prefix="page-") as folder:
        root = Path(folder)
        shutil.copyfile(packaged("templates", "page") / SOURCE, root / SOURCE)
        (root / "page.pdf").write_bytes(data)
        (root / "order.json").write_bytes(jsondoc.canonical({"page": wanted.page}))
        return guard.run("page", jsondoc.canonical({"box": list(wanted.box), "folder": folder}), SOURCE)


def _jpeg(answer: Answer) -> bytes | None:
    """The one picture, or None where there is none or a reader that went wrong sent something else."""
    blob = answer.blobs[0] if len(answer.blobs) == 1 else b""
    return blob if blob.startswith(b"\xff\xd8\xff") and blob.endswith(b"\xff\xd9") else None
