"""Measured channels over time: one panel per unit, told apart in grey print, with an optional corridor.

Each trace has a dash pattern and a weight of its own and its name in the key; nothing rests on colour. Words and
numbers of the labels come from the caller.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from evidence.drawing._axes import (
    BEYOND,
    BOTTOM,
    LEFT,
    PALE,
    PANEL,
    RIGHT,
    ROOM,
    ROW,
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
from evidence.drawing._svg import number, rectangle

__all__ = [
    "LEFT",
    "MAX_TRACES",
    "PANEL",
    "RIGHT",
    "TOP",
    "WIDTH",
    "Level",
    "Mark",
    "Plot",
    "Trace",
    "Words",
    "plot_svg",
]

MAX_TRACES = 8
_STYLES: tuple[tuple[str, float, str], ...] = (
    (INK, 1.8, ""),
    (INK, 1.2, "7 3"),
    (PALE, 2.4, ""),
    (INK, 1.4, "1.5 2.5"),
    (PALE, 1.8, "9 3 2 3"),
    (INK, 0.8, ""),
    (PALE, 1.4, "3 3"),
    (INK, 2.4, "12 4"),
)
"""Stroke, width and dashes; all eight differ without colour."""
_RADIUS = 4.5  # of a mark

Line = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Trace:
    """A channel: its name for the key, its unit, and evenly spaced values from a first time in ms on.

    Attributes:
        times_ms: of a curve that was thinned out before, the time of each value; it is then drawn as it is.
    """

    name: str
    unit: str
    start_ms: float
    step_ms: float
    values: Sequence[float]
    times_ms: Sequence[float] = ()

    @property
    def end_ms(self) -> float:
        """Time of the last value."""
        return self.times_ms[-1] if self.times_ms else self.start_ms + (len(self.values) - 1) * self.step_ms


@dataclass(frozen=True)
class Mark:
    """A place on a curve: in the panel of its unit, with its words in the key."""

    at_ms: float
    value: float
    unit: str
    shape: Literal["ring", "diamond"]
    words: str


@dataclass(frozen=True)
class Words:
    """Labels of the drawing: of the time axis with its unit, of the corridor, and all that it shows for who cannot see it."""

    time: str
    corridor: str
    title: str
    alt: str


@dataclass(frozen=True)
class Plot:
    """What one drawing shows.

    Attributes:
        traces: one to ``MAX_TRACES``.
        words: labels.
        quantities: unit to the label of its axis, unit included.
        upper, lower: corridor as (ms, value); drawn in the panel of the first trace.
        levels: what values are held against, each in the panel of its unit.
        marks: places on the curves.
        panel: height of one panel's frame.
    """

    traces: tuple[Trace, ...]
    words: Words
    quantities: dict[str, str]
    upper: Line = ()
    lower: Line = ()
    levels: tuple[Level, ...] = ()
    marks: tuple[Mark, ...] = ()
    panel: float = PANEL


def plot_svg(plot: Plot) -> str:
    """Panels below each other, one per unit, over one time axis.

    Raises:
        ValueError: no trace, more than ``MAX_TRACES``, or one without values.
    """
    if not 1 <= len(plot.traces) <= MAX_TRACES or not all(trace.values for trace in plot.traces):
        raise ValueError("a plot needs one to eight traces with values")
    units = list(dict.fromkeys(trace.unit for trace in plot.traces))
    # a corridor that outlasts the record is seen to do so
    bounds = [at for at, _ in (*plot.upper, *plot.lower)]
    begin = min(*(trace.start_ms for trace in plot.traces), *bounds, plot.traces[0].start_ms)
    end = max(*(trace.end_ms for trace in plot.traces), *bounds, plot.traces[0].end_ms)
    times = Axis(begin, max(end, begin + 1e-6), LEFT, WIDTH - RIGHT)
    body, top = "", float(TOP)
    for index, unit in enumerate(units):
        corridor = (plot.upper, plot.lower) if index == 0 else ((), ())
        body += _panel(plot, unit, times, top, corridor)
        top += plot.panel + BOTTOM
    body += _key(plot, top)
    rows = len(plot.traces) + (1 if plot.upper or plot.lower else 0) + len(plot.marks)
    height = top + ROW * rows + TOP
    return document(plot.words.title, plot.words.alt, height, body)


def _panel(plot: Plot, unit: str, times: Axis, top: float, bounds: tuple[Line, Line]) -> str:
    shown = [(at, trace) for at, trace in enumerate(plot.traces) if trace.unit == unit]
    lines = [level for level in plot.levels if level.unit == unit]
    levels = [point[1] for bound in bounds for point in bound] + [line.value for line in lines]
    low = min(*(min(trace.values) for _, trace in shown), 0.0, *levels)
    high = max(*(max(trace.values) for _, trace in shown), 0.0, *levels)
    room = (high - low) * ROOM or 1.0
    values = Axis(low - room, high + room, top + plot.panel, top)
    body = frame(times, values, plot.quantities.get(unit, unit), plot.words.time)
    body += _corridor(times, values, bounds)
    for at, trace in shown:
        body += stroke(_commands(trace, times, values), *_STYLES[at])
    body += "".join(level_line(line, values) for line in lines)
    marks = (mark for mark in plot.marks if mark.unit == unit)
    return body + "".join(_sign(mark, times.at(mark.at_ms), values.at(mark.value)) for mark in marks)


def _sign(mark: Mark, x: float, y: float) -> str:
    drawn = f'fill="{PAPER}" stroke="{INK}" stroke-width="1.6"'
    if mark.shape == "ring":
        return f'<circle cx="{number(x)}" cy="{number(y)}" r="{_RADIUS}" {drawn}/>'
    left, right, above, below = (
        number(each) for each in (x - _RADIUS, x + _RADIUS, y - _RADIUS, y + _RADIUS)
    )
    way = f"M{left} {number(y)}L{number(x)} {above}L{right} {number(y)}L{number(x)} {below}Z"
    return f'<path d="{way}" {drawn}/>'


def _corridor(times: Axis, values: Axis, bounds: tuple[Line, Line]) -> str:
    """Bounds as dotted lines, shaded on the side where the curve must not be."""
    body = ""
    for bound, edge in zip(bounds, (values.end, values.begin), strict=True):
        if not bound:
            continue
        points = [(times.at(x), values.at(y)) for x, y in bound if times.low <= x <= times.high]
        if not points:
            continue
        way = "L".join(f"{number(x)} {number(y)}" for x, y in points)
        first, last = number(points[0][0]), number(points[-1][0])
        body += f'<path d="M{first} {number(edge)}L{way}L{last} {number(edge)}Z" fill="{BEYOND}"/>'
        body += stroke("M" + way, MUTED, 2.2, "2 3")
    return body


def _commands(trace: Trace, times: Axis, values: Axis) -> str:
    """The curve as one path; where several samples share a hair's width of paper, their least and greatest stand."""
    if trace.times_ms:
        pairs = zip(trace.times_ms, trace.values, strict=True)
        return "M" + "L".join(f"{number(times.at(at))} {number(values.at(value))}" for at, value in pairs)
    columns = max(1, int((times.end - times.begin) * 2))
    size = max(1, len(trace.values) // columns)
    points: list[tuple[int, float]] = []
    for begin in range(0, len(trace.values), size):
        part = trace.values[begin : begin + size]
        low, high = min(part), max(part)
        where = sorted({(begin + part.index(low), low), (begin + part.index(high), high)})
        points += where
    return "M" + "L".join(
        f"{number(times.at(trace.start_ms + at * trace.step_ms))} {number(values.at(value))}"
        for at, value in points
    )


def _key(plot: Plot, top: float) -> str:
    body = ""
    for at, trace in enumerate(plot.traces):
        y = top + ROW * at
        body += stroke(f"M{LEFT} {number(y)}H{LEFT + 44}", *_STYLES[at])
        body += text(LEFT + 54, y + 4, trace.name, "start")
    if plot.upper or plot.lower:
        y = top + ROW * len(plot.traces)
        body += rectangle((LEFT, y - 6), (44, 6), BEYOND)
        body += stroke(f"M{LEFT} {number(y)}H{LEFT + 44}", MUTED, 2.2, "2 3")
        body += text(LEFT + 54, y + 4, plot.words.corridor, "start")
    first = len(plot.traces) + (1 if plot.upper or plot.lower else 0)
    for at, mark in enumerate(plot.marks, first):
        y = top + ROW * at
        body += _sign(mark, LEFT + 22, y) + text(LEFT + 54, y + 4, mark.words, "start")
    return body
