"""Pull logs as gauges write them: uneven, with commas, by the clock, without times, with what is missing."""

from array import array

import pytest

from evidence.errors import InputError
from evidence.exhibits import pull_log, table
from evidence.exhibits._answer import Answer
from evidence.exhibits.pull_log import PullColumn, PullLog
from evidence.model.exhibit import Table
from evidence.quantity import UNITS, Dimension

HAND = b"Zeit [s];Kraft [kN];Weg [mm]\n0,0;0,0;0,1\n0,9;4,2;3,0\n2,1;10,1;8,4\n2,2;10,0;8,4\n9,0;0,1;1,2\n"


def read(text: bytes) -> PullLog:
    answer: Answer = table.answer(text, "E1.csv")
    found = Table.read(answer.value["table"])
    columns = tuple(tuple(blob.decode().split("\n")) for blob in answer.blobs)
    return pull_log.of_table(found, columns, "E1.csv")


def refused(text: bytes) -> tuple[str, dict[str, str]]:
    with pytest.raises(InputError) as caught:
        read(text)
    problem = caught.value.problems[0]
    assert problem.where == "E1.csv"
    return problem.code, dict(problem.parameters)


def test_uneven_rows_are_a_log() -> None:
    log = read(HAND)

    assert log.times_s is not None
    assert list(log.times_s) == [0, 0.9, 2.1, 2.2, 9]
    assert [(one.name, one.unit, one.dimension) for one in log.columns] == [
        ("Kraft", "kN", Dimension.FORCE),
        ("Weg", "mm", Dimension.LENGTH),
    ]
    assert list(log.columns[0].values) == [0, 4.2, 10.1, 10, 0.1]
    assert (log.tick_s, log.notices) == (0, ())


@pytest.mark.parametrize("name", ["Kraft", "kraft", "Kraft [kN]", "1"])
def test_a_column_is_found_by_heading_or_place(name: str) -> None:
    log = read(HAND)

    assert log.column(name) is log.columns[0]


@pytest.mark.parametrize("name", ["Zeit", "0", "3", "force", "", "99999"])
def test_what_is_no_column_is_not_found(name: str) -> None:
    assert read(HAND).column(name) is None


def test_of_two_columns_of_one_name_the_unit_or_the_place_tells() -> None:
    # a table with two equal headings is refused before; the channels of a set may share a name
    one, other = (PullColumn("force", unit, Dimension.FORCE, array("d", [1.0, 2.0])) for unit in ("N", "kN"))
    log = PullLog((one, other))

    assert log.column("force") is None
    assert log.column("force [kN]") is log.column("2") is log.columns[1]


def test_times_in_other_units_become_seconds() -> None:
    log = read(b"time [ms];F [N]\n0;1\n250;2\n1000;3\n")

    assert log.times_s is not None
    assert list(log.times_s) == [0, 0.25, 1]


def test_a_second_clock_is_no_channel() -> None:
    assert [one.name for one in read(b"t [s];F [N];since noon [h]\n0;1;2\n1;2;2\n").columns] == ["F"]


def test_a_log_without_times_keeps_force_and_travel() -> None:
    log = read(b"travel [mm];force [N]\n0,0;12,0\n0,5;13,5\n")

    assert log.times_s is None
    assert log.notices == ("pull-no-times",)
    assert [one.unit for one in log.columns] == ["mm", "N"]


def test_times_of_day_are_told() -> None:
    log = read(b"time;force [N]\n10:00:01;12.5\n10:00:02;13.5\n")

    assert (log.times_s, log.notices) == (None, ("pull-clock-times",))


def test_rows_that_share_a_printed_time_are_told_with_its_last_digit() -> None:
    log = read(b"time [s];force [N]\n0.0;1\n0.1;2\n0.1;3\n0.2;4\n")

    assert log.tick_s == pytest.approx(0.1)
    assert log.notices == ("pull-times-repeat",)


def test_times_that_run_backwards_are_refused_with_their_row() -> None:
    code, told = refused(b"time [s];force [N]\n0;1\n2;2\n1.5;3\n")

    assert (code, told) == ("pull-time-backwards", {"found": "1.5", "before": "2", "row": "3"})


def test_times_without_a_unit_are_refused() -> None:
    assert refused(b"time;force [N]\n0;1\n2;2\n") == ("channel-time-unit", {"column": "time"})


def test_one_row_is_no_log() -> None:
    assert refused(b"time [s];force [N]\n0;1\n")[0] == "channel-one-sample"


def test_times_alone_are_no_log() -> None:
    assert refused(b"time [s];elapsed [min]\n0;0\n60;1\n")[0] == "channel-none"


@pytest.mark.parametrize(
    ("heading", "unit", "dimension"),
    [
        ("F", "", None),
        ("F [kp]", "kp", None),
        ("F [KN]", "kN", Dimension.FORCE),
        ("F [lbf]", "lbf", Dimension.FORCE),
    ],
)
def test_units_are_kept_as_spelled_or_known(heading: str, unit: str, dimension: Dimension | None) -> None:
    column = read(f"t [s];{heading}\n0;1\n1;2\n".encode()).columns[0]

    assert (column.unit, column.dimension) == (unit, dimension)


def test_2200_pound_force_are_9786_newtons() -> None:
    # computed independently from definitions: pound 0.45359237 kg, standard gravity 9.80665 m/s2
    assert float(2200 * UNITS["lbf", Dimension.FORCE].factor) == pytest.approx(9786.0875, abs=1e-4)
