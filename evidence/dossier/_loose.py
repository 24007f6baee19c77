"""What the record leaves open although nothing demands it: places in words, and why each holds no value yet."""

from collections.abc import Sequence
from datetime import date

from evidence.dossier._blocks import Inline, muted, plain, strong
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller, capital
from evidence.judge.loose_ends import LooseEnd, loose_ends

_EVENTS = ("release", "declaration")
_PLAIN = ("loose-typed-once", "loose-card-row", "loose-clock-unread")
_NAMED = (
    "vin",
    "module-serial",
    "system-serial",
    "system-lot",
    "stretchers-tested-with-serial",
    "stretchers-delivered-with-serial",
    "stretchers-delivered-with",
    "finished",
)
"""Places that the catalogue has words for; others are told by the names of their fields."""


def ends_of(source: DossierInput) -> tuple[LooseEnd, ...]:
    """The loose ends of the dossier's record; those past their day come first."""
    as_of = date.fromisoformat(source.manifest.as_of)
    return tuple(sorted(loose_ends(source.record, as_of), key=lambda end: not end.overdue(as_of)))


def place(end: LooseEnd, tell: Teller) -> str:
    """Where nothing stands yet: ``VIN``, ``position p1: serial of the fastening system``, ``declaration``."""
    if end.place in _EVENTS:
        return tell(f"loose-{end.place}")
    holder, *fields = end.place.split(".")
    if not fields:
        return tell.subject(holder)
    key = "-".join(field.replace("_", "-") for field in fields if not field.isdigit())
    words = tell(f"word-place-{key}") if key in _NAMED else tell.slug(" ".join(fields))
    if holder == "vehicle":
        return words
    named = tell("loose-party", number=fields[0]) if holder == "parties" else tell.subject(holder)
    return tell("loose-place", holder=named, field=words)


def why(end: LooseEnd, source: DossierInput, tell: Teller) -> str:
    """``to come from agency, by 2026-04-20``, with a word where that day has passed."""
    if end.place in _EVENTS:
        return tell(f"loose-no-{end.place}")
    if end.code in _PLAIN:
        return tell(end.code)
    if end.code == "loose-loaner-overdue":
        return tell("loose-loaner-overdue", day=str(end.by))
    words = tell.state(end.state, end.from_, end.by)
    overdue = end.overdue(date.fromisoformat(source.manifest.as_of))
    return tell("loose-overdue", state=words) if overdue else words


def line(ends: Sequence[LooseEnd], source: DossierInput, tell: Teller) -> list[Inline]:
    """One inline for each loose end: its place, and why there is nothing."""
    return [
        [strong(capital(place(end, tell))), plain(" "), muted(why(end, source, tell).replace(" ", "\u00a0"))]
        for end in ends
    ]
