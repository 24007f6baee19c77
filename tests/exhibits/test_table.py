"""Tables: numbers exactly as written, delimiter and decimal mark decided once, every doubt refused with its place."""

import csv
import io
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.errors import InputError, Problem
from evidence.exhibits import sniff, table
from evidence.exhibits._grid import TableReading
from evidence.quantity import read_decimal
from tests.exhibits.files import told

WHERE = "tests/E020.csv"
REAL_CHANNELS = Path(__file__).parents[3] / "shared" / "data" / "nhtsa-10146"


def parse(text: str | bytes) -> TableReading:
    return table.parse(text.encode() if isinstance(text, str) else text, WHERE)


def columns(text: str) -> list[tuple[str, str | None]]:
    return [(column.name, column.unit) for column in parse(text).table.columns]


def problems(text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        parse(text)
    assert all(told(problem) for problem in caught.value.problems)
    return caught.value.problems


def places(text: str | bytes) -> list[tuple[str, str]]:
    return [(problem.code, problem.where.removeprefix(WHERE)) for problem in problems(text)]


def test_plain_table() -> None:
    """Point, comma as delimiter, units in brackets."""
    reading = parse("time [s],force [N]\n0.00,12.50\n0.01,-3\n")

    assert [(column.name, column.unit) for column in reading.table.columns] == [("time", "s"), ("force", "N")]
    assert reading.values == (("0.00", "0.01"), ("12.50", "-3"))
    assert reading.table.rows == 2


@pytest.mark.parametrize(
    "text",
    [
        "t [s];F [kN]\n0,5;1,25\n1,5;-2\n",
        "t [s]\tF [kN]\n0,5\t1,25\n1,5\t-2\n",
        't [s],F [kN]\n"0,5","1,25"\n"1,5",-2\n',
        "t [s],F [kN]\r\n0.5,1.25\r\n1.5,-2\r\n",
        "t [s];F [kN]\r0.5;1.25\r1.5;-2",
        "\ufefft [s];F [kN]\n0.5;1.25\n\n1.5;-2\n\n",
        "t [s] ; F [kN] ;\n 0.5 ; 1.25 ;\n 1.5 ; -2 ;\n",
        "t [s];F [kN]\n0,5;1,25\n1,5;-2\n;\n;\n",
        "t [s];F [kN]\n+0,5;1,25\n1,5;\u22122\n",
        "t [s];F [kN]\n.5;12.5e-1\n15E-1;-0.2e1\n",
        "t;F\ns;kN\n0,5;1,25\n1,5;-2\n",
        "t;F\n[s];[kN]\n0,5;1,25\n1,5;-2\n",
    ],
)
def test_same_numbers_in_many_dresses(text: str) -> None:
    """Delimiters, marks, quotes, line ends, byte-order mark, blank lines and a row of units all read the same."""
    reading = parse(text)

    assert [(column.name, column.unit) for column in reading.table.columns] == [("t", "s"), ("F", "kN")]
    numbers = [[Fraction(value) for value in column] for column in reading.values]
    assert [[Fraction(1, 2), Fraction(3, 2)], [Fraction(5, 4), Fraction(-2)]] == numbers


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("time [s]", "time", "s"),
        ("time (s)", "time", "s"),
        ("time / s", "time", "s"),
        ("s", "s", "s"),
        ("[s]", "s", "s"),
        ("acceleration [m/s2]", "acceleration", "m/s²"),
        ("acceleration (m/(s*s))", "acceleration", "m/s²"),
        ("torque (Nm)", "torque", "N·m"),
        ("force (left)", "force (left)", None),
        ("force left [N]", "force left", "N"),
        ("ratio [-]", "ratio", None),
        ("count", "count", None),
        ("min", "min", None),
        ("duration [min]", "duration", "min"),
    ],
)
def test_units_in_headings(heading: str, name: str, unit: str | None) -> None:
    """Brackets, parentheses and slashes hold units; words in parentheses need not."""
    assert [(name, unit), ("x", None)] == columns(f"{heading};x\n1;2\n")


def test_unknown_unit_is_kept_with_a_warning() -> None:
    """A unit of no table of ours stays as written, and somebody is told."""
    reading = parse("pressure [bar];x\n1;2\n")

    assert (reading.table.columns[0].unit, reading.warnings) == ("bar", ("table-unit-unknown",))


