"""From rows to pages: what stands where on the card, in whole millimetres."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

from evidence.card._rows import (
    VEHICLE,
    Kind,
    Row,
    in_language,
    papers_of,
    photos_of,
    rows_of,
    vehicle_rows,
)
from evidence.dossier import Paper
from evidence.model.names import Role
from evidence.model.profile import Profile

CONTENT: dict[Paper, int] = {"a4": 258, "us-letter": 240}
"""Height of a page between its running lines, in mm."""
LINE = 4  # mm of one line of text
HEAD_OF_ROWS = 7  # mm of the head of a table
SCREWS_PER_LINE = 8
_TITLE_LINE, _RECORD_LINE = 34, 21  # characters that surely fit a line of these columns
_PHOTO_PREFIX = "photo: "  # about as wide as the words before a photo's name
_PER_LINE = 92  # characters of running text that surely fit one line
_PHOTOS_PER_LINE = 2
_ID_DIGITS = 6  # hex digits that tell two cards of one job apart

Part = Literal["header", "caution", "who", "title", "row", "again", "photos-title", "photos", "signatures"]


@dataclass(frozen=True)
class Piece:
    """Something with a fixed height.

    Attributes:
        part: what it is.
        height: in mm, without the head of the table that it may begin.
        row: the numbered row, where it is one.
        subject: whose title or list it is.
        roles: what a line of the list of photos names.
        text: of a caution.
        page: page of the manual, for a caution.
        keep: whether it may not be the last on a page.
        opens: whether it begins a page of its own.
    """

    part: Part
    height: int
    row: Row | None = None
    subject: str = ""
    roles: tuple[Role, ...] = ()
    text: str = ""
    page: int | None = None
    keep: bool = False
    opens: bool = False

    @property
    def table(self) -> str:
        """Which table it is a line of; empty for what is no line of a table with a head."""
        if self.part == "again":
            return "again"
        return "rows" if self.row is not None and self.row.kind in ("step", "value", "cycles") else ""


@dataclass(frozen=True)
class Placed:
    """A piece on its page; ``number`` counts the rows of the page from 1 and is 0 for what is no row."""

    piece: Piece
    page: int
    number: int = 0

    @property
    def row(self) -> Row:
        """The numbered row.

        Raises:
            ValueError: the piece is none.
        """
        if self.piece.row is None:
            raise ValueError(f"{self.piece.part} is no row")
        return self.piece.row


@dataclass(frozen=True)
class Plan:
    """A card laid out.

    Attributes:
        pages: each with its pieces in order.
        paper: the paper that the numbers hold for.
        id: tells two different layouts of one job apart; a reprint of the same card has the same.
    """

    pages: tuple[tuple[Placed, ...], ...]
    paper: Paper
    id: str

    def place(self, kind: Kind, subject: str, name: str = "") -> tuple[int, int]:
        """Page and row of something, counted from 1; of screws the first row.

        Raises:
            KeyError: the card has no such row.
        """
        for placed in self.rows():
            row = placed.row
            names = {(row.kind, row.name), ("value", row.gives)} - {("value", "")}
            if row.subject == subject and (kind, name) in names:
                return placed.page, placed.number
        raise KeyError((kind, subject, name))

    def rows(self) -> Iterator[Placed]:
        """Every numbered row in order."""
        return (placed for page in self.pages for placed in page if placed.number)


def plan(profile: Profile, positions: Sequence[str], paper: Paper, language: str = "en") -> Plan:
    """Lay out the card of a job.

    Args:
        profile: the fitting profile.
        positions: ids in the order of the record.
        paper: rules how much fits a page.
        language: of the titles.
    """
    pieces = list(_pieces(profile, positions, language))
    pages = _paged(pieces, CONTENT[paper])
    told = f"{profile.reference}\0{paper}\0{language}\0{pieces!r}"
    return Plan(pages, paper, hashlib.sha256(told.encode()).hexdigest()[:_ID_DIGITS])


def _pieces(profile: Profile, positions: Sequence[str], language: str) -> Iterator[Piece]:
    yield Piece("header", 72)
    for caution in profile.cautions:
        text = in_language(caution.text, language)
        yield Piece("caution", 2 + LINE * ceil(len(text) / _PER_LINE), text=text, page=caution.page)
    yield Piece("who", 56)
    for number, position in enumerate(positions):
        yield Piece("title", 11, subject=position, keep=True, opens=number > 0)
        yield from _row_pieces(rows_of(profile, position, language))
        yield from _lists(profile, position)
    whole = vehicle_rows(profile, language)
    lists = list(_lists(profile, VEHICLE))
    if whole or lists:
        yield Piece("title", 11, subject=VEHICLE, keep=True)
        yield from _row_pieces(whole)
        yield from lists
    yield Piece("signatures", 34)


def _row_pieces(rows: Sequence[Row]) -> Iterator[Piece]:
    for place, row in enumerate(rows):
        if row.kind == "again":
            yield Piece("again", 11, row, row.subject, keep=place + 1 < len(rows))
        else:
            yield Piece("row", _height(row), row, row.subject)


def _height(row: Row) -> int:
    if row.kind == "system":
        return 23
    if row.kind == "screws":
        lines = ceil((row.last - row.first + 1) / SCREWS_PER_LINE)
        return (36 if row.first == 1 else 9) + 12 * lines
    told = [row.gives] * bool(row.gives) + [f"{_PHOTO_PREFIX}{role.value}" for role in row.photos]
    record = (
        sum(ceil(len(text) / _RECORD_LINE) for text in told) + len(row.limits) + (row.at_least is not None)
    )
    return max(13, 3 + LINE * max(ceil(len(row.title) / _TITLE_LINE), record))


def _lists(profile: Profile, subject: str) -> Iterator[Piece]:
    """Photos to take, then what else is to be handed in."""
    for name, roles in (("photos", photos_of(profile, subject)), ("papers", papers_of(profile, subject))):
        if roles:
            yield Piece("photos-title", 10, subject=subject, text=name, keep=True)
        for first in range(0, len(roles), _PHOTOS_PER_LINE):
            yield Piece(
                "photos", 9, subject=subject, roles=roles[first : first + _PHOTOS_PER_LINE], text=name
            )


def _paged(pieces: Sequence[Piece], height: int) -> tuple[tuple[Placed, ...], ...]:
    pages: list[list[Placed]] = [[]]
    used = numbers = 0
    for place, piece in enumerate(pieces):
        page = pages[-1]
        heads = bool(piece.table) and (not page or page[-1].piece.table != piece.table)
        wanted = piece.height + HEAD_OF_ROWS * heads
        if page and (piece.opens or used + wanted + _kept(pieces, place) > height):
            pages.append([])
            used = numbers = 0
            wanted = piece.height + HEAD_OF_ROWS * bool(piece.table)
        used += wanted
        numbers += piece.row is not None
        pages[-1].append(Placed(piece, len(pages), numbers if piece.row is not None else 0))
    return tuple(tuple(page) for page in pages)


def _kept(pieces: Sequence[Piece], place: int) -> int:
    """Height of what must stand on the same page behind a piece."""
    if not pieces[place].keep or place + 1 == len(pieces):
        return 0
    following = pieces[place + 1]
    heads = bool(following.table) and following.table != pieces[place].table
    return following.height + HEAD_OF_ROWS * heads + _kept(pieces, place + 1)
