"""Loose ends: what the record leaves open, whether or not any demand asks for it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from evidence.judge.codes import because
from evidence.model._base import Model
from evidence.model._text import FieldState
from evidence.model.finding import Parameter, Reason
from evidence.model.names import FieldWord
from evidence.model.record import Claim, JobRecord

_JUDGED = frozenset({"exhibits"})  # their slots are evidence, and the demands ask for that
_EVENTS = {"release": "loose-release", "declaration": "loose-declaration"}


@dataclass(frozen=True)
class LooseEnd:
    """One place of the record that holds no answer yet.

    Attributes:
        place: where it stands, ``vehicle.vin`` or ``p1.system.serial``: an entry with an id by that id, a claim by
            its name, other entries of a list by their number from 1.
        code: ``loose-field``, ``loose-release`` or ``loose-declaration``.
        state: the word of the field; ``to come`` for a release or declaration that is missing whole.
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
        """Why it is open on that day: its code, ``loose-overdue`` after its last day, and the parameters."""
        shown: dict[str, Parameter] = {"place": self.place, "state": self.state.value}
        if self.from_ is not None:
            shown["from"] = self.from_
        if self.by is not None:
            shown["by"] = self.by.isoformat()
        return because("loose-overdue" if self.overdue(as_of) else self.code, **shown)


def loose_ends(record: JobRecord) -> tuple[LooseEnd, ...]:
    """What the record leaves open, in the order of the record.

    Every field that holds a state in place of a value, and a release or declaration that is not there. ``not
    fitted`` is an answer and no loose end; the slots of exhibits belong to the demands that ask for evidence.
    """
    found: list[LooseEnd] = []
    for name in type(record).model_fields:
        part = getattr(record, name)
        if name in _EVENTS and part is None:
            found.append(LooseEnd(name, _EVENTS[name], FieldWord.TO_COME))
        elif name not in _JUDGED:
            found += _inside(part, (name,))
    return tuple(found)


def _inside(part: Any, place: tuple[str, ...]) -> Iterator[LooseEnd]:
    if isinstance(part, FieldState):
        if part.state != FieldWord.NOT_FITTED:
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