def test_one_column_has_no_delimiter() -> None:
    """A single column may have decimal commas."""
    assert parse("force [N]\n1,5\n2,25\n").values == (("1.5", "2.25"),)


def test_digits_stay_as_written() -> None:
    """Zeros at the end are a statement about resolution; nothing passes through a float."""
    assert parse("a;b\n0.10;1\n12345678901234567.890;2\n").values == (
        ("0.10", "12345678901234567.890"),
        ("1", "2"),
    )


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("1E3", "1000"),
        ("-1.50e-3", "-0.00150"),
        ("12345678901234567890.5e2", "1234567890123456789050"),
        ("1e-19", "0." + "0" * 18 + "1"),
    ],
)
def test_powers_of_ten_are_written_out(written: str, kept: str) -> None:
    """Scientific notation becomes plain digits, exactly."""
    ((value,), _) = parse(f"a;b\n{written};1\n").values

    assert kept == value
    assert Fraction(written) == read_decimal(value)


def test_one_clear_comma_settles_the_file() -> None:
    """Where one comma cannot part thousands, none does."""
    assert parse("t;x\n0,001;5\n1,250;6\n").values == (("0.001", "1.250"), ("5", "6"))


def test_ambiguous_comma_is_refused() -> None:
    """If every comma may part thousands, nobody guesses."""
    (problem,) = problems("F [N];x\n1,250;5\n2,500;6\n")

    assert ("table-comma-ambiguous", f"{WHERE}:2") == (problem.code, problem.where)
    assert problem.parameters == {"found": "1,250", "decimal": "1.250", "grouped": "1250"}


def test_both_decimal_marks_are_refused() -> None:
    """A file has one decimal mark."""
    (problem,) = problems("F [N];x\n1,25;5\n2.5;6\n")

    assert ("table-decimal-mixed", f"{WHERE}:3") == (problem.code, problem.where)
    assert problem.parameters == {"found": "2.5", "other": "1,25", "line": "2"}


def test_decimal_commas_with_comma_delimiter_do_not_fit_the_heading() -> None:
    """Unquoted decimal commas between commas give rows of the wrong length, each named."""
    assert places("t [s],F [N]\n0,5,1,5\n1,5,2,5\n") == [
        ("table-row-length", ":2"),
        ("table-row-length", ":3"),
    ]


def test_mixed_delimiters_are_refused() -> None:
    """A row delimited otherwise does not fit."""
    (problem,) = problems("a;b\n1;2\n3,4\n")

    assert (problem.code, problem.parameters) == ("table-row-length", {"found": "1", "expected": "2"})


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("", "table-cell-blank"),
        ("  ", "table-cell-blank"),
        ("NaN", "table-cell-not-finite"),
        ("-inf", "table-cell-not-finite"),
        ("#DIV/0!", "table-cell-not-finite"),
        ("n/a", "table-cell-not-finite"),
        ("=1+1", "table-cell-formula"),
        ("@SUM(A1)", "table-cell-formula"),
        ("+1+cmd|' /C calc'!A0", "table-cell-number"),
        ("1 234", "table-cell-grouped"),
        ("0.123.456", "table-cell-grouped"),
        ("1.234.567,8.9", "table-cell-number"),
        ("2026-03-04", "table-cell-date"),
        ("2026-03-04 12:30", "table-cell-date"),
        ("04.03.2026", "table-cell-date"),
        ("3/4/2026", "table-cell-date"),
        ("3/4", "table-cell-date"),
        ("Mar 4", "table-cell-date"),
        ("4. M\u00e4rz", "table-cell-date"),
        ("04-Mar-26", "table-cell-date"),
        ("12:30", "table-cell-date"),
        ("Max 4", "table-cell-number"),
        ("ok", "table-cell-number"),
        ("12 N", "table-cell-number"),
        ("0x10", "table-cell-number"),
        ("1e20", "table-cell-number"),
        ("\u0661", "table-cell-number"),
        (".", "table-cell-number"),
        ("-", "table-cell-number"),
        ("1e", "table-cell-number"),
        ("9" * 21, "table-cell-number"),
    ],
)
def test_bad_cell_names_line_and_column(cell: str, code: str) -> None:
    """Whatever is no finite number is named by line and heading."""
    (problem,) = problems(f"time [s];force [N]\n0;1\n1;{cell}\n2;3\n")

    assert (code, f"{WHERE}:3", "force") == (problem.code, problem.where, problem.parameters["column"])


