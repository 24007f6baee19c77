"""``inside``: a channel against a corridor, exactly, with its worst margin and where that is."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.inside import conversion
from evidence.model.names import Outcome, RestsOn
from tests.judge.builders import ask, asking, case, entry, paper, record, table

Pairs = Sequence[tuple[str, str]]
UPPER: Pairs = [("0", "10"), ("10", "20"), ("20", "20")]
LOWER: Pairs = [("5", "0"), ("15", "8")]


def points(pairs: Pairs) -> list[dict[str, str]]:
    return [{"x": x, "y": y} for x, y in pairs]


def corridor(**changes: Any) -> dict[str, Any]:
    return asking("inside", **{"x_unit": "ms", "upper": points(UPPER), "lower": points(LOWER), **changes})


def channel(pairs: Pairs, *, time: str = "ms", a: str = "g") -> Case:
    columns = tuple(x for x, _ in pairs), tuple(y for _, y in pairs)
    the_record = record(exhibits=[entry("E1", "test-channel", file="tests/E1.csv")])
    return case(the_record, items={"E1": table("E1", time=time, a=a)}, tables={"E1": columns})


@pytest.mark.parametrize(
    ("pairs", "outcome", "margin", "at"),
    [
        # computed independently with linear interpolation by hand: upper(5) = 15, lower(10) = 4
        ([("0", "5"), ("5", "10"), ("10", "10"), ("15", "12"), ("20", "15")], "met", "4", "15"),
        ([("0", "5"), ("5", "15"), ("10", "10"), ("15", "10"), ("20", "15")], "met", "0", "5"),  # touches
        ([("0", "5"), ("5", "15.000001"), ("15", "10"), ("20", "15")], "not met", "-0.000001", "5"),
        ([("0", "5"), ("10", "3.5"), ("15", "12"), ("20", "15")], "not met", "-0.5", "10"),
        ([("-5", "99"), ("0", "9"), ("5", "9"), ("15", "9"), ("20", "9"), ("25", "99")], "met", "1", "0"),
    ],
)
def test_the_worst_margin_and_where_it_is(pairs: Pairs, outcome: str, margin: str, at: str) -> None:
    found = ask(corridor(), channel(pairs))

    assert found.outcome == outcome
    assert found.reason.code == ("inside-corridor" if outcome == "met" else "outside-corridor")
    assert found.reason.parameters["margin"] == {"value": margin, "unit": "g"}
    assert found.reason.parameters["at"] == {"value": at, "unit": "ms"}
    assert found.rests_on == (RestsOn.MEASURED,)


def test_a_channel_of_few_samples_cannot_step_over_a_corner() -> None:
    # straight from (0, 10) to (20, 20) the channel is at 15 where the upper bound has its corner of 12
    criterion = corridor(upper=points([("0", "10"), ("10", "12"), ("20", "20")]), lower=[])
    found = ask(criterion, channel([("0", "10"), ("20", "20")]))

    assert (found.outcome, found.reason.parameters["margin"]) == ("not met", {"value": "-3", "unit": "g"})


def test_a_margin_just_outside_never_prints_as_nought() -> None:
    # bound 1/3 of the way: 10 + 10/3 = 13.333..., channel 13.3333334: outside by less than a printed step
    criterion = corridor(upper=points([("0", "10"), ("3", "20")]), lower=[])
    found = ask(criterion, channel([("0", "0"), ("1", "13.3333334"), ("3", "0")]))

    assert (found.outcome, found.reason.parameters["margin"]) == (
        "not met",
        {"value": "-0.000001", "unit": "g"},
    )


@pytest.mark.parametrize("y", ["10", "15", "20"])
def test_the_upright_side_of_a_step_is_inside(y: str) -> None:
    criterion = corridor(upper=points([("0", "10"), ("5", "10"), ("5", "20"), ("10", "20")]), lower=[])

    assert ask(criterion, channel([("0", "0"), ("5", y), ("10", "0")])).outcome == Outcome.MET


@pytest.mark.parametrize(
    "pairs", [[("1", "5"), ("20", "5")], [("0", "5"), ("19", "5")]], ids=["late", "early"]
)
def test_a_channel_that_does_not_cover_the_corridor_is_not_shown(pairs: Pairs) -> None:
    found = ask(corridor(), channel(pairs))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "channel-too-short")


INSIDE = [("0", "5"), ("5", "10"), ("15", "12"), ("20", "15")]


def test_units_of_the_columns_are_converted_exactly() -> None:
    # 1 g = 9.80665 m/s² exactly. published: third General Conference on Weights and Measures, 1901, Paris
    touching = [("0", "98.0665"), ("0.005", "0"), ("0.015", "98.0665"), ("0.020", "0")]
    over = [("0", "98.0666"), *touching[1:]]

    assert ask(corridor(lower=[]), channel(touching, time="s", a="m/s²")).outcome == Outcome.MET
    assert ask(corridor(lower=[]), channel(over, time="s", a="m/s²")).outcome == Outcome.NOT_MET


@pytest.mark.parametrize(
    ("found", "wanted", "factor"),
    [
        ("g", "g", Fraction(1)),
        ("m/s²", "g", Fraction(100000, 980665)),
        ("g", "kg", Fraction(1, 1000)),
        ("counts", "counts", Fraction(1)),
        ("mm", "g", None),
        ("volts", "g", None),
    ],
)
def test_which_factor_joins_two_units(found: str, wanted: str, factor: Fraction | None) -> None:
    assert conversion(found, wanted) == factor


@pytest.mark.parametrize(
    ("units", "criterion", "code"),
    [
        ({"a": "N"}, corridor(), "column-unit"),
        ({"a": ""}, corridor(), "column-unit-missing"),
        ({}, corridor(y="force"), "column-missing"),
        ({}, corridor(upper=points([("5", "10"), ("0", "10")]), lower=[]), "corridor-unordered"),
    ],
)
def test_a_table_that_cannot_be_compared_is_undecided(
    units: dict[str, str], criterion: dict[str, Any], code: str
) -> None:
    found = ask(criterion, channel(INSIDE, **units))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, code)


def test_a_scanned_log_is_no_table() -> None:
    the_record = record(exhibits=[entry("E1", "torque-log")])
    found = ask(corridor(evidence_from=["torque-log"]), case(the_record, items={"E1": paper("E1")}))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "not-a-table")


def test_no_table_and_several_tables() -> None:
    the_record = record(
        exhibits=[
            entry("E1", "test-channel", file="tests/E1.csv"),
            entry("E2", "test-channel", file="tests/E2.csv"),
        ]
    )
    columns = tuple(x for x, _ in INSIDE), tuple(y for _, y in INSIDE)
    items = {"E1": table("E1", time="ms", a="g"), "E2": paper("E2")}
    found = ask(corridor(), case(the_record, items=items, tables={"E1": columns}))

    assert ask(corridor(), case()).reason.code == "missing-test-channel"
    assert [(part.name, part.outcome) for part in found.parts] == [("E1", "met"), ("E2", "undecided")]


def test_a_corridor_that_is_not_held_is_compared_with_nothing() -> None:
    found = ask(corridor(upper=[], lower=[], limit="not-held"), channel(INSIDE))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "limit-not-held")


# SAE J2956 corridor as a test house's public page gives it (a secondary source, so never a shipped limit), and a
# trapezoid 0 -> 22.5 g at 12 ms, held to 32 ms, back to 0 at 44 ms: inside with a worst margin of 3.5 g.
# computed independently with the corridor's straight lines at every 0.1 ms
OUTER = [("0", "-5"), ("0.009", "-26"), ("0.036", "-26"), ("0.045", "-10"), ("0.055", "-10")]
INNER = [("0.005", "0"), ("0.016", "-19"), ("0.029", "-19"), ("0.035", "0")]


def test_a_trapezoid_inside_the_side_impact_corridor() -> None:
    criterion = corridor(x_unit="s", lower=points(OUTER), upper=points(INNER))
    found = ask(criterion, channel([(t, a) for t, a in trapezoid()], time="s"))

    assert (found.outcome, found.reason.parameters["margin"]) == ("met", {"value": "3.5", "unit": "g"})


def trapezoid() -> list[tuple[str, str]]:
    shape = []
    for tenth in range(551):  # tenths of a millisecond
        height = min(Fraction(225, 1200) * tenth, Fraction(45, 2), Fraction(225, 1200) * max(440 - tenth, 0))
        shape.append((f"0.{tenth:04d}", f"-{float(height):.6f}"))
    return shape
