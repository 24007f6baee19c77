"""A part of a picture around four corners that somebody or something marked in it, with the outline drawn over it."""

from collections.abc import Sequence
from math import ceil, floor

from evidence.drawing._palette import INK, PAPER
from evidence.drawing._svg import number, path, svg
from evidence.drawing.measured import PARTS, Overlay

PER_MILLE = 1000
BORDER, LINE = 0.016, 0.007  # widths of the outline's light border and of its stroke, by the part's width


def framed(
    corners: Sequence[float], size: tuple[int, int], *, margin: float, shape: float, outlined: bool = True
) -> Overlay:
    """The part of an upright picture that holds four corners with what is around them.

    Args:
        corners: x1, y1 ... x4, y4 in per mille of the picture's sides, one after the other around.
        size: of the picture, pixels.
        margin: shown around the corners, by their longer extent.
        shape: width by height of the part; the picture's end may make it slimmer or flatter.
        outlined: whether the corners are joined by a line.
    """
    places = [
        (x * size[0] / PER_MILLE, y * size[1] / PER_MILLE)
        for x, y in zip(corners[::2], corners[1::2], strict=True)
    ]
    spans = [(min(part), max(part)) for part in zip(*places, strict=True)]
    beyond = 2 * margin * max(high - low for low, high in spans)
    across, down = (max(high - low + beyond, 1.0) for low, high in spans)
    left, right = _stretch(spans[0], max(across, down * shape), size[0])
    top, bottom = _stretch(spans[1], max(down, across / shape), size[1])
    start = left * size[0] / PARTS, top * size[1] / PARTS
    width, height = right * size[0] / PARTS - start[0], bottom * size[1] / PARTS - start[1]
    steps = [f"{number(x - start[0])} {number(y - start[1])}" for x, y in places]
    outline = "M" + "L".join(steps) + "Z"
    body = path(outline, "none", PAPER, width * BORDER) + path(outline, "none", INK, width * LINE)
    drawn = svg(width, height, body if outlined else "")
    return Overlay(drawn, (left, top, right, bottom), max(round(width), 1), max(round(height), 1))


def _stretch(span: tuple[float, float], wanted: float, side: int) -> tuple[int, int]:
    """A stretch of that length around a span, moved into the side, in its ten-thousandths."""
    start = min(max(sum(span) / 2 - wanted / 2, 0.0), max(side - wanted, 0.0))
    first = min(floor(start / side * PARTS), PARTS - 1)
    return first, min(max(ceil(min(start + wanted, side) / side * PARTS), first + 1), PARTS)
