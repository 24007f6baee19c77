"""Propagation, its check by drawing, decisions, agreement and rounding, against worked examples of the guides."""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from evidence import uncertainty
from evidence.uncertainty import GUARDED, SIMPLE, Input, Rule

# published: Evaluation of measurement data - Guide to the expression of uncertainty in measurement, JCGM 100:2008,
# H.1, table H.1 (the inputs; lengths in nm, temperatures in degrees Celsius), as repeated by several open packages
END_GAUGE: Mapping[str, Input] = {
    "standard": Input(50_000_623, 25, 18, "t"),
    "difference": Input(215, 5.8, 24, "t"),
    "random": Input(0, 3.9, 5, "t"),
    "systematic": Input(0, 6.7, 8, "t"),
    "expansion": uncertainty.rectangular(11.5e-6, 2e-6),
    "temperature": Input(-0.1, 0.41),
    "expansion-difference": uncertainty.rectangular(0, 1e-6, 50),
    "temperature-difference": uncertainty.rectangular(0, 0.05, 2),
}
NORMALS = {name: Input(one.value, one.standard) for name, one in END_GAUGE.items()}


def end_gauge(given: Mapping[str, Any]) -> Any:
    """Length of the end gauge, nm; the model of H.1.2."""
    length = given["standard"]
    warm = given["expansion-difference"] * given["temperature"]
    apart = given["expansion"] * given["temperature-difference"]
    shown = given["difference"] + given["random"] + given["systematic"]
    return length + shown - length * (warm + apart)


def test_end_gauge() -> None:
    """Source: published: JCGM 100:2008, H.1: 50.000838 mm, u 32 nm, 16 degrees of freedom, U for 99 % 93 nm.

    The guide multiplies its rounded 32 nm; unrounded it is half a nanometre less.
    """
    result = uncertainty.propagate(end_gauge, END_GAUGE, coverage=0.99)

    assert result.value == pytest.approx(50_000_838)
    assert round(result.standard) == 32
    assert math.floor(result.degrees) == 16
    assert round(result.factor * 32) == 93
    assert result.expanded == pytest.approx(93, abs=0.6)


def test_contributions_of_the_end_gauge() -> None:
    """Source: published: JCGM 100:2008, table H.1: 25, 9.7 (three parts), 0, 0, 2.9 and 16.6 nm."""
    result = uncertainty.propagate(end_gauge, END_GAUGE)
    parts = {term.name: term.standard for term in result.terms}

    assert parts["standard"] == pytest.approx(25)
    assert math.hypot(parts["difference"], parts["random"], parts["systematic"]) == pytest.approx(
        9.7, abs=0.05
    )
    assert parts["expansion"] == parts["temperature"] == 0
    assert parts["expansion-difference"] == pytest.approx(2.9, abs=0.05)
    assert parts["temperature-difference"] == pytest.approx(16.6, abs=0.05)
    assert [term.standard for term in result.terms] == sorted(parts.values(), reverse=True)
    assert next(term for term in result.terms if term.name == "difference").sensitivity == pytest.approx(1)


def test_drawing_finds_what_the_first_order_misses() -> None:
    """Source: published: JCGM 100:2008, H.1.7: with terms of second order u is 34 nm instead of 32."""
    drawn = uncertainty.simulate(end_gauge, NORMALS, seed=1, coverage=0.99)

    assert drawn.mean == pytest.approx(50_000_838, abs=0.5)
    assert round(drawn.standard) == 34
    assert not uncertainty.confirms(drawn, uncertainty.propagate(end_gauge, NORMALS, coverage=0.99))


def test_drawing_from_the_stated_distributions() -> None:
    """Variance in closed form, every factor independent: that of Student's t grows by nu / (nu - 2).

    JCGM 101:2008, 9.5 finds 36 nm with its slightly different shapes (from memory of it).
    """
    drawn = uncertainty.simulate(end_gauge, END_GAUGE, seed=2)
    length = 50_000_623
    scatter = 25**2 * 18 / 16 + 5.8**2 * 24 / 22 + 3.9**2 * 5 / 3 + 6.7**2 * 8 / 6
    warm = (1e-6 / math.sqrt(3)) ** 2 * (0.1**2 + 0.41**2)
    apart = (0.05 / math.sqrt(3)) ** 2 * (11.5e-6**2 + (2e-6 / math.sqrt(3)) ** 2)

    assert drawn.standard == pytest.approx(math.sqrt(scatter + length**2 * (warm + apart)), rel=0.01)
    assert drawn.standard == pytest.approx(36, abs=0.9)
    assert (
        drawn.shortest[1] - drawn.shortest[0] <= drawn.symmetric[1] - drawn.symmetric[0]
    )  # by what shortest means


