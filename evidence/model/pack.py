"""Packs: the clauses of a standard or of common practice as data, and confirmations of numbers by a user."""

from typing import Annotated, Literal

from pydantic import Field

from evidence.model._base import Id, Line, Model, Prose, Slug
from evidence.model._text import Count, Day, Many, Months, Some
from evidence.model.criterion import Applies, CorridorPoint, Criterion, Rule, Titles
from evidence.model.names import ClaimName, Mark, Region

PACK_FORMAT = "sillmark-pack/0"


class Standard(Model):
    """The edition whose clauses a pack holds."""

    designation: Line
    title: Titles
    issuer: Line
    mark: Mark
    source: Prose


class Clause(Model):
    """One clause: its number, a title in our own words, its criteria and the rule that joins them."""

    no: Line
    title: Titles
    applies: Applies = {}
    rule: Rule
    criteria: Some[Criterion]


class Replacement(Model):
    """Limits that a user confirmed; what is not named stays as the pack has it.

    Attributes:
        low, high: limits with unit.
        at_least, months: whole numbers.
        allowed: values that fit; of a ``covers``, the values that a report must state, one row each.
        fields: what a document must state; of a ``covers``, what must be compared with the vehicle.
        upper, lower: break points of a corridor.
        without: limits that the user's copy does not give, so none holds, whatever the pack has.
    """

    low: Line | None = None
    high: Line | None = None
    at_least: Count | None = None
    months: Months | None = None
    allowed: Many[Line] | None = None
    fields: Many[ClaimName] | None = None
    upper: Many[CorridorPoint] | None = None
    lower: Many[CorridorPoint] | None = None
    without: Many[Literal["low", "high", "upper", "lower"]] | None = None


class Confirmation(Model):
    """One demand confirmed from the user's own copy, or invented for a demonstration.

    Attributes:
        confirms: requirement id ``pack@version/clause/criterion``.
        edition, page: where the user read it.
        by: person id.
        typed: ``blind-twice`` where the program asked for every number twice without showing the pack's; absent
            where the file was written by hand.
        replaces: numbers as the user's copy has them.
    """

    confirms: Line
    edition: Line
    page: Count
    by: Id
    typed: Literal["blind-twice"] | None = None
    replaces: Replacement = Replacement()


class Pack(Model):
    """A standard's or practice pack (with clauses) or a confirmation pack (with confirmations)."""

    format: Literal["sillmark-pack/0"]
    id: Slug
    version: Annotated[str, Field(pattern=r"^[1-9][0-9]{0,5}$")]
    kind: Literal["standard", "practice", "confirmation"]
    region: Region = Region.INTERNATIONAL
    standard: Standard | None = None
    known_as_of: Day
    review_by: Day
    invented: Literal["yes"] | None = None
    clauses: Many[Clause] = ()
    confirmations: Many[Confirmation] = ()

    @property
    def reference(self) -> str:
        """``id@version`` as the record names it."""
        return f"{self.id}@{self.version}"
