"""A static pull: force over time with the demanded load and the hold, or over displacement with what stayed behind.

Marks differ in shape and words, never in colour alone. Words and numbers of the labels come from the caller.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from evidence.drawing._axes import (
    BEYOND,
    BOTTOM,
    LEFT,
    RIGHT,
    ROOM,
    TOP,
    WIDTH,
    Axis,
    Level,
    document,
    frame,
    level_line,
    stroke,
    text,
)
from evidence.drawing._palette import INK, MUTED, PAPER
from evidence.drawing._svg import line, number, rectangle

__all__ = ["HEIGHT", "Labels", "Level", "PullPlot", "Stretch", "pull_svg", "thinned"]

CHUNKS = 1200  # parts of a curve that turns back; of one that does not, half a unit of paper is a part
HEIGHT = 150  # of the frame, so that both drawings of a pull stand on one page
_EDGE = 6  # units between a mark and its words
_WORDS = 170  # units that the words of a mark may need
_RING = 4  # radius of the mark of the peak

Point = tuple[float, float]


@dataclass(frozen=True)
class Stretch:
    """A part of the axis below, with its words."""

    begin: float
    end: float
    words: str


@dataclass(frozen=True)
class Labels:
    """What stands along the axes, units included, and all that the drawing shows for who cannot see it."""

    across: str
    up: str
    title: str
    alt: str


@dataclass(frozen=True)
class PullPlot:
    """What one drawing shows.

    Attributes:
        points: the curve, at least two of them, in the order in which they were recorded.
        labels: its words.
        levels: demanded loads.
        held: seconds of a hold; shaded.
        stayed: displacement before the load and after the release.
        peak: the greatest force.
    """

    points: Sequence[Point]
    labels: Labels
    levels: tuple[Level, ...] = ()
    held: Stretch | None = None
    stayed: Stretch | None = None
    peak: Point | None = None


def pull_svg(plot: PullPlot) -> str:
    """The drawing.

    Raises:
        ValueError: fewer than two points.
    """
    if len(plot.points) < 2:  # noqa: PLR2004 - a line has two ends
        raise ValueError("a pull needs at least two points")
    across, up = _axes(plot)
    body = _held(plot.held, across, up) + frame(across, up, plot.labels.up, plot.labels.across)
    body += "".join(level_line(level, up) for level in plot.levels)
    kept = thinned([(across.at(x), up.at(y)) for x, y in plot.points])
    body += stroke("M" + "L".join(f"{number(x)} {number(y)}" for x, y in kept), INK, 1.6)
    if plot.peak is not None:
        x, y = across.at(plot.peak[0]), up.at(plot.peak[1])
        body += f'<circle cx="{number(x)}" cy="{number(y)}" r="{_RING}" fill="{PAPER}" stroke="{INK}" stroke-width="1.6"/>'
    body += _stayed(plot.stayed, across, up)
    if plot.held is not None:
        body += _centred(plot.held, across, up)
    return document(plot.labels.title, plot.labels.alt, TOP + HEIGHT + BOTTOM, body)


def thinned(points: Sequence[Point]) -> list[Point]:
    """Points of a curve without those that lie on the same hair's width of paper between the outermost of them.

    Args:
        points: on the paper. Where they never turn back, a part is half a unit wide; else a share of all of them.
    """
    forward = all(later[0] >= earlier[0] for earlier, later in pairwise(points))
    size = max(1, len(points) // CHUNKS)
    numbered = enumerate(points)
    parts = groupby(numbered, lambda each: int(each[1][0] * 2) if forward else each[0] // size)
    return [point for _, part in parts for point in _outermost([point for _, point in part])]


def _outermost(part: Sequence[Point]) -> Iterator[Point]:
    if len(part) <= 4:  # noqa: PLR2004 - first, last, and two between them
        yield from part
        return
    places = range(len(part))
    kept = {0, len(part) - 1}
    for axis in (0, 1):
        kept.add(min(places, key=lambda at: part[at][axis]))
        kept.add(max(places, key=lambda at: part[at][axis]))
    yield from (part[at] for at in sorted(kept))


def _axes(plot: PullPlot) -> tuple[Axis, Axis]:
    beside = () if plot.stayed is None else (plot.stayed.begin, plot.stayed.end)
    xs = [*(x for x, _ in plot.points), *beside]
    ys = [0.0, *(y for _, y in plot.points), *(level.value for level in plot.levels)]
    low, high, first = min(ys), max(ys), min(xs)
    room = (high - low) * ROOM * 2 or 1.0
    across = Axis(first, max(*xs, first + 1e-6), LEFT, WIDTH - RIGHT)
    below = room if plot.stayed is None else 2 * room  # the bar and its words stand there
    return across, Axis(low - below, high + room, TOP + HEIGHT, TOP)


def _held(held: Stretch | None, across: Axis, up: Axis) -> str:
    if held is None:
        return ""
    begin, end = across.at(held.begin), across.at(held.end)
    body = rectangle((begin, up.end), (max(end - begin, 1), up.begin - up.end), BEYOND)
    return body + "".join(line((x, up.end), (x, up.begin), MUTED, 1) for x in (begin, end))


def _centred(held: Stretch, across: Axis, up: Axis) -> str:
    middle = (across.at(held.begin) + across.at(held.end)) / 2
    inside = min(max(middle, LEFT + _WORDS / 2), WIDTH - RIGHT - _WORDS / 2)
    return text(inside, up.at(0) - _EDGE, held.words, "middle")


def _stayed(stayed: Stretch | None, across: Axis, up: Axis) -> str:
    """A bar below nought from where the displacement began to where it ended."""
    if stayed is None:
        return ""
    begin, end = sorted((across.at(stayed.begin), across.at(stayed.end)))
    y = up.at(0) + _EDGE * 2
    body = line((begin, y), (end, y), INK, 2.4)
    body += "".join(line((x, up.at(0)), (x, y + 3), INK, 1.2) for x in (begin, end))
    if end + _WORDS < WIDTH - RIGHT:
        return body + text(end + _EDGE, y + 4, stayed.words, "start")
    return body + text(begin - _EDGE, y + 4, stayed.words, "end")
