"""The procedure every criterion shares: does it apply, is it there, is the demand decided; and who is asked."""

from itertools import product
from typing import Any

import pytest

from evidence.judge import TYPES, judge, present
from evidence.judge._base import all_of
from evidence.judge._scope import lineage, subjects
from evidence.model.criterion import CRITERION_TYPES
from evidence.model.names import Fact, Group, Mark, Outcome
from evidence.register.demand import Demands
from tests.judge.builders import (
    ILLEGIBLE,
    NOT_FITTED,
    POSITION,
    TO_COME,
    ask,
    asking,
    case,
    clause,
    cycles,
    demand,
    document,
    entry,
    photo,
    record,
    screws,
    step,
    value,
)

O = Outcome  # noqa: E741 - a table of outcomes reads better short
NA = Outcome.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("outcomes", "together"),
    [
        ([O.MET, O.MET], O.MET),
        ([O.MET, O.UNDECIDED], O.UNDECIDED),
        ([O.UNDECIDED, O.NOT_SHOWN, O.MET], O.NOT_SHOWN),
        ([O.NOT_SHOWN, O.NOT_MET, O.UNDECIDED], O.NOT_MET),
        ([NA, O.MET], O.MET),
        ([NA, O.NOT_SHOWN], O.NOT_SHOWN),
        ([NA, NA], NA),
        ([], NA),
    ],
)
def test_and_precedence(outcomes: list[Outcome], together: Outcome) -> None:
    assert all_of(outcomes) == together
    assert all_of(reversed(outcomes)) == together


def test_and_is_met_only_where_nothing_says_otherwise() -> None:
    for outcomes in product(Outcome, repeat=3):
        assert (all_of(outcomes) == O.MET) == (O.MET in outcomes and set(outcomes) <= {O.MET, NA})


def test_each_criterion_type_has_one_judge() -> None:
    assert tuple(TYPES) == CRITERION_TYPES


def test_a_demand_of_another_type_is_a_fault_of_the_program() -> None:
    with pytest.raises(TypeError, match="en@1/1/ask-within: within"):
        present.judge(demand(asking("within")), "p1", case())


VALUE = [value()]
TYPE_B = {Fact.VEHICLE_TYPE: ("B", "C")}


@pytest.mark.parametrize(
    ("vehicle", "outcome", "code"),
    [
        ({"build": "1", "type": "B"}, "met", "within-limits"),
        ({"build": "1", "type": "A1"}, "not applicable", "not-for-this-vehicle"),
        ({"build": "1"}, "not shown", "fact-not-stated"),
    ],
)
def test_whether_a_demand_applies(vehicle: dict[str, str], outcome: str, code: str) -> None:
    found = ask(asking("within"), case(record(vehicle=vehicle, characteristics=VALUE)), applies=TYPE_B)

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert (found.rests_on == ()) == (outcome != "met")


@pytest.mark.parametrize(
    ("vin", "allowed", "outcome", "code"),
    [
        (NOT_FITTED, ("not fitted",), "met", "within-limits"),
        (NOT_FITTED, ("1M8GDM9AXKP042788",), "not applicable", "not-for-this-vehicle"),
        (TO_COME, ("1M8GDM9AXKP042788",), "not shown", "fact-not-stated"),
        (ILLEGIBLE, ("1M8GDM9AXKP042788",), "undecided", "fact-illegible"),
    ],
)
def test_only_a_rule_reads_not_fitted(vin: Any, allowed: tuple[str, ...], outcome: str, code: str) -> None:
    the_record = record(vehicle={"build": "1", "vin": vin}, characteristics=VALUE)
    found = ask(asking("within"), case(the_record), applies={Fact.VEHICLE_VIN: allowed})

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_one_fact_that_certainly_does_not_hold_settles_it() -> None:
    applies = {Fact.VEHICLE_TYPE: ("B",), Fact.POSITION_LOADING: ("side",)}
    found = ask(asking("within"), case(record(vehicle={"build": "1"})), applies=applies)

    assert found.outcome == NA


