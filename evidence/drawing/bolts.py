"""A bolt pattern from above, once per direction of load: shear as arrows, pull as rings, figures in a table beside it.

Nothing rests on colour. Places are in mm, x forward and y to the right; forward is to the right of the paper.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal
from xml.sax.saxutils import escape

from evidence.drawing._palette import BAND, INK, MUTED, PAPER, RULE
from evidence.drawing._svg import line, number, path, rectangle

WIDTH = 720  # user units
PLAN = 330  # width of a plan
HEIGHT = 230  # least height of a plan
MARGIN = 14
HEAD, ROW = 24, 17  # heights of a title and of a row
COLUMNS = (PLAN + 3 * MARGIN, PLAN + 170, PLAN + 270, WIDTH - MARGIN)
RADIUS = 7  # of a bolt
ARROW = 46  # of the greatest shear
RING = 6  # width of the ring of the greatest pull
_ROOM = 56  # around the places, for arrows and names
_SIZE = 12  # of letters
_NAME_SIZE = 11
_HALO = f' paint-order="stroke" stroke="{PAPER}" stroke-width="3"'  # names cross the lines of the plate

Edge = Literal["front", "rear", "left", "right"]
Point = tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """A bolt: its name, its place in mm, its pull (negative: pressed) and shear in N, and what its row says."""

    name: str
    at: Point
    pull: float
    shear: Point
    row: tuple[str, str, str]


@dataclass(frozen=True)
class Panel:
    """One direction of load: its title, the bolts, and the edge about which the plate turns."""

    title: str
    spots: tuple[Spot, ...]
    edge: Edge | None


@dataclass(frozen=True)
class Words:
    """Labels: headings of the four columns, notes below, and all that is shown for who cannot see it."""

    columns: tuple[str, str, str, str]
    notes: tuple[str, ...]
    title: str
    alt: str


@dataclass(frozen=True)
class Pattern:
    """What one drawing shows.

    Attributes:
        panels: one per direction.
        words: labels.
        gravity: centre of gravity of the masses.
        centroid: of the bolt areas.
        plate: corners rear left and front right, where they are known.
    """

    panels: tuple[Panel, ...]
    words: Words
    gravity: Point
    centroid: Point
    plate: tuple[Point, Point] | None = None


@dataclass(frozen=True)
class _Scale:
    """From mm and N to the paper."""

    origin: Point
    factor: float
    middle: Point
    shear: float
    pull: float

    def at(self, place: Point) -> Point:
        """Where a place lies on the paper."""
        x, y = (self.middle[axis] + (place[axis] - self.origin[axis]) * self.factor for axis in (0, 1))
        return x, y


def bolts_svg(pattern: Pattern) -> str:
    """Panels below each other, all to one scale of places and of loads.

    Raises:
        ValueError: nothing to draw.
    """
    if not pattern.panels or not all(panel.spots for panel in pattern.panels):
        raise ValueError("a drawing needs a direction with bolts")
    body, top = "", float(MARGIN)
    for panel in pattern.panels:
        height = max(HEIGHT, ROW * (len(panel.spots) + 2))
        body += _panel(pattern, panel, top, height)
        top += HEAD + height + MARGIN
    for note in pattern.words.notes:
        body += _text((MARGIN, top + ROW - 5), note, size=_NAME_SIZE)
        top += ROW
    return _document(pattern.words, top + MARGIN, body)


def _document(words: Words, height: float, body: str) -> str:
    box = f'viewBox="0 0 {WIDTH} {number(height)}" width="{WIDTH}" height="{number(height)}"'
    told = f"<title>{escape(words.title)}</title><desc>{escape(words.alt)}</desc>"
    letters = f'font-family="Source Sans Pro, Source Sans 3, Arial, sans-serif" font-size="{_SIZE}"'
    paper = rectangle((0, 0), (WIDTH, height), PAPER)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box} role="img" {letters}>{told}{paper}{body}</svg>'


def _panel(pattern: Pattern, panel: Panel, top: float, height: float) -> str:
    scale = _scale(pattern, (MARGIN + PLAN / 2, top + HEAD + height / 2), height)
    body = _text((MARGIN, top + 15), panel.title, more=' font-weight="bold"')
    body += rectangle((MARGIN, top + HEAD), (PLAN, height), BAND)
    if pattern.plate:
        body += _plate(scale, pattern.plate, panel.edge)
    body += _cross(scale.at(pattern.centroid)) + _diamond(scale.at(pattern.gravity))
    for spot in panel.spots:
        body += _spot(scale, spot)
    return body + _rows(pattern.words, panel.spots, top + HEAD)


def _scale(pattern: Pattern, middle: Point, height: float) -> _Scale:
    """One scale for all panels: the plan that is least high decides."""
    spots = [spot for panel in pattern.panels for spot in panel.spots]
    places = [*(spot.at for spot in spots), pattern.gravity, pattern.centroid, *(pattern.plate or ())]
    spans = [(min(place[axis] for place in places), max(place[axis] for place in places)) for axis in (0, 1)]
    rooms = (PLAN - 2 * _ROOM, height - 2 * _ROOM)
    factors = [room / (high - low) for room, (low, high) in zip(rooms, spans, strict=True) if high > low]
    return _Scale(
        ((spans[0][0] + spans[0][1]) / 2, (spans[1][0] + spans[1][1]) / 2),
        min(factors, default=1.0),
        middle,
        ARROW / (max(math.hypot(*spot.shear) for spot in spots) or 1.0),
        RING / (max(abs(spot.pull) for spot in spots) or 1.0),
    )


def _plate(scale: _Scale, corners: tuple[Point, Point], edge: Edge | None) -> str:
    (left, top), (right, bottom) = scale.at(corners[0]), scale.at(corners[1])
    sides: dict[Edge, tuple[Point, Point]] = {
        "front": ((right, top), (right, bottom)),
        "rear": ((left, top), (left, bottom)),
        "left": ((left, top), (right, top)),
        "right": ((left, bottom), (right, bottom)),
    }
    body = rectangle((left, top), (right - left, bottom - top), PAPER)
    return body + "".join(
        line(*ends, INK if side == edge else MUTED, 4 if side == edge else 1) for side, ends in sides.items()
    )


def _spot(scale: _Scale, spot: Spot) -> str:
    x, y = scale.at(spot.at)
    width = 1 + abs(spot.pull) * scale.pull
    dashes = ' stroke-dasharray="3 2"' if spot.pull < 0 else ""
    ring = f'fill="{PAPER}" stroke="{INK}" stroke-width="{number(width)}"{dashes}'
    body = f'<circle cx="{number(x)}" cy="{number(y)}" r="{RADIUS}" {ring}/>'
    body += _arrow((x, y), (spot.shear[0] * scale.shear, spot.shear[1] * scale.shear))
    side = -1 if spot.shear[0] > 0 else 1  # beside the arrow, not under it
    place = (x + side * (RADIUS + RING), y - RADIUS)
    return body + _text(place, spot.name, "end" if side < 0 else "start", _NAME_SIZE, _HALO)


def _arrow(start: Point, way: Point) -> str:
    length = math.hypot(*way)
    if length < 1:
        return ""
    unit = (way[0] / length, way[1] / length)
    end = (start[0] + way[0], start[1] + way[1])
    back = (end[0] - 7 * unit[0], end[1] - 7 * unit[1])
    wings = [(back[0] + turn * unit[1], back[1] - turn * unit[0]) for turn in (3, -3)]
    corners = "L".join(f"{number(x)} {number(y)}" for x, y in (end, *wings))
    return line(start, end, INK, 1.2) + path(f"M{corners}Z", INK)


def _cross(at: Point) -> str:
    x, y = at
    return line((x - 5, y), (x + 5, y), MUTED, 1.5) + line((x, y - 5), (x, y + 5), MUTED, 1.5)


def _diamond(at: Point) -> str:
    x, y = at
    corners = "L".join(f"{number(x + dx)} {number(y + dy)}" for dx, dy in ((0, -6), (6, 0), (0, 6), (-6, 0)))
    return path(f"M{corners}Z", "none", MUTED, 1.5)


def _rows(words: Words, spots: Sequence[Spot], top: float) -> str:
    y = top + ROW
    body = _row(y, words.columns)
    body += line((COLUMNS[0], y + 5), (WIDTH - MARGIN, y + 5), RULE, 1)
    for index, spot in enumerate(spots, start=1):
        body += _row(y + 4 + ROW * index, (spot.name, *spot.row))
    return body


def _row(y: float, cells: Sequence[str]) -> str:
    anchors = ("start", "end", "end", "end")
    return "".join(
        _text((x, y), cell, anchor) for x, cell, anchor in zip(COLUMNS, cells, anchors, strict=True)
    )


def _text(at: Point, text: str, anchor: str = "start", size: int = _SIZE, more: str = "") -> str:
    place = f'x="{number(at[0])}" y="{number(at[1])}" text-anchor="{anchor}" font-size="{size}"'
    return f'<text {place} fill="{INK}"{more}>{escape(text)}</text>'
