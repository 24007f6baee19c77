"""Which pages of papers become pictures: those that a person read, and those of the annex.

Both follow from the record and from what the files say of themselves, so that whoever has a bundle finds the same.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from evidence.model.exhibit import Item
from evidence.model.names import Role
from evidence.model.pages import annex_name, picture_name
from evidence.model.record import JobRecord

MAX_READ = 12  # pages, or parts of them, that a person read; each is about 200 kB
MAX_ANNEXED, MAX_ANNEXED_EACH = 24, 6  # pages of all papers and of one; each is 30 to 250 kB
WHOLE_PAGE = (0, 0, 100, 100)  # percent
OWN_PAPERS = frozenset({Role.WORK_CARD, Role.CYCLE_LOG, Role.TORQUE_LOG})
"""What the workshop wrote itself: its rows are typed into the record and printed there, so the annex leaves it out."""
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class ReadPage:
    """A page that a person read: left, top, right and bottom of the part around all claims, in percent."""

    exhibit: str
    page: int
    box: Box


@dataclass(frozen=True)
class Paper:
    """A paper that somebody else wrote.

    Attributes:
        exhibit: its file.
        pages: how many pages it has.
        cited: page 1 and the pages that claims name, ascending; none beyond the end.
        drawn: those of which the annex has room for a picture.
        whole: those that are shown whole where they were read, so not drawn again.
    """

    exhibit: str
    pages: int
    cited: tuple[int, ...]
    drawn: tuple[int, ...]
    whole: tuple[int, ...]

    @property
    def left_out(self) -> tuple[int, ...]:
        """Cited pages for which there is no room."""
        return tuple(page for page in self.cited if page not in (*self.drawn, *self.whole))


def read_pages(record: JobRecord, items: Mapping[str, Item]) -> list[ReadPage]:
    """One entry a page, by exhibit and page: several claims on a page share the smallest box around all."""
    boxes: dict[tuple[str, int], list[Box]] = {}
    for exhibit, page, crop in _read(record):
        if page in _pages(items.get(exhibit)):
            boxes.setdefault((exhibit, page), []).append(_box(crop))
    return [ReadPage(exhibit, page, _around(found)) for (exhibit, page), found in sorted(boxes.items())]


def left_out(record: JobRecord, items: Mapping[str, Item]) -> frozenset[str]:
    """Names of the pictures of read pages beyond the cap, which no dossier of this record shows."""
    return frozenset(picture_name(one.exhibit, one.page) for one in read_pages(record, items)[MAX_READ:])


def papers(
    record: JobRecord, items: Mapping[str, Item], redacted: Collection[str] | None = None
) -> list[Paper]:
    """The papers of the annex, in the record's order.

    Page 1 of every paper comes before any second page, so that a long paper takes no room from a short one.

    Args:
        record: the job record.
        items: exhibit id to what its file says of itself.
        redacted: for a redacted dossier, the exhibits of which there is a redacted copy; nothing else is drawn.
    """
    cited = _cited(record, items)
    read = [] if redacted is not None else read_pages(record, items)[:MAX_READ]
    whole = {
        exhibit: tuple(page for page in pages if ReadPage(exhibit, page, WHOLE_PAGE) in read)
        for exhibit, pages in cited.items()
    }
    wanted = [
        (place, number, exhibit, page)
        for number, (exhibit, pages) in enumerate(cited.items())
        if redacted is None or exhibit in redacted
        for place, page in enumerate(
            [page for page in pages if page not in whole[exhibit]][:MAX_ANNEXED_EACH]
        )
    ]
    room = {(exhibit, page) for _, _, exhibit, page in sorted(wanted)[:MAX_ANNEXED]}
    return [
        Paper(
            exhibit,
            _pages(items[exhibit])[-1],
            pages,
            tuple(page for page in pages if (exhibit, page) in room),
            whole[exhibit],
        )
        for exhibit, pages in cited.items()
    ]


def annexed(record: JobRecord, items: Mapping[str, Item]) -> frozenset[str]:
    """Names of the pictures that the annex of the whole dossier may show."""
    return frozenset(
        annex_name(paper.exhibit, page) for paper in papers(record, items) for page in paper.drawn
    )


def _cited(record: JobRecord, items: Mapping[str, Item]) -> dict[str, tuple[int, ...]]:
    found: dict[str, set[int]] = {}
    for entry in record.exhibits:
        item = items.get(entry.id)
        if item is not None and item.pdf is not None and entry.role not in OWN_PAPERS:
            found[entry.id] = {1}
    for document in record.documents:
        if document.exhibit is not None and document.exhibit in found:
            there = _pages(items[document.exhibit])
            named = {claim.page for claim in document.claims if claim.page is not None}
            found[document.exhibit] |= named.intersection(there)
    return {exhibit: tuple(sorted(pages)) for exhibit, pages in found.items()}


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
