"""Figures of pulses against closed forms and public numbers."""

import itertools
import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from evidence.errors import InputError
from evidence.measure import pulse
from evidence.quantity import Dimension
from tests.measure.signals import STEP, channel, curve, half_sine, polyline

F = Fraction
G = 9.80665  # m/s^2; published: The International System of Units, 9th edition, 2019, BIPM
MPH = 0.44704  # m/s; from memory of the international yard of 1959

# SAE J2956 (s, g), outer and inner line. published: a test house's page on SAE J2956; the practice was not read
SIDE_LOWER = [
    (F(0), F(-5)),
    (F("0.009"), F(-26)),
    (F("0.036"), F(-26)),
    (F("0.045"), F(-10)),
    (F("0.055"), F(-10)),
]
SIDE_UPPER = [(F("0.005"), F(0)), (F("0.016"), F(-19)), (F("0.029"), F(-19)), (F("0.035"), F(0))]
# SAE J3044, from the same place
REAR_LOWER = [(F(0), F(-3)), (F("0.02"), F(-11)), (F("0.06"), F(-11)), (F("0.07"), F(-3)), (F("0.10"), F(-3))]
REAR_UPPER = [(F("0.01"), F(0)), (F("0.025"), F(-7)), (F("0.05"), F(-7)), (F("0.06"), F(0))]


def whole(one: pulse.Curve) -> pulse.Span:
    return pulse.Span(one.start_s, one.end_s)


# ── velocity change ─────────────────────────────────────────────────────────────────────────────────────────


def test_half_sine_of_class_60() -> None:
    # computed independently with scipy.signal (two runs of the J211 form): peak 19.999874 g, 9.988959 m/s over the whole
    # record; closed form of the unfiltered one: 2 A W / pi = 9.988972 m/s
    values, start = half_sine(20, F("0.08"), lead=F("0.05"))
    filtered = pulse.processed(channel(values, start=start), pulse.Recipe(60))
    change = pulse.velocity_change(filtered, whole(filtered))

    assert pulse.peak(filtered, "max").value == pytest.approx(19.999874, abs=5e-7)
    assert change is not None
    assert change.value == pytest.approx(9.988959, abs=5e-7)
    of_pulse = pulse.velocity_change(filtered)
    assert of_pulse is not None
    assert of_pulse.value == pytest.approx(2 * 20 * G * 0.08 / math.pi, rel=2e-6)
    assert of_pulse.span.begin_s == 0
    assert float(of_pulse.span.end_s) == pytest.approx(0.08, abs=0.004)


@pytest.mark.parametrize(
    ("peak", "width", "expected"),
    [
        # computed independently with 2 A W / pi: the pulse of FMVSS 208 S13, from memory of it, is 30.03 mph
        (17.2, F("0.125"), 30.03 * MPH),
        (-20.0, F("0.08"), -9.988972),
    ],
)
def test_half_sines_change_the_velocity_by_two_a_w_over_pi(
    peak: float, width: Fraction, expected: float
) -> None:
    values, start = half_sine(peak, width, lead=F("0.02"))
    change = pulse.velocity_change(curve(values, start=start))

    assert change is not None
    assert change.value == pytest.approx(expected, abs=2e-3)
    assert not change.near_end


def test_limits_between_samples_are_kept() -> None:
    ramp = curve(np.linspace(0, 50, 101))  # 0 to 50 g in 10 ms
    change = pulse.velocity_change(ramp, pulse.Span(F("0.00205"), F("0.00733")))

    # computed independently with the area below the straight line 5000 g/s t
    assert change is not None
    assert change.value == pytest.approx(2500 * (0.00733**2 - 0.00205**2) * G, rel=1e-12)
    assert change.span == pulse.Span(F("0.00205"), F("0.00733"))


def test_limits_outside_the_record_are_refused() -> None:
    with pytest.raises(InputError) as caught:
        pulse.velocity_change(curve(np.ones(101)), pulse.Span(F(0), F("0.011")))

    (problem,) = caught.value.problems
    assert (problem.code, dict(problem.parameters)) == (
        "pulse-limits",
        {"found": "0 to 0.011 s", "expected": "0 to 0.01 s"},
    )


