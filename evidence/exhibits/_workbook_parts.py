"""What stands in the parts of a workbook beside the values: formulas, errors, hidden rows, merged cells, extents.

A workbook is a zip of XML parts, as ISO/IEC 29500 or ISO/IEC 26300 lays them out. Sizes are looked at before anything
is unpacked, and parts that declare a document type are refused, because no sheet needs one and bombs are made of them.
"""

import io
import posixpath
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from evidence.exhibits._answer import refuse
from evidence.exhibits._grid import MAX_CELLS
from evidence.model.exhibit import MAX_TABLE_COLUMNS, MAX_TABLE_ROWS

MAX_PARTS = 2000
MAX_UNPACKED = 256 * 1024 * 1024  # bytes of all parts; four million cells take less
MAX_SHEETS = 100

_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})", re.ASCII)
_HIDDEN = frozenset({"collapse", "filter"})
_BOOK = "xl/workbook.xml"
_CONTENT = "content.xml"


@dataclass
class Sheet:
    """What a sheet holds beside its values; rows and columns count from 0.

    Attributes:
        name: as its tab shows it.
        filled: number of cells that hold something.
        last: last row and last column that hold something.
        formulas: cells with a formula, and the formula.
        errors: cells whose formula could not be computed, and what they show.
        hidden: whether a row or column is hidden.
        merged: ranges of merged cells, by their first cell.
    """

    name: str
    filled: int = 0
    last: tuple[int, int] = (0, 0)
    formulas: dict[tuple[int, int], str] = field(default_factory=dict)
    errors: dict[tuple[int, int], str] = field(default_factory=dict)
    hidden: bool = False
    merged: list[str] = field(default_factory=list)

    def fill(self, row: int, column: int, count: int = 1) -> None:
        """Note cells that hold something, from this one on."""
        self.filled += count
        self.last = (max(self.last[0], row), max(self.last[1], column))


def cell_name(row: int, column: int) -> str:
    """Name of a cell, ``B7``; row and column count from 0."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row + 1}"


def sheets(data: bytes, where: str) -> list[Sheet]:
    """The sheets of a workbook, in its order.

    Raises:
        InputError: workbook-damaged, workbook-too-large, workbook-password, table-too-many-columns or
            table-too-many-rows.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = _checked(archive, where)
            found = list(_office_sheets(parts) if _BOOK in parts else _open_sheets(parts))
    except (
        zipfile.BadZipFile,
        zlib.error,
        expat.ExpatError,
        KeyError,
        ValueError,
        NotImplementedError,
        EOFError,
    ):
        refuse("workbook-damaged", where)
    if not found or len(found) > MAX_SHEETS:
        refuse("workbook-damaged", where)
    for sheet in found:
        _check_extent(sheet, where)
    return found


def _checked(archive: zipfile.ZipFile, where: str) -> Mapping[str, bytes]:
    """The XML parts; every part is unpacked once, so that a size that lies is found here."""
    listed = archive.infolist()
    unpacked = sum(one.file_size for one in listed)
    if len(listed) > MAX_PARTS or unpacked > MAX_UNPACKED:
        refuse("workbook-too-large", where, found=str(unpacked), limit=str(MAX_UNPACKED))
    if any(one.flag_bits & 1 for one in listed):
        refuse("workbook-password", where)
    if len({one.filename.lower() for one in listed}) != len(listed):
        refuse("workbook-damaged", where)  # two readers could take different ones
    parts = {}
    for one in listed:
        part = archive.read(one)
        if not one.filename.endswith((".xml", ".rels")):
            continue
        if b"<!DOCTYPE" in part or b"<!ENTITY" in part:
            refuse("workbook-damaged", where)
        parts[one.filename] = part
    if b"encryption-data" in parts.get("META-INF/manifest.xml", b""):
        refuse("workbook-password", where)
    return parts


def _check_extent(sheet: Sheet, where: str) -> None:
    rows, columns = sheet.last[0] + 1, sheet.last[1] + 1
    if columns > 4 * MAX_TABLE_COLUMNS:  # a table may stand some columns to the right
        place = f"{where}:{cell_name(*sheet.last)}"
        refuse("table-too-many-columns", place, found=str(columns), limit=str(MAX_TABLE_COLUMNS))
    if rows > 2 * MAX_TABLE_ROWS or rows * columns > 2 * MAX_CELLS or sheet.filled > MAX_CELLS:
        refuse("table-too-many-rows", where, limit=str(MAX_TABLE_ROWS), cells=str(MAX_CELLS))


class _Walk:
    """Base of the walks through a part: local names, and the text of the element that ends."""

    def __init__(self) -> None:
        self.text: list[str] = []

    def run(self, part: bytes) -> None:
        """Walk through a part."""
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler = lambda name, given: self.start(_local(name), given)
        parser.EndElementHandler = lambda name: self.end(_local(name))
        parser.CharacterDataHandler = self.text.append
        parser.Parse(part, True)  # noqa: FBT003 - the library takes it by place

    def start(self, name: str, given: dict[str, str]) -> None:
        """Begin an element."""

    def end(self, name: str) -> None:
        """End an element; ``self.text`` holds what stood since ``take``."""

    def take(self) -> str:
        """Text since the last call."""
        text = "".join(self.text)
        self.text.clear()
        return text


