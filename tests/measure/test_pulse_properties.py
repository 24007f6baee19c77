"""What must hold of every pulse."""

from fractions import Fraction

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.measure import pulse
from evidence.measure._filter import CLASSES, FORMS, Class, Floats, Form, filtered
from tests.measure.signals import STEP, curve

Seeds = st.integers(0, 2**32 - 1)
BOUNDS = [(Fraction(0), Fraction(9)), (Fraction("0.01"), Fraction(14)), (Fraction("0.03"), Fraction(3))]


def smooth(seed: int, samples: int = 400, step: float = 1e-4) -> Floats:
    """A few slow waves."""
    random = np.random.default_rng(seed)
    times = np.arange(samples) * step
    waves = [
        random.uniform(-8, 8) * np.sin(2 * np.pi * random.uniform(5, 80) * times + random.uniform(0, 6.3))
        for _ in range(4)
    ]
    return np.asarray(np.sum(waves, axis=0), dtype=np.float64)


@given(Seeds, Seeds, st.floats(-20, 20), st.sampled_from(CLASSES), st.sampled_from(FORMS))
def test_filtering_is_linear(one: int, other: int, factor: float, cfc: Class, form: Form) -> None:
    x, y = (np.random.default_rng(seed).normal(0, 10, 300) for seed in (one, other))
    together = filtered(x + factor * y, cfc, 1e-4, form)
    apart = filtered(x, cfc, 1e-4, form) + factor * filtered(y, cfc, 1e-4, form)

    assert np.allclose(together, apart, atol=1e-9)


@given(Seeds, st.sampled_from(CLASSES), st.sampled_from(FORMS), st.integers(0, 40))
def test_a_filter_moves_nothing_in_time(seed: int, cfc: Class, form: Form, shift: int) -> None:
    x = np.zeros(900)
    x[300:600] = np.random.default_rng(seed).normal(0, 10, 300)
    moved = filtered(np.roll(x, shift), cfc, 1e-4, form)

    assert np.allclose(np.roll(filtered(x, cfc, 1e-4, form), shift), moved, atol=1e-4)


@given(Seeds, st.sampled_from(CLASSES))
def test_a_record_read_backwards_filters_the_same(seed: int, cfc: Class) -> None:
    x = np.zeros(900)
    x[300:600] = np.random.default_rng(seed).normal(0, 10, 300)

    assert np.allclose(filtered(x[::-1], cfc, 1e-4, "j211")[::-1], filtered(x, cfc, 1e-4, "j211"), atol=1e-4)


@given(Seeds, st.fractions(0, Fraction("0.0399"), max_denominator=10**6))
def test_velocity_changes_add_up(seed: int, middle: Fraction) -> None:
    one = curve(smooth(seed))
    spans = [
        pulse.Span(one.start_s, middle),
        pulse.Span(middle, one.end_s),
        pulse.Span(one.start_s, one.end_s),
    ]
    first, second, both = (pulse.velocity_change(one, span) for span in spans)

    assert first is not None
    assert second is not None
    assert both is not None
    assert abs(first.value + second.value - both.value) < 1e-9


@given(Seeds, st.floats(0.1, 5))
def test_velocity_change_is_linear(seed: int, factor: float) -> None:
    one, more = curve(smooth(seed)), curve(smooth(seed) * factor)
    span = pulse.Span(one.start_s, one.end_s)
    small, large = pulse.velocity_change(one, span), pulse.velocity_change(more, span)

    assert small is not None
    assert large is not None
    assert abs(small.value * factor - large.value) < 1e-9


@given(Seeds)
@settings(max_examples=60)
def test_a_verdict_of_a_corridor_outlasts_resampling(seed: int) -> None:
    """Ten times the samples, straight between the old ones: the margin is the same but for the corridor's own bends."""
    coarse = smooth(seed)
    fine = np.interp(np.arange((len(coarse) - 1) * 10 + 1) / 10, np.arange(len(coarse)), coarse)
    one = pulse.corridor(curve(coarse), BOUNDS, (), "g")
    other = pulse.corridor(curve(fine, step=STEP / 10), BOUNDS, (), "g")

    assert one is not None
    assert other is not None
    assert abs(one.value - other.value) < 1e-9


@given(Seeds)
@settings(max_examples=60)
def test_a_verdict_of_a_corridor_outlasts_thinning_within_what_lies_between(seed: int) -> None:
    dense = smooth(seed, samples=401)
    thin = dense[::2]
    lost = np.abs(np.interp(np.arange(401), np.arange(0, 401, 2), thin) - dense).max()
    one = pulse.corridor(curve(dense), BOUNDS, (), "g")
    other = pulse.corridor(curve(thin, step=STEP * 2), BOUNDS, (), "g")

    assert one is not None
    assert other is not None
    assert abs(one.value - other.value) <= lost + 1e-9


@given(Seeds)
def test_continuous_never_beats_cumulative_and_both_lie_within(seed: int) -> None:
    one = curve(np.random.default_rng(seed).normal(0, 10, 500))
    cumulative, continuous = pulse.clip(one, "cumulative"), pulse.clip(one, "continuous")

    assert cumulative is not None
    assert continuous is not None
    sign = 1 if cumulative.value > 0 else -1
    assert sign * continuous.value <= sign * cumulative.value + 1e-9
    assert one.values.min() <= cumulative.value <= one.values.max()


@given(Seeds, st.floats(-5, 5))
def test_turning_the_sign_turns_the_figures(seed: int, shift: float) -> None:
    values = smooth(seed) + shift
    one, other = pulse.summary(curve(values)), pulse.summary(curve(-values))

    assert one.peak_max.value == -other.peak_min.value
    assert one.delta_v is not None
    assert other.delta_v is not None
    assert abs(one.delta_v.value + other.delta_v.value) < 1e-9
