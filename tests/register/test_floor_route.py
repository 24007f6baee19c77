"""A sled test of the set does not show what the floor carries: SAE J3027 asks for the floor by one of three routes."""

from typing import Any

import pytest

from evidence.judge import judge
from evidence.model.finding import ClauseOutcome, Finding
from evidence.model.names import Outcome
from evidence.model.record import JobRecord
from evidence.register.resolve import resolve
from tests.judge import builders
from tests.record import support

J3027, EN_1789 = "sae-j3027-2016@1", "en-1789-2020@1"
HELD = {"by": "Millrace Test House", "reference": "M-9", "seen_by": "w3", "seen_on": "2026-02-20"}
SLED = {"test-standard": "SAE J3027_201611", "directions": "frontal, side, rear", "floor": "steel-plate-4"}
LAB = {"id": "w9", "functions": ["laboratory"]}
STATED = {"id": "st9", "statement": "floor-test-equivalent", "subject": "p1", "by": "w9", "at": "2026-03-02"}


def _report(name: str, role: str, claims: dict[str, str]) -> dict[str, Any]:
    listed = [{"name": claim, "value": value} for claim, value in claims.items()]
    return {"id": name, "role": role, "subject": "vehicle", "held": HELD, "claims": listed}


def _judged(
    packs: list[str], floor: dict[str, str] | None, **fields: Any
) -> tuple[dict[str, Finding], ClauseOutcome | None]:
    """Findings about the floor by criterion, and what its clause adds up to."""
    papers = [_report("d8", "type-test-report", SLED)]
    papers += [] if floor is None else [_report("d9", "floor-test-report", floor)]
    data = support.job().source.data
    bases = [{"standard": "tried here", "packs": packs, "stated_by": "w3"}]
    record = JobRecord.read(
        {
            **data,
            "arguments": [],
            "bases": bases,
            "documents": papers,
            "people": [*data["people"], LAB],
            **fields,
        }
    )
    profile = support.profile().profile
    demands = resolve(record, profile, {key: entry.pack for key, entry in support.shipped().items()})
    found = judge(builders.case(record, profile=profile, demands=demands))
    clause = next((one for one in found.clauses if (one.pack, one.clause) == (J3027, "floor")), None)
    findings = {
        one.requirement.rsplit("/", 1)[1]: one
        for one in found.findings
        if one.requirement.startswith("sae-j3")
    }
    return {name: one for name, one in findings.items() if name.startswith("floor")}, clause


def test_a_set_without_its_floor_is_a_gap() -> None:
    found, clause = _judged([J3027], None)

    assert clause is not None
    assert clause.outcome == Outcome.NOT_SHOWN
    assert found["floor-report-present"].reason.code == "missing-floor-test-report"
    assert found["floor-report-present"].open


def test_the_european_basis_asks_for_no_such_report() -> None:
    assert _judged([EN_1789], None) == ({}, None)


@pytest.mark.parametrize("method", ["dynamic", "static"])
@pytest.mark.parametrize("edition", ["SAE J3102_202206", "SAE J3102 (2022-06)"])
def test_either_test_to_the_practice_for_floors_closes_it(method: str, edition: str) -> None:
    found, clause = _judged([J3027], {"test-standard": edition, "test-method": method})

    assert clause is not None
    assert (clause.outcome, clause.route) == (Outcome.MET, method)
    other = "static" if method == "dynamic" else "dynamic"
    assert found[f"floor-tested-{other}"].reason.code == "route-not-taken"


@pytest.mark.parametrize(
    ("floor", "code"),
    [
        ({"test-standard": "SAE J3102_202206"}, "claim-not-stated"),
        ({"test-standard": "EN 1789:2020", "test-method": "dynamic"}, "outside-report"),
        ({}, "claim-not-stated"),
    ],
    ids=["method not stated", "another standard", "nothing stated"],
)
def test_a_report_on_the_floor_that_does_not_say_so_leaves_the_gap(floor: dict[str, str], code: str) -> None:
    found, clause = _judged([J3027], floor)

    assert clause is not None
    assert clause.outcome == Outcome.NOT_SHOWN
    assert found["floor-tested-dynamic"].reason.code == code


def test_what_a_laboratory_calls_equivalent_counts_once_somebody_confirmed_that_route() -> None:
    """No page says that another proof may serve, so the statement alone only compares."""
    found, clause = _judged([J3027], {"test-standard": "EN 1789:2020"}, statements=[STATED])
    route = [{"clause": "floor", "route": "equivalent"}]
    bases = [{"standard": "tried here", "packs": [J3027], "stated_by": "w3", "routes": route}]
    chosen, _ = _judged([J3027], {"test-standard": "EN 1789:2020"}, statements=[STATED], bases=bases)

    assert clause is not None
    assert clause.outcome == Outcome.NOT_SHOWN
    assert found["floor-report-present"].outcome == Outcome.MET
    told = chosen["floor-equivalent"].reason
    assert (told.code, told.parameters["compared"]) == ("limit-not-confirmed", "met")


def test_both_packs_of_one_basis_take_the_same_report() -> None:
    floor = {"test-standard": "SAE J3102_202206", "test-method": "static"}
    found, clause = _judged([J3027, "sae-j3102-2022@1"], floor)

    assert clause is not None
    assert clause.outcome == Outcome.MET
    assert found["floor-covers-fitting"].reason.code != "covered"
