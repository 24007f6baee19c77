"""Which demands of a set of packs still wait for somebody to read them in their own copy, and which packs are old."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from evidence.model.criterion import Criterion
from evidence.model.pack import Pack
from evidence.register.asking import needs_confirming
from evidence.register.packs import criteria_of

_ANY: Mapping[tuple[str, str], str] = MappingProxyType({})


@dataclass(frozen=True)
class Awaited:
    """A demand that only compares until it is confirmed.

    Attributes:
        requirement: ``pack@version/clause/criterion``.
        standard: what has to be opened.
        clause: where in it.
        criterion: the demand.
        title: what it asks, in English.
    """

    requirement: str
    standard: str
    clause: str
    criterion: Criterion
    title: str


def awaited(packs: Mapping[str, Pack], routes: Mapping[tuple[str, str], str] = _ANY) -> tuple[Awaited, ...]:
    """Demands of the packs that no confirmation among them covers, in pack order.

    Args:
        packs: packs by reference, confirmations among them.
        routes: pack and clause to the route that was chosen; what only another route asks waits for nobody.
    """
    confirmed = {each.confirms for pack in packs.values() for each in pack.confirmations}
    found = []
    for requirement, clause, criterion in criteria_of(packs):
        route = routes.get((requirement.source, clause.no))
        if route is not None and criterion.id not in (*clause.rule.all, *clause.rule.routes.get(route, ())):
            continue
        if needs_confirming(criterion) and str(requirement) not in confirmed:
            standard = packs[requirement.source].standard
            name = standard.designation if standard else requirement.source
            title = (criterion.title or clause.title)["en"]
            found.append(Awaited(str(requirement), name, clause.no, criterion, title))
    return tuple(found)


def overdue(packs: Mapping[str, Pack], today: date) -> tuple[Pack, ...]:
    """Packs that should have been looked through before today, in the order given."""
    return tuple(pack for pack in packs.values() if pack.review_by < today)
