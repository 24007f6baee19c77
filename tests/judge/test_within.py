"""``within``: guarded and simple acceptance at and around the limits, and where the uncertainty comes from."""

from fractions import Fraction
from typing import Any

import pytest

from evidence.model.names import Outcome, RestsOn
from tests.judge.builders import (
    ILLEGIBLE,
    TO_COME,
    ask,
    asking,
    case,
    document,
    entry,
    paper,
    record,
    screws,
    value,
)

# Guard band w = rU with r = 1: the acceptance limits lie U inside the tolerance limits, both ends included.
# published: JCGM 106, Evaluation of measurement data - The role of measurement uncertainty in conformity
# assessment, 2012 (guarded acceptance); ILAC-G8:09/2019 names the rule w = U "ILAC-G8:2009".
LIMIT_118_122_U_02 = [
    ("118.2 mm", "met", "within-limits"),  # v - U touches the lower limit
    ("121.8 mm", "met", "within-limits"),  # v + U touches the upper limit
    ("120,0 mm", "met", "within-limits"),
    ("118.199 mm", "undecided", "uncertainty-spans-limit"),
    ("121.801 mm", "undecided", "uncertainty-spans-limit"),
    ("118.0 mm", "undecided", "uncertainty-spans-limit"),
    ("117.8 mm", "undecided", "uncertainty-spans-limit"),  # v + U touches the limit from outside
    ("122.2 mm", "undecided", "uncertainty-spans-limit"),
    ("117.799 mm", "not met", "outside-limits"),
    ("122.201 mm", "not met", "outside-limits"),
]


@pytest.mark.parametrize(("text", "outcome", "code"), LIMIT_118_122_U_02)
def test_guarded_acceptance_around_both_limits(text: str, outcome: str, code: str) -> None:
    found = ask(asking("within"), case(record(characteristics=[value(text=text)])))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.reason.parameters["low"] == {"value": "118", "unit": "mm"}
    assert found.reason.parameters["high"] == {"value": "122", "unit": "mm"}
    assert found.reason.parameters["expanded_uncertainty"] == {"value": "0.2", "unit": "mm"}
    assert found.rests_on == (RestsOn.RECORDED,)
    assert found.records == ("i1", "v1")


@pytest.mark.parametrize(
    ("text", "outcome", "code"),
    [
        ("118 mm", "met", "within-limits"),
        ("122 mm", "met", "within-limits"),
        ("117.999 mm", "not met", "outside-limits"),
        ("122.001 mm", "not met", "outside-limits"),
        (
            "4 3/4 in",
            "met",
            "within-limits",
        ),  # 120.65 mm: 1 in = 25.4 mm exactly, published: NIST SP 811, 2008
    ],
)
def test_simple_acceptance_includes_the_limits(text: str, outcome: str, code: str) -> None:
    found = ask(asking("within", decision="simple"), case(record(characteristics=[value(text=text)])))

    assert (found.outcome, found.reason.code) == (outcome, code)


@pytest.mark.parametrize(
    ("limits", "text", "outcome", "code"),
    [
        ({"low": "118 mm", "high": None}, "118.2 mm", "met", "at-least-minimum"),
        ({"low": "118 mm", "high": None}, "118.1 mm", "undecided", "uncertainty-spans-limit"),
        ({"low": "118 mm", "high": None}, "117.7 mm", "not met", "under-minimum"),
        ({"low": None, "high": "122 mm"}, "121.8 mm", "met", "at-most-maximum"),
        ({"low": None, "high": "122 mm"}, "122.1 mm", "undecided", "uncertainty-spans-limit"),
        ({"low": None, "high": "122 mm"}, "122.3 mm", "not met", "over-maximum"),
    ],
)
def test_a_limit_on_one_side_only(limits: dict[str, str], text: str, outcome: str, code: str) -> None:
    found = ask(asking("within", **limits), case(record(characteristics=[value(text=text)])))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_an_uncertainty_wider_than_the_tolerance_never_decides_inside_it() -> None:
    found = ask(asking("within"), case(record(characteristics=[value(uncertainty="2.1 mm")])))

    assert found.outcome == Outcome.UNDECIDED


def test_the_uncertainty_recorded_with_the_value_goes_before_the_instruments() -> None:
    found = ask(
        asking("within"), case(record(characteristics=[value(text="118.2 mm", uncertainty="0.3 mm")]))
    )

    assert found.outcome == Outcome.UNDECIDED
    assert found.reason.parameters["expanded_uncertainty"] == {"value": "0.3", "unit": "mm"}


