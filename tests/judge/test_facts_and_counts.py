"""``matches``, ``counted`` and ``attested``, and the facts that rules read."""

from datetime import date
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.facts import fact
from evidence.model.names import Fact, FieldWord, Outcome, RestsOn
from tests.judge.builders import (
    ILLEGIBLE,
    NOT_FITTED,
    POSITION,
    TO_COME,
    ask,
    asking,
    case,
    cycles,
    document,
    record,
    screws,
)


def at(**changes: Any) -> Case:
    return case(record(positions=[{**POSITION, **changes}]))


def stretchers(*delivered: str, approved: tuple[str, ...] = ("Heron Carrier",)) -> dict[str, Any]:
    return {
        "approved_models": list(approved),
        "delivered_with": [{"model": model} for model in delivered],
    }


def test_a_fact_among_the_allowed_values() -> None:
    found = ask(asking("matches", allowed=["HERON 2", "Heron 3"]), case())

    assert (found.outcome, found.reason.code, found.rests_on) == ("met", "fact-matches", (RestsOn.RECORDED,))


def test_a_fact_that_differs() -> None:
    found = ask(asking("matches", allowed=["Heron 3"]), case())

    assert (found.outcome, found.reason.code) == (Outcome.NOT_MET, "fact-differs")
    assert found.reason.parameters["found"] == "Heron 2"


@pytest.mark.parametrize(
    ("serial", "outcome", "code"),
    [
        (TO_COME, "not shown", "fact-not-stated"),
        (NOT_FITTED, "not shown", "fact-not-stated"),
        (ILLEGIBLE, "undecided", "fact-illegible"),
        ("12", "not met", "fact-differs"),  # a serial is text: 0012 is another one
        ("0012", "met", "fact-matches"),
    ],
)
def test_a_serial_that_may_not_be_known(serial: object, outcome: str, code: str) -> None:
    criterion = asking("matches", fact="position.system-serial", allowed=["0012"])
    found = ask(criterion, at(system={"model": "Heron 2", "serial": serial}))

    assert (found.outcome, found.reason.code) == (outcome, code)


PAIR = {"fact": "position.stretcher-delivered-with", "equals": "position.stretcher-approved", "allowed": []}


@pytest.mark.parametrize(
    ("places", "outcome"),
    [
        (stretchers("Heron Carrier"), "met"),
        (stretchers("Heron Light"), "not met"),
        (stretchers("Heron Carrier", "Heron Light"), "not met"),
        (stretchers(), "not shown"),
        (stretchers("Heron Carrier", approved=()), "not shown"),
    ],
)
def test_every_delivered_stretcher_is_an_approved_one(places: dict[str, Any], outcome: str) -> None:
    assert ask(asking("matches", **PAIR), at(stretchers=places)).outcome == outcome


def certificate(**claims: Any) -> Case:
    return case(record(documents=[document("d1", "calibration-certificate", **claims)]))


KIND = asking(
    "matches",
    fact="document.certificate-kind",
    allowed=["ISO 6789-2"],
    evidence_from=["calibration-certificate"],
)


@pytest.mark.parametrize(
    ("claims", "outcome", "code"),
    [
        ({"certificate_kind": "ISO 6789-2"}, "met", "fact-matches"),
        ({"certificate_kind": "ISO 6789-1"}, "not met", "fact-differs"),
        ({"certificate_kind": ILLEGIBLE}, "undecided", "claim-illegible"),
        ({"certificate_kind": ["ISO 6789-2", ILLEGIBLE]}, "undecided", "claim-illegible"),
        ({}, "not shown", "claim-not-stated"),
    ],
)
def test_a_fact_of_a_document(claims: dict[str, Any], outcome: str, code: str) -> None:
    found = ask(KIND, certificate(**claims))

    assert (found.outcome, found.reason.code) == (outcome, code)


@pytest.mark.parametrize(
    ("claims", "outcome"),
    [
        ({"system_model": "Heron 2"}, "met"),
        ({"system_model": "Heron 1"}, "not met"),
        ({"system_model": ["Heron 2", ILLEGIBLE]}, "undecided"),
        ({"system_model": TO_COME}, "not shown"),
        ({}, "not shown"),
    ],
)
def test_a_fact_against_a_document(claims: dict[str, Any], outcome: str) -> None:
    criterion = asking(
        "matches", equals="document.system-model", allowed=[], evidence_from=["calibration-certificate"]
    )

    assert ask(criterion, certificate(**claims)).outcome == outcome
    assert ask(criterion, case()).reason.code == "missing-calibration-certificate"
    assert ask(KIND, case()).reason.code == "missing-calibration-certificate"


