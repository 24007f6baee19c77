"""Pulls made by hand: straight lines between corners, read at any moments."""

from collections.abc import Sequence

import numpy as np

from evidence.measure.pull import Pull

Corners = Sequence[tuple[float, float]]
TRAPEZOID: Corners = ((0, 0), (2, 0), (7, 10), (17, 10), (19, 0), (25, 0))
"""Seconds and kN: at 10 kN for 10 s, and at or above 5 kN for 2.5 + 10 + 1 s."""
TRAVEL: Corners = ((0, 1), (2, 1), (7, 21), (17, 23), (19, 4), (25, 4))
"""Seconds and mm: 3 mm stay."""


def at(corners: Corners, times: Sequence[float]) -> list[float]:
    """Values of the line at the times."""
    x, y = zip(*corners, strict=True)
    return [float(each) for each in np.interp(times, x, y)]


def pulled(times: Sequence[float], force: Corners = TRAPEZOID, travel: Corners | None = TRAVEL) -> Pull:
    """The pull, read at these times."""
    return Pull(
        np.array(at(force, times)),
        np.array(times, dtype=np.float64),
        None if travel is None else np.array(at(travel, times)),
    )


def every(step: float, until: float = 25.0) -> list[float]:
    """Times from 0 on."""
    return [float(each) for each in np.arange(round(until / step) + 1) * step]