def test_a_position_is_asked_by_its_own_facts() -> None:
    positions = [POSITION, {**POSITION, "id": "p2", "loading": "side"}]
    the_demand = demand(asking("within"), applies={Fact.POSITION_LOADING: ("rear",)})
    the_case = case(record(positions=positions), demands=Demands((the_demand,), ()))
    found = {one.subject: one.outcome for one in judge(the_case).findings}

    assert found == {"p1": O.NOT_SHOWN, "p2": NA}


@pytest.mark.parametrize(
    ("mark", "outcome", "code"),
    [
        ("published", "met", "within-limits"),
        ("computed", "met", "within-limits"),
        ("confirmed", "met", "within-limits"),
        ("invented", "met", "within-limits"),
        ("secondary", "not shown", "limit-not-confirmed"),
        ("memory", "not shown", "limit-not-confirmed"),
        ("practice", "not shown", "practice-compared"),
    ],
)
def test_what_each_mark_may_decide(mark: str, outcome: str, code: str) -> None:
    found = ask(asking("within", mark=mark), case(record(characteristics=VALUE)))

    assert (found.outcome, found.reason.code, found.mark) == (outcome, code, mark)


@pytest.mark.parametrize(
    ("text", "compared"), [("120 mm", "met"), ("130 mm", "not met"), ("118 mm", "undecided")]
)
def test_an_unconfirmed_limit_is_compared_and_shown_and_decides_nothing(text: str, compared: str) -> None:
    found = ask(asking("within", mark="memory"), case(record(characteristics=[value(text=text)])))

    assert (found.outcome, found.rests_on) == (O.NOT_SHOWN, ())
    shown = found.reason.parameters
    assert (shown["compared"], shown["mark"]) == (compared, "memory")
    assert shown["value"] == {"value": text.split(maxsplit=1)[0], "unit": "mm"}
    assert shown["low"] == {"value": "118", "unit": "mm"}


def test_an_unconfirmed_limit_closes_every_part() -> None:
    values = [value("v1", "130 mm"), value("v2", TO_COME)]
    found = ask(asking("within", mark="secondary"), case(record(characteristics=values)))

    assert [part.reason.code for part in found.parts] == ["limit-not-confirmed", "value-open"]


def test_a_limit_that_is_not_held_is_compared_with_nothing() -> None:
    criterion = asking("within", low=None, high=None, limit="not-held")
    found = ask(criterion, case(record(characteristics=VALUE)))

    assert (found.outcome, found.reason.code) == (O.NOT_SHOWN, "limit-not-held")
    assert found.reason.parameters["value"] == {"value": "120.0", "unit": "mm"}


def test_missing_evidence_goes_before_a_limit_that_is_not_held_or_confirmed() -> None:
    assert ask(asking("within", limit="not-held"), case()).reason.code == "value-not-recorded"
    assert ask(asking("within", mark="memory"), case()).reason.code == "value-not-recorded"
    illegible = case(record(characteristics=[value(text=ILLEGIBLE)]))
    assert ask(asking("within", mark="memory"), illegible).reason.code == "value-illegible"


def test_practice_decides_where_it_has_no_number() -> None:
    there = case(record(exhibits=[entry("E1", "overview")]), items={"E1": photo("E1")})

    assert ask(asking("present", mark="practice"), there).outcome == O.MET
    assert ask(asking("matches", mark="practice", allowed=["x"]), there).outcome == O.NOT_MET


@pytest.mark.parametrize(
    ("criterion", "parts"),
    [
        (asking("counted"), {"cycles": [cycles()]}),
        (asking("valid_on", subject="instrument", months="12"), {"characteristics": VALUE}),
        (
            asking("ordered", steps=[], gaps=[{"before": "a", "after": "b", "at_least": "1 h"}]),
            {"steps": [step("s1", "a", "2026-03-04"), step("s2", "b", "2026-03-06")]},
        ),
    ],
    ids=["counted", "months", "gap"],
)
def test_practice_never_decides_a_number(criterion: dict[str, Any], parts: dict[str, Any]) -> None:
    the_case = case(record(**parts))

    assert ask(criterion, the_case).outcome == O.MET
    assert ask({**criterion, "mark": "practice"}, the_case).reason.code == "practice-compared"


