"""Drawings against independent readers and against what they must show."""

import re
from fractions import Fraction
from xml.etree import ElementTree as ET

import cv2
import numpy as np
import pytest
import zxingcpp

from evidence import drawing
from evidence.drawing.chip import chip_svg
from evidence.drawing.limits import HEIGHT, WIDTH, LimitBar, Reading, limit_bar_svg
from evidence.drawing.qr import QUIET_ZONE, qr_svg
from evidence.model.names import Outcome

_NS = "{http://www.w3.org/2000/svg}"


def parsed(svg: str) -> ET.Element:
    """The drawing as another reader sees it."""
    return ET.fromstring(svg)  # noqa: S314 - our own text


def _raster(svg: str, scale: int) -> np.ndarray:
    root = parsed(svg)
    side = int(root.attrib["width"])
    picture = np.full((side * scale, side * scale), 255, np.uint8)
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", svg):
        left, top = int(x) * scale, int(y) * scale
        cv2.rectangle(picture, (left, top), (left + int(length) * scale - 1, top + scale - 1), 0, -1)
    return picture


@pytest.mark.parametrize("text", ["AMB-0417 sha256:" + "0123456789abcdef" * 4, "x"])
def test_another_reader_reads_the_code(text: str) -> None:
    # independent reader: zxing-cpp
    assert [code.text for code in zxingcpp.read_barcodes(_raster(qr_svg(text), 6))] == [text]


def test_the_quiet_zone_is_free() -> None:
    picture = _raster(qr_svg("quiet"), 1)
    assert QUIET_ZONE == 4  # from memory of ISO/IEC 18004
    assert picture[:QUIET_ZONE].min() == picture[:, -QUIET_ZONE:].min() == 255
    assert picture[QUIET_ZONE].min() == 0


def test_every_outcome_has_a_shape_of_its_own_without_colour() -> None:
    shapes = {re.sub(r"#[0-9a-f]{6}", "c", chip_svg(outcome)) for outcome in Outcome}
    assert len(shapes) == len(Outcome)
    for outcome in Outcome:
        parsed(chip_svg(outcome))


def _luminance(colour: str) -> float:
    # published: WCAG 2.1, definition of relative luminance, 2018, W3C
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(first: str, second: str) -> float:
    bright, dark = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_all_inks_stand_out_from_their_grounds() -> None:
    # published: WCAG 2.1, success criterion 1.4.3 (4.5:1), 2018, W3C
    pairs = [(tint.ink, tint.ground) for tint in (*drawing.OUTCOME_TINTS.values(), drawing.CAUTION)]
    inks = (drawing.INK, drawing.MUTED, drawing.ACCENT)
    pairs += [(ink, ground) for ink in inks for ground in (drawing.PAPER, drawing.BAND)]
    for ink, ground in pairs:
        assert _contrast(ink, ground) >= 4.5, (ink, ground)
    assert _contrast("#ffffff", "#000000") == pytest.approx(
        21
    )  # published: WCAG 2.1, contrast ratio, 2018, W3C


def _lines(svg: str) -> list[dict[str, float]]:
    return [
        {key: float(value) for key, value in line.attrib.items() if key != "stroke"}
        for line in parsed(svg).iter(f"{_NS}line")
    ]


def _bar(value: str, low: str | None = "118", high: str | None = "122", spread: str | None = None) -> str:
    reading = Reading(Fraction(value), None if spread is None else Fraction(spread))
    return limit_bar_svg(
        LimitBar((reading,), None if low is None else Fraction(low), None if high is None else Fraction(high))
    )


def test_limits_and_value_lie_where_proportion_puts_them() -> None:
    # computed independently with proportion: the view is 35 % of the span wider on each side
    svg = _bar("120", spread="0.5")
    ticks = [line["x1"] for line in _lines(svg) if line["x1"] == line["x2"] and line["y1"] == 3]
    assert ticks == pytest.approx([WIDTH * 0.35 / 1.7, WIDTH * 1.35 / 1.7], abs=0.01)
    whisker = next(line for line in _lines(svg) if line["y1"] == line["y2"] and line["x1"] > 0)
    assert whisker["x2"] - whisker["x1"] == pytest.approx(WIDTH * (1.0 / 4) / 1.7, abs=0.01)
    dot = re.search(r"M([\d.]+) 18a5 5", svg)
    assert dot is not None
    assert float(dot[1]) + 5 == pytest.approx(WIDTH / 2)


@pytest.mark.parametrize(("value", "right"), [("90", False), ("150", True)])
def test_a_value_beyond_the_stretch_is_an_arrow_at_its_end(value: str, right: bool) -> None:  # noqa: FBT001
    arrow = re.search(r"M(\d+) 18L\d+ 10V26Z", _bar(value))
    assert arrow is not None
    assert (int(arrow[1]) > WIDTH / 2) == right


@pytest.mark.parametrize(("low", "high"), [("10", None), (None, "10")])
@pytest.mark.parametrize("value", ["0", "9.99", "10", "10.4", "30"])
def test_one_sided_bars_show_value_and_limit(low: str | None, high: str | None, value: str) -> None:
    svg = _bar(value, low, high)
    assert len([line for line in _lines(svg) if line["y1"] == 3]) == 1
    for line in _lines(svg):
        assert 0 <= line["x1"] <= WIDTH
        assert 0 <= line["y2"] <= HEIGHT
    assert "a5 5" in svg


def test_equal_limits_and_zero_limits_draw_too() -> None:
    for svg in (_bar("5", "5", "5"), _bar("0", "0", None), _bar("0", None, "0", "0")):
        parsed(svg)


def test_a_bar_without_limit_or_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="reading and a limit"):
        _bar("1", None, None)
    with pytest.raises(ValueError, match="reading and a limit"):
        limit_bar_svg(LimitBar((), Fraction(1), None))
