"""Tables in workbooks: the one sheet with data of an XLSX or ODS file.

Values are what the program that wrote the file stored last; a formula is not computed again. Workbooks hold binary
floats: the shortest decimal text with at most fifteen significant digits is taken, which is all that they promise.
"""

import datetime as dt
import io
from collections.abc import Sequence
from decimal import Decimal

import python_calamine

from evidence.errors import InputError, Problem
from evidence.exhibits import _grid
from evidence.exhibits._answer import Answer, quoted, refuse
from evidence.exhibits._grid import MAX_BYTES, Row, TableReading
from evidence.exhibits._workbook_parts import Sheet, cell_name, sheets
from evidence.model.exhibit import MAX_TABLE_COLUMNS, MAX_TABLE_ROWS

FORMULAS = "table-formula-values"
HIDDEN = "table-hidden-parts"
DIGITS_CUT = "table-digits-cut"
MAX_DIGITS = 15  # significant digits that a binary float of 64 bits carries through

_Value = int | float | str | bool | dt.time | dt.date | dt.datetime | dt.timedelta | None


def answer(data: bytes, where: str) -> Answer:
    """Read a workbook; see ``TableReading.answer``.

    Raises:
        InputError: as ``parse``.
    """
    return parse(data, where).answer()


def parse(data: bytes, where: str) -> TableReading:
    """Read the one sheet of a workbook that holds something.

    Args:
        data: the whole file, XLSX or ODS.
        where: name for messages; a problem in a cell is at ``where:B7``.

    Raises:
        InputError: exhibit-too-large, workbook-damaged, workbook-too-large, workbook-password,
            table-several-sheets, table-merged-cells, table-too-many-columns, table-too-many-rows, and as
            ``_grid.read``.
    """
    if len(data) > MAX_BYTES:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(MAX_BYTES))
    found = sheets(data, where)
    filled = [sheet for sheet in found if sheet.filled]
    if not filled:
        refuse("table-empty", where)
    if len(filled) > 1:
        names = ", ".join(quoted(sheet.name) for sheet in filled)
        refuse("table-several-sheets", where, found=names[:300])
    (sheet,) = filled
    merged = (Problem("table-merged-cells", f"{where}:{cell}") for cell in sheet.merged)
    _grid.stop_at(merged, where)
    values, hidden, start = _values(data, sheet.name, where)
    reader = _Cells(sheet, start)
    rows = [row for at, line in enumerate(values) if (row := reader.row(at, line)) is not None]
    _check_size(rows, where)
    noticed = [FORMULAS] if sheet.formulas else []
    noticed += [HIDDEN] if sheet.hidden or hidden else []
    noticed += [DIGITS_CUT] if reader.cut else []

    def place(line: int, column: int | None) -> str:
        return f"{where}:{cell_name(line - 1, column + start[1]) if column is not None else line}"

    return _grid.read(rows, where, place, noticed)


def _values(data: bytes, name: str, where: str) -> tuple[list[list[_Value]], bool, tuple[int, int]]:
    """Values of a sheet, whether any sheet is hidden, and where its first cell stands."""
    try:
        book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        visible = python_calamine.SheetVisibleEnum.Visible
        hidden = any(each.visible != visible for each in book.sheets_metadata)
        sheet = book.get_sheet_by_name(name)
        start = sheet.start
        rows: list[list[_Value]] = [list(row) for row in sheet.to_python(skip_empty_area=True)]
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        raise InputError.one("workbook-damaged", where) from error
    if start is None:
        refuse("workbook-damaged", where)
    return rows, hidden, start


class _Cells:
    """Values to cells; ``cut`` says whether a number had more digits than are kept."""

    def __init__(self, sheet: Sheet, start: tuple[int, int]) -> None:
        self.sheet = sheet
        self.start = start
        self.cut = False

    def row(self, at: int, values: Sequence[_Value]) -> Row | None:
        """A row; None where it holds nothing."""
        line = at + self.start[0]
        cells = tuple(
            self._cell((line, number + self.start[1]), value) for number, value in enumerate(values)
        )
        return Row(line + 1, cells) if any(cells) else None

    def _cell(self, at: tuple[int, int], value: _Value) -> str:
        if at in self.sheet.errors:
            return _grid.ErrorCell(self.sheet.errors[at])
        if isinstance(value, bool):
            return _grid.TruthCell(str(value).upper())
        if isinstance(value, int | float):
            return self._number(value)
        if value is None or isinstance(value, str):
            return self._text(at, (value or "").strip())
        return _grid.DateCell(value if isinstance(value, dt.timedelta) else value.isoformat())

    def _text(self, at: tuple[int, int], text: str) -> str:
        if text:
            return _grid.TextCell(text)
        formula = self.sheet.formulas.get(at)  # one whose value was never stored
        return f"={formula.removeprefix('=')}" if formula is not None else ""

    def _number(self, value: float) -> str:
        text = f"{value:.{MAX_DIGITS}g}"
        self.cut = self.cut or Decimal(text) != Decimal(repr(value))
        return _grid.NumberCell(text)


def _check_size(rows: Sequence[Row], where: str) -> None:
    width = max((len(row.cells) for row in rows), default=0)
    if width > MAX_TABLE_COLUMNS:
        refuse("table-too-many-columns", where, found=str(width), limit=str(MAX_TABLE_COLUMNS))
    if len(rows) > MAX_TABLE_ROWS + 1 or len(rows) * width > _grid.MAX_CELLS:
        refuse("table-too-many-rows", where, limit=str(MAX_TABLE_ROWS), cells=str(_grid.MAX_CELLS))