def test_line_numbers_count_lines_of_the_file() -> None:
    """Blank lines and line breaks inside quotes move the count as an editor shows it."""
    assert places('"time\n[s]";F [N]\n\n0;1\n1;\n') == [("table-cell-blank", ":5")]


def test_all_problems_come_at_once_and_many_are_summed_up() -> None:
    """Twenty are listed, the rest are counted."""
    found = problems("a;b\n" + "1;x\n" * 100)

    assert len(found) == 21
    assert [(one.code, one.parameters["count"]) for one in found if "count" in one.parameters] == [
        ("table-more-problems", "80")
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("table-empty", "")]),
        ("\n\n \n", [("table-empty", "")]),
        ("a;b\n", [("table-empty", "")]),
        ("t;F\ns;kN\n", [("table-empty", "")]),
        ("0;1\n2;3\n", [("table-header-missing", ":1")]),
        ("a;;c\n1;2;3\n", [("table-header-blank", ":1")]),
        ("a;a [N]\n1;2\n", [("table-header-twice", ":1")]),
        ('a;b\n1;"2\n3;4\n', [("table-malformed", ":3")]),
        ('a;b\n"1"x;2\n', [("table-malformed", ":2")]),
        ("a;b\n1;2\x00\n", [("table-character", ":2")]),
        ("a;b\n1;2\x1b[2J\n", [("table-character", ":2")]),
        (";".join(f"c{n}" for n in range(65)) + "\n", [("table-too-many-columns", ":1")]),
        ("a;b\ns;kN;x\n1;2\n", [("table-row-length", ":2")]),
    ],
)
def test_broken_tables(text: str, expected: list[tuple[str, str]]) -> None:
    """Each way of being no table has its code and place."""
    assert expected == places(text)


def test_older_encoding_is_read_and_told() -> None:
    """Signs of units in Windows-1252 are known; somebody is told that it was a guess."""
    reading = parse("t [s];a [m/s\u00b2];T [\u00b0]\n0;1;2\n".encode("cp1252"))

    assert [column.unit for column in reading.table.columns][:2] == ["s", "m/s\u00b2"]
    assert "table-encoding-guessed" in reading.warnings


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_unicode_text_of_spreadsheets_is_read(encoding: str) -> None:
    """UTF-16 with its mark, delimited by tabs; without the mark it is no text."""
    mark = "" if encoding == "utf-16" else "\ufeff"
    data = (mark + "t [s]\ta [m/s\u00b2]\r\n0,5\t1,25\r\n").encode(encoding)

    assert sniff.media_type(data, WHERE) == sniff.CSV
    assert parse(data).values == (("0.5",), ("1.25",))


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"t [s];\x81\n0;1\n", "0x81"),
        ("t [s];\u00e4 ".encode() + b"\xb0\n0;1\n", "0xB0"),
        (b"\xff\xfet\x00;\x00\x00\xd8", "0x00"),
    ],
)
def test_damaged_text_is_refused_with_the_line(data: bytes, found: str) -> None:
    """What no encoding explains is not guessed at."""
    (problem,) = problems(data)

    assert ("table-encoding", f"{WHERE}:1", found) == (
        problem.code,
        problem.where,
        problem.parameters["found"],
    )


