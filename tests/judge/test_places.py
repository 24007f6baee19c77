"""A vehicle with several stretcher places: what was recorded on the vehicle shows nothing of one of them."""

from typing import Any

import pytest

from evidence.judge import TYPES
from evidence.model.finding import Finding
from evidence.model.names import PLACE_ROLES, ROLE_KINDS, Outcome, Role
from tests.judge.builders import (
    POSITION,
    asking,
    case,
    cycles,
    demand,
    document,
    entry,
    paper,
    photo,
    record,
    screws,
    table,
    value,
)

TWO = [POSITION, {**POSITION, "id": "p2"}]
ONE = [POSITION]


def asked_of(
    criterion: dict[str, Any], subject: str, positions: list[dict[str, Any]], **parts: Any
) -> Finding:
    items = parts.pop("items", {})
    the_demand = demand(criterion)
    the_case = case(record(positions=positions, **parts), items=items, tables={"E1": (("0",), ("0",))})
    return TYPES[the_demand.criterion.type](the_demand, subject, the_case)


def statement(subject: str, name: str = "a1") -> dict[str, Any]:
    what = "functional-test-done"
    return {"id": name, "statement": what, "subject": subject, "by": "w2", "at": "2026-03-04T16:00"}


CORRIDOR = asking("inside", upper=[{"x": "0", "y": "1"}], lower=[{"x": "0", "y": "-1"}])
OBSERVATIONS: dict[str, tuple[dict[str, Any], str, dict[str, Any]]] = {
    "value": (asking("within"), "characteristics", value()),
    "cycles": (asking("counted"), "cycles", cycles()),
    "statement": (asking("attested"), "statements", statement("p1")),
    "photo": (asking("present"), "exhibits", entry("E1", "overview")),
    "channel": (CORRIDOR, "exhibits", entry("E1", "test-channel")),
    "held photo": (asking("present"), "documents", document("d1", "overview")),
}


def observed(name: str, subject: str, positions: list[dict[str, Any]]) -> Finding:
    criterion, section, one = OBSERVATIONS[name]
    item = table("E1", time="s", a="g") if name == "channel" else photo("E1")
    parts = {section: [{**one, "subject": subject}]}
    return asked_of(criterion, "p1", positions, items={"E1": item}, **parts)


@pytest.mark.parametrize("name", OBSERVATIONS)
def test_on_the_vehicle_it_counts_only_where_there_is_one_place(name: str) -> None:
    assert observed(name, "p1", TWO).outcome == Outcome.MET
    assert observed(name, "vehicle", ONE).outcome == Outcome.MET

    found = observed(name, "vehicle", TWO)
    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "recorded-for-vehicle")
    assert found.reason.parameters["subject"] == "p1"
    assert found.reason.parameters["entries"] == (OBSERVATIONS[name][2]["id"],)
    assert found.rests_on == ()


def test_a_screw_group_has_a_place_too() -> None:
    criterion = asking("present", subject="screws", evidence_from=["witness-marks"])

    def marked(subject: str, positions: list[dict[str, Any]]) -> Finding:
        parts = {"screws": [screws()], "exhibits": [entry("E1", "witness-marks", subject)]}
        return asked_of(criterion, "g1", positions, items={"E1": photo("E1")}, **parts)

    assert marked("g1", TWO).outcome == Outcome.MET
    assert marked("vehicle", ONE).outcome == Outcome.MET
    assert marked("vehicle", TWO).reason.code == "recorded-for-vehicle"


def test_a_paper_on_the_vehicle_covers_all_its_places() -> None:
    parts = {
        "exhibits": [entry("E1", "type-test-report", "vehicle")],
        "documents": [document("d1", "type-test-report", "E1", "vehicle", result="passed")],
        "items": {"E1": paper("E1")},
    }
    for kind in ("present", "complete"):
        criterion = asking(kind, evidence_from=["type-test-report"])
        assert {asked_of(criterion, one, TWO, **parts).outcome for one in ("p1", "p2")} == {Outcome.MET}


def test_what_is_asked_of_the_vehicle_is_recorded_on_it() -> None:
    parts = {"exhibits": [entry("E1", "overview", "vehicle")], "items": {"E1": photo("E1")}}

    assert asked_of(asking("present", subject="vehicle"), "vehicle", TWO, **parts).outcome == Outcome.MET


def test_a_photo_of_the_vehicle_beside_one_of_the_place_does_no_harm() -> None:
    files = [entry("E1", "overview", "vehicle"), entry("E2", "overview", "p1")]
    items = {name: photo(name) for name in ("E1", "E2")}

    found = asked_of(asking("present"), "p1", TWO, exhibits=files, items=items)
    assert (found.outcome, found.exhibits) == (Outcome.MET, ("E2",))
    other = asked_of(asking("present"), "p2", TWO, exhibits=files, items=items)
    assert other.reason.code == "recorded-for-vehicle"


def test_a_bad_value_cannot_be_hidden_on_the_vehicle() -> None:
    values = [value("v1"), value("v2", "130 mm", subject="vehicle")]
    found = asked_of(asking("within"), "p1", TWO, characteristics=values)

    assert found.outcome == Outcome.NOT_SHOWN
    assert [(part.name, part.reason.code) for part in found.parts] == [
        ("v1", "within-limits"),
        ("v2", "recorded-for-vehicle"),
    ]


def test_a_faulty_cycle_cannot_be_hidden_on_the_vehicle() -> None:
    counted = [cycles(), cycles("n2", without_fault="9", subject="vehicle")]
    found = asked_of(asking("counted"), "p1", TWO, cycles=counted)

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "recorded-for-vehicle")
    assert found.reason.parameters["entries"] == ("n2",)


def test_a_statement_on_the_place_counts_beside_one_on_the_vehicle() -> None:
    both = [statement("vehicle"), statement("p1", "a2")]
    found = asked_of(asking("attested"), "p1", TWO, statements=both)

    assert (found.outcome, found.records) == (Outcome.MET, ("a2", "w2"))


def test_photos_and_logs_show_one_place_and_papers_need_not() -> None:
    assert set(ROLE_KINDS) == set(Role)
    assert {Role.HOOK_POSITION, Role.CYCLE_LOG, Role.TEST_CHANNEL, Role.SCREWS} <= PLACE_ROLES
    assert not PLACE_ROLES & {
        Role.TYPE_TEST_REPORT,
        Role.CALIBRATION_CERTIFICATE,
        Role.WORK_CARD,
        Role.WHICH_VEHICLE,
        Role.LABEL_VEHICLE,
    }
