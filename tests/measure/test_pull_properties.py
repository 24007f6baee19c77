"""What must hold of every pull."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from evidence.measure import pull
from evidence.measure.pull import Kind, Pull, PullFigure, Refused

Kinds = st.sampled_from(("cumulative", "continuous"))
Steps = st.lists(st.integers(1, 40), min_size=2, max_size=30)


@st.composite
def pulls(draw: st.DrawFn) -> Pull:
    """Whole numbers of N and mm at whole tenths of a second: sums of them are exact enough to compare."""
    steps = draw(Steps)
    rows = len(steps) + 1
    force = draw(st.lists(st.integers(-5, 100), min_size=rows, max_size=rows))
    travel = draw(st.lists(st.integers(0, 50), min_size=rows, max_size=rows))
    force[0] = force[-1] = 0
    return Pull(
        np.array(force, dtype=np.float64),
        np.cumsum([0, *steps]).astype(np.float64) / 8,
        np.array(travel, dtype=np.float64),
    )


def held(one: Pull, level: float, kind: Kind) -> PullFigure:
    found = pull.hold_time(one, level, kind)
    assert isinstance(found, PullFigure)
    return found


@given(pulls(), st.integers(1, 110), Kinds)
def test_what_is_proven_is_never_more_than_what_is_found_or_allowed(
    one: Pull, level: int, kind: Kind
) -> None:
    found = held(one, level, kind)

    assert 0 <= found.least <= found.value <= found.most


@given(pulls(), st.integers(1, 110), st.floats(0, 50), Kinds)
def test_a_higher_level_is_never_held_longer(one: Pull, level: int, more: float, kind: Kind) -> None:
    low, high = held(one, level, kind), held(one, level + more, kind)

    assert high.value <= low.value + 1e-9
    assert high.least <= low.least + 1e-9
    assert high.most <= low.most + 1e-9


@given(pulls(), st.integers(1, 110))
def test_the_longest_stretch_is_never_longer_than_all_together(one: Pull, level: int) -> None:
    longest, together = held(one, level, "continuous"), held(one, level, "cumulative")

    assert longest.value <= together.value + 1e-9


@given(pulls(), st.integers(1, 110), st.sampled_from((0.25, 2.0, 1024.0)), Kinds)
def test_other_units_change_forces_and_travels_and_no_time(
    one: Pull, level: int, factor: float, kind: Kind
) -> None:
    travel = one.travel
    assert travel is not None
    other = Pull(one.force * factor, one.times, travel * factor)

    assert pull.peak_force(other).value == pull.peak_force(one).value * factor
    assert held(other, level * factor, kind) == held(one, level, kind)
    before, after = pull.residual_displacement(one), pull.residual_displacement(other)
    if isinstance(before, Refused) or isinstance(after, Refused):
        assert before == after
    else:
        assert np.isclose(after.value, before.value * factor)
        assert np.isclose(after.least, before.least * factor)
        assert after.doubts == before.doubts


@given(pulls(), st.integers(1, 110), st.data(), Kinds)
def test_a_sample_on_the_line_between_two_others_changes_nothing(
    one: Pull, level: int, data: st.DataObject, kind: Kind
) -> None:
    times, travel = one.times, one.travel
    assert times is not None
    assert travel is not None
    at = data.draw(st.integers(1, len(times) - 1))
    part = data.draw(st.sampled_from((0.25, 0.5, 0.75)))

    def between(values: pull.Floats) -> pull.Floats:
        return np.insert(values, at, values[at - 1] + part * (values[at] - values[at - 1]))

    more = Pull(between(one.force), between(times), between(travel))
    fewer, found = held(one, level, kind), held(more, level, kind)
    assert np.isclose(found.value, fewer.value)
    if pull.GAP not in {*fewer.wide, *found.wide}:  # what is a gap depends on the usual step
        assert found.least >= fewer.least - 1e-9
        assert found.most <= fewer.most + 1e-9
    assert pull.peak_force(more).value == pull.peak_force(one).value
    before, after = pull.residual_displacement(one), pull.residual_displacement(more)
    if isinstance(before, Refused) or isinstance(after, Refused):
        assert before == after
    else:
        assert np.isclose(after.value, before.value)
        assert np.isclose(after.most, before.most)


@given(pulls(), st.integers(1, 110), Kinds)
def test_a_log_read_backwards_was_held_as_long(one: Pull, level: int, kind: Kind) -> None:
    times = one.times
    assert times is not None
    back = Pull(one.force[::-1], (times[-1] - times)[::-1])

    assert np.isclose(held(back, level, kind).value, held(one, level, kind).value)
    assert np.isclose(held(back, level, kind).most, held(one, level, kind).most)
