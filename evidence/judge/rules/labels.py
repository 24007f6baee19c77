"""Rules on what codes in photos say: a ticket of another vehicle or place, a label with another number."""

from collections.abc import Iterator, Sequence

from evidence import labels
from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE, fold, lineage, positions_of
from evidence.judge._which import same_model, shown, shows_own_ticket
from evidence.judge.case import Case
from evidence.labels import Label
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Role
from evidence.model.record import ExhibitEntry, JobRecord

_OF_VEHICLE = frozenset({Role.LABEL_VEHICLE, Role.WHICH_VEHICLE})


def photo_of_another_vehicle(case: Case) -> Iterator[Contradiction]:
    """A photo shows a ticket, and none of this job's for the place it is filed for."""
    for entry in sorted(case.record.exhibits, key=lambda one: one.id):
        found = shown(case.items.get(entry.id))
        tickets = sorted({label.text: label for label in found if label.kind == "ticket"}.items())
        if not tickets or shows_own_ticket(found, entry, case.record):
            continue  # with its own ticket in it, another one lies beside it
        for _, ticket in tickets:
            yield from _foreign(ticket, entry, case.record)


def _foreign(ticket: Label, entry: ExhibitEntry, record: JobRecord) -> Iterator[Contradiction]:
    subject, nonce = ticket.subject or "", ticket.nonce or ""
    printed = [one.nonce for one in record.tickets if one.subject == subject]
    place = _place_of(entry.subject, record)
    if ticket.job != record.id:
        code, found, expected = "photo-of-another-vehicle", f"{ticket.job} {subject}", record.id
    elif printed and nonce not in printed:
        code, found, expected = "photo-ticket-not-printed", f"{ticket.job} {subject} {nonce}", record.id
    elif place and subject not in (place, VEHICLE):
        code, found, expected = "photo-of-another-place", subject, place
    else:
        return  # tickets that nobody recorded say nothing certain
    yield contradiction(
        ContradictionRule.PHOTO_OF_ANOTHER_VEHICLE,
        entry.id,
        (Place(where=f"{entry.id}.ticket", value=found), Place(where=f"{entry.id}.subject", value=expected)),
        exhibits=(entry.id,),
        code=code,
        exhibit=entry.id,
        found=found,
        expected=expected,
    )


def _place_of(subject: str, record: JobRecord) -> str:
    """The position that a subject is or belongs to; empty for the vehicle and what has none."""
    line = lineage(subject, record)
    return next((position.id for position in record.positions if position.id in line), "")


def label_differs(case: Case) -> Iterator[Contradiction]:
    """The one code of a photographed label gives another number than the record."""
    for entry in sorted(case.record.exhibits, key=lambda one: one.id):
        found = [one for one in shown(case.items.get(entry.id)) if one.kind != "ticket"]
        if entry.role in _OF_VEHICLE:
            yield from _vehicle_number(entry, found, case.record)
        elif entry.role in (Role.LABEL_SYSTEM, Role.LABEL_STRETCHER):
            yield from _serial_number(entry, found, case.record)


def _vehicle_number(
    entry: ExhibitEntry, found: Sequence[Label], record: JobRecord
) -> Iterator[Contradiction]:
    plates = [label for label in found if label.vin]
    if len(plates) != 1:
        return
    plate, vehicle = plates[0], record.vehicle
    if isinstance(vehicle.vin, str) and plate.vin and not labels.same_vin(vehicle.vin, plate.vin):
        yield _differs(entry, VEHICLE, "vehicle.vin", vehicle.vin, plate.vin)
    if vehicle.build and plate.build and fold(vehicle.build) != fold(plate.build):
        yield _differs(entry, VEHICLE, "vehicle.build", vehicle.build, plate.build)


def _serial_number(entry: ExhibitEntry, found: Sequence[Label], record: JobRecord) -> Iterator[Contradiction]:
    positions = positions_of(entry.subject, record)
    things: list[tuple[str, object]]
    if entry.role == Role.LABEL_SYSTEM:
        things = [(one.system.model, one.system.serial) for one in positions]
    else:
        things = [
            (one.model, one.serial)
            for position in positions
            for one in (*position.stretchers.delivered_with, *position.stretchers.tested_with)
        ]
    # a label that names another model is of another thing
    fitting = [
        label for label in found if label.serial and any(same_model(label, model) for model, _ in things)
    ]
    if len(fitting) != 1:
        return
    label, known = fitting[0], [serial for _, serial in things if isinstance(serial, str)]
    if not known or len(known) < len(things):
        return  # a serial that is not recorded yet may be the one on the label
    if not any(labels.same_serial(serial, label.text) for serial in known):
        subject = positions[0].id if len(positions) == 1 else VEHICLE
        together = ", ".join(sorted(set(known)))
        yield _differs(entry, subject, f"{subject}.serial", together, label.serial or "")


def _differs(entry: ExhibitEntry, subject: str, where: str, recorded: str, found: str) -> Contradiction:
    return contradiction(
        ContradictionRule.LABEL_DIFFERS,
        subject,
        (Place(where=where, value=recorded), Place(where=f"{entry.id}.label", value=found)),
        exhibits=(entry.id,),
        exhibit=entry.id,
        subject=subject,
        recorded=recorded,
        found=found,
    )
