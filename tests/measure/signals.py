"""Test signals, and channels made of them."""

from array import array
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from evidence.exhibits.channels import Channel, Recorded, of_table
from evidence.exhibits.table import parse
from evidence.measure import pulse
from evidence.measure._filter import Floats
from evidence.quantity import Dimension

STEP = Fraction(1, 10_000)  # seconds
LABORATORY = Path(__file__).resolve().parents[2] / ".." / "shared" / "data" / "nhtsa-10146"


def channel(
    values: Floats,
    *,
    start: Fraction = Fraction(0),
    step: Fraction = STEP,
    unit: str = "g",
    dimension: Dimension = Dimension.ACCELERATION,
    recorded: Recorded = "unfiltered",
) -> Channel:
    """A channel of these values."""
    return Channel(
        "pulse", "", unit, dimension, start, step, array("d", values.tolist()), recorded, where="pulse.csv"
    )


def curve(
    values: Floats, *, start: Fraction = Fraction(0), step: Fraction = STEP, unit: str = "g"
) -> pulse.Curve:
    """The same as a curve, not filtered."""
    return pulse.processed(channel(values, start=start, step=step, unit=unit), pulse.Recipe())


def half_sine(
    peak: float, width: Fraction, *, lead: Fraction = Fraction(0), step: Fraction = STEP
) -> tuple[Floats, Fraction]:
    """Half a sine that begins at time zero, with quiet before and after; and the time of its first sample."""
    samples = int((width + 2 * lead) / step) + 1
    times = -float(lead) + np.arange(samples) * float(step)
    inside = (times >= 0) & (times <= float(width) + 1e-12)
    return np.where(inside, peak * np.sin(np.pi * times / float(width)), 0.0), -lead


def polyline(points: list[tuple[float, float]], *, begin: float, end: float) -> tuple[Floats, Fraction]:
    """A signal straight between break points (s, value), sampled every 0.1 ms; and the time of its first sample."""
    times = begin + np.arange(round((end - begin) / float(STEP)) + 1) * float(STEP)
    x, y = zip(*points, strict=True)
    return np.interp(times, x, y), Fraction(str(begin))


def laboratory(name: str) -> Channel:
    """A channel of the public crash test; the test is skipped where its data do not lie beside the project."""
    path = LABORATORY / f"{name}.csv"
    if not path.exists():
        pytest.skip("the public crash-test data do not lie beside the project in ../shared/data/nhtsa-10146")
    reading = parse(path.read_bytes(), path.name)
    (only,) = of_table(reading.table, reading.values, path.name).channels
    return only