def test_the_same_seed_draws_the_same() -> None:
    first, again, other = (uncertainty.simulate(end_gauge, END_GAUGE, seed, trials=500) for seed in (7, 7, 8))

    assert first == again
    assert first != other


def test_sum_of_four_rectangles() -> None:
    """Source: published: JCGM 101:2008, 9.2.3: four unit rectangles give plus or minus 3.88 where normals give 3.92."""
    inputs = {name: uncertainty.rectangular(0, math.sqrt(3)) for name in "abcd"}

    drawn = uncertainty.simulate(lambda x: x["a"] + x["b"] + x["c"] + x["d"], inputs, 3, trials=1_000_000)
    propagated = uncertainty.propagate(lambda x: x["a"] + x["b"] + x["c"] + x["d"], inputs)

    assert drawn.symmetric == pytest.approx((-3.88, 3.88), abs=0.015)
    assert propagated.expanded == pytest.approx(3.92, abs=0.005)
    assert uncertainty.confirms(drawn, propagated, digits=1)
    assert not uncertainty.confirms(drawn, propagated, digits=3)


def test_triangular_draws() -> None:
    """In closed form: a triangle of half width a has u = a / sqrt(6), and 95 % within a (1 - sqrt(0.05))."""
    one = uncertainty.triangular(10, 2)
    drawn = uncertainty.simulate(lambda x: x["a"], {"a": one}, 4)

    assert drawn.standard == pytest.approx(2 / math.sqrt(6), rel=0.01)
    assert drawn.symmetric[1] == pytest.approx(10 + 2 * (1 - math.sqrt(0.05)), abs=0.01)


def test_correlation() -> None:
    """In closed form: the difference of two fully correlated inputs has the difference of their uncertainties."""
    inputs = {"a": Input(5, 0.3), "b": Input(2, 0.1)}
    pairs = {("a", "b"): 1.0}

    result = uncertainty.propagate(lambda x: x["a"] - x["b"], inputs, pairs)
    drawn = uncertainty.simulate(lambda x: x["a"] - x["b"], inputs, 5, pairs)

    assert result.standard == pytest.approx(0.2)
    assert drawn.standard == pytest.approx(0.2, rel=0.01)
    assert uncertainty.confirms(drawn, result)


@pytest.mark.parametrize(
    ("inputs", "pairs"),
    [
        ({"a": Input(0, 1), "b": Input(0, 1)}, {("a", "c"): 0.5}),
        ({"a": Input(0, 1), "b": Input(0, 1)}, {("a", "a"): 0.5}),
        ({"a": Input(0, 1), "b": Input(0, 1)}, {("a", "b"): 1.5}),
        ({"a": Input(0, 1, 9), "b": Input(0, 1)}, {("a", "b"): 0.5}),
        ({"a": uncertainty.rectangular(0, 1), "b": Input(0, 1)}, {("a", "b"): 0.5}),
        (
            {"a": Input(0, 1), "b": Input(0, 1), "c": Input(0, 1)},
            {("a", "b"): 1.0, ("b", "c"): 1.0, ("a", "c"): -1.0},
        ),
    ],
)
def test_correlations_that_cannot_be(
    inputs: Mapping[str, Input], pairs: Mapping[tuple[str, str], float]
) -> None:
    with pytest.raises(ValueError, match="correlat"):
        uncertainty.simulate(lambda x: x["a"] + x["b"], inputs, 6, pairs, trials=10)


