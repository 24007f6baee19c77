"""data/derived/*.redacted.json: what stands for a third-party document of which no redacted copy was supplied."""

from typing import Annotated, Literal

from pydantic import Field

from evidence.model._base import Id, Line, Model
from evidence.model.names import ClaimName

STUB_FORMAT = "sillmark-stub/0"


class StubClaim(Model):
    """One thing that the record says the document states."""

    name: ClaimName
    value: Line | None = None
    page: Annotated[int, Field(ge=0)] | None = None


class Stub(Model):
    """Pages and claims of a document that is withheld whole."""

    format: Literal["sillmark-stub/0"]
    id: Id
    pages: Annotated[int, Field(ge=1)] | None = None
    claims: tuple[StubClaim, ...] = ()
