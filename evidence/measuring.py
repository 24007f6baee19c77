"""Measure a quantity from photos of one set-up, through whatever runs the readers of hostile bytes."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Literal

from evidence import jsondoc
from evidence.errors import Problem, UsageError
from evidence.exhibits import Answer, Reader, sniff
from evidence.exhibits._answer import refuse
from evidence.model.measurement import MAX_VIEWS, Marks, Measurement, WindowReading
from evidence.model.profile import HookDatum, Profile, Window
from evidence.quantity import decimal_text, read_decimal
from evidence.uncertainty import STATED_FACTOR

VIEW, POSITION, FOUND, OVERLAY = "measure-view", "measure-position", "measure-found", "measure-overlay"
WINDOW = "measure-window"
PHOTOS = (sniff.JPEG, sniff.PNG, sniff.HEIC)
_KINDS = {sniff.PDF: "pdf", sniff.CSV: "text", sniff.XLSX: "workbook", sniff.ODS: "workbook"}
HOOK = "characteristic.hook-position"
Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Taken:
    """A photo to measure.

    Attributes:
        exhibit: its id, or its name where no job is; unique in a set-up.
        data: the whole file.
        where: name for messages.
    """

    exhibit: str
    data: bytes
    where: str


@dataclass(frozen=True)
class WindowPhoto:
    """A photo of a lock window; corners are text, in per mille of the upright picture.

    Attributes:
        taken: the photo.
        frame: corners of the window's whole frame.
        grey, white: corners of the printed tile's fields, where somebody gave them.
    """

    taken: Taken
    frame: str
    grey: str | None = None
    white: str | None = None


@dataclass(frozen=True)
class Limits:
    """What a profile allows, mm; either end may be open."""

    low: Fraction | None = None
    high: Fraction | None = None


@dataclass(frozen=True)
class ZeroShown:
    """A zero check of the card, mm: what it read too much, the standard uncertainty of that, and the known length."""

    error: Fraction
    standard: Fraction
    known: Fraction


@dataclass(frozen=True)
class SetUp:
    """What the photos cannot say; mm.

    Attributes:
        height: of the slider's plane above the card's.
        height_uncertainty: standard uncertainty of it; None takes the prior.
        offset: from the touched face to the functional one.
        zero: what the card's last zero check showed, or None.
        limits: of the value; they are only drawn.
        focal_35mm: focal length as 35 mm equivalent, where the user knows it better than the files.
        points: two points on the hook's base line, pixels of the upright picture, where there is no slider.
        priors: what the workshop's own trial found in place of the tool's assumptions, by name.
    """

    height: Fraction = Fraction(0)
    height_uncertainty: Fraction | None = None
    offset: Fraction = Fraction(0)
    zero: ZeroShown | None = None
    limits: Limits = Limits()
    focal_35mm: Fraction | None = None
    points: tuple[Point, Point] | None = None
    priors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Measured:
    """A measurement with what a drawing of it needs.

    Attributes:
        measurement: the answer.
        marks: by exhibit; empty where nothing was measured.
    """

    measurement: Measurement
    marks: Mapping[str, Marks] = field(default_factory=dict)


@dataclass(frozen=True)
class Found:
    """What a photo shows of card and slider, whether or not it can be measured.

    Attributes:
        card, whole, least: how many of the card's tags are there once, of how many, and how many are needed.
        slider: how often the slider's tag is there.
        marks: their outlines, for ``overlay``.
    """

    card: int
    whole: int
    least: int
    slider: int
    marks: Mapping[str, Any]


@dataclass(frozen=True)
class _Looked:
    exhibit: str
    answer: Mapping[str, Any]


def of_profile(profile: Profile) -> SetUp:
    """The set-up that a profile describes; the usual one where it says nothing of the hook."""
    limits = limits_of(profile)
    setup = SetUp(limits=limits) if profile.hook is None else _of_datum(profile.hook, limits)
    return setup if profile.bench_trial is None else replace(setup, priors=profile.bench_trial.priors)


def _of_datum(datum: HookDatum, limits: Limits) -> SetUp:
    return SetUp(
        height=_mm(datum.contact_height.base),
        height_uncertainty=_mm(datum.contact_height_uncertainty.base) / STATED_FACTOR,
        offset=_mm(datum.offset_to_functional_face.base),
        limits=limits,
    )


def limits_of(profile: Profile) -> Limits:
    """The tightest limits that a profile sets to the hook position."""
    asked = [
        item.criterion
        for item in profile.items
        if item.criterion.type == "within" and item.criterion.quantity == HOOK
    ]
    lows = [_mm(bound.base) for each in asked if (bound := each.bound(each.low)) is not None]
    highs = [_mm(bound.base) for each in asked if (bound := each.bound(each.high)) is not None]
    return Limits(max(lows, default=None), min(highs, default=None))


def _mm(base: Fraction) -> Fraction:
    return base * 1000


def hook_position(photos: Sequence[Taken], setup: SetUp, read: Reader) -> Measured:
    """Measure the hook position.

    A photo that cannot be measured is left out and told as a warning; where none can, the first one's reason is the
    measurement's.

    Args:
        photos: one to ``MAX_VIEWS`` photos of one set-up.
        setup: what they cannot say.
        read: runs a reader by name, the guard's ``run``.

    Raises:
        UsageError: measure-photos-many, measure-photo-twice or measure-points-photos.
        InputError: measure-not-photo, or what the readers found wrong with a file.
        MissingToolError: heic-extra-missing.
    """
    _require_usable(photos, setup)
    looked = [_Looked(photo.exhibit, _view(photo, setup, read)) for photo in photos]
    seen = [one for one in looked if "view" in one.answer]
    refused = [
        {**one.answer["unmeasurable"], "exhibit": one.exhibit}
        for one in looked
        if "unmeasurable" in one.answer
    ]
    found: Mapping[str, Any] = _position(seen, setup, read).value if seen else {}
    noticed = [{**each, "exhibit": one.exhibit} for one in seen for each in one.answer["noticed"]]
    shared: dict[str, Any] = {
        "method": "gauge-card-plane/1" if setup.points is None else "gauge-card-points/1",
        "exhibits": [photo.exhibit for photo in photos],
        "priors": {name.replace("_", "-"): number for name, number in setup.priors.items()},
    }
    if "measured" not in found:
        reason = found.get("unmeasurable") or refused[0]
        others = refused if seen else refused[1:]
        return Measured(
            Measurement.read(
                {**shared, "state": "unmeasurable", "reason": reason, "warnings": others + noticed}
            )
        )
    told = found["measured"]
    warnings = [*told["warnings"], *refused, *noticed]
    measurement = Measurement.read({**shared, **told, "state": "measured", "warnings": warnings})
    return Measured(measurement, {each["exhibit"]: Marks.read(each) for each in found["marks"]})


def lock_window(
    window: Window, locked: WindowPhoto | None, opened: WindowPhoto | None, read: Reader
) -> dict[str, WindowReading]:
    """Read which declared colour each of one or two photos of a lock window shows, by exhibit.

    Args:
        window: as the profile describes it, with both colours.
        locked: photo that is to show the locked colour; it only can beside one of the open state.
        opened: photo of the same window in the open state.
        read: runs a reader by name.

    Raises:
        InputError: measure-not-photo, or what the reader found wrong with a file.
        MissingToolError: heic-extra-missing.
        ValueError: the window shows no colour, or there is no photo.
    """
    photos = [photo for photo in (locked, opened) if photo is not None]
    if window.locked is None or window.open is None or not photos:
        raise ValueError(window.id)
    for photo in photos:
        _require_photo(photo.taken)
    head = {
        "locked": window.locked,
        "open": window.open,
        "held": locked is not None,
        "photos": [_asked(photo) for photo in photos],
    }
    body = b"".join(photo.taken.data for photo in photos)
    found = read(WINDOW, _line(head) + body, photos[0].taken.where).value["readings"]
    against = opened.taken.exhibit if locked is not None and opened is not None else None
    return {
        photo.taken.exhibit: _reading(window, photo.taken.exhibit, told, against if photo is locked else None)
        for photo, told in zip(photos, found, strict=True)
    }


def _asked(photo: WindowPhoto) -> dict[str, Any]:
    patches = {"grey": photo.grey, "white": photo.white}
    return {
        "bytes": len(photo.taken.data),
        "where": photo.taken.where,
        "frame": _parts(photo.frame),
        "neutral": {name: _parts(text) for name, text in patches.items() if text is not None},
    }


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]


def _reading(window: Window, exhibit: str, told: Mapping[str, Any], against: str | None) -> WindowReading:
    return WindowReading.read(
        {
            **{name: value for name, value in told.items() if value is not None},
            "window": window.id,
            "exhibits": [exhibit] if against is None else [exhibit, against],
            **({} if against is None else {"open_exhibit": against}),
        }
    )


def found_in(photo: Taken, read: Reader) -> Found:
    """What a photo shows of card and slider.

    Args:
        photo: of any content.
        read: runs a reader by name.
    """
    return Found(**read(FOUND, photo.data, photo.where).value)


def overlay(
    photo: Taken,
    marks: Marks | Found,
    lines: Sequence[str],
    media_type: Literal["image/jpeg", "image/png"],
    read: Reader,
) -> bytes:
    """The photo as JPEG or PNG with the measurement drawn over it.

    Args:
        photo: as it was measured.
        marks: of that photo where it was measured, else what it shows.
        lines: what is written into its corner, or above it where it was not measured.
        media_type: of the result.
        read: runs a reader by name.
    """
    drawn = marks.marks if isinstance(marks, Found) else marks.document()
    head = {"marks": drawn, "lines": list(lines), "media_type": media_type}
    return read(OVERLAY, _line(head) + photo.data, photo.where).blobs[0]


def _require_usable(photos: Sequence[Taken], setup: SetUp) -> None:
    if len(photos) > MAX_VIEWS:
        raise UsageError.one(
            "measure-photos-many", photos[MAX_VIEWS].where, found=str(len(photos)), limit=str(MAX_VIEWS)
        )
    if setup.points is not None and len(photos) != 1:
        raise UsageError.one("measure-points-photos", photos[1].where, found=str(len(photos)))
    seen: dict[str, str] = {}
    for photo in photos:
        first = seen.setdefault(jsondoc.digest(photo.data), photo.where)
        if first != photo.where or [each.exhibit for each in photos].count(photo.exhibit) > 1:
            raise UsageError((Problem("measure-photo-twice", photo.where, "", {"other": first}),))


def _view(photo: Taken, setup: SetUp, read: Reader) -> Mapping[str, Any]:
    _require_photo(photo)
    head = {
        "focal_35mm": None if setup.focal_35mm is None else decimal_text(setup.focal_35mm),
        "points": None
        if setup.points is None
        else [[decimal_text(part) for part in point] for point in setup.points],
        "priors": dict(setup.priors),
    }
    answer: Mapping[str, Any] = read(VIEW, _line(head) + photo.data, photo.where).value
    return answer


def _require_photo(photo: Taken) -> None:
    kind = sniff.media_type(photo.data, photo.where)
    if kind not in PHOTOS:
        refuse("measure-not-photo", photo.where, found=_KINDS[kind])


def _position(seen: Sequence[_Looked], setup: SetUp, read: Reader) -> Answer:
    stated = {
        "height": setup.height,
        "height_uncertainty": setup.height_uncertainty,
        "offset": setup.offset,
        "zero_error": setup.zero.error if setup.zero else None,
        "zero_standard": setup.zero.standard if setup.zero else None,
        "zero_known": setup.zero.known if setup.zero else None,
        "low": setup.limits.low,
        "high": setup.limits.high,
    }
    asked = {
        "views": [{"exhibit": one.exhibit, "view": one.answer["view"]} for one in seen],
        "points": setup.points is not None,
        "priors": dict(setup.priors),
        "setup": {name: None if value is None else decimal_text(value) for name, value in stated.items()},
    }
    return read(POSITION, jsondoc.canonical(asked), seen[0].exhibit)


def _line(head: Mapping[str, Any]) -> bytes:
    return json.dumps(head, separators=(",", ":")).encode() + b"\n"


def read_points(text: str) -> tuple[Point, Point]:
    """Two points ``x1,y1,x2,y2`` in pixels.

    Raises:
        ValueError: not four decimal numbers.
    """
    parts = [part.strip() for part in text.split(",")]
    x1, y1, x2, y2 = (read_decimal(part) for part in parts)
    return (x1, y1), (x2, y2)