@pytest.mark.parametrize(
    ("cells", "values"),
    [
        (("1.234,5", "2.000"), ("1234.5", "2000")),
        (("1,234.5", "2,000", "0.250"), ("1234.5", "2000", "0.250")),
        (("1\u00a0234,5", "12"), ("1234.5", "12")),
        (("1\u202f234,567", "-2\u202f000"), ("1234.567", "-2000")),
        (("1'234.5", "12.25"), ("1234.5", "12.25")),
        (("1\u2019234\u2019567.125", "0"), ("1234567.125", "0")),
        (("1.234.567", "1.234"), ("1234567", "1234")),
        (("1,234,567", "1.5"), ("1234567", "1.5")),
    ],
)
def test_marks_between_thousands_are_read_where_certain(
    cells: tuple[str, ...], values: tuple[str, ...]
) -> None:
    """One number that cannot be read in two ways settles the others (computed independently by hand)."""
    reading = parse("F [N];x\n" + "".join(f"{cell};1\n" for cell in cells))

    assert reading.values[0] == values
    assert reading.warnings == ("table-thousands-marks",)


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        (("1,234", "1'234"), "table-comma-ambiguous"),
        (("1.234,5", "1,234.5"), "table-thousands-mixed"),
        (("1.234.567", "1.5"), "table-decimal-mixed"),
        (("1.234", "0,5"), "table-decimal-mixed"),
        (("1.234", "1,234"), "table-decimal-mixed"),
        (("1'234.5", "1\u00a0234.5"), "table-thousands-mixed"),
    ],
)
def test_marks_that_leave_a_doubt_are_refused(cells: tuple[str, ...], code: str) -> None:
    """Nobody guesses a factor of a thousand."""
    (problem,) = problems("F [N];x\n" + "".join(f"{cell};1\n" for cell in cells))

    assert problem.code == code
    assert problem.parameters["found"] in cells


def test_first_line_names_the_delimiter() -> None:
    """A line sep=; is for programs; lines count with it."""
    assert parse("sep=,\r\na [N],b\r\n1.5,2\r\n").values == (("1.5",), ("2",))
    assert places("sep=;\na;b\n1;x\n") == [("table-cell-number", ":3")]


def test_comments_before_the_heading_are_told() -> None:
    """Comments are passed over before the heading and nowhere else; a heading may begin with their sign."""
    reading = parse('# tool 4711, "calibrated\n% x\n#;torque [Nm]\n1;34.5\n')

    assert [column.name for column in reading.table.columns] == ["#", "torque"]
    assert reading.warnings == ("table-comments-passed-over",)
    assert places("a;b\n1;2\n# left out\n") == [("table-row-length", ":3")]


def test_blank_columns_at_the_end_are_no_columns() -> None:
    """Spreadsheets export them when something once stood there."""
    assert parse("a;b;;;\n1;2;;;\n3;4\n").values == (("1", "3"), ("2", "4"))
    assert places("a;b;;\n1;2;;7\n") == [("table-header-blank", ":1"), ("table-header-blank", ":1")]


LOG = """no;screw;date;time;torque [Nm];tool serial;result;remark
1;g1-1;2026-03-04;09:12;34,5;TW-0815;OK;
2;g1-2;2026-03-04;09:13:05;35,0;4711;NOK;done again
"""


def test_torque_log_has_columns_of_words_and_times() -> None:
    """Words are read where the heading says so, counted, and none of them is kept."""
    reading = parse(LOG)

    assert [(column.name, column.kind) for column in reading.table.columns] == [
        ("no", None), ("screw", "text"), ("date", "time"), ("time", "time"), ("torque", None),
        ("tool serial", "text"), ("result", "text"), ("remark", "text"),
    ]  # fmt: skip
    assert reading.values == (("1", "2"), ("",), ("",), ("",), ("34.5", "35.0"), ("",), ("",), ("",))
    assert b"0815" not in repr(reading).encode()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("colour;F [N]\nred;1\n", [("table-cell-number", ":2")]),
        ("result [N];F [N]\nred;1\n", [("table-cell-number", ":2")]),
        ("result;F [N]\nred;1\n12.5;2\n", [("table-cell-number", ":2")]),
        ("date;F [N]\n2026-03-04;1\n04.03.2026;2\n", [("table-cell-date", ":3")]),
        ("date;F [N]\n2026-03-04;1\nlater;2\n", [("table-cell-no-date", ":3")]),
        ("date;F [N]\n2026-03-04;1\n46085;2\n", [("table-cell-serial-date", ":3")]),
        ("date;F [N]\n46085;1\n46086.5;2\n", [("table-cell-serial-date", ":2"), ("table-cell-serial-date", ":3")]),
        ("serial;lot\na;b\n", [("table-no-numbers", "")]),
    ],
)  # fmt: skip
def test_words_and_dates_in_other_places_are_refused(text: str, expected: list[tuple[str, str]]) -> None:
    """A column is words or times only by its heading and all of its cells."""
    assert places(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("serial;F [N]\n12-Mar;1\nH2-0012;2\n", [("table-cell-identifier", ":2")]),
        ("lot;F [N]\nMar-04;1\n", [("table-cell-identifier", ":2")]),
        ("tool serial;F [N]\n1.23E+11;1\n1.24E+11;2\n", [("table-cell-identifier", ":2"), ("table-cell-identifier", ":3")]),
    ],
)  # fmt: skip
def test_what_a_spreadsheet_made_of_serials_is_refused(text: str, expected: list[tuple[str, str]]) -> None:
    """A date with a month's name and a power of ten are no label's (from memory of how spreadsheets export)."""
    assert places(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "serial;F [N]\n0012;1\n0013;2\n",
        "lot;F [N]\n12-03;1\n2026-03-04;2\n",  # some lots are numbered by day
        "serial;F [N]\n12E5;1\nMAR-KING-7;2\n",
        "screw;F [N]\n1.5E+1;1\n",
        "lot date;F [N]\n2026-03-04;1\n",
    ],
)
def test_serials_that_may_be_right_are_left_alone(text: str) -> None:
    """Refused is only what no label says."""
    assert parse(text).table.rows >= 1


