"""What a report's edition is worth, through the shipped pack and the judge."""

import pytest

from evidence.judge import judge
from evidence.model.names import Outcome
from evidence.model.record import JobRecord
from evidence.register.resolve import resolve
from tests.judge import builders
from tests.record import support


def _outcomes(standard: str, directions: str) -> dict[str, Outcome]:
    report = {
        "id": "d9",
        "role": "type-test-report",
        "subject": "vehicle",
        "held": {"by": "Millrace Test House", "reference": "M-9", "seen_by": "w3", "seen_on": "2026-02-20"},
        "claims": [{"name": "test-standard", "value": standard}, {"name": "directions", "value": directions}],
    }
    data = support.job().source.data
    bases = [{"standard": "SAE J3027", "packs": ["sae-j3027-2016@1"], "stated_by": "w3"}]
    record = JobRecord.read({**data, "bases": bases, "documents": [report, data["documents"][1]]})
    profile = support.profile().profile
    demands = resolve(record, profile, {key: entry.pack for key, entry in support.shipped().items()})
    findings = judge(builders.case(record, profile=profile, demands=demands)).findings
    return {
        found.requirement.rsplit("/", 1)[1]: found.outcome for found in findings if found.group == "standard"
    }


def test_report_to_the_first_edition_shows_nothing_on_rear_impact() -> None:
    """published: front matter of SAE J3027, 2016: the rear impact was added in that edition."""
    outcomes = _outcomes("SAE J3027_201407", "frontal, side")

    assert (outcomes["frontal-tested"], outcomes["side-tested"]) == (Outcome.MET, Outcome.MET)
    assert outcomes["rear-tested"] == Outcome.NOT_SHOWN


def test_first_edition_stays_silent_on_rear_impact_whatever_the_report_claims() -> None:
    assert _outcomes("SAE J3027_201407", "frontal, side, rear")["rear-tested"] == Outcome.NOT_SHOWN


@pytest.mark.parametrize("standard", ["SAE J3027_201611", "SAE J3027_202206"])
def test_later_editions_show_the_directions_that_the_report_states(standard: str) -> None:
    whole, part = _outcomes(standard, "frontal, side, rear"), _outcomes(standard, "frontal")

    assert whole["rear-tested"] == whole["side-tested"] == Outcome.MET
    assert part["rear-tested"] == part["side-tested"] == Outcome.NOT_SHOWN
