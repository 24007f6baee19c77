"""Days on which something must be valid, and what its first and last day say of them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from evidence.judge._base import Look, Verdict, verdict
from evidence.judge._evidence import Stop, Used, not_shown, time_stop
from evidence.judge._times import Work
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import ValidOn
from evidence.model.names import Outcome
from evidence.model.times import Interval

_EVENTS = frozenset({"release", "declaration", "as-of"})


@dataclass(frozen=True)
class Occasion:
    """A day on which something must be valid, or why that day is not known.

    Attributes:
        name: what happened then: the id of the work, or the event.
        day: the day, or None.
        stop: why the day is not known.
        at: the time as it was written; None for the day that is judged.
    """

    name: str
    day: date | None
    stop: Stop | None = None
    at: Interval | None = None

    @property
    def used(self) -> Used:
        """The entry of the record that the occasion is, where it is one."""
        return Used() if self.name in _EVENTS else Used(records=frozenset({self.name}))


def occasions(criterion: ValidOn, case: Case, done: Sequence[Work]) -> Sequence[Occasion]:
    """Every occasion of the criterion's event; ``done`` is the work that counts as one."""
    if criterion.event == "work":
        return [occasion(work.id, work.at) for work in done]
    if criterion.event == "as-of":
        return [Occasion("as-of", case.as_of)]
    record = case.record
    event = record.release if criterion.event == "release" else record.declaration
    if event is None:
        return [Occasion(criterion.event, None, not_shown("event-not-recorded", event=criterion.event))]
    return [occasion(criterion.event, event.at)]


def occasion(name: str, at: Interval | FieldState) -> Occasion:
    """Something that happened; every written time lies within one day."""
    if isinstance(at, Interval):
        return Occasion(name, at.last_day, at=at)
    return Occasion(name, None, time_stop(name, at))


def look(entry: str, used: Used, one: Occasion, compare: Callable[[date], Verdict]) -> Look:
    """The look at an entry on one occasion, named by both."""
    name = f"{entry}.{one.name}"
    if one.day is None:
        return Look(used, one.stop, name=name)
    return Look(used, compare=partial(compare, one.day), name=name)


def valid_until(entry: str, last: date | None, day: date) -> Verdict:
    """Whether a validity that has begun holds on a day; the last day counts, and None never ends."""
    shown = {"entry": entry, "day": day.isoformat()}
    if last is not None:
        shown["last_day"] = last.isoformat()
    valid = last is None or day <= last
    found = verdict(
        Outcome.MET if valid else Outcome.NOT_MET, "valid-on-day" if valid else "expired-on-day", **shown
    )
    return Verdict(found.outcome, found.reason, last)


def not_yet(entry: str, first: date, day: date) -> Verdict:
    """A validity that begins after the day."""
    parameters = {"entry": entry, "day": day.isoformat(), "first_day": first.isoformat()}
    return verdict(Outcome.NOT_MET, "not-yet-valid-on-day", **parameters)
