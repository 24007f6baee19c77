"""Quantities: exact factors, comma rules, what is refused and why."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.quantity import UNITS, Dimension, QuantityError, decimal_text, parse, read_decimal

D = Dimension
# each factor: from memory of the international yard and pound agreement of 1959 and of the standard acceleration of
# gravity of 1901
DEFINITIONS = [
    ("1 in", D.LENGTH, Fraction(254, 10_000)),
    ("1 ft", D.LENGTH, Fraction(3048, 10_000)),
    ("1 lb", D.MASS, Fraction(45_359_237, 100_000_000)),
    ("1 g", D.ACCELERATION, Fraction(980_665, 100_000)),
    ("1 mph", D.SPEED, Fraction(44_704, 100_000)),
    ("1 km/h", D.SPEED, Fraction(5, 18)),
    ("1 lbf", D.FORCE, Fraction("4.4482216152605")),
    ("1 g", D.MASS, Fraction(1, 1000)),
    ("1 min", D.TIME, Fraction(60)),
    ("1 %", D.RATIO, Fraction(1, 100)),
    ("1 mV", D.VOLTAGE, Fraction(1, 1000)),
]


@pytest.mark.parametrize(("text", "dimension", "base"), DEFINITIONS)
def test_units_have_their_exact_factors(text: str, dimension: Dimension, base: Fraction) -> None:
    assert parse(text, dimension).base == base


@pytest.mark.parametrize(
    ("text", "dimension", "base", "unit"),
    [
        # computed independently with 14 x 25.4 and 30 x 25.4
        ("14 in", D.LENGTH, Fraction(3556, 10_000), "in"),
        ("30 in", D.LENGTH, Fraction(762, 1000), "in"),
        # computed independently with (4 + 3/8) x 25.4
        ("4 3/8 in", D.LENGTH, Fraction(111_125, 1_000_000), "in"),
        ("-1/4 in", D.LENGTH, Fraction(-635, 100_000), "in"),
        # computed independently with 18 x 4.4482216152605 x 0.3048
        ("18 ft-lb", D.TORQUE, Fraction("4.4482216152605") * Fraction("0.3048") * 18, "lbf·ft"),
        ("12 in-lb", D.TORQUE, Fraction("4.4482216152605") * Fraction("0.3048"), "lbf·in"),
        ("24 Nm", D.TORQUE, Fraction(24), "N·m"),
        ("24 N m", D.TORQUE, Fraction(24), "N·m"),
        ("120,0 mm", D.LENGTH, Fraction(12, 100), "mm"),
        ("120mm", D.LENGTH, Fraction(12, 100), "mm"),
        ("+0,125 mm", D.LENGTH, Fraction(125, 1_000_000), "mm"),
        ("\u22123 mm", D.LENGTH, Fraction(-3, 1000), "mm"),
        ("12", D.COUNT, Fraction(12), ""),
        ("24 days", D.TIME, Fraction(24 * 86400), "d"),
    ],
)
def test_text_is_read_as_typed(text: str, dimension: Dimension, base: Fraction, unit: str) -> None:
    quantity = parse(text, dimension)

    assert (quantity.base, quantity.unit.symbol, quantity.text) == (base, unit, text)


@pytest.mark.parametrize(
    ("text", "newtons"),
    [
        # published: conversions of 2 200, 3 000 and 5 000 lbf as vehicle regulations print them, rounded to 1 N
        ("2200 lbf", 9786),
        ("3000 lbf", 13345),
        ("5000 lbf", 22241),
    ],
)
def test_pounds_force_round_to_the_printed_newtons(text: str, newtons: int) -> None:
    assert round(parse(text, D.FORCE).base) == newtons


def test_ten_g_on_a_quarter_tonne() -> None:
    """24 517 N, computed independently with 10 x 9.80665 x 250."""
    force = parse("10 g", D.ACCELERATION).base * parse("250 kg", D.MASS).base

    assert round(force) == 24517


def test_masses_of_a_published_vehicle() -> None:
    """5 005 kg; published: NIOSHTIC record 20033049 prints 11 035 lb, the exact value rounds to 11 034."""
    pounds = parse("5005 kg", D.MASS).base / parse("1 lb", D.MASS).base

    assert round(pounds) == 11034


@pytest.mark.parametrize("text", ["1,200 mm", "12,000 mm", "-1,234 mm", "+10,500 mm"])
def test_comma_with_three_digits_behind_a_whole_part_is_ambiguous(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, D.LENGTH)

    assert caught.value.code == "quantity-comma-ambiguous"
    assert caught.value.parameters["found"] == text
    assert float(caught.value.parameters["grouped"]) == 1000 * float(caught.value.parameters["decimal"])


@pytest.mark.parametrize("text", ["0,125 mm", "00,125 mm", "1,20 mm", "1,2000 mm", "1.200 mm"])
def test_other_commas_are_decimal(text: str) -> None:
    assert parse(text, D.LENGTH).value == Fraction(text.split(" ", maxsplit=1)[0].replace(",", "."))


@pytest.mark.parametrize(
    ("code", "text", "dimension"),
    [
        ("quantity-unreadable", "", D.LENGTH),
        ("quantity-unreadable", "mm", D.LENGTH),
        ("quantity-unreadable", "about 12 mm", D.LENGTH),
        ("quantity-unit", "1e3 mm", D.LENGTH),
        ("quantity-unreadable", "1.200,5 mm", D.LENGTH),
        ("quantity-unreadable", "\u0661\u0662 mm", D.LENGTH),
        ("quantity-too-long", "1" * 41, D.LENGTH),
        ("quantity-too-long", "120.3" + " " * 40 + "mm", D.LENGTH),
        ("quantity-unreadable", "12\nmm", D.LENGTH),
        ("quantity-unit-missing", "12", D.LENGTH),
        ("quantity-unit", "12 N", D.LENGTH),
        ("quantity-unit", "12 g", D.LENGTH),
        ("quantity-unit", "12 MM", D.LENGTH),
        ("quantity-unit", "12 mm", D.COUNT),
        ("quantity-fraction", "1/3 in", D.LENGTH),
        ("quantity-fraction", "1/0 in", D.LENGTH),
    ],
)
def test_text_that_is_no_quantity_is_refused(code: str, text: str, dimension: Dimension) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)

    assert caught.value.code == code


@pytest.mark.parametrize(
    ("text", "dimension", "json"),
    [
        ("120,30 mm", D.LENGTH, {"value": "120.30", "unit": "mm"}),
        ("4 3/8 in", D.LENGTH, {"value": "4.375", "unit": "in"}),
        ("+5 lbs", D.MASS, {"value": "5", "unit": "lb"}),
        ("\u22120.5 mm", D.LENGTH, {"value": "-0.5", "unit": "mm"}),
        ("3", D.COUNT, {"value": "3", "unit": ""}),
    ],
)
def test_documents_carry_the_digits_that_were_typed(
    text: str, dimension: Dimension, json: dict[str, str]
) -> None:
    quantity = parse(text, dimension)

    assert quantity.json() == json
    assert str(quantity) == f"{json['value']} {json['unit']}".strip()
    assert read_decimal(json["value"]) == quantity.value


@given(number=st.decimals(min_value=-99999, max_value=99999, places=4, allow_nan=False))
def test_point_and_comma_read_alike(number: object) -> None:
    assert parse(f"{number:f} mm", D.LENGTH).value == Fraction(str(number))
    assert parse(f"{number:f} mm".replace(".", ","), D.LENGTH).value == Fraction(str(number))


@pytest.mark.parametrize("text", ["", "1,5", "1e3", "NaN", "+1", "1.", ".5", "\u0661"])
def test_decimals_of_documents_have_one_form(text: str) -> None:
    with pytest.raises(QuantityError):
        read_decimal(text)


def test_decimal_text_is_exact_where_it_can_be() -> None:
    assert decimal_text(Fraction(1, 8)) == "0.125"
    assert decimal_text(Fraction(-3)) == "-3"
    assert decimal_text(Fraction(1, 3)).startswith("0.3333333333")


def test_every_spelling_of_a_unit_reads() -> None:
    for (spelling, dimension), unit in UNITS.items():
        assert parse(f"1 {spelling}".strip(), dimension).unit == unit
