"""What ``check --json`` prints: the findings of a manifest with their titles and sentences put in."""

from typing import Annotated, Literal

from pydantic import Field

from evidence.model._base import Id, Line, Model
from evidence.model.finding import Contradiction, Finding, Reason
from evidence.model.manifest import Number
from evidence.model.names import Outcome

CHECK_FORMAT = "sillmark-check/0"


class ToldReason(Reason):
    """A reason with its sentence."""

    text: str


class ToldFinding(Finding):
    """A finding with its title and sentence."""

    title: str
    reason: ToldReason


class ToldContradiction(Contradiction):
    """A contradiction with its sentence."""

    reason: ToldReason


class Check(Model):
    """The answer for one job.

    Attributes:
        summary: number of findings per outcome, practice left out.
        open: number of open findings and unanswered contradictions.
    """

    format: Literal["sillmark-check/0"]
    job: Id
    as_of: Line
    known_on: Line | None = None
    summary: dict[Outcome, Number]
    open: Annotated[int, Field(ge=0)]
    findings: tuple[ToldFinding, ...]
    contradictions: tuple[ToldContradiction, ...]