@pytest.mark.parametrize(
    "wrong", [{"standard": -1.0}, {"standard": math.nan}, {"degrees": 0.5}, {"distribution": "t"}]
)
def test_inputs_that_cannot_be(wrong: Mapping[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"uncertainty|degrees"):
        Input(**{"value": 0.0, "standard": 1.0, **wrong})


@pytest.mark.parametrize(
    ("coverage", "degrees", "expected"),
    [  # published: JCGM 100:2008, table G.2
        (0.95, 1, 12.71),
        (0.95, 2, 4.30),
        (0.95, 5, 2.57),
        (0.99, 5, 4.03),
        (0.95, 10, 2.23),
        (0.99, 16, 2.92),
        (0.95, 20, 2.09),
        (0.95, 50, 2.01),
        (0.95, 100, 1.984),
        (0.95, math.inf, 1.960),
        (0.99, math.inf, 2.576),
    ],
)
def test_coverage_factors(coverage: float, degrees: float, expected: float) -> None:
    places = len(repr(expected).split(".")[1])
    assert round(uncertainty.coverage_factor(coverage, degrees), places) == expected


@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.95, 0.9973])
def test_coverage_factors_in_closed_form(coverage: float) -> None:
    """One degree of freedom is tan(pi p / 2), two are p sqrt(2 / (1 - p^2)); degrees are truncated."""
    assert uncertainty.coverage_factor(coverage, 1.9) == pytest.approx(
        math.tan(math.pi * coverage / 2), rel=1e-12
    )
    expected = coverage * math.sqrt(2 / (1 - coverage**2))
    assert uncertainty.coverage_factor(coverage, 2) == pytest.approx(expected, rel=1e-12)


def test_series_and_expansion_meet() -> None:
    """Source: computed independently with the series itself at the last degree that is summed."""
    z = uncertainty.coverage_factor(0.95, math.inf)
    summed = uncertainty.coverage_factor(0.95, uncertainty.SERIES_TO)
    expanded = uncertainty.coverage_factor(0.95, uncertainty.SERIES_TO + 1)

    assert z < expanded < summed
    assert summed - expanded < 1e-5


@pytest.mark.parametrize(("coverage", "degrees"), [(0.0, 5.0), (1.0, 5.0), (0.95, 0.9)])
def test_no_factor(coverage: float, degrees: float) -> None:
    with pytest.raises(ValueError, match="coverage"):
        uncertainty.coverage_factor(coverage, degrees)


def test_one_sided_factor() -> None:
    """Source: published: JCGM 106:2012, table 1 (z for 95 % with one limit: 1.64; 1.64485 in full)."""
    assert uncertainty.coverage_factor(0.90, math.inf) == pytest.approx(1.64485, abs=5e-6)
    assert uncertainty.conformance_probability(1.64485, 1, 0, None) == pytest.approx(0.95, abs=1e-6)


@pytest.mark.parametrize(
    ("value", "standard", "low", "high", "expected"),
    [  # the examples' numbers from memory of JCGM 106:2012, 7.3 and 7.4; results there 0.99, 0.92 and 0.66
        (509.7, 8.6, 490.0, None, 0.98901),  # pressure at which a vessel bursts, kPa
        (-5.47, 0.05, None, -5.40, 0.91924),  # breakdown voltage, V
        (13.6, 1.8, 12.5, 16.3, 0.66263),  # viscosity of an oil, mm2/s
        (1500.0, 0.12, 1499.8, 1500.2, 0.904),  # resistors before any is measured, ohm
    ],
)
def test_conformance_probability(
    value: float, standard: float, low: float | None, high: float | None, expected: float
) -> None:
    found = uncertainty.conformance_probability(value, standard, low, high)
    assert found == pytest.approx(expected, abs=5e-4 if expected == 0.904 else 5e-6)


def test_conformance_needs_an_uncertainty() -> None:
    with pytest.raises(ValueError, match="standard"):
        uncertainty.conformance_probability(1, 0, 0, 2)


def test_global_risks_of_guarded_acceptance() -> None:
    """Resistors made to 1500 ohm, u 0.12, measured with 0.04, guard 0.02 of 0.2.

    Source: from memory of JCGM 106:2012, 9.5: consumer's risk 0.0099, producer's risk 0.069.
    """
    generator = np.random.Generator(np.random.PCG64(9))
    true = 1500 + 0.12 * generator.standard_normal(2_000_000)
    seen = true + 0.04 * generator.standard_normal(len(true))
    least, most = uncertainty.acceptance(1499.8, 1500.2, 0.08, Rule("guarded by a quarter", 0.25))
    accepted, good = (least <= seen) & (seen <= most), (true >= 1499.8) & (true <= 1500.2)

    assert (accepted & ~good).mean() == pytest.approx(0.0099, abs=0.0003)
    assert (~accepted & good).mean() == pytest.approx(0.069, abs=0.001)


