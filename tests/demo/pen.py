"""Entries by pen: blue, uneven, and the same in every run."""

from numpy.random import Generator
from PIL import Image, ImageDraw

from tests.demo import scans

INK = (26, 42, 148)
Point = tuple[float, float]


class Pen:
    """Writes on one page.

    Attributes:
        rng: rules how uneven the hand is.
    """

    def __init__(self, page: Image.Image, per_mm: float, rng: Generator) -> None:
        """Take a page that has so many pixels a millimetre."""
        self._draw = ImageDraw.Draw(page)
        self._per_mm = per_mm
        self.rng = rng

    def write(self, at: Point, words: str, *, most: float = 60, mm: float = 4.0) -> None:
        """Write words on a base line, smaller where they would be wider than ``most``.

        Args:
            at: left end of the base line in mm.
            words: what is written.
            most: width in mm.
            mm: size of the letters.
        """
        face = scans.font("SemiboldIt", mm, self._per_mm)
        wide = face.getlength(words) / self._per_mm
        if wide > most:
            face = scans.font("SemiboldIt", mm * most / wide, self._per_mm)
        x = (at[0] + self._jitter(6)) * self._per_mm
        base = (at[1] + self._jitter(5)) * self._per_mm
        slope = self._jitter(2)
        for letter in words:
            up = self._jitter(2) * self._per_mm
            self._draw.text((x, base + up), letter, fill=INK, font=face, anchor="ls")
            step = face.getlength(letter)
            x, base = x + step, base + step * slope / 10

    def tick(self, at: Point) -> None:
        """Tick a box whose upper left corner is there."""
        points = [(0.8, 2.6), (2.3, 4.6), (5.4, -0.6)]
        self._line([(at[0] + x + self._jitter(4), at[1] + y + self._jitter(4)) for x, y in points])

    def sign(self, at: Point) -> None:
        """A scribble for a signature that is nobody's."""
        points = [
            (at[0] + 2.1 * place, at[1] - (3.6 if place % 2 else 0.2) + self._jitter(12))
            for place in range(14)
        ]
        self._line([*points, (at[0] + 38.0, at[1] - 1.5)])

    def smudge(self, at: Point) -> None:
        """A value that nobody can read."""
        for _ in range(5):
            line = [
                (at[0] + 1.2 * place + self._jitter(9), at[1] - 1.6 + self._jitter(16)) for place in range(9)
            ]
            self._line(line)

    def _line(self, points: list[Point]) -> None:
        drawn = [(x * self._per_mm, y * self._per_mm) for x, y in points]
        self._draw.line(drawn, fill=INK, width=max(2, round(0.45 * self._per_mm)), joint="curve")

    def _jitter(self, tenths: int) -> float:
        """Up to so many tenths of a millimetre to either side."""
        return float(self.rng.integers(-tenths * 10, tenths * 10 + 1)) / 100
