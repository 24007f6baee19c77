"""Workbooks: the values that their program stored, each doubt with the name of its cell, and no bomb goes off."""

import datetime as dt
import io
import struct
import zipfile
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from xml.sax.saxutils import escape

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence import exhibits
from evidence.errors import InputError, Problem
from evidence.exhibits import reading, sniff, workbook
from evidence.exhibits._grid import TableReading
from evidence.guard import Guard
from evidence.quantity import read_decimal
from tests.exhibits.files import told

WHERE = "tests/E020.xlsx"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
OASIS = "urn:oasis:names:tc:opendocument:xmlns"

Rows = Sequence[Sequence[object]]


def zipped(parts: Mapping[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as writer:
        for name, part in parts.items():
            kind = zipfile.ZIP_STORED if name == "mimetype" else zipfile.ZIP_DEFLATED
            writer.writestr(name, part, kind)
    return out.getvalue()


def xlsx_parts(*sheets: str, hidden: Sequence[int] = ()) -> dict[str, str | bytes]:
    """A workbook written out by hand (from memory of ISO/IEC 29500-1, SpreadsheetML)."""
    state = ("", ' state="hidden"')
    listed = "".join(
        f'<sheet name="S{at}" sheetId="{at}" r:id="r{at}"{state[at in hidden]}/>'
        for at in range(1, len(sheets) + 1)
    )
    targets = "".join(
        f'<Relationship Id="r{at}" Type="{RELATIONS}/worksheet" Target="worksheets/sheet{at}.xml"/>'
        for at in range(1, len(sheets) + 1)
    )
    targets += f'<Relationship Id="s" Type="{RELATIONS}/styles" Target="styles.xml"/>'
    start = f'<Relationship Id="a" Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/>'
    styles = '<cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs>'
    return {
        "[Content_Types].xml": "<Types/>",
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}">{start}</Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><sheets>{listed}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}">{targets}</Relationships>',
        "xl/styles.xml": f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>',
        **{f"xl/worksheets/sheet{at}.xml": sheet for at, sheet in enumerate(sheets, 1)},
    }


def sheet(rows: Rows, *, before: str = "", after: str = "", row_extra: str = "") -> str:
    """Text becomes text in place, a tuple of type and inner markup becomes that, all else a number."""
    lines = []
    for number, row in enumerate(rows, 1):
        cells = "".join(_cell(cell) for cell in row)
        lines.append(f'<row r="{number}" {row_extra if number == 2 else ""}>{cells}</row>')
    return f'<worksheet xmlns="{MAIN}">{before}<sheetData>{"".join(lines)}</sheetData>{after}</worksheet>'


def _cell(cell: object) -> str:
    if cell is None:
        return "<c/>"
    if isinstance(cell, str):
        return f'<c t="inlineStr"><is><t>{escape(cell)}</t></is></c>'
    if isinstance(cell, tuple):
        return f"<c {cell[0]}>{cell[1]}</c>"
    return f"<c><v>{cell!r}</v></c>"


def xlsx(rows: Rows, **more: str) -> bytes:
    return zipped(xlsx_parts(sheet(rows, **more)))


def ods(cells: str, *, manifest: str = "", columns: str = "") -> bytes:
    """A workbook written out by hand (from memory of ISO/IEC 26300)."""
    names = " ".join(f'xmlns:{each}="{OASIS}:{each}:1.0"' for each in ("office", "table", "text"))
    names += ' xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
    body = f'<table:table table:name="A">{columns}{cells}</table:table>'
    return zipped(
        {
            "mimetype": sniff.ODS,
            "META-INF/manifest.xml": f"<manifest>{manifest}</manifest>",
            "content.xml": f"<office:document-content {names}><office:body><office:spreadsheet>{body}"
            "</office:spreadsheet></office:body></office:document-content>",
        }
    )


def ods_row(*cells: object, more: str = "") -> str:
    return f"<table:table-row>{''.join(map(_open_cell, cells))}{more}</table:table-row>"


def _open_cell(cell: object) -> str:
    if isinstance(cell, str):
        return f'<table:table-cell office:value-type="string"><text:p>{cell}</text:p></table:table-cell>'
    return f'<table:table-cell office:value-type="float" office:value="{cell}"/>'


def parse(data: bytes) -> TableReading:
    return workbook.parse(data, WHERE)


def problems(data: bytes) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        parse(data)
    assert all(told(problem) for problem in caught.value.problems)
    return caught.value.problems


def places(data: bytes) -> list[tuple[str, str]]:
    return [(problem.code, problem.where.removeprefix(WHERE)) for problem in problems(data)]


HEAD = ("time [s]", "F [N]")


@pytest.mark.parametrize(
    "data",
    [
        xlsx([HEAD, (0, 12.5), (0.25, -3)]),
        xlsx([HEAD, (0, 12.5), (None, None), (0.25, -3), (None, None)]),
        ods(ods_row(*HEAD) + ods_row(0, 12.5) + ods_row(0.25, -3)),
        ods(
            ods_row(*HEAD, more='<table:table-cell table:number-columns-repeated="16382"/>')
            + ods_row(0, 12.5)
            + ods_row(0.25, -3)
            + '<table:table-row table:number-rows-repeated="1048000"><table:table-cell '
            'table:number-columns-repeated="16384"/></table:table-row>'
        ),
    ],
)
def test_both_formats_read_alike(data: bytes) -> None:
    reading = parse(data)

    assert [(column.name, column.unit) for column in reading.table.columns] == [("time", "s"), ("F", "N")]
    assert reading.values == (("0", "0.25"), ("12.5", "-3"))
    assert reading.warnings == ()


def test_a_workbook_becomes_an_item_of_the_kind_table() -> None:
    """Read in the guard's child, as evidence is."""
    data = xlsx([HEAD, (0, 1)])
    with Guard() as guard:
        found = reading.read(data, WHERE, "E020", reader=guard.run)

    assert (found.item.kind, found.item.media_type) == ("table", sniff.XLSX)
    assert found.values == (("0",), ("1",))
    opened = reading.read(ods(ods_row(*HEAD) + ods_row(1, 2)), "a.ods", "E1", reader=exhibits.call)
    assert (opened.item.media_type, opened.item.warnings) == (sniff.ODS, ())


@pytest.mark.parametrize(
    ("stored", "kept"),
    [
        ("0.1", "0.1"),
        ("0.30000000000000004", "0.3"),
        ("1.1000000000000001", "1.1"),
        ("1E-7", "0.0000001"),
        ("34.5", "34.5"),
        ("100", "100"),
        ("-2.5E+3", "-2500"),
        ("0.33333333333333331", "0.333333333333333"),
    ],
)
def test_binary_numbers_become_short_decimals(stored: str, kept: str) -> None:
    """Fifteen digits at most (what a 64-bit float carries, from memory of IEEE 754)."""
    reading = parse(xlsx([HEAD, (1, ("", f"<v>{stored}</v>"))]))

    assert reading.values[1] == (kept,)
    assert ("table-digits-cut" in reading.warnings) == (stored.startswith("0.3"))


@given(
    st.lists(
        st.tuples(
            st.floats(1e-6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-9),
            st.integers(-1000, 1000),
        ),
        min_size=1,
        max_size=8,
    )
)
def test_a_second_reader_agrees(rows: list[tuple[float, int]]) -> None:
    """Numbers written and read by openpyxl are the same to fifteen digits (computed independently with openpyxl)."""
    book = openpyxl.Workbook()
    for row in (HEAD, *rows):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    theirs = list(openpyxl.load_workbook(out).active.values)[1:]

    ours = [[read_decimal(value) for value in column] for column in parse(out.getvalue()).values]
    for mine, other in zip(zip(*ours, strict=True), theirs, strict=True):
        for value, wanted in zip(mine, other, strict=True):
            assert abs(value - Fraction(wanted)) <= abs(Fraction(wanted)) / 10**14


def test_dates_of_a_second_writer_are_dates() -> None:
    """Date cells make a column of times under such a heading, and are refused among numbers."""
    book = openpyxl.Workbook()
    for row in (("date", "F [N]"), (dt.date(2026, 3, 4), 1), (dt.datetime(2026, 3, 4, 9), 2)):  # noqa: DTZ001
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    assert [column.kind for column in parse(out.getvalue()).table.columns] == ["time", None]

    book.active["B2"] = dt.date(2026, 4, 3)
    out = io.BytesIO()
    book.save(out)
    (problem,) = problems(out.getvalue())
    assert (problem.code, problem.where) == ("table-cell-date", f"{WHERE}:B2")
    assert problem.parameters["found"] == "2026-04-03"


@pytest.mark.parametrize(
    ("cell", "code", "found"),
    [
        ("0.5", "table-cell-text", "0.5"),
        ("ok", "table-cell-text", "ok"),
        (None, "table-cell-blank", ""),
        (('t="b"', "<v>1</v>"), "table-cell-truth", "TRUE"),
        (('t="e"', "<f>1/0</f><v>#DIV/0!</v>"), "table-cell-not-finite", "#DIV/0!"),
        (('s="1"', "<v>46115</v>"), "table-cell-date", "2026-04-03"),
        (("", "<f>A2*2</f>"), "table-cell-formula", "=A2*2"),
        (("", "<v>1E+300</v>"), "table-cell-number", "1e+300"),
    ],
)
def test_bad_cells_are_named_as_the_spreadsheet_names_them(cell: object, code: str, found: str) -> None:
    (problem,) = problems(xlsx([HEAD, (0, 1), (1, cell), (2, 3)]))

    assert (code, f"{WHERE}:B3") == (problem.code, problem.where)
    assert problem.parameters == {"column": "F", "found": found}


def test_errors_of_the_other_format_are_named() -> None:
    error = '<table:table-cell office:value-type="string" calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>'

    assert places(ods(ods_row(*HEAD) + ods_row(1, more=error))) == [("table-cell-not-finite", ":B2")]


def test_days_without_a_date_format_are_noticed() -> None:
    assert places(xlsx([("date", "F [N]"), (46085, 1), (46086.5, 2)])) == [
        ("table-cell-serial-date", ":A2"),
        ("table-cell-serial-date", ":A3"),
    ]


def test_numbers_and_dates_in_place_of_serials_are_refused() -> None:
    """A workbook stores 0012 as 12 and 3-12 as a day: both are read as openpyxl writes them."""
    book = openpyxl.Workbook()
    for row in (
        ("screw", "serial", "lot", "F [N]"),
        (1, 12, "A-1", 5.5),
        (2, "0013", dt.date(2026, 12, 3), 6),
    ):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)

    assert places(out.getvalue()) == [("table-cell-identifier", ":B2"), ("table-cell-identifier", ":C3")]


