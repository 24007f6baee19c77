"""Which vehicle a photo shows: by the job's ticket in it, or by the code of a label that the record knows.

A ticket counts with the nonce that was printed on it, so that nobody makes one from the job's number alone. A short
number that stands alone counts for nothing: it may be anything's.
"""

from collections.abc import Iterator
from typing import Literal

from evidence import labels
from evidence.judge._evidence import Stop, not_shown
from evidence.judge._scope import VEHICLE, fold, lineage, positions_of
from evidence.judge.case import Case
from evidence.labels import Label
from evidence.model.exhibit import Item
from evidence.model.names import KEY_PHOTO_ROLES
from evidence.model.record import ExhibitEntry, JobRecord, StretcherRef


def shown(item: Item | None) -> tuple[Label, ...]:
    """What the codes of a photo say, from top to bottom."""
    codes = item.photo.codes if item is not None and item.photo is not None else ()
    return tuple(labels.read(code.text) for code in codes)


def which_vehicle_stop(exhibit: str, case: Case) -> Stop | None:
    """Why a key photo cannot be used: nothing in it says which vehicle it is of; None for every other file."""
    entry = next((one for one in case.record.exhibits if one.id == exhibit), None)
    item = case.items.get(exhibit)
    if entry is None or entry.role not in KEY_PHOTO_ROLES or item is None or item.photo is None:
        return None
    if known_by(entry, item, case.record) is not None:
        return None
    return not_shown("which-vehicle", exhibits=(exhibit,), subject=entry.subject)


def known_by(entry: ExhibitEntry, item: Item, record: JobRecord) -> Literal["ticket", "label"] | None:
    """What in a photo says that it is of this vehicle; None where nothing does."""
    found = tuple(one for one in shown(item) if not labels.names_nothing(one))
    if shows_own_ticket(found, entry, record):
        return "ticket"
    return "label" if any(_is_own(one, entry, record) for one in found) else None


def shows_own_ticket(found: tuple[Label, ...], entry: ExhibitEntry, record: JobRecord) -> bool:
    """Whether one of the codes is a ticket of this job, as printed, for the vehicle or the photo's own place."""
    printed = {(ticket.subject, ticket.nonce) for ticket in record.tickets}
    return any(
        label.kind == "ticket"
        and label.job == record.id
        and (label.subject, label.nonce) in printed
        and (entry.subject == VEHICLE or label.subject in lineage(entry.subject, record))
        for label in found
    )


def same_model(label: Label, model: str) -> bool:
    """Whether a label can be of that model; one that names none can."""
    return label.model is None or fold(label.model) == fold(model)


def _is_own(label: Label, entry: ExhibitEntry, record: JobRecord) -> bool:
    """Whether a label's code gives a number that the record has for this vehicle, or for the photo's place."""
    vehicle = record.vehicle
    if label.kind == "vin":
        if isinstance(
            vehicle.vin, str
        ):  # a plate with another number is another vehicle's, whatever its build
            return labels.same_vin(vehicle.vin, label.text)
        return label.build is not None and _same(vehicle.build, label.build)
    if label.kind == "plain":
        return _same(vehicle.build, label.text) or _same(vehicle.module_serial, label.text)
    if label.serial is None:
        return False
    if label.model is None and _same(vehicle.module_serial, label.text):
        return True
    return any(
        same_model(label, model) and isinstance(serial, str) and labels.same_serial(serial, label.text)
        for model, serial in _things(entry, record)
    )


def _same(recorded: object, found: str) -> bool:
    return isinstance(recorded, str) and labels.same_serial(recorded, found)


def _things(entry: ExhibitEntry, record: JobRecord) -> Iterator[tuple[str, object]]:
    """Model and serial number of what stays in the vehicle at the photo's place."""
    for position in positions_of(entry.subject, record):
        yield position.system.model, position.system.serial
        yield from ((one.model, one.serial) for one in position.stretchers.delivered_with if _stays(one))


def _stays(stretcher: StretcherRef) -> bool:
    return stretcher.holding in (None, "own")  # one that is lent goes from vehicle to vehicle
