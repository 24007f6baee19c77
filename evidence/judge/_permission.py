"""Who may concede what, and what keeps a recorded concession from covering a finding."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from evidence.judge._conceded import limit_fault
from evidence.judge._evidence import exhibit_stop
from evidence.judge._scope import related
from evidence.judge._times import works
from evidence.judge.case import Case
from evidence.model.finding import Finding, Parameter, Place
from evidence.model.names import Group, Outcome, PartyFunction, Role
from evidence.model.record import Concession
from evidence.model.times import Interval

NONE = "\u2013"
SETTLED = frozenset({Outcome.MET, Outcome.NOT_APPLICABLE})
_INTERESTED = frozenset({PartyFunction.BUILDER, PartyFunction.FITTING_COMPANY, PartyFunction.INSURER})
GRANTS: Mapping[Group, frozenset[PartyFunction]] = {
    Group.STANDARD: frozenset({PartyFunction.AGENCY}),
    Group.PROFILE: frozenset({PartyFunction.SYSTEM_MAKER, PartyFunction.STRETCHER_MAKER}),
    Group.PRACTICE: frozenset(PartyFunction) - _INTERESTED,
}
"""Group of a requirement to the parties that can depart from it; nobody grants himself a departure."""


@dataclass(frozen=True)
class Obstacle:
    """Why a concession does not cover a finding: the code of its sentence, both sides, what the sentence names."""

    code: str
    between: tuple[Place, Place]
    parameters: Mapping[str, Parameter] = field(default_factory=dict)


def obstacle(concession: Concession, finding: Finding, case: Case) -> Obstacle | None:
    """What keeps a concession from covering a finding of its own requirement and subject on the day judged."""
    checks: tuple[Callable[[Concession, Finding, Case], Obstacle | None], ...] = (
        _wrong_authority,
        _unnamed_authority,
        _later,
        _ended,
        _paper_unusable,
        _permit_late,
        _outside_limits,
    )
    found = (check(concession, finding, case) for check in checks)
    return next((one for one in found if one is not None), None)


def side(concession: Concession, name: str, value: str) -> Place:
    """A field of the concession as one side of a disagreement."""
    return Place(where=f"{concession.id}.{name}", value=value)


def _wrong_authority(concession: Concession, finding: Finding, _: Case) -> Obstacle | None:
    allowed = GRANTS[finding.group]
    if concession.authority in allowed:
        return None
    expected = tuple(sorted(one.value for one in allowed))
    between = (
        side(concession, "authority", concession.authority.value),
        side(concession, "requirement", f"{concession.requirement} ({', '.join(expected)})"),
    )
    parameters: dict[str, Parameter] = {"authority": concession.authority.value, "expected": expected}
    return Obstacle("concession-wrong-authority", between, parameters)


def _unnamed_authority(concession: Concession, _: Finding, case: Case) -> Obstacle | None:
    named = sorted({party.function.value for party in case.record.parties})
    if concession.authority.value in named:
        return None
    between = (
        side(concession, "authority", concession.authority.value),
        Place(where="parties", value=", ".join(named) or NONE),
    )
    return Obstacle("concession-authority-not-named", between, {"authority": concession.authority.value})


def _later(concession: Concession, _: Finding, case: Case) -> Obstacle | None:
    day = min(case.as_of, case.known_on or case.as_of)
    if concession.at <= day:
        return None
    at, judged = concession.at.isoformat(), day.isoformat()
    between = (side(concession, "at", at), Place(where="as-of", value=judged))
    return Obstacle("concession-later", between, {"at": at, "day": judged})


def _ended(concession: Concession, _: Finding, case: Case) -> Obstacle | None:
    if concession.until is None or case.as_of <= concession.until:
        return None
    until, judged = concession.until.isoformat(), case.as_of.isoformat()
    between = (side(concession, "until", until), Place(where="as-of", value=judged))
    return Obstacle("concession-ended", between, {"until": until, "day": judged})


def _paper_unusable(concession: Concession, _: Finding, case: Case) -> Obstacle | None:
    exhibit = concession.exhibit
    stop = exhibit_stop(exhibit, case, Role.CONCESSION) if exhibit is not None else None
    if exhibit is None or stop is None:
        return None
    between = (side(concession, "exhibit", exhibit), Place(where=exhibit, value=stop.reason.code))
    return Obstacle("concession-paper-unusable", between, {"exhibit": exhibit})


def _permit_late(concession: Concession, finding: Finding, case: Case) -> Obstacle | None:
    if concession.kind == "concession":
        return None
    own = [one.at for one in works(case.record) if related(one.subject, finding.subject, case.record)]
    days = [at.first_day for at in own if isinstance(at, Interval)]
    # a day is the finest a permit is dated to, so the day of the first work itself is too late
    if len(days) == len(own) > 0 and concession.at < min(days):
        return None
    at, worked = concession.at.isoformat(), min(days).isoformat() if days else NONE
    between = (side(concession, "at", at), Place(where="work", value=worked))
    # an earlier permit on record can still be too late where the day of some work is not known
    late = bool(days) and concession.at >= min(days)
    return Obstacle(
        "concession-permit-late" if late else "concession-permit-before-unknown",
        between,
        {"at": at, **({"worked": worked} if late else {})},
    )


def _outside_limits(concession: Concession, finding: Finding, case: Case) -> Obstacle | None:
    fault = limit_fault(concession, finding, case)
    if fault is None:
        return None
    between = (
        side(concession, "limits", fault.limits),
        Place(where=f"{finding.subject}.{finding.requirement}", value=fault.found),
    )
    return Obstacle(fault.code, between, fault.parameters)
