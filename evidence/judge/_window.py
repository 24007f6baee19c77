"""What the photos of a lock window say of a colour that is asked for; where they say nothing, a person's word.

A photo shows a colour at one moment, and nothing else: what is found here is never that a stretcher is locked.

1. A photo that certainly shows the other colour: not met, whatever else there is.
2. Enough photos that certainly show the colour: met, from the photos.
3. A person who saw the other colour, or the colour, in a photo: not met, or met, from the record.
4. Else not shown, with the reason why the photo decides nothing.
"""

from collections.abc import Sequence
from dataclasses import replace

from evidence.judge._base import Look, Verdict, verdict
from evidence.judge._evidence import Piece, Used, exhibit_stop
from evidence.judge.case import Case
from evidence.model.criterion import Present
from evidence.model.finding import Parameter
from evidence.model.measurement import WindowReading
from evidence.model.names import Outcome, RestsOn
from evidence.model.record import ExhibitEntry

_SHOWS = {"locked": "window-shows-locked", "open": "window-shows-open"}
_NO_COLOUR = {"pin": "window-pin", "lever": "window-lever", "lamp": "window-lamp"}


def shown(criterion: Present, usable: Sequence[Piece], case: Case) -> Look:
    """Whether the photos, or else a person, show the colour.

    Args:
        criterion: with ``shows``.
        usable: photos of the place that can be used, by id.
        case: readings and record.
    """
    asked, needed = str(criterion.shows), max(criterion.at_least, 1)
    ids = [piece.id for piece in usable]
    readings = {name: found for name in ids if (found := usable_reading(name, case)) is not None}
    other = [name for name, found in readings.items() if found.state not in (asked, "undecided")]
    right = [name for name, found in readings.items() if found.state == asked]
    if other:
        told = _told(readings[other[0]])
        said = verdict(Outcome.NOT_MET, "window-shows-other", asked=asked, exhibits=tuple(other), **told)
        return _measured(usable, [readings[name] for name in other], said)
    if len(right) >= needed:
        told = _told(readings[right[0]])
        said = verdict(Outcome.MET, _SHOWS[asked], exhibits=tuple(right), **told)
        return _measured(usable, [readings[name] for name in right], said)
    return _read(asked, needed, ids, usable, case)


def usable_reading(exhibit: str, case: Case) -> WindowReading | None:
    """What a photo shows; undecided where the photo of the open state that it rests on cannot be used."""
    found = case.windows.get(exhibit)
    if found is None or found.open_exhibit is None or exhibit_stop(found.open_exhibit, case) is None:
        return found
    if found.state == "undecided":
        return found
    missing = {"code": "window-open-photo-missing"}
    return WindowReading.read({**found.document(), "state": "undecided", "reason": missing})


def _measured(usable: Sequence[Piece], readings: Sequence[WindowReading], found: Verdict) -> Look:
    used = _used(usable)
    exhibits = used.exhibits | {each for reading in readings for each in reading.exhibits}
    used = replace(used, rests=frozenset({RestsOn.MEASURED}), exhibits=exhibits)
    return Look(used, compare=lambda: found)


def _read(asked: str, needed: int, ids: Sequence[str], usable: Sequence[Piece], case: Case) -> Look:
    """What people saw in these photos, and why the photos themselves decide nothing."""
    entries = [entry for entry in case.record.exhibits if entry.id in ids]
    cause = _cause(entries, asked, case)
    other = [entry for entry in entries if entry.reads not in (asked, None)]
    right = [entry for entry in entries if entry.reads == asked]
    if other:
        found = verdict(Outcome.NOT_MET, "window-read-as-other", asked=asked, cause=cause, **_by(other))
    elif len(right) >= needed:
        found = verdict(Outcome.MET, "window-read-by-person", cause=cause, **_by(right))
    else:
        found = verdict(Outcome.NOT_SHOWN, "window-not-read", asked=asked, cause=cause, exhibits=tuple(ids))
    return Look(replace(_used(usable), rests=frozenset({RestsOn.RECORDED})), compare=lambda: found)


def _by(entries: Sequence[ExhibitEntry]) -> dict[str, Parameter]:
    people = {entry.by for entry in entries if entry.by is not None}
    return {
        "by": tuple(sorted(people)),
        "exhibits": tuple(sorted(entry.id for entry in entries)),
        "reads": str(entries[0].reads),
    }


def _cause(entries: Sequence[ExhibitEntry], asked: str, case: Case) -> str:
    """Why no photo decides: of the first that was looked at, else of the profile, else that no frame is marked."""
    readings = [found for entry in entries if (found := usable_reading(entry.id, case)) is not None]
    reasons = [found.reason.code for found in readings if found.reason is not None]
    if reasons:
        return reasons[0]
    if any(found.state == asked for found in readings):
        return "window-photos-few"
    windows = case.profile.windows
    if len(windows) != 1:
        return "window-several" if windows else "window-not-in-profile"
    if windows[0].shows != "colour":
        return _NO_COLOUR[windows[0].shows]
    return "window-unread" if any(entry.frame for entry in entries) else "window-frame-missing"


def _told(reading: WindowReading) -> dict[str, Parameter]:
    """Shares in whole percent, for a sentence; a reading that decides has them."""
    shares = reading.fractions
    parts = (shares.locked, shares.open, shares.unknown) if shares else ("0", "0", "0")
    names = ("locked", "open", "unknown")
    return {name: f"{float(part) * 100:.0f}" for name, part in zip(names, parts, strict=True)}


def _used(usable: Sequence[Piece]) -> Used:
    used = Used()
    for piece in usable:
        used |= piece.used
    return used
