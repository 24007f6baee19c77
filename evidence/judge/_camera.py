"""When a photo was taken, by the camera's own clock."""

from datetime import datetime, timedelta

from evidence.judge._times import Span, offset_on
from evidence.judge.case import Case
from evidence.model.exhibit import Photo
from evidence.model.times import parse_offset

CLOCK_ERROR = timedelta(minutes=10)  # of a camera whose clock nobody has compared yet


def taken(photo: Photo, case: Case) -> Span | None:
    """The stretch in which a photo was taken, or None where its camera says nothing that can be read."""
    if photo.taken is None:
        return None
    try:
        local = datetime.fromisoformat(photo.taken)
        own = parse_offset(photo.taken_offset) if photo.taken_offset else None
    except ValueError:
        return None  # a camera that writes an impossible time says nothing
    if own is not None:
        return Span(local - own, local - own + timedelta(seconds=1))
    utc = local - offset_on(local.date(), case.record)
    return Span(utc - CLOCK_ERROR, utc + CLOCK_ERROR)
