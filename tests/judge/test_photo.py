"""What photos say of recorded values: agreement, disagreement, or nothing, and which card may be trusted."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.finding import Finding
from evidence.model.measurement import Measurement
from evidence.model.names import Outcome, RestsOn
from evidence.phrases import say
from tests.judge.builders import TOOLS, ask, asking, case, entry, intake, photo, record, step, value

HOOK = ("characteristic.hook-position", "p1")
CHECK = {
    "at": "2026-03-02",
    "known": "120.00 mm",
    "known_uncertainty": "0.03 mm",
    "reading": "120.05 mm",
    "uncertainty": "0.25 mm",
}
CARD = {"id": "i9", "kind": "gauge-card", "serial": "GC-1", "use_until": "2027-01-31", "zero": [CHECK]}


def measured(text: str = "120.3", expanded: str = "0.40", **changes: Any) -> Measurement:
    parts = {
        "state": "measured",
        "value": text,
        "unit": "mm",
        "expanded_uncertainty": expanded,
        "coverage": "95 %",
        "method": "gauge-card-plane/1",
        "plane_margin": "0.20",
        "decides": True,
        "exhibits": ["E003"],
        **changes,
    }
    return Measurement.read({name: part for name, part in parts.items() if part is not None})


UNMEASURABLE = measured(
    state="unmeasurable",
    value=None,
    unit=None,
    expanded_uncertainty=None,
    coverage=None,
    plane_margin=None,
    decides=False,
    reason={"code": "card-not-seen", "parameters": {"found": "2", "expected": "4"}},
)


def looked(
    measurement: Measurement | None,
    caliper: str = "120.0 mm",
    card: dict[str, Any] | None = CARD,
    log: tuple[dict[str, str], ...] = (),
    **changes: Any,
) -> Case:
    tools = [*TOOLS, *([card] if card else [])]
    used = ["i1", "i9"] if card else ["i1"]
    the_record = record(
        characteristics=[value(text=caliper, **changes)],
        exhibits=[entry("E003", "hook-position", file="photos/E003.jpg")],
        instruments=tools,
        steps=[step("s1", "mark-out", "2026-03-04T10:40", **{"with": used})],
    )
    item = photo("E003")
    add = {"event": "add", "id": "E003", "sha256": item.sha256, "at": "2026-03-05T08:00+01:00"}
    lines = [{**add, **line} for line in log]
    return case(
        the_record,
        items={"E003": item},
        intake=intake(add, *lines),
        measurements={HOOK: measurement} if measurement else {},
    )


def found(the_case: Case, **asked: Any) -> Finding:
    return ask(asking("within", corroborated_by=["hook-position"], **asked), the_case)


def code(finding: Finding) -> str:
    assert finding.corroboration is not None
    assert say(finding.corroboration.code, finding.corroboration.parameters)
    return finding.corroboration.code


# E_n = (x1 - x2) / sqrt(U1^2 + U2^2), agreement where it is at most one
# published: ISO/IEC 17043 and ISO 13528, as repeated in /checks: "En number"
@pytest.mark.parametrize(
    ("text", "said", "en"),
    [
        ("120.0", "photo-agrees", "0.00"),
        ("120.3", "photo-agrees", "0.67"),  # 0.3 / sqrt(0.2^2 + 0.4^2) = 0.6708
        ("120.44", "photo-agrees", "0.98"),
        ("120.45", "photo-differs", "1.00"),  # 1.0062, rounded down
        ("121.5", "photo-differs", "3.35"),
        ("118.5", "photo-differs", "3.35"),
    ],
)
def test_photo_and_caliper_by_their_uncertainties(text: str, said: str, en: str) -> None:
    finding = found(looked(measured(text)))

    assert finding.outcome == Outcome.MET  # the caliper decides
    assert code(finding) == said
    assert finding.corroboration is not None
    assert finding.corroboration.parameters["en"] == en
    assert finding.measurement == "hook-position.p1"
    assert ("E003" in finding.exhibits, RestsOn.MEASURED in finding.rests_on) == (
        True,
        said == "photo-agrees",
    )


@pytest.mark.parametrize(
    ("the_case", "said"),
    [
        (looked(UNMEASURABLE), "photo-unmeasurable"),
        (looked(measured(decides=False)), "photo-oblique"),
        (looked(measured(expanded="0.51")), "photo-too-coarse"),  # a quarter of 2 mm is 0.5 mm
        (looked(measured(expanded="0.50")), "photo-agrees"),
        (looked(measured(), card=None), "photo-card-not-recorded"),
        (looked(measured(), card={**CARD, "zero": []}), "photo-card-in-doubt"),
        (looked(measured(), card={**CARD, "use_until": "2026-03-03"}), "photo-card-in-doubt"),
        (looked(measured(), uncertainty="0.6 mm"), "photo-too-coarse"),
        (looked(measured(), instrument="i8"), "photo-beside-unknown-uncertainty"),
        (looked(measured(), log=({"event": "measure", "recorded": "v1 121.5 mm"},)), "photo-told-first"),
        (looked(measured(), log=({"event": "measure", "recorded": "v1 120.0 mm"},)), "photo-agrees"),
        (looked(measured(), log=({"event": "withdraw", "reason": "wrong"},)), "photo-not-usable"),
    ],
)
def test_when_a_photo_says_nothing(the_case: Case, said: str) -> None:
    finding = found(the_case)

    assert code(finding) == said
    assert (RestsOn.MEASURED in finding.rests_on) == (said == "photo-agrees")


def test_without_two_limits_there_is_no_tolerance_to_be_fine_enough_for() -> None:
    assert code(found(looked(measured()), high=None)) == "photo-without-tolerance"


def test_nobody_asked_for_the_photo() -> None:
    assert ask(asking("within"), looked(measured())).corroboration is None
    assert found(looked(None)).corroboration is None


@pytest.mark.parametrize(
    ("measurement", "contradicts"),
    [
        (measured("120.6"), False),  # 0.6 apart, 0.2 of which the plane may be; 0.4 < sqrt(0.2^2 + 0.4^2)
        (measured("120.64"), False),
        (measured("120.66"), True),
        (measured("119.34"), True),
        (measured("121.5", decides=False), False),
        (UNMEASURABLE, False),
    ],
)
def test_a_photo_contradicts_only_when_it_is_certain(measurement: Measurement, *, contradicts: bool) -> None:
    rules = [each for each in contradictions(looked(measurement)) if each.rule == "photo-against-value"]

    assert len(rules) == contradicts
    for rule in rules:
        assert [place.where for place in rule.between] == ["v1.value", "E003.measured"]
        assert rule.exhibits == ("E003",)


# ── the card as an instrument ───────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("card", "outcome", "reason"),
    [
        (CARD, "met", "valid-on-day"),
        ({**CARD, "zero": []}, "not shown", "gauge-not-checked"),
        ({**CARD, "use_until": "2026-03-03"}, "not met", "gauge-expired"),
        ({**CARD, "zero": [{**CHECK, "at": "2026-02-03"}]}, "not met", "gauge-check-old"),
        ({**CARD, "zero": [{**CHECK, "at": "2026-02-04"}]}, "met", "valid-on-day"),
        ({**CARD, "zero": [{**CHECK, "reading": "120.51 mm"}]}, "not met", "gauge-zero-off"),
        ({**CARD, "zero": [{**CHECK, "uncertainty": "0.8 mm"}]}, "undecided", "gauge-zero-unsure"),
        (
            {**CARD, "zero": [{name: part for name, part in CHECK.items() if name != "uncertainty"}]},
            "undecided",
            "gauge-zero-uncertainty-not-stated",
        ),
        (
            {name: part for name, part in CARD.items() if name != "use_until"},
            "not shown",
            "gauge-expiry-not-recorded",
        ),
    ],
)
def test_a_gauge_card_on_the_day_of_its_use(card: dict[str, Any], outcome: str, reason: str) -> None:
    asked = asking("valid_on", subject="instrument", what="instrument", event="work", kinds=["gauge-card"])

    finding = ask(asked, looked(measured(), card=card))

    assert (finding.outcome, finding.reason.code) == (outcome, reason)
    assert say(finding.reason.code, finding.reason.parameters)
