"""Loose ends: what the record leaves open, whether or not any demand asks for it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from evidence.judge.codes import because
from evidence.model._base import Model
from evidence.model._text import FieldState
from evidence.model.finding import Parameter, Reason
from evidence.model.names import FieldWord, Role
from evidence.model.record import Claim, JobRecord
from evidence.record.typed import key_fields

_JUDGED = frozenset({"exhibits"})  # their slots are evidence, and the demands ask for that
_EVENTS = {"release": "loose-release", "declaration": "loose-declaration"}
_TIMES = frozenset({"at", "applied", "calibrated", "finished", "issued", "use_by"})
"""Fields of times and days: of these none can be ``not fitted``, so the word answers nothing there."""
_LENT = frozenset({"loaner", "pool"})


@dataclass(frozen=True)
class LooseEnd:
    """One place of the record that holds no answer yet.

    Attributes:
        place: where it stands, ``vehicle.vin`` or ``p1.system.serial``: an entry with an id by that id, a claim by
            its name, other entries of a list by their number from 1.
        code: ``loose-field``, ``loose-release``, ``loose-declaration``, ``loose-loaner-overdue`` or
            ``loose-typed-once``.
        state: the word of the field; ``to come`` for a release or declaration that is missing whole, for what is to
            stand in the place of a loaner, and for a second typing.
        from_: id of whom it will come from, where that is said.
        by: last day for it, where that is said.
    """

    place: str
    code: str
    state: FieldWord
    from_: str | None = None
    by: date | None = None

    def overdue(self, as_of: date) -> bool:
        """Whether its last day has passed; without one it never is overdue."""
        return self.by is not None and self.by < as_of

    def reason(self, as_of: date) -> Reason:
        """Why it is open on that day: its code, ``loose-overdue`` for a field after its last day, and the parameters."""
        shown: dict[str, Parameter] = {"place": self.place, "state": self.state.value}
        if self.from_ is not None:
            shown["from"] = self.from_
        if self.by is not None:
            shown["by"] = self.by.isoformat()
        late = self.code == "loose-field" and self.overdue(as_of)
        return because("loose-overdue" if late else self.code, **shown)


def loose_ends(record: JobRecord, as_of: date | None = None) -> tuple[LooseEnd, ...]:
    """What the record leaves open, in the order of the record; then loaners kept too long, then what only one person typed from a card.

    Every field that holds a state in place of a value, a release or declaration that is not there, a stretcher on
    loan after its last day, and a key field that was typed once from a filed work card. ``not fitted`` is an answer and no loose end, but of no time or day; the slots of
    exhibits belong to the demands that ask for evidence.

    Args:
        record: the job record.
        as_of: the day by which a loaner is overdue; None looks at none.
    """
    found: list[LooseEnd] = []
    for name in type(record).model_fields:
        part = getattr(record, name)
        if name in _EVENTS and part is None:
            found.append(LooseEnd(name, _EVENTS[name], FieldWord.TO_COME))
        elif name not in _JUDGED:
            found += _inside(part, (name,))
    if as_of is not None:
        found += _kept_too_long(record, as_of)
    found += _typed_once(record)
    return tuple(found)


def _typed_once(record: JobRecord) -> Iterator[LooseEnd]:
    """Key fields that came from a card which is filed, and that no second person typed from it."""
    cards = {
        entry.id for entry in record.exhibits if entry.role == Role.WORK_CARD and isinstance(entry.file, str)
    }
    again = {(entry.of, entry.field, entry.by) for entry in record.retyped}
    for field in key_fields(record):
        typed = any(not isinstance(value, FieldState) for value in field.values)
        if not typed or field.card_row is None or field.card_row.exhibit not in cards:
            continue
        second = {by for of, name, by in again if (of, name) == (field.of, field.field)} - {field.by}
        if not second:
            yield LooseEnd(field.place, "loose-typed-once", FieldWord.TO_COME)


def _kept_too_long(record: JobRecord, as_of: date) -> Iterator[LooseEnd]:
    for position in record.positions:
        for number, one in enumerate(position.stretchers.delivered_with, start=1):
            if one.holding in _LENT and one.until is not None and one.until < as_of:
                place = f"{position.id}.stretchers.delivered_with.{number}"
                yield LooseEnd(place, "loose-loaner-overdue", FieldWord.TO_COME, by=one.until)


def _inside(part: Any, place: tuple[str, ...]) -> Iterator[LooseEnd]:
    if isinstance(part, FieldState):
        if part.state != FieldWord.NOT_FITTED or place[-1] in _TIMES:
            yield LooseEnd(".".join(place), "loose-field", part.state, part.from_, part.by)
    elif isinstance(part, Model):
        # a claim's value is the claim
        step_in = {
            name: () if isinstance(part, Claim) else (_typed(part, name),) for name in type(part).model_fields
        }
        for name, step in step_in.items():
            yield from _inside(getattr(part, name), (*place, *step))
    elif isinstance(part, tuple):
        for number, entry in enumerate(part, start=1):
            yield from _inside(entry, _entry_place(entry, number, place))


def _typed(part: Model, name: str) -> str:
    """The field's name as the record writes it."""
    return type(part).model_fields[name].alias or name


def _entry_place(entry: object, number: int, place: tuple[str, ...]) -> tuple[str, ...]:
    if isinstance(entry, Claim):
        return (*place[:-1], entry.name.value)
    identity = getattr(entry, "id", None)
    return (identity,) if isinstance(identity, str) else (*place, str(number))
