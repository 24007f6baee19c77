"""The bar with a line for each value: recorded ones, the photo's, limits with numbers, guard band."""

import re
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest

from evidence.drawing.limits import FOOT, LANE, WIDTH, ComparedBar, Reading, compared_bar_svg

SVG = "{http://www.w3.org/2000/svg}"
LOW, HIGH = (Fraction(118), "118.0 mm"), (Fraction(122), "122.0 mm")


def reading(value: str, spread: str | None = None) -> Reading:
    return Reading(Fraction(value), None if spread is None else Fraction(spread))


def drawn(bar: ComparedBar) -> ET.Element:
    return ET.fromstring(compared_bar_svg(bar))  # noqa: S314 - our own text


def dots(svg: str) -> list[float]:
    return [float(x) + 5 for x in re.findall(r"M(-?[\d.]+) \d+a5 5", svg)]


def diamonds(svg: str) -> list[float]:
    return [float(x) + 6 for x in re.findall(r"M(-?[\d.]+) \d+l6 -6", svg)]


def test_each_value_has_a_line_and_a_shape_of_its_own() -> None:
    bar = ComparedBar((reading("120"), reading("121")), reading("120", "0.5"), LOW, HIGH)
    svg = compared_bar_svg(bar)
    assert drawn(bar).attrib["height"] == str(3 * LANE + FOOT)
    # computed independently with proportion: the view is 35 % of the span wider on each side
    assert dots(svg) == pytest.approx([WIDTH / 2, WIDTH / 2 + WIDTH / 4 / 1.7], abs=0.01)
    assert diamonds(svg) == pytest.approx([WIDTH / 2], abs=0.01)


def test_limits_have_their_numbers_below_them() -> None:
    texts = list(drawn(ComparedBar((reading("120"),), None, LOW, HIGH)).iter(f"{SVG}text"))
    assert [text.text for text in texts] == ["118.0 mm", "122.0 mm"]
    places = [float(text.attrib["x"]) for text in texts]
    assert places == pytest.approx([WIDTH * 0.35 / 1.7, WIDTH * 1.35 / 1.7], abs=0.01)


def broken(svg: str) -> list[float]:
    return sorted({float(x) for x in re.findall(r"M([\d.]+) \d+v4", svg)})


def test_the_guard_band_lies_inside_each_limit() -> None:
    svg = compared_bar_svg(ComparedBar((reading("120"),), None, LOW, HIGH, Fraction("0.2")))
    scale = WIDTH / 6.8
    assert broken(svg) == pytest.approx([1.6 * scale, 5.2 * scale], abs=0.01)
    assert not broken(compared_bar_svg(ComparedBar((reading("120"),), None, LOW, HIGH)))


def test_a_guard_band_wider_than_the_zone_fills_it() -> None:
    svg = compared_bar_svg(ComparedBar((reading("120"),), None, LOW, HIGH, Fraction(9)))
    scale = WIDTH / 6.8
    assert broken(svg) == pytest.approx([1.4 * scale, 5.4 * scale], abs=0.01)


def test_the_stretch_grows_for_values_a_little_beyond_and_not_without_end() -> None:
    near = compared_bar_svg(ComparedBar((reading("123.9", "0.1"),), reading("124", "0.3"), LOW, HIGH))
    assert len(dots(near)) == len(diamonds(near)) == 1
    far = compared_bar_svg(ComparedBar((reading("300"),), reading("120"), LOW, HIGH))
    assert dots(far) == []
    assert f"M{WIDTH - 1} " in far
    assert len(diamonds(far)) == 1


@pytest.mark.parametrize(("low", "high"), [(LOW, None), (None, HIGH)])
def test_open_ends_draw_too(low: tuple[Fraction, str] | None, high: tuple[Fraction, str] | None) -> None:
    bar = ComparedBar((reading("120"),), reading("120.1", "0.2"), low, high, Fraction("0.1"))
    assert len(list(drawn(bar).iter(f"{SVG}text"))) == 1
    assert len(broken(compared_bar_svg(bar))) == 1


def test_text_in_a_limit_stays_text() -> None:
    bar = ComparedBar((reading("120"),), None, (Fraction(118), "<b>&"), HIGH)
    assert next(drawn(bar).iter(f"{SVG}text")).text == "<b>&"


def test_a_bar_without_value_or_limit_is_refused() -> None:
    for bar in (ComparedBar((), None, LOW, HIGH), ComparedBar((reading("1"),), None, None, None)):
        with pytest.raises(ValueError, match="reading and a limit"):
            compared_bar_svg(bar)
