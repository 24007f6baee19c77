"""Rules on the vehicle as a whole: its VIN, its builders, its stretchers and the manual's revision in force."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.judge.facts import fact
from evidence.judge.known import known_by
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction
from evidence.model.names import ContradictionRule, Fact
from evidence.model.profile import Profile
from evidence.phrases.contradictions_en import CONTRADICTIONS
from tests.judge.builders import (
    NOT_FITTED,
    PEOPLE,
    POSITION,
    TO_COME,
    broken,
    case,
    cycles,
    entry,
    photo,
    profile,
    record,
    screws,
    step,
    value,
)

VIN = "1M8GDM9AXKP042788"  # published: check-digit example, 49 CFR 565, USA


def of(rule: ContradictionRule, the_case: Case) -> list[Contradiction]:
    found = [one for one in contradictions(the_case) if one.rule == rule]
    for one in found:
        assert CONTRADICTIONS[one.reason.code].format_map(one.reason.parameters)
    return found


def codes(rule: ContradictionRule, the_case: Case) -> list[str]:
    return [one.reason.code for one in of(rule, the_case)]


# the VIN


def vin_case(vehicle: Mapping[str, Any], *exhibits: dict[str, Any], items: Any = None) -> Case:
    return case(record(vehicle=dict(vehicle), exhibits=list(exhibits)), items=items or {})


PLATE = entry("E1", "label-vehicle", "vehicle", "photos/E1.jpg")
BOUND = {"build": "B-1", "vin": VIN, "vin_bound": {"at": "2026-03-06", "by": "w3", "exhibit": "E1"}}


def test_a_vin_beside_a_build_number_wants_a_photo_of_the_plate() -> None:
    (found,) = of(ContradictionRule.VIN_WITHOUT_PHOTO, vin_case({"build": "B-1", "vin": VIN}))

    assert (found.severity, found.reason.code) == ("notice", "vin-without-photo")
    assert found.reason.parameters == {"build": "B-1", "vin": VIN}
    assert not found.open


@pytest.mark.parametrize(
    "vehicle",
    [{"vin": VIN}, {"build": "B-1"}, {"build": "B-1", "vin": TO_COME}, {"build": "B-1", "vin": NOT_FITTED}],
)
def test_a_vehicle_with_one_number_only_binds_nothing(vehicle: dict[str, Any]) -> None:
    assert of(ContradictionRule.VIN_WITHOUT_PHOTO, vin_case(vehicle)) == []


def test_a_filed_plate_is_enough_and_an_open_slot_is_not() -> None:
    rule, numbers = ContradictionRule.VIN_WITHOUT_PHOTO, {"build": "B-1", "vin": VIN}

    assert codes(rule, vin_case(numbers, PLATE)) == []
    assert codes(rule, vin_case(numbers, {**PLATE, "file": TO_COME})) == ["vin-without-photo"]
    assert codes(rule, vin_case(numbers, {**PLATE, "role": "overview"})) == ["vin-without-photo"]


def test_the_photo_that_bound_the_vin_must_be_usable() -> None:
    rule = ContradictionRule.VIN_WITHOUT_PHOTO

    assert codes(rule, vin_case(BOUND, PLATE, items={"E1": photo("E1")})) == []
    assert codes(rule, vin_case(BOUND, PLATE, items={"E1": broken("E1")})) == ["vin-photo-unusable"]
    (gone,) = of(rule, vin_case(BOUND, PLATE))
    assert (gone.reason.code, gone.exhibits, gone.severity) == ("vin-photo-unusable", ("E1",), "notice")


def test_before_it_was_bound_the_vin_was_not_known() -> None:
    the_record = record(vehicle=BOUND, exhibits=[PLATE])
    before = known_by(the_record, date(2026, 3, 5)).vehicle

    assert isinstance(before.vin, FieldState)
    assert before.vin_bound is None
    assert known_by(the_record, date(2026, 3, 6)).vehicle == the_record.vehicle


# builders of several stages


def stages(*finished: Any, people: Sequence[Any] = PEOPLE, **parts: Any) -> Case:
    functions = ("base-builder", "builder", "fitting-company")
    parties = [
        {"id": f"b{number}", "function": function, "name": f"Company {number}", "finished": when}
        for number, (function, when) in enumerate(zip(functions, finished, strict=False), start=1)
    ]
    kept = [{key: one for key, one in party.items() if one is not None} for party in parties]
    return case(record(parties=kept, people=list(people), **parts))


@pytest.mark.parametrize(
    ("first", "second", "found"),
    [
        ("2026-02-10", "2026-02-09", ["stage-finished-early"]),
        ("2026-02-10 pm", "2026-02-10 am", ["stage-finished-early"]),
        ("2026-02-10", "2026-02-10", []),
        ("2026-02-10", "2026-02-11", []),
        ("2026-02-10", TO_COME, []),
        (TO_COME, "2026-02-10", []),
        (None, "2026-02-10", []),
        ("2026-02-10", None, []),
    ],
)
def test_stages_finished_in_the_wrong_order(first: Any, second: Any, found: list[str]) -> None:
    assert codes(ContradictionRule.STAGE_OUT_OF_ORDER, stages(first, second)) == found


FITTERS = [{**PEOPLE[0], "party": "b2"}, *PEOPLE[1:]]


@pytest.mark.parametrize(
    ("finished", "people", "found"),
    [
        ("2026-03-05", FITTERS, ["stage-out-of-order"]),
        ("2026-03-04", FITTERS, []),
        ("2026-03-03", FITTERS, []),
        ("2026-03-05", PEOPLE, []),  # nobody says whom the fitter works for
        ("2026-03-05", [{**PEOPLE[0], "party": "b1"}, *PEOPLE[1:]], []),
        (TO_COME, FITTERS, []),
    ],
)
def test_a_later_stage_at_work_before_the_earlier_one_had_finished(
    finished: Any, people: list[Any], found: list[str]
) -> None:
    steps = [step("s1", "drill", "2026-03-04T10:00"), step("s2", "clean", "2026-03-04T11:00")]
    the_case = stages(finished, "2026-03-06", people=people, steps=steps)

    assert codes(ContradictionRule.STAGE_OUT_OF_ORDER, the_case) == found


def test_the_first_work_of_the_later_stage_stands_for_all_and_the_first_stage_is_named() -> None:
    steps = [step("s1", "drill", "2026-03-04T10:00"), step("s2", "clean", "2026-03-03T11:00")]
    (found,) = of(
        ContradictionRule.STAGE_OUT_OF_ORDER, stages("2026-03-05", None, people=FITTERS, steps=steps)
    )

    assert [place.model_dump() for place in found.between] == [
        {"where": "b1.finished", "value": "2026-03-05"},
        {"where": "s2.at", "value": "2026-03-03T11:00"},
    ]
    assert (found.reason.parameters["earlier"], found.reason.parameters["later"]) == ("b1", "b2")


def test_stages_that_do_not_follow_one_another_are_compared_too() -> None:
    assert codes(ContradictionRule.STAGE_OUT_OF_ORDER, stages("2026-02-10", None, "2026-02-01")) == [
        "stage-finished-early"
    ]


def test_an_agency_is_no_stage() -> None:
    parties = [
        {"id": "b1", "function": "agency", "name": "Agency", "finished": "2026-03-05"},
        {"function": "builder", "name": "Builder", "finished": "2026-03-01"},
    ]

    assert codes(ContradictionRule.STAGE_OUT_OF_ORDER, case(record(parties=parties))) == []


def test_what_was_finished_later_was_not_known_earlier() -> None:
    the_record = stages("2026-03-05", "2026-02-01").record
    before = known_by(the_record, date(2026, 3, 1))

    assert [party.finished is None for party in before.parties] == [True, False]


# stretchers


def delivered(*entries: dict[str, Any], approved: Sequence[str] = (), system: str = "Heron 2") -> Case:
    stretchers = {"approved_models": list(approved), "delivered_with": list(entries)}
    position = {**POSITION, "system": {"model": system, "serial": "1"}, "stretchers": stretchers}
    return case(record(positions=[position]))


@pytest.mark.parametrize("holding", [None, "own", "loaner", "pool"])
def test_a_stretcher_that_the_manual_does_not_pair(holding: str | None) -> None:
    other = {"model": "Otter Carrier", **({"holding": holding} if holding else {})}
    (found,) = of(ContradictionRule.STRETCHER_NOT_APPROVED, delivered(other, approved=["Otter Carrier"]))

    assert found.reason.code == "stretcher-not-approved"
    assert [place.model_dump() for place in found.between] == [
        {"where": "p1.stretchers.delivered_with", "value": "Otter Carrier"},
        {"where": "heron-2@C.pairs", "value": "Heron Carrier"},
    ]
    assert found.open


def test_where_the_manual_pairs_nothing_the_records_own_list_counts() -> None:
    rule, otter = ContradictionRule.STRETCHER_NOT_APPROVED, {"model": "Otter Carrier"}

    (found,) = of(rule, delivered(otter, approved=["Egret Carrier"], system="Egret 1"))
    assert found.between[1].where == "p1.stretchers.approved_models"
    assert of(rule, delivered(otter, approved=["otter  carrier"], system="Egret 1")) == []
    assert of(rule, delivered(otter, system="Egret 1")) == []


def test_the_paired_stretcher_and_none_at_all_are_no_contradiction() -> None:
    rule = ContradictionRule.STRETCHER_NOT_APPROVED

    assert (
        of(rule, delivered({"model": "heron carrier"}, {"model": "Heron Carrier", "holding": "pool"})) == []
    )
    assert of(rule, delivered()) == []


def test_a_paired_stretcher_that_the_records_list_leaves_out() -> None:
    (found,) = of(
        ContradictionRule.STRETCHER_NOT_APPROVED,
        delivered({"model": "Heron Carrier"}, approved=["Egret Carrier"]),
    )

    assert found.between[1].value == "Egret Carrier"


# the manual's revision


def revision(valid_until: str | None = None) -> Profile:
    made = profile()
    day = date.fromisoformat(valid_until) if valid_until else None
    manual = made.manual.model_copy(update={"valid_from": date(2026, 3, 1), "valid_until": day})
    return made.model_copy(update={"manual": manual})


@pytest.mark.parametrize(
    ("when", "found"),
    [
        ("2026-02-28T23:59", ["profile-not-yet-in-force"]),
        ("2026-02-28", ["profile-not-yet-in-force"]),
        ("2026-03-01T00:00", []),
        ("2026-03-31 pm", []),
        ("2026-04-01T00:00", ["profile-not-in-force"]),
        (TO_COME, []),
    ],
)
def test_work_on_the_first_and_last_days_of_a_revision(when: Any, found: list[str]) -> None:
    the_case = case(record(steps=[step("s1", "mark-out", when)]), profile=revision("2026-03-31"))

    assert codes(ContradictionRule.PROFILE_NOT_IN_FORCE, the_case) == found


def test_a_revision_without_end_is_never_past() -> None:
    the_case = case(record(steps=[step("s1", "mark-out", "2036-01-01")]), profile=revision())

    assert codes(ContradictionRule.PROFILE_NOT_IN_FORCE, the_case) == []


def test_all_work_on_one_side_is_one_contradiction_with_its_first_day() -> None:
    the_record = record(
        steps=[step("s1", "mark-out", "2026-02-20"), step("s2", "mark-out", "2026-02-10")],
        screws=[screws(at="2026-03-05", locker=None)],
        characteristics=[value(at="2026-04-03")],
        cycles=[cycles(at="2026-04-02")],
    )
    found = {
        one.reason.code: one.reason.parameters
        for one in of(
            ContradictionRule.PROFILE_NOT_IN_FORCE, case(the_record, profile=revision("2026-03-31"))
        )
    }

    assert found == {
        "profile-not-yet-in-force": {
            "bound": "2026-03-01",
            "day": "2026-02-10",
            "entries": ("s1", "s2"),
            "profile": "heron-2@C",
            "span": "2026-03-01/2026-03-31",
        },
        "profile-not-in-force": {
            "bound": "2026-03-31",
            "day": "2026-04-02",
            "entries": ("v1", "n1"),
            "profile": "heron-2@C",
            "span": "2026-03-01/2026-03-31",
        },
    }


def test_stretchers_on_loan_and_of_a_pool_are_read_like_the_vehicles_own() -> None:
    holdings = ("own", "loaner", "pool")
    the_case = delivered(*({"model": f"Model {holding}", "holding": holding} for holding in holdings))

    assert fact(Fact.POSITION_DELIVERED_MODEL, "p1", the_case.record).values == (
        "Model own",
        "Model loaner",
        "Model pool",
    )
