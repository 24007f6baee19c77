"""Which vehicle a photo shows, and what codes in photos contradict; every number is of the invented jobs."""

from collections.abc import Sequence
from typing import Any

import pytest

from evidence import labels
from evidence.judge import TYPES
from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction, Finding
from evidence.model.names import KEY_PHOTO_ROLES, ContradictionRule, Outcome, Role
from evidence.phrases import say
from tests.judge import builders
from tests.judge.builders import POSITION, TICKET, ask, asking, entry, photo, record

VIN, OTHER_VIN = "1M8GDM9AXKP042788", "1G4AH59H45G118341"
UDI = "(01)51022222233336(21)0012"
SECOND: dict[str, Any] = {
    **POSITION,
    "id": "p2",
    "system": {"model": "Heron 2", "serial": "0013"},
    "stretchers": {
        "tested_with": [{"model": "Heron Carrier", "serial": "C-78"}],
        "approved_models": ["Heron Carrier"],
        "delivered_with": [{"model": "Heron Carrier", "serial": "C-78", "holding": "pool"}],
    },
}
TICKETS = [
    {"subject": "vehicle", "nonce": builders.NONCE},
    {"subject": "p1", "nonce": "aaaaaa"},
    {"subject": "p2", "nonce": "bbbbbb"},
]
TWO: dict[str, Any] = {"positions": [POSITION, SECOND], "tickets": TICKETS}
P1, P2 = "sillmark:AMB-1:p1:aaaaaa", "sillmark:AMB-1:p2:bbbbbb"


def asked(codes: Sequence[str], role: str = "hook-position", subject: str = "p1", **parts: Any) -> Finding:
    """What one photo of a role gives, asked of its own subject."""
    kind = "vehicle" if subject == "vehicle" else "position"
    the_record = record(exhibits=[entry("E1", role, subject, "photos/E1.jpg")], **parts)
    case = builders.case(the_record, items={"E1": photo("E1", codes=codes)})
    demand = builders.demand(asking("present", evidence_from=[role], subject=kind))
    return TYPES["present"](demand, subject, case)


def found(codes: Sequence[str], role: str, subject: str = "p1", **parts: Any) -> list[Contradiction]:
    """What one photo contradicts."""
    the_record = record(exhibits=[entry("E1", role, subject, "photos/E1.jpg")], **parts)
    rules = (ContradictionRule.LABEL_DIFFERS, ContradictionRule.PHOTO_OF_ANOTHER_VEHICLE)
    case = builders.case(the_record, items={"E1": photo("E1", codes=codes)})
    return [one for one in contradictions(case) if one.rule in rules]


VEHICLE = {"build": "BW-0001", "vin": VIN, "module_serial": "M-0007"}


@pytest.mark.parametrize(
    "code",
    [
        TICKET, P1, "HERON 2 SN 0012", UDI, "HERON CARRIER SN C-77", f"VIN {VIN}", "BW-0001", "M-0007", "SN M-0007",
        f"VIN {VIN} BUILD BW-2",
    ],
)  # fmt: skip
@pytest.mark.parametrize("role", sorted(KEY_PHOTO_ROLES))
def test_a_key_photo_shows_the_ticket_or_a_label_of_the_record(role: Role, code: str) -> None:
    finding = asked([code, "A-PLAIN-TEXT"], role.value, **TWO, vehicle=VEHICLE)

    assert finding.outcome == Outcome.MET
    assert finding.reason.code == "evidence-there"


@pytest.mark.parametrize(
    "codes",
    [
        [],
        ["A-PLAIN-TEXT"],
        ["sillmark:AMB-2:p1:aaaaaa"],
        ["sillmark:AMB-1:p1:zzzzzz"],
        [P2],
        ["sillmark-clock:AMB-1:aaaaaa"],
        ["HERON 2 SN 0013"],
        ["HERON 2 SN 12"],
        ["OTHER THING SN 0012"],
        ["HERON CARRIER SN C-78"],
        [f"VIN {OTHER_VIN}"],
        [f"VIN {OTHER_VIN} BUILD BW-0001"],
        ["SN 0012"],  # too short to be anything's for certain, where no model stands beside it
        ["(01)51022222233336(10)0012"],
        ["BW-00010"],
    ],
)
def test_anything_else_does_not_show_which_vehicle(codes: Sequence[str]) -> None:
    finding = asked(codes, **TWO, vehicle=VEHICLE)

    assert finding.outcome == Outcome.NOT_SHOWN
    assert finding.reason.code == "which-vehicle"
    assert finding.reason.parameters == {"exhibits": ("E1",), "subject": "p1"}
    assert finding.rests_on == ()
    assert "neither this job's ticket" in say("which-vehicle", finding.reason.parameters)


