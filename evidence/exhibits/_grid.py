"""Rows of cells, whatever file they stood in, to columns of numbers, words and times.

The first row is the heading. Numbers are kept as decimal text. A column of words is read only where its heading
says that it holds words, such as a serial or initials; none of its cells is kept.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from evidence.errors import InputError, Problem
from evidence.exhibits import _numbers
from evidence.exhibits._answer import Answer, quoted, refuse
from evidence.exhibits._base import claimed
from evidence.model.exhibit import MAX_UNIT, Column, ColumnKind, Table
from evidence.quantity import UNITS

MAX_BYTES = 20 * 1024 * 1024  # of one table
MAX_CELLS = 4_000_000
MAX_LISTED = 20  # problems listed one by one

_BRACKETED = re.compile(r"(?P<name>.*?)\s*\[(?P<unit>[^\[\]]*)\]")
_PARENTHESISED = re.compile(r"(?P<name>.*?)\s*\((?P<unit>.*)\)")
_SLASHED = re.compile(r"(?P<name>.+?)\s+/\s+(?P<unit>\S+)")
_SYMBOLS = {spelling: unit.symbol for (spelling, _), unit in UNITS.items() if spelling}
_NO_UNIT = ("", "-", "\u2013", "1")  # how headings say that a number has none
_WORDS_TOO = ("min", "in", "d", "day", "days")  # units that are also headings: only brackets make them units
_TIMES = frozenset(["date", "day", "time", "datum", "zeit", "uhrzeit", "tag", "timestamp"])
_NAMES = frozenset(
    ["serial", "lot", "batch", "tool", "screw", "bolt", "id", "initials", "place", "position", "sn", "s/n"]
)
"""Headings whose cells are names even where some are made of digits alone."""
_WORDS = _NAMES | frozenset(
    [
        "no",
        "no.",
        "nr",
        "nr.",
        "#",
        "result",
        "ok",
        "remark",
        "remarks",
        "comment",
        "note",
        "status",
        "step",
        "channel",
    ]
)
_IDENTIFIERS = frozenset(["serial", "lot", "batch", "sn", "s/n"])
"""Headings of what a label gives letter by letter; a number or date of a spreadsheet has lost its form."""
_SERIAL_DAYS = range(20_000, 80_001)  # what workbooks store for the years 1954 to 2119


class Typed(str):
    """A cell to which its workbook gives a type of its own; plain text is a number or comes from a text file."""

    __slots__ = ()
    code = "table-cell-number"


class TextCell(Typed):
    """Text, even where it looks like a number."""

    __slots__ = ()
    code = "table-cell-text"


class DateCell(Typed):
    """A date or a time of day, as ISO 8601 writes it."""

    __slots__ = ()
    code = "table-cell-date"


class NumberCell(str):
    """A number that a workbook stores as such, without the zeros that may have stood in front."""

    __slots__ = ()


class TruthCell(Typed):
    """TRUE or FALSE."""

    __slots__ = ()
    code = "table-cell-truth"


class ErrorCell(Typed):
    """What a formula gives that cannot be computed."""

    __slots__ = ()
    code = "table-cell-not-finite"


@dataclass(frozen=True)
class Row:
    """One row: where it stands, counted from 1, and its cells without surrounding blanks."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class TableReading:
    """A table read.

    Attributes:
        table: columns and number of rows.
        values: one tuple per column: decimal strings, point as mark, no exponent, ``-`` only as a sign; of a column
            of words or times nothing but one empty string.
        warnings: codes, sorted.
    """

    table: Table
    values: tuple[tuple[str, ...], ...]
    warnings: tuple[str, ...]

    def answer(self) -> Answer:
        """``{"table": {...}, "warnings": [...]}`` and one byte string per column, values by line feeds."""
        value = {"table": self.table.document(), "warnings": list(self.warnings)}
        return Answer(value, tuple("\n".join(column).encode("ascii") for column in self.values))


Place = Callable[[int, int | None], str]
"""Place of a cell for messages, from its line and its column, both counted from 1 and from 0."""


