"""A tag of the gauge card: its black square, and on it what is white."""

from evidence.drawing._palette import PAPER
from evidence.drawing._svg import path, rectangle, svg
from evidence.gauge import geometry
from evidence.gauge.words import modules

_BLACK = "#000000"  # as for other codes: a reader wants all the contrast it can get


def tag_svg(tag: int) -> str:
    """A square drawing without quiet zone; one user unit is one module.

    The square is one piece, so that no seam can move the edges that are measured.

    Raises:
        ValueError: no tag of card or slider.
    """
    side = geometry.MODULES
    white = "".join(
        f"M{column} {row}h1v1h-1z"
        for row, line in enumerate(modules(tag))
        for column, is_white in enumerate(line)
        if is_white
    )
    return svg(side, side, rectangle((0, 0), (side, side), _BLACK) + path(white, PAPER))