def test_a_pulse_begins_at_time_zero_and_noise_does_not_end_it() -> None:
    values, start = half_sine(-20, F("0.08"), lead=F("0.05"))
    noisy = values + 3 * np.sin(2 * np.pi * 900 * np.arange(len(values)) * 1e-4)
    braked = np.where(np.arange(len(values)) > 1300, 0.5, 0.0)  # the sled is braked after the test
    limits = pulse.pulse_limits(pulse.processed(channel(noisy + braked, start=start), pulse.Recipe(60)))

    assert limits.begin_s == 0
    assert float(limits.end_s) == pytest.approx(0.08, abs=0.003)


def test_a_record_that_begins_late_is_integrated_from_its_first_sample() -> None:
    late = curve(np.ones(101), start=F("0.02"))

    assert pulse.pulse_limits(late) == pulse.Span(F("0.02"), F("0.03"))


def test_only_an_acceleration_in_one_direction_changes_a_velocity() -> None:
    force = pulse.processed(channel(np.ones(50), unit="N", dimension=Dimension.FORCE), pulse.Recipe())
    joined = pulse.resultant([curve(np.ones(50)), curve(np.ones(50))], "set")

    assert pulse.velocity_change(force) is None
    assert pulse.velocity_change(joined) is None


def test_metres_per_second_squared_give_the_same_velocity() -> None:
    values, start = half_sine(20, F("0.08"), lead=F("0.02"))
    in_g, in_si = curve(values, start=start), curve(values * G, start=start, unit="m/s²")
    one, other = pulse.velocity_change(in_g), pulse.velocity_change(in_si)

    assert one is not None
    assert other is not None
    assert one.value == pytest.approx(other.value, rel=1e-12)


# ── clip and time above a level ─────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("peak", "width", "expected"),
    [
        # computed independently with A cos(pi 1.5 ms / W)
        (20.0, F("0.1"), 19.977797),
        (10.0, F("0.1"), 9.98890),
        (17.2, F("0.125"), 17.18778),
        (-20.0, F("0.1"), -19.977797),
    ],
)
@pytest.mark.parametrize("kind", ["cumulative", "continuous"])
def test_three_millisecond_clip_of_a_half_sine(
    peak: float, width: Fraction, expected: float, kind: pulse.Kind
) -> None:
    values, start = half_sine(peak, width, lead=F("0.01"))
    clipped = pulse.clip(curve(values, start=start), kind)

    assert clipped is not None
    assert clipped.value == pytest.approx(expected, abs=6e-6)
    middle = float(width) / 2
    assert float(clipped.span.begin_s) == pytest.approx(middle - 0.0015, abs=2e-5)
    assert float(clipped.span.end_s) == pytest.approx(middle + 0.0015, abs=2e-5)


def test_two_short_peaks_count_together_and_not_alone() -> None:
    # computed by hand: two flat peaks of 2 ms at 30 g and a long flat of 20 g
    values = np.full(1001, 0.0)
    values[300:321], values[500:521], values[700:801] = 30, 30, 20
    both, alone = pulse.clip(curve(values), "cumulative"), pulse.clip(curve(values), "continuous")

    assert both is not None
    assert alone is not None
    assert both.value == pytest.approx(30)
    assert alone.value == pytest.approx(20)
    assert (alone.span.begin_s, alone.span.end_s) == (F("0.07"), F("0.08"))


def test_a_record_shorter_than_the_clip_has_none() -> None:
    short = curve(np.ones(30))

    assert pulse.clip(short, "cumulative") is None
    assert pulse.clip(short, "continuous") is None
    assert pulse.summary(short).document()["clip_3ms_cumulative"] is None
    exact = pulse.clip(curve(np.linspace(5, 8, 31)), "continuous")
    assert exact is not None
    assert exact.value == pytest.approx(5)


