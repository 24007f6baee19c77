"""Type ``attested``: a person of a function has said it."""

from evidence.judge._base import Look, asked, decide, verdict
from evidence.judge._evidence import Stop, Used, not_shown, unplaced_stop
from evidence.judge._rework import supporting
from evidence.judge._scope import lineage, unplaced
from evidence.judge.case import Case
from evidence.model.criterion import Attested
from evidence.model.finding import Finding
from evidence.model.names import Outcome, RestsOn
from evidence.model.record import Statement
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Look for the statement by a person who has the function; it rests on that statement alone."""
    criterion = asked(demand, Attested)
    return decide(demand, subject, case, lambda: [_look(criterion, subject, case)])


def _look(criterion: Attested, subject: str, case: Case) -> Look:
    line = lineage(subject, case.record)
    found = [
        one for one in case.record.statements if one.statement == criterion.statement and one.subject in line
    ]
    placed = [one for one in found if not unplaced(one.subject, subject, case.record)]
    if found and not placed:
        return Look(Used(), unplaced_stop(tuple(sorted(one.id for one in found)), subject))
    entitled = {person.id for person in case.record.people if criterion.function in person.functions}
    stated = [one for one in placed if one.by in entitled and _known(one, case)]
    if not stated:
        return Look(Used(), _stop(criterion, placed, case))
    first = min(stated, key=lambda one: one.id)
    files = frozenset({first.exhibit} if first.exhibit else ())
    used = Used(frozenset({RestsOn.STATEMENT}), exhibits=files, records=frozenset({first.id, first.by}))
    return Look(
        used | supporting(criterion.evidence_from, subject, case),
        compare=lambda: verdict(
            Outcome.MET, "stated", by=first.by, function=criterion.function.value, at=first.at.text
        ),
    )


def _known(statement: Statement, case: Case) -> bool:
    return case.known_on is None or statement.at.last_day <= case.known_on


def _stop(criterion: Attested, found: list[Statement], case: Case) -> Stop:
    wanted = {"statement": criterion.statement, "function": criterion.function.value}
    if not found:
        return not_shown("not-stated", **wanted)
    later = [one for one in found if not _known(one, case)]
    if later and case.known_on is not None:
        return not_shown("not-yet-known", entry=later[0].id, known_on=case.known_on.isoformat())
    return not_shown("stated-by-other", by=found[0].by, **wanted)
