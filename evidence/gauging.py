"""Which photos of a job are measured, and with what set-up: for a job folder and for a bundle alike.

A photo is measured only once the value that it may bear out stands in the record: nobody is told what the photo shows
before they have said what the caliper showed.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from evidence import measuring
from evidence.errors import SillmarkError
from evidence.exhibits import Reader
from evidence.gauge.zero import zero
from evidence.measuring import HOOK, SetUp, Taken, WindowPhoto, ZeroShown
from evidence.model._text import FieldState
from evidence.model.exhibit import Item
from evidence.model.measurement import MAX_VIEWS, Marks, Measurement, WindowReading
from evidence.model.names import CharacteristicName, InstrumentKind, Role
from evidence.model.profile import Profile, Window
from evidence.model.record import Characteristic, ExhibitEntry, Instrument, JobRecord
from evidence.model.times import Interval

Fetch = Callable[[str], tuple[bytes, str]]
"""Exhibit id to the bytes of its file and its name for messages."""
Measurements = Mapping[tuple[str, str], Measurement]
"""Quantity, as a criterion names it, and subject to what its photos gave."""


def of_job(
    record: JobRecord, profile: Profile, items: Mapping[str, Item], fetch: Fetch, read: Reader
) -> tuple[dict[tuple[str, str], Measurement], dict[str, Marks]]:
    """Measure what the profile lets photos bear out.

    Args:
        record: who measured what.
        profile: where the hook is touched; without it nothing is measured.
        items: what was read from each file.
        fetch: gives the files.
        read: runs readers of hostile formats.

    Returns:
        Measurements, and for drawings the places of their lines in each photo.
    """
    if profile.hook is None:
        return {}, {}
    setup = measuring.of_profile(profile)
    found: dict[tuple[str, str], Measurement] = {}
    marks: dict[str, Marks] = {}
    for position in record.positions:
        photos = hook_photos(record, items, position.id)
        if photos and hook_values(record, position.id):
            measured = _measured(photos, replace(setup, zero=_zero(record, position.id)), fetch, read)
            if measured is not None:
                found[HOOK, position.id] = measured.measurement
                marks |= measured.marks
    return found, marks


def of_windows(
    record: JobRecord, profile: Profile, items: Mapping[str, Item], fetch: Fetch, read: Reader
) -> dict[str, WindowReading]:
    """Read the lock windows whose frame somebody marked, by exhibit.

    A photo of the locked state is held against the last one of the open state at its place.

    Args:
        record: where the frames are.
        profile: which colours the window shows; without them, or with several windows, nothing is read.
        items: what was read from each file.
        fetch: gives the files.
        read: runs readers of hostile formats.
    """
    window = colour_window(profile)
    if window is None:
        return {}
    found: dict[str, WindowReading] = {}
    for place in sorted({_place(entry, record) for entry in record.exhibits}):
        locked, opened = (
            [_window_photo(entry, fetch) for entry in _framed(record, items, place, role)]
            for role in (Role.LOCK_WINDOW_LOCKED, Role.LOCK_WINDOW_OPEN)
        )
        against = opened[-1] if opened else None
        for photo in locked:
            found |= _windows(window, photo, against, read)
        for photo in opened:
            if photo.taken.exhibit not in found:
                found |= _windows(window, None, photo, read)
    return found


def colour_window(profile: Profile) -> Window | None:
    """The one window of a profile, where it shows a colour; of several a photo does not say which it is."""
    (only,) = profile.windows if len(profile.windows) == 1 else (None,)
    return only if only is not None and only.shows == "colour" else None


def _windows(
    window: Window, locked: WindowPhoto | None, opened: WindowPhoto | None, read: Reader
) -> dict[str, WindowReading]:
    try:
        return measuring.lock_window(window, locked, opened, read)
    except SillmarkError:
        return {}  # as for a position


def _framed(record: JobRecord, items: Mapping[str, Item], place: str, role: Role) -> list[ExhibitEntry]:
    found = [
        entry
        for entry in record.exhibits
        if entry.role == role and _place(entry, record) == place and entry.frame is not None
        if entry.id in items and items[entry.id].photo is not None
    ]
    return sorted(found, key=lambda entry: entry.id)[-MAX_VIEWS:]


def _place(entry: ExhibitEntry, record: JobRecord) -> str:
    """What is filed for a vehicle with one place is of that place."""
    only = len(record.positions) == 1 and entry.subject == "vehicle"
    return record.positions[0].id if only else entry.subject


def _window_photo(entry: ExhibitEntry, fetch: Fetch) -> WindowPhoto:
    patches = entry.neutral
    return WindowPhoto(
        Taken(entry.id, *fetch(entry.id)),
        entry.frame or "",
        patches.grey if patches else None,
        patches.white if patches else None,
    )


def _zero(record: JobRecord, position: str) -> ZeroShown | None:
    """What the last zero check of the card used at a place showed, where both its lengths say how sure they are."""
    checks = [
        check
        for card, day in cards_used(record, position)
        for check in card.zero
        if check.at <= day and zero(check).standard is not None
    ]
    if not checks:
        return None
    last = max(checks, key=lambda check: check.at)
    shown = zero(last)
    standard = Fraction(str(round(shown.standard or 0.0, 4)))
    return ZeroShown(shown.error, standard, last.known.base * 1000)


def cards_used(record: JobRecord, position: str) -> list[tuple[Instrument, date]]:
    """Gauge cards that the record names with work at a place, each with the last day of that work."""
    cards = {one.id: one for one in record.instruments if one.kind == InstrumentKind.GAUGE_CARD}
    return [
        (cards[name], step.at.last_day)
        for step in record.steps
        if step.subject in (position, "vehicle") and isinstance(step.at, Interval)
        for name in step.with_
        if name in cards
    ]


def hook_photos(record: JobRecord, items: Mapping[str, Item], position: str) -> list[str]:
    """Photos of the hook with the gauge card at a place, by id."""
    return sorted(
        entry.id
        for entry in record.exhibits
        if entry.role == Role.HOOK_POSITION and entry.subject == position
        if entry.id in items and items[entry.id].photo is not None
    )[:MAX_VIEWS]


def hook_values(record: JobRecord, position: str) -> list[Characteristic]:
    """Values of the hook position that stand in the record for a place."""
    return [
        value
        for value in record.characteristics
        if value.name == CharacteristicName.HOOK_POSITION and value.subject in (position, "vehicle")
        if not isinstance(value.value, FieldState)
    ]


def _measured(photos: list[str], setup: SetUp, fetch: Fetch, read: Reader) -> measuring.Measured | None:
    taken = [Taken(exhibit, *fetch(exhibit)) for exhibit in photos]
    distinct = {
        photo.data: photo for photo in reversed(taken)
    }  # the same file twice is one view, and told elsewhere
    kept = [photo for photo in taken if distinct[photo.data] is photo]
    try:
        return measuring.hook_position(kept, setup, read)
    except SillmarkError:
        return None  # a file that no reader takes is told as such where it is asked for
