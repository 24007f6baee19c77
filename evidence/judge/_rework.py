"""What a redone step reopens: the evidence of that step, and of every step that needs it, in the same thread.

1. Evidence comes from the step that the profile says yields it, by name of characteristic, cycles, role or torque.
2. A redo concerns it where that step was redone itself, or needs the redone one by the manual, at the same position
   and, where a screw group is concerned, in the same group. Another group or position stays untouched.
3. Evidence that is certainly older than the redo shows nothing any more: not shown, ``reopened``.
4. Where the times do not say, it is undecided; so is a photo whose camera gives no time.
5. What was taken anew afterwards counts again, and what it replaces no longer stands in its way.

A value, cycles and torques carry their time. A photo has its camera's; another file has that of its step. No file is
younger than the entry of the intake log with which it came in; one that was moved here keeps the day it first came.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import TypeVar

from evidence.judge import _evidence
from evidence.judge._camera import taken
from evidence.judge._evidence import Piece, Stop, Used, not_shown, unreadable
from evidence.judge._scope import related, screws_of
from evidence.judge._steps import Timed, bound_to, in_order, needed_before
from evidence.judge._times import Span, before, span
from evidence.judge.case import Case
from evidence.model.intake import IntakeEvent
from evidence.model.names import Outcome, Role
from evidence.model.profile import ProfileStep
from evidence.model.record import Characteristic, Cycles, Document, ExhibitEntry, LabTest, Screws, Step
from evidence.model.times import Interval, parse_interval

TORQUE = "torque"
"""The word by which a step yields the torques of its screw group."""
SCREW_FACTS = "screws."
_FARTHEST = timedelta(hours=14)  # that any clock on earth is off UTC
Moment = Timed | Span
E = TypeVar("E", Characteristic, Cycles)


@dataclass(frozen=True)
class Yielded:
    """Evidence that a step gave.

    Attributes:
        id: the entry of the record.
        name: word by which the profile's steps yield it.
        subject: what it was recorded for.
        at: when it was taken; None where nothing says so.
        by_step: whether the time of its step is its own.
        filed: end of the minute in which its file was there at the latest, in UTC.
    """

    id: str
    name: str
    subject: str
    at: Moment | None
    by_step: bool = False
    filed: datetime | None = None


def reopened(evidence: Yielded, subject: str, case: Case) -> Stop | None:
    """Why a redo leaves the evidence without say for a subject, or None.

    Args:
        evidence: what is looked at.
        subject: what the criterion is asked of.
        case: record and profile.
    """
    stops = [
        stop
        for source in case.profile.steps
        if evidence.name in source.yields
        for redo in case.record.steps
        if redo.redo_of is not None and _reaches(redo, source, evidence, subject, case)
        if (stop := _against(redo, source, evidence, subject, case)) is not None
    ]
    certain = [stop for stop in stops if stop.outcome == Outcome.NOT_SHOWN]
    return next(iter(certain or stops), None)


def of_value(value: Characteristic) -> Yielded:
    """A recorded value."""
    return Yielded(value.id, value.name.value, value.subject, value)


def of_cycles(cycles: Cycles) -> Yielded:
    """Recorded cycles."""
    return Yielded(cycles.id, cycles.kind.value, cycles.subject, cycles)


def of_screws(group: Screws) -> Yielded:
    """A screw group as it was tightened: its torques and all that was written down with them."""
    return Yielded(group.id, TORQUE, group.id, group)


def of_test(test: LabTest, case: Case) -> Yielded:
    """A recorded test, by the role of the file with its channels."""
    role = next((entry.role.value for entry in case.record.exhibits if entry.id == test.exhibit), "")
    at = _day_anywhere(test.at) if isinstance(test.at, Interval) else None
    return Yielded(test.id, role, test.subject, at, by_step=at is None, filed=_filed(test.exhibit, case))


def _day_anywhere(at: Interval) -> Span:
    """The days of a time wherever on earth they were: a laboratory's test may be older than any offset of the job."""
    start, end = (datetime.combine(day, time()) for day in (at.first_day, at.last_day))
    return Span(start - _FARTHEST, end + timedelta(days=1) + _FARTHEST)


def screws_stop(fact: str, subject: str, case: Case) -> Stop | None:
    """Why a fact on screws says nothing: a group was worked on again after it was written down; None elsewhere."""
    if not fact.startswith(SCREW_FACTS):
        return None
    stops = (reopened(of_screws(group), subject, case) for group in screws_of(subject, case.record))
    return next((stop for stop in stops if stop is not None), None)


def current(found: Sequence[E], subject: str, case: Case) -> tuple[E, ...]:
    """Values or cycles without those that a redo reopened and that were then taken anew for the same place."""
    open_again = {one.id for one in found if _certain(reopened(_of(one), subject, case))}
    anew = {one.subject for one in found if one.id not in open_again}
    return tuple(one for one in found if one.id not in open_again or one.subject not in anew)


def _of(entry: Characteristic | Cycles) -> Yielded:
    return of_value(entry) if isinstance(entry, Characteristic) else of_cycles(entry)


def _certain(stop: Stop | None) -> bool:
    return stop is not None and stop.outcome == Outcome.NOT_SHOWN


