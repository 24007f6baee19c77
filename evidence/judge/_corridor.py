"""Polylines against polylines in exact fractions: where a channel comes nearest to a corridor, or leaves it."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

Points = list[tuple[Fraction, Fraction]]
"""Points (x, y), sorted by x; two of one x are a step."""


@dataclass(frozen=True)
class Margin:
    """Distance to the bound along y, negative outside, and where along x."""

    value: Fraction
    x: Fraction


def spans(channel: Points, corridor: Points) -> bool:
    """Whether the channel reaches from the first to the last break point of the corridor."""
    return bool(channel) and channel[0][0] <= corridor[0][0] and channel[-1][0] >= corridor[-1][0]


def worst(channel: Points, upper: Points, lower: Points) -> Margin:
    """The least margin of a channel that spans both polylines; either may be empty, not both."""
    margins = [Margin(bound - y, x) for x, y, bound in _pairs(channel, upper, sign=1)]
    margins += [Margin(y - bound, x) for x, y, bound in _pairs(channel, lower, sign=-1)]
    return min(margins, key=lambda margin: (margin.value, margin.x))


def _pairs(channel: Points, bound: Points, *, sign: int) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """(x, y of the channel, y of the bound) at every sample in the bound's span and at its break points."""
    if not bound:
        return
    first, last = bound[0][0], bound[-1][0]
    for x, y in channel:
        if first <= x <= last:
            yield x, y, _at(bound, x, sign)
    for x, _ in bound:
        # the channel's own worse side, where it steps at that very place
        yield x, _at(channel, x, sign), _at(bound, x, sign)


def _at(line: Points, x: Fraction, sign: int) -> Fraction:
    """The y of a polyline at x; at a step the greater (sign 1) or lesser (sign -1) side, the line itself included."""
    left = bisect_left(line, x, key=lambda point: point[0])
    right = bisect_right(line, x, key=lambda point: point[0])
    if left < right:
        return sign * max(sign * y for _, y in line[left:right])
    (x0, y0), (x1, y1) = line[left - 1], line[left]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
