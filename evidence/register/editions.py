"""Which edition of a standard, specification or law was in force on a day, and how well that is known.

Dates are kept as precisely as the source gives them (``2016``, ``2016-11`` or ``2016-11-15``): inside a month or year
that is known no better, an edition is neither in force nor not, and the answer says so.
"""

import re
from calendar import monthrange
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field, PlainSerializer, PlainValidator

from evidence.errors import InputError, Problem
from evidence.model._base import Id, Line, Model, Prose, refuse
from evidence.model._text import Day, Many, Some
from evidence.model.names import Mark
from evidence.record.reader import read_model
from evidence.record.yamltext import Path, YamlText

EDITIONS_FORMAT = "sillmark-editions/0"
_DATE = re.compile(r"[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?", re.ASCII)


@dataclass(frozen=True)
class Known:
    """A date as well as it is known: some day from ``first`` to ``last``."""

    first: date
    last: date
    text: str


def _known(value: object) -> Known:
    if not isinstance(value, str) or _DATE.fullmatch(value) is None:
        raise refuse("edition-date-unreadable", found=str(value)[:40])
    try:
        return _span([int(part) for part in value.split("-")], value)
    except ValueError as error:
        raise refuse("edition-date-unreadable", found=value) from error


def _span(parts: list[int], text: str) -> Known:
    year, month, day = [*parts, 0, 0][:3]
    if day:
        return Known(date(year, month, day), date(year, month, day), text)
    if len(parts) > 1:
        return Known(date(year, month, 1), date(year, month, monthrange(year, month)[1]), text)
    return Known(date(year, 1, 1), date(year, 12, 31), text)


KnownDate = Annotated[
    Known, PlainValidator(_known), PlainSerializer(lambda known: str(known.text), return_type=str)
]
Jurisdiction = Annotated[str, Field(pattern=r"^[a-z]{2}$")]


class EditionClause(Model):
    """A clause that can be named: what it says in our own words, and what shows it.

    Attributes:
        no: clause number as published, or the name of a part where no number is known.
        value, unit: number it holds, as text, where it holds one.
    """

    no: Line
    paraphrase: Prose
    evidence: Line | None = None
    value: Line | None = None
    unit: Line | None = None
    mark: Mark
    source: Prose


class Withdrawal(Model):
    """A day from which the edition no longer stood in a national or other catalogue; nowhere else is it known."""

    on: KnownDate
    jurisdiction: Jurisdiction | None = None
    mark: Mark
    source: Prose


class Edition(Model):
    """One edition.

    Attributes:
        id: ours.
        designation: family that all editions share.
        edition: full designation of this one.
        names: other ways in which documents write it.
        published, effective_from: as well as known; from the later one it is in force.
        superseded_by: id of the edition that replaces it.
        jurisdiction: two letters where it binds in one country only.
        covers: parts that this edition has (directions of test), where that is known.
        cites, cited_by: designations.
    """

    id: Id
    designation: Line
    edition: Line
    names: Many[Line] = ()
    title: Line
    issuer: Line
    role: Literal["test", "vehicle-specification", "law", "component"]
    published: KnownDate | None = None
    effective_from: KnownDate | None = None
    superseded_by: Id | None = None
    withdrawn: Many[Withdrawal] = ()
    jurisdiction: Jurisdiction | None = None
    vehicle_types: Many[Line] = ()
    covers: Many[Line] = ()
    cites: Many[Line] = ()
    cited_by: Many[Line] = ()
    clauses: Many[EditionClause] = ()
    mark: Mark
    source: Prose

    @property
    def begins(self) -> Known | None:
        """From when it is in force, or None where no date is known."""
        return self.effective_from or self.published


class Editions(Model):
    """The register of editions, as known on a day."""

    format: Literal["sillmark-editions/0"]
    known_as_of: Day
    review_by: Day
    editions: Some[Edition]

    def named(self, text: str) -> Edition | None:
        """The edition that a document means by a text; case and spaces do not matter."""
        wanted = _folded(text)
        for edition in self.editions:
            if wanted in {_folded(name) for name in (edition.id, edition.edition, *edition.names)}:
                return edition
        return None


class State(StrEnum):
    """What an edition was on a day."""

    IN_FORCE = "in force"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"
    NOT_YET = "not yet"
    UNCERTAIN = "uncertain"


@dataclass(frozen=True)
class EditionState:
    """An edition, what it was on the day, and how well that is known."""

    edition: Edition
    state: State
    mark: Mark


@dataclass(frozen=True)
class EditionAnswer:
    """Answer to which edition was in force.

    Attributes:
        designation: family asked for.
        on: day asked for.
        jurisdiction: country asked for, or None.
        states: every known edition of the family, oldest first.
        known_as_of: day on which the register was right as far as known.
        review_by: day after which it should have been looked through.
        notes: ``edition-unknown`` (nothing in the register), ``after-known-as-of``, ``review-overdue``,
            ``date-uncertain``, ``withdrawal-elsewhere`` (withdrawn in another country; not known for this one).
    """

    designation: str
    on: date
    jurisdiction: str | None
    states: tuple[EditionState, ...]
    known_as_of: date
    review_by: date
    notes: tuple[str, ...]

    @property
    def in_force(self) -> tuple[Edition, ...]:
        """Editions in force on the day."""
        return tuple(entry.edition for entry in self.states if entry.state == State.IN_FORCE)


