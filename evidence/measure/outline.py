"""A curve as thin as paper shows it: few points, and every peak among them."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from evidence.measure._curve import Curve
from evidence.measure._filter import Floats

PARTS = 1300  # of a drawing's width; half a unit of paper each
_MS = 1000  # in a second


@dataclass(frozen=True)
class Outline:
    """Points of a curve, in the order of time.

    Attributes:
        times_ms: milliseconds.
        values: at those times, in the unit that was asked for.
    """

    times_ms: Sequence[float]
    values: Sequence[float]


def outline(curve: Curve, begin_s: Fraction, end_s: Fraction, factor: float = 1.0) -> Outline:
    """First, last, least and greatest sample of every part of a stretch.

    Args:
        curve: what is drawn.
        begin_s: of the stretch; what of it the record lacks is left out.
        end_s: likewise.
        factor: what every value is multiplied by.

    Raises:
        ValueError: no sample lies in the stretch.
    """
    first = max(0, int(-((curve.start_s - begin_s) // curve.interval_s)))
    last = min(len(curve.values) - 1, int((end_s - curve.start_s) // curve.interval_s))
    if first > last:
        raise ValueError("no sample lies in the stretch")
    kept = first + _kept(curve.values[first : last + 1])
    times = float(curve.start_s * _MS) + kept * float(curve.interval_s * _MS)
    return Outline(tuple(times.tolist()), tuple((curve.values[kept] * factor).tolist()))


def _kept(values: Floats) -> "np.ndarray[tuple[int, ...], np.dtype[np.int64]]":
    """Places of the samples that the outline needs, rising."""
    count = len(values)
    if count <= 2 * PARTS:
        return np.arange(count, dtype=np.int64)
    size = -(-count // PARTS)
    rows = np.pad(values, (0, -count % size), mode="edge").reshape(-1, size)
    begins = np.arange(len(rows), dtype=np.int64) * size
    places = np.concatenate(([0], begins + rows.argmin(axis=1), begins + rows.argmax(axis=1), [count - 1]))
    return np.unique(np.minimum(places, count - 1))
