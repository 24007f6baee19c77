"""The notice on a recorded concession that covers nothing: it says which of the reasons it is."""

from datetime import date
from typing import Any

import pytest

from evidence.judge import judge
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.phrases import say
from evidence.register.demand import Demands
from tests.judge.builders import TO_COME, asking, case, clause, demand, record, step
from tests.judge.test_clauses import criterion, granted


def told(*concessions: dict[str, Any], outcome: str = "not met", **parts: Any) -> list[Contradiction]:
    demands = Demands((demand(criterion("a", outcome)),), (clause({"all": ["a"]}),))
    as_of = parts.pop("as_of", date(2026, 3, 20))
    judgement = judge(case(record(concessions=list(concessions), **parts), demands=demands, as_of=as_of))
    return [one for one in judgement.contradictions if one.rule == "concession-not-in-force"]


def test_a_concession_in_force_is_not_told() -> None:
    assert told(granted()) == []
    assert told(granted(), granted(id="c2")) == []


PERMIT = {"kind": "deviation-permit", "at": "2026-03-04"}


@pytest.mark.parametrize(
    ("changes", "parts", "code", "word"),
    [
        ({"requirement": "en@1/1/typo"}, {}, "concession-requirement-unknown", "en@1/1/typo"),
        ({"subject": "i1"}, {}, "concession-other-subject", "of p1"),
        ({"authority": "builder"}, {}, "concession-wrong-authority", "agency"),
        ({}, {"parties": []}, "concession-authority-not-named", "agency"),
        ({}, {"as_of": date(2026, 3, 9)}, "concession-later", "2026-03-10"),
        ({"until": "2026-03-19"}, {}, "concession-ended", "2026-03-19"),
        ({"exhibit": "E9"}, {}, "concession-paper-unusable", "E9"),
        (PERMIT, {"steps": [step("s1", "clean", "2026-03-04")]}, "concession-permit-late", "2026-03-04"),
        (PERMIT, {"steps": [step("s1", "clean", TO_COME)]}, "concession-permit-before-unknown", "p1"),
        (PERMIT, {}, "concession-permit-before-unknown", "p1"),
    ],
)
def test_the_reason_is_told(changes: dict[str, str], parts: dict[str, Any], code: str, word: str) -> None:
    (notice,) = told(granted(**changes), **parts)

    assert (notice.reason.code, notice.severity, notice.open) == (code, Severity.NOTICE, False)
    assert notice.id.startswith("concession-not-in-force:c1:")
    sentence = say(code, notice.reason.parameters)
    assert "c1" in sentence
    assert word in sentence


def test_where_all_is_met_a_concession_is_not_missed() -> None:
    the_record = record(concessions=[granted(authority="builder")])
    demands = Demands((demand(asking("matches", id="a")),), (clause({"all": ["a"]}),))

    assert judge(case(the_record, demands=demands)).contradictions == ()
