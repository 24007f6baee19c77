"""Who a criterion is asked of, and what belongs to what: screws to a position, a position to the vehicle."""

import re
from collections.abc import Sequence
from typing import Any

from evidence.judge._times import uses, works
from evidence.model.criterion import Criterion, ValidOn
from evidence.model.names import InstrumentKind, SubjectKind
from evidence.model.record import Document, Instrument, JobRecord, Person, Position, Screws

VEHICLE = "vehicle"


def fold(text: str) -> str:
    """Text as it is compared: case and spacing are slips of the pen, every other difference counts."""
    return " ".join(text.casefold().split())


def listed(found: Sequence[str]) -> set[str]:
    """The entries of lists as papers write them, folded: whole texts and what commas or semicolons part."""
    pieces = [piece for text in found for piece in (text, *re.split(r"[;,]", text))]
    return {fold(piece) for piece in pieces if fold(piece)}


def lineage(subject: str, record: JobRecord) -> tuple[str, ...]:
    """The subject and everything it is part of, nearest first; ends with ``vehicle``."""
    above = {group.id: group.subject for group in record.screws}
    above |= {document.id: document.subject for document in record.documents}
    line = [subject]
    while line[-1] in above and above[line[-1]] not in line:
        line.append(above[line[-1]])
    return tuple(line) if line[-1] == VEHICLE else (*line, VEHICLE)


def related(one: str, other: str, record: JobRecord) -> bool:
    """Whether one of the two is part of the other, or they are the same."""
    return one in lineage(other, record) or other in lineage(one, record)


def unplaced(recorded_on: str, subject: str, record: JobRecord) -> bool:
    """Whether an observation on the vehicle leaves open if it was made at this place or at another one.

    Args:
        recorded_on: subject of the photo, value, cycles or statement.
        subject: what a criterion is asked of; only positions and screw groups have a place.
        record: for the places there are.
    """
    places = {position.id for position in record.positions} | {group.id for group in record.screws}
    return recorded_on == VEHICLE and subject in places and len(record.positions) > 1


def positions_of(subject: str, record: JobRecord) -> tuple[Position, ...]:
    """The position a subject is or belongs to; all of them for the vehicle, instruments and people."""
    line = lineage(subject, record)
    own = tuple(position for position in record.positions if position.id in line)
    return own or record.positions


def screws_of(subject: str, record: JobRecord) -> tuple[Screws, ...]:
    """The screw group a subject is, or all groups below it."""
    own = tuple(group for group in record.screws if group.id == subject)
    return own or tuple(group for group in record.screws if subject in lineage(group.id, record))


def subjects(criterion: Criterion, record: JobRecord) -> tuple[str, ...]:
    """What the criterion is asked of, sorted; ``vehicle`` alone where the record has no instance of the kind."""
    if criterion.subject == SubjectKind.VEHICLE:
        return (VEHICLE,)
    groups: dict[SubjectKind, Sequence[Any]] = {
        SubjectKind.POSITION: record.positions,
        SubjectKind.SCREWS: record.screws,
        SubjectKind.INSTRUMENT: instruments_asked(criterion, record),
        SubjectKind.PERSON: people_asked(criterion, record),
        SubjectKind.DOCUMENT: documents_asked(criterion, record),
    }
    return tuple(sorted(entry.id for entry in groups[criterion.subject])) or (VEHICLE,)


def instruments_asked(criterion: Criterion, record: JobRecord) -> tuple[Instrument, ...]:
    """Instruments of the kinds asked for; where the uses are judged, only those that were used.

    A printed gauge card has no calibration and no certificate, so it is asked only where it is named.
    """
    if not isinstance(criterion, ValidOn):
        return tuple(one for one in record.instruments if one.kind != InstrumentKind.GAUGE_CARD)
    used = {instrument for work in uses(record) for instrument in work.instruments}
    return tuple(
        instrument
        for instrument in record.instruments
        if (instrument.kind in criterion.kinds or _named_by_none(criterion, instrument))
        and (criterion.event != "work" or instrument.id in used)
    )


def _named_by_none(criterion: ValidOn, instrument: Instrument) -> bool:
    return not criterion.kinds and instrument.kind != InstrumentKind.GAUGE_CARD


def people_asked(criterion: Criterion, record: JobRecord) -> tuple[Person, ...]:
    """People of the function asked for; where the work is judged, only those who worked."""
    if not isinstance(criterion, ValidOn):
        return record.people
    worked = {work.by for work in works(record)}
    return tuple(
        person
        for person in record.people
        if (criterion.function is None or criterion.function in person.functions)
        and (criterion.event != "work" or person.id in worked)
    )


def documents_asked(criterion: Criterion, record: JobRecord) -> tuple[Document, ...]:
    """Documents of the roles asked for."""
    roles = criterion.evidence_from
    return tuple(document for document in record.documents if not roles or document.role in roles)
