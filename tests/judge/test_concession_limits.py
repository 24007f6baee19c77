"""Limits and expiry of concessions: every value inside, by the decision rule of the requirement itself."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.judge import judge
from evidence.judge.concessions import limits_of
from evidence.model.finding import Judgement
from evidence.model.names import Severity
from evidence.model.record import Concession
from evidence.phrases import say
from evidence.register.demand import Demands
from tests.judge.builders import (
    ILLEGIBLE,
    asking,
    case,
    cycles,
    demand,
    document,
    record,
    screws,
    step,
    value,
)
from tests.judge.test_clauses import granted

HOOK = asking("within", id="a")  # 118 to 122 mm, guarded; the caliper's expanded uncertainty is 0.2 mm
TORQUE = asking(
    "within",
    id="a",
    subject="screws",
    quantity="screws.torque",
    low="24 N·m",
    high="26 N·m",
    decision="simple",
)


def judged(
    concession: dict[str, Any],
    criterion: dict[str, Any] = HOOK,
    *,
    as_of: date = date(2026, 3, 20),
    **parts: Any,
) -> Judgement:
    demands = Demands((demand(criterion),), ())
    return judge(case(record(concessions=[granted(**concession)], **parts), demands=demands, as_of=as_of))


def answer(judgement: Judgement) -> str | None:
    """None where the concession covers the finding, else the code of the reason why it does not."""
    (finding,) = judgement.findings
    told = [one for one in judgement.contradictions if one.rule == "concession-not-in-force"]
    assert (finding.concession == "c1") == (not told)
    assert all(one.severity == Severity.NOTICE for one in told)
    return told[0].reason.code if told else None


@pytest.mark.parametrize(
    ("text", "limits", "code"),
    [
        ("123 mm", {}, None),
        ("123 mm", {"high": "123.2 mm"}, None),
        ("123 mm", {"high": "123.1 mm"}, "concession-limit-undecided"),
        ("123.5 mm", {"high": "123.2 mm"}, "concession-limit-exceeded"),
        ("123 mm", {"high": "5 in"}, None),
        # the end that is left open stays what the requirement says
        ("117 mm", {"high": "125 mm"}, "concession-limit-exceeded"),
        ("117 mm", {"low": "116 mm"}, None),
        ("117 mm", {"low": "116 mm", "high": "125 mm"}, None),
        ("122.1 mm", {"high": "122.3 mm"}, None),
        (ILLEGIBLE, {"high": "125 mm"}, "concession-limit-undecided"),
        (ILLEGIBLE, {}, None),
        ("123 mm", {"high": "125 N"}, "concession-limit-of-another-kind"),
        ("123 mm", {"high": "125"}, "concession-limit-of-another-kind"),
        ("123 mm", {"low": "126 mm", "high": "125 mm"}, "concession-limits-crossed"),
    ],
)
def test_the_value_lies_inside_with_its_uncertainty(
    text: Any, limits: dict[str, str], code: str | None
) -> None:
    assert answer(judged(limits, characteristics=[value(text=text)])) == code


@pytest.mark.parametrize(
    ("torques", "high", "code"),
    [
        (["27 N·m", "25 N·m"], "27 N·m", None),
        (["27 N·m", "27.5 N·m"], "27 N·m", "concession-limit-exceeded"),
        (["27 N·m"], "27 N·m", "concession-limit-undecided"),  # the second screw is not recorded
        (["27 N·m", "20 lbf·ft"], "27.2 N·m", None),
    ],
)
def test_every_screw_lies_inside(torques: list[str], high: str, code: str | None) -> None:
    groups = [screws(torques=torques)]

    assert answer(judged({"high": high, "subject": "g1"}, TORQUE, screws=groups)) == code


@pytest.mark.parametrize(
    ("done", "limits", "code"),
    [
        ("8", {"low": "8"}, None),
        ("7", {"low": "8"}, "concession-limit-exceeded"),
        ("8", {"high": "12"}, "concession-limit-of-another-kind"),
        ("8", {"low": "7.5"}, "concession-limit-of-another-kind"),
        ("8", {"low": "8 mm"}, "concession-limit-of-another-kind"),
    ],
)
def test_fewer_cycles_can_be_conceded(done: str, limits: dict[str, str], code: str | None) -> None:
    criterion = asking("counted", id="a")

    assert answer(judged(limits, criterion, cycles=[cycles(done=done, without_fault=done)])) == code


def test_a_fault_among_fewer_cycles_is_not_conceded_with_them() -> None:
    faulty = [cycles(done="8", without_fault="7")]

    assert (
        answer(judged({"low": "8"}, asking("counted", id="a"), cycles=faulty)) == "concession-limit-exceeded"
    )


def test_limits_of_a_requirement_that_has_none() -> None:
    found = judged({"high": "5 mm"}, asking("matches", id="a", allowed=["other"]))

    assert answer(found) == "concession-limit-of-another-kind"


@pytest.mark.parametrize(
    ("as_of", "code"), [(date(2026, 3, 25), None), (date(2026, 3, 26), "concession-ended")]
)
def test_limits_hold_to_the_last_day(as_of: date, code: str | None) -> None:
    limits = {"high": "125 mm", "until": "2026-03-25"}

    assert answer(judged(limits, as_of=as_of, characteristics=[value(text="123 mm")])) == code


@pytest.mark.parametrize(("at", "code"), [("2026-03-03", None), ("2026-03-04", "concession-permit-late")])
def test_a_deviation_permit_has_limits_too(at: str, code: str | None) -> None:
    permit = {"kind": "deviation-permit", "at": at, "high": "125 mm"}
    parts: dict[str, Any] = {
        "characteristics": [value(text="123 mm")],
        "steps": [step("s1", "x", "2026-03-04")],
    }

    assert answer(judged(permit, **parts)) == code
    over = {**permit, "high": "122.5 mm"}
    assert answer(judged(over, **parts)) == (code or "concession-limit-exceeded")


def test_a_limit_that_nobody_confirmed_is_eased_by_the_authoritys_own() -> None:
    from_memory = asking("within", id="a", mark="memory")
    found = judged({"high": "125 mm"}, from_memory, characteristics=[value(text="123 mm")])

    assert found.findings[0].reason.code == "limit-not-confirmed"
    assert answer(found) is None


def test_the_sentence_names_limits_value_and_requirement() -> None:
    found = judged({"high": "122.5 mm"}, characteristics=[value(text="123 mm")])
    (notice,) = [one for one in found.contradictions if one.rule == "concession-not-in-force"]
    sentence = say(notice.reason.code, notice.reason.parameters)

    assert "\u2265 118 mm, \u2264 122.5 mm" in sentence
    assert "123 mm" in sentence
    assert "en@1/1/a" in sentence


def test_limits_in_signs() -> None:
    def limits(**ends: str) -> str:
        return limits_of(Concession.read(granted(**ends)))

    assert limits() == ""
    assert limits(low="8") == "\u2265 8"
    assert limits(low="8 mm", high="9 mm") == "\u2265 8 mm, \u2264 9 mm"


@given(st.integers(1160, 1260), st.integers(1220, 1250), st.integers(1, 30))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_wider_limit_never_covers_less(tenths: int, high: int, wider: int) -> None:
    def covered(limit: int) -> bool:
        found = judged(
            {"high": f"{limit // 10}.{limit % 10} mm"},
            characteristics=[value(text=f"{tenths // 10}.{tenths % 10} mm")],
        )
        return not found.findings[0].open

    assert covered(high + wider) >= covered(high)


def test_limits_are_asked_of_the_reports_to_the_requirements_own_standard() -> None:
    peak = asking(
        "within",
        id="a",
        quantity="document.peak-deceleration",
        low="10 g",
        high=None,
        decision="simple",
        evidence_from=["type-test-report"],
    )
    papers = [
        document("d1", "type-test-report", test_standard="EN 1789:2020", peak_deceleration="9.6 g"),
        document("d2", "type-test-report", test_standard="EN 1865-5:2012", peak_deceleration="8 g"),
    ]
    conceded = granted(low="9.5 g", subject="vehicle")
    demands = Demands((replace(demand(peak), standard="EN 1789:2020"),), ())

    judgement = judge(case(record(concessions=[conceded], documents=papers), demands=demands))

    assert answer(judgement) is None
