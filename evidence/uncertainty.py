"""Uncertainty of a measured value, and what may be decided with it.

Propagation follows the guide to the expression of uncertainty in measurement (JCGM 100), its check by drawing from
distributions the first supplement (JCGM 101), decisions the guide to conformity assessment (JCGM 106), and the
agreement of two measurements the E_n score of ISO/IEC 17043; all from memory of these documents.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from statistics import NormalDist
from typing import TYPE_CHECKING, Any, Final, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Formula = Callable[[Mapping[str, Any]], Any]
"""A measurement's formula: inputs by name, each a number or an array of draws, to the result in the same form."""

Distribution = Literal["normal", "rectangular", "triangular", "t"]
Correlations = Mapping[tuple[str, str], float]
"""Coefficient of each pair of names; a pair that is not listed is uncorrelated."""

COVERAGE: Final = 0.95
NORMAL_FACTOR: Final = 1.96  # from memory of JCGM 100: the normal distribution's factor for that coverage
STATED_FACTOR: Final = (
    2  # by which expanded uncertainties that people state are taken to be made; common practice
)
TRIALS: Final = 200_000
SERIES_TO: Final = 1000  # degrees of freedom up to which Student's t is summed exactly
_NORMAL: Final = NormalDist()


@dataclass(frozen=True)
class Input:
    """What is known of one input.

    Attributes:
        value: its estimate.
        standard: standard uncertainty, not negative.
        degrees: degrees of freedom of that uncertainty, at least one; infinite where it is taken as known.
        distribution: shape to draw from; ``t`` draws from Student's t with ``degrees``, scaled by ``standard``.
    """

    value: float
    standard: float
    degrees: float = math.inf
    distribution: Distribution = "normal"

    def __post_init__(self) -> None:
        """Refuse what no uncertainty can be."""
        if not (self.standard >= 0 and math.isfinite(self.standard)):
            raise ValueError(f"standard uncertainty {self.standard}")
        if not self.degrees >= 1:
            raise ValueError(f"degrees of freedom {self.degrees}")
        if self.distribution == "t" and math.isinf(self.degrees):
            raise ValueError("Student's t needs finite degrees of freedom")


def rectangular(value: float, half_width: float, degrees: float = math.inf) -> Input:
    """An input that lies anywhere within plus or minus ``half_width``, every place as likely."""
    return Input(value, half_width / math.sqrt(3), degrees, "rectangular")


def triangular(value: float, half_width: float, degrees: float = math.inf) -> Input:
    """An input within plus or minus ``half_width``, the middle likeliest."""
    return Input(value, half_width / math.sqrt(6), degrees, "triangular")


@dataclass(frozen=True)
class Contribution:
    """What one input adds.

    Attributes:
        name: of the input.
        sensitivity: change of the result by change of the input; zero where the input has no uncertainty.
        standard: sensitivity times standard uncertainty, in the unit of the result, not negative.
    """

    name: str
    sensitivity: float
    standard: float


@dataclass(frozen=True)
class Propagated:
    """A result with its uncertainty.

    Attributes:
        value: the formula at the estimates.
        standard: combined standard uncertainty.
        degrees: effective degrees of freedom, not truncated.
        coverage: probability of the expanded uncertainty.
        factor: coverage factor.
        terms: contributions, largest first.
    """

    value: float
    standard: float
    degrees: float
    coverage: float
    factor: float
    terms: tuple[Contribution, ...]

    @property
    def expanded(self) -> float:
        """Expanded uncertainty."""
        return self.factor * self.standard


