"""How long a sampled curve stays at or above a level, and the level at which it does so for a given time.

The curve is straight between its samples, so a crossing lies where the straight line crosses. Times are in samples,
counted from the first.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_HALVINGS = 70  # of the bracket; a double has no more bits to offer
_ROOM = 4  # times the samples wanted; enough that the level sought lies above the lowest of them


def total_above(values: Floats, level: float) -> float:
    """Samples' worth of time at or above the level, all stretches together."""
    low, high = np.minimum(values[:-1], values[1:]), np.maximum(values[:-1], values[1:])
    return _total(low, high, level)


def longest_run(values: Floats, level: float) -> tuple[float, float]:
    """Begin and end of the longest single stretch at or above the level; the first of equals; (0, 0) where none is."""
    begins, ends = _runs(values, level)
    if not len(begins):
        return 0.0, 0.0
    longest = int(np.argmax(ends - begins))
    return float(begins[longest]), float(ends[longest])


def whole_span(values: Floats, level: float) -> tuple[float, float]:
    """Begin of the first and end of the last stretch at or above the level; (0, 0) where none is."""
    begins, ends = _runs(values, level)
    return (float(begins[0]), float(ends[-1])) if len(begins) else (0.0, 0.0)


def clip_cumulative(values: Floats, duration: float) -> float | None:
    """Highest level that the curve reaches or exceeds for ``duration`` in sum; None where it is shorter than that."""
    if len(values) - 1 < duration:
        return None
    low, high = np.minimum(values[:-1], values[1:]), np.maximum(values[:-1], values[1:])
    rank = min(len(values), _ROOM * (math.ceil(duration) + 1))
    floor = float(np.partition(values, len(values) - rank)[len(values) - rank])
    if _total(low, high, floor) < duration:  # the curve jumps about that level
        floor = float(values.min())
    kept = high >= floor
    low, high = low[kept], high[kept]
    return _highest(lambda level: _total(low, high, level) >= duration, floor, float(values.max()))


def clip_continuous(values: Floats, duration: float) -> float | None:
    """Highest level of a single stretch that lasts ``duration``; None where the curve is shorter than that."""
    width = math.ceil(duration - 1e-9) + 1
    if len(values) < width:
        return None
    floor = float(_lowest_of(values, width).max())
    near = values >= floor
    near[1:] |= values[:-1] >= floor
    near[:-1] |= values[1:] >= floor
    few = values[near]  # stretches are apart by samples below the floor, which stay between them

    def lasts(level: float) -> bool:
        begin, end = longest_run(few, level)
        return end - begin >= duration - 1e-9

    return _highest(lasts, floor, float(values.max()))


def _total(low: Floats, high: Floats, level: float) -> float:
    span = high - low
    part = np.divide(high - level, span, out=np.zeros_like(span), where=span > 0)
    return float(np.where(low >= level, 1.0, np.clip(part, 0.0, 1.0)).sum())


def _runs(values: Floats, level: float) -> tuple[Floats, Floats]:
    above = np.concatenate(([False], values >= level, [False]))
    edges = np.flatnonzero(above[1:] != above[:-1])
    first, last = edges[::2], edges[1::2] - 1
    begins, ends = first.astype(np.float64), last.astype(np.float64)
    inner = first > 0
    at = first[inner]
    begins[inner] -= (values[at] - level) / (values[at] - values[at - 1])
    inner = last < len(values) - 1
    at = last[inner]
    ends[inner] += (values[at] - level) / (values[at] - values[at + 1])
    return begins, ends


def _lowest_of(values: Floats, width: int) -> Floats:
    """The least of every ``width`` neighbours, by doubling windows."""
    least, covered = values, 1
    while covered < width:
        step = min(covered, width - covered)
        least = np.minimum(least[:-step], least[step:])
        covered += step
    return least


def _highest(holds: Callable[[float], bool], low: float, high: float) -> float:
    """The highest level at which something holds that holds at ``low`` and at no level above one that fails."""
    if holds(high):
        return high
    for _ in range(_HALVINGS):
        middle = low + (high - low) / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
