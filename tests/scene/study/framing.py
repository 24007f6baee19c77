"""Draw setups until card, slider and hook are in the picture."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.scene.study.optics import camera_of
from tests.scene.study.places import slider_of, strip_of
from tests.scene.study.setups import MOST_ATTEMPTS, Cell, Setup, cells, draw

Floats = NDArray[np.float64]

MARGIN = 0.012  # share of the picture's long side that stays free around card and slider


def sample(kind: str, seed: int, cell: Cell | None = None) -> Setup:
    """Return the setup of a seed.

    Args:
        kind: of scene, one of ``setups.kinds()``.
        seed: not negative.
        cell: index of the ranges of tilt and distance; None takes the cells in turn: ``cells()[seed % 15]``.

    Raises:
        KeyError: no such kind.
        RuntimeError: nothing fits the picture.
    """
    chosen = cells()[seed % len(cells())] if cell is None else cell
    for attempt in range(MOST_ATTEMPTS):
        setup = draw(kind, seed, chosen, attempt)
        if framed(setup):
            return setup
    raise RuntimeError(f"no picture of {kind} {seed} in cell {chosen} holds the whole card")


def framed(setup: Setup) -> bool:
    """Say whether the whole strip and slider lie in the picture."""
    camera = camera_of(setup)
    points = np.concatenate([strip_of(setup).outline(4), slider_of(setup).outline(4)])
    if ((points - camera.place) @ camera.axes[2]).min() < 50.0:
        return False
    seen = camera.pixels(points)
    margin = MARGIN * max(setup.size)
    return bool((seen > margin).all() and (seen < np.array(setup.size, dtype=np.float64) - 1 - margin).all())