@pytest.mark.parametrize(("number", "outcome"), [("M-007", Outcome.NOT_SHOWN), ("M-0007", Outcome.MET)])
def test_a_number_alone_shows_the_vehicle_from_six_characters_on(number: str, outcome: Outcome) -> None:
    assert len("M-0007") == labels.MIN_NUMBER
    for code in (number, f"SN {number}"):
        assert asked([code], vehicle={"build": "B", "module_serial": number}).outcome == outcome


def test_before_the_vin_is_known_a_plate_shows_the_vehicle_by_its_build() -> None:
    vehicle = {"build": "BW-1", "vin": builders.TO_COME}

    assert asked([f"VIN {OTHER_VIN} BUILD BW-1"], **TWO, vehicle=vehicle).outcome == Outcome.MET
    assert asked([f"VIN {OTHER_VIN} BUILD BW-2"], **TWO, vehicle=vehicle).outcome == Outcome.NOT_SHOWN


def test_a_stretcher_of_a_pool_shows_no_vehicle() -> None:
    assert asked(["HERON CARRIER SN C-78"], subject="p2", **TWO).reason.code == "which-vehicle"


def test_without_printed_tickets_a_ticket_shows_nothing() -> None:
    assert asked([TICKET], tickets=[]).reason.code == "which-vehicle"


def test_other_roles_need_no_ticket() -> None:
    for role in sorted(set(builders.PHOTO_ROLES) - {each.value for each in KEY_PHOTO_ROLES}):
        assert asked([], role, **TWO).outcome == Outcome.MET, role


def test_one_photo_with_its_ticket_is_enough_beside_one_without() -> None:
    entries = [entry(name, "hook-position", "p1", f"photos/{name}.jpg") for name in ("E1", "E2")]
    items = {"E1": photo("E1", codes=()), "E2": photo("E2")}
    case = builders.case(record(exhibits=entries), items=items)

    finding = ask(asking("present", evidence_from=["hook-position"]), case)

    assert (finding.outcome, finding.exhibits) == (Outcome.MET, ("E2",))


@pytest.mark.parametrize(
    ("codes", "subject", "code", "said"),
    [
        (["sillmark:AMB-2:p1:aaaaaa"], "p1", "photo-of-another-vehicle", ("AMB-2 p1", "AMB-1")),
        (["sillmark:AMB-1:p1:zzzzzz"], "p1", "photo-ticket-not-printed", ("AMB-1 p1 zzzzzz", "AMB-1")),
        ([P2], "p1", "photo-of-another-place", ("p2", "p1")),
        (["sillmark:AMB-2:p9:aaaaaa"], "vehicle", "photo-of-another-vehicle", ("AMB-2 p9", "AMB-1")),
    ],
)
def test_a_ticket_of_elsewhere_is_told(
    codes: Sequence[str], subject: str, code: str, said: tuple[str, str]
) -> None:
    (one,) = found(codes, "hook-position", subject, **TWO)

    assert one.rule == ContradictionRule.PHOTO_OF_ANOTHER_VEHICLE
    assert one.id.startswith("photo-of-another-vehicle:E1:")
    assert one.reason.code == code
    assert tuple(place.value for place in one.between) == said
    assert one.exhibits == ("E1",)
    assert all(word in say(code, one.reason.parameters) for word in ("E1", *said))