def read_editions(data: bytes, name: str = "editions.yaml") -> Editions:
    """Read the register of editions.

    Raises:
        InputError: with every problem of text, shape and meaning.
    """
    editions, source = read_model(data, name, Editions, EDITIONS_FORMAT)
    problems = check_editions(editions, source)
    if problems:
        raise InputError(problems)
    return editions


def check_editions(editions: Editions, source: YamlText) -> tuple[Problem, ...]:
    """Ids that stand twice, and successors that do not exist, sorted."""
    ids = [edition.id for edition in editions.editions]
    problems = []
    for index, edition in enumerate(editions.editions):
        path: Path = ("editions", index)
        if edition.id in ids[:index]:
            first = source.where(("editions", ids.index(edition.id), "id"))
            problems.append(source.problem("id-duplicate", (*path, "id"), found=edition.id, first=first))
        if edition.superseded_by is not None and edition.superseded_by not in ids:
            at = (*path, "superseded_by")
            problems.append(source.problem("edition-unknown", at, found=edition.superseded_by))
    return tuple(sorted(problems, key=Problem.order))


def in_force(
    editions: Editions,
    designation: str,
    on: date,
    jurisdiction: str | None = None,
    today: date | None = None,
) -> EditionAnswer:
    """Which editions of a family were in force on a day.

    Args:
        editions: the register.
        designation: family, such as ``EN 1789``.
        on: the day; an edition is in force on the day its successor or withdrawal does not yet hold.
        jurisdiction: two letters; withdrawals known for another country do not count here.
        today: the day the question is asked on, for the note that the register is due for review.
    """
    family = [
        edition
        for edition in editions.editions
        if _folded(edition.designation) == _folded(designation)
        and edition.jurisdiction in (None, jurisdiction or edition.jurisdiction)
    ]
    begun = {edition.id: _begun(edition, on) for edition in family}
    states = tuple(_state(edition, on, jurisdiction, begun) for edition in sorted(family, key=_age))
    notes = _notes(editions, states, on, today or on)
    elsewhere = any(_withdrawn_elsewhere(entry, on, jurisdiction) for entry in states)
    notes += ("withdrawal-elsewhere",) if elsewhere else ()
    return EditionAnswer(
        designation, on, jurisdiction, states, editions.known_as_of, editions.review_by, tuple(sorted(notes))
    )


def _folded(text: str) -> str:
    return "".join(text.split()).casefold()


def _age(edition: Edition) -> tuple[date, str]:
    begins = edition.begins
    return (begins.first if begins else date.min), edition.id


def _begun(edition: Edition, on: date) -> bool | None:
    """Whether it was in force at all by that day; None where the date is not known well enough."""
    begins = edition.begins
    if begins is None or begins.first <= on < begins.last:
        return None
    return on >= begins.last


def _state(
    edition: Edition, on: date, jurisdiction: str | None, begun: Mapping[str, bool | None]
) -> EditionState:
    own = begun[edition.id]
    for withdrawal in edition.withdrawn:
        if _applies(withdrawal, jurisdiction) and on >= withdrawal.on.last:
            return EditionState(edition, State.WITHDRAWN, withdrawal.mark)
    if own is None:
        return EditionState(edition, State.UNCERTAIN, edition.mark)
    if not own:
        return EditionState(edition, State.NOT_YET, edition.mark)
    successor = begun.get(edition.superseded_by or "", False)
    if _ends_by_withdrawal(edition, jurisdiction):
        successor = False
    state = {None: State.UNCERTAIN, True: State.SUPERSEDED, False: State.IN_FORCE}[successor]
    return EditionState(edition, state, edition.mark)


def _applies(withdrawal: Withdrawal, jurisdiction: str | None) -> bool:
    return withdrawal.jurisdiction in (None, jurisdiction)


def _ends_by_withdrawal(edition: Edition, jurisdiction: str | None) -> bool:
    """A withdrawal known for this country ends the edition, not the day on which its successor appears."""
    return any(_applies(withdrawal, jurisdiction) for withdrawal in edition.withdrawn)


def _withdrawn_elsewhere(entry: EditionState, on: date, jurisdiction: str | None) -> bool:
    return entry.state != State.WITHDRAWN and any(
        not _applies(withdrawal, jurisdiction) and on >= withdrawal.on.last
        for withdrawal in entry.edition.withdrawn
    )


def _notes(editions: Editions, states: tuple[EditionState, ...], on: date, today: date) -> tuple[str, ...]:
    notes = {
        "edition-unknown": not states,
        "after-known-as-of": on > editions.known_as_of,
        "review-overdue": today > editions.review_by,
        "date-uncertain": any(entry.state == State.UNCERTAIN for entry in states),
    }
    return tuple(name for name, holds in notes.items() if holds)