def test_a_table_may_stand_away_from_the_corner() -> None:
    """Cells keep the names that the spreadsheet shows."""
    shifted = sheet([(), (None, None, *HEAD), (None, None, 1, "x")])

    assert places(zipped(xlsx_parts(shifted))) == [("table-cell-text", ":D3")]


def test_formulas_and_hidden_parts_are_told() -> None:
    formula = ("", "<f>A2*2</f><v>5</v>")

    assert parse(xlsx([HEAD, (1, formula)])).warnings == ("table-formula-values",)
    assert parse(xlsx([HEAD, (1, formula)])).values[1] == ("5",)
    hidden = {"row_extra": 'hidden="1"'}, {"before": '<cols><col min="2" max="2" hidden="1"/></cols>'}
    for more in hidden:
        assert parse(xlsx([HEAD, (1, 2)], **more)).warnings == ("table-hidden-parts",)
    empty = zipped(xlsx_parts(sheet([HEAD, (1, 2)]), sheet([]), hidden=[2]))
    assert parse(empty).warnings == ("table-hidden-parts",)
    column = '<table:table-column table:visibility="collapse"/>'
    assert parse(ods(ods_row(*HEAD) + ods_row(1, 2), columns=column)).warnings == ("table-hidden-parts",)


@pytest.mark.parametrize("hidden", [(), (2,)])
def test_several_sheets_with_data_are_named(hidden: tuple[int, ...]) -> None:
    data = zipped(xlsx_parts(sheet([HEAD, (1, 2)]), sheet([("x", "y")]), sheet([]), hidden=hidden))
    (problem,) = problems(data)

    assert (problem.code, problem.parameters) == ("table-several-sheets", {"found": "S1, S2"})


