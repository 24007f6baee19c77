"""The closed list of facts that a rule may read, each with the place in the record where it stands."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from evidence.judge._scope import VEHICLE, positions_of, screws_of
from evidence.model._text import FieldState
from evidence.model.names import Fact, FieldWord
from evidence.model.record import JobRecord, Position, Screws, Vehicle
from evidence.quantity import Quantity

Raw = str | int | bool | Quantity | FieldState | None


@dataclass(frozen=True)
class FactValue:
    """What the record says of a fact for one subject.

    Attributes:
        values: every value, in the order of the record; a vehicle has one per position or screw group.
        states: why a value is missing, once for each that is; ``unknown`` where the field is simply empty.
        records: ids of the entries read, ``vehicle`` left out.
    """

    values: tuple[str, ...]
    states: tuple[FieldWord, ...]
    records: tuple[str, ...]


_VEHICLE: dict[Fact, Callable[[Vehicle], Raw]] = {
    Fact.VEHICLE_TYPE: lambda vehicle: vehicle.type,
    Fact.VEHICLE_DRIVE_SIDE: lambda vehicle: vehicle.drive_side,
    Fact.VEHICLE_BUILD: lambda vehicle: vehicle.build,
    Fact.VEHICLE_VIN: lambda vehicle: vehicle.vin,
    Fact.VEHICLE_MODULE_SERIAL: lambda vehicle: vehicle.module_serial,
}
_POSITION: dict[Fact, Callable[[Position], Iterable[Raw]]] = {
    Fact.POSITION_SYSTEM_MODEL: lambda position: (position.system.model,),
    Fact.POSITION_SYSTEM_SERIAL: lambda position: (position.system.serial,),
    Fact.POSITION_SYSTEM_LOT: lambda position: (position.system.lot,),
    Fact.POSITION_VARIANT: lambda position: (position.system.variant,),
    Fact.POSITION_CARRIED_MASS: lambda position: (position.carried_mass,),
    Fact.POSITION_FREE_TRAVEL: lambda position: (position.free_travel,),
    Fact.POSITION_LOADING: lambda position: (position.loading,),
    Fact.POSITION_ORIENTATION: lambda position: (position.orientation,),
    Fact.POSITION_FLOOR: lambda position: (position.floor,),
    Fact.POSITION_TESTED_MODEL: lambda position: [one.model for one in position.stretchers.tested_with],
    Fact.POSITION_APPROVED_MODELS: lambda position: position.stretchers.approved_models,
    # a stretcher on loan or from a pool is what stands on the latch, so it is read like the vehicle's own
    Fact.POSITION_DELIVERED_MODEL: lambda position: [one.model for one in position.stretchers.delivered_with],
}
_SCREWS: dict[Fact, Callable[[Screws], Raw]] = {
    Fact.SCREWS_THREAD: lambda group: group.thread,
    Fact.SCREWS_CLASS: lambda group: group.property_class,
    Fact.SCREWS_HEAD: lambda group: group.head,
    Fact.SCREWS_COUNT: lambda group: group.count,
    Fact.SCREWS_WITNESS_MARKED: lambda group: group.witness_marked,
    Fact.SCREWS_LOT: lambda group: group.lot,
    Fact.SCREWS_LOCKER: lambda group: group.locker.product if group.locker else None,
    Fact.SCREWS_LOCKER_LOT: lambda group: group.locker.lot if group.locker else None,
}


def fact(name: Fact, subject: str, record: JobRecord) -> FactValue:
    """What the record says of a fact; an empty list counts as one missing value."""
    if name == Fact.RECORD_PROFILE:
        return _collected([(VEHICLE, (record.profile,))])
    if name in _VEHICLE:
        return _collected([(VEHICLE, (_VEHICLE[name](record.vehicle),))])
    if name in _POSITION:
        return _collected([(one.id, tuple(_POSITION[name](one))) for one in positions_of(subject, record)])
    return _collected([(one.id, (_SCREWS[name](one),)) for one in _groups(subject, record)])


def _groups(subject: str, record: JobRecord) -> tuple[Screws, ...]:
    known = {position.id for position in record.positions} | {group.id for group in record.screws}
    return screws_of(subject if subject in known else VEHICLE, record)


def _collected(found: list[tuple[str, tuple[Raw, ...]]]) -> FactValue:
    values: list[str] = []
    states: list[FieldWord] = []
    for _, raw_values in found:
        for raw in raw_values or (None,):
            if raw is None or isinstance(raw, FieldState):
                states.append(FieldWord.UNKNOWN if raw is None else raw.state)
            else:
                values.append(_text(raw))
    if not found:
        states.append(FieldWord.UNKNOWN)
    return FactValue(tuple(values), tuple(states), tuple(place for place, _ in found if place != VEHICLE))


def _text(raw: str | int | bool | Quantity) -> str:  # noqa: FBT001 - a yes/no of the record, not a switch
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    return str(raw)
