"""When a photo was taken, by the camera's own clock, or by a clock that the same camera photographed.

1. The camera's time with its own offset, or else with the record's, gives an instant.
2. Where somebody read the clock beside a clock ticket in a photo of such a camera, taken at most a week before or
   after, the instant is corrected by what that photo's camera claimed, give or take the clock's own steps and DRIFT.
3. Cameras are told apart by make, model and program alone. Of several readings within a week all hold: the stretch
   reaches from the earliest to the latest.
4. Without a reading an offset of the camera's own is taken as it stands, and one of the record's give or take CLOCK_ERROR.
"""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Protocol

from evidence.judge._times import Span, offset_on, span
from evidence.model.exhibit import Item, Photo
from evidence.model.names import Role
from evidence.model.record import JobRecord
from evidence.model.times import parse_offset

CLOCK_ERROR = timedelta(minutes=10)  # of a camera whose clock nobody has compared yet
DRIFT = timedelta(minutes=1)  # a quartz clock goes wrong by some seconds a week; common practice, no source
HOLDS = timedelta(days=7)  # before and after the photo of a clock; common practice, no source
_SECOND = timedelta(seconds=1)
Phone = tuple[str | None, str | None, bool]


class Evidence(Protocol):
    """What is looked at: the record with its offsets and clocks, and what was read from each file."""

    @property
    def record(self) -> JobRecord:
        """The job record."""

    @property
    def items(self) -> Mapping[str, Item]:
        """Exhibit id to what was read."""


def taken(photo: Photo, case: Evidence) -> Span | None:
    """The stretch in which a photo was taken, or None where its camera says nothing that can be read."""
    said = said_by(photo, case)
    if said is None:
        return None
    compared = [
        Span(shown.start + (said - then) - DRIFT, shown.end + (said - then) + DRIFT)
        for then, shown in _readings(photo, case)
        if abs(said - then) <= HOLDS
    ]
    if compared:
        return Span(min(one.start for one in compared), max(one.end for one in compared))
    if photo.taken_offset is not None:
        return Span(said, said + _SECOND)
    return Span(said - CLOCK_ERROR, said + CLOCK_ERROR)


def said_by(photo: Photo, case: Evidence) -> datetime | None:
    """The instant that the camera claims, in UTC without zone; None where it says nothing that can be read."""
    if photo.taken is None:
        return None
    try:
        local = datetime.fromisoformat(photo.taken)
        own = parse_offset(photo.taken_offset) if photo.taken_offset else None
    except ValueError:
        return None  # a camera that writes an impossible time says nothing
    return local - (offset_on(local.date(), case.record) if own is None else own)


def _readings(photo: Photo, case: Evidence) -> Iterator[tuple[datetime, Span]]:
    """What clocks in photos of such a camera showed, each with the instant that the camera claimed for it."""
    roles = {entry.id: entry.role for entry in case.record.exhibits}
    for reading in case.record.clocks:
        item = case.items.get(reading.exhibit)
        beside = item.photo if item is not None and roles.get(reading.exhibit) == Role.CLOCK_TICKET else None
        if beside is None or photo.camera is None or phone_of(beside) != phone_of(photo):
            continue
        then = said_by(beside, case)
        if then is not None:
            yield then, span(reading.shown, case.record)


def phone_of(photo: Photo) -> Phone:
    """What tells one camera from another: make and model, program, and whether it writes an offset."""
    return photo.camera, photo.software, photo.taken_offset is None