@pytest.mark.parametrize(("multiple", "most"), [(0.0, 0.50), (0.83, 0.05), (1.0, 0.025), (1.5, 0.0016)])
def test_guard_bands(multiple: float, most: float) -> None:
    """Source: published: ILAC-G8:09/2019, table of guard bands w = r U, as repeated publicly."""
    risk = uncertainty.worst_false_acceptance(Rule("", multiple))

    assert risk <= most
    assert risk > most * 0.8


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (119.0, "undecided"),
        (119.4, "accepted"),
        (121.6, "accepted"),
        (121.7, "undecided"),
        (118.7, "undecided"),
        (118.5, "rejected"),
        (122.5, "rejected"),
    ],
)
def test_guarded_decisions(value: float, expected: str) -> None:
    """Limits 119 to 122, U 0.4: by the meaning of the guard band on either side of a limit."""
    assert uncertainty.decide(value, 0.4, 119.0, 122.0) == expected


def test_one_limit_and_the_simple_rule() -> None:
    assert uncertainty.decide(119.0, 0.4, 119.0, None, SIMPLE) == "accepted"
    assert uncertainty.decide(118.99, 0.4, 119.0, None, SIMPLE) == "rejected"
    assert uncertainty.decide(1e9, 0.4, 119.0, None) == "accepted"
    assert uncertainty.decide(-1e9, 0.4, None, 122.0) == "accepted"
    assert (SIMPLE.name, GUARDED.name) == ("simple", "guarded")


def test_no_room_for_a_decision() -> None:
    """An uncertainty wider than the tolerance accepts nothing."""
    assert uncertainty.decide(120.0, 2.5, 119.0, 121.0) == "undecided"


def test_agreement_of_two_measurements() -> None:
    """By the definition of ISO/IEC 17043 (from memory of it): 0.5 apart with U 0.3 and 0.4 is exactly one."""
    spreads = (Fraction("0.3"), Fraction("0.4"))
    assert uncertainty.normalized_error_squared(Fraction("-0.5"), *spreads) == 1
    assert uncertainty.normalized_error_squared(Fraction("0.500001"), *spreads) > 1
    assert uncertainty.normalized_error_squared(Fraction("0.6"), *spreads) == Fraction("1.44")
    with pytest.raises(ValueError, match="no uncertainty"):
        uncertainty.normalized_error_squared(Fraction(1), Fraction(0), Fraction(0))


@pytest.mark.parametrize(
    ("value", "expanded", "kept"),
    [
        (120.3456789, 0.3712, "120.346"),
        (120.3456789, 0.0996, "120.3457"),
        (120.3456789, 1.0, "120.35"),
        (120.3456789, 37.0, "120.3"),
        (120.3456789, 3700.0, "120"),
        (-0.0004, 0.5, "0.000"),
    ],
)
def test_kept_to_a_hundredth(value: float, expanded: float, kept: str) -> None:
    """By its meaning: the step is at most U / 100 and more than U / 1000."""
    assert f"{uncertainty.rounded(value, expanded):f}" == kept


@pytest.mark.parametrize(
    ("value", "expanded", "text"),
    [
        (120.346, 0.371, ("120.35", "0.37")),
        (120.346, 0.0996, ("120.35", "0.10")),
        (120.346, 0.996, ("120.3", "1.0")),
        (1234.5, 37.2, ("1235", "37")),
        (12345.0, 372.0, ("12350", "370")),
        (50_000_838.0, 92.6, ("50000838", "93")),
        (-0.001, 0.2, ("0.00", "0.20")),
    ],
)
def test_printed(value: float, expanded: float, text: tuple[str, str]) -> None:
    """Two digits of U, from memory of JCGM 100, 7.2.6; halves are rounded up."""
    assert uncertainty.printed(value, expanded) == text


@pytest.mark.parametrize("expanded", [0.0, -1.0, math.inf, math.nan])
def test_no_printing_without_uncertainty(expanded: float) -> None:
    with pytest.raises(ValueError, match="expanded uncertainty"):
        uncertainty.printed(1.0, expanded)


def test_an_exact_input_adds_nothing() -> None:
    result = uncertainty.propagate(lambda x: 2 * x["a"], {"a": Input(3, 0)})

    assert (result.value, result.standard, result.degrees) == (6, 0, math.inf)
    assert uncertainty.confirms(
        uncertainty.simulate(lambda x: 2 * x["a"], {"a": Input(3, 0)}, 1, trials=50), result
    )
