"""The class filters against tables, closed forms and another program's filters."""

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy import signal

from evidence.measure import _filter
from evidence.measure._filter import CLASSES, CORNERS, FORMS, Class, Form

T = 1e-4

# computed independently with the formula of SAE J211-1 (from memory of its appendix), at 10 kHz: a0, b1, b2, gain at
# F_H and at F_N in dB, and a0 of the ISO 6487 form
TABLE: list[tuple[Class, tuple[float, float, float], tuple[float, float], float]] = [
    (60, (0.001452367474, 1.889343224222, -0.895152694116), (-0.4535, -3.0085), 0.001460316306),
    (180, (0.011796271100, 1.670117463268, -0.717302547667), (-0.4480, -2.9936), 0.011857682643),
    (600, (0.097184625279, 0.945574009062, -0.334312510179), (-0.3869, -2.8188), 0.097631072938),
    (1000, (0.219231417219, 0.311896544996, -0.188822213872), (-0.2790, -2.3454), 0.220194700273),
]


@pytest.mark.parametrize(("cfc", "coefficients", "gains", "iso_a0"), TABLE)
def test_coefficients_and_gains_are_those_of_the_table(
    cfc: Class, coefficients: tuple[float, float, float], gains: tuple[float, float], iso_a0: float
) -> None:
    assert _filter.coefficients(cfc, T, "j211") == pytest.approx(coefficients, abs=1e-12)
    assert _filter.coefficients(cfc, T, "iso6487")[0] == pytest.approx(iso_a0, abs=1e-12)
    found = [_filter.gain_db(frequency, cfc, T, "j211") for frequency in CORNERS[cfc]]
    assert found == pytest.approx(gains, abs=5e-5)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("cfc", CLASSES)
@pytest.mark.parametrize("interval", [1e-4, 5e-5, 1e-5])
def test_coefficients_are_a_butterworth_filter_of_second_order(
    cfc: Class, form: Form, interval: float
) -> None:
    # computed independently with scipy.signal.butter, whose frequency is the design frequency in hertz
    design = cfc * {"j211": 2.0775, "iso6487": 1.25 / 0.6}[form]
    b, a = signal.butter(2, design, fs=1 / interval)
    a0, b1, b2 = _filter.coefficients(cfc, interval, form)

    assert [a0, 2 * a0, a0] == pytest.approx(list(b), abs=1e-15, rel=1e-9)
    assert [1, -b1, -b2] == pytest.approx(list(a), abs=1e-15, rel=1e-12)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("cfc", CLASSES)
def test_a_steady_value_passes_and_comes_out_the_same(cfc: Class, form: Form) -> None:
    a0, b1, b2 = _filter.coefficients(cfc, T, form)

    assert 4 * a0 / (1 - b1 - b2) == pytest.approx(1, abs=1e-12)
    assert _filter.filtered(np.full(500, -7.25), cfc, T, form) == pytest.approx(-7.25, abs=1e-9)


@pytest.mark.parametrize(
    ("cfc", "at_500", "at_510"),
    # computed independently with scipy.signal on the J211 form, 1001 samples
    [(60, 0.027664193945, 0.021912783952), (180, 0.082470634183, 0.014322248366)],
)
def test_a_unit_impulse(cfc: Class, at_500: float, at_510: float) -> None:
    impulse = np.zeros(1001)
    impulse[500] = 1
    out = _filter.filtered(impulse, cfc, T, "j211")

    assert out[500] == pytest.approx(at_500, abs=1e-12)
    assert out[[490, 510]] == pytest.approx([at_510, at_510], abs=1e-12)
    assert out.sum() == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("cfc", CLASSES)
@pytest.mark.parametrize("samples", [20, 101, 127, 128, 129, 257, 3500])
def test_the_j211_form_is_what_another_program_filters(cfc: Class, samples: int) -> None:
    # computed independently with scipy.signal.filtfilt, whose runs begin in the steady state of the first value
    values = np.random.default_rng(samples).normal(3, 10, samples)
    a0, b1, b2 = _filter.coefficients(cfc, T, "j211")
    pad = min(100, samples - 1)
    expected = signal.filtfilt([a0, 2 * a0, a0], [1, -b1, -b2], values, padtype="odd", padlen=pad)

    assert _filter.filtered(values, cfc, T, "j211") == pytest.approx(expected, abs=1e-11)


@pytest.mark.parametrize("cfc", CLASSES)
def test_the_iso_form_begins_each_run_at_the_mean_of_ten(cfc: Class) -> None:
    # computed independently with scipy.signal.lfilter and lfiltic on the padded record
    values = np.random.default_rng(cfc).normal(-5, 4, 700)
    a0, b1, b2 = _filter.coefficients(cfc, T, "iso6487")
    b, a = [a0, 2 * a0, a0], [1, -b1, -b2]
    run = np.concatenate((2 * values[0] - values[100:0:-1], values, 2 * values[-1] - values[-2:-102:-1]))
    for _ in range(2):
        begin = [run[:10].mean()] * 2
        run = signal.lfilter(b, a, run, zi=signal.lfiltic(b, a, begin, begin))[0][::-1]

    assert _filter.filtered(values, cfc, T, "iso6487") == pytest.approx(run[100:-100], abs=1e-11)


