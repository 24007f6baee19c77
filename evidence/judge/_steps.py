"""Steps as threads: what was done at one position, screw group by screw group, the latest redo counting."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from evidence.judge._evidence import exhibit_stop
from evidence.judge._scope import VEHICLE, lineage, screws_of
from evidence.judge._times import before, span
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.names import Outcome
from evidence.model.profile import Profile
from evidence.model.record import CardRow, JobRecord, Screws, Step
from evidence.model.times import Interval


class Timed(Protocol):
    """An entry of the record with its written time and, where it was typed from a work card, its row."""

    @property
    def at(self) -> Interval | FieldState:
        """When, or why that is not known."""

    @property
    def card_row(self) -> CardRow | None:
        """Row of the work card."""


@dataclass(frozen=True)
class Thread:
    """Steps that follow one another: those of one screw group, with those that concern no group in particular.

    Attributes:
        name: id of the screw group, or of the position where no group has steps of its own.
        group: the profile's word for the screw group, or None.
        steps: every entry, superseded ones too, in the order of the record.
    """

    name: str
    group: str | None
    steps: tuple[Step, ...]

    def latest(self, step: str) -> tuple[Step, ...]:
        """Entries of a step that no redo replaced; more than one where it was done in several goes."""
        replaced = {entry.redo_of for entry in self.steps}
        return tuple(entry for entry in self.steps if entry.step == step and entry.id not in replaced)


def threads(wanted: Sequence[str], subject: str, case: Case) -> tuple[Thread, ...]:
    """Threads of a position, of one screw group, or of every position where the subject is the vehicle."""
    record = case.record
    if subject == VEHICLE:
        return tuple(
            thread for position in record.positions for thread in _of_position(wanted, position.id, case)
        )
    group = next((one for one in record.screws if one.id == subject), None)
    if group is not None:
        return (_of_group(group, record),)
    return _of_position(wanted, subject, case)


def _of_position(wanted: Sequence[str], position: str, case: Case) -> tuple[Thread, ...]:
    record = case.record
    asked = {step.screws for step in case.profile.steps if step.id in wanted and step.screws}
    own = [
        group
        for group in screws_of(position, record)
        if group.group in asked or any(bound_to(step, record) == group.id for step in record.steps)
    ]
    if own:
        return tuple(_of_group(group, record) for group in own)
    line = lineage(position, record)
    loose = (step for step in record.steps if bound_to(step, record) is None and step.subject in line)
    return (Thread(position, None, tuple(loose)),)


def _of_group(group: Screws, record: JobRecord) -> Thread:
    line = lineage(group.id, record)
    steps = (
        step
        for step in record.steps
        if bound_to(step, record) == group.id or (bound_to(step, record) is None and step.subject in line)
    )
    return Thread(group.id, group.group, tuple(steps))


def bound_to(step: Step, record: JobRecord) -> str | None:
    """The screw group that a step was done to, or None where it concerns no group in particular."""
    if step.screws is not None:
        return step.screws
    return step.subject if any(group.id == step.subject for group in record.screws) else None


def concerns(step: str, thread: Thread, profile: Profile) -> bool:
    """Whether the manual wants the step in this thread: not a step of another screw group."""
    groups = {one.screws for one in profile.steps if one.id == step}
    return not groups or thread.group is None or None in groups or thread.group in groups


def needed_before(step: str, profile: Profile) -> frozenset[str]:
    """Every step that the manual wants finished before this one, directly or through others."""
    direct = {one.id: one.after for one in profile.steps}
    found: set[str] = set()
    waiting = list(direct.get(step, ()))
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += direct.get(name, ())
    return frozenset(found)


def by_time(first: Timed, second: Timed, record: JobRecord) -> Outcome:
    """Whether the first entry came before the second by their written times."""
    if not isinstance(first.at, Interval) or not isinstance(second.at, Interval):
        return Outcome.UNDECIDED
    return before(span(first.at, record), span(second.at, record))


def in_order(first: Timed, second: Timed, case: Case) -> Outcome:
    """As ``by_time``; where times overlap, the rows of one legible work card decide."""
    outcome = by_time(first, second, case.record)
    one, other = first.card_row, second.card_row
    if outcome != Outcome.UNDECIDED or one is None or other is None or one.exhibit != other.exhibit:
        return outcome
    rows = (one.page, one.row), (other.page, other.row)
    if rows[0] == rows[1] or exhibit_stop(one.exhibit, case) is not None:
        return outcome
    return Outcome.MET if rows[0] < rows[1] else Outcome.NOT_MET
