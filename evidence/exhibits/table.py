"""Tables: CSV of numbers with one heading row, as laboratories and torque tools export it.

Delimiter and decimal mark are decided once for the whole file, from what stands in it; where two readings are
possible the file is refused, because a wrong guess moves a number by a factor of a thousand.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from evidence.errors import InputError, Problem
from evidence.exhibits._answer import Answer, quoted, refuse
from evidence.exhibits._base import claimed
from evidence.model.exhibit import MAX_TABLE_COLUMNS, MAX_TABLE_ROWS, MAX_UNIT, Column, Table
from evidence.quantity import UNITS

MAX_BYTES = 20 * 1024 * 1024  # of one table
MAX_CELLS = 4_000_000
MAX_EXPONENT = 19  # a power of ten above it is no measured value, and keeps 40 digits on each side enough
MAX_LISTED = 20  # problems listed one by one

DELIMITERS = ("\t", ";", ",")  # the first that splits the heading row; a comma may also be a decimal mark

_SIGN = r"[+\-\u2212]?"  # plus, hyphen, minus sign
_NUMBER = re.compile(
    rf"(?P<sign>{_SIGN})(?P<whole>[0-9]{{0,20}})(?:[.,](?P<part>[0-9]{{1,20}}))?(?:[eE](?P<power>[+\-]?[0-9]{{1,2}}))?",
    re.ASCII,
)
# point, comma, spaces of three widths, two apostrophes
_GROUPED = re.compile(
    rf"{_SIGN}[0-9]{{1,3}}(?:[., \u00a0\u2009\u202f'\u2019][0-9]{{3}})+(?:[.,][0-9]+)?", re.ASCII
)
_MAYBE_GROUPED = re.compile(rf"{_SIGN}[1-9][0-9]{{0,2}},[0-9]{{3}}", re.ASCII)
_NOT_A_NUMBER = re.compile(
    r"[+\-]?(?:nan|inf|infinity|#n/a|n/a|na|null|none|#num!|#div/0!)", re.ASCII | re.IGNORECASE
)
_FORMULA_START = ("=", "@")
_BRACKETED = re.compile(r"(?P<name>.*?)\s*\[(?P<unit>[^\[\]]*)\]")
_PARENTHESISED = re.compile(r"(?P<name>.*?)\s*\((?P<unit>.*)\)")
_SLASHED = re.compile(r"(?P<name>.+?)\s+/\s+(?P<unit>\S+)")
_SYMBOLS = {spelling: unit.symbol for (spelling, _), unit in UNITS.items() if spelling}
_NO_UNIT = ("", "-", "\u2013", "1")  # how headings say that a number has none
_WORDS_TOO = ("min", "in", "d", "day", "days")  # units that are also headings: only brackets make them units


@dataclass(frozen=True)
class TableReading:
    """A table read.

    Attributes:
        table: columns and number of rows.
        values: one tuple per column: decimal strings, point as mark, no exponent, ``-`` only as a sign.
        warnings: codes, sorted.
    """

    table: Table
    values: tuple[tuple[str, ...], ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class _Row:
    line: int
    cells: tuple[str, ...]


def answer(data: bytes, where: str) -> Answer:
    """Read a table: ``{"table": {...}, "warnings": [...]}`` and one byte string per column, values by line feeds.

    Raises:
        InputError: as ``parse``.
    """
    reading = parse(data, where)
    value = {"table": reading.table.document(), "warnings": list(reading.warnings)}
    return Answer(value, tuple("\n".join(column).encode("ascii") for column in reading.values))


def parse(data: bytes, where: str) -> TableReading:
    """Read a CSV file of numbers.

    The first row is the heading, ``time [s]``, ``time (s)``, ``time / s`` or ``s``; a second row of units is
    taken too. Every other cell is a number with a decimal point or a decimal comma, the same in the whole file.

    Args:
        data: the whole file, UTF-8.
        where: name for messages; a problem in a row is at ``where:line``.

    Raises:
        InputError: with every problem of one kind found: exhibit-too-large, table-encoding, table-character,
            table-malformed, table-empty, table-too-many-columns, table-too-many-rows, table-header-missing,
            table-header-blank, table-header-twice, table-row-length, table-cell-blank, table-cell-not-finite,
            table-cell-formula, table-cell-grouped, table-cell-number, table-decimal-mixed, table-comma-ambiguous,
            and table-more-problems where the list was cut.
    """
    rows = _rows(_text(data, where), where)
    heading, body = rows[0], rows[1:]
    columns, unknown = _columns(heading, where)
    if body and not any(column.unit for column in columns) and _is_unit_row(body[0], len(columns)):
        columns = tuple(map(_with_unit, columns, body[0].cells))
        body = body[1:]
    if not body:
        refuse("table-empty", where)
    _stop_at(_misfits(body, len(columns), where), where)
    _stop_at(_bad_cells(body, columns, where), where)
    _check_decimal_mark(body, where)
    values = tuple(tuple(map(_plain, cells)) for cells in zip(*(row.cells for row in body), strict=True))
    table = Table(columns=columns, rows=len(body))
    return TableReading(table, values, ("table-unit-unknown",) if unknown else ())


def _text(data: bytes, where: str) -> str:
    if len(data) > MAX_BYTES:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(MAX_BYTES))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        refuse(
            "table-encoding",
            _at(where, data.count(b"\n", 0, error.start) + 1),
            found=f"0x{data[error.start]:02X}",
        )
    found = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    if found:
        refuse("table-character", _at(where, text.count("\n", 0, found.start()) + 1), found=quoted(found[0]))
    return text


def _at(where: str, line: int) -> str:
    return f"{where}:{line}"


def _rows(text: str, where: str) -> list[_Row]:
    """Every row that holds something, its cells stripped; a column that is blank in all rows at the end is gone."""
    delimiter = _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[_Row] = []
    cells = 0
    try:
        for cells_read in reader:
            row = _Row(reader.line_num, tuple(cell.strip() for cell in cells_read))
            cells += len(row.cells)
            _check_caps(row, len(rows), cells, where)
            if row.cells:
                rows.append(row)
    except csv.Error:
        refuse("table-malformed", _at(where, reader.line_num))
    while rows and not any(rows[-1].cells):
        rows.pop()  # spreadsheets write rows of bare delimiters after the last one
    if not rows:
        refuse("table-empty", where)
    if len(rows[0].cells) > 1 and all(not row.cells[-1] for row in rows):
        rows = [_Row(row.line, row.cells[:-1]) for row in rows]  # every row ends in a delimiter
    return rows


def _delimiter(text: str) -> str:
    heading = next((line for line in io.StringIO(text, newline=None) if line.strip()), "")
    for delimiter in DELIMITERS:
        if len(next(csv.reader([heading], delimiter=delimiter), [])) > 1:
            return delimiter
    return ";"  # one column; whatever stands in its rows, a comma is then decimal


def _check_caps(row: _Row, rows: int, cells: int, where: str) -> None:
    if len(row.cells) > MAX_TABLE_COLUMNS:
        refuse(
            "table-too-many-columns",
            _at(where, row.line),
            found=str(len(row.cells)),
            limit=str(MAX_TABLE_COLUMNS),
        )
    if rows > MAX_TABLE_ROWS or cells > MAX_CELLS:
        refuse("table-too-many-rows", where, limit=str(MAX_TABLE_ROWS), cells=str(MAX_CELLS))


def _columns(heading: _Row, where: str) -> tuple[tuple[Column, ...], bool]:
    """Columns of the heading row, and whether a unit in brackets is in no table of ours."""
    problems: list[Problem] = []
    columns: list[Column] = []
    unknown = False
    seen: set[str] = set()
    for number, cell in enumerate(heading.cells, 1):
        place = {"column": str(number)}
        if _NUMBER.fullmatch(cell) and cell:
            problems.append(
                Problem("table-header-missing", _at(where, heading.line), "", {"found": quoted(cell)})
            )
            break
        column, odd = _column(cell)
        if column is None:
            problems.append(Problem("table-header-blank", _at(where, heading.line), "", place))
            continue
        if column.name in seen:
            place["found"] = column.name
            problems.append(Problem("table-header-twice", _at(where, heading.line), "", place))
        seen.add(column.name)
        unknown = unknown or odd
        columns.append(column)
    _stop_at(iter(problems), where)
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


def _is_unit_row(row: _Row, width: int) -> bool:
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


def _misfits(body: Sequence[_Row], width: int, where: str) -> Iterator[Problem]:
    for row in body:
        if len(row.cells) != width:
            sizes = {"found": str(len(row.cells)), "expected": str(width)}
            yield Problem("table-row-length", _at(where, row.line), "", sizes)


def _bad_cells(body: Sequence[_Row], columns: Sequence[Column], where: str) -> Iterator[Problem]:
    for row in body:
        for column, cell in zip(columns, row.cells, strict=True):
            match = _NUMBER.fullmatch(cell)
            if match is None or not _is_number(match):
                parameters = {"column": column.name, "found": quoted(cell)}
                yield Problem(_cell_code(cell), _at(where, row.line), "", parameters)


def _is_number(match: re.Match[str]) -> bool:
    return bool(match["whole"] or match["part"]) and abs(int(match["power"] or 0)) <= MAX_EXPONENT


def _cell_code(cell: str) -> str:
    if not cell:
        return "table-cell-blank"
    if _NOT_A_NUMBER.fullmatch(cell):
        return "table-cell-not-finite"
    if cell.startswith(_FORMULA_START):
        return "table-cell-formula"
    return "table-cell-grouped" if _GROUPED.fullmatch(cell) else "table-cell-number"


def _check_decimal_mark(body: Sequence[_Row], where: str) -> None:
    commas = [(row.line, cell) for row in body for cell in row.cells if "," in cell]
    if not commas:
        return
    line, comma = commas[0]
    for row in body:
        point = next((cell for cell in row.cells if "." in cell), None)
        if point is not None:
            refuse("table-decimal-mixed", _at(where, row.line), found=point, other=comma, line=str(line))
    # one comma that cannot part thousands settles it for the whole file
    if all(_MAYBE_GROUPED.fullmatch(cell) for _, cell in commas):
        decimal, grouped = comma.replace(",", "."), comma.replace(",", "")
        refuse("table-comma-ambiguous", _at(where, line), found=comma, decimal=decimal, grouped=grouped)


def _plain(cell: str) -> str:
    match = _NUMBER.fullmatch(cell)
    if match is None:
        raise ValueError(cell)  # every cell was checked before
    sign = "-" if match["sign"] in ("-", "\u2212") else ""
    digits = (match["whole"] or "0") + (f".{match['part']}" if match["part"] else "")
    # a Decimal made from text is exact whatever its length; arithmetic on it would round to 28 digits
    return sign + (f"{Decimal(digits + 'E' + match['power']):f}" if match["power"] else digits)


def _stop_at(found: Iterator[Problem], where: str) -> None:
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
