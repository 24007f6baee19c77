"""Key fields of a record: what a slip of the typing finger would spoil, so that somebody types it a second time."""

from collections.abc import Iterator
from dataclasses import dataclass

from evidence.model._text import FieldState
from evidence.model.names import CHARACTERISTIC_DIMENSION
from evidence.model.record import CardRow, JobRecord
from evidence.quantity import Dimension, Quantity

VEHICLE = "vehicle"
FIELDS: dict[str, tuple[str, ...]] = {
    "vehicle": ("vin", "module_serial"),
    "position": ("serial", "lot"),
    "instrument": ("serial",),
    "screws": ("torques", "lot"),
    "characteristic": ("value",),
}
"""What kind of entry has which key fields, in the words of ``retyped``."""


@dataclass(frozen=True)
class KeyField:
    """One key field that holds something.

    Attributes:
        of: ``vehicle`` or the id of the entry.
        field: its name in ``retyped``.
        place: where it stands, ``p1.system.serial``.
        values: what was typed first; a state where there is no value.
        dimension: of quantities; None for what is compared letter by letter.
        by: whose entry it is, where the record says so; this person's second look is none.
        card_row: row of the work card that it was typed from.
    """

    of: str
    field: str
    place: str
    values: tuple[str | Quantity | FieldState, ...]
    dimension: Dimension | None = None
    by: str | None = None
    card_row: CardRow | None = None


def key_fields(record: JobRecord) -> tuple[KeyField, ...]:
    """Every key field of the record that is filled in or says why not, in the order of the record."""
    return tuple(
        field
        for field in (*_vehicle(record), *_positions(record), *_instruments(record), *_work(record))
        if field.values
    )


def _one(value: str | FieldState | None) -> tuple[str | FieldState, ...]:
    return () if value is None else (value,)


def _vehicle(record: JobRecord) -> Iterator[KeyField]:
    vehicle = record.vehicle
    bound = vehicle.vin_bound.by if vehicle.vin_bound else None
    yield KeyField(VEHICLE, "vin", "vehicle.vin", _one(vehicle.vin), by=bound)
    yield KeyField(VEHICLE, "module_serial", "vehicle.module_serial", _one(vehicle.module_serial))


def _positions(record: JobRecord) -> Iterator[KeyField]:
    for position in record.positions:
        system, place = position.system, f"{position.id}.system"
        row = system.card_row
        yield KeyField(position.id, "serial", f"{place}.serial", _one(system.serial), card_row=row)
        yield KeyField(position.id, "lot", f"{place}.lot", _one(system.lot), card_row=row)


def _instruments(record: JobRecord) -> Iterator[KeyField]:
    for tool in record.instruments:
        yield KeyField(tool.id, "serial", f"{tool.id}.serial", _one(tool.serial))


def _work(record: JobRecord) -> Iterator[KeyField]:
    for group in record.screws:
        row, by = group.card_row, group.by
        yield KeyField(group.id, "lot", f"{group.id}.lot", _one(group.lot), None, by, row)
        yield KeyField(group.id, "torques", f"{group.id}.torques", group.torques, Dimension.TORQUE, by, row)
    for entry in record.characteristics:
        dimension = CHARACTERISTIC_DIMENSION[entry.name]
        value = entry.value if isinstance(entry.value, FieldState) else entry.quantity
        values = () if value is None else (value,)
        yield KeyField(entry.id, "value", f"{entry.id}.value", values, dimension, entry.by, entry.card_row)
