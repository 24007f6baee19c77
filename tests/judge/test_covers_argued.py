"""Arguments beside a report: told always, counting only where the demand takes one, and never for its scope."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.names import Outcome, RestsOn
from evidence.phrases import say
from tests.judge.builders import (
    ILLEGIBLE,
    PEOPLE,
    POSITION,
    ask,
    asking,
    case,
    document,
    entry,
    paper,
    record,
)

FLOOR = {"claim": "floor", "fact": "position.floor"}
MASS = {"claim": "test-mass", "fact": "position.carried-mass", "how": "at-least"}
EDITION = {"claim": "test-standard", "how": "one-of", "values": ["EN 1789:2020"]}
REAR = {"claim": "directions", "how": "one-of", "values": ["rear"]}
TAKEN = ("laboratory",)
LAB = [*PEOPLE, {"id": "w5", "functions": ["laboratory", "witness"]}]
PLACE = {**POSITION, "floor": "steel-plate-4", "carried_mass": "250 kg"}


def covering(*fields: dict[str, Any], argued_by: tuple[str, ...] = ()) -> dict[str, Any]:
    return asking("covers", evidence_from=["type-test-report"], fields=list(fields), argued_by=argued_by)


def argument(claim: str = "floor", **changes: Any) -> dict[str, Any]:
    made = {"id": "r1", "document": "d1", "claim": claim, "subject": "p1", "by": "w5", "at": "2026-03-02"}
    return {**made, **changes}


def arguing(*arguments: dict[str, Any], claims: dict[str, Any], **parts: Any) -> Case:
    items = parts.pop("items", {})
    as_of = {"as_of": parts.pop("as_of")} if "as_of" in parts else {}
    fields = {
        "people": LAB,
        "positions": [PLACE],
        "documents": [document("d1", "type-test-report", **claims)],
    }
    return case(record(**{**fields, **parts, "arguments": list(arguments)}), items=items, **as_of)


@pytest.mark.parametrize(
    "claims", [{"floor": "plywood-22"}, {"system_model": "Heron 2"}], ids=["other", "not stated"]
)
def test_an_argument_of_the_function_that_the_demand_takes_counts(claims: dict[str, Any]) -> None:
    found = ask(covering(FLOOR, argued_by=TAKEN), arguing(argument(), claims=claims))

    assert (found.outcome, found.reason.code) == (Outcome.MET, "covered-by-argument")
    assert found.rests_on == (RestsOn.STATEMENT,)
    assert found.records == ("p1", "r1", "w5")
    assert {name: found.reason.parameters[name] for name in ("by", "function", "at", "where")} == {
        "by": "w5",
        "function": ("laboratory", "witness"),
        "at": "2026-03-02",
        "where": "",
    }


def test_a_mass_that_was_not_tested_can_be_argued_too() -> None:
    found = ask(
        covering(MASS, argued_by=TAKEN), arguing(argument("test-mass"), claims={"test_mass": "240 kg"})
    )

    assert (found.outcome, found.reason.code) == (Outcome.MET, "covered-by-argument")


@pytest.mark.parametrize(
    ("claims", "outcome", "code"),
    [
        ({"floor": "plywood-22"}, "not met", "covers-other-argued"),
        ({"system_model": "Heron 2"}, "not shown", "not-stated-argued"),
    ],
)
@pytest.mark.parametrize(
    ("changes", "taken", "cause"),
    [
        ({}, (), "argument-not-taken"),
        ({"by": "w2"}, TAKEN, "argument-of-other-function"),
        ({"at": "2026-03-08"}, TAKEN, "argument-after-release"),
        ({"at": "2026-03-08"}, (), "argument-after-release"),
        ({"exhibit": "E009"}, TAKEN, "argument-paper-unusable"),
    ],
)
def test_any_other_argument_is_told_and_changes_nothing(
    claims: dict[str, Any],
    outcome: str,
    code: str,
    changes: dict[str, Any],
    taken: tuple[str, ...],
    cause: str,
) -> None:
    released = {"release": {"at": "2026-03-06", "by": "w3"}}
    found = ask(covering(FLOOR, argued_by=taken), arguing(argument(**changes), claims=claims, **released))

    assert (found.outcome, found.reason.code, found.reason.parameters["cause"]) == (outcome, code, cause)
    assert "r1" in found.records


def test_an_argument_dated_after_the_day_judged_does_not_count_yet() -> None:
    found = ask(
        covering(FLOOR, argued_by=TAKEN), arguing(argument(at="2026-04-01"), claims={"floor": "plywood-22"})
    )

    assert found.reason.parameters["cause"] == "argument-after-day"


@pytest.mark.parametrize(
    ("field", "claims"),
    [(EDITION, {"test_standard": "EN 1789:2007"}), (REAR, {"directions": "front"})],
    ids=["edition", "direction"],
)
def test_nobody_can_argue_for_another_edition_or_direction(
    field: dict[str, Any], claims: dict[str, Any]
) -> None:
    found = ask(covering(field, argued_by=TAKEN), arguing(argument(field["claim"]), claims=claims))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "outside-report-argued")
    assert found.reason.parameters["cause"] == "argument-of-scope"


def test_an_edition_that_the_report_does_not_state_cannot_be_argued_either() -> None:
    found = ask(covering(EDITION, argued_by=TAKEN), arguing(argument("test-standard"), claims={}))

    assert (found.outcome, found.reason.parameters["cause"]) == (Outcome.NOT_SHOWN, "argument-of-scope")


def test_a_mass_outside_with_an_argument_that_does_not_count_stays_not_met() -> None:
    found = ask(covering(MASS), arguing(argument("test-mass"), claims={"test_mass": "240 kg"}))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_MET, "covers-other-argued")


@pytest.mark.parametrize(
    ("changes", "claims", "code"),
    [
        ({"claim": "orientation"}, {"floor": "plywood-22"}, "covers-other"),
        ({"subject": "p2"}, {"floor": "plywood-22"}, "covers-other"),
        ({}, {"floor": "steel-plate-4"}, "covered"),
        ({}, {"floor": ILLEGIBLE}, "claim-illegible"),
    ],
    ids=["other field", "other place", "the report shows it", "cannot be read"],
)
def test_an_argument_is_about_its_own_field_and_place(
    changes: dict[str, Any], claims: dict[str, Any], code: str
) -> None:
    found = ask(covering(FLOOR, argued_by=TAKEN), arguing(argument(**changes), claims=claims))

    assert found.reason.code == code
    assert "r1" not in found.records


def test_an_argument_for_the_vehicle_holds_at_each_place() -> None:
    found = ask(
        covering(FLOOR, argued_by=TAKEN), arguing(argument(subject="vehicle"), claims={"floor": "plywood-22"})
    )

    assert found.outcome == Outcome.MET


def test_the_one_that_counts_is_taken_whatever_else_is_recorded() -> None:
    two = [argument(by="w2"), argument(id="r2")]
    found = ask(covering(FLOOR, argued_by=TAKEN), arguing(*two, claims={"floor": "plywood-22"}))

    assert found.reason.parameters["argument"] == "r2"


def test_an_argument_does_not_say_what_the_vehicle_has() -> None:
    bare = {key: value for key, value in PLACE.items() if key != "floor"}
    found = ask(covering(FLOOR, argued_by=TAKEN), arguing(argument(), claims={}, positions=[bare]))

    assert found.reason.code == "fact-not-stated"


def test_the_paper_of_an_argument_is_evidence_too() -> None:
    the_case = arguing(
        argument(exhibit="E009", note="n1"),
        claims={"floor": "plywood-22"},
        exhibits=[entry("E009", "other-document")],
        items={"E009": paper("E009")},
    )
    found = ask(covering(FLOOR, argued_by=TAKEN), the_case)

    assert found.exhibits == ("E009",)
    assert "argument r1, E009, n1" in say(found.reason.code, found.reason.parameters)


def test_the_sentence_says_who_argued_when_and_why_it_does_not_count() -> None:
    found = ask(covering(FLOOR), arguing(argument(), claims={"floor": "plywood-22"}))

    assert say(found.reason.code, found.reason.parameters) == (
        "Floor in the report: plywood-22; this vehicle needs steel-plate-4. w5 (laboratory, witness) argued on 2026-03-02 "
        "that the report covers it (argument r1, its words are filed nowhere); this does not count here, because the "
        "demand takes no argument in place of the test. Ask the maker for a report on that."
    )


def test_a_demand_that_nobody_confirmed_only_compares_an_argument() -> None:
    criterion = {**covering(FLOOR, argued_by=TAKEN), "mark": "secondary"}
    found = ask(criterion, arguing(argument(), claims={"floor": "plywood-22"}))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "limit-not-confirmed")
    assert found.reason.parameters["compared_code"] == "covered-by-argument"
