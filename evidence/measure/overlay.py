"""A measurement drawn over its photo, as a picture file: tags, datum line, front edge, distance and limits.

A photo that could not be measured is shown whole, with what was found in it, and the words above it: the reason is
often at the edge, and must not lie under them.
"""

from collections.abc import Iterator, Mapping, Sequence
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
TWICE = (255, 80, 220)
LEAST_LONG = 1000  # pixels; a smaller picture is enlarged, or the words would be wider than it
INK, GROUND = (255, 255, 255), (28, 35, 41)
SHIFT = 4  # binary digits of a pixel that the vision library draws with
MARGIN = 0.5  # of the marks' extent, shown around them
BEYOND = 0.35  # of its length by which a line is drawn longer at both ends

Colour = tuple[int, int, int]
Font = ImageFont.FreeTypeFont | ImageFont.ImageFont
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]


def drawn(data: bytes, marks: Mapping[str, Any], lines: Sequence[str], media_type: str, where: str) -> bytes:
    """The part of the photo around the marks, with them, and lines of text.

    Args:
        data: JPEG, PNG or HEIC file.
        marks: document of a ``Marks``; or outlines under ``tags``, ``slider`` and ``twice``, where nothing was measured.
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
    measured = "front" in marks
    box = _around(marks, plain.size) if measured else (0, 0, *plain.size)
    part = _sized(plain.crop(box))
    canvas = np.array(part, dtype=np.uint8)
    _draw(canvas, marks, (box[0], box[1]), part.width / (box[2] - box[0]))
    picture = Image.fromarray(canvas)
    picture = _written(picture, lines) if measured else _headed(picture, lines)
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


def _sized(part: Image.Image) -> Image.Image:
    longer = max(part.size)
    scale = min(1.0, LONG_SIDE / longer) if longer >= LEAST_LONG else LEAST_LONG / longer
    size = (max(1, round(part.width * scale)), max(1, round(part.height * scale)))
    return part if scale == 1 else part.resize(size, Image.Resampling.LANCZOS)


def _draw(canvas: Bytes, marks: Mapping[str, Any], corner: tuple[int, int], scale: float) -> None:
    width = max(2, max(canvas.shape) // 800)

    def placed(places: Sequence[Sequence[str]]) -> Floats:
        moved: Floats = (np.array(places, dtype=np.float64) - np.array(corner) + 0.5) * scale - 0.5
        return moved

    for tag in marks["tags"]:
        _stroke(canvas, placed(tag), TAG, max(1, width // 2), closed=True)
    for name, colour in (("slider", FRONT), ("twice", TWICE)):
        for tag in marks.get(name, ()):
            _stroke(canvas, placed(tag), colour, width, closed=True)
    if "front" not in marks:
        return
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


def _written(picture: Image.Image, lines: Sequence[str]) -> Image.Image:
    """Lines in the upper left corner, over the picture."""
    block = _block(lines, picture)
    picture.paste(block, (0, 0))
    return picture


def _headed(picture: Image.Image, lines: Sequence[str]) -> Image.Image:
    """Lines above the picture, which stays whole."""
    block = _block(lines, picture)
    whole = Image.new("RGB", (picture.width, picture.height + block.height), GROUND)
    whole.paste(block, (0, 0))
    whole.paste(picture, (0, block.height))
    return whole


def _block(lines: Sequence[str], picture: Image.Image) -> Image.Image:
    """Lines as a picture of their own, the first one larger, none wider than the picture below."""
    size = max(16, max(picture.size) // 50)
    margin = size // 2
    pen = ImageDraw.Draw(Image.new("L", (1, 1)))
    sizes = [size * 1.4, *[size] * (len(lines) - 1)]
    most = picture.width - 2 * margin
    rows = [
        (row, font, round(high * 1.4))
        for line, high in zip(lines, sizes, strict=True)
        for font in [ImageFont.load_default(high)]
        for row in _rows(line, font, most, pen)
    ]
    wide = max((pen.textlength(row, font) for row, font, _ in rows), default=0)
    block = Image.new(
        "RGB", (round(wide) + 2 * margin, sum(high for _, _, high in rows) + 2 * margin), GROUND
    )
    draw, top = ImageDraw.Draw(block), margin
    for row, font, high in rows:
        draw.text((margin, top), row, INK, font)
        top += high
    return block


def _rows(line: str, font: Font, most: float, pen: ImageDraw.ImageDraw) -> Iterator[str]:
    """A line broken between words where it is too wide; a single word never is broken."""
    row = ""
    for word in line.split(" "):
        longer = f"{row} {word}" if row else word
        if row and pen.textlength(longer, font) > most:
            yield row
            longer = word
        row = longer
    yield row
