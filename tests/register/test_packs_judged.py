"""The shipped packs through the judge: what only compares says so, what is published decides, a gap is never a pass."""

from typing import Any

import pytest

from evidence.judge import judge
from evidence.model.finding import Finding
from evidence.model.names import Mark, Outcome
from evidence.model.pack import Pack
from evidence.model.record import JobRecord
from evidence.register.resolve import resolve
from tests.judge import builders
from tests.record import support

HELD = {"by": "Millrace Test House", "reference": "M-9", "seen_by": "w3", "seen_on": "2026-02-20"}
SIDE = {"test-standard": "SAE J3027_201611, SAE J2956_201106", "velocity-change-side": "15.4 mph"}
SUPPORT = {
    "test-standard": "EN 1865-5:2012",
    "system-model": "Heron 2",
    "stretcher-model": "Heron Carrier",
    "carried-mass": "230 kg",
    "loading-mass": "290 kg",
}
FLOOR = {
    "test-standard": "J3102_202206",
    "floor": "steel-plate-4",
    "system-model": "Heron 2",
    "test-method": "static",
    "load-path": "plate to cross member",
    "mounting": "as the builder instructs",
    "result": "held",
    "deformation": "3 mm",
}


def _findings(
    reference: str, claims: dict[str, str], role: str = "type-test-report", *more: Pack, **fields: Any
) -> dict[str, Finding]:
    report: dict[str, Any] = {"id": "d9", "role": role, "subject": "vehicle", "held": HELD}
    report["claims"] = [{"name": name, "value": value} for name, value in claims.items()]
    data = support.job().source.data
    names = [reference, *(pack.reference for pack in more)]
    bases = [{"standard": "tried here", "packs": names, "stated_by": "w3"}]
    record = JobRecord.read({**data, "bases": bases, "documents": [report], **fields})
    profile = support.profile().profile
    packs = {key: entry.pack for key, entry in support.shipped().items()}
    demands = resolve(record, profile, packs | {pack.reference: pack for pack in more})
    found = judge(builders.case(record, profile=profile, demands=demands)).findings
    return {
        one.requirement.rsplit("/", 1)[1]: one for one in found if one.requirement.startswith(f"{reference}/")
    }


def _compared(finding: Finding) -> tuple[Outcome, str, object]:
    return finding.outcome, finding.reason.code, finding.reason.parameters.get("compared")


@pytest.mark.parametrize(("change", "says"), [("15.4 mph", "met"), ("25 km/h", "met"), ("17 mph", "not met")])
def test_a_pulse_from_a_secondary_source_only_compares(change: str, says: str) -> None:
    """25 km/h is 15.53 mph, within 14 and 16: computed independently with exact fractions."""
    found = _findings("sae-j2956-2011@1", {**SIDE, "velocity-change-side": change})

    assert found["pulse-named"].outcome == Outcome.MET
    assert _compared(found["velocity-change"]) == (Outcome.NOT_SHOWN, "limit-not-confirmed", says)
    assert found["corridor"].outcome == Outcome.NOT_SHOWN


def test_the_velocity_change_of_one_direction_says_nothing_of_another() -> None:
    found = _findings("sae-j3044-2014@1", {**SIDE, "velocity-change": "10 mph"})

    assert found["velocity-change"].reason.code == "claim-not-stated"
    assert found["pulse-named"].outcome == Outcome.NOT_SHOWN


def test_a_number_typed_from_the_own_copy_decides() -> None:
    text = support.base("confirmation.yaml").replace("invented: yes\n", "")
    text = text.replace("sample@1/5.3/test-deceleration", "sae-j2956-2011@1/pulse/velocity-change")
    own = support.pack(text.replace("{low: 10.4 g}", "{low: 16 mph, without: [high]}")).pack

    found = _findings("sae-j2956-2011@1", SIDE, "type-test-report", own)["velocity-change"]

    assert (found.outcome, found.mark) == (Outcome.NOT_MET, Mark.CONFIRMED)


def test_the_support_of_the_stretcher() -> None:
    found = _findings("en-1865-5-2012@1", SUPPORT)

    assert found["edition-tested"].outcome == Outcome.MET
    assert _compared(found["carried-mass"])[2] == "met"
    assert _compared(found["loading-mass"]) == (Outcome.NOT_SHOWN, "limit-not-confirmed", "not met")


