"""What judging says: findings, parts, contradictions and clauses, as codes with parameters; never a sentence."""

from evidence.model._base import Id, Line, Model
from evidence.model.names import (
    Closes,
    ContradictionRule,
    Group,
    Mark,
    Outcome,
    RestsOn,
    Severity,
)

Parameter = str | dict[str, str] | tuple[str, ...]
"""Text of a raw identifier, id, code, date or interval; a quantity ``{"unit","value"}``; or several texts."""


class Reason(Model):
    """Why, as a lower-kebab code and parameters that a sentence of the catalogue names."""

    code: str
    parameters: dict[str, Parameter] = {}


class Part(Model):
    """One piece of a finding that asks several things: a screw, a field, an instrument."""

    name: str
    outcome: Outcome
    reason: Reason


class Finding(Model):
    """What is known about one requirement for one subject.

    Attributes:
        requirement: ``pack@version/clause/criterion`` or ``profile.id@revision/section/criterion``.
        subject: ``vehicle`` or a record id.
        clause: number of the clause or section.
        type: criterion type.
        rests_on: what decided it, sorted; empty for not shown.
        exhibits: exhibit ids used, sorted.
        documents: document ids used, sorted.
        records: ids of record entries used (values, steps, screw groups, instruments), sorted.
        measurement: id of a measurement, or None.
        corroboration: what that measurement says of the value that decided, or None.
        concession: id of the concession in force that covers it, or None.
        expires: last day on which a validity used here holds, or None.
    """

    requirement: str
    subject: str
    group: Group
    clause: str
    type: str
    outcome: Outcome
    rests_on: tuple[RestsOn, ...] = ()
    mark: Mark
    reason: Reason
    exhibits: tuple[Id, ...] = ()
    documents: tuple[Id, ...] = ()
    records: tuple[Id, ...] = ()
    measurement: str | None = None
    corroboration: Reason | None = None
    concession: Id | None = None
    expires: str | None = None
    parts: tuple[Part, ...] = ()
    closes: Closes

    @property
    def key(self) -> tuple[str, str]:
        """What tells one finding from another."""
        return self.requirement, self.subject

    @property
    def open(self) -> bool:
        """Whether it keeps the job open: not met, not shown or undecided, no concession, and not mere practice."""
        settled = self.outcome in (Outcome.MET, Outcome.NOT_APPLICABLE)
        return not settled and self.concession is None and self.group != Group.PRACTICE


class Place(Model):
    """One side of a contradiction: where it stands and what it says."""

    where: str
    value: str


class Contradiction(Model):
    """Two pieces of evidence that cannot both be right; ``answered_by`` names the person who answered it."""

    id: Line
    rule: ContradictionRule
    severity: Severity
    between: tuple[Place, ...]
    exhibits: tuple[Id, ...] = ()
    reason: Reason
    answered_by: Id | None = None

    @property
    def open(self) -> bool:
        """Whether it keeps the job open."""
        return self.severity == Severity.CONTRADICTION and self.answered_by is None


class ClauseOutcome(Model):
    """What the criteria of a clause add up to for one subject."""

    pack: str
    clause: str
    subject: str
    outcome: Outcome
    route: str | None = None


class Judgement(Model):
    """Everything that judging one job gives, sorted."""

    findings: tuple[Finding, ...]
    clauses: tuple[ClauseOutcome, ...]
    contradictions: tuple[Contradiction, ...]
