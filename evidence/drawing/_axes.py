"""Frames, scales, strokes and letters that every plot of measured values shares."""

import math
from dataclasses import dataclass
from xml.sax.saxutils import escape

from evidence.drawing._palette import INK, MUTED, PAPER, RULE
from evidence.drawing._svg import line, number, rectangle

WIDTH = 720  # user units
PANEL = 260  # height of one panel's frame
LEFT, RIGHT, TOP, BOTTOM = 70, 16, 14, 46  # around a frame
ROW = 17  # height of a row of the key
ROOM = 0.06  # of the span of values, free above and below
PALE = "#747e87"  # of a curve: 3 to 1 against paper and against a shaded part
BEYOND = "#e1e6ea"  # a shaded part: light enough to write on, dark enough to print
_SIZE = 12  # of letters
_EDGE = 6  # units between a line and its words
_TALL = 14  # of a line of letters
_CORNERS = 'stroke-linejoin="round"'


@dataclass(frozen=True)
class Axis:
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
        step = nice((self.high - self.low) / count)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [index * step for index in range(first, last + 1)]


def frame(times: Axis, values: Axis, quantity: str, time: str) -> str:
    """Lines and numbers of both axes, with their labels."""
    body = ""
    for tick in values.ticks(6):
        y = values.at(tick)
        body += line((LEFT, y), (WIDTH - RIGHT, y), MUTED if tick == 0 else RULE, 1 if tick == 0 else 0.6)
        body += text(LEFT - 6, y + 4, label(tick), "end")
    for tick in times.ticks(8):
        x = times.at(tick)
        body += line((x, values.begin), (x, values.begin + 4), MUTED, 1)
        body += text(x, values.begin + 17, label(tick), "middle")
    for corner, other in (
        ((LEFT, values.end), (LEFT, values.begin)),
        ((LEFT, values.begin), (WIDTH - RIGHT, values.begin)),
    ):
        body += line(corner, other, MUTED, 1)
    body += text((LEFT + WIDTH - RIGHT) / 2, values.begin + 34, time, "middle")
    middle = (values.begin + values.end) / 2
    return body + text(16, middle, quantity, "middle", f' transform="rotate(-90 16 {number(middle)})"')


@dataclass(frozen=True)
class Level:
    """A value that something is held against: a line across, with its words.

    Attributes:
        value: on the axis of values.
        words: beside the line.
        unit: of the panel that it belongs to; needed only where a drawing has several.
    """

    value: float
    words: str
    unit: str = ""


def level_line(level: Level, up: Axis) -> str:
    """The line, and its words inside the frame, on the side on which they lie further from a line of it."""
    y = up.at(level.value)
    lines = [up.at(tick) for tick in up.ticks(6)]
    beside = [base for base in (y - _EDGE, y + _TALL) if up.end + _TALL <= base < up.begin] or [y - _EDGE]
    base = max(beside, key=lambda each: min(abs(each - _TALL / 3 - other) for other in lines))
    body = stroke(f"M{LEFT} {number(y)}H{WIDTH - RIGHT}", MUTED, 1.6, "7 4")
    return body + text(LEFT + _EDGE, base, level.words, "start")


def document(title: str, alt: str, height: float, body: str) -> str:
    """The whole drawing around its parts."""
    box = f'viewBox="0 0 {WIDTH} {number(height)}" width="{WIDTH}" height="{number(height)}"'
    told = f"<title>{escape(title)}</title><desc>{escape(alt)}</desc>"
    letters = f'font-family="Source Sans Pro, Source Sans 3, Arial, sans-serif" font-size="{_SIZE}"'
    paper = rectangle((0, 0), (WIDTH, height), PAPER)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box} role="img" {letters}>{told}{paper}{body}</svg>'


def stroke(commands: str, colour: str, width: float, dashes: str = "") -> str:
    """A line along path commands."""
    pattern = f' stroke-dasharray="{dashes}"' if dashes else ""
    drawn = f'stroke="{colour}" stroke-width="{number(width)}"'
    return f'<path d="{commands}" fill="none" {drawn}{pattern} {_CORNERS}/>'


def text(x: float, y: float, text: str, anchor: str, more: str = "") -> str:
    """Letters at a place."""
    place = f'x="{number(x)}" y="{number(y)}"'
    return f'<text {place} text-anchor="{anchor}" fill="{INK}"{more}>{escape(text)}</text>'


def label(tick: float) -> str:
    """Number of a tick."""
    return f"{tick:.6g}".replace("-", "\u2212")


def nice(step: float) -> float:
    """The round step of 1, 2 or 5 times a power of ten that is next above."""
    power = 10.0 ** math.floor(math.log10(step))
    return next((factor * power for factor in (1, 2, 5) if factor * power >= step * (1 - 1e-9)), 10 * power)
