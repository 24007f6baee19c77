"""Pulls with known answers: trapezoids by hand, published holds, and everything that leaves a hold open."""

import math

import numpy as np
import pytest

from evidence.measure import pull
from evidence.measure.pull import Kind, Pull, PullFigure, Refused
from tests.measure.pulls import TRAPEZOID, every, pulled


def held(one: Pull, level: float, kind: Kind = "continuous") -> PullFigure:
    found = pull.hold_time(one, level, kind)
    assert isinstance(found, PullFigure)
    return found


def bent(one: Pull) -> PullFigure:
    found = pull.residual_displacement(one)
    assert isinstance(found, PullFigure)
    return found


def test_the_peak_is_the_greatest_sample_and_when_it_was_first_there() -> None:
    found = pull.peak_force(pulled(every(0.5)))

    assert (found.value, found.least, found.most, found.span) == (10, 10, 10, (7, 7))
    assert (found.wide, found.doubts) == ((), ())


@pytest.mark.parametrize("step", [0.1, 0.25, 0.5, 1.0])
@pytest.mark.parametrize(
    ("level", "seconds"),
    # closed form: the ramps rise 2 kN/s and fall 5 kN/s, so at level F the hold is 10 + (10-F)/2 + (10-F)/5
    [(10.0, 10.0), (8.0, 11.4), (5.0, 13.5), (2.0, 15.6)],
)
def test_the_hold_of_a_trapezoid_is_exact_at_every_sampling(
    step: float, level: float, seconds: float
) -> None:
    found = held(pulled(every(step)), level)

    assert found.value == pytest.approx(seconds, abs=1e-9)
    assert found.least <= found.value <= found.most
    assert found.most - found.least <= 2 * step + 1e-9
    assert found.least >= seconds - 2 * step


def test_two_pulls_are_added_up_or_the_longer_one_counts() -> None:
    corners = ((0, 0), (1, 10), (4, 10), (5, 0), (6, 10), (12, 10), (13, 0))
    one = pulled(every(0.5, 13), corners, None)

    # closed form: at 5 kN each ramp of 10 kN/s adds half a second at either side
    assert held(one, 5.0, "cumulative").value == pytest.approx(4.0 + 7.0)
    assert held(one, 5.0).value == pytest.approx(7.0)
    assert held(one, 5.0).span == (5.5, 12.5)
    assert held(one, 5.0, "cumulative").span == (0.5, 12.5)


def test_a_force_that_never_came_was_held_for_no_time() -> None:
    found = held(pulled(every(0.5)), 11.0)

    assert (found.value, found.least, found.most, found.span) == (0, 0, 0, None)


def test_one_sample_at_the_load_proves_no_time_and_allows_its_neighbourhood() -> None:
    one = Pull(np.array([0.0, 10.0, 0.0]), np.array([0.0, 4.0, 9.0]))

    assert held(one, 10.0) == PullFigure(0, 0, 9, (4, 4), (pull.COARSE,))


@pytest.mark.parametrize(
    ("limit", "open_"), [(8.0, False), (9.0, False), (9.5, True), (10.9, True), (11.0, False), (14.0, False)]
)
def test_a_coarse_log_leaves_only_limits_between_its_bounds_open(limit: float, open_: bool) -> None:  # noqa: FBT001
    # read every second from 0.5 s on: 9 s lie between samples at the load, 11 s between those below it
    found = held(pulled([each + 0.5 for each in every(1.0, 24)]), 10.0)

    assert (found.least, found.most, found.wide) == (9, 11, (pull.COARSE,))
    assert found.open_at(limit) is open_


def test_the_limit_itself_is_fulfilled_whatever_adding_up_leaves_in_the_last_digit() -> None:
    found = PullFigure(0.1 + 0.2, 0.1 + 0.2, 1.0)

    assert not found.open_at(0.3)


