"""``covers`` by quantities: whether the vehicle lies within the range that was tested, by value and not by text."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.names import Outcome
from tests.judge.builders import ILLEGIBLE, POSITION, TO_COME, ask, asking, case, document, record

Field = dict[str, Any]
MASS = {"claim": "test-mass", "fact": "position.carried-mass", "how": "at-least"}
TRAVEL = {"claim": "displacement", "fact": "position.free-travel", "how": "at-most"}
BETWEEN = {**MASS, "how": "between"}
SAME = {**MASS, "how": "same"}


def covering(*fields: Field) -> dict[str, Any]:
    return asking("covers", evidence_from=["type-test-report"], fields=list(fields))


def carrying(place: dict[str, Any], **claims: Any) -> Case:
    report = document("d1", "type-test-report", **claims)
    return case(record(positions=[{**POSITION, **place}], documents=[report]))


# 550 lb is 249.4758035 kg and 551.155655 lb is a hair more than 250 kg, 2.5 in is 63.5 mm
# published: NIST SP 811, 2008, Gaithersburg, which gives the pound as 0.45359237 kg and the inch as 25.4 mm exactly
@pytest.mark.parametrize(
    ("field", "tested", "has", "outcome", "code"),
    [
        (MASS, "255 kg", "250 kg", "met", "covered-within-range"),
        (MASS, "250 kg", "250.0 kg", "met", "covered"),
        (MASS, "550 lb", "250 kg", "not met", "covers-outside-range"),
        (MASS, "551.155656 lb", "250 kg", "met", "covered-within-range"),
        (MASS, ["255 kg", "280 kg"], "250 kg", "met", "covered-within-range"),
        (MASS, ["180 kg", "255 kg"], "250 kg", "undecided", "covered-by-some"),
        (MASS, ["255 kg", ILLEGIBLE], "250 kg", "undecided", "claim-illegible"),
        (BETWEEN, ["180 kg", "255 kg"], "250 kg", "met", "covered-within-range"),
        (BETWEEN, ["180 kg", "255 kg", ILLEGIBLE], "250 kg", "met", "covered-within-range"),
        (BETWEEN, ["180 kg", "240 kg", ILLEGIBLE], "250 kg", "undecided", "claim-illegible"),
        (BETWEEN, "255 kg", "250 kg", "not met", "covers-outside-range"),
        (SAME, "250000 g", "250 kg", "met", "covered"),
        (SAME, "255 kg", "250 kg", "not met", "covers-other"),
        (MASS, [], "250 kg", "not shown", "claim-not-stated"),
        (MASS, "255 kg", TO_COME, "not shown", "fact-not-stated"),
        (MASS, "255 kg", None, "not shown", "fact-not-stated"),
        (MASS, "255 kg", ILLEGIBLE, "undecided", "fact-illegible"),
    ],
)
def test_a_mass_against_what_was_tested(field: Field, tested: Any, has: Any, outcome: str, code: str) -> None:
    found = ask(covering(field), carrying({"carried_mass": has} if has else {}, test_mass=tested))

    assert (found.outcome, found.reason.code) == (outcome, code)


@pytest.mark.parametrize(
    ("moved", "free", "outcome", "code"),
    [
        ("42 mm", "60 mm", "met", "covered-within-range"),
        ("2.5 in", "63.5 mm", "met", "covered"),
        ("2.5 in", "60 mm", "not met", "covers-outside-range"),
    ],
)
def test_what_moved_in_the_test_needs_room_in_the_vehicle(
    moved: str, free: str, outcome: str, code: str
) -> None:
    found = ask(covering(TRAVEL), carrying({"free_travel": free}, displacement=moved))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.reason.parameters["found"] == (moved,)


def test_the_reason_names_both_values_as_they_were_typed() -> None:
    found = ask(covering(MASS), carrying({"carried_mass": "260,5 kg"}, test_mass="255 kg"))

    assert found.reason.parameters == {
        "claim": "test-mass",
        "expected": ("260.5 kg",),
        "found": ("255 kg",),
        "part": "test-mass",
    }


def test_every_place_of_a_vehicle_must_lie_within_the_range() -> None:
    places = [
        {**POSITION, "id": name, "carried_mass": mass} for name, mass in (("p1", "250 kg"), ("p2", "260 kg"))
    ]
    report = document("d1", "type-test-report", subject="vehicle", test_mass="255 kg")
    whole = {**covering(MASS), "subject": "vehicle"}

    assert ask(whole, case(record(positions=places, documents=[report]))).outcome == Outcome.NOT_MET


def test_a_variant_is_another_system_where_its_maker_tells_them_apart() -> None:
    criterion = covering({"claim": "system-variant", "fact": "position.system-variant"})
    fitted = {"system": {"model": "Heron 2", "variant": "long rail", "serial": "0012"}}

    assert ask(criterion, carrying(fitted, system_variant="Long Rail")).outcome == Outcome.MET
    assert ask(criterion, carrying(fitted, system_variant="short rail")).reason.code == "covers-other"
    assert ask(criterion, carrying({}, system_variant="short rail")).reason.code == "fact-not-stated"