def read(rows: Sequence[Row], where: str, place: Place, noticed: Sequence[str] = ()) -> TableReading:
    """Read rows of which the first is the heading.

    Args:
        rows: those that hold something.
        where: name of the file for messages.
        place: names a cell, or with None for the column a row.
        noticed: codes of what was passed over on the way here.

    Raises:
        InputError: with every problem of one kind found: table-empty, table-header-missing, table-header-blank,
            table-header-twice, table-row-length, a code of a cell, table-decimal-mixed, table-comma-ambiguous,
            table-thousands-mixed, and table-more-problems where the list was cut.
    """
    rows = _trimmed(rows)
    if not rows:
        refuse("table-empty", where)
    heading, body = rows[0], rows[1:]
    columns, unknown = _columns(heading, where, place)
    if body and not any(column.unit for column in columns) and _is_unit_row(body[0], len(columns)):
        columns = tuple(map(_with_unit, columns, body[0].cells))
        body = body[1:]
    if not body:
        refuse("table-empty", where)
    stop_at(_misfits(body, len(columns), place), where)
    columns = tuple(
        column.model_copy(update={"kind": _kind(column, [row.cells[at] for row in body])})
        for at, column in enumerate(columns)
    )
    numbers = [at for at, column in enumerate(columns) if column.kind is None]
    quick = _usual(body, columns)
    if quick is None:
        stop_at(_bad_cells(body, columns, place), where)
    stop_at(_serial_days(body, columns, place), where)
    stop_at(_lost_identifiers(body, columns, place), where)
    if not numbers:
        refuse("table-no-numbers", where)
    marks = _marks(body, numbers, place) if quick is None else _numbers.Marks()
    values = quick or tuple(
        tuple(_numbers.plain(row.cells[at], marks) for row in body) if column.kind is None else ("",)
        for at, column in enumerate(columns)
    )
    told = {*noticed, *(["table-unit-unknown"] if unknown else [])}
    told |= {"table-thousands-marks"} if marks.thousands else set()
    return TableReading(Table(columns=columns, rows=len(body)), values, tuple(sorted(told)))


def _trimmed(rows: Sequence[Row]) -> list[Row]:
    """Rows without blank ones at the end and without columns at the end that are blank in all of them."""
    kept = list(rows)
    while kept and not any(kept[-1].cells):
        kept.pop()  # spreadsheets write rows of bare delimiters after the last one
    if not kept:
        return []
    width = max(_filled(row) for row in kept)
    first = len(kept[0].cells)
    # a row may be short of cells, but what every row has too many of is no column
    width = max(width, min(first, *(len(row.cells) for row in kept)) if _filled(kept[0]) == first else width)
    return [Row(row.line, row.cells[:width]) for row in kept]


def _filled(row: Row) -> int:
    """Number of cells up to the last that holds something."""
    return next((at for at in range(len(row.cells), 0, -1) if row.cells[at - 1]), 0)


def _kind(column: Column, cells: Sequence[str]) -> ColumnKind | None:
    """What a column holds by its heading and its cells; None is numbers, which every doubt ends in."""
    words = set(column.name.casefold().replace("_", " ").split())
    if column.unit is not None:
        return None
    if words & _TIMES and any(isinstance(cell, DateCell) or _numbers.is_iso(cell) for cell in cells):
        return "time"
    if words & _NAMES and any(cell and not _is_number(cell) for cell in cells):
        return "text"
    if words & _WORDS and any(cells) and not any(map(_is_number, cells)):
        return "text"
    return None


def _usual(body: Sequence[Row], columns: Sequence[Column]) -> tuple[tuple[str, ...], ...] | None:
    """The values of a plain log, which is long and holds nothing but numbers as everybody writes them; else None."""
    if any(column.kind is not None for column in columns):
        return None
    cells = [[row.cells[at] for row in body] for at in range(len(columns))]
    if any(isinstance(cell, Typed) for column in cells for cell in column):
        return None
    return _numbers.usual(cells)


def _is_number(cell: str) -> bool:
    return not isinstance(cell, Typed) and _numbers.is_number(cell)


def _marks(body: Sequence[Row], numbers: Sequence[int], place: Place) -> _numbers.Marks:
    evidence = _numbers.Evidence()
    for row in body:
        evidence.see(place(row.line, None), (row.cells[at] for at in numbers))
    marks = evidence.marks()
    if isinstance(marks, Problem):
        raise InputError((marks,))
    return marks


def _columns(heading: Row, where: str, place: Place) -> tuple[tuple[Column, ...], bool]:
    """Columns of the heading row, and whether a unit in brackets is in no table of ours."""
    problems: list[Problem] = []
    columns: list[Column] = []
    unknown = False
    seen: set[str] = set()
    for number, cell in enumerate(heading.cells, 1):
        named = {"column": str(number)}
        if _is_number(cell):
            problems.append(
                Problem("table-header-missing", place(heading.line, number - 1), "", {"found": quoted(cell)})
            )
            break
        column, odd = _column(cell)
        if column is None:
            problems.append(Problem("table-header-blank", place(heading.line, number - 1), "", named))
            continue
        if column.name in seen:
            named["found"] = column.name
            problems.append(Problem("table-header-twice", place(heading.line, number - 1), "", named))
        seen.add(column.name)
        unknown = unknown or odd
        columns.append(column)
    stop_at(iter(problems), where)
    return tuple(columns), unknown