# published: MIL-STD-209K, 2005, USA: each direction of a static pull is held for at least 6.0 s
@pytest.mark.parametrize(("seconds", "enough"), [(6.0, True), (5.9, False)])
def test_a_published_hold_of_six_seconds(seconds: float, *, enough: bool) -> None:
    found = held(steady(load=20_000.0, ramp=3.0, seconds=seconds), 20_000.0)

    assert found.value == pytest.approx(seconds, abs=1e-9)
    assert (found.least >= 6.0 - 1e-9) is enough


def test_a_load_reached_within_thirty_seconds_and_held_for_ten() -> None:
    # from memory of 49 CFR 571.210: 3 000 lbf come on within 30 s and are held for 10 s
    load = 3000 * 4.4482216152605
    found = held(steady(load, ramp=30.0, seconds=10.0), load)

    assert found.span == (30, 40)
    assert found.least == 10


def steady(load: float, ramp: float, seconds: float) -> Pull:
    """A ramp, a load that stands still, and its release, a hundred rows each."""
    times = [*np.linspace(0, ramp, 101), *np.linspace(ramp, ramp + seconds, 101)[1:], ramp + seconds + 0.1]
    force = [*np.linspace(0, load, 101)[:-1], *([load] * 101), 0.0]
    return Pull(np.array(force), np.array(times, dtype=np.float64))


def test_a_seat_of_25_kg_asks_for_4900_n() -> None:
    # published: 49 CFR 571.207 S4.2, 2002, USA: 20 times the mass in kg times 9.8, in newtons
    demanded = 20 * 25 * 9.8
    corners = ((0, 0), (5, demanded), (15, demanded), (16, 0))

    assert demanded == pytest.approx(4900)
    assert pull.peak_force(pulled(every(0.1, 16), corners, None)).value == pytest.approx(4900)


def test_a_gap_proves_nothing_of_what_lies_in_it() -> None:
    times = [each for each in every(0.5) if not 9 < each < 15]
    found = held(pulled(times), 10.0)

    assert (found.value, found.least, found.most) == (10, 2, 10 + 0.5 + 0.5)
    assert found.wide == (pull.GAP, pull.COARSE)
    assert found.told == (pull.GAP,)
    assert held(pulled(times), 10.0, "cumulative").least == 4


def test_a_gap_beside_the_hold_may_have_been_under_load() -> None:
    found = held(pulled([each for each in every(0.5) if not 3 < each < 9]), 10.0)

    assert pull.GAP in found.wide
    assert (found.least, found.most) == (8, 17.5 - 3)


def test_times_that_repeat_widen_the_bounds_by_their_last_digit() -> None:
    one = pulled(every(0.5))
    coarse = Pull(one.force, np.array([float(int(each)) for each in every(0.5)]), tick=1.0)
    sure, found = held(one, 5.0), held(coarse, 5.0)

    assert pull.REPEATED in found.wide
    assert found.least <= sure.least
    assert found.most >= sure.most


@pytest.mark.parametrize(("begin", "end", "code"), [(8, 25, pull.STARTS_LOADED), (0, 16, pull.ENDS_LOADED)])
def test_a_log_cut_off_under_load_has_no_most(begin: float, end: float, code: str) -> None:
    found = held(pulled([each for each in every(0.5) if begin <= each <= end]), 10.0)

    assert math.isinf(found.most)
    assert code in found.told
    assert found.value == found.least == 9


def test_without_times_nobody_knows_for_how_long() -> None:
    assert pull.hold_time(Pull(np.array([0.0, 10.0, 0.0])), 5.0, "continuous") == Refused(pull.NO_TIMES)


def flat(top: int = 12) -> Pull:
    """A finely divided log whose top stands still."""
    force = np.concatenate((np.linspace(0, 9.990, 1000), np.full(top, 10.0), np.linspace(9.993, 0, 1000)))
    return Pull(force, np.array(every(0.1, (len(force) - 1) * 0.1)))


def test_a_flat_top_leaves_open_how_high_the_force_went() -> None:
    found = pull.peak_force(flat())

    assert (found.value, found.most, found.told) == (10, math.inf, (pull.FLAT_TOP,))
    assert not found.open_at(9)
    assert found.open_at(11)