def brute(values: list[float], level: float) -> tuple[float, float]:
    """Total and longest time at or above a level, segment by segment, in samples: another way to the same."""
    total = longest = running = 0.0
    for left, right in itertools.pairwise(values):
        if min(left, right) >= level:
            part, ends, begins = 1.0, False, False
        elif max(left, right) < level:
            part, ends, begins = 0.0, True, False
        else:
            part = (max(left, right) - level) / abs(right - left)
            ends, begins = right < level, left < level
        running = part if begins else running + part
        total += part
        longest = max(longest, running)
        running = 0.0 if ends else running
    return total, longest


@pytest.mark.parametrize("seed", range(6))
def test_clips_of_noise_are_the_highest_levels_that_last(seed: int) -> None:
    random = np.random.default_rng(seed)
    values = np.cumsum(random.normal(0, 1, 700)) + random.normal(0, 2, 700)
    values -= values.min()
    for kind, index in (("cumulative", 0), ("continuous", 1)):
        clipped = pulse.clip(curve(values), "cumulative" if index == 0 else "continuous")
        assert clipped is not None, kind
        # computed independently with a loop over the segments
        assert brute(values.tolist(), clipped.value - 1e-6)[index] >= 30 - 1e-6
        assert brute(values.tolist(), clipped.value + 1e-6)[index] < 30


@pytest.mark.parametrize("seed", range(4))
def test_time_above_a_level_of_noise(seed: int) -> None:
    values = np.random.default_rng(seed).normal(0, 5, 300)
    for level in (0.0, 2.5, 7.0):
        total, longest = brute(values.tolist(), level)
        assert pulse.time_above(curve(values), level, "cumulative").value == pytest.approx(total * 1e-4)
        assert pulse.time_above(curve(values), level, "continuous").value == pytest.approx(longest * 1e-4)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("kind", ["cumulative", "continuous"])
def test_time_above_ten_g_of_a_half_sine(sign: int, kind: pulse.Kind) -> None:
    # computed independently with (1 - 2 asin(1/2) / pi) W = 2/3 of 100 ms
    values, start = half_sine(20 * sign, F("0.1"), lead=F("0.02"))
    found = pulse.time_above(curve(values, start=start), 10 * sign, kind)

    assert found.value == pytest.approx(0.0666667, abs=1e-6)
    assert float(found.span.begin_s) == pytest.approx(0.1 / 6, abs=1e-6)


def test_never_above_is_no_time() -> None:
    found = pulse.time_above(curve(np.ones(50)), 2, "continuous")

    assert found == pulse.Figure(0, pulse.Span(F(0), F(0)), near_end=False)


# ── corridor ────────────────────────────────────────────────────────────────────────────────────────────────


def trapezoid(plateau: float, corners_ms: tuple[float, float, float]) -> pulse.Curve:
    """A pulse from zero at 0 ms to the plateau, held, and back; recorded from -20 to 120 ms."""
    up, hold, down = (corner / 1000 for corner in corners_ms)
    values, start = polyline([(0, 0), (up, -plateau), (hold, -plateau), (down, 0)], begin=-0.02, end=0.12)
    return curve(values, start=start)


def test_a_trapezoid_inside_the_side_corridor() -> None:
    # computed independently by hand on the corridor of SAE J2956: worst margin 3.5 g; 15.79 mph
    one = trapezoid(22.5, (12, 32, 44))
    margin, change = pulse.corridor(one, SIDE_UPPER, SIDE_LOWER, "g"), pulse.velocity_change(one)

    assert margin is not None
    assert change is not None
    assert margin.value == pytest.approx(3.5)
    assert F("0.012") <= margin.at_s <= F("0.032")
    assert change.value / MPH == pytest.approx(-15.79, abs=5e-3)
    assert 14 <= -change.value / MPH <= 16


