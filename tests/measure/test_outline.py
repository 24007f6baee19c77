"""Curves thinned out for paper: few points, every peak among them, nothing moved in time."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.measure.outline import PARTS, outline
from tests.measure.signals import STEP, curve


def test_a_short_curve_keeps_every_sample() -> None:
    values = np.array([0.0, 1.0, -3.0, 2.0] * 10)
    made = outline(curve(values, start=Fraction(-1, 1000)), Fraction(-1), Fraction(1), 2.0)

    assert list(made.values) == [2.0 * value for value in values]
    assert list(made.times_ms) == pytest.approx([-1.0 + 0.1 * at for at in range(40)])


@given(spike=st.integers(0, 99_999), size=st.floats(-900, 900).filter(lambda value: abs(value) > 1))
def test_a_long_curve_keeps_its_ends_and_every_peak(spike: int, size: float) -> None:
    values = np.zeros(100_000)
    values[spike] = size
    made = outline(curve(values), Fraction(0), Fraction(10))

    assert len(made.values) <= 2 * PARTS + 2
    assert made.values[made.times_ms.index(pytest.approx(float(STEP * 1000 * spike)))] == size
    assert made.times_ms[0] == 0.0
    assert made.times_ms[-1] == pytest.approx(9999.9)
    assert list(made.times_ms) == sorted(set(made.times_ms))


def test_a_stretch_leaves_out_what_lies_beside_it() -> None:
    made = outline(curve(np.arange(100.0)), Fraction(15, 10_000), Fraction(205, 100_000))

    assert list(made.values) == [15.0, 16.0, 17.0, 18.0, 19.0, 20.0]


def test_a_stretch_beside_the_record_is_refused() -> None:
    with pytest.raises(ValueError, match="no sample"):
        outline(curve(np.zeros(30)), Fraction(5), Fraction(6))
