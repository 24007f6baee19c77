"""The punch list: every open point with what to do, under the trade or the person that can close it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from evidence.model._text import FieldState
from evidence.model.check import ToldContradiction, ToldFinding
from evidence.model.names import Closes
from evidence.phrases import DEFAULT_LANGUAGE, say
from evidence.points import Item, OpenPoint, merged, point_of
from evidence.report import sides, unasked
from evidence.worklist.vehicle import WHOLE, Vehicle

By = Literal["trade", "person"]
CLEARS_UP = Closes.PAPERWORK
"""Trade that finds out which of two disagreeing pieces of evidence is right: it has both before it."""


@dataclass(frozen=True)
class Point:
    """One thing to do on one vehicle.

    Attributes:
        job: id of the job.
        identity: what its vehicle is known by.
        told: what it is about, in words.
        due: last day that was promised, or None.
        overdue: that day has passed on the day judged.
    """

    job: str
    identity: str
    told: OpenPoint
    due: date | None = None
    overdue: bool = False

    @property
    def place(self) -> str:
        """Subjects: ``vehicle``, a position, several with commas."""
        return ", ".join(self.told.places)

    @property
    def outcome(self) -> str:
        """Of the finding; ``contradiction`` or ``to come`` where it is none."""
        return self.told.outcome

    @property
    def title(self) -> str:
        """What is asked; every title where one thing to do closes several."""
        return "; ".join(self.labels)

    @property
    def labels(self) -> tuple[str, ...]:
        """What is asked; several where one thing to do closes them all."""
        return tuple(dict.fromkeys(item.label for item in self.told.items))

    @property
    def text(self) -> str:
        """Why it is open, with every part of it."""
        return " ".join((*([self.told.text] if self.told.text else []), *self.told.parts))

    @property
    def key(self) -> str:
        """Requirement, contradiction id, or place in the record; several with commas."""
        return ", ".join(dict.fromkeys(item.key for item in self.told.items))


@dataclass(frozen=True)
class Sheet:
    """One person's or trade's points, overdue ones first, then vehicle by vehicle.

    Attributes:
        who: heading: ``For the fitter``, or a person's name.
        points: at least one.
    """

    who: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class _Owned:
    trade: Closes
    people: tuple[str, ...]
    point: Point


def punch_list(
    vehicles: Sequence[Vehicle], by: By = "trade", language: str = DEFAULT_LANGUAGE
) -> tuple[Sheet, ...]:
    """Every open finding, contradiction and promised value.

    Args:
        vehicles: judged jobs.
        by: whom a sheet is for. By person, a point stands under everybody who could close it: who promised it,
            else who did the work that it rests on, else everybody of that function; the trade where none is known.
        language: of the sentences.
    """
    sheets: dict[tuple[int, str], list[Point]] = {}
    for vehicle in vehicles:
        for owned in _points(vehicle, language):
            for key in _sheets_of(owned, vehicle, by, language):
                sheets.setdefault(key, []).append(owned.point)
    return tuple(
        Sheet(who, tuple(_sorted(_merged(points, language)))) for (_, who), points in sorted(sheets.items())
    )


def _merged(points: Sequence[Point], language: str) -> list[Point]:
    """Points of one vehicle that say the very same are one thing to do, with every place and title it closes."""
    alike: dict[tuple[object, ...], list[Point]] = {}
    for point in points:
        alike.setdefault((point.job, point.identity, point.due), []).append(point)
    return [
        replace(group[0], told=told)
        for group in alike.values()
        for told in merged((point.told for point in group), language)
    ]


def _sorted(points: Sequence[Point]) -> list[Point]:
    # the order of the jobs is the caller's and that of the points is the check's; only urgency goes before them
    return sorted(points, key=lambda point: (not point.overdue, point.due or date.max))


def _sheets_of(owned: _Owned, vehicle: Vehicle, by: By, language: str) -> list[tuple[int, str]]:
    if by == "person" and owned.people:
        return [(0, _called(person, vehicle)) for person in owned.people]
    return [(1 + list(Closes).index(owned.trade), say(f"closes-{owned.trade.value}", {}, language))]


def _called(person: str, vehicle: Vehicle) -> str:
    """A person as other people call him; without a name the id means something within its job only."""
    return vehicle.names.get(person) or f"{person} ({vehicle.job})"


def _points(vehicle: Vehicle, language: str) -> Iterator[_Owned]:
    for contradiction in vehicle.check.contradictions:
        if contradiction.open:
            yield _contradiction(contradiction, vehicle, language)
    for finding in vehicle.check.findings:
        if finding.open:
            yield _finding(finding, vehicle, language)
    yield from _promised(vehicle, language)


def _contradiction(found: ToldContradiction, vehicle: Vehicle, language: str) -> _Owned:
    naming = vehicle.naming(language)
    between = sides(found.between, naming)
    shown = {"between": f"({between}) " if between else "", "id": found.id}
    clear_up = say("worklist-clear-up", shown, language)
    told = OpenPoint(
        "contradiction",
        (found.id.split(":")[1],),
        (Item(say("worklist-disagree", {}, language), found.id),),
        f"{naming.told(found.reason)} {clear_up}",
    )
    return _Owned(CLEARS_UP, vehicle.people(CLEARS_UP), Point(vehicle.job, vehicle.identity, told))


def _finding(finding: ToldFinding, vehicle: Vehicle, language: str) -> _Owned:
    promise = _promise(finding, vehicle)
    due = promise.by if promise else None
    overdue = due is not None and due < vehicle.judged.as_of
    told = point_of(finding, vehicle.naming(language))
    point = Point(vehicle.job, vehicle.identity, told, due, overdue)
    return _Owned(finding.closes, _people(finding, promise, vehicle), point)


def _promise(finding: ToldFinding, vehicle: Vehicle) -> FieldState | None:
    """The first slot of its evidence, or value that it rests on, that somebody promised."""
    record = vehicle.judged.record
    slots = {entry.id: entry.file for entry in record.exhibits}
    values = {entry.id: entry.value for entry in record.characteristics}
    states = [slots.get(each) for each in finding.exhibits] + [values.get(each) for each in finding.records]
    return next((state for state in states if isinstance(state, FieldState) and state.from_), None)


def _people(finding: ToldFinding, promise: FieldState | None, vehicle: Vehicle) -> tuple[str, ...]:
    record = vehicle.judged.record
    known = {person.id for person in record.people}
    if promise is not None and promise.from_ in known:
        return (str(promise.from_),)
    of_trade = vehicle.people(finding.closes)
    entries = record.identified()
    did = dict.fromkeys(getattr(entries.get(each), "by", None) for each in finding.records)
    # whoever did the work goes on with it, but only if it is his trade's to close
    return tuple(person for person in did if person in of_trade) or of_trade


def _promised(vehicle: Vehicle, language: str) -> Iterator[_Owned]:
    """Values of the record that somebody is to bring."""
    known = {person.id for person in vehicle.judged.record.people}
    as_of, naming = vehicle.judged.as_of, vehicle.naming(language)
    for end in unasked(vehicle.check, vehicle.judged):
        title = naming.place(end.place)
        told = OpenPoint(
            "to come",
            (WHOLE,),
            (Item(title[:1].upper() + title[1:], end.place),),
            naming.told(end.reason(as_of)),
        )
        point = Point(vehicle.job, vehicle.identity, told, end.by, end.overdue(as_of))
        people = (end.from_,) if end.from_ in known else ()
        yield _Owned(Closes.PAPERWORK, tuple(str(person) for person in people), point)
