"""Type ``counted``: something was done or is there often enough, without more faults than allowed."""

from collections.abc import Sequence
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, met_if, verdict
from evidence.judge._evidence import Used, not_shown, recorded, time_stop, unplaced_stop
from evidence.judge._rework import current, of_cycles, of_screws, reopened, supporting
from evidence.judge._scope import lineage, screws_of, unplaced
from evidence.judge.case import Case
from evidence.model.criterion import Counted
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from evidence.model.record import Cycles
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Add the cycles of the kind up for the subject, or count the screws of each group."""
    criterion = asked(demand, Counted)
    looks = _screws if criterion.count == "screws" else _cycles
    return decide(demand, subject, case, lambda: looks(criterion, subject, case))


def _cycles(criterion: Counted, subject: str, case: Case) -> Sequence[Look]:
    line = lineage(subject, case.record)
    found: Sequence[Cycles] = [
        one for one in case.record.cycles if one.kind == criterion.count and one.subject in line
    ]
    if not found:
        stop = not_shown("cycles-not-recorded", kind=str(criterion.count), subject=subject)
        return [Look(Used(), stop)]
    astray = tuple(one.id for one in found if unplaced(one.subject, subject, case.record))
    if astray:  # beside cycles of this very place too: a fault among them may be this place's
        return [Look(recorded(*astray), unplaced_stop(astray, subject))]
    found = current(found, subject, case)
    stops = {one.id: time_stop(one.id, one.at) or reopened(of_cycles(one), subject, case) for one in found}
    open_ = [
        Look(recorded(name), stop, name=name if len(found) > 1 else "")
        for name, stop in stops.items()
        if stop is not None
    ]
    if open_:
        return open_
    used = recorded(*(one.id for one in found)) | supporting(criterion.evidence_from, subject, case)
    done = sum(one.done for one in found)
    faults = done - sum(one.without_fault for one in found)
    return [Look(used, compare=partial(_compare, criterion, done, faults), shown={"found": str(done)})]


def _screws(criterion: Counted, subject: str, case: Case) -> Sequence[Look]:
    groups = screws_of(subject, case.record)
    if not groups:
        return [Look(Used(), not_shown("value-not-recorded", quantity="screws", subject=subject))]
    beside = supporting(criterion.evidence_from, subject, case)
    several = len(groups) > 1
    return [
        Look(
            recorded(group.id) | beside,
            time_stop(group.id, group.at) or reopened(of_screws(group), subject, case),
            compare=partial(_compare, criterion, group.count, 0),
            name=group.id if several else "",
            shown={"found": str(group.count)},
        )
        for group in groups
    ]


def _compare(criterion: Counted, done: int, faults: int) -> Verdict:
    if faults > criterion.faults_allowed:
        return verdict(
            Outcome.NOT_MET,
            "faults-seen",
            faults=str(faults),
            found=str(done),
            allowed=str(criterion.faults_allowed),
        )
    return met_if(
        done >= criterion.at_least,
        "counted-enough",
        "too-few-counted",
        found=str(done),
        at_least=str(criterion.at_least),
    )