def test_merged_cells_are_named() -> None:
    merged = '<mergeCells><mergeCell ref="A2:A3"/></mergeCells>'
    assert places(xlsx([HEAD, (1, 2), (None, 3)], after=merged)) == [("table-merged-cells", ":A2")]
    spanned = (
        '<table:table-cell table:number-columns-spanned="2" office:value-type="float" office:value="1"/>'
    )
    assert places(ods(ods_row(*HEAD) + ods_row(more=spanned))) == [("table-merged-cells", ":A2")]


def test_an_empty_workbook() -> None:
    assert places(xlsx([])) == [("table-empty", "")]
    assert places(xlsx([HEAD])) == [("table-empty", "")]


def encrypted() -> bytes:
    """An archive whose first member claims to be encrypted."""
    data = bytearray(xlsx([HEAD, (1, 2)]))
    at = data.index(b"PK\x01\x02")
    struct.pack_into("<H", data, at + 8, 1)
    return bytes(data)


def lying() -> bytes:
    """An archive whose directory says that a member is smaller than it is."""
    data = bytearray(xlsx([HEAD, (1, 2)]))
    at = data.index(b"PK\x01\x02")
    struct.pack_into("<I", data, at + 24, 1)
    return bytes(data)


def _with(name: str, part: str | bytes) -> bytes:
    return zipped({**xlsx_parts(sheet([HEAD, (1, 2)])), name: part})