def test_a_trapezoid_inside_the_rear_corridor() -> None:
    # computed independently by hand on the corridor of SAE J3044: worst margin 1.0 g; 10.41 mph
    one = trapezoid(9, (17.5, 55, 68))
    margin, change = pulse.corridor(one, REAR_UPPER, REAR_LOWER, "g"), pulse.velocity_change(one)

    assert margin is not None
    assert change is not None
    assert margin.value == pytest.approx(1.0, abs=2e-3)
    assert -change.value / MPH == pytest.approx(10.41, abs=5e-3)


def test_a_trapezoid_inside_the_side_corridor_fails_its_velocity_change() -> None:
    """Why both are judged: the corridor leaves room for 9 to 24 mph."""
    # computed independently by hand: 22.5 g (20 + 46) ms / 2 is 16.29 mph, beyond 15 plus 1
    one = trapezoid(22.5, (12, 32, 46))
    margin, change = pulse.corridor(one, SIDE_UPPER, SIDE_LOWER, "g"), pulse.velocity_change(one)

    assert margin is not None
    assert change is not None
    assert margin.value == pytest.approx(3.5)
    assert -change.value / MPH == pytest.approx(16.29, abs=5e-3)


def test_the_worst_place_outside_is_named() -> None:
    one = trapezoid(17, (12, 32, 44))
    margin = pulse.corridor(one, SIDE_UPPER, SIDE_LOWER, "g")

    assert margin is not None
    assert margin.value == pytest.approx(-2)
    assert (margin.at_s, margin.side) == (F("0.016"), "upper")


def test_a_record_that_ends_before_the_corridor_answers_nothing() -> None:
    values, start = polyline([(0, 0), (0.012, -22), (0.05, -22)], begin=-0.02, end=0.05)

    assert pulse.corridor(curve(values, start=start), SIDE_UPPER, SIDE_LOWER, "g") is None
    assert pulse.corridor(curve(values, start=start), SIDE_UPPER, (), "g") is not None


def test_a_corridor_in_g_takes_a_channel_in_si() -> None:
    one = trapezoid(22.5, (12, 32, 44))
    margin = pulse.corridor(
        curve(one.values * G, start=one.start_s, unit="m/s²"), SIDE_UPPER, SIDE_LOWER, "g"
    )

    assert margin is not None
    assert margin.value == pytest.approx(3.5)
    odd = pulse.processed(replace(channel(one.values), unit="bar", dimension=None), pulse.Recipe())
    with pytest.raises(KeyError):
        pulse.corridor(odd, SIDE_UPPER, SIDE_LOWER, "g")


def test_a_step_of_a_corridor_belongs_to_it() -> None:
    upper = [(F(0), F(10)), (F("0.005"), F(10)), (F("0.005"), F(3)), (F("0.01"), F(3))]
    step = np.where(np.arange(101) <= 50, 9.0, 2.0)
    margin = pulse.corridor(curve(step), upper, (), "g")

    # at the step itself the greater side counts; just after it the channel is still on its way down
    assert margin is not None
    assert margin.value == pytest.approx(1)
    late = np.where(np.arange(101) <= 51, 9.0, 2.0)
    outside = pulse.corridor(curve(late), upper, (), "g")
    assert outside is not None
    assert outside.value == pytest.approx(-6)
    assert outside.at_s == F("0.0051")


def test_a_corner_between_two_samples_is_seen() -> None:
    upper = [(F(0), F(10)), (F("0.00505"), F(1)), (F("0.01"), F(10))]
    margin = pulse.corridor(curve(np.full(101, 1.05)), upper, (), "g")

    assert margin is not None
    assert margin.value == pytest.approx(-0.05)
    assert margin.at_s == F("0.00505")


# ── processing ──────────────────────────────────────────────────────────────────────────────────────────────


def test_offset_is_the_mean_of_its_window() -> None:
    # computed independently: 0.1 g over 100 ms is 0.098 m/s
    shifted = channel(np.full(1201, 0.1), start=F("-0.02"))
    recipe = pulse.Recipe(offset=pulse.Span(F("-0.02"), F("-0.001")))
    before, after = (
        pulse.velocity_change(pulse.processed(shifted, each)) for each in (pulse.Recipe(), recipe)
    )

    assert before is not None
    assert after is not None
    assert before.value == pytest.approx(0.098, abs=1e-4)
    assert after.value == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(("begin", "end"), [("-0.03", "0"), ("0.05", "0.2"), ("0.01", "0.01003")])