def test_two_photos_are_a_number_too() -> None:
    entries = [entry("E1", "overview"), entry("E2", "overview")]
    the_case = case(record(exhibits=entries), items={"E1": photo("E1"), "E2": photo("E2")})
    found = ask(asking("present", mark="practice", at_least="2"), the_case)

    assert found.reason.parameters["compared"] == "met"


def test_a_profiles_limit_with_a_page_counts_as_confirmed() -> None:
    the_case = case(record(characteristics=VALUE))
    with_page = ask(asking("within", mark="practice", page="7"), the_case, group=Group.PROFILE)
    without = ask(asking("within", mark="practice"), the_case, group=Group.PROFILE)

    assert (with_page.outcome, with_page.mark) == (O.MET, Mark.CONFIRMED)
    assert without.outcome == O.NOT_SHOWN


EXPANDED = record(
    positions=[POSITION, {**POSITION, "id": "p2"}],
    screws=[screws("g2"), screws("g1")],
    documents=[document("d1", "data-sheet"), document("d2", "type-test-report")],
)


@pytest.mark.parametrize(
    ("criterion", "expected"),
    [
        (asking("present", subject="vehicle"), ("vehicle",)),
        (asking("present"), ("p1", "p2")),
        (asking("present", subject="screws"), ("g1", "g2")),
        (asking("present", subject="instrument"), ("i1", "i2")),
        (asking("present", subject="person"), ("w1", "w2", "w3")),
        (asking("complete", subject="document"), ("d2",)),
        (asking("complete", subject="document", evidence_from=[]), ("d1", "d2")),
        (asking("valid_on", subject="instrument"), ("i2",)),
        (asking("valid_on", subject="instrument", event="as-of"), ("i1", "i2")),
        (asking("valid_on", subject="person", what="qualification"), ("w1",)),
        (asking("valid_on", subject="person", what="qualification", function="supervisor"), ("vehicle",)),
    ],
)
def test_who_is_asked(criterion: dict[str, Any], expected: tuple[str, ...]) -> None:
    assert subjects(demand(criterion).criterion, EXPANDED) == expected


@pytest.mark.parametrize("kind", ["screws", "instrument", "document"])
def test_a_kind_without_instance_gives_one_finding_on_the_vehicle(kind: str) -> None:
    found = ask(asking("present", subject=kind), case(record(instruments=[])))

    assert (found.subject, found.outcome, found.reason.code) == ("vehicle", "not shown", "nothing-recorded")
    assert found.reason.parameters["kind"] == kind


def test_a_kind_without_instance_where_the_demand_does_not_apply() -> None:
    found = ask(asking("present", subject="screws"), case(), applies={Fact.VEHICLE_TYPE: ("C",)})

    assert found.outcome == NA


def test_what_belongs_to_what() -> None:
    assert lineage("g1", EXPANDED) == ("g1", "p1", "vehicle")
    assert lineage("vehicle", EXPANDED) == ("vehicle",)
    assert lineage("i1", EXPANDED) == ("i1", "vehicle")


def test_a_record_whose_subjects_go_in_circles_ends() -> None:
    circle = record(
        documents=[document("d1", "data-sheet", subject="d2"), document("d2", "data-sheet", subject="d1")]
    )

    assert lineage("d1", circle) == ("d1", "d2", "vehicle")


def test_the_judgement_is_sorted_and_the_same_whatever_the_order_of_the_demands() -> None:
    demands = [demand(asking("within"), clause="2"), demand(asking("attested")), demand(asking("present"))]
    rules = [clause({"all": ["ask-within"]}, number="2"), clause({"all": ["ask-attested", "ask-present"]})]
    the_record = record(characteristics=VALUE, positions=[POSITION, {**POSITION, "id": "p2"}])
    one = judge(case(the_record, demands=Demands(tuple(demands), tuple(rules))))
    other = judge(case(the_record, demands=Demands(tuple(reversed(demands)), tuple(reversed(rules)))))

    assert one == other
    keys = [finding.key for finding in one.findings]
    assert keys == sorted(keys)
    assert len(set(keys)) == 6
    assert [(outcome.clause, outcome.subject) for outcome in one.clauses] == [
        ("1", "p1"),
        ("1", "p2"),
        ("2", "p1"),
        ("2", "p2"),
    ]