def propagate(
    formula: Formula,
    inputs: Mapping[str, Input],
    correlations: Correlations | None = None,
    coverage: float = COVERAGE,
) -> Propagated:
    """First-order propagation; each sensitivity from the formula one standard uncertainty above and below.

    Raises:
        ValueError: a correlation of an input that is not there or beyond plus or minus one, or of one whose degrees of
            freedom are finite, for which no effective number of them is defined.
    """
    pairs = _checked(correlations or {}, inputs)
    middle = {name: one.value for name, one in inputs.items()}
    shifts = {name: _shift(formula, middle, name, one.standard) for name, one in inputs.items()}
    independent = sum(shift**2 for shift in shifts.values())
    together = sum(2 * shifts[one] * shifts[other] * factor for (one, other), factor in pairs.items())
    standard = math.sqrt(max(independent + together, 0.0))
    degrees = effective_degrees(standard, {name: (shifts[name], one.degrees) for name, one in inputs.items()})
    terms = [
        Contribution(name, shift / inputs[name].standard if shift else 0.0, abs(shift))
        for name, shift in shifts.items()
    ]
    return Propagated(
        value=float(formula(middle)),
        standard=standard,
        degrees=degrees,
        coverage=coverage,
        factor=coverage_factor(coverage, degrees),
        terms=tuple(sorted(terms, key=lambda term: (-term.standard, term.name))),
    )


def _shift(formula: Formula, middle: Mapping[str, float], name: str, standard: float) -> float:
    if standard == 0:
        return 0.0
    above = formula({**middle, name: middle[name] + standard})
    below = formula({**middle, name: middle[name] - standard})
    return float(above - below) / 2


def _checked(correlations: Correlations, inputs: Mapping[str, Input]) -> Correlations:
    for pair, factor in correlations.items():
        if pair[0] == pair[1] or any(name not in inputs for name in pair) or not -1 <= factor <= 1:
            raise ValueError(f"correlation {factor} of {pair}")
        if factor and any(math.isfinite(inputs[name].degrees) for name in pair):
            raise ValueError(f"correlated inputs with finite degrees of freedom: {pair}")
    return correlations


def effective_degrees(standard: float, parts: Mapping[str, tuple[float, float]]) -> float:
    """Effective degrees of freedom after Welch and Satterthwaite.

    ``parts`` holds contribution and degrees of freedom of each input.
    """
    spent = sum(part**4 / degrees for part, degrees in parts.values() if part)
    return standard**4 / spent if spent else math.inf


def coverage_factor(coverage: float, degrees: float) -> float:
    """Factor that a coverage probability takes, by Student's t; degrees of freedom are truncated to a whole number.

    Up to a thousand degrees the finite trigonometric series of the distribution (Abramowitz and Stegun 26.7.3 and
    26.7.4) is inverted by halving; beyond, the expansion about the normal quantile (26.7.5) is good to about 1e-8.

    Raises:
        ValueError: coverage not between zero and one, or fewer than one degree of freedom.
    """
    if not 0 < coverage < 1 or not degrees >= 1:
        raise ValueError(f"coverage {coverage} with {degrees} degrees of freedom")
    z = _NORMAL.inv_cdf((1 + coverage) / 2)
    if math.isinf(degrees):
        return z
    whole = math.floor(degrees)
    if whole > SERIES_TO:
        return z + (z**3 + z) / (4 * whole) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * whole**2)
    low, high = 0.0, math.pi / 2
    while (middle := (low + high) / 2) not in (low, high):
        low, high = (middle, high) if _within(middle, whole) < coverage else (low, middle)
    return math.sqrt(whole) * math.tan(low)


def _within(angle: float, degrees: int) -> float:
    """Probability of plus or minus t, where t is the root of the degrees times the angle's tangent."""
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = degrees % 2
    term = cosine if odd else 1.0
    total = 0.0
    for power in range(odd, degrees - 1, 2):
        total += term
        term *= cosine**2 * (power + 1) / (power + 2)
    return 2 / math.pi * (angle + sine * total) if odd else sine * total


@dataclass(frozen=True)
class Simulated:
    """A result by drawing from the inputs' distributions.

    Attributes:
        mean, standard: of the draws.
        symmetric: interval with as many draws below as above.
        shortest: the shortest interval with the coverage.
        coverage: probability of both intervals.
        trials: how many draws.
    """

    mean: float
    standard: float
    symmetric: tuple[float, float]
    shortest: tuple[float, float]
    coverage: float
    trials: int