@pytest.mark.parametrize(
    "tool",
    [
        {"id": "i1", "kind": "caliper", "serial": "K-1"},
        {"id": "i1", "kind": "caliper", "serial": "K-1", "uncertainty": "0 mm"},
        {"id": "i1", "kind": "go-no-go", "serial": "K-1", "uncertainty": "1"},
        {"id": "i9", "kind": "caliper", "serial": "K-9", "uncertainty": "0.2 mm"},
    ],
    ids=["none stated", "zero stated", "of another dimension", "instrument not listed"],
)
def test_without_a_known_uncertainty_nothing_is_decided(tool: dict[str, str]) -> None:
    found = ask(asking("within"), case(record(instruments=[tool], characteristics=[value()])))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "uncertainty-unknown")


def test_a_value_outside_the_instruments_range_is_undecided() -> None:
    tool = {"id": "i1", "kind": "caliper", "serial": "K", "uncertainty": "0.2 mm", "range_high": "100 mm"}
    found = ask(asking("within"), case(record(instruments=[tool], characteristics=[value()])))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "outside-instrument-range")


def test_a_range_of_another_dimension_says_nothing() -> None:
    tool = {"id": "i1", "kind": "go-no-go", "serial": "K", "deviation": "1 %", "range_high": "10"}
    found = ask(asking("within"), case(record(instruments=[tool], characteristics=[value()])))

    assert (found.outcome, found.reason.code) == (Outcome.MET, "within-limits")
    assert found.reason.parameters["expanded_uncertainty"] == {"value": "1.2", "unit": "mm"}


def test_a_nominal_without_tolerance_is_undecided() -> None:
    criterion = asking("within", low=None, high=None, nominal="120 mm")
    found = ask(criterion, case(record(characteristics=[value()])))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "no-tolerance")
    assert found.reason.parameters["nominal"] == {"value": "120", "unit": "mm"}


@pytest.mark.parametrize(
    ("text", "outcome", "code"),
    [(TO_COME, "not shown", "value-open"), (ILLEGIBLE, "undecided", "value-illegible")],
)
def test_a_value_that_is_not_there(text: dict[str, str], outcome: str, code: str) -> None:
    found = ask(asking("within"), case(record(characteristics=[value(text=text)])))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_no_value_at_all_is_not_shown_and_rests_on_nothing() -> None:
    found = ask(asking("within"), case())

    assert (found.outcome, found.reason.code, found.rests_on) == ("not shown", "value-not-recorded", ())


def test_every_recorded_value_counts() -> None:
    values = [value("v1", "123.0 mm"), value("v2", "120.0 mm")]
    found = ask(asking("within"), case(record(characteristics=values)))

    assert found.outcome == Outcome.NOT_MET
    assert [(part.name, part.outcome) for part in found.parts] == [("v1", "not met"), ("v2", "met")]
    assert found.reason.parameters["part"] == "v1"


def torque(**changes: Any) -> dict[str, Any]:
    return asking(
        "within", subject="screws", quantity="screws.torque", low="24 N·m", high="26 N·m", **changes
    )


@pytest.mark.parametrize(
    ("torques", "outcomes"),
    [
        # limits 24 to 26, U = 4 % of the value v: wholly outside below 24 / 1.04 = 23.0769..., wholly inside from
        # 24 / 0.96 = 25 to 26 / 1.04 = 25; computed independently with v * (1 +- 4 / 100)
        (["25 N·m", "24.9984 N·m"], ["met", "undecided"]),
        (["25 N·m", "25.0016 N·m"], ["met", "undecided"]),
        (["25 N·m", "23.077 N·m"], ["met", "undecided"]),
        (["25 N·m", "23.076 N·m"], ["met", "not met"]),
        (["25 N·m", "18.4 lbf·ft"], ["met", "undecided"]),
        (["25 N·m"], ["met", "not shown"]),
        (["25 N·m", ILLEGIBLE], ["met", "undecided"]),
        (["25 N·m", TO_COME], ["met", "not shown"]),
    ],
)
def test_one_part_for_each_screw(torques: list[object], outcomes: list[str]) -> None:
    found = ask(torque(), case(record(screws=[screws(torques=torques)])))

    assert [part.outcome for part in found.parts] == outcomes
    assert [part.name for part in found.parts] == ["g1.1", "g1.2"]
    assert len(torques) == 2 or found.reason.code == "torque-not-recorded"


