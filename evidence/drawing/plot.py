"""Measured channels over time: one panel per unit, told apart in grey print, with an optional corridor.

Each trace has a dash pattern and a weight of its own and its name in the key; nothing rests on colour. Words and
numbers of the labels come from the caller.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from evidence.drawing._palette import INK, MUTED, PAPER, RULE
from evidence.drawing._svg import line, number, rectangle

WIDTH = 720  # user units
PANEL = 260  # height of one panel's frame
LEFT, RIGHT, TOP, BOTTOM = 70, 16, 14, 46  # around a frame
ROW = 17  # height of a row of the key
MAX_TRACES = 8
_PALE = "#8a949c"
_BEYOND = "#e1e6ea"  # what lies outside a corridor; light enough to write on, dark enough to print
_STYLES: tuple[tuple[str, float, str], ...] = (
    (INK, 1.8, ""),
    (INK, 1.2, "7 3"),
    (_PALE, 2.4, ""),
    (INK, 1.4, "1.5 2.5"),
    (_PALE, 1.8, "9 3 2 3"),
    (INK, 0.8, ""),
    (_PALE, 1.4, "3 3"),
    (INK, 2.4, "12 4"),
)
"""Stroke, width and dashes; all eight differ without colour."""
_SIZE = 12  # of letters
_ROOM = 0.06  # of the span of values, free above and below
_CORNERS = 'stroke-linejoin="round"'

Line = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Trace:
    """A channel: its name for the key, its unit, and evenly spaced values from a first time in ms on."""

    name: str
    unit: str
    start_ms: float
    step_ms: float
    values: Sequence[float]


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
    """

    traces: tuple[Trace, ...]
    words: Words
    quantities: dict[str, str]
    upper: Line = ()
    lower: Line = ()


@dataclass(frozen=True)
class _Axis:
    """A scale: what it spans, and where on the paper its ends lie."""

    low: float
    high: float
    begin: float
    end: float

    def at(self, value: float) -> float:
        """Place of a value."""
        return self.begin + (value - self.low) / (self.high - self.low) * (self.end - self.begin)

    def ticks(self, count: int) -> list[float]:
        """Round numbers inside, about ``count`` of them."""
        step = _nice((self.high - self.low) / count)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [index * step for index in range(first, last + 1)]


def plot_svg(plot: Plot) -> str:
    """Panels below each other, one per unit, over one time axis.

    Raises:
        ValueError: no trace, more than ``MAX_TRACES``, or one without values.
    """
    if not 1 <= len(plot.traces) <= MAX_TRACES or not all(trace.values for trace in plot.traces):
        raise ValueError("a plot needs one to eight traces with values")
    units = list(dict.fromkeys(trace.unit for trace in plot.traces))
    begin = min(trace.start_ms for trace in plot.traces)
    end = max(trace.start_ms + (len(trace.values) - 1) * trace.step_ms for trace in plot.traces)
    times = _Axis(begin, max(end, begin + 1e-6), LEFT, WIDTH - RIGHT)
    body, top = "", float(TOP)
    for index, unit in enumerate(units):
        bounds = (plot.upper, plot.lower) if index == 0 else ((), ())
        body += _panel(plot, unit, times, top, bounds)
        top += PANEL + BOTTOM
    body += _key(plot, top)
    height = top + ROW * (len(plot.traces) + (1 if plot.upper or plot.lower else 0)) + TOP
    return _document(plot.words, height, body)


def _document(words: Words, height: float, body: str) -> str:
    box = f'viewBox="0 0 {WIDTH} {number(height)}" width="{WIDTH}" height="{number(height)}"'
    told = f"<title>{escape(words.title)}</title><desc>{escape(words.alt)}</desc>"
    letters = f'font-family="Source Sans Pro, Source Sans 3, Arial, sans-serif" font-size="{_SIZE}"'
    paper = rectangle((0, 0), (WIDTH, height), PAPER)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box} role="img" {letters}>{told}{paper}{body}</svg>'


