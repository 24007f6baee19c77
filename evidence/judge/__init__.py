"""Judging: demands against evidence, one pure module per criterion type; contradictions beside them.

A type is one module with a function ``judge(demand, subject, case) -> Finding`` and one entry in ``TYPES``.
"""

from collections.abc import Callable, Mapping

from evidence.judge import (
    attested,
    complete,
    counted,
    covers,
    inside,
    matches,
    ordered,
    present,
    valid_on,
    within,
)
from evidence.judge._photo import recorded_text
from evidence.judge._scope import subjects
from evidence.judge._standard import to_this_standard
from evidence.judge.case import Case
from evidence.judge.clauses import join
from evidence.judge.codes import all_codes
from evidence.judge.concessions import conceded
from evidence.judge.contradictions import contradictions
from evidence.model.finding import ClauseOutcome, Finding, Judgement
from evidence.register.demand import Demand

__all__ = ["TYPES", "Case", "all_codes", "judge", "recorded_text"]

TYPES: Mapping[str, Callable[[Demand, str, Case], Finding]] = {
    "present": present.judge,
    "complete": complete.judge,
    "within": within.judge,
    "inside": inside.judge,
    "matches": matches.judge,
    "counted": counted.judge,
    "valid_on": valid_on.judge,
    "ordered": ordered.judge,
    "covers": covers.judge,
    "attested": attested.judge,
}
"""Criterion type to the function that judges it."""


def judge(case: Case) -> Judgement:
    """Judge one vehicle's case; the same case always gives the same judgement.

    1. Ask each demand of each of its subjects, by the numbered procedure of ``_base``.
    2. Join the findings of each clause by its rule; set the routes that were not taken aside.
    3. Let concessions in force cover what is still open.
    4. Look for contradictions and their answers.
    5. Sort: findings by requirement and subject, clauses by pack, number and subject, contradictions by id.
    """
    asked = _asked(case)
    outcomes, joined = _joined(asked, case)
    findings = [conceded(finding, case) for finding in joined]
    return Judgement(
        findings=tuple(sorted(findings, key=lambda one: one.key)),
        clauses=tuple(sorted(outcomes, key=lambda one: (one.pack, one.clause, one.subject))),
        contradictions=contradictions(case, findings),
    )


def _asked(case: Case) -> dict[tuple[str, str], list[tuple[Demand, Finding]]]:
    """Demands with their findings, by source and clause."""
    asked: dict[tuple[str, str], list[tuple[Demand, Finding]]] = {}
    for demand in case.demands.criteria:
        for subject in subjects(demand.criterion, case.record):
            finding = TYPES[demand.criterion.type](demand, subject, to_this_standard(demand, subject, case))
            asked.setdefault((demand.source, demand.clause), []).append((demand, finding))
    return asked


def _joined(
    asked: dict[tuple[str, str], list[tuple[Demand, Finding]]], case: Case
) -> tuple[list[ClauseOutcome], list[Finding]]:
    outcomes: list[ClauseOutcome] = []
    findings: list[Finding] = []
    for clause in case.demands.clauses:
        own = asked.pop((clause.source, clause.clause), [])
        if own:
            joined = join(clause, [demand for demand, _ in own], [finding for _, finding in own], case)
            outcomes += joined.outcomes
            findings += joined.findings
    # the register lists a clause for every demand; should one be missing, its findings must not get lost
    return outcomes, findings + [finding for own in asked.values() for _, finding in own]