def simulate(
    formula: Formula,
    inputs: Mapping[str, Input],
    seed: int,
    correlations: Correlations | None = None,
    *,
    coverage: float = COVERAGE,
    trials: int = TRIALS,
) -> Simulated:
    """Draw all inputs ``trials`` times and look at the results; the same seed gives the same draws.

    Args:
        formula: it must take arrays.
        inputs: by name; correlated ones must be normal.
        seed: of the generator (PCG64).
        correlations: of pairs.
        coverage: probability of the intervals.
        trials: how many draws.

    Raises:
        ValueError: correlated inputs that are not normal, or whose correlations contradict each other.
    """
    import numpy as np  # noqa: PLC0415 - decisions are also made where nothing is drawn, and numpy takes 0.1 s to load

    generator = np.random.Generator(np.random.PCG64(seed))
    draws = {name: _drawn(one, trials, generator) for name, one in inputs.items()}
    pairs = {pair: factor for pair, factor in _checked(correlations or {}, inputs).items() if factor}
    if pairs:
        draws |= _correlated(pairs, inputs, trials, generator)
    results = np.sort(np.broadcast_to(np.asarray(formula(draws), dtype=np.float64), (trials,)))
    inside = math.ceil(coverage * trials)
    spans = results[inside - 1 :] - results[: trials - inside + 1]
    first = int(np.argmin(spans))
    low = (trials - inside) // 2
    return Simulated(
        mean=float(results.mean()),
        standard=float(results.std(ddof=1)),
        symmetric=(float(results[low]), float(results[low + inside - 1])),
        shortest=(float(results[first]), float(results[first + inside - 1])),
        coverage=coverage,
        trials=trials,
    )


def _drawn(one: Input, trials: int, generator: "np.random.Generator") -> "NDArray[np.float64]":
    if one.distribution == "rectangular":
        unit = generator.uniform(-math.sqrt(3), math.sqrt(3), trials)
    elif one.distribution == "triangular":
        unit = (generator.uniform(-1, 1, trials) + generator.uniform(-1, 1, trials)) * math.sqrt(1.5)
    elif one.distribution == "t":
        unit = generator.standard_t(one.degrees, trials)
    else:
        unit = generator.standard_normal(trials)
    return one.value + one.standard * unit


def _correlated(
    pairs: Correlations, inputs: Mapping[str, Input], trials: int, generator: "np.random.Generator"
) -> "dict[str, NDArray[np.float64]]":
    import numpy as np  # noqa: PLC0415 - as above

    names = sorted({name for pair in pairs for name in pair})
    if any(inputs[name].distribution != "normal" for name in names):
        raise ValueError(f"correlated inputs that are not normal: {names}")
    matrix = np.eye(len(names))
    for (one, other), factor in pairs.items():
        row, column = names.index(one), names.index(other)
        matrix[row, column] = matrix[column, row] = factor
    values, vectors = np.linalg.eigh(matrix)
    if values.min() < -1e-9:  # noqa: PLR2004 - rounding of a matrix that is just singular
        raise ValueError(f"correlations that contradict each other: {names}")
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    units = generator.standard_normal((trials, len(names))) @ root.T
    return {
        name: inputs[name].value + inputs[name].standard * units[:, index] for index, name in enumerate(names)
    }


def confirms(simulated: Simulated, propagated: Propagated, digits: int = 2) -> bool:
    """Whether the draws bear the propagated interval out, its ends to ``digits`` digits of the standard uncertainty.

    Source: JCGM 101, clause 8: both ends within half a unit of the last digit.
    """
    if propagated.standard == 0:
        return simulated.symmetric == (propagated.value, propagated.value)
    unit = 10.0 ** (Decimal(repr(propagated.standard)).adjusted() - digits + 1)
    ends = (propagated.value - propagated.expanded, propagated.value + propagated.expanded)
    return all(abs(end - drawn) <= unit / 2 for end, drawn in zip(ends, simulated.symmetric, strict=True))


