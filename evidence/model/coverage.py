"""What of a test report is held against the vehicle: one field of the coverage argument."""

from typing import Literal, Self

from pydantic import model_validator

from evidence.model._base import Line, Model, at_field, refuse
from evidence.model._text import Many
from evidence.model.names import CLAIM_DIMENSION, ClaimName, Fact
from evidence.quantity import Dimension

FACT_DIMENSION: dict[Fact, Dimension] = {
    Fact.POSITION_CARRIED_MASS: Dimension.MASS,
    Fact.POSITION_FREE_TRAVEL: Dimension.LENGTH,
}
"""Facts that are quantities, which are compared by value and not by their text."""
RANGES = frozenset({"at-least", "at-most", "between"})
"""Ways to compare that make a range of what the report states."""


class CoveredField(Model):
    """One field of the coverage argument: what the report tested against what the vehicle has.

    Attributes:
        claim: what the report says.
        fact: what the vehicle has.
        how: ``same``; ``listed`` among several that the report names; ``at-least`` or ``at-most`` what the vehicle
            has, or ``between`` whose least and greatest stated value the vehicle lies; ``stated`` at all; ``one-of``
            the values.
        values: of ``one-of``.
    """

    claim: ClaimName
    fact: Fact | None = None
    how: Literal["same", "listed", "at-least", "at-most", "between", "stated", "one-of"] = "same"
    values: Many[Line] = ()

    @property
    def dimension(self) -> Dimension | None:
        """Of what is compared, where both sides are quantities of it."""
        found = FACT_DIMENSION.get(self.fact) if self.fact is not None else None
        return found if found is not None and CLAIM_DIMENSION.get(self.claim) == found else None

    @model_validator(mode="after")
    def _target(self) -> Self:
        if (self.how not in ("stated", "one-of")) != (self.fact is not None):
            with at_field("fact"):
                raise refuse("criterion-without-limit")
        if (self.how == "one-of") != bool(self.values):
            with at_field("values"):
                raise refuse("criterion-without-limit")
        if self.how in RANGES and self.dimension is None:
            with at_field("how"):
                raise refuse(
                    "covers-no-quantity", found=self.how, claim=self.claim.value, fact=str(self.fact)
                )
        return self