def _column(cell: str) -> tuple[Column | None, bool]:
    whole = claimed(cell)
    if whole is None:
        return None, False
    if whole in _SYMBOLS and whole not in _WORDS_TOO:
        return Column(name=whole, unit=_SYMBOLS[whole]), False
    bracketed = _BRACKETED.fullmatch(whole)
    match = bracketed or _PARENTHESISED.fullmatch(whole) or _SLASHED.fullmatch(whole)
    unit = match["unit"].strip() if match else ""
    # without square brackets only a known unit is one: "force (left)" is a name
    if match is None or (bracketed is None and unit not in _SYMBOLS):
        return Column(name=whole), False
    odd = unit not in _SYMBOLS and unit not in _NO_UNIT
    symbol = _SYMBOLS.get(unit) or (unit[:MAX_UNIT] if odd else None)
    return Column(name=match["name"] or unit or whole, unit=symbol), odd


def _is_unit_row(row: Row, width: int) -> bool:
    if len(row.cells) != width:
        return False
    units = [_bare(cell) for cell in row.cells]
    return any(unit in _SYMBOLS for unit in units) and all(
        unit in _SYMBOLS or unit in _NO_UNIT for unit in units
    )


def _bare(cell: str) -> str:
    return cell.strip("[]() ")


def _with_unit(column: Column, cell: str) -> Column:
    return Column(name=column.name, unit=_SYMBOLS.get(_bare(cell)))


def _misfits(body: Sequence[Row], width: int, place: Place) -> Iterator[Problem]:
    for row in body:
        if len(row.cells) != width:
            sizes = {"found": str(len(row.cells)), "expected": str(width)}
            yield Problem("table-row-length", place(row.line, None), "", sizes)


def _bad_cells(body: Sequence[Row], columns: Sequence[Column], place: Place) -> Iterator[Problem]:
    for row in body:
        for at, (column, cell) in enumerate(zip(columns, row.cells, strict=True)):
            code = _fault(column, cell)
            if code:
                parameters = {"column": column.name, "found": quoted(cell)}
                yield Problem(code, place(row.line, at), "", parameters)


def _fault(column: Column, cell: str) -> str:
    if column.kind == "text":
        return cell.code if isinstance(cell, ErrorCell) else ""
    if column.kind == "time":
        if isinstance(cell, DateCell) or _numbers.is_iso(cell):
            return ""
        if _is_serial_day(cell):
            return "table-cell-serial-date"
        return "table-cell-date" if _numbers.is_like_date(cell) else "table-cell-no-date"
    if isinstance(cell, Typed):
        return cell.code
    return "" if _numbers.is_number(cell) else _numbers.fault(cell)


def _serial_days(body: Sequence[Row], columns: Sequence[Column], place: Place) -> Iterator[Problem]:
    """Days as workbooks count them: certain only where a heading promises a date and every number can be one."""
    for at, column in enumerate(columns):
        words = set(column.name.casefold().split())
        if column.kind is not None or column.unit is not None or not words & _TIMES:
            continue
        if all(_is_serial_day(row.cells[at]) for row in body):
            for row in body:
                parameters = {"column": column.name, "found": quoted(row.cells[at])}
                yield Problem("table-cell-serial-date", place(row.line, at), "", parameters)


def _lost_identifiers(body: Sequence[Row], columns: Sequence[Column], place: Place) -> Iterator[Problem]:
    """Serials and lots of which the spreadsheet made a date or a number: 3-12, 0012 and 1E11 cannot be had back."""
    for at, column in enumerate(columns):
        words = set(column.name.casefold().split())
        if column.kind == "time" or column.unit is not None or not words & _IDENTIFIERS:
            continue
        for row in body:
            if _is_lost(row.cells[at]):
                parameters = {"column": column.name, "found": quoted(row.cells[at])}
                yield Problem("table-cell-identifier", place(row.line, at), "", parameters)


def _is_lost(cell: str) -> bool:
    if isinstance(cell, DateCell | NumberCell):
        return True
    return not isinstance(cell, Typed) and (_numbers.is_named_date(cell) or _numbers.is_rounded(cell))


def _is_serial_day(cell: str) -> bool:
    whole = cell.partition(".")[0]
    return _is_number(cell) and whole.isdigit() and int(whole) in _SERIAL_DAYS


def stop_at(found: Iterator[Problem], where: str) -> None:
    """Raise what was found, the first twenty one by one; nothing where nothing was."""
    problems: list[Problem] = []
    more = 0
    for problem in found:
        if len(problems) < MAX_LISTED:
            problems.append(problem)
        else:
            more += 1
    if more:
        problems.append(Problem("table-more-problems", where, "", {"count": str(more)}))
    if problems:
        raise InputError(problems)