@dataclass(frozen=True)
class Rule:
    """A decision rule: acceptance limits lie inside the tolerance limits by the guard band w = r U.

    Attributes:
        name: as it is printed.
        multiple: r.
    """

    name: str
    multiple: float


SIMPLE: Final = Rule("simple", 0.0)
GUARDED: Final = Rule("guarded", 1.0)
Decision = Literal["accepted", "rejected", "undecided"]


def acceptance(
    low: float | None, high: float | None, expanded: float, rule: Rule = GUARDED
) -> tuple[float, float]:
    """Limits between which a value is accepted, ends included; crossed where the uncertainty leaves no room."""
    guard = rule.multiple * expanded
    return -math.inf if low is None else low + guard, math.inf if high is None else high - guard


def decide(
    value: float, expanded: float, low: float | None, high: float | None, rule: Rule = GUARDED
) -> Decision:
    """Accept inside both limits by the guard band, reject outside one by it, leave open between.

    A limit that is None is not there; ``expanded`` is the expanded uncertainty, not negative.
    """
    least, most = acceptance(low, high, expanded, rule)
    if least <= value <= most:
        return "accepted"
    guard = rule.multiple * expanded
    below = low is not None and value < low - guard
    above = high is not None and value > high + guard
    return "rejected" if below or above else "undecided"


def conformance_probability(value: float, standard: float, low: float | None, high: float | None) -> float:
    """Probability that the true value lies between the limits, for a normal measurement and nothing else known."""
    if not standard > 0:
        raise ValueError(f"standard uncertainty {standard}")
    below = 0.0 if low is None else _NORMAL.cdf((low - value) / standard)
    above = 0.0 if high is None else _NORMAL.cdf((value - high) / standard)
    return max(0.0, 1.0 - below - above)


def worst_false_acceptance(rule: Rule, factor: float = 2.0) -> float:
    """Probability that what was accepted at its very limit lies beyond the tolerance; ``factor`` made U."""
    return _NORMAL.cdf(-rule.multiple * factor)


def normalized_error_squared(
    apart: Fraction, first_expanded: Fraction, second_expanded: Fraction
) -> Fraction:
    """E_n squared, of two measurements so far apart, with expanded uncertainties of one coverage; at most 1: they agree.

    Exact, and therefore squared. Without any uncertainty this is a ValueError.
    """
    if not (spread := first_expanded**2 + second_expanded**2):
        raise ValueError("no uncertainty")
    return apart**2 / spread


def rounded(value: float, expanded: float) -> Decimal:
    """The value as it is kept: rounded once, to the power of ten that is at most a hundredth of U.

    U itself is kept by ``rounded(U, U)``: then it has three digits. Without a positive U this is a ValueError.
    """
    return _to(Decimal(repr(float(value))), Decimal(repr(float(expanded))), 2)


def printed(value: Decimal | float, expanded: Decimal | float) -> tuple[str, str]:
    """Value and U as they are printed: U with two digits, the value to the same place."""
    exact, spread = Decimal(str(value)), Decimal(str(expanded))
    # 0.0996 becomes 0.10, which has its two digits one place earlier
    short = _to(spread, _to(spread, spread, 1), 1)
    return f"{_to(exact, short, 1):f}", f"{short:f}"


def _to(value: Decimal, expanded: Decimal, places: int) -> Decimal:
    if not expanded.is_finite() or expanded <= 0:
        raise ValueError(f"expanded uncertainty {expanded}")
    step = Decimal((0, (1,), expanded.adjusted() - places))
    at = (value / step).quantize(Decimal(1), ROUND_HALF_UP) * step
    return at or abs(at)