def pieces(roles: Collection[Role], subject: str, case: Case) -> tuple[Piece, ...]:
    """As ``_evidence.pieces``, where a redo stops what is older; what was filed anew replaces it."""
    found = _evidence.pieces(roles, subject, case)
    traced = {piece.id: _of_piece(piece, case) for piece in found}
    stops = {
        piece.id: reopened(traced[piece.id], subject, case) if piece.stop is None else None for piece in found
    }
    anew = {(traced[name].name, traced[name].subject) for name, stop in stops.items() if not _certain(stop)}
    return tuple(
        replace(piece, stop=piece.stop or stops[piece.id])
        for piece in found
        if not _certain(stops[piece.id]) or (traced[piece.id].name, traced[piece.id].subject) not in anew
    )


def supporting(roles: Collection[Role], subject: str, case: Case) -> Used:
    """Usable files and documents of the roles, as references beside a value of the record."""
    found = [piece.used for piece in pieces(roles, subject, case) if piece.stop is None]
    return Used(
        exhibits=frozenset().union(*(used.exhibits for used in found)),
        documents=frozenset().union(*(used.documents for used in found)),
    )


def _of_piece(piece: Piece, case: Case) -> Yielded:
    entries: tuple[ExhibitEntry | Document, ...] = (*case.record.exhibits, *case.record.documents)
    entry = next(one for one in entries if one.id == piece.id)
    item = case.items.get(piece.id)
    photo = item.photo if item is not None else None
    return Yielded(
        entry.id,
        entry.role.value,
        entry.subject,
        taken(photo, case) if photo is not None else None,
        by_step=photo is None,
        filed=_filed(piece.id, case),
    )


def _filed(exhibit: str, case: Case) -> datetime | None:
    """When these very bytes were there at the latest."""
    item = case.items.get(exhibit)
    times = [
        span(parse_interval(entry.first or entry.at), case.record).end
        for entry in case.intake.entries
        if item is not None
        and entry.id == exhibit
        and entry.sha256 == item.sha256
        and entry.event != IntakeEvent.WITHDRAW
    ]
    return min(times, default=None)


def _reaches(redo: Step, source: ProfileStep, evidence: Yielded, subject: str, case: Case) -> bool:
    """Whether the evidence's step is the redone one or needs it, in the thread that was worked on again."""
    if redo.step != source.id and redo.step not in needed_before(source.id, case.profile):
        return False
    place = bound_to(redo, case.record) or redo.subject
    if not all(related(place, other, case.record) for other in (evidence.subject, subject)):
        return False
    # the manual's own words for screw groups: at most one may be concerned in all of this
    groups = {group.id: group.group for group in case.record.screws}
    redone = next((step.screws for step in case.profile.steps if step.id == redo.step), None)
    named = {groups.get(place, redone), source.screws, groups.get(evidence.subject), groups.get(subject)}
    return len(named - {None}) <= 1


def _against(redo: Step, source: ProfileStep, evidence: Yielded, subject: str, case: Case) -> Stop | None:
    older = not_shown("reopened", step=evidence.id, redone=redo.step)
    done = _span(redo, case)
    if evidence.filed is not None and done is not None and evidence.filed <= done.start:
        return older
    moments = list(_moments(source, evidence, subject, case))
    if not moments:
        return unreadable("reopened-undated", evidence=evidence.id, redone=redo.step)
    outcomes = {_before(moment, redo, case) for moment in moments if moment is not redo}
    if Outcome.MET in outcomes:
        return older
    if Outcome.UNDECIDED in outcomes and not _taken_with(redo, source, moments, case):
        return unreadable("reopened-undecided", step=evidence.id, redone=redo.step)
    return None


def _moments(source: ProfileStep, evidence: Yielded, subject: str, case: Case) -> Iterator[Moment]:
    if evidence.at is not None:
        yield evidence.at
    elif evidence.by_step:
        record = case.record
        replaced = {step.redo_of for step in record.steps}
        for step in record.steps:
            place = bound_to(step, record) or step.subject
            near = all(related(place, other, record) for other in (evidence.subject, subject))
            if step.step == source.id and step.id not in replaced and near:
                yield step


def _taken_with(redo: Step, source: ProfileStep, moments: Sequence[Moment], case: Case) -> bool:
    """Whether evidence of the redone step itself can only be of the redo: what it replaced was over before."""
    if source.id != redo.step:
        return False
    entries = {step.id: step for step in case.record.steps}
    replaced: list[Step] = []
    while (earlier := entries.get((replaced or [redo])[-1].redo_of or "")) and earlier not in replaced:
        replaced.append(earlier)
    return all(_before(one, moment, case) == Outcome.MET for one in replaced for moment in moments)


def _before(first: Moment, second: Moment, case: Case) -> Outcome:
    """Whether the first certainly came before the second; rows of one work card decide between entries."""
    if not isinstance(first, Span) and not isinstance(second, Span):
        return in_order(first, second, case)
    one, other = _span(first, case), _span(second, case)
    return Outcome.UNDECIDED if one is None or other is None else before(one, other)


def _span(moment: Moment, case: Case) -> Span | None:
    if isinstance(moment, Span):
        return moment
    return span(moment.at, case.record) if isinstance(moment.at, Interval) else None