def test_the_floor_under_the_system() -> None:
    found = _findings("sae-j3102-2022@1", FLOOR, "floor-test-report")

    assert (found["floor-report-present"].outcome, found["edition-tested"].outcome) == (
        Outcome.MET,
        Outcome.MET,
    )
    assert _compared(found["kind-of-test"])[2] == "met"
    assert _compared(found["load-path-stated"])[2] == "met"
    assert found["lasting-deformation"].reason.code == "limit-not-held"


@pytest.mark.parametrize("standard", ["EN 1789:2020", "EN 1789:2007+A2:2014"])
def test_a_report_to_an_earlier_edition_says_nothing_on_the_amended_one(standard: str) -> None:
    claims = {"test-standard": standard, "directions": "forward, rear, side"}

    found = _findings("en-1789-2020-a1@1", claims)

    assert (found["edition-tested"].outcome, found["edition-tested"].reason.code) == (
        Outcome.NOT_SHOWN,
        "outside-report",
    )
    assert _compared(found["directions-tested"])[2] == "met"
    assert found["vertical-tested"].outcome == Outcome.NOT_SHOWN


def test_the_edition_that_was_in_force_at_approval_is_asked_by_its_own_pack() -> None:
    claims = {"test-standard": "EN 1789:2007+A2:2014"}

    assert _findings("en-1789-2007-a2@1", claims)["edition-tested"].outcome == Outcome.MET


def test_inspection_of_every_vehicle_rests_on_the_inspector() -> None:
    """published: KKK-A-1822E, clauses 4.2.3 and 4.2.4, 2002, U.S. General Services Administration."""
    statements = [
        {"id": "a8", "statement": "water-spray-tested", "subject": "vehicle", "by": "w2", "at": "2026-03-05"},
        {"id": "a9", "statement": "road-driven", "subject": "vehicle", "by": "w1", "at": "2026-03-05"},
    ]

    people = [*support.job().source.data["people"], {"id": "w2", "functions": ["inspector"]}]

    found = _findings("kkk-a-1822e@1", {}, statements=statements, people=people)

    assert found["water-spray-tested"].outcome == Outcome.MET
    assert found["road-driven"].reason.code == "stated-by-other"  # w1 is no inspector
    assert found["handbook-examined"].reason.code == "not-stated"


@pytest.mark.parametrize("field", ["certified-to", "test-summary", "certifying-statement", "signature"])
def test_a_letter_without_one_item_is_not_complete(field: str) -> None:
    """published: KKK-A-1822E, clause 4.3.5, 2002, U.S. General Services Administration."""
    criteria = {
        criterion.id: criterion
        for clause in support.shipped()["kkk-a-1822e@1"].pack.clauses
        for criterion in clause.criteria
    }
    fields = criteria["letter-complete"].document()["fields"]
    claims = {name: "2002-07-01" if name.endswith("date") else "stated" for name in fields}
    whole = _findings("kkk-a-1822e@1", claims, "type-test-certificate")["letter-complete"]
    del claims[field]
    part = _findings("kkk-a-1822e@1", claims, "type-test-certificate")["letter-complete"]

    assert whole.outcome == Outcome.MET
    assert (part.outcome, part.reason.parameters["fields"]) == (Outcome.NOT_SHOWN, (field,))


def test_a_declaration_that_is_filed_is_read_item_by_item() -> None:
    fields = ["declaration-number", "issuer", "issuer-address", "declared-object", "conformity-statement"]
    found = _findings("iso-iec-17050-1-2004@1", dict.fromkeys(fields, "stated"), "declaration")

    assert found["declaration-complete"].reason.parameters["fields"] == ("requirements-listed",)


def test_common_practice_never_decides_a_number_and_never_counts() -> None:
    found = _findings("common-practice@1", {})

    assert found["load-unload-cycles"].outcome == Outcome.NOT_SHOWN
    assert all(not finding.open for finding in found.values())
    assert {finding.mark for finding in found.values()} == {Mark.PRACTICE}
