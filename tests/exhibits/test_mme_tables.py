"""Channels of tables: which column is the time, how it is spaced, what the others are."""

from fractions import Fraction

import pytest

from evidence.errors import InputError
from evidence.exhibits import table
from evidence.exhibits._channel import even_steps, unit_of
from evidence.exhibits.channels import ChannelSet, of_table
from evidence.phrases import hint, say
from evidence.quantity import Dimension


def read(text: str) -> ChannelSet:
    reading = table.parse(text.encode(), "pulse.csv")
    return of_table(reading.table, reading.values, "pulse.csv")


def refused(text: str) -> tuple[str, dict[str, str]]:
    with pytest.raises(InputError) as caught:
        read(text)
    (problem,) = caught.value.problems
    assert say(problem.code, problem.parameters)
    assert hint(problem.code).endswith(".")
    assert problem.where == "pulse.csv"
    return problem.code, dict(problem.parameters)


def rows(*texts: str) -> str:
    return "".join(f"{text}\n" for text in texts)


def test_seconds_and_milliseconds() -> None:
    in_s = read("time [s];sled [g]\n-0,0002;1,5\n-0,0001;2,5\n0,0000;-3,5\n").channels[0]
    in_ms = read("t [ms],sled [g]\n-0.2,1.5\n-0.1,2.5\n0.0,-3.5\n").channels[0]

    for one in (in_s, in_ms):
        assert (one.start_s, one.interval_s) == (Fraction(-1, 5000), Fraction(1, 10_000))
        assert list(one.values) == [1.5, 2.5, -3.5]
        assert (one.unit, one.dimension, one.recorded) == ("g", Dimension.ACCELERATION, "undeclared")


@pytest.mark.parametrize(
    ("heading", "interval"), [("Time_ms", "0.001"), ("t s", "1"), ("TIME SEC", "1"), ("time (msec)", "0.001")]
)
def test_times_as_programs_head_them(heading: str, interval: str) -> None:
    assert read(f"{heading},sled [g]\n0,1\n1,2\n2,3\n").channels[0].interval_s == Fraction(interval)


def test_several_channels_beside_words_and_a_second_clock() -> None:
    found = read("step,belt [N],time [s],sled [m/s2],clock [ms]\na,1,0,2,0\nb,1,0.1,2,100\n")

    assert [(one.name, one.unit, one.dimension) for one in found.channels] == [
        ("belt", "N", Dimension.FORCE),
        ("sled", "m/s²", Dimension.ACCELERATION),
    ]


@pytest.mark.parametrize(
    ("heading", "recorded", "name"),
    [
        ("sled CFC 60 [g]", "60", "sled CFC 60"),
        ("sled_cfc180 [g]", "180", "sled_cfc180"),
        ("sled unfiltered [g]", "unfiltered", "sled unfiltered"),
        ("s0sled000000acxc [g]", "180", "S0SLED000000ACXC"),
        ("sled [g]", "undeclared", "sled"),
        ("sled CFC 6000 [g]", "undeclared", "sled CFC 6000"),
    ],
)
def test_a_heading_may_say_the_filter(heading: str, recorded: str, name: str) -> None:
    (one,) = read(f"time [s],{heading}\n0,1\n0.1,1\n").channels

    assert (one.recorded, one.name) == (recorded, name)


def test_units_that_nobody_knows_are_told_and_the_numbers_kept() -> None:
    found = read("time [s],pressure [bar],count\n0,1,7\n0.1,1,7\n")

    assert [(each.code, dict(each.parameters)) for each in found.problems] == [
        ("channel-unit-unknown", {"column": "pressure", "found": "bar"}),
        ("channel-unit-missing", {"column": "count"}),
    ]
    assert [(one.unit, one.dimension) for one in found.channels] == [("bar", None), ("", None)]
    assert all(say(each.code, each.parameters) and hint(each.code) for each in found.problems)


def test_what_is_no_table_of_channels() -> None:
    assert refused("force [N],sled [g]\n1,2\n1,2\n") == ("channel-no-time", {"found": "force, sled"})
    assert refused("time,sled [g]\n1,2\n2,2\n") == ("channel-time-unit", {"column": "time"})
    assert refused("time [s],sled [g]\n1,2\n") == ("channel-one-sample", {"found": "1", "expected": "2"})
    assert refused("time [s],clock [ms]\n0,0\n1,1000\n") == ("channel-none", {})


def test_times_out_of_step() -> None:
    code, parameters = refused(rows("time [s],a [g]", "0.000,1", "0.001,1", "0.002,1", "0.004,1", "0.005,1"))

    assert code == "channel-uneven"
    assert parameters == {"found": "0.004", "before": "0.002", "row": "4"}
    assert refused(rows("time [s],a [g]", "0.1,1", "0.1,1"))[1] == {
        "found": "0.1",
        "before": "0.1",
        "row": "2",
    }
    assert refused(rows("time [s],a [g]", "0.2,1", "0.1,1", "0.0,1"))[1]["row"] == "2"


@pytest.mark.parametrize(
    ("hertz", "decimals"),
    [(10_000, 5), (12_800, 6), (20_000, 5), (12_800, 5), (1000, 3), (100_000, 7), (8000, 6)],
)
def test_rounded_times_are_even(hertz: int, decimals: int) -> None:
    texts = [f"{at / hertz - 0.05:.{decimals}f}" for at in range(4000)]
    steps = even_steps([float(text) for text in texts], (Fraction(texts[0]), Fraction(texts[-1])), decimals)

    assert not isinstance(steps, int)
    assert float(steps[1]) == pytest.approx(1 / hertz, rel=1e-4)


def test_times_with_the_noise_of_single_precision_are_even() -> None:
    texts = [f"{at * 0.0001 * (1 + (-1) ** at * 6e-8):.12f}" for at in range(3000)]
    steps = even_steps([float(text) for text in texts], (Fraction(texts[0]), Fraction(texts[-1])), 12)

    assert not isinstance(steps, int)
    assert float(steps[1]) == pytest.approx(1e-4, rel=1e-6)


def test_one_sample_that_was_lost_is_found() -> None:
    times = [at * 1e-4 for at in range(4000) if at != 2000]
    found = [even_steps(times, (Fraction(0), Fraction(3999, 10_000)), decimals) for decimals in (4, 5, 9)]

    assert found == [2000, 2000, 2000]


@pytest.mark.parametrize(
    ("spelling", "dimension", "expected"),
    [
        ("G", None, ("g", Dimension.ACCELERATION)),
        ("g", Dimension.ACCELERATION, ("g", Dimension.ACCELERATION)),
        ("M/(S*S)", None, ("m/s²", Dimension.ACCELERATION)),
        ("MM", None, ("mm", Dimension.LENGTH)),
        ("Km/H", None, ("km/h", Dimension.SPEED)),
        ("N", Dimension.ACCELERATION, ("N", None)),
        ("kNm", None, ("kN·m", Dimension.TORQUE)),
        ("", None, ("", None)),
        ("furlong", None, ("furlong", None)),
    ],
)
def test_units_as_laboratories_spell_them(
    spelling: str, dimension: Dimension | None, expected: tuple[str, Dimension | None]
) -> None:
    assert unit_of(spelling, dimension) == expected