def test_a_flat_top_may_hide_a_hold_above_it_but_takes_none_away_below() -> None:
    above, below = held(flat(), 10.5), held(flat(), 5.0)

    assert (above.value, above.least) == (0, 0)
    assert above.most == pytest.approx(13 * 0.1)
    assert pull.FLAT_TOP in above.wide
    assert pull.FLAT_TOP not in below.wide


def test_short_or_coarsely_divided_tops_are_flat_by_themselves() -> None:
    assert pull.flat_top(flat(top=9).force) is None
    assert pull.flat_top(np.round(flat().force)) is None
    assert pull.flat_top(np.zeros(30)) is None


def test_what_stayed_bent_is_the_mean_after_release_less_that_before() -> None:
    found = bent(pulled(every(0.01)))

    # closed form: before, at 1 mm for 2 s and then up to 1 % of 20 mm in 0.05 s; after, at 4 mm for 6 s, down from 4.19
    before = (2 * 1 + 0.05 * (1 + 1.2) / 2) / 2.05
    after = (6 * 4 + 0.02 * (4 + 4.19) / 2) / 6.02
    assert found.value == pytest.approx(after - before, abs=1e-9)
    assert np.array(found.rests).ravel() == pytest.approx([0, 2.05, 18.98, 25])
    assert found.span == pytest.approx((2.05, 18.98))
    assert found.least < found.value < found.most
    assert (found.told, found.doubts) == ((), ())


def test_travel_and_force_alone_have_a_residual_over_rows() -> None:
    one = Pull(np.array([0.0, 0, 10, 10, 0, 0]), travel=np.array([2.0, 2, 30, 32, 5, 5]))
    found = bent(one)

    assert found.span is None
    assert np.array(found.rests).ravel() == pytest.approx([0, 1.01, 3.99, 5])
    assert found.value == pytest.approx(3, abs=0.1)


@pytest.mark.parametrize(
    ("force", "code"),
    [
        ([3, 10, 0], pull.STARTS_LOADED),
        ([0, 10, 3], pull.ENDS_LOADED),
        ([0, -10, 0], pull.NO_LOAD),
        ([0, 0, 0], pull.NO_LOAD),
    ],
)
def test_a_log_that_shows_no_release_has_no_residual(force: list[float], code: str) -> None:
    one = Pull(np.array(force, dtype=float), travel=np.array([0.0, 5, 1]))

    assert pull.residual_displacement(one) == Refused(code)


def test_without_travel_there_is_no_residual() -> None:
    assert pull.residual_displacement(pulled(every(1), travel=None)) == Refused(pull.NO_TRAVEL)


def test_signs_are_kept_and_a_pull_below_nought_is_in_doubt() -> None:
    one = pulled(every(0.5))
    other = pull.turned(one, force=True)

    assert pull.peak_force(other).value == 0
    assert pull.peak_force(other).doubts == (pull.AGAINST,)
    assert held(other, 5.0).doubts == (pull.AGAINST,)
    assert pull.peak_force(pull.turned(other, force=True)) == pull.peak_force(one)


def test_travel_below_nought_is_in_doubt() -> None:
    assert bent(pull.turned(pulled(every(0.5)), travel=True)).doubts == (pull.TRAVEL_AGAINST,)
    sprung = ((0, 1), (2, 1), (7, 21), (17, 23), (19, -3), (25, -3))
    assert bent(pulled(every(0.5), travel=sprung)).doubts == (pull.BEYOND_START,)


def test_an_offset_is_the_mean_force_of_a_stretch_of_the_log() -> None:
    lifted = tuple((x, y + 0.5) for x, y in TRAPEZOID)
    found = pull.without_offset(pulled(every(0.2), lifted), 0.1, 1.9)

    assert found is not None
    assert pull.peak_force(found).value == pytest.approx(10)
    assert pull.without_offset(pulled(every(0.3)), -1, 1) is None
    assert pull.without_offset(pulled(every(0.3)), 1, 1) is None
    assert pull.without_offset(Pull(np.array([0.0, 1])), 0, 1) is None