def test_a_vehicles_fact_is_that_of_all_its_positions() -> None:
    two = record(positions=[POSITION, {**POSITION, "id": "p2", "floor": None} | {"floor": "rail"}])
    bare = record(
        positions=[POSITION, {key: value for key, value in POSITION.items() if key != "floor"} | {"id": "p2"}]
    )

    assert fact(Fact.POSITION_FLOOR, "vehicle", two).values == ("plate", "rail")
    assert fact(Fact.POSITION_FLOOR, "p2", two).values == ("rail",)
    assert fact(Fact.POSITION_FLOOR, "vehicle", bare).states == (FieldWord.UNKNOWN,)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        (Fact.VEHICLE_TYPE, ("B",)),
        (Fact.VEHICLE_DRIVE_SIDE, ("left",)),
        (Fact.VEHICLE_BUILD, ("BW-1",)),
        (Fact.VEHICLE_VIN, ("1M8GDM9AXKP042788",)),
        (Fact.VEHICLE_MODULE_SERIAL, ("M-1",)),
        (Fact.POSITION_SYSTEM_MODEL, ("Heron 2",)),
        (Fact.POSITION_SYSTEM_SERIAL, ("0012",)),
        (Fact.POSITION_LOADING, ("rear",)),
        (Fact.POSITION_ORIENTATION, ("head-forward",)),
        (Fact.POSITION_FLOOR, ("plate",)),
        (Fact.POSITION_TESTED_MODEL, ("Heron Carrier",)),
        (Fact.POSITION_APPROVED_MODELS, ("Heron Carrier", "Heron Carrier XL")),
        (Fact.POSITION_DELIVERED_MODEL, ("Heron Carrier",)),
        (Fact.SCREWS_THREAD, ("M8",)),
        (Fact.SCREWS_CLASS, ("10.9",)),
        (Fact.SCREWS_HEAD, ("countersunk",)),
        (Fact.SCREWS_COUNT, ("2",)),
        (Fact.SCREWS_WITNESS_MARKED, ("yes",)),
        (Fact.RECORD_PROFILE, ("heron-2@C",)),
    ],
)
def test_where_each_fact_stands(name: Fact, expected: tuple[str, ...]) -> None:
    vehicle = {
        "build": "BW-1",
        "type": "B",
        "drive_side": "left",
        "vin": "1M8GDM9AXKP042788",
        "module_serial": "M-1",
    }
    the_record = record(vehicle=vehicle, screws=[screws(head="countersunk", witness_marked="yes")])

    assert fact(name, "p1", the_record).values == expected


def test_a_fact_of_screws_where_there_are_none_is_not_known() -> None:
    assert fact(Fact.SCREWS_THREAD, "p1", record()).states == (FieldWord.UNKNOWN,)
    assert (
        ask(asking("matches", fact="screws.thread", allowed=["M8"]), case()).reason.code == "fact-not-stated"
    )


def test_every_fact_has_a_place() -> None:
    assert all(fact(name, "vehicle", record(screws=[screws()])) for name in Fact)


@pytest.mark.parametrize(
    ("done", "outcome", "code"),
    [
        ([("10", "10")], "met", "counted-enough"),
        ([("6", "6"), ("4", "4")], "met", "counted-enough"),
        ([("9", "9")], "not met", "too-few-counted"),
        ([("11", "10")], "not met", "faults-seen"),
        ([], "not shown", "cycles-not-recorded"),
    ],
)
def test_cycles_are_added_up(done: list[tuple[str, str]], outcome: str, code: str) -> None:
    entries = [cycles(f"n{number}", *pair) for number, pair in enumerate(done)]
    found = ask(asking("counted"), case(record(cycles=entries)))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_as_many_faults_as_are_allowed() -> None:
    the_case = case(record(cycles=[cycles("n1", "12", "10")]))

    assert ask(asking("counted", faults_allowed="2"), the_case).outcome == Outcome.MET
    assert ask(asking("counted", faults_allowed="1"), the_case).outcome == Outcome.NOT_MET


def test_cycles_of_another_kind_or_position_do_not_count() -> None:
    others = [cycles("n1", kind="false-lock"), cycles("n2", subject="p2")]
    the_record = record(positions=[POSITION, {**POSITION, "id": "p2"}], cycles=others)

    from evidence.judge import counted  # noqa: PLC0415
    from tests.judge.builders import demand  # noqa: PLC0415

    found = counted.judge(demand(asking("counted")), "p1", case(the_record))
    assert found.reason.code == "cycles-not-recorded"


@pytest.mark.parametrize(("at_least", "outcome"), [("2", "met"), ("3", "not met")])
def test_screws_of_a_group(at_least: str, outcome: str) -> None:
    criterion = asking("counted", subject="screws", count="screws", at_least=at_least)

    assert ask(criterion, case(record(screws=[screws()]))).outcome == outcome


def test_screws_of_each_group_of_a_position() -> None:
    criterion = asking("counted", count="screws", at_least="2")
    found = ask(criterion, case(record(screws=[screws(), screws("g2", count="1")])))

    assert [(part.name, part.outcome) for part in found.parts] == [("g1", "met"), ("g2", "not met")]
    assert ask(criterion, case()).reason.code == "value-not-recorded"


def statement(**changes: Any) -> dict[str, Any]:
    return {
        "id": "s1",
        "statement": "functional-test-done",
        "subject": "p1",
        "by": "w2",
        "at": "2026-03-04T16:00",
        **changes,
    }


@pytest.mark.parametrize(
    ("changes", "outcome", "code"),
    [
        ({}, "met", "stated"),
        ({"subject": "vehicle"}, "met", "stated"),
        ({"by": "w1"}, "not shown", "stated-by-other"),
        ({"statement": "another"}, "not shown", "not-stated"),
    ],
)
def test_who_states_what(changes: dict[str, Any], outcome: str, code: str) -> None:
    found = ask(asking("attested"), case(record(statements=[statement(**changes)])))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.rests_on == ((RestsOn.STATEMENT,) if outcome == "met" else ())


def test_a_statement_made_later_was_not_known() -> None:
    the_record = record(statements=[statement()])

    assert ask(asking("attested"), case(the_record, known_on=date(2026, 3, 3))).reason.code == "not-yet-known"
    assert ask(asking("attested"), case(the_record, known_on=date(2026, 3, 4))).outcome == Outcome.MET


def test_a_statement_about_one_position_is_none_about_the_vehicle() -> None:
    found = ask(asking("attested", subject="vehicle"), case(record(statements=[statement()])))

    assert found.reason.code == "not-stated"