def test_a_window_outside_the_record_is_refused(begin: str, end: str) -> None:
    one = channel(np.ones(1001), start=F("-0.02"))

    with pytest.raises(InputError) as caught:
        pulse.processed(one, pulse.Recipe(offset=pulse.Span(F(begin), F(end))))

    assert caught.value.problems[0].code == "pulse-offset-window"


def test_too_few_samples_and_too_slow_sampling_are_refused() -> None:
    with pytest.raises(InputError) as short:
        pulse.processed(channel(np.ones(19)), pulse.Recipe())
    with pytest.raises(InputError) as slow:
        pulse.processed(channel(np.ones(100), step=F(1, 500)), pulse.Recipe(180))

    assert short.value.problems[0].code == "pulse-too-short"
    assert slow.value.problems[0].code == "pulse-too-slow"


@pytest.mark.parametrize(
    ("recorded", "doubts", "notices"),
    [
        ("unfiltered", (), ()),
        ("undeclared", ("pulse-filter-undeclared",), ()),
        ("1000", ("pulse-filtered-again",), ()),
        ("180", ("pulse-filtered-again",), ()),
        ("pre-filtered", ("pulse-filtered-again",), ()),
        ("special", ("pulse-filtered-again",), ()),
        ("60", (), ("pulse-filtered-by-source",)),
    ],
)
def test_a_second_filter_leaves_a_doubt(
    recorded: str, doubts: tuple[str, ...], notices: tuple[str, ...]
) -> None:
    values, start = half_sine(20, F("0.02"), lead=F("0.03"))
    source = replace(channel(values, start=start), recorded=recorded)  # type: ignore[arg-type]
    found = pulse.processed(source, pulse.Recipe(60))

    assert (found.doubts, found.notices, found.cfc) == (doubts, notices, 60)
    assert found.form == (None if recorded == "60" else "j211")
    assert bool((found.values == values).all()) is (recorded == "60")


@pytest.mark.parametrize(("hertz", "doubted"), [(F(2800), False), (F(1650), False), (F(1000), True)])
def test_the_recorders_own_filter_counts_where_it_is_low(hertz: Fraction, *, doubted: bool) -> None:
    source = replace(channel(np.ones(100), recorded="pre-filtered"), cutoff_hz=hertz)
    found = pulse.processed(source, pulse.Recipe(60))

    assert (found.doubts != (), "pulse-recorder-filter" in found.notices) == (doubted, not doubted)


def test_warnings_of_the_sampling() -> None:
    at_10, at_8 = channel(np.ones(100)), channel(np.ones(100), step=F(1, 8000))

    assert pulse.processed(at_10, pulse.Recipe(600)).notices == ("pulse-roll-off",)
    assert pulse.processed(at_8, pulse.Recipe(1000)).notices == ("pulse-roll-off", "pulse-sampled-slowly")
    assert pulse.processed(at_10, pulse.Recipe()).notices == ("pulse-not-filtered",)


def test_resultant_of_three() -> None:
    x, y, z = (curve(np.full(40, each)) for each in (2.0, -3.0, 6.0))
    joined = pulse.resultant([x, y, z], "set")

    assert joined.values == pytest.approx(7)
    assert joined.name == "resultant(pulse,pulse,pulse)"
    mixed = pulse.resultant([x, curve(np.full(40, -3 * G), unit="m/s²")], "set")
    assert mixed.values == pytest.approx(math.sqrt(13))