@pytest.mark.parametrize(
    ("codes", "subject", "parts"),
    [
        ([TICKET], "p1", TWO),
        ([P1, "sillmark:AMB-2:p1:cccccc"], "p1", TWO),  # another job's ticket lies beside the own one
        ([P2], "vehicle", TWO),
        (["sillmark:AMB-1:p1:zzzzzz"], "p1", {**TWO, "tickets": []}),
        (["sillmark-clock:AMB-2:aaaaaa"], "p1", TWO),
        ([], "p1", TWO),
    ],
)
def test_a_ticket_that_is_not_certainly_of_elsewhere_is_not(
    codes: Sequence[str], subject: str, parts: dict[str, Any]
) -> None:
    assert found(codes, "hook-position", subject, **parts) == []


@pytest.mark.parametrize(
    ("codes", "role", "subject", "where", "said"),
    [
        (["HERON 2 SN 0049"], "label-system", "p1", "p1.serial", ("0012", "0049")),
        (["SN 12", TICKET], "label-system", "p1", "p1.serial", ("0012", "12")),
        (["(01)51022222233336(21)0049"], "label-system", "p1", "p1.serial", ("0012", "0049")),
        (["HERON 2 SN 0049", "OTHER THING SN 0012"], "label-system", "p1", "p1.serial", ("0012", "0049")),
        (["HERON 2 SN 0049"], "label-system", "vehicle", "vehicle.serial", ("0012, 0013", "0049")),
        (["HERON CARRIER SN C-99"], "label-stretcher", "p1", "p1.serial", ("C-77", "C-99")),
        ([f"VIN {OTHER_VIN}"], "label-vehicle", "vehicle", "vehicle.vin", (VIN, OTHER_VIN)),
        ([f"VIN {OTHER_VIN}"], "which-vehicle", "vehicle", "vehicle.vin", (VIN, OTHER_VIN)),
        ([f"VIN {VIN} BUILD BW-2"], "label-vehicle", "vehicle", "vehicle.build", ("BW-0001", "BW-2")),
    ],
)
def test_a_label_that_differs_is_told_with_both_values(
    codes: Sequence[str], role: str, subject: str, where: str, said: tuple[str, str]
) -> None:
    (one,) = found(codes, role, subject, **TWO, vehicle=VEHICLE)

    assert one.rule == ContradictionRule.LABEL_DIFFERS
    assert one.reason.code == "label-differs"
    assert tuple((place.where, place.value) for place in one.between) == (
        (where, said[0]),
        ("E1.label", said[1]),
    )
    assert all(word in say("label-differs", one.reason.parameters) for word in ("E1", *said))


@pytest.mark.parametrize(
    ("codes", "role", "parts"),
    [
        (["HERON 2 SN 0012"], "label-system", TWO),
        ([UDI], "label-system", TWO),
        (["OTHER THING SN 0049"], "label-system", TWO),
        (["SN 0049", "SN 0050"], "label-system", TWO),
        (["BW-1"], "label-system", TWO),
        (["(01)51022222233336(10)L-1"], "label-system", TWO),
        ([f"VIN {VIN}", f"VIN {OTHER_VIN}"], "label-vehicle", TWO),
        ([f"VIN {VIN.lower()}"], "label-vehicle", TWO),
        (["SN 0049"], "label-vehicle", TWO),
        (["HERON 2 SN 0049"], "hook-position", TWO),
        (["SN 0049"], "label-system", {"positions": [{**POSITION, "system": {"model": "Heron 2", "serial": builders.TO_COME}}]}),
        (["SN 0049"], "label-stretcher", {"positions": [{**POSITION, "stretchers": {}}]}),
    ],
)  # fmt: skip
def test_a_label_that_does_not_certainly_differ_is_not(
    codes: Sequence[str], role: str, parts: dict[str, Any]
) -> None:
    assert found(codes, role, **{"vehicle": VEHICLE, **parts}) == []


def test_a_record_that_holds_a_whole_device_identifier_is_compared_by_its_serial() -> None:
    fitted = {**POSITION, "system": {"model": "Heron 2", "serial": UDI}}

    assert found(["HERON 2 SN 0012"], "label-system", positions=[fitted]) == []
    (one,) = found(["HERON 2 SN 0013"], "label-system", positions=[fitted])
    assert one.between[0].value == UDI