@pytest.mark.parametrize(
    ("samples", "interval", "expected"),
    [
        (3500, 1e-4, 100),
        (3500, 2e-4, 100),
        (3500, 5e-5, 200),
        (3500, 1e-5, 1000),
        (60, 1e-4, 59),
        (500, 1e-5, 499),
    ],
)
def test_padding(samples: int, interval: float, expected: int) -> None:
    # from memory of ISO 6487: min(max(0.01 s / T, 100), N - 1)
    assert _filter.padding(samples, interval) == expected


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("cfc", CLASSES)
@pytest.mark.parametrize("interval", [1e-4, 5e-5])
def test_gain_in_the_pass_band_keeps_to_the_corridor(cfc: Class, form: Form, interval: float) -> None:
    # published: UN Regulation No. 94, annex on measurement technique, table of frequency classes: 0.5 dB either way to
    # F_H, +0.5/-1 dB at F_H, +0.5/-4 dB at F_N
    high, nominal = CORNERS[cfc]
    gains = [_filter.gain_db(frequency, cfc, interval, form) for frequency in np.linspace(0.1, high, 200)]

    assert max(gains) <= 0.5
    assert min(gains[:-1]) >= -0.5
    assert -1 <= gains[-1] <= 0.5
    assert -4 <= _filter.gain_db(nominal, cfc, interval, form) <= 0.5


def test_the_gain_is_what_comes_out() -> None:
    # computed independently with the frequency response of scipy.signal, squared for the two runs
    for cfc in CLASSES:
        a0, b1, b2 = _filter.coefficients(cfc, T, "j211")
        frequencies = [cfc / 2, cfc, cfc * 5 / 3, cfc * 2.5]
        _, response = signal.freqz([a0, 2 * a0, a0], [1, -b1, -b2], frequencies, fs=1 / T)
        ours = [_filter.gain_db(frequency, cfc, T, "j211") for frequency in frequencies]
        assert ours == pytest.approx(list(40 * np.log10(np.abs(response))), abs=1e-9)


def roll_off(cfc: Class, frequency: float) -> float:
    """Lower bound of the corridor above F_N, in dB; published: UN Regulation No. 94, the same table, -24 dB per octave."""
    return -4 - 24 * math.log2(frequency / CORNERS[cfc][1])


@pytest.mark.parametrize(("cfc", "frequency"), [(600, 3800.0), (1000, 4000.0)])
def test_the_upper_classes_leave_the_roll_off_at_ten_kilohertz_and_say_so(
    cfc: Class, frequency: float
) -> None:
    assert -60 < roll_off(cfc, frequency) - 5 < -30
    assert _filter.gain_db(frequency, cfc, T, "j211") < roll_off(cfc, frequency)

    assert _filter.leaves_roll_off(cfc, T, "j211")
    assert _filter.leaves_roll_off(cfc, T, "iso6487")
    assert not _filter.leaves_roll_off(cfc, 1e-5, "j211")


@pytest.mark.parametrize("cfc", [60, 180])
def test_the_lower_classes_keep_to_the_roll_off(cfc: Class) -> None:
    assert not _filter.leaves_roll_off(cfc, T, "j211")
    assert not _filter.leaves_roll_off(cfc, T, "iso6487")


def test_slow_sampling_is_known() -> None:
    # from memory of SAE J211-1: at least ten samples per period of F_H
    assert not _filter.sampled_slowly(1000, 1e-4)
    assert _filter.sampled_slowly(1000, 1.25e-4)
    assert _filter.too_slow(1000, 1 / 3300)
    assert not _filter.too_slow(1000, 1 / 3301)


@pytest.mark.parametrize(("back", "wrong"), [(0, 0.64), (50, 0.038), (100, 0.002), (200, 1e-5)])
def test_a_record_that_ends_with_the_pulse_is_wrong_near_its_end(back: int, wrong: float) -> None:
    """Half a sine of 20 g and 80 ms, class 60, cut where it returns to zero: 0, 5, 10 and 20 ms before the cut.

    The bounds of the first three were computed independently for another cut, which is not stated; ours is computed
    independently with scipy.signal.filtfilt.
    """
    times = np.arange(-200, 1001) * T
    whole = np.where((times >= 0) & (times <= 0.08), 20 * np.sin(np.pi * times / 0.08), 0.0)
    cut = 1000
    a0, b1, b2 = _filter.coefficients(60, T, "j211")
    other = signal.filtfilt([a0, 2 * a0, a0], [1, -b1, -b2], whole[: cut + 1], padtype="odd", padlen=100)
    truth = _filter.filtered(whole, 60, T, "j211")[cut - back]
    ours = _filter.filtered(whole[: cut + 1], 60, T, "j211")[cut - back]

    assert ours == pytest.approx(other[cut - back], abs=1e-10)
    assert wrong / 3 < abs(ours - truth) <= wrong


def test_exact_intervals_stay_exact() -> None:
    assert _filter.padding(5000, float(Fraction(1, 12_800))) == 128
