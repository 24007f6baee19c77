"""Rules on torques: audits that found a screw loose or tightened it further, and values that nobody can have read."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from fractions import Fraction

from evidence.judge._identity import contradiction
from evidence.judge._rework import TORQUE
from evidence.judge._rounding import beyond, last_place
from evidence.judge._steps import bound_to, in_order, needed_before
from evidence.judge._times import Span, span
from evidence.judge._tools import range_stop
from evidence.judge._uncertainty import instrument_of, of_torque
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Outcome, Severity
from evidence.model.record import Audit, JobRecord, Screws, Step
from evidence.model.times import Interval
from evidence.quantity import Quantity

ENOUGH = 4
"""Screws from which equal readings say something (common practice, no source)."""
FINE = Fraction(1, 100)
"""Step of the last digit as a part of the value, up to which equal readings are unlikely: the hand varies more."""
SETTING = timedelta(hours=1)
"""Thread-locker has handling strength after 10 to 60 minutes (from memory of data sheets), so it cures by then."""


def audit_moved(case: Case) -> Iterator[Contradiction]:
    """A screw turned before the audit torque, so what was written at tightening no longer held."""
    for audit, group in _audits(case.record):
        if audit.moved and in_order(group, audit, case) == Outcome.MET:
            yield contradiction(
                ContradictionRule.AUDIT_MOVED,
                audit.id,
                (
                    Place(where=f"{group.id}.at", value=_when(group)),
                    Place(where=f"{audit.id}.moved", value="yes"),
                ),
                entry=audit.id,
                screws=group.id,
                audited=_when(audit),
            )


def outside_range(case: Case) -> Iterator[Contradiction]:
    """Torques of an audit that its tool does not measure; told, because no demand asks for audits."""
    for audit, _ in _audits(case.record):
        tool = instrument_of(audit.instrument, case.record)
        for torque in _known(audit.torques):
            stop = range_stop(audit.id, torque, audit.instrument, case.record)
            if stop is not None and tool is not None:
                ends = [text for text in (tool.range_low, tool.range_high) if text is not None]
                yield contradiction(
                    ContradictionRule.AUDIT_OUTSIDE_RANGE,
                    audit.id,
                    (
                        Place(where=f"{tool.id}.range", value=" \u2013 ".join(ends)),
                        Place(where=f"{audit.id}.torques", value=torque.text),
                    ),
                    severity=Severity.NOTICE,
                    entry=audit.id,
                    instrument=tool.id,
                    value=torque.json(),
                    low=stop.reason.parameters["low"],
                    high=stop.reason.parameters["high"],
                )
                break  # one says it for the audit


def identical(case: Case) -> Iterator[Contradiction]:
    """An indicating tool that showed one and the same value on every screw; a clicking one always gives its setting."""
    tightened = ((group.id, group.instrument, group.torques) for group in case.record.screws)
    audited = ((audit.id, audit.instrument, audit.torques) for audit in case.record.audits)
    for entry, identity, torques in (*tightened, *audited):
        tool = instrument_of(identity, case.record)
        values = _known(torques)
        if tool is None or not tool.indicating or len(values) < max(ENOUGH, len(torques)):
            continue
        first = values[0]
        alike = all(value.base == first.base for value in values)
        if alike and first.base > 0 and max(map(last_place, values)) <= first.base * FINE:
            yield contradiction(
                ContradictionRule.TORQUES_IDENTICAL,
                entry,
                (
                    Place(where=f"{tool.id}.indicating", value="yes"),
                    Place(where=f"{entry}.torques", value=f"{len(values)} \u00d7 {first.text}"),
                ),
                severity=Severity.NOTICE,
                entry=entry,
                instrument=tool.id,
                count=str(len(values)),
                value=first.json(),
            )


def after_cure(case: Case) -> Iterator[Contradiction]:
    """Torque put on again when the thread-locker certainly cured; told, because its rule is common practice."""
    for group in case.record.screws:
        yield from _tightened_again(group, case)
    for audit, group in _audits(case.record):
        yield from _audited_too_hard(audit, group, case)


def _tightened_again(group: Screws, case: Case) -> Iterator[Contradiction]:
    """A torque step redone while the record knows of no later thread-locker, nor of taking the screws out."""
    torque_steps = {step.id for step in case.profile.steps if TORQUE in step.yields}
    entries = {step.id: step for step in case.record.steps}
    for step in case.record.steps:
        earlier = entries.get(step.redo_of or "")
        if earlier is None or step.step not in torque_steps or _group_of(step, case.record) is not group:
            continue
        begun = _begun(group, earlier, case.record)
        redone = _span(step.at, case.record)
        if begun is None or redone is None or redone.start < begun.end + SETTING:
            continue
        if _taken_out(step.step, group, begun, case):
            continue
        yield contradiction(
            ContradictionRule.RETORQUED_AFTER_CURE,
            step.id,
            (
                Place(where=f"{group.id}.locker.applied", value=_applied(group)),
                Place(where=f"{step.id}.at", value=_when(step)),
            ),
            severity=Severity.NOTICE,
            entry=step.id,
            screws=group.id,
            applied=_applied(group),
            redone=_when(step),
        )


def _group_of(step: Step, record: JobRecord) -> Screws | None:
    """The group that a step was done to: named, or the only one at its place."""
    bound = bound_to(step, record)
    groups = [one for one in record.screws if bound in (None, one.id)]
    near = groups if bound is not None else [one for one in groups if one.subject == step.subject]
    return near[0] if len(near) == 1 else None


def _taken_out(torque_step: str, group: Screws, begun: Span, case: Case) -> bool:
    """Whether a step that comes before the torque may have been done in between: then it was done as it should."""
    earlier = needed_before(torque_step, case.profile)
    again = [step for step in case.record.steps if step.step in earlier]
    spans = [_span(step.at, case.record) for step in again if _group_of(step, case.record) in (None, group)]
    return any(when is None or when.end > begun.start for when in spans)


def _audited_too_hard(audit: Audit, group: Screws, case: Case) -> Iterator[Contradiction]:
    """A found torque that is more than any that was put on, by more than both tools may deviate."""
    begun, audited = _begun(group, group, case.record), _span(audit.at, case.record)
    put_on = [of_torque(torque, group, case.record) for torque in _known(group.torques)]
    if begun is None or audited is None or audited.start < begun.end + SETTING or not put_on:
        return
    if len(put_on) < group.count:
        return  # one that is not recorded may have been tightened harder
    most = max(put_on, key=lambda one: one.value.base)
    by_tool = group.model_copy(update={"instrument": audit.instrument})
    for torque in _known(audit.torques):
        own = of_torque(torque, by_tool, case.record).expanded
        if own is None or most.expanded is None:
            continue
        if beyond(torque, most.value, own.base + most.expanded.base):
            yield contradiction(
                ContradictionRule.RETORQUED_AFTER_CURE,
                audit.id,
                (
                    Place(where=f"{group.id}.torques", value=most.value.text),
                    Place(where=f"{audit.id}.torques", value=torque.text),
                ),
                severity=Severity.NOTICE,
                code="audited-above-torque",
                entry=audit.id,
                screws=group.id,
                found=torque.json(),
                recorded=most.value.json(),
            )
            return


def _begun(group: Screws, tightened: Screws | Step, record: JobRecord) -> Span | None:
    """When locker and torque were both there, so that curing began; None where either time is not known."""
    if group.locker is None:
        return None
    times = [_span(group.locker.applied, record), _span(tightened.at, record)]
    known = [when for when in times if when is not None]
    return max(known, key=lambda when: when.end) if len(known) == len(times) else None


def _audits(record: JobRecord) -> Iterator[tuple[Audit, Screws]]:
    groups = {group.id: group for group in record.screws}
    for audit in sorted(record.audits, key=lambda one: one.id):
        if audit.screws in groups:
            yield audit, groups[audit.screws]


def _known(torques: Sequence[object]) -> list[Quantity]:
    return [torque for torque in torques if isinstance(torque, Quantity)]


def _span(at: object, record: JobRecord) -> Span | None:
    return span(at, record) if isinstance(at, Interval) else None


def _when(entry: Screws | Audit | Step) -> str:
    return entry.at.text if isinstance(entry.at, Interval) else ""


def _applied(group: Screws) -> str:
    applied = group.locker.applied if group.locker is not None else None
    return applied.text if isinstance(applied, Interval) else ""