DECLARED = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><x>&b;</x>'
FAR = f'<worksheet xmlns="{MAIN}"><sheetData><row r="1048576"><c r="{{}}"><v>1</v></c></row></sheetData></worksheet>'
REPEATED = (
    '<table:table-row table:number-rows-repeated="{}"><table:table-cell table:number-columns-repeated="{}" '
    'office:value-type="float" office:value="1"/></table:table-row>'
)


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (lambda: b"PK\x03\x04", "workbook-damaged"),
        (lambda: xlsx([HEAD, (1, 2)])[:-40], "workbook-damaged"),
        (lying, "workbook-damaged"),
        (lambda: zipped({"x": ""}), "workbook-damaged"),
        (lambda: _with("xl/sharedStrings.xml", DECLARED), "workbook-damaged"),
        (lambda: _with("xl/WORKBOOK.xml", ""), "workbook-damaged"),
        (lambda: _with("xl/_rels/workbook.xml.rels", "<Relationships/>"), "workbook-damaged"),
        (lambda: _with("xl/worksheets/sheet1.xml", "<worksheet><sheetData>"), "workbook-damaged"),
        (lambda: _with("xl/worksheets/sheet1.xml", FAR.format("?")), "workbook-damaged"),
        (lambda: _with("xl/media/a.bin", bytes(257 * 1024 * 1024)), "workbook-too-large"),
        (encrypted, "workbook-password"),
        (lambda: ods(ods_row(*HEAD), manifest="<encryption-data/>"), "workbook-password"),
        (lambda: _with("xl/worksheets/sheet1.xml", FAR.format("XFD1048576")), "table-too-many-columns"),
        (lambda: _with("xl/worksheets/sheet1.xml", FAR.format("A1048576")), "table-too-many-rows"),
        (lambda: ods(REPEATED.format(1000000, 1)), "table-too-many-rows"),
        (lambda: ods(REPEATED.format(1, 16384)), "table-too-many-columns"),
        (lambda: ods(ods_row(*range(1, 66))), "table-too-many-columns"),
        (lambda: bytes(20 * 1024 * 1024 + 1), "exhibit-too-large"),
    ],
)
def test_bombs_and_broken_workbooks_are_refused(make: Callable[[], bytes], code: str) -> None:
    """Sizes and extents are looked at before anything is spread out in memory."""
    assert [problem.code for problem in problems(make())] == [code]


@given(st.integers(0, 10**6), st.integers(0, 255))
def test_any_changed_byte_ends_in_a_table_or_a_code(place: int, value: int) -> None:
    data = bytearray(GOOD)
    data[place % len(data)] = value
    found: tuple[Problem, ...] = ()
    values: tuple[tuple[str, ...], ...] = ()
    try:
        values = parse(bytes(data)).values
    except InputError as error:
        found = error.problems

    assert bool(values) != bool(found)
    assert all(told(problem) for problem in found)


GOOD = xlsx([HEAD, (1, 2.5), (2, ("", "<f>A2</f><v>7</v>"))])
