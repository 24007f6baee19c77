"""Concessions: a departure that somebody entitled has granted keeps its outcome and is no longer open.

A concession binds where it names the requirement and the subject (or the vehicle), is in force on the day judged,
and its paper, where one is named, can be read. A deviation permit must also be older than the first work it
permits. A maker's limit can only be conceded by a maker.
"""

from evidence.judge._evidence import exhibit_stop
from evidence.judge._scope import lineage, related
from evidence.judge._times import works
from evidence.judge.case import Case
from evidence.model.finding import Finding
from evidence.model.names import Group, Outcome, PartyFunction
from evidence.model.record import Concession
from evidence.model.times import Interval

_MAKERS = frozenset({PartyFunction.SYSTEM_MAKER, PartyFunction.STRETCHER_MAKER})
_SETTLED = frozenset({Outcome.MET, Outcome.NOT_APPLICABLE})


def conceded(finding: Finding, case: Case) -> Finding:
    """The finding, with the first binding concession by id where it is open."""
    if finding.outcome in _SETTLED:
        return finding
    binding = sorted(one.id for one in case.record.concessions if binds(one, finding, case))
    return finding.model_copy(update={"concession": binding[0]}) if binding else finding


def binds(concession: Concession, finding: Finding, case: Case) -> bool:
    """Whether a concession covers a finding on the day judged."""
    return (
        concession.requirement == finding.requirement
        and concession.subject in lineage(finding.subject, case.record)
        and (finding.group != Group.PROFILE or concession.authority in _MAKERS)
        and _in_force(concession, case)
        and (concession.exhibit is None or exhibit_stop(concession.exhibit, case) is None)
        and (concession.kind == "concession" or _before_work(concession, finding.subject, case))
    )


def _in_force(concession: Concession, case: Case) -> bool:
    known = case.known_on is None or concession.at <= case.known_on
    ended = concession.until is not None and case.as_of > concession.until
    return known and concession.at <= case.as_of and not ended


def _before_work(permit: Concession, subject: str, case: Case) -> bool:
    own = [one.at for one in works(case.record) if related(one.subject, subject, case.record)]
    days = [at.first_day for at in own if isinstance(at, Interval)]
    # a day is the finest a permit is dated to, so the day of the first work itself is too late
    return len(days) == len(own) > 0 and permit.at < min(days)
