"""Vehicles by steps: where each stands, one row for each stretcher place, one grid for each manual."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from evidence.model.check import ToldFinding
from evidence.model.criterion import Counted, Criterion, Inside, Matches, Ordered, Present, ValidOn, Within
from evidence.model.finding import Reason
from evidence.model.names import Closes
from evidence.model.profile import Profile
from evidence.phrases import DEFAULT_LANGUAGE
from evidence.worklist.vehicle import WHOLE, Vehicle, place_of

State = Literal["done", "open", "again", "not-done", "none"]
WORKSHOP = frozenset({Closes.FITTER, Closes.SUPERVISOR})
OTHER_WORK, PAPERS = "other-work", "papers"
LEFT = (OTHER_WORK, PAPERS)
"""Columns of what belongs to no step: other work of the workshop, and what others close."""
_REOPENED = frozenset({"reopened", "reopened-undecided", "reopened-undated"})


@dataclass(frozen=True)
class Cell:
    """How one step of one place stands.

    Attributes:
        state: ``again`` where something was redone that this step rests on; ``not-done`` where nobody recorded it;
            ``none`` where the column asks nothing of this row.
        count: open points.
    """

    state: State
    count: int = 0


@dataclass(frozen=True)
class Row:
    """One stretcher place, or ``vehicle`` for what concerns the whole of a vehicle with several places."""

    job: str
    identity: str
    place: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Grid:
    """Rows of one manual.

    Attributes:
        profile: reference of the fitting profile.
        columns: step ids in the order of the manual, then ``LEFT``.
        titles: of the steps, in the same order.
    """

    profile: str
    columns: tuple[str, ...]
    titles: tuple[str, ...]
    rows: tuple[Row, ...]


def grids(vehicles: Sequence[Vehicle], language: str = DEFAULT_LANGUAGE) -> tuple[Grid, ...]:
    """One grid for each fitting profile, in the order in which the jobs first name it."""
    by_profile: dict[str, list[Vehicle]] = {}
    for vehicle in vehicles:
        by_profile.setdefault(vehicle.judged.profile.reference, []).append(vehicle)
    return tuple(_grid(reference, group, language) for reference, group in by_profile.items())


def _grid(reference: str, vehicles: Sequence[Vehicle], language: str) -> Grid:
    steps = vehicles[0].judged.profile.steps
    return Grid(
        reference,
        (*(step.id for step in steps), *LEFT),
        tuple(step.title.get(language) or step.title[DEFAULT_LANGUAGE] for step in steps),
        tuple(row for vehicle in vehicles for row in _rows(vehicle)),
    )


def _rows(vehicle: Vehicle) -> Iterator[Row]:
    positions = [position.id for position in vehicle.judged.record.positions]
    counts = _open_by_place(vehicle, positions)
    again = {(place, step) for place, step, reopened in _pointed(vehicle, positions) if reopened}
    steps = [step.id for step in vehicle.judged.profile.steps]
    for place in positions:
        cells = [_cell(vehicle, place, step, counts[place, step], (place, step) in again) for step in steps]
        cells += [_left(counts[place, column]) for column in LEFT]
        yield Row(vehicle.job, vehicle.identity, place, tuple(cells))
    whole = [counts[WHOLE, column] for column in LEFT]
    if len(positions) > 1 and any(whole):
        yield Row(
            vehicle.job,
            vehicle.identity,
            WHOLE,
            (*(Cell("none") for _ in steps), *(_left(count) for count in whole)),
        )


def _cell(vehicle: Vehicle, place: str, step: str, count: int, again: bool) -> Cell:  # noqa: FBT001 - one table cell
    if again:
        return Cell("again", count)
    if not any(
        entry.step == step and _covers(vehicle, entry.screws or entry.subject, place)
        for entry in vehicle.judged.record.steps
    ):
        return Cell("not-done", count)
    return Cell("open" if count else "done", count)


def _covers(vehicle: Vehicle, subject: str, place: str) -> bool:
    return place_of(subject, vehicle.judged.record) in (place, WHOLE)


def _left(count: int) -> Cell:
    return Cell("open" if count else "done", count)


def _open_by_place(vehicle: Vehicle, positions: Sequence[str]) -> Counter[tuple[str, str]]:
    """Open points by place and column; a finding that points at several steps counts at each."""
    return Counter((place, column) for place, column, _ in _pointed(vehicle, positions))


def _pointed(vehicle: Vehicle, positions: Sequence[str]) -> Iterator[tuple[str, str, bool]]:
    criteria = {demand.requirement: demand.criterion for demand in vehicle.demands.criteria}
    gives = _gives(vehicle.judged.profile)
    for finding in vehicle.check.findings:
        if not finding.open:
            continue
        place = place_of(finding.subject, vehicle.judged.record)
        if place == WHOLE and len(positions) == 1:
            place = positions[0]
        reopened = any(reason.code in _REOPENED for reason in _reasons(finding))
        steps = _steps_of(finding, criteria[finding.requirement], gives)
        if place == WHOLE or not steps:
            yield place, OTHER_WORK if finding.closes in WORKSHOP else PAPERS, False
            continue
        for step in sorted(steps):
            yield place, step, reopened


def _gives(profile: Profile) -> Mapping[str, Collection[str]]:
    """What the manual's steps give, by its word, to every step that gives it: screw groups have steps of their own."""
    words = {word for step in profile.steps for word in step.yields}
    return {word: [step.id for step in profile.steps if word in step.yields] for word in words}


def _reasons(finding: ToldFinding) -> Iterable[Reason]:
    return (finding.reason, *(part.reason for part in finding.parts))


def _steps_of(finding: ToldFinding, criterion: Criterion, gives: Mapping[str, Collection[str]]) -> set[str]:
    """Steps that a finding points at; empty where it concerns none in particular."""
    if isinstance(criterion, Ordered):
        bad = [part.reason for part in finding.parts if part.outcome.value not in ("met", "not applicable")]
        named = (_named_step(reason) for reason in bad or [finding.reason])
        return {step for step in named if step is not None}
    return {step for word in _words(criterion) for step in gives.get(word, ())}


def _named_step(reason: Reason) -> str | None:
    step = reason.parameters.get("step") or reason.parameters.get("after")
    return step if isinstance(step, str) else None


def _words(criterion: Criterion) -> Iterator[str]:
    if isinstance(criterion, Within):
        source, _, name = criterion.quantity.partition(".")
        if source != "document":
            yield name
    elif isinstance(criterion, Counted):
        yield "torque" if criterion.count == "screws" else criterion.count
    elif isinstance(criterion, Present | Inside):
        yield from criterion.evidence_from
    elif (isinstance(criterion, Matches) and criterion.fact.startswith("screws.")) or (
        isinstance(criterion, ValidOn) and criterion.what == "lot"
    ):
        yield "torque"
