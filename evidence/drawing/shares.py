"""Shares of a lock window as one bar; each part has a pattern of its own, so that it is told apart in grey print."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from evidence.drawing._palette import INK, MUTED, PAPER
from evidence.drawing._svg import line, path, rectangle, svg

WIDTH, HEIGHT = 400, 24  # user units
KEY_WIDTH, KEY_HEIGHT = 28, 16
STEP = 8  # between hatches, and between dots
LEAST = 3  # user units of a part that is there at all

Part = tuple[Fraction, Fraction]


def shares_svg(locked: str, opened: str, neither: str, colours: tuple[str, str]) -> str:
    """The bar, from the left: locked plain, open hatched, neither dotted.

    Args:
        locked: share of one, decimal text.
        opened: likewise.
        neither: likewise.
        colours: the declared ones of the locked and the open state, as ``#rrggbb``.
    """
    wanted = [Fraction(Decimal(share)) * WIDTH for share in (locked, opened, neither)]
    widths = [max(width, Fraction(LEAST)) if width else width for width in wanted]
    # what small parts were given so that they are seen, the largest gives
    largest = max(range(len(widths)), key=widths.__getitem__)
    widths[largest] += WIDTH - sum(widths)
    body, start = "", Fraction(0)
    for width, fill in zip(widths, _fills(colours), strict=True):
        if width:
            body += fill((start, start + width), HEIGHT)
        start += width
        body += line((start, 0), (start, HEIGHT), INK, 1.4) if width and start < WIDTH else ""
    return svg(WIDTH, HEIGHT, body + _edge(WIDTH, HEIGHT))


def key_svgs(colours: tuple[str, str]) -> tuple[str, str, str]:
    """What stands beside the words for locked, open and neither: a small piece of each part of the bar."""
    whole = (Fraction(0), Fraction(KEY_WIDTH))
    locked, opened, neither = (
        svg(KEY_WIDTH, KEY_HEIGHT, fill(whole, KEY_HEIGHT) + _edge(KEY_WIDTH, KEY_HEIGHT))
        for fill in _fills(colours)
    )
    return locked, opened, neither


def _fills(colours: tuple[str, str]) -> tuple[Callable[[Part, int], str], ...]:
    locked, opened = colours
    return (
        lambda part, height: rectangle((part[0], 0), (part[1] - part[0], height), locked),
        lambda part, height: (
            rectangle((part[0], 0), (part[1] - part[0], height), opened) + _hatched(part, height)
        ),
        lambda part, height: (
            rectangle((part[0], 0), (part[1] - part[0], height), PAPER) + _dotted(part, height)
        ),
    )


def _hatched(part: Part, height: int) -> str:
    left, right = part
    strokes = ""
    place = left - height + Fraction(STEP, 2)
    while place < right:
        low, high = max(Fraction(0), left - place), min(Fraction(height), right - place)
        ends = (place + low, height - low), (place + high, height - high)
        # the light stroke below keeps the hatch visible on a dark colour
        strokes += line(*ends, PAPER, 3.4) + line(*ends, INK, 1.6)
        place += STEP
    return strokes


def _dotted(part: Part, height: int) -> str:
    left, right = part
    columns = range(STEP // 2, int(right - left), STEP)
    return "".join(
        path(f"M{float(left) + x:.2f} {y}h0.01", "none", MUTED, 2.6)
        for x in columns
        for y in range(STEP // 2, height, STEP)
    )


def _edge(width: int, height: int) -> str:
    return path(f"M.8 .8H{width - 0.8}V{height - 0.8}H.8Z", "none", INK, 1.6)