@pytest.mark.parametrize("text", ["time [ms];x\n46085;1\n", "time;x\n0;1\n46085;2\n", "F;x\n46085;1\n"])
def test_large_numbers_are_no_days_without_cause(text: str) -> None:
    """A unit, a zero or another heading leaves room for a measurement."""
    assert all(column.kind is None for column in parse(text).table.columns)


def test_two_hundred_thousand_rows_are_read() -> None:
    """Ten seconds at 20 kHz are an honest table."""
    reading = parse("t [s],a [g]\n" + "0.00005,-12.345\n" * 200_000)

    assert (reading.table.rows, len(reading.values[1])) == (200_000, 200_000)


def test_too_many_rows_and_bytes_are_refused() -> None:
    """Above the caps nothing is kept."""
    assert places("a;b\n" + "1;2\n" * 250_002) == [("table-too-many-rows", "")]
    assert places(b"a;b\n" + b"1;2\n" * (6 * 1024 * 1024)) == [("exhibit-too-large", "")]


def test_too_many_cells_are_refused() -> None:
    """Long and wide at once is bounded too."""
    wide = ";".join(["1"] * 64) + "\n"

    assert places(";".join(f"c{n}" for n in range(64)) + "\n" + wide * 63_000) == [
        ("table-too-many-rows", "")
    ]


NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-10_000, max_value=10_000)
ROWS = st.lists(st.tuples(NUMBERS, NUMBERS, NUMBERS), min_size=1, max_size=20)


@given(ROWS, st.sampled_from([",", ";", "\t"]), st.sampled_from(["\n", "\r\n"]))
def test_standard_csv_reader_agrees(rows: list[tuple[object, ...]], delimiter: str, end: str) -> None:
    """On a well-formed file the cells are those of the standard library's reader (computed independently with csv)."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator=end)
    writer.writerow(["t [s]", "F [N]", 'said "x"'])
    writer.writerows([[f"{value:f}" for value in row] for row in rows])
    theirs = list(csv.reader(io.StringIO(out.getvalue(), newline=""), delimiter=delimiter))[1:]

    assert [tuple(column) for column in zip(*theirs, strict=True)] == list(parse(out.getvalue()).values)


@given(st.text(alphabet='0123456789.,;-+eE"\n\t ab[]()=s\ufeff', max_size=60))
def test_any_text_ends_in_a_table_or_a_code(text: str) -> None:
    """No text gives anything but a table of decimals or an InputError."""
    values: tuple[tuple[str, ...], ...] = ()
    found: tuple[Problem, ...] = ()
    try:
        values = parse(text).values
    except InputError as error:
        found = error.problems

    assert bool(values) != bool(found)
    assert all(told(problem) for problem in found)
    assert all(read_decimal(value) is not None for column in values for value in column)


@pytest.mark.skipif(
    not REAL_CHANNELS.is_dir(), reason="the recorded crash-test channels are not beside the project"
)
def test_recorded_channels_are_read_whole() -> None:
    """Channels of a published crash test read to the last row, as the standard library counts them."""
    for path in sorted(REAL_CHANNELS.glob("*.csv")):
        data = path.read_bytes()
        reading = table.parse(data, path.name)

        assert reading.table.rows == len(list(csv.reader(io.StringIO(data.decode())))) - 1
        assert reading.table.columns[0].unit == "s"
