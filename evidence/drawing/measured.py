"""A measurement laid over its photo: tags, datum line, hook line, distance with its uncertainty, limits.

Dark strokes with a light border show on any ground and in grey print; what a line means is told by its shape.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from math import ceil, floor, hypot

from evidence.drawing._palette import ACCENT, FONT, INK, OUTCOME_TINTS, PAPER
from evidence.drawing._svg import number, path, rectangle, svg
from evidence.model.measurement import Marks, Stroke
from evidence.model.names import Outcome

PARTS = 10_000  # of a picture's side, in which the printed part of it is told
SLIMMEST = 1  # least width of the printed part by its height, and least height by its width: a square
MARGIN = 0.16  # of the marks' extent, shown around them
LIMIT = OUTCOME_TINTS[Outcome.MET].ink  # as on the limit bar
BEYOND, BEYOND_LIMIT = 0.2, 0.75  # of its length by which a line is drawn longer at both ends
LETTER = 0.52  # width of a letter by its size, on average, rounded up
UNITS = 1000  # pen widths are given in thousandths of the printed part's width
BORDER, LINE, THIN, HEAD, SIZE = 2.8, 4.0, 2.2, 13.0, 32.0
DASH = (14.0, 8.0)

Place = tuple[float, float]
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class Labels:
    """What is written into the drawing: numbers, so that it needs no language.

    Attributes:
        distance: value and uncertainty with their unit.
        datum: at the datum line.
        limits: at the line of each limit.
    """

    distance: str
    datum: str
    limits: dict[str, str]


@dataclass(frozen=True)
class Overlay:
    """A drawing over a part of a picture.

    Attributes:
        svg: as large as that part, on nothing.
        box: left, top, right and bottom of the part, in ten-thousandths of the upright picture's sides.
        width, height: of the part in pixels of the upright picture.
    """

    svg: str
    box: Box
    width: int
    height: int


def overlay(marks: Marks, labels: Labels) -> Overlay:
    """What is drawn over the part of the upright picture that the measurement is about."""
    box = _part(marks)
    left, right = box[0] * marks.width / PARTS, box[2] * marks.width / PARTS
    top, bottom = box[1] * marks.height / PARTS, box[3] * marks.height / PARTS
    pen = _Pen((left, top), (right - left, bottom - top))
    body = "".join(pen.outline(tag) for tag in marks.tags)
    body += "".join(pen.line(stroke, BEYOND_LIMIT, LIMIT, DASH) for _, stroke in sorted(marks.limits.items()))
    body += pen.line(marks.datum, BEYOND, INK) + pen.line(marks.front, BEYOND, INK)
    body += pen.arrow(marks.datum, marks.front)
    body += pen.at_end(marks.datum, labels.datum, BEYOND, last=False)
    for end, stroke in sorted(marks.limits.items()):
        # two limits lie close together, so each is named at an end of its own
        body += pen.at_end(stroke, labels.limits.get(end, ""), BEYOND_LIMIT, last=end == "high")
    body += pen.beside(marks.datum, marks.front, labels.distance)
    return Overlay(svg(*pen.size, body), box, round(pen.size[0]), round(pen.size[1]))


def _part(marks: Marks) -> Box:
    """The part of the picture that holds all marks with what is around them, neither too slim nor too flat."""
    places = [_place(corner) for tag in marks.tags for corner in tag]
    places += [place for each in (marks.datum, marks.front) for place in _longer(each, BEYOND)]
    places += [place for each in marks.limits.values() for place in _longer(each, BEYOND_LIMIT)]
    spans = [(min(part), max(part)) for part in zip(*places, strict=True)]
    margin = MARGIN * max(high - low for low, high in spans)
    wanted = [high - low + 2 * margin for low, high in spans]
    across = max(wanted[0], wanted[1] * SLIMMEST)
    down = max(wanted[1], wanted[0] * SLIMMEST)
    left, right = _stretch(spans[0], across, marks.width)
    top, bottom = _stretch(spans[1], down, marks.height)
    return left, top, right, bottom


def _stretch(span: tuple[float, float], wanted: float, side: int) -> tuple[int, int]:
    """A stretch of that length around a span, moved into the side or as long as that, in its ten-thousandths."""
    middle = sum(span) / 2
    start = min(max(middle - wanted / 2, 0.0), max(side - wanted, 0.0))
    end = min(start + wanted, float(side))
    first = min(floor(start / side * PARTS), PARTS - 1)
    return first, min(max(ceil(end / side * PARTS), first + 1), PARTS)


def _place(pixels: tuple[str, str]) -> Place:
    # a drawing counts from the edge of the first pixel, a measurement from its centre
    return float(pixels[0]) + 0.5, float(pixels[1]) + 0.5


def _longer(stroke: Stroke, beyond: float) -> tuple[Place, Place]:
    (x1, y1), (x2, y2) = _place(stroke[0]), _place(stroke[1])
    across, down = (x2 - x1) * beyond, (y2 - y1) * beyond
    return (x1 - across, y1 - down), (x2 + across, y2 + down)


def _middle(stroke: Stroke) -> Place:
    (x1, y1), (x2, y2) = _longer(stroke, 0)
    return (x1 + x2) / 2, (y1 + y2) / 2


def _unit(start: Place, end: Place) -> Place:
    length = max(hypot(end[0] - start[0], end[1] - start[1]), 1.0)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


@dataclass(frozen=True)
class _Pen:
    """Draws in pixels of the part, with widths that are the same on paper whatever the picture's size.

    Attributes:
        corner: of the part in the picture.
        size: of the part.
    """

    corner: Place
    size: Place

    @property
    def scale(self) -> float:
        return self.size[0] / UNITS

    def outline(self, corners: Iterable[tuple[str, str]]) -> str:
        points = "L".join(self._point(_place(corner)) for corner in corners)
        return self._bordered(f"M{points}Z", THIN, ACCENT)

    def line(
        self, stroke: Stroke, beyond: float, colour: str, dash: tuple[float, float] | None = None
    ) -> str:
        start, end = _longer(stroke, beyond)
        return self._bordered(f"M{self._point(start)}L{self._point(end)}", LINE, colour, dash)

    def arrow(self, datum: Stroke, front: Stroke) -> str:
        """From line to line, with a head at both ends."""
        start, end = _middle(datum), _middle(front)
        along = _unit(start, end)
        head = HEAD * self.scale
        commands = f"M{self._point(start)}L{self._point(end)}"
        for tip, sign in ((start, 1), (end, -1)):
            back = (tip[0] + sign * along[0] * 2 * head, tip[1] + sign * along[1] * 2 * head)
            wings = [(back[0] - side * along[1] * head, back[1] + side * along[0] * head) for side in (1, -1)]
            commands += f"M{self._point(wings[0])}L{self._point(tip)}L{self._point(wings[1])}"
        return self._bordered(commands, LINE, INK)

    def beside(self, datum: Stroke, front: Stroke, words: str) -> str:
        """Text to the right of the arrow's middle, or to the left where there is no room."""
        start, end = _middle(datum), _middle(front)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        gap = 2 * HEAD * self.scale
        wide, high = self._extent(words)
        right = middle[0] - self.corner[0] + gap
        left = right if right + wide <= self.size[0] else right - 2 * gap - wide
        return self._text(words, (left, middle[1] - self.corner[1] - high / 2))

    def at_end(self, stroke: Stroke, words: str, beyond: float, *, last: bool) -> str:
        """Text beyond one end of a line."""
        if not words:
            return ""
        ends = _longer(stroke, beyond)
        tip, other = (ends[1], ends[0]) if last else ends
        away = _unit(other, tip)
        wide, high = self._extent(words)
        # as far from the tip as the text's box reaches in that direction
        reach = abs(away[0]) * wide / 2 + abs(away[1]) * high / 2 + SIZE * self.scale / 4
        middle = (tip[0] + away[0] * reach - self.corner[0], tip[1] + away[1] * reach - self.corner[1])
        return self._text(words, (middle[0] - wide / 2, middle[1] - high / 2))

    def _extent(self, words: str) -> Place:
        size = SIZE * self.scale
        return LETTER * size * len(words) + 0.6 * size, 1.3 * size

    def _text(self, words: str, corner: Place) -> str:
        """Dark text on a light ground, wholly inside the part."""
        size = SIZE * self.scale
        wide, high = self._extent(words)
        left = max(0.0, min(corner[0], self.size[0] - wide))
        top = max(0.0, min(corner[1], self.size[1] - high))
        frame = THIN * self.scale / 2
        ground = rectangle((left - frame, top - frame), (wide + 2 * frame, high + 2 * frame), INK)
        ground += rectangle((left, top), (wide, high), PAPER)
        place = f'x="{number(left + wide / 2)}" y="{number(top + 0.97 * size)}" text-anchor="middle"'
        font = f'font-family="{FONT}" font-weight="600" font-size="{number(size)}" fill="{INK}"'
        return f"{ground}<text {place} {font}>{escape(words)}</text>"

    def _bordered(
        self, commands: str, width: float, colour: str, dash: tuple[float, float] | None = None
    ) -> str:
        below = path(commands, "none", PAPER, (width + 2 * BORDER) * self.scale)
        above = path(commands, "none", colour, width * self.scale)
        if dash is None:
            return below + above
        lengths = " ".join(number(part * self.scale) for part in dash)
        return below + above.replace(' stroke-linecap="round"', f' stroke-dasharray="{lengths}"')

    def _point(self, place: Place) -> str:
        return f"{number(place[0] - self.corner[0])} {number(place[1] - self.corner[1])}"
