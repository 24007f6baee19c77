"""The limits of a share that the benches print beside their counts."""

import pytest

from tests.bench.study import share
from tests.bench.windows import upper_bound


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        # published: documentation of scipy, binomial proportion interval
        (7, 50, 0.0581917, 0.2673960),
        # published: output of R, binomial test
        (9, 24, 0.1879929, 0.5940636),
    ],
)
def test_two_sided_limits_after_clopper_and_pearson(count: int, of: int, low: float, high: float) -> None:
    assert share(count, of) == pytest.approx((low, high), abs=5e-7)


@pytest.mark.parametrize("count", [0, 3])
def test_one_sided_limit_is_the_upper_one_of_a_wider_interval(count: int) -> None:
    """Computed independently with the closed form for none: 1 - 0.05 ** (1 / n); else by the sum it must leave over."""
    draws = 1000
    found = upper_bound(count, draws)

    if count == 0:
        assert found == pytest.approx(1 - 0.05 ** (1 / draws), rel=1e-9)
    else:
        assert upper_bound(0, draws) < found < upper_bound(count + 1, draws)


@pytest.mark.parametrize(("of", "low"), [(10, 0.741134), (29, 0.901855), (59, 0.950492), (299, 0.990031)])
def test_n_of_n_has_a_lower_limit(of: int, low: float) -> None:
    """Computed independently with the closed form 0.05 ** (1 / n), one-sided 95 %."""
    assert 1 - upper_bound(0, of) == pytest.approx(low, abs=1e-6)
