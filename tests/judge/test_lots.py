"""Lots and serial numbers out of labels and device identifiers; excluded lots; papers that name another one."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge._same import Meaning, entries, fits, lot_in, meaning, same
from evidence.judge.contradictions import contradictions
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from tests.judge.builders import (
    ILLEGIBLE,
    POSITION,
    TO_COME,
    UNKNOWN,
    ask,
    asking,
    case,
    document,
    entry,
    paper,
    record,
    screws,
)

# a trade item number with the check digit by weights 3 and 1: from memory of the GS1 General Specifications
GTIN = "09506000134352"
UDI = f"(01){GTIN}(10)H2-2602(21)0012"
BAD_UDI = "(01)09506000134353(10)H2-2602(21)0012"


@pytest.mark.parametrize(
    ("one", "other", "means", "agree"),
    [
        ("0012", "0012", Meaning.SERIAL, True),
        ("0012", "12", Meaning.SERIAL, False),
        ("0012", "SN 0012", Meaning.SERIAL, True),
        ("0012", UDI, Meaning.SERIAL, True),
        ("0013", UDI, Meaning.SERIAL, False),
        ("0012", BAD_UDI, Meaning.SERIAL, False),
        ("H2-2602", UDI, Meaning.LOT, True),
        ("h2-2602", "Lot: H2-2602", Meaning.LOT, True),
        ("H2-2602", "batch no. H2-2602", Meaning.LOT, True),
        ("H2-2602", "0012", Meaning.LOT, False),
        ("LOT-5521", "lot-5521", Meaning.LOT, True),
        ("5521", "LOT-5521", Meaning.LOT, False),
        (f"(01){GTIN}(21)0012", f"(01){GTIN}(21)0013", Meaning.LOT, False),
        ("0BW2231TARN000417", "VIN 0BW2231TARN000417", Meaning.VIN, True),
        ("0BW2231TARN000417", "0BW2231TARN000418", Meaning.VIN, False),
        ("0012", "SN 0012", Meaning.TEXT, False),
        ("Heron  2", "heron 2", Meaning.TEXT, True),
    ],
)
def test_when_two_values_are_the_same(one: str, other: str, means: Meaning, *, agree: bool) -> None:
    assert same(one, other, means) == agree
    assert same(other, one, means) == agree
    assert fits(one, [other], means) == agree


def test_what_values_are_goes_by_the_name_of_the_fact_or_claim() -> None:
    assert meaning("position.system-serial") == Meaning.SERIAL
    assert meaning("document.udi", "position.system-lot") == Meaning.LOT
    assert meaning("position.system-serial", "document.udi") == Meaning.SERIAL
    assert meaning("document.udi") == Meaning.SERIAL
    assert meaning("document.certificate-kind", None) == Meaning.CERTIFICATE
    assert meaning("vehicle.vin") == Meaning.VIN
    assert meaning("screws.thread") == Meaning.TEXT


def test_a_label_that_names_no_lot_or_cannot_be_read_gives_none() -> None:
    assert lot_in(UDI) == "H2-2602"
    assert lot_in(BAD_UDI) is None
    assert lot_in(f"(01){GTIN}(21)0012") is None
    assert entries(["A, B;C", "A"]) == ("A, B;C", "A", "B", "C")


def excluding(*lots: str, fact: str = "screws.lot") -> dict[str, Any]:
    return asking("matches", subject="vehicle", fact=fact, allowed=[], excluded=list(lots))


@pytest.mark.parametrize(
    ("lots", "outcome", "code"),
    [
        (["SC-1"], "met", "fact-not-excluded"),
        (["SC-9"], "not met", "fact-excluded"),
        (["sc-9"], "not met", "fact-excluded"),
        (["Lot SC-9"], "not met", "fact-excluded"),
        (["SC-1, SC-9"], "not met", "fact-excluded"),
        ([f"(01){GTIN}(10)SC-9"], "not met", "fact-excluded"),
        ([f"(01){GTIN}(10)SC-1"], "met", "fact-not-excluded"),
        ([f"(01){GTIN}(21)77"], "not shown", "fact-not-stated"),
        (["SC-1", "SC-9"], "not met", "fact-excluded"),
        (["SC-1", None], "not shown", "fact-not-stated"),
        # what is certainly withdrawn counts, whatever is not known beside it
        (["SC-9", None], "not met", "fact-excluded"),
        ([None], "not shown", "fact-not-stated"),
        ([TO_COME], "not shown", "fact-not-stated"),
        ([ILLEGIBLE], "undecided", "fact-illegible"),
    ],
)
def test_a_withdrawn_lot(lots: list[Any], outcome: str, code: str) -> None:
    groups = [screws(f"g{number}", **({"lot": lot} if lot else {})) for number, lot in enumerate(lots, 1)]
    found = ask(excluding("SC-9", "SC-8"), case(record(screws=groups)))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_a_withdrawn_lot_of_thread_locker_and_on_a_paper() -> None:
    locker = excluding("A7", fact="screws.locker-lot")
    on_paper = {**excluding("X1", fact="document.lot"), "evidence_from": ["delivery-note"]}
    the_record = record(documents=[document("d1", "delivery-note", lot=["X0", "X1"])])

    assert ask(locker, case(record(screws=[screws()]))).outcome == "not met"
    assert ask(locker, case(record(screws=[screws(locker=None)]))).outcome == "not shown"
    assert ask(on_paper, case(the_record)).outcome == "not met"
    assert ask(on_paper, case(record(documents=[document("d1", "delivery-note")]))).outcome == "not shown"


@pytest.mark.parametrize(("serial", "outcome"), [("0012", "met"), ("0013", "not met")])
def test_a_serial_against_a_device_identifier(serial: str, outcome: str) -> None:
    criterion = asking(
        "matches",
        fact="position.system-serial",
        allowed=[],
        equals="document.udi",
        evidence_from=["delivery-note"],
    )
    positions = [{**POSITION, "system": {"model": "Heron 2", "serial": serial}}]
    the_record = record(positions=positions, documents=[document("d1", "delivery-note", udi=UDI)])

    assert ask(criterion, case(the_record)).outcome == outcome


@pytest.mark.parametrize(
    ("claim", "how", "outcome"),
    [
        ("SN 0012", "same", "met"),
        (UDI, "same", "met"),
        ("0011, SN 0012", "listed", "met"),
        ("0011, 0012", "same", "not met"),
        ("SN 0013", "same", "not met"),
    ],
)
def test_a_report_covers_a_serial_however_it_is_written(claim: str, how: str, outcome: str) -> None:
    fields = [{"claim": "system-serial", "fact": "position.system-serial", "how": how}]
    criterion = asking("covers", fields=fields, evidence_from=["type-test-report"])
    papers = document("d1", "type-test-report", "E1", system_serial=claim)
    the_record = record(documents=[papers], exhibits=[entry("E1", "type-test-report")])

    assert ask(criterion, case(the_record, items={"E1": paper("E1")})).outcome == outcome


def of(rule: str, the_case: Case) -> list[Contradiction]:
    return [one for one in contradictions(the_case) if one.rule == rule]


def noted(role: str = "delivery-note", subject: str = "p1", parts: Any = None, **claims: Any) -> Case:
    return case(record(documents=[document("d1", role, subject=subject, **claims)], **(parts or {})))


@pytest.mark.parametrize(
    ("udi", "fires"),
    [
        (UDI, False),
        (f"(01){GTIN}(21)0013", True),
        (f"(01){GTIN}(21)12", True),
        (f"(01){GTIN}(21)C-77", False),  # the stretcher's
        ([f"(01){GTIN}(21)0012", f"(01){GTIN}(21)K-1"], False),  # something else came with it
        (f"(01){GTIN}(10)H2-2602", False),
        (BAD_UDI.replace("0012", "0013"), False),  # cannot be read, so nothing is certain
        ("no label at all", False),
        (ILLEGIBLE, False),
    ],
)
def test_a_device_identifier_with_another_serial(udi: Any, *, fires: bool) -> None:
    assert bool(of("serial-differs", noted(udi=udi))) == fires


@pytest.mark.parametrize(
    ("serial", "fires"),
    [("SN 0012", False), ("SN 0013", True), (UDI, False), (UDI.replace("(21)0012", "(21)0013"), True)],
)
def test_a_serial_typed_from_a_label(serial: str, *, fires: bool) -> None:
    assert bool(of("serial-differs", noted(system_serial=serial))) == fires


GROUP = {"screws": [screws(lot="SC-1")]}  # with thread-locker of lot A7


@pytest.mark.parametrize(
    ("role", "subject", "claims", "parts", "fires"),
    [
        ("data-sheet", "g1", {"lot": "A7"}, GROUP, False),
        ("data-sheet", "g1", {"lot": "Lot A7"}, GROUP, False),
        ("data-sheet", "g1", {"lot": "A8"}, GROUP, True),
        ("delivery-note", "g1", {"lot": "SC-2"}, GROUP, True),
        ("other-document", "g1", {"lot": "SC-2"}, GROUP, True),
        ("delivery-note", "g1", {"lot": ["SC-2", "SC-1"]}, GROUP, False),
        ("delivery-note", "g1", {"lot": "SC-2, SC-1"}, GROUP, False),
        ("delivery-note", "g1", {"lot": ["SC-2", ILLEGIBLE]}, GROUP, False),
        ("delivery-note", "g1", {"udi": f"(01){GTIN}(10)SC-1"}, GROUP, False),
        ("delivery-note", "g1", {"udi": f"(01){GTIN}(10)SC-2"}, GROUP, True),
        ("delivery-note", "g1", {"lot": BAD_UDI}, GROUP, False),
        ("delivery-note", "g1", {"lot": "SC-2"}, {"screws": [screws()]}, False),
        ("delivery-note", "g1", {"lot": "SC-2"}, {"screws": [screws(lot=UNKNOWN)]}, False),
        ("delivery-note", "g1", {"lot": "SC-2"}, {"screws": [screws(lot="SC-1", locker=None)]}, True),
        ("delivery-note", "p1", {"lot": "SC-2"}, GROUP, False),  # the system's lot is not recorded
        ("type-test-report", "g1", {"lot": "SC-2"}, GROUP, False),
        ("calibration-certificate", "i1", {"lot": "SC-2"}, GROUP, False),
    ],
)
def test_lot_differs(role: str, subject: str, claims: Any, parts: Any, *, fires: bool) -> None:
    found = of("lot-differs", noted(role, subject, parts, **claims))

    assert bool(found) == fires
    if fires:
        (one,) = found
        assert one.open
        assert one.id.startswith(f"lot-differs:{subject}:")
        assert one.reason.parameters["document"] == "d1"


SYSTEM = {"positions": [{**POSITION, "system": {"model": "Heron 2", "serial": "0012", "lot": "H2-2602"}}]}


@pytest.mark.parametrize(
    ("claims", "fires"),
    [
        ({"udi": UDI}, False),
        ({"udi": UDI.replace("H2-2602", "H2-2603")}, True),
        ({"system_serial": UDI.replace("H2-2602", "H2-2603")}, True),
        ({"udi": UDI.replace("H2-2602", "H2-2603").replace("0012", "0099")}, False),
        ({"lot": "H2-2603"}, True),
        ({"lot": "H2-2602"}, False),
    ],
)
def test_the_lot_of_a_system(claims: Any, *, fires: bool) -> None:
    found = of("lot-differs", noted(parts=SYSTEM, **claims))

    assert bool(found) == fires
    if fires:
        assert found[0].between[0].value == "H2-2602"


def test_a_lot_that_nobody_read_on_a_scan_differs_from_nothing() -> None:
    scan = Item.read({**paper("E1").document(), "document": {"pages": 1, "has_text": False}})

    def told(*claims: dict[str, str]) -> list[Contradiction]:
        stated = {**document("d1", "delivery-note", "E1", "g1"), "claims": list(claims)}
        groups = [screws(lot="SC-1")]
        the_record = record(screws=groups, documents=[stated], exhibits=[entry("E1", "delivery-note")])
        the_case = case(the_record, items={"E1": scan})
        return [one for one in contradictions(the_case) if one.rule == "lot-differs"]

    lot = {"name": "lot", "value": "X-9"}
    assert told(lot) == []
    assert len(told({**lot, "read_by": "w2"})) == 1
    assert told({**lot, "read_by": "w2"}, {"name": "udi", "value": UDI}) == []