def test_the_permitted_deviation_of_a_torque_tool_is_a_share_of_the_value() -> None:
    found = ask(torque(), case(record(screws=[screws()])))

    assert found.outcome == Outcome.MET
    assert found.reason.code == "all-parts-met"
    uncertainty = found.parts[0].reason.parameters["expanded_uncertainty"]
    assert uncertainty == {"value": "1", "unit": "N·m"}  # 4 % of 25 N·m
    assert Fraction(25) - 1 == 24


def test_a_screw_more_than_counted_is_judged_too() -> None:
    found = ask(torque(), case(record(screws=[screws(torques=["25 N·m", "25 N·m", "40 N·m"])])))

    assert [part.outcome for part in found.parts] == ["met", "met", "not met"]


def report(**changes: Any) -> dict[str, Any]:
    return asking(
        "within",
        quantity="document.peak-deceleration",
        low="10 g",
        high=None,
        decision="simple",
        evidence_from=["type-test-report"],
        **changes,
    )


@pytest.mark.parametrize(
    ("claims", "outcome", "code", "rests"),
    [
        ({"peak_deceleration": "10 g"}, "met", "at-least-minimum", ("document",)),
        (
            {"peak_deceleration": "98.0665 m/s²"},
            "met",
            "at-least-minimum",
            ("document",),
        ),  # g exact, CGPM 1901
        ({"peak_deceleration": "98.0664 m/s²"}, "not met", "under-minimum", ("document",)),
        ({"peak_deceleration": ILLEGIBLE}, "undecided", "claim-illegible", ("document",)),
        ({"peak_deceleration": TO_COME}, "not shown", "claim-open", ()),
        ({}, "not shown", "claim-not-stated", ()),
    ],
)
def test_what_a_document_states(
    claims: dict[str, Any], outcome: str, code: str, rests: tuple[str, ...]
) -> None:
    the_record = record(
        documents=[document("d1", "type-test-report", "E1", **claims)],
        exhibits=[entry("E1", "type-test-report")],
    )
    found = ask(report(), case(the_record, items={"E1": paper("E1")}))

    assert (found.outcome, found.reason.code, found.rests_on) == (outcome, code, rests)


def test_a_document_value_without_uncertainty_is_undecided_by_the_guarded_rule() -> None:
    the_record = record(documents=[document("d1", "type-test-report", peak_deceleration="12 g")])
    found = ask(report() | {"decision": "guarded"}, case(the_record))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "uncertainty-unknown")


def test_a_document_held_elsewhere_rests_on_the_statement_that_it_was_seen() -> None:
    the_record = record(documents=[document("d1", "type-test-report", peak_deceleration="12 g")])
    found = ask(report(), case(the_record))

    assert (found.outcome, found.rests_on, found.documents) == ("met", (RestsOn.STATEMENT,), ("d1",))


def test_several_documents_and_several_values_of_one_are_parts() -> None:
    the_record = record(
        documents=[
            document("d1", "type-test-report", peak_deceleration=["12 g", ILLEGIBLE, UNSTATED]),
            document("d2", "type-test-report", peak_deceleration="9 g"),
        ]
    )
    found = ask(report(), case(the_record))

    assert [(part.name, part.outcome) for part in found.parts] == [
        ("d1.1", "met"),
        ("d1.2", "undecided"),
        ("d1.3", "not shown"),
        ("d2", "not met"),
    ]
    assert found.outcome == Outcome.NOT_MET


UNSTATED = {"state": "unknown"}


def test_no_screws_and_no_documents() -> None:
    by_position = torque() | {"subject": "position"}

    assert ask(by_position, case()).reason.code == "value-not-recorded"
    assert ask(torque(), case()).reason.code == "nothing-recorded"
    assert ask(report(), case()).reason.code == "missing-type-test-report"


def test_an_uncertainty_typed_with_the_value_does_not_widen_the_instruments_range() -> None:
    tool = {"id": "i1", "kind": "caliper", "serial": "K", "range_high": "100 mm"}
    values = [value(uncertainty="0.1 mm")]
    inside = case(record(instruments=[{**tool, "range_high": "150 mm"}], characteristics=values))
    beyond = case(record(instruments=[tool], characteristics=values))

    assert ask(asking("within"), inside).outcome == Outcome.MET
    assert ask(asking("within"), beyond).reason.code == "outside-instrument-range"
