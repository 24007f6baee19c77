"""Concessions: a departure that somebody entitled has granted keeps its outcome and is no longer open.

A concession binds where it names the requirement and the subject (or the vehicle), its authority can concede such a
requirement and is a party of this vehicle, it is in force on the day judged, and its paper, where one is named, can be
read. Where it names limits, everything conceded lies inside them. A deviation permit must also be older than the first
work it permits.
"""

from evidence.judge._conceded import stated
from evidence.judge._permission import SETTLED, obstacle
from evidence.judge._scope import lineage
from evidence.judge.case import Case
from evidence.model.finding import Finding
from evidence.model.record import Concession


def conceded(finding: Finding, case: Case) -> Finding:
    """The finding, with the first binding concession by id where it is open."""
    if finding.outcome in SETTLED:
        return finding
    binding = sorted(one.id for one in case.record.concessions if binds(one, finding, case))
    return finding.model_copy(update={"concession": binding[0]}) if binding else finding


def binds(concession: Concession, finding: Finding, case: Case) -> bool:
    """Whether a concession covers a finding on the day judged."""
    return (
        concession.requirement == finding.requirement
        and concession.subject in lineage(finding.subject, case.record)
        and obstacle(concession, finding, case) is None
    )


def limits_of(concession: Concession) -> str:
    """The limits of a concession in signs, as they were typed; empty where it names none."""
    return stated(concession.low, concession.high)
