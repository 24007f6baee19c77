"""Tables of text: CSV with one heading row, as laboratories, torque tools and spreadsheets export it.

Delimiter and decimal mark are decided once for the whole file, from what stands in it; where two readings are
possible the file is refused, because a wrong guess moves a number by a factor of a thousand.
"""

import codecs
import csv
import io
import re
from collections.abc import Sequence

from evidence.exhibits._answer import Answer, quoted, refuse
from evidence.exhibits._grid import MAX_BYTES, MAX_CELLS, Row, TableReading, read
from evidence.model.exhibit import MAX_TABLE_COLUMNS, MAX_TABLE_ROWS

DELIMITERS = ("\t", ";", ",")  # the first that splits the heading row; a comma may also be a decimal mark
ENCODING_GUESSED = "table-encoding-guessed"
COMMENTS = "table-comments-passed-over"

_BLANK = re.compile(r"(?:[ \t\r]*\n)+")
_SEPARATOR = re.compile(r"sep=(?P<delimiter>[;,\t])\s*", re.IGNORECASE)
_COMMENT = re.compile(r"(?:#[ \t]*[^\W\d_]|%|//)")  # not "#;torque": there # is a heading


def answer(data: bytes, where: str) -> Answer:
    """Read a table; see ``TableReading.answer``.

    Raises:
        InputError: as ``parse``.
    """
    return parse(data, where).answer()


def parse(data: bytes, where: str) -> TableReading:
    """Read a CSV file.

    The first row is the heading, ``time [s]``, ``time (s)``, ``time / s`` or ``s``; a second row of units is
    taken too. Comments before the heading and a first line ``sep=;`` are passed over. Numbers have a decimal point
    or a decimal comma, the same in the whole file; marks between thousands are taken where no number can be read
    in two ways.

    Args:
        data: the whole file: UTF-8, UTF-16 with its mark, or Windows-1252.
        where: name for messages; a problem in a row is at ``where:line``.

    Raises:
        InputError: with every problem of one kind found: exhibit-too-large, table-encoding, table-character,
            table-malformed, table-too-many-columns, table-too-many-rows, and as ``_grid.read``.
    """
    text, noticed = _text(data, where)
    lines, delimiter, comments = _prepared(text)
    rows = _rows(lines, delimiter, where)
    noticed += [COMMENTS] if comments else []
    return read(rows, where, lambda line, _: _at(where, line), noticed)


def _text(data: bytes, where: str) -> tuple[str, list[str]]:
    if len(data) > MAX_BYTES:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(MAX_BYTES))
    noticed: list[str] = []
    try:
        if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            text = data.decode("utf-16")
        else:
            text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        text = _windows(data, error, where)
        noticed.append(ENCODING_GUESSED)
    found = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    if found:
        refuse("table-character", _at(where, text.count("\n", 0, found.start()) + 1), found=quoted(found[0]))
    return text, noticed


def _windows(data: bytes, error: UnicodeDecodeError, where: str) -> str:
    """The text in the usual encoding of older programs, where nothing in it says that it is a damaged other one."""
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        text = ""
    beyond = set(data.decode("utf-8", "replace")) - {"\ufffd"}
    if not text or error.encoding.startswith("utf-16") or any(one > "\x7f" for one in beyond):
        line = data.count(b"\n", 0, error.start) + 1
        refuse("table-encoding", _at(where, line), found=f"0x{data[error.start]:02X}")
    return text


def _at(where: str, line: int) -> str:
    return f"{where}:{line}"


def _prepared(text: str) -> tuple[str, str | None, bool]:
    """The text with blank lines for what is passed over, so that lines count as an editor shows them.

    Returns:
        The text, the delimiter that its first line names, and whether there were comments.
    """
    delimiter: str | None = None
    comments = False
    at = lines = 0
    if "\n" not in text:
        text = text.replace("\r", "\n")  # line ends of an age ago
    while at < len(text):
        blank = _BLANK.match(text, at)
        if blank:
            at, lines = blank.end(), lines + blank[0].count("\n")
            continue
        end = text.find("\n", at) + 1 or len(text)
        line = text[at:end]
        separator = _SEPARATOR.fullmatch(line) if at == 0 else None
        if separator:
            delimiter = separator["delimiter"]
        elif _COMMENT.match(line):
            comments = True
        else:
            break
        at, lines = end, lines + 1
    return "\n" * lines + text[at:], delimiter, comments


def _rows(text: str, named: str | None, where: str) -> Sequence[Row]:
    """Every row that holds something, its cells stripped."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=named or _delimiter(text), strict=True)
    rows: list[Row] = []
    cells = 0
    try:
        for cells_read in reader:
            if not cells_read:
                continue
            row = Row(reader.line_num, tuple(cell.strip(" \t\r\n\f\v") for cell in cells_read))
            cells += len(row.cells)
            _check_caps(row, len(rows), cells, where)
            rows.append(row)
    except csv.Error:
        refuse("table-malformed", _at(where, reader.line_num))
    return rows


def _delimiter(text: str) -> str:
    heading = next((line for line in io.StringIO(text, newline=None) if line.strip()), "")
    for delimiter in DELIMITERS:
        if len(next(csv.reader([heading], delimiter=delimiter), [])) > 1:
            return delimiter
    return ";"  # one column; whatever stands in its rows, a comma is then decimal


def _check_caps(row: Row, rows: int, cells: int, where: str) -> None:
    if len(row.cells) > MAX_TABLE_COLUMNS:
        refuse(
            "table-too-many-columns",
            _at(where, row.line),
            found=str(len(row.cells)),
            limit=str(MAX_TABLE_COLUMNS),
        )
    if rows > MAX_TABLE_ROWS or cells > MAX_CELLS:
        refuse("table-too-many-rows", where, limit=str(MAX_TABLE_ROWS), cells=str(MAX_CELLS))
