"""Papers of a job: documents with what they claim, statements, answers, concessions."""

from typing import Literal, Self

from pydantic import model_validator

from evidence.model._base import Id, Line, Model, Sha256, Slug, at_field, refuse
from evidence.model._text import (
    Count,
    Crop,
    Day,
    FieldState,
    Many,
    Stated,
    Subject,
    When,
    read_day,
    read_quantity,
)
from evidence.model.names import CLAIM_DATES, CLAIM_DIMENSION, ClaimName, PartyFunction, Role
from evidence.quantity import Quantity


class Claim(Model):
    """One thing a document says, as transcribed, with its page.

    Attributes:
        read_by: who read it off a page that no program can read.
        crop: where on the page it stands, percent of width and height from the top left: ``10 20 90 35``.
    """

    name: ClaimName
    value: Stated[Line]
    page: Count | None = None
    read_by: Id | None = None
    crop: Crop | None = None

    @property
    def quantity(self) -> Quantity | None:
        """The value as a quantity where the claim is one."""
        dimension = CLAIM_DIMENSION.get(self.name)
        if dimension is None or isinstance(self.value, FieldState):
            return None
        return read_quantity(self.value, dimension)

    @model_validator(mode="after")
    def _readable(self) -> Self:
        with at_field("value"):
            _ = self.quantity
            if self.name in CLAIM_DATES and isinstance(self.value, str):
                read_day(self.value)
        return self


class Held(Model):
    """A document that stays elsewhere: who holds it, under what reference, who saw it when."""

    by: Line
    reference: Line
    sha256: Sha256 | None = None
    seen_by: Id
    seen_on: Day


class Document(Model):
    """A document in the job folder or held elsewhere, with what it claims."""

    id: Id
    role: Role
    subject: Subject
    exhibit: Id | None = None
    held: Held | None = None
    issuer: Line | None = None
    reference: Line | None = None
    issued: Stated[Day] | None = None
    claims: Many[Claim] = ()

    @model_validator(mode="after")
    def _somewhere(self) -> Self:
        if (self.exhibit is None) == (self.held is None):
            raise refuse("document-exhibit-or-held")
        return self

    def claim(self, name: ClaimName) -> Claim | None:
        """The first claim of that name."""
        return next((claim for claim in self.claims if claim.name == name), None)


class Statement(Model):
    """Something that only a person can say."""

    id: Id
    statement: Slug
    subject: Subject
    by: Id
    at: When
    exhibit: Id | None = None


class Answer(Model):
    """An answer to one contradiction; a changed value changes the id and so reopens it."""

    contradiction: Line
    by: Id
    at: When
    note: Id | None = None


class Concession(Model):
    """A departure granted after the fact (concession) or before it (deviation permit)."""

    id: Id
    kind: Literal["concession", "deviation-permit"]
    requirement: Line
    subject: Subject
    authority: PartyFunction
    reference: Line
    by: Id
    at: Day
    until: Day | None = None
    low: Line | None = None
    high: Line | None = None
    exhibit: Id | None = None
