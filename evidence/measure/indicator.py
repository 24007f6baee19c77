"""The lock window's reader of the guard's child: one photo, or one of each state, to what their indicator shows.

Everything goes to and fro as JSON without floats.
"""

from collections.abc import Iterator, Mapping
from typing import Any

import cv2

from evidence import jsondoc
from evidence.exhibits._answer import Answer
from evidence.gauge import artwork
from evidence.jsondoc import Json
from evidence.measure import colour, reading, window
from evidence.measure._base import Noticed, Unmeasurable
from evidence.measure.colour import Pixels
from evidence.measure.window import PAPER, Declared, Neutral, Reading

REFLECTANCE: Mapping[str, float] = {"white": PAPER, "grey": PAPER * float(colour.LINEAR[artwork.GREY])}
"""Of the printed tile's fields, and of the gauge strip's, which are the same."""


def answer(data: bytes, where: str) -> Answer:
    """What lock windows show; before the bytes of the photos stands a line of JSON.

    The line is ``{"locked": "#rrggbb", "open": "#rrggbb", "held": whether the first photo is to be held against the
    second, "photos": [{"bytes": length, "where": name, "frame": [x1, y1, ... y4], "neutral": {"grey" or "white": the
    same}}]}``; corners are text, in per mille of the upright picture. Without neutral patches those of a gauge strip
    in the picture are taken.

    Returns:
        ``{"readings": [{"state", "fractions": {...} or null, "reason": {code, parameters} or null}]}`` by photo.

    Raises:
        InputError: a photo cannot be decoded.
        MissingToolError: heic-extra-missing.
    """
    cv2.setNumThreads(1)
    line, _, body = data.partition(b"\n")
    asked = jsondoc.decode(line, where)
    declared = Declared(asked["locked"], asked["open"])
    found = [_read(file, each, declared) for file, each in _files(body, asked["photos"])]
    if asked["held"]:
        found[0] = window.conclude(found[0], found[1] if len(found) > 1 else None)
    return Answer({"readings": [_sent(each) for each in found]})


def _files(body: bytes, photos: list[Mapping[str, Any]]) -> Iterator[tuple[bytes, Mapping[str, Any]]]:
    start = 0
    for each in photos:
        yield body[start : start + each["bytes"]], each
        start += each["bytes"]


def _read(file: bytes, asked: Mapping[str, Any], declared: Declared) -> Reading:
    picture = reading.read_colours(file, asked["where"])
    size = (picture.shape[1], picture.shape[0])
    try:
        frame = window.frame_corners([float(part) for part in asked["frame"]], size)
        given = [
            Neutral(window.frame_corners([float(part) for part in corners], size), REFLECTANCE[name])
            for name, corners in sorted(asked["neutral"].items())
        ]
    except Unmeasurable as stopped:
        return Reading("undecided", None, Noticed(stopped.code, stopped.parameters), None, 1.0, None)
    return window.read(picture, frame, given or _of_strip(picture), declared)


def _of_strip(picture: Pixels) -> list[Neutral]:
    """Patches of a gauge strip; none where none lies in the picture, and the reading then says so."""
    try:
        return list(window.card_neutrals(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY).astype("uint8")))
    except Unmeasurable:
        return []


def _sent(found: Reading) -> Json:
    shares = found.fractions
    parts = None
    if shares is not None:
        told = {"locked": shares.locked, "open": shares.open, "unknown": shares.unknown}
        parts = {name: f"{share:.3f}" for name, share in told.items()}
    reason = None if found.why is None else {"code": found.why.code, "parameters": dict(found.why.parameters)}
    return {"state": found.state, "fractions": parts, "reason": reason}
