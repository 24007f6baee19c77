"""A demand: one criterion of a pack or profile as it binds this vehicle, confirmations already put in."""

from collections.abc import Mapping
from dataclasses import dataclass

from evidence.model.criterion import Criterion, Rule
from evidence.model.names import Fact, Group
from evidence.model.pack import Confirmation


@dataclass(frozen=True)
class Demand:
    """One criterion that applies to this vehicle's bases or profile.

    Attributes:
        requirement: ``pack@version/clause/criterion`` or ``profile.id@revision/section/criterion``.
        source: ``pack@version`` or ``profile.id@revision``.
        clause: clause number or manual section.
        criterion: the criterion with confirmed limits and the mark that then holds.
        group: standard, profile or practice.
        applies: facts that must hold, of the clause and of the criterion together.
        title: clause title per language.
        invented: a number in it was invented for a demonstration.
        confirmation: who confirmed it from which edition and page, where somebody did.
        standard: designation of the standard that asks, or None where none does.
    """

    requirement: str
    source: str
    clause: str
    criterion: Criterion
    group: Group
    applies: Mapping[Fact, tuple[str, ...]]
    title: Mapping[str, str]
    invented: bool = False
    confirmation: Confirmation | None = None
    standard: str | None = None


@dataclass(frozen=True)
class DemandedClause:
    """A clause with the rule that joins its criteria and the route the record chose, if it did."""

    source: str
    clause: str
    rule: Rule
    title: Mapping[str, str]
    chosen_route: str | None = None


@dataclass(frozen=True)
class Demands:
    """Everything that is asked of this vehicle, in pack order."""

    criteria: tuple[Demand, ...]
    clauses: tuple[DemandedClause, ...]