def test_channels_that_differ_make_no_resultant() -> None:
    one = curve(np.ones(40))
    others = {
        "sampling interval": curve(np.ones(40), step=STEP * 2),
        "first sample": curve(np.ones(40), start=F("-0.1")),
        "number of samples": curve(np.ones(41)),
        "quantity": pulse.processed(
            channel(np.ones(40), unit="N", dimension=Dimension.FORCE), pulse.Recipe()
        ),
        "class": pulse.processed(channel(np.ones(40)), pulse.Recipe(60)),
    }
    for differs, other in others.items():
        with pytest.raises(InputError) as caught:
            pulse.resultant([one, other], "set")
        (problem,) = caught.value.problems
        assert (problem.code, problem.parameters["differs"]) == ("pulse-resultant", differs)


def test_excursion_is_measured_from_time_zero() -> None:
    values, start = polyline([(0, 12), (0.05, 340), (0.1, -30)], begin=-0.05, end=0.1)
    moved = pulse.processed(
        channel(values, start=start, unit="mm", dimension=Dimension.LENGTH), pulse.Recipe()
    )
    found = pulse.excursion(moved)

    assert found is not None
    assert found.value == pytest.approx(328)
    assert found.span == pulse.Span(F(0), F("0.05"))
    assert pulse.excursion(curve(values, start=start)) is None


@pytest.mark.parametrize(("cfc", "reach"), [(60, F("0.02")), (180, F("0.02") / 3), (1000, F("0.0012"))])
def test_figures_near_an_end_are_flagged(cfc: pulse.Class, reach: Fraction) -> None:
    # common practice, no source: 20 ms x 60 / class
    one = pulse.processed(channel(np.ones(1001), start=F("-0.05")), pulse.Recipe(cfc))

    assert one.near_end(F("-0.05") + reach - STEP)
    assert not one.near_end(F("-0.05") + reach)
    assert one.near_end(F("0.05") - reach + STEP)
    assert not pulse.processed(channel(np.ones(1001)), pulse.Recipe()).near_end(F(0))


def test_the_summary_warns_of_figures_near_an_end() -> None:
    values, start = half_sine(20, F("0.08"))
    told = pulse.summary(pulse.processed(channel(values[:420], start=start), pulse.Recipe(60))).warnings

    assert told == ("pulse-clip-near-end", "pulse-delta-v-near-end", "pulse-peak-near-end")


def test_the_lesser_peak_at_an_end_is_no_warning() -> None:
    values, start = half_sine(-20, F("0.08"), lead=F("0.05"))
    found = pulse.summary(pulse.processed(channel(values, start=start), pulse.Recipe(180)))
    loud = values.copy()
    loud[:30] = 15
    told = pulse.summary(pulse.processed(channel(loud, start=start), pulse.Recipe(180)))

    assert found.warnings == ()
    assert told.warnings == ("pulse-peak-near-end",)


def test_the_document_holds_decimal_strings() -> None:
    values, start = half_sine(-20, F("0.08"), lead=F("0.05"))
    document = pulse.summary(pulse.processed(channel(values, start=start), pulse.Recipe(60))).document()

    assert document == {
        "name": "pulse",
        "unit": "g",
        "sampling_interval_s": "0.0001",
        "samples": "1801",
        "cfc": "60",
        "form": "j211",
        "peak_max": document["peak_max"],
        "peak_min": "-19.9998738",
        "time_of_peak_max_s": document["time_of_peak_max_s"],
        "time_of_peak_min_s": "0.04",
        "clip_3ms_cumulative": document["clip_3ms_cumulative"],
        "clip_3ms_continuous": document["clip_3ms_continuous"],
        "delta_v_m_s": document["delta_v_m_s"],
        "warnings": [],
    }
    assert float(document["delta_v_m_s"]) == pytest.approx(-9.98897, abs=2e-5)
    # computed independently with A cos(pi 1.5 ms / W) = 19.9653, of an unfiltered half-sine
    assert float(document["clip_3ms_cumulative"]) == pytest.approx(-19.9653, abs=2e-3)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (1e-12, "0.000000000001"),
        (-123456.789012, "-123456.789"),
        (1e10, "10000000000"),
        (40.0, "40"),
    ],
)
def test_decimal_strings(value: float, text: str) -> None:
    assert pulse.decimal(value) == text
