"""Times of the record on one scale, what was done when, and how two times compare by the worst case."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from evidence.model._text import FieldState
from evidence.model.names import Outcome
from evidence.model.record import JobRecord
from evidence.model.times import Interval, parse_offset


@dataclass(frozen=True)
class Span:
    """A half-open stretch ``[start, end)`` in UTC, without zone."""

    start: datetime
    end: datetime


@dataclass(frozen=True)
class Work:
    """Something that was done on the vehicle.

    Attributes:
        id: the entry of the record.
        subject: what it was done to.
        at: when, or why that is not known.
        by: person id.
        instruments: ids of what was used.
        is_test: whether it is a measurement or functional test, rather than fitting work.
    """

    id: str
    subject: str
    at: Interval | FieldState
    by: str
    instruments: tuple[str, ...]
    is_test: bool


def works(record: JobRecord) -> tuple[Work, ...]:
    """Steps, screw groups, values and cycles as work, in the order of the record."""
    return (
        *(Work(step.id, step.subject, step.at, step.by, step.with_, is_test=False) for step in record.steps),
        *(
            Work(group.id, group.subject, group.at, group.by, (group.instrument,), is_test=False)
            for group in record.screws
        ),
        *(
            Work(value.id, value.subject, value.at, value.by, (value.instrument,), is_test=True)
            for value in record.characteristics
        ),
        *(Work(cycle.id, cycle.subject, cycle.at, cycle.by, (), is_test=True) for cycle in record.cycles),
    )


def uses(record: JobRecord) -> tuple[Work, ...]:
    """Works and audits: everything that instruments were used for. An audit may come years after the release."""
    groups = {group.id: group.subject for group in record.screws}
    audits = (
        Work(one.id, groups.get(one.screws, one.screws), one.at, one.by, (one.instrument,), is_test=True)
        for one in record.audits
    )
    return (*works(record), *audits)


def offset_on(day: date, record: JobRecord) -> timedelta:
    """The workshop's offset from UTC on a day; before the first listed day, the first one."""
    listed = sorted(record.offsets, key=lambda offset: offset.from_)
    known = [offset for offset in listed if offset.from_ <= day] or listed[:1]
    return parse_offset(known[-1].offset)


def span(interval: Interval, record: JobRecord) -> Span:
    """An interval in UTC, by its own offset or else the record's."""
    if interval.offset is not None:
        return Span(interval.start - interval.offset, interval.end - interval.offset)
    start, end = offset_on(interval.first_day, record), offset_on(interval.last_day, record)
    return Span(interval.start - start, interval.end - end)


def whole_day(day: date, record: JobRecord) -> Span:
    """A day of the workshop in UTC."""
    midnight = datetime.combine(day, datetime.min.time())
    offset = offset_on(day, record)
    return Span(midnight - offset, midnight + timedelta(days=1) - offset)


def timed_works(record: JobRecord) -> list[tuple[str, str, Span]]:
    """Place, text and span of each work whose time is written, in the order of the record."""
    return [
        (f"{work.id}.at", work.at.text, span(work.at, record))
        for work in works(record)
        if isinstance(work.at, Interval)
    ]


def before(first: Span, second: Span) -> Outcome:
    """Whether the first came before the second: met and not met only where no reading of the times disagrees."""
    if first.end <= second.start:
        return Outcome.MET
    return Outcome.NOT_MET if first.start >= second.end else Outcome.UNDECIDED
