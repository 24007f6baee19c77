"""Contradictions about what is fitted: serial numbers, certificates, the tested pair, the vehicle number."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from evidence.model.names import Region, Role, Severity
from tests.judge.builders import (
    ILLEGIBLE,
    POSITION,
    TO_COME,
    TOOLS,
    UNKNOWN,
    case,
    document,
    entry,
    paper,
    record,
)


def of(rule: str, the_case: Case) -> list[Contradiction]:
    return [one for one in contradictions(the_case) if one.rule == rule]


def papers(role: str = "delivery-note", *, positions: Any = None, subject: str = "p1", **claims: Any) -> Case:
    the_record = record(
        positions=positions or [POSITION],
        documents=[document("d1", role, "E1", subject, **claims)],
        exhibits=[entry("E1", role)],
    )
    return case(the_record, items={"E1": paper("E1")})


@pytest.mark.parametrize(
    ("claims", "fires"),
    [
        ({"system_serial": "0012"}, False),
        ({"system_serial": "0013"}, True),
        ({"system_serial": "12"}, True),
        ({"system_serial": "0011, 0012"}, False),
        ({"system_serial": ILLEGIBLE}, False),
        ({"stretcher_serial": "c-77"}, False),
        ({"stretcher_serial": "C-78"}, True),
        ({"sample_serial": "0012"}, False),
        ({"sample_serial": "C-77"}, False),
        ({"sample_serial": "S-1"}, True),
    ],
)
def test_serial_differs(claims: dict[str, Any], *, fires: bool) -> None:
    found = of("serial-differs", papers(**claims))

    assert bool(found) == fires
    if fires:
        assert found[0].exhibits == ("E1",)
        assert found[0].reason.parameters["subject"] == "p1"


def test_what_nobody_read_on_a_scan_differs_from_nothing() -> None:
    """A page without text counts on the word of who read it; without one, a number may be anything."""
    scan = Item.read({**paper("E1").document(), "document": {"pages": 1, "has_text": False}})

    def told(rule: str, role: str, claims: list[dict[str, str]]) -> list[Contradiction]:
        stated = {**document("d1", role, "E1"), "claims": claims}
        the_record = record(documents=[stated], exhibits=[entry("E1", role)])
        return of(rule, case(the_record, items={"E1": scan}))

    for rule, role, name in (
        ("serial-differs", "delivery-note", "system-serial"),
        ("tested-pair-differs", "type-test-report", "system-model"),
    ):
        claim = {"name": name, "value": "0099"}
        assert told(rule, role, [claim]) == []
        assert len(told(rule, role, [{**claim, "read_by": "w2"}])) == 1
    # one model was read and another not, which may be the fitted one
    both = [{"name": "system-model", "value": "A", "read_by": "w2"}, {"name": "system-model", "value": "B"}]
    assert told("tested-pair-differs", "type-test-report", both) == []


@pytest.mark.parametrize("role", [Role.TYPE_TEST_REPORT, Role.DATA_SHEET, Role.FLOOR_TEST_REPORT])
def test_a_sample_of_a_test_house_has_a_serial_of_its_own(role: Role) -> None:
    assert of("serial-differs", papers(role.value, system_serial="0099")) == []


def test_a_serial_not_recorded_yet_may_be_the_one_on_the_paper() -> None:
    later = [{**POSITION, "system": {"model": "Heron 2", "serial": TO_COME}}]
    none = [{key: one for key, one in POSITION.items() if key != "stretchers"}]

    assert of("serial-differs", papers(positions=later, system_serial="0099")) == []
    assert of("serial-differs", papers(positions=none, stretcher_serial="C-1")) == []


def test_a_paper_on_the_vehicle_may_name_any_of_its_positions() -> None:
    two = [POSITION, {**POSITION, "id": "p2", "system": {"model": "Heron 2", "serial": "0013"}}]

    assert of("serial-differs", papers(positions=two, subject="vehicle", system_serial="0013")) == []
    (found,) = of("serial-differs", papers(positions=two, subject="vehicle", system_serial="0014"))
    assert found.reason.parameters["recorded"] == "0012, 0013"
    assert found.id.startswith("serial-differs:vehicle:")


def certified(tool: dict[str, Any], **claims: Any) -> Case:
    return case(
        record(
            instruments=[{**TOOLS[0], **tool}],
            documents=[document("d1", "calibration-certificate", subject="i1", **claims)],
        )
    )


@pytest.mark.parametrize(
    ("tool", "serial", "fires"),
    [({}, "K-1", False), ({}, "K-2", True), ({"serial": UNKNOWN}, "K-2", False), ({}, ILLEGIBLE, False)],
)
def test_serial_of_an_instrument_against_its_certificate(tool: Any, serial: Any, *, fires: bool) -> None:
    found = of("serial-differs", certified(tool, instrument_serial=serial))

    assert bool(found) == fires
    assert not fires or found[0].id.startswith("serial-differs:i1:")


@pytest.mark.parametrize(
    ("tool", "day", "fires"),
    [
        ({}, "2026-01-10", False),
        ({}, "2026-01-11", True),
        ({}, ILLEGIBLE, False),
        ({"calibrated": UNKNOWN}, "2026-01-11", False),
    ],
)
def test_certificate_date_differs(tool: Any, day: Any, *, fires: bool) -> None:
    found = of("certificate-date-differs", certified(tool, calibrated_on=day))

    assert bool(found) == fires
    assert of("certificate-date-differs", certified({})) == []
    if fires:
        assert [place.value for place in found[0].between] == ["2026-01-10", "2026-01-11"]


@pytest.mark.parametrize(
    ("claims", "fires"),
    [
        ({"system_model": "Heron 2", "stretcher_model": "Heron Carrier"}, False),
        ({"system_model": "Heron 1"}, True),
        ({"stretcher_model": "Heron Light"}, True),
        ({"stretcher_model": "Heron Light; Heron Carrier"}, False),
        ({"stretcher_model": ["Heron Light", "Heron Carrier"]}, False),
        ({"stretcher_model": ILLEGIBLE}, False),
        ({}, False),
    ],
)
def test_tested_pair_differs(claims: dict[str, Any], *, fires: bool) -> None:
    assert bool(of("tested-pair-differs", papers("type-test-report", **claims))) == fires
    assert of("tested-pair-differs", papers("delivery-note", **claims)) == []


def test_one_report_of_several_on_the_fitted_pair_is_enough() -> None:
    def both(second: Any) -> Case:
        reports = [
            document("d1", "type-test-report", system_model="Heron 1"),
            document("d2", "type-test-certificate", system_model=second),
        ]
        return case(record(documents=reports))

    assert of("tested-pair-differs", both("Heron 2")) == []
    assert of("tested-pair-differs", both(ILLEGIBLE)) == []
    (found,) = of("tested-pair-differs", both("Heron 3"))
    assert found.reason.parameters["tested"] == "Heron 1, Heron 3"


def with_vin(vin: Any, region: Region) -> Case:
    return case(record(vehicle={"build": "1", "vin": vin}), regions=frozenset({region}))


@pytest.mark.parametrize(
    ("vin", "region", "severity"),
    [
        ("1M8GDM9A0KP042788", Region.NORTH_AMERICA, Severity.CONTRADICTION),
        ("1M8GDM9A0KP042788", Region.EUROPE, Severity.NOTICE),
        ("1M8GDM9AXKP042788", Region.NORTH_AMERICA, None),
        (TO_COME, Region.NORTH_AMERICA, None),
    ],
)
def test_vin_check_digit(vin: Any, region: Region, severity: Severity | None) -> None:
    found = of("vin-check-digit", with_vin(vin, region))

    assert [one.severity for one in found] == ([severity] if severity else [])
    assert all(one.open == (severity == Severity.CONTRADICTION) for one in found)
