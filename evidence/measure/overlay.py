"""A measurement drawn over its photo, as a picture file: tags, datum line, front edge, distance and limits."""

from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from evidence.exhibits import photo
from evidence.exhibits._upright import opaque, upright

LONG_SIDE = 2400  # pixels of the longer side
QUALITY = 88
PNG = "image/png"
TAG, DATUM, FRONT, LIMIT = (0, 190, 255), (255, 210, 0), (255, 60, 60), (90, 235, 120)
INK, GROUND = (255, 255, 255), (28, 35, 41)
SHIFT = 4  # binary digits of a pixel that the vision library draws with
MARGIN = 0.5  # of the marks' extent, shown around them
BEYOND = 0.35  # of its length by which a line is drawn longer at both ends

Colour = tuple[int, int, int]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]


def drawn(data: bytes, marks: Mapping[str, Any], lines: Sequence[str], media_type: str, where: str) -> bytes:
    """The part of the photo around the marks, with them, and lines of text in its upper left corner.

    Args:
        data: JPEG, PNG or HEIC file.
        marks: document of a ``Marks``.
        lines: what is written.
        media_type: ``image/jpeg`` or ``image/png``.
        where: name for messages.

    Raises:
        InputError: as ``photo.opened`` and ``photo.decoding``.
    """
    with photo.opened(data, where) as image, photo.decoding(where):
        image.load()
        plain = upright(opaque(image).convert("RGB"), photo.orientation(photo.tags_of(image)))
    plain.info.clear()
    box = _around(marks, plain.size)
    part = plain.crop(box)
    full = part.width
    part.thumbnail((LONG_SIDE, LONG_SIDE), Image.Resampling.LANCZOS)
    canvas = np.array(part, dtype=np.uint8)
    _draw(canvas, marks, (box[0], box[1]), part.width / full)
    picture = Image.fromarray(canvas)
    _write(picture, lines)
    out = BytesIO()
    if media_type == PNG:
        picture.save(out, "PNG")
    else:
        picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _around(marks: Mapping[str, Any], size: tuple[int, int]) -> tuple[int, int, int, int]:
    """The part of the picture that matters: all marks, and as much of what is around them."""
    strokes = (*marks["tags"], *marks["limits"].values(), marks["datum"], marks["front"])
    places = np.array([place for stroke in strokes for place in stroke], dtype=np.float64)
    low, high = places.min(axis=0), places.max(axis=0)
    margin = MARGIN * float((high - low).max())
    left, top = (max(0, int(each - margin)) for each in low)
    right, bottom = (min(side, int(each + margin) + 1) for each, side in zip(high, size, strict=True))
    return left, top, max(right, left + 1), max(bottom, top + 1)


def _draw(canvas: Bytes, marks: Mapping[str, Any], corner: tuple[int, int], scale: float) -> None:
    width = max(2, max(canvas.shape) // 800)

    def placed(places: Sequence[Sequence[str]]) -> Floats:
        moved: Floats = (np.array(places, dtype=np.float64) - np.array(corner) + 0.5) * scale - 0.5
        return moved

    for tag in marks["tags"]:
        _stroke(canvas, placed(tag), TAG, max(1, width // 2), closed=True)
    for line in marks["limits"].values():
        _stroke(canvas, _longer(placed(line)), LIMIT, width)
    datum, front = placed(marks["datum"]), placed(marks["front"])
    _stroke(canvas, _longer(datum), DATUM, width)
    _stroke(canvas, _longer(front), FRONT, width)
    _arrow(canvas, datum.mean(axis=0), front.mean(axis=0), width)


def _longer(line: Floats) -> Floats:
    return line + (line - line[::-1]) * BEYOND


def _stroke(canvas: Bytes, places: Floats, colour: Colour, width: int, *, closed: bool = False) -> None:
    exact = np.round(places * 2**SHIFT).astype(np.int32)
    cv2.polylines(canvas, [exact], closed, colour, width, cv2.LINE_AA, SHIFT)


def _arrow(canvas: Bytes, start: Floats, end: Floats, width: int) -> None:
    """A line with a head at both ends, dark below light so that it shows on any ground."""
    along = (end - start) / max(float(np.linalg.norm(end - start)), 1.0)
    aside = np.array([-along[1], along[0]])
    head = 6.0 * width
    for colour, wide in ((GROUND, width + 2), (INK, width)):
        _stroke(canvas, np.stack([start, end]), colour, wide)
        for tip, inward in ((start, along), (end, -along)):
            wings = [tip + inward * head * 2 + aside * head, tip, tip + inward * head * 2 - aside * head]
            _stroke(canvas, np.stack(wings), colour, wide)


def _write(picture: Image.Image, lines: Sequence[str]) -> None:
    size = max(16, max(picture.size) // 50)
    first, other = ImageFont.load_default(size * 1.4), ImageFont.load_default(size)
    fonts = [first, *[other] * (len(lines) - 1)]
    draw = ImageDraw.Draw(picture)
    wide = max((draw.textlength(line, font) for line, font in zip(lines, fonts, strict=True)), default=0)
    margin = size // 2
    heights = [round(size * 1.9), *[round(size * 1.4)] * (len(lines) - 1)]
    draw.rectangle((0, 0, wide + 2 * margin, sum(heights) + margin), fill=GROUND)
    top = margin
    for line, font, height in zip(lines, fonts, heights, strict=True):
        draw.text((margin, top), line, INK, font)
        top += height
