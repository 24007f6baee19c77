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
        code: ``loose-field``, ``loose-release``, ``loose-declaration``, ``loose-loaner-overdue``,
            ``loose-typed-once``, ``loose-card-row`` or ``loose-clock-unread``.
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
        """Why it is open on that day, and the parameters: its code, of a field one that says what is promised or read."""
        shown: dict[str, Parameter] = {"place": self.place, "state": self.state.value}
        if self.from_ is not None:
            shown["from"] = self.from_
        if self.by is not None:
            shown["by"] = self.by.isoformat()
        return because(self._field_code(as_of) if self.code == "loose-field" else self.code, **shown)

    def _field_code(self, as_of: date) -> str:
        if self.overdue(as_of):
            return "loose-overdue"
        if self.state == FieldWord.TO_COME and self.from_ is not None and self.by is not None:
            return "loose-promised"
        return "loose-illegible" if self.state == FieldWord.ILLEGIBLE else self.code


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
    found += _without_row(record)
    found += _clocks_unread(record)
    return tuple(found)


def _typed_once(record: JobRecord) -> Iterator[LooseEnd]:
    """Key fields that came from a card which is filed, and that no second person typed from it."""
    cards = _cards(record)
    again = {(entry.of, entry.field, entry.by) for entry in record.retyped}
    for field in key_fields(record):
        typed = any(not isinstance(value, FieldState) for value in field.values)
        if not typed or field.card_row is None or field.card_row.exhibit not in cards:
            continue
        second = {by for of, name, by in again if (of, name) == (field.of, field.field)} - {field.by}
        if not second:
            yield LooseEnd(field.place, "loose-typed-once", FieldWord.TO_COME)


def _without_row(record: JobRecord) -> Iterator[LooseEnd]:
    """Entries with key fields that do not say whence they were typed, although a card is filed."""
    if not _cards(record):
        return
    on_cards = {position.id for position in record.positions} | {group.id for group in record.screws}
    on_cards |= {entry.id for entry in record.characteristics}
    told: dict[str, None] = {}
    for field in key_fields(record):
        typed = any(not isinstance(value, FieldState) for value in field.values)
        if typed and field.card_row is None and field.of in on_cards:
            told[field.of] = None
    for place in told:
        yield LooseEnd(place, "loose-card-row", FieldWord.TO_COME)


def _cards(record: JobRecord) -> set[str]:
    """Ids of the work cards that are filed."""
    return {
        entry.id for entry in record.exhibits if entry.role == Role.WORK_CARD and isinstance(entry.file, str)
    }


def _clocks_unread(record: JobRecord) -> Iterator[LooseEnd]:
    """Filed photos of a clock ticket beside whose clock nobody wrote down what it shows."""
    read = {reading.exhibit for reading in record.clocks}
    for entry in record.exhibits:
        if entry.role == Role.CLOCK_TICKET and isinstance(entry.file, str) and entry.id not in read:
            yield LooseEnd(entry.id, "loose-clock-unread", FieldWord.TO_COME)


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