def _local(name: str) -> str:
    return name.rpartition(":")[2]


def _attribute(given: Mapping[str, str], name: str) -> str:
    return next((value for key, value in given.items() if _local(key) == name), "")


# ── ISO/IEC 29500 ───────────────────────────────────────────────────────────────────────────────────────────


class _Listing(_Walk):
    """Attributes of all elements of one name."""

    def __init__(self, wanted: str) -> None:
        super().__init__()
        self.wanted = wanted
        self.found: list[dict[str, str]] = []

    def start(self, name: str, given: dict[str, str]) -> None:
        self.text.clear()
        if name == self.wanted:
            self.found.append(given)


def _listed(part: bytes, wanted: str) -> list[dict[str, str]]:
    walk = _Listing(wanted)
    walk.run(part)
    return walk.found


def _office_sheets(parts: Mapping[str, bytes]) -> Iterator[Sheet]:
    targets = {
        each["Id"]: posixpath.normpath(posixpath.join("/xl", each["Target"])).lstrip("/")
        for each in _listed(parts["xl/_rels/workbook.xml.rels"], "Relationship")
    }
    for each in _listed(parts[_BOOK], "sheet"):
        part = parts[targets[_attribute({key: value for key, value in each.items() if ":" in key}, "id")]]
        walk = _OfficeSheet(each["name"])
        walk.run(part)
        yield walk.sheet


class _OfficeSheet(_Walk):
    """One sheet; a cell without a reference stands right of the one before."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.sheet = Sheet(name)
        self.row, self.column = -1, -1
        self.kind = ""
        self.formula: str | None = None

    def start(self, name: str, given: dict[str, str]) -> None:
        if name == "c":
            self._cell(given)
        elif name == "row":
            self.row = int(given["r"]) - 1 if "r" in given else self.row + 1
            self.column = -1
            self.sheet.hidden |= given.get("hidden") in ("1", "true")
        elif name == "col":
            self.sheet.hidden |= given.get("hidden") in ("1", "true")
        elif name == "mergeCell":
            self.sheet.merged.append(given["ref"].partition(":")[0])
        self.text.clear()

    def _cell(self, given: Mapping[str, str]) -> None:
        self.kind, self.formula = given.get("t", "n"), None
        self.column += 1
        if "r" in given:
            match = _REFERENCE.fullmatch(given["r"])
            if match is None:
                raise ValueError(given["r"])
            number = 0
            for letter in match[1]:
                number = number * 26 + ord(letter) - ord("A") + 1
            self.row, self.column = int(match[2]) - 1, number - 1

    def end(self, name: str) -> None:
        if name not in ("f", "v", "t"):
            return
        text, at = self.take(), (self.row, self.column)
        if name == "f":
            self.sheet.formulas[at] = text
        elif text.strip():
            self.sheet.fill(*at)
            if self.kind == "e":
                self.sheet.errors[at] = text


# ── ISO/IEC 26300 ───────────────────────────────────────────────────────────────────────────────────────────


def _open_sheets(parts: Mapping[str, bytes]) -> list[Sheet]:
    walk = _OpenSheets()
    walk.run(parts[_CONTENT])
    return walk.sheets


class _OpenSheets(_Walk):
    """All sheets; rows and cells that repeat are written once with their number."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: list[Sheet] = []
        self.row, self.rows, self.column = 0, 0, 0
        self.depth = 0

    def start(self, name: str, given: dict[str, str]) -> None:
        self.text.clear()
        if name == "table":
            self.depth += 1
            if self.depth == 1:
                self.sheets.append(Sheet(_attribute(given, "name")))
                self.row, self.rows = 0, 0
        elif self.depth != 1:
            return
        elif name == "table-row":
            self.row += self.rows
            self.rows, self.column = _repeated(given, "number-rows-repeated"), 0
            self._hide(given)
        elif name == "table-column":
            self._hide(given)
        elif name in ("table-cell", "covered-table-cell"):
            self._cell(given)

    def end(self, name: str) -> None:
        if name == "table":
            self.depth -= 1

    def _hide(self, given: Mapping[str, str]) -> None:
        self.sheets[-1].hidden |= _attribute(given, "visibility") in _HIDDEN

    def _cell(self, given: Mapping[str, str]) -> None:
        sheet, at = self.sheets[-1], (self.row, self.column)
        count = _repeated(given, "number-columns-repeated")
        self.column += count
        if any(_repeated(given, f"number-{each}-spanned") > 1 for each in ("columns", "rows")):
            sheet.merged.append(cell_name(*at))
        formula = _attribute(given, "formula")
        if formula:
            sheet.formulas[at] = formula
        if any(_local(key) == "value-type" for key in given):
            sheet.fill(self.row + self.rows - 1, self.column - 1, count * self.rows)
        if any(key.startswith("calcext:") and value == "error" for key, value in given.items()):
            sheet.errors[at] = "an error"


def _repeated(given: Mapping[str, str], name: str) -> int:
    return int(_attribute(given, name) or 1)
