"""Channel frequency classes: a Butterworth filter of second order, run forward and backward.

Two forms are in use. They differ in the design frequency, by 0.3 %, and in how the two runs begin:

- ``j211``: design frequency 2.0775 times the class; each run begins as if the first value had always been there.
- ``iso6487``: design frequency 1.25/0.6 times the class; each run begins at the mean of its first ten values.

Both get the record lengthened at each end by its own odd reflection. Sources: from memory of SAE J211-1, appendix on
the digital filter, and of ISO 6487, annex on the filter algorithm; the two design factors and the padding agree with
several public implementations.
"""

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Form = Literal["j211", "iso6487"]
Class = Literal[60, 180, 600, 1000]
Floats = NDArray[np.float64]

FORMS: tuple[Form, ...] = ("j211", "iso6487")
CLASSES: tuple[Class, ...] = (60, 180, 600, 1000)
_DESIGN: dict[Form, float] = {"j211": 2.0775, "iso6487": 1.25 / 0.6}
# (F_H, F_N) in Hz. published: UN Regulation No. 94, annex on measurement technique, table of frequency classes
CORNERS: dict[Class, tuple[int, int]] = {60: (60, 100), 180: (180, 300), 600: (600, 1000), 1000: (1000, 1650)}

PAD_SECONDS = 0.01  # at each end; and
PAD_SAMPLES = 100  # at least, both from memory of ISO 6487
START_SAMPLES = 10  # whose mean an ISO 6487 run begins at
SLOWEST = 10  # samples per period of F_H that SAE J211-1 asks for, from memory
FAINTEST_DB = -60  # what is fainter is lost in a recorder's noise (common practice, no source)
MIN_SAMPLES = 20  # fewer say nothing that a filter could leave standing


def coefficients(cfc: Class, interval_s: float, form: Form) -> tuple[float, float, float]:
    """``a0``, ``b1`` and ``b2`` of ``y[t] = a0 (x[t] + 2 x[t-1] + x[t-2]) + b1 y[t-1] + b2 y[t-2]``.

    Args:
        cfc: channel frequency class.
        interval_s: sampling interval in seconds; ``too_slow`` must not hold.
        form: whose design frequency.
    """
    edge = math.tan(_design(cfc, form) * interval_s / 2)
    root = math.sqrt(2) * edge
    whole = 1 + root + edge * edge
    return edge * edge / whole, -2 * (edge * edge - 1) / whole, (-1 + root - edge * edge) / whole


def gain_db(frequency_hz: float, cfc: Class, interval_s: float, form: Form) -> float:
    """Gain of both runs together in decibels, below half the sampling frequency."""
    ratio = math.tan(math.pi * frequency_hz * interval_s) / math.tan(_design(cfc, form) * interval_s / 2)
    return -20 * math.log10(1 + ratio**4)


def too_slow(cfc: Class, interval_s: float) -> bool:
    """Whether the sampling cannot hold the class at all: its F_N lies at or above half the sampling frequency."""
    return CORNERS[cfc][1] * 2 * interval_s >= 1


def sampled_slowly(cfc: Class, interval_s: float) -> bool:
    """Whether there are fewer than ten samples per period of F_H."""
    return CORNERS[cfc][0] * SLOWEST * interval_s > 1 + 1e-9


def leaves_roll_off(cfc: Class, interval_s: float, form: Form) -> bool:
    """Whether the filter is steeper above F_N than the classes' corridor allows.

    A digital filter has no gain left at half the sampling frequency. The corridor's lower bound falls from -4 dB at
    F_N by 24 dB per octave (published: UN Regulation No. 94, annex on measurement technique); it is looked at down to
    ``FAINTEST_DB``, for near half the sampling frequency every digital filter leaves it.
    """
    lowest = CORNERS[cfc][1]
    highest = lowest * 2 ** ((-4 - FAINTEST_DB) / 24)
    for step in range(1, 65):
        frequency = lowest * (highest / lowest) ** (step / 64)
        bound = -4 - 24 * math.log2(frequency / lowest)
        beyond = 2 * frequency * interval_s >= 1
        if beyond or gain_db(frequency, cfc, interval_s, form) < bound:
            return True
    return False


def filtered(values: Floats, cfc: Class, interval_s: float, form: Form) -> Floats:
    """The values after both runs.

    Args:
        values: shape (n,), n >= ``MIN_SAMPLES``, evenly sampled.
        cfc: channel frequency class.
        interval_s: sampling interval in seconds; ``too_slow`` must not hold.
        form: design frequency and way to begin.
    """
    count = padding(len(values), interval_s)
    reflected_start = 2 * values[0] - values[count:0:-1]
    reflected_end = 2 * values[-1] - values[-2 : -count - 2 : -1]
    padded = np.concatenate((reflected_start, values, reflected_end))
    given = coefficients(cfc, interval_s, form)
    forward = _run(padded, given, form)
    backward = _run(forward[::-1], given, form)[::-1]
    return np.ascontiguousarray(backward[count : count + len(values)])


def padding(samples: int, interval_s: float) -> int:
    """Samples that are added at each end."""
    return min(max(math.ceil(PAD_SECONDS / interval_s - 1e-9), PAD_SAMPLES), samples - 1)


def _design(cfc: Class, form: Form) -> float:
    return 2 * math.pi * cfc * _DESIGN[form]


def _run(values: Floats, given: tuple[float, float, float], form: Form) -> Floats:
    """One run; both outputs and both inputs before the first sample stand at the value where it begins."""
    a0, b1, b2 = given
    begin = float(values[:START_SAMPLES].mean()) if form == "iso6487" else float(values[0])
    early = np.concatenate(((begin, begin), values))
    driven = a0 * (early[2:] + 2 * early[1:-1] + early[:-2])
    return _recursion(driven, b1, b2, begin)


def _recursion(driven: Floats, b1: float, b2: float, begin: float) -> Floats:
    """``y[t] = driven[t] + b1 y[t-1] + b2 y[t-2]``, with ``begin`` as both outputs before the first.

    The record is cut into about as many pieces as each has samples; all pieces run side by side as if nothing had been
    before them. What each inherits from the two last outputs of the piece before is added afterwards, because the
    recursion is linear. So there are two short loops instead of one over all samples.
    """
    length = max(2, math.isqrt(len(driven)))
    pieces = -(-len(driven) // length)
    padded = np.zeros(pieces * length)
    padded[: len(driven)] = driven
    out = np.ascontiguousarray(padded.reshape(pieces, length).T)
    out[1] += b1 * out[0]
    for at in range(2, length):
        out[at] += b1 * out[at - 1] + b2 * out[at - 2]
    heritage = _heritage(length, b1, b2)
    (early_last, early_before), (late_last, late_before) = heritage[-2:].tolist()
    before, last = begin, begin
    states = []
    for early, late in out[-2:].T.tolist():
        states.append((last, before))
        before, last = (
            early + early_last * last + early_before * before,
            late + late_last * last + late_before * before,
        )
    lasts, befores = np.array(states).T
    out += heritage[:, :1] * lasts + heritage[:, 1:] * befores
    return np.ascontiguousarray(out.T).reshape(-1)[: len(driven)]


def _heritage(length: int, b1: float, b2: float) -> Floats:
    """What is left of the last output of the piece before and of the one before it: shape (length, 2)."""
    left = np.zeros((length + 2, 2))
    left[:2] = (0, 1), (1, 0)  # the one before, then the last
    for at in range(2, length + 2):
        left[at] = b1 * left[at - 1] + b2 * left[at - 2]
    return left[2:]
