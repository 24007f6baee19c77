"""Claims of evidence files that hold a personal value of the job, such as a phone that carries its owner's name."""

from collections.abc import Collection, Iterator

from evidence import labels
from evidence.errors import Problem
from evidence.model.exhibit import Channels, Item
from evidence.model.people import People
from evidence.model.record import JobRecord
from evidence.quantity import UNITS
from evidence.record.personal import Personal

LEFT_OUT = "personal-claim-left-out"
CODE_LEFT_OUT = "personal-code-left-out"
AXES_LEFT_OUT = "personal-axes-left-out"
_CLAIMS = ("camera", "software")
_SYMBOLS = frozenset(unit.symbol for unit in UNITS.values())
_NEVER_PERSONAL = frozenset({"ticket", "clock", "vin"})  # every character of these has its place


def personal_claims(item: Item, people: People) -> tuple[str, ...]:
    """Which claims of a file hold a personal value: ``camera``, ``software``, ``column 2``; never the value itself.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
    """
    personal = Personal.of(people)
    claims = [(name, getattr(item.photo, name)) for name in _CLAIMS] if item.photo else []
    columns = item.table.columns if item.table else ()
    claims += [(f"column {number}", column.name) for number, column in enumerate(columns, start=1)]
    return tuple(name for name, value in claims if value is not None and personal.within(value))


def of_record(item: Item, record: JobRecord) -> Item:
    """The item without plain codes that give no number of the record; they are counted and kept nowhere.

    A code of free words may hold a name or a telephone number of anybody, and an item is never withheld.

    Args:
        item: what was read from the file.
        record: numbers of vehicle, things, tools and lots.
    """
    if item.photo is None:
        return item
    known = tuple(_numbers(record))
    kept = tuple(code for code in item.photo.codes if not _is_stray(code.text, known))
    if len(kept) == len(item.photo.codes):
        return item
    gone = item.photo.codes_left_out + len(item.photo.codes) - len(kept)
    photo = item.photo.model_copy(update={"codes": kept, "codes_left_out": gone})
    return item.model_copy(update={"photo": photo})


def _is_stray(text: str, known: Collection[str]) -> bool:
    return labels.read(text).kind == "plain" and not any(labels.same_serial(each, text) for each in known)


def _numbers(record: JobRecord) -> Iterator[str]:
    """Every number that the record has of the vehicle, of what is fitted, of tools and of lots."""
    vehicle = record.vehicle
    found: list[object] = [vehicle.build, vehicle.module_serial, vehicle.vin, vehicle.fleet_number]
    for position in record.positions:
        found += [position.system.serial, position.system.lot]
        carried = (*position.stretchers.tested_with, *position.stretchers.delivered_with)
        found += [one.serial for one in carried]
    found += [instrument.serial for instrument in record.instruments]
    for group in record.screws:
        found += [group.lot, group.locker.lot if group.locker is not None else None]
    yield from (each for each in found if isinstance(each, str))


def without_personal(item: Item, people: People) -> Item:
    """The item without what holds a personal value: camera and software, codes, axes; else the item itself.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
    """
    personal = Personal.of(people)
    found = {LEFT_OUT} if set(personal_claims(item, people)) & set(_CLAIMS) else set()
    codes = item.photo.codes if item.photo else ()
    if any(personal.within(code.text) for code in codes):
        found.add(CODE_LEFT_OUT)
    entries = item.channels.channels if item.channels else ()
    if any(personal.within(text) for each in entries for text in (each.axes, each.unit) if text):
        found.add(AXES_LEFT_OUT)
    return anonymous(item, found)


def anonymous(item: Item, left_out: Collection[str] = (LEFT_OUT,)) -> Item:
    """The item of a photo or set without what these warnings say was left out, and with the warnings; idempotent.

    Camera and software go together, so do all codes of free form, and so do axes and units that are in no table, so
    that a bundle whose people are withheld can be made again from its files.
    """
    if item.channels is not None and AXES_LEFT_OUT in left_out:
        return _without_axes(item, item.channels)
    if item.photo is None:
        return item
    photo = item.photo
    if LEFT_OUT in left_out:
        photo = photo.model_copy(update=dict.fromkeys(_CLAIMS))
    if CODE_LEFT_OUT in left_out:
        kept = tuple(code for code in photo.codes if labels.read(code.text).kind in _NEVER_PERSONAL)
        gone = photo.codes_left_out + len(photo.codes) - len(kept)
        photo = photo.model_copy(update={"codes": kept, "codes_left_out": gone})
    noticed = {LEFT_OUT, CODE_LEFT_OUT} & set(left_out)
    if not noticed:
        return item
    warnings = tuple(sorted({*item.warnings, *noticed}))
    return item.model_copy(update={"photo": photo, "warnings": warnings})


def _without_axes(item: Item, found: Channels) -> Item:
    bare = [
        each.model_copy(update={"axes": None, "unit": each.unit if each.unit in _SYMBOLS else None})
        for each in found.channels
    ]
    channels = found.model_copy(update={"channels": tuple(bare)})
    warnings = tuple(sorted({*item.warnings, AXES_LEFT_OUT}))
    return item.model_copy(update={"channels": channels, "warnings": warnings})


def personal_headings(item: Item, people: People, where: str) -> tuple[Problem, ...]:
    """A problem for each column of a table whose heading holds a personal value.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
        where: name of the file for messages, ``tests/E006.csv``.
    """
    return tuple(
        Problem("personal-heading", f"{where}:1", "", {"column": claim.removeprefix("column ")})
        for claim in personal_claims(item, people)
        if claim not in _CLAIMS
    )
