"""What a record said on a day: entries of later work, later words and later papers are left out."""

from datetime import date

from evidence.model.record import JobRecord
from evidence.model.times import Interval


def known_by(record: JobRecord, day: date | None) -> JobRecord:
    """The record without what began after the day; entries without a known time stay, their evidence decides.

    Args:
        record: as it reads now.
        day: last day that counts; None leaves the record as it is.
    """
    if day is None:
        return record
    kept = {
        name: tuple(entry for entry in getattr(record, name) if not _later(entry.at, day))
        for name in ("steps", "screws", "characteristics", "cycles", "statements", "answers", "concessions")
    }
    release = record.release if record.release and not _later(record.release.at, day) else None
    declaration = (
        record.declaration if record.declaration and not _later(record.declaration.at, day) else None
    )
    return record.model_copy(update={**kept, "release": release, "declaration": declaration})


def _later(when: object, day: date) -> bool:
    if isinstance(when, Interval):
        return when.first_day > day
    return isinstance(when, date) and when > day
