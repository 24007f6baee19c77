"""The measuring readers of the guard's child: a photo to a view, views of one set-up to a position, and its picture.

Everything goes to and fro as JSON without floats; numbers that are calculated with further keep all their digits.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

import cv2
import numpy as np

from evidence import jsondoc, uncertainty
from evidence.exhibits._answer import Answer
from evidence.gauge import geometry
from evidence.jsondoc import Json
from evidence.measure import hook, overlay, plane, points, reading, screen, tags
from evidence.measure._base import Noticed, Priors, Unmeasurable
from evidence.measure.hook import Position, Setup, View, Zero
from evidence.measure.tags import Points

TOO_ALIKE = 2.0  # mm between two cameras; no hand holds a phone twice so nearly in the same place
_NUMBERS = ("apparent", "noise", "turn", "scale", "residual", "blur", "sharpness")


def view_answer(data: bytes, where: str) -> Answer:
    """What one photo shows of card and slider; before its bytes stands a line of JSON.

    The line is ``{"focal_35mm": text or null, "points": [[x, y], [x, y]] or null, "priors": {name: text}}``: what the
    user says of the lens, points set in the upright picture, and what the workshop's own trial found.

    Returns:
        ``{"view": {...}, "noticed": [...]}`` for ``position_answer``, or ``{"unmeasurable": {code, parameters}}``.

    Raises:
        InputError: the photo cannot be decoded.
        MissingToolError: heic-extra-missing.
    """
    cv2.setNumThreads(1)
    head, _, body = data.partition(b"\n")
    asked = jsondoc.decode(head, where)
    given = asked["focal_35mm"]
    try:
        picture = reading.read(body, where)
        focal = picture.focal_35mm if given is None else float(given)
        if asked["points"] is None:
            view = hook.see(picture.grey, focal, _priors(asked))
        else:
            (first, second) = ((float(x), float(y)) for x, y in asked["points"])
            view = points.see(picture.grey, focal, (first, second), _priors(asked))
    except Unmeasurable as error:
        return Answer({"unmeasurable": {"code": error.code, "parameters": error.parameters}})
    source = "given" if given is not None else "stated" if focal is not None else "assumed"
    rows, columns = picture.grey.shape
    size = {"width": columns, "height": rows, "focal": source}
    noticed = [asdict(each) for each in (*hook.wanting(view), *screen.noticed(picture, view))]
    return Answer({"view": _sent(view) | size, "noticed": noticed})


def position_answer(data: bytes, where: str) -> Answer:
    """The hook position from what ``view_answer`` gave for each photo of one set-up.

    The bytes are JSON: ``{"views": [{"exhibit", "view"}], "points": whether they were set, "priors": {name: text}, "setup":
    {"height", "height_uncertainty", "offset", "zero_error", "zero_standard", "zero_known", "low", "high"}}``; mm as text,
    standard uncertainty, null where nothing is known.

    Returns:
        ``{"measured": fields of a Measurement, "marks": [Marks]}``, or ``{"unmeasurable": {code, parameters}}``.
    """
    asked = jsondoc.decode(data, where)
    names = [entry["exhibit"] for entry in asked["views"]]
    views = [_received(entry["view"]) for entry in asked["views"]]
    stated = {name: None if text is None else float(text) for name, text in asked["setup"].items()}
    setup = Setup(
        height=stated["height"] or 0.0,
        height_uncertainty=stated["height_uncertainty"],
        offset=stated["offset"] or 0.0,
        zero=_zero(stated),
        priors=_priors(asked),
    )
    try:
        found = points.position(views[0], setup) if asked["points"] else hook.position(views, setup)
    except Unmeasurable as error:
        return Answer({"unmeasurable": {"code": error.code, "parameters": error.parameters}})
    limits = {end: limit for end in ("low", "high") if (limit := stated[end]) is not None}
    told = [
        _facts(entry, view, by_points=asked["points"])
        for entry, view in zip(asked["views"], views, strict=True)
    ]
    marks = [_marks(entry, view, found, limits) for entry, view in zip(asked["views"], views, strict=True)]
    measured = _measured(found) | {
        "method": points.METHOD if asked["points"] else hook.METHOD,
        "views": told,
        "warnings": _warnings(names, views, by_points=asked["points"]),
    }
    return Answer({"measured": measured, "marks": marks})


def _priors(asked: Mapping[str, Any]) -> Priors:
    return Priors(**{name: float(number) for name, number in asked["priors"].items()})


def _zero(stated: Mapping[str, float | None]) -> Zero | None:
    error, standard, known = (stated[f"zero_{part}"] for part in ("error", "standard", "known"))
    if error is None or standard is None or known is None:
        return None
    return Zero(error, standard, known)


def overlay_answer(data: bytes, where: str) -> Answer:
    """A photo with a measurement drawn over it; before its bytes stands a line of JSON.

    The line is ``{"marks": Marks or those of ``found_answer``, "lines": [text], "media_type": "image/jpeg" or
    "image/png"}``.

    Raises:
        InputError: the photo cannot be decoded.
    """
    head, _, body = data.partition(b"\n")
    asked = jsondoc.decode(head, where)
    picture = overlay.drawn(body, asked["marks"], asked["lines"], asked["media_type"], where)
    return Answer("", (picture,))


def found_answer(data: bytes, where: str) -> Answer:
    """What a photo shows of card and slider, whether or not it can be measured; for a drawing of why it cannot.

    Returns:
        ``{"card": how many of the card's tags are there once, "whole": of how many, "least": how many are needed,
        "slider": how often its tag is there, "marks": {"tags", "slider", "twice"}}``, each mark a list of outlines;
        "twice" are tags that are there more than once.

    Raises:
        InputError: the photo cannot be decoded.
        MissingToolError: heic-extra-missing.
    """
    cv2.setNumThreads(1)
    try:
        shown = tags.every(reading.read(data, where).grey)
    except Unmeasurable:  # too small to show any
        shown = {}
    slider = shown.pop(geometry.SLIDER_TAG, [])
    single = tags.once(shown)
    twice = [quad for _, quads in sorted(shown.items()) if len(quads) > 1 for quad in quads]
    marks = {
        "tags": [_pixels(quad) for _, quad in sorted(single.items())],
        "slider": [_pixels(quad) for quad in slider],
        "twice": [_pixels(quad) for quad in twice],
    }
    counts = {"card": len(single), "whole": len(geometry.tag_ids()), "least": plane.FEWEST_TAGS}
    return Answer(counts | {"slider": len(slider), "marks": marks})


def _sent(view: View) -> dict[str, Json]:
    numbers = {name: repr(float(getattr(view, name))) for name in _NUMBERS}
    return numbers | {
        "camera": [repr(part) for part in view.camera],
        "focal_known": view.focal_known,
        "tags": view.tags,
        "corners": {str(tag): _texts(corners) for tag, corners in view.corners.items()},
        "front": _texts(view.front),
        "datum": _texts(view.datum),
    }


def _texts(places: Points) -> list[list[str]]:
    return [[repr(float(x)), repr(float(y))] for x, y in places]


def _received(sent: Mapping[str, Any]) -> View:
    known: dict[str, Any] = {each.name: sent[each.name] for each in fields(View)}
    known |= {name: float(sent[name]) for name in _NUMBERS}
    known["camera"] = tuple(float(part) for part in sent["camera"])
    known["corners"] = {
        int(tag): np.array(corners, dtype=np.float64) for tag, corners in sent["corners"].items()
    }
    known |= {name: np.array(sent[name], dtype=np.float64) for name in ("front", "datum")}
    return View(**known)


def _measured(found: Position) -> dict[str, Json]:
    """Value, uncertainty and all that is in the same unit, rounded once, to about a hundredth of the uncertainty."""

    def text(number: float) -> str:
        return f"{uncertainty.rounded(number, found.expanded):f}"

    return {
        "value": text(found.value),
        "unit": "mm",
        "expanded_uncertainty": text(found.expanded),
        "coverage": "95 %",
        "terms": [
            {"name": term.name, "standard": text(term.standard), "kind": term.kind} for term in found.terms
        ],
        "contact_height": _text(found.height, 2),
        "plane_margin": text(found.plane_margin),
        "decides": found.decides,
    }


def _text(number: float, decimals: int) -> str:
    text = f"{number:.{decimals}f}"
    return text.removeprefix("-") if not float(text) else text


def _facts(entry: Mapping[str, Any], view: View, *, by_points: bool) -> dict[str, Json]:
    facts = {
        "exhibit": entry["exhibit"],
        "tags": view.tags,
        "obliqueness": _text(math.degrees(math.atan(view.tangent)), 1),
        "camera_height": _text(view.camera[2], 0),
        "focal": entry["view"]["focal"],
        "turn": _text(view.turn, 2),
        "residual": _text(view.residual, 3),
        "blur": _text(view.blur, 2),
        "sharpness": _text(view.sharpness, 2),
    }
    return facts if by_points else facts | {"scale_disagreement": _text(100 * (view.scale - 1), 3)}


def _warnings(names: Sequence[str], views: Sequence[View], *, by_points: bool) -> list[dict[str, Json]]:
    """What is to be known of the whole; what concerns one photo was told with its view."""
    warnings = [asdict(Noticed("points-clicked"))] if by_points else []
    # by identity: two views are never equal, and their arrays would not compare
    nearest = min(range(len(views)), key=lambda index: views[index].oblique)
    warnings += [asdict(each) | {"exhibit": names[nearest]} for each in hook.slanting(views)]
    for index, view in enumerate(views):
        for other, name in zip(views[:index], names, strict=False):
            if math.dist(view.camera, other.camera) < TOO_ALIKE:
                warnings.append(asdict(Noticed("views-alike", {"other": name})) | {"exhibit": names[index]})
    return warnings


def _marks(
    entry: Mapping[str, Any], view: View, found: Position, limits: Mapping[str, float]
) -> dict[str, Json]:
    width, height = entry["view"]["width"], entry["view"]["height"]
    card = plane.fit(view.corners, (width, height))
    front = card.millimetres(view.front)
    seen = view.camera[2] / (view.camera[2] - found.height)  # what stands higher is seen larger
    lines = {
        end: card.pixels(front + np.array([(limit - found.value) * seen, 0.0]))
        for end, limit in limits.items()
    }
    return {
        "exhibit": entry["exhibit"],
        "width": width,
        "height": height,
        "tags": [_pixels(corners) for _, corners in sorted(view.corners.items())],
        "datum": _pixels(view.datum),
        "front": _pixels(view.front),
        "limits": {end: _pixels(line) for end, line in lines.items()},
    }


def _pixels(places: Points) -> list[list[str]]:
    return [[_text(x, 2), _text(y, 2)] for x, y in places]
