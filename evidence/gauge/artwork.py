"""What is printed on strip and slider besides their tags: check lines, cutting steps, rulers, patches, a few words.

Everything is in millimetres of its own piece, u to the right and v down. Nothing dark stands nearer to a tag's square
than ``CLEAR``: it would pull the edges that are measured.
"""

from dataclasses import dataclass
from typing import Final, Literal

from evidence.gauge import geometry

VERSION: Final = "gauge-card/1"
CLEAR: Final = 1.7  # mm of white around a tag's square
CHECK: Final = 1.0  # mm from a cut edge to its check line
STEP: Final = 0.1  # mm from one cutting step to the next
STEPS: Final = 4  # to each side of the edge
STEP_LENGTH: Final = 1.5  # mm
GREY: Final = 119  # of 255, each of red, green and blue: half of the way from black to white in CIE lightness
PATCHES: Final = (
    (175.9, 5.0, 178.9, 17.0),
    (175.9, 18.2, 178.9, 27.2),
)  # mm: grey, white; left, top, right, bottom
RULER_FIRST: Final = 15.0  # mm along u where the strip's ruler begins

_FINE, _THIN, _BOLD = 0.06, 0.1, 0.25  # mm of lines
_CORNER = 1.25  # mm from a corner to the first cutting step
_SPAN = (2 * STEPS + 1) * STEP_LENGTH

Point = tuple[float, float]
Piece = Literal["strip", "slider"]


@dataclass(frozen=True)
class Stroke:
    """A straight line with flat ends; width in mm."""

    start: Point
    end: Point
    width: float = _THIN


@dataclass(frozen=True)
class Lettering:
    """A line of words.

    Attributes:
        at: left end of the baseline; of turned words its middle.
        code: of the words in the catalogue, without the prefix ``gauge-``.
        height: mm of a capital letter.
        turned: whether it is turned a quarter clockwise, so that it reads downwards.
        bold: whether it is set bold.
    """

    at: Point
    code: str
    height: float
    turned: bool = False
    bold: bool = False


def size(piece: Piece) -> tuple[float, float]:
    """Along u and v, mm."""
    return geometry.STRIP if piece == "strip" else (geometry.SLIDER, geometry.SLIDER)


def tags(piece: Piece) -> dict[int, Point]:
    """Each tag with the upper left corner of its black square."""
    if piece == "slider":
        return {geometry.SLIDER_TAG: (geometry.QUIET, geometry.QUIET)}
    return {tag: geometry.tag_corner(tag) for tag in geometry.tag_ids()}


def strokes(piece: Piece) -> list[Stroke]:
    """All lines of a piece; those of the cutting steps reach a little beyond its edges."""
    wide, high = size(piece)
    edges = [
        _Edge(wide, (0.0, 0.0), (1.0, 0.0), (0.0, 1.0)),
        _Edge(high, (wide, 0.0), (0.0, 1.0), (-1.0, 0.0)),
        _Edge(wide, (wide, high), (-1.0, 0.0), (0.0, -1.0)),
        _Edge(high, (0.0, high), (0.0, -1.0), (1.0, 0.0)),
    ]
    drawn = [stroke for edge in edges for stroke in edge.strokes()]
    return drawn + (_ruler() + _arrow() if piece == "strip" else [])


def lettering(piece: Piece) -> list[Lettering]:
    """All words of a piece."""
    wide, high = size(piece)
    if piece == "slider":
        return [
            Lettering((1.6, high - 1.5), "slider-line", 0.85),
            Lettering((wide - 2.9, high / 2), "hook-edge", 1.6, turned=True, bold=True),
        ]
    return [
        Lettering((RULER_FIRST - 1.0, high - 1.15), "mark-0", 0.8),
        Lettering((RULER_FIRST + 50.4, high - 1.15), "mark-50", 0.8),
        Lettering((RULER_FIRST + 100.4, high - 1.15), "mark-100", 0.8),
        Lettering((RULER_FIRST + geometry.RULER + 0.6, high - 1.15), "mark-150", 0.8),
        Lettering((5.0, 1.9), "strip-line", 0.8),
        Lettering((1.35, high / 2), "sill-edge", 1.6, turned=True, bold=True),
    ]


@dataclass(frozen=True)
class _Edge:
    """A cut edge: its length, where it starts, the way along it and the way into the piece."""

    length: float
    start: Point
    along: Point
    inward: Point

    def strokes(self) -> list[Stroke]:
        first, last = _CORNER, self.length - _CORNER
        drawn = [self._stroke(CHECK, (CHECK, self.length - CHECK), _THIN)]
        drawn += [self._stroke(0.0, (first + _SPAN + 0.6, last - _SPAN - 0.6), _FINE)]
        for begin in (first, last - _SPAN):
            drawn += self._steps(begin)
        return drawn

    def _steps(self, begin: float) -> list[Stroke]:
        """A flight of steps across the edge; those beyond it fall off, a tick of the check line shows the true one."""
        drawn = []
        for number in range(-STEPS, STEPS + 1):
            place = begin + (number + STEPS) * STEP_LENGTH
            drawn.append(self._stroke(number * STEP, (place, place + STEP_LENGTH), _FINE))
            middle = place + STEP_LENGTH / 2
            reach = 0.45 if number == 0 else 0.2
            drawn.append(Stroke(self._at(middle, CHECK), self._at(middle, CHECK - reach), _FINE))
        return drawn

    def _stroke(self, depth: float, ends: tuple[float, float], width: float) -> Stroke:
        return Stroke(self._at(ends[0], depth), self._at(ends[1], depth), width)

    def _at(self, place: float, depth: float) -> Point:
        return (
            round(self.start[0] + self.along[0] * place + self.inward[0] * depth, 4),
            round(self.start[1] + self.along[1] * place + self.inward[1] * depth, 4),
        )


def _ruler() -> list[Stroke]:
    """150 mm along the lower check line: every ten, and every single one of the first and last ten."""
    base = geometry.STRIP[1] - CHECK
    drawn = []
    for mark in range(int(geometry.RULER) + 1):
        if mark % 5 and 10 < mark < geometry.RULER - 10:  # noqa: PLR2004 - the middle needs no single millimetres
            continue
        reach = 0.95 if mark % 50 == 0 else 0.7 if mark % 10 == 0 else 0.3
        u = RULER_FIRST + mark
        drawn.append(Stroke((u, base), (u, base - reach), _THIN))
    return drawn


def _arrow() -> list[Stroke]:
    """A point into the vehicle, at the far end."""
    left, right, middle = 176.2, 178.4, 42.0
    return [
        Stroke((left, middle - 3), (right, middle), _BOLD),
        Stroke((right, middle), (left, middle + 3), _BOLD),
    ]
