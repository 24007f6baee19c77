"""What front sheet and installation record both say of the vehicle: bound VIN, builders, stretchers, manual in force."""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    facts,
    heading,
    joined,
    muted,
    new_line,
    plain,
    row,
    strong,
    table,
)
from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller, text
from evidence.model.names import PartyFunction
from evidence.model.profile import Manual
from evidence.model.record import Party, StretcherRef

STAGES = (PartyFunction.BASE_BUILDER, PartyFunction.BUILDER, PartyFunction.FITTING_COMPANY)
"""Functions of those who build the vehicle, one after another."""
MAX_DELIVERED = 2  # stretchers of one place on the front sheet; the installation record has them all
_LENT = ("loaner", "pool")


def bound(source: DossierInput, index: Index, tell: Teller, *, page: bool = True) -> Inline:
    """``on 2026-03-06 by w3, see E020``; nothing where the VIN was there from the start."""
    binding = source.record.vehicle.vin_bound
    if binding is None:
        return []
    words = tell("vin-bound", at=tell.stated(binding.at), who=tell.person(binding.by))
    return [plain(words + " "), *index.links((binding.exhibit,), page=page)]


def holding(entry: StretcherRef, tell: Teller) -> str:
    """``on loan until 2026-04-01`` or ``from a pool``; nothing for the vehicle's own."""
    if entry.holding not in _LENT:
        return ""
    words = tell.word(entry.holding, "holding")
    return f"{words} {tell('until', day=str(entry.until))}" if entry.until else words


def delivered(entries: Sequence[StretcherRef], tell: Teller) -> Inline:
    """The stretchers that go with the vehicle, or that none does, in words of one or two lines."""
    if not entries:
        return text(tell("delivered-without"))
    named: list[Inline] = [[plain(_named(entry, tell))] for entry in entries[:MAX_DELIVERED]]
    if len(entries) > MAX_DELIVERED:
        named.append([plain(tell("front-more-loose", n=str(len(entries) - MAX_DELIVERED)))])
    own: Inline = []
    if all(entry.holding in _LENT for entry in entries):
        own = [muted(f"; {tell('delivered-none-of-its-own')}")]
    return [*joined(named, ", "), *own]


def _named(entry: StretcherRef, tell: Teller) -> str:
    words = holding(entry, tell)
    return f"{model_and_serial(entry)} ({words})" if words else model_and_serial(entry)


def model_and_serial(entry: StretcherRef) -> str:
    """``Heron Carrier HC-0889``; the model alone where the serial is not known."""
    return f"{entry.model} {entry.serial}" if isinstance(entry.serial, str) else entry.model


def in_force(manual: Manual, tell: Teller) -> str:
    """The days on which the manual's revision holds: ``in force from 2025-11-01, no end stated``."""
    if manual.valid_until is None:
        return tell("in-force-from", first=str(manual.valid_from))
    return tell("in-force", first=str(manual.valid_from), last=str(manual.valid_until))


def parties(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    """Who had which part in the vehicle, when it was finished and by which paper it was handed on."""
    entries = source.record.parties
    if not entries:
        return []
    if not any(entry.part or entry.finished is not None or entry.exhibit for entry in entries):
        rows_of_names = [(tell.word(entry.function, "party-function"), text(entry.name)) for entry in entries]
        return [heading(tell("installation-companies")), facts(rows_of_names)]
    heads = [
        column(tell("head-party")),
        column(tell("head-part"), mm=44),
        column(tell("head-finished"), mm=34),
        column(tell("head-handed-on"), mm=26),
    ]
    rows = [row(_party(entry, source, index, tell)) for entry in entries]
    return [heading(tell("installation-parties")), table(heads, rows)]


def _party(entry: Party, source: DossierInput, index: Index, tell: Teller) -> list[Inline]:
    # only those who build in stages hand something on; of a builder alone, and of others, nothing is missing
    stages = [party for party in source.record.parties if party.function in STAGES]
    absent = tell("not-stated" if entry in stages and len(stages) > 1 else "none")
    people = [person.id for person in source.record.people if entry.id and person.party == entry.id]
    who: Inline = [strong(entry.name), new_line(), muted(tell.word(entry.function, "party-function"))]
    if people:
        who += [new_line(), muted(tell("party-people") + " "), *index.links(people, page=False)]
    return [
        who,
        text(", ".join(tell.slug(part) for part in entry.part) or absent),
        text(absent if entry.finished is None else tell.stated(entry.finished)),
        index.links((entry.exhibit,)) if entry.exhibit else text(absent),
    ]
