"""A demand that a test answers leads from its row to that test's page."""

import json

from tests.dossier import work
from tests.dossier.test_vehicle import section

PULL = {
    "id": "lt1",
    "kind": "static-pull",
    "subject": "p1",
    "direction": "frontal",
    "exhibit": "E006",
    "channels": [{"use": "force", "name": "Kraft"}],
}
RUN = {**PULL, "id": "lt2", "kind": "dynamic", "channels": [{"use": "pulse", "name": "sled"}]}
FORCE = {"type": "within", "quantity": "test.peak-force", "direction": "frontal", "low": "25 kN"}
LIMITS = {"value": {"unit": "kN", "value": "26.02"}, "low": {"unit": "kN", "value": "25"}}


def _matrix(*tests: str) -> str:
    found = work.asked(
        "pull",
        "p1",
        "met",
        FORCE,
        records=list(tests),
        rests_on=["measured"],
        measurement="lt1/profile.heron-2@C/9/pull" if tests == ("lt1",) else None,
        reason=("at-least-minimum", LIMITS),
    )
    return json.dumps(section(work.built(work.source(found, tests=[PULL, RUN])), "matrix"))


def test_one_test_is_named_with_its_way_and_linked() -> None:
    told = _matrix("lt1")

    assert "Computed from its channels:" in told
    assert '"to": "pull-lt1"' in told
    assert "static pull lt1, forward" in told
    assert "What its photo shows" not in told


def test_several_tests_are_all_linked() -> None:
    told = _matrix("lt1", "lt2")

    assert '"to": "pull-lt1"' in told
    assert '"to": "pulse-lt2"' in told
    assert "sled run lt2, forward" in told


def test_a_demand_without_a_test_names_none() -> None:
    assert "Computed from its channels:" not in _matrix()
