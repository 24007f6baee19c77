"""A sampled curve against the polylines of a corridor: where it comes nearest to one, or leaves it furthest."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Points = Sequence[tuple[Fraction, Fraction]]
"""Break points (time in seconds, value), in order of time; two of one time are a step."""
_SLACK = 1e-9  # seconds; what floats leave of a time
_SAME = 1e-9  # of the bound's greatest value; margins that differ by less are the same


@dataclass(frozen=True)
class Nearest:
    """Distance to a bound along the value's axis, negative outside; when; and which bound."""

    margin: float
    at_s: float
    side: Literal["upper", "lower"]


def spans(times: Floats, points: Points) -> bool:
    """Whether the curve reaches from the first to the last break point."""
    return bool(times[0] <= float(points[0][0]) + _SLACK and times[-1] >= float(points[-1][0]) - _SLACK)


def nearest(times: Floats, values: Floats, points: Points, side: Literal["upper", "lower"]) -> Nearest:
    """The least margin to one bound, at every sample within its span and at its break points.

    Args:
        times: shape (n,), seconds, increasing.
        values: shape (n,), in the unit of the bound.
        points: of the bound, which the curve must span.
        side: on which side of the curve the bound lies.
    """
    sign = 1.0 if side == "upper" else -1.0
    x = np.array([float(point[0]) for point in points])
    y = sign * np.array([float(point[1]) for point in points])
    first, last = np.searchsorted(times, (x[0] - _SLACK, x[-1] + _SLACK))
    inside, curve = times[first:last], sign * values[first:last]
    limits = np.maximum(_at(x, y, inside, "left"), _at(x, y, inside, "right"))
    corners = np.interp(x, times, sign * values)
    corner_limits = np.array([y[x == each].max() for each in x])  # a step's own edge belongs to the corridor
    margins = np.concatenate((limits - curve, corner_limits - corners))
    moments = np.concatenate((inside, x))
    least = margins.min()
    at = moments[margins <= least + _SAME * np.abs(y).max()].min()
    return Nearest(float(least), float(at), side)


def _at(x: Floats, y: Floats, times: Floats, side: Literal["left", "right"]) -> Floats:
    """The polyline at the times, with the value just before a step or just after it."""
    if len(x) == 1:
        return np.full(len(times), y[0])
    near = times + (-_SLACK if side == "left" else _SLACK)
    segment = np.clip(np.searchsorted(x, near, side="right") - 1, 0, len(x) - 2)
    width = x[segment + 1] - x[segment]
    part = np.divide(times - x[segment], width, out=np.zeros_like(times), where=width > 0)
    line: Floats = y[segment] + np.clip(part, 0.0, 1.0) * (y[segment + 1] - y[segment])
    return line