def _panel(plot: Plot, unit: str, times: _Axis, top: float, bounds: tuple[Line, Line]) -> str:
    shown = [(at, trace) for at, trace in enumerate(plot.traces) if trace.unit == unit]
    levels = [point[1] for bound in bounds for point in bound]
    low = min(*(min(trace.values) for _, trace in shown), 0.0, *levels)
    high = max(*(max(trace.values) for _, trace in shown), 0.0, *levels)
    room = (high - low) * _ROOM or 1.0
    values = _Axis(low - room, high + room, top + PANEL, top)
    body = _frame(times, values, plot.quantities.get(unit, unit), plot.words.time)
    body += _corridor(times, values, bounds)
    for at, trace in shown:
        body += _stroke(_commands(trace, times, values), *_STYLES[at])
    return body


def _frame(times: _Axis, values: _Axis, quantity: str, time: str) -> str:
    body = ""
    for tick in values.ticks(6):
        y = values.at(tick)
        body += line((LEFT, y), (WIDTH - RIGHT, y), MUTED if tick == 0 else RULE, 1 if tick == 0 else 0.6)
        body += _text(LEFT - 6, y + 4, _label(tick), "end")
    for tick in times.ticks(8):
        x = times.at(tick)
        body += line((x, values.begin), (x, values.begin + 4), MUTED, 1)
        body += _text(x, values.begin + 17, _label(tick), "middle")
    for corner, other in (
        ((LEFT, values.end), (LEFT, values.begin)),
        ((LEFT, values.begin), (WIDTH - RIGHT, values.begin)),
    ):
        body += line(corner, other, MUTED, 1)
    body += _text((LEFT + WIDTH - RIGHT) / 2, values.begin + 34, time, "middle")
    middle = (values.begin + values.end) / 2
    return body + _text(16, middle, quantity, "middle", f' transform="rotate(-90 16 {number(middle)})"')


def _corridor(times: _Axis, values: _Axis, bounds: tuple[Line, Line]) -> str:
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
        body += f'<path d="M{first} {number(edge)}L{way}L{last} {number(edge)}Z" fill="{_BEYOND}"/>'
        body += _stroke("M" + way, MUTED, 2.2, "2 3")
    return body


def _commands(trace: Trace, times: _Axis, values: _Axis) -> str:
    """The curve as one path; where several samples share a hair's width of paper, their least and greatest stand."""
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
        body += _stroke(f"M{LEFT} {number(y)}H{LEFT + 44}", *_STYLES[at])
        body += _text(LEFT + 54, y + 4, trace.name, "start")
    if plot.upper or plot.lower:
        y = top + ROW * len(plot.traces)
        body += rectangle((LEFT, y - 6), (44, 6), _BEYOND)
        body += _stroke(f"M{LEFT} {number(y)}H{LEFT + 44}", MUTED, 2.2, "2 3")
        body += _text(LEFT + 54, y + 4, plot.words.corridor, "start")
    return body


def _stroke(commands: str, colour: str, width: float, dashes: str) -> str:
    pattern = f' stroke-dasharray="{dashes}"' if dashes else ""
    drawn = f'stroke="{colour}" stroke-width="{number(width)}"'
    return f'<path d="{commands}" fill="none" {drawn}{pattern} {_CORNERS}/>'


def _text(x: float, y: float, text: str, anchor: str, more: str = "") -> str:
    place = f'x="{number(x)}" y="{number(y)}"'
    return f'<text {place} text-anchor="{anchor}" fill="{INK}"{more}>{escape(text)}</text>'


def _label(tick: float) -> str:
    return f"{tick:.6g}".replace("-", "\u2212")


def _nice(step: float) -> float:
    """The round step of 1, 2 or 5 times a power of ten that is next above."""
    power = 10.0 ** math.floor(math.log10(step))
    return next((factor * power for factor in (1, 2, 5) if factor * power >= step * (1 - 1e-9)), 10 * power)
