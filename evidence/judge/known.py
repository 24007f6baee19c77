"""What a record said on a day: entries of later work, later words and later papers are left out."""

from datetime import date

from evidence.model._text import FieldState
from evidence.model.names import FieldWord
from evidence.model.record import JobRecord, Vehicle
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
        for name in (
            "steps",
            "screws",
            "characteristics",
            "cycles",
            "audits",
            "statements",
            "answers",
            "concessions",
        )
    }
    release = record.release if record.release and not _later(record.release.at, day) else None
    declaration = (
        record.declaration if record.declaration and not _later(record.declaration.at, day) else None
    )
    parties = tuple(
        party.model_copy(update={"finished": None}) if _later(party.finished, day) else party
        for party in record.parties
    )
    update = {**kept, "release": release, "declaration": declaration, "parties": parties}
    return record.model_copy(update={**update, "vehicle": _vehicle(record.vehicle, day)})


def _vehicle(vehicle: Vehicle, day: date) -> Vehicle:
    """Before its VIN was bound to it, a vehicle had none that anybody knew."""
    if vehicle.vin_bound is None or not _later(vehicle.vin_bound.at, day):
        return vehicle
    return vehicle.model_copy(update={"vin": FieldState(state=FieldWord.TO_COME), "vin_bound": None})


def _later(when: object, day: date) -> bool:
    if isinstance(when, Interval):
        return when.first_day > day
    return isinstance(when, date) and when > day
