"""Curves over time made of polynomials, a damped ringing made by recurrence, and noise with a seed."""

import random
from collections.abc import Callable
from dataclasses import dataclass

Curve = Callable[[float], float]
"""Seconds from the impact to a value."""

# a ringing of about 250 Hz at 10 kHz that loses 1.4 percent in each step: 2 r cos w, r squared and sin w, written as
# decimals so that no library's cosine decides about them
_RING_TURN, _RING_DAMP, _RING_START = 1.948_120, 0.972_196, 0.155


def smooth(share: float) -> float:
    """0 up to nought, 1 from one on, and a smooth step between."""
    inside = min(1.0, max(0.0, share))
    return inside * inside * (3.0 - 2.0 * inside)


@dataclass(frozen=True)
class Trapezoid:
    """A pulse that rises, holds and falls by smooth steps.

    Attributes:
        peak: while it holds.
        rise_s, hold_s, fall_s: how long each part takes.
    """

    peak: float
    rise_s: float
    hold_s: float
    fall_s: float

    @classmethod
    def with_area(cls, area: float, peak: float, rise_s: float, fall_s: float) -> "Trapezoid":
        """The one with this area under it; a smooth step has half the area of its box."""
        hold = area / peak - (rise_s + fall_s) / 2.0
        if hold < 0:
            raise ValueError(area, peak)
        return cls(peak, rise_s, hold, fall_s)

    @property
    def end_s(self) -> float:
        """When it is over."""
        return self.rise_s + self.hold_s + self.fall_s

    def __call__(self, time: float) -> float:
        """Value at a time."""
        fall = 1.0 - smooth((time - self.rise_s - self.hold_s) / self.fall_s)
        return self.peak * smooth(time / self.rise_s) * fall


@dataclass(frozen=True)
class Bump:
    """A single hill, nearly a haversine: 16 t² (1 - t)² of its length.

    Attributes:
        peak: in its middle.
        begin_s, length_s: from when and for how long.
    """

    peak: float
    begin_s: float
    length_s: float

    def __call__(self, time: float) -> float:
        """Value at a time."""
        share = (time - self.begin_s) / self.length_s
        if not 0.0 < share < 1.0:
            return 0.0
        side = share * (1.0 - share)
        return self.peak * 16.0 * side * side


@dataclass(frozen=True)
class Stretch:
    """A displacement that grows to its greatest value and comes back to what remains.

    Attributes:
        most, remains: greatest value and value at the end.
        begin_s, most_s, end_s: when it begins, is greatest, and rests.
    """

    most: float
    remains: float
    begin_s: float
    most_s: float
    end_s: float

    def __call__(self, time: float) -> float:
        """Value at a time."""
        grown = self.most * smooth((time - self.begin_s) / (self.most_s - self.begin_s))
        back = (self.most - self.remains) * smooth((time - self.most_s) / (self.end_s - self.most_s))
        return grown - back


def noise(seed: int, count: int, size: float) -> list[float]:
    """Values around nought, the sum of four even ones, at most ``size`` from it."""
    draw = random.Random(seed).random  # noqa: S311 - the same on every machine is what is wanted
    return [(draw() + draw() + draw() + draw() - 2.0) * size / 2.0 for _ in range(count)]


def ringing(count: int, first: int, size: float) -> list[float]:
    """A structure that rings on from the sample ``first``; at most about ``size``."""
    values, before, now = [0.0] * count, 0.0, size * _RING_START
    for at in range(first, count):
        values[at] = now
        before, now = now, _RING_TURN * now - _RING_DAMP * before
    return values
