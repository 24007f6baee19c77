"""Pulls as drawings: the curve, its marks and words, thinned without losing an extreme."""

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from evidence.drawing._axes import LEFT, RIGHT, TOP, WIDTH
from evidence.drawing.pull import HEIGHT, Labels, Level, PullPlot, Stretch, pull_svg, thinned
from tests.measure.pulls import TRAPEZOID, TRAVEL, at, every

LABELS = Labels("time / s", "force / kN", "Pull <t1>", "What it shows & says")
SVG = "{http://www.w3.org/2000/svg}"


def drawn(plot: PullPlot) -> ET.Element:
    return ET.fromstring(pull_svg(plot))  # noqa: S314 - made by the program itself


def points() -> list[tuple[float, float]]:
    times = every(0.5)
    return list(zip(times, at(TRAPEZOID, times), strict=True))


def curve(root: ET.Element) -> list[tuple[float, float]]:
    ways = [each.attrib["d"] for each in root.iter(f"{SVG}path") if each.attrib["d"].count("L") > 2]
    numbers = [float(each) for each in re.findall(r"[\d.]+", ways[0])]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def said(root: ET.Element) -> list[str]:
    return [str(each.text) for each in root.iter(f"{SVG}text")]


def test_the_curve_spans_the_frame_and_keeps_its_top() -> None:
    root = drawn(PullPlot(points(), LABELS))
    way = curve(root)

    assert (way[0][0], way[-1][0]) == (LEFT, WIDTH - RIGHT)
    assert min(y for _, y in way) > TOP
    assert max(y for _, y in way) < TOP + HEIGHT
    assert root.findtext(f"{SVG}title") == "Pull <t1>"
    assert root.findtext(f"{SVG}desc") == "What it shows & says"


def test_load_hold_and_peak_are_marked_where_they_are() -> None:
    plot = PullPlot(
        points(), LABELS, (Level(8, "demanded 8 kN"),), Stretch(6, 17.4, "held 11.4 s"), peak=(7, 10)
    )
    root = drawn(plot)
    scale = (WIDTH - RIGHT - LEFT) / 25
    band = next(each for each in root.iter(f"{SVG}rect") if each.attrib["fill"] != "#ffffff")
    dashed = next(each for each in root.iter(f"{SVG}path") if "stroke-dasharray" in each.attrib)
    ring = next(root.iter(f"{SVG}circle"))

    assert float(band.attrib["x"]) == pytest.approx(LEFT + 6 * scale, abs=0.01)
    assert float(band.attrib["width"]) == pytest.approx(11.4 * scale, abs=0.01)
    assert float(ring.attrib["cx"]) == pytest.approx(LEFT + 7 * scale, abs=0.01)
    level = float(re.findall(r"[\d.]+", dashed.attrib["d"])[1])
    top, bottom = (sorted({y for _, y in curve(root)})[at] for at in (0, -1))
    assert level == pytest.approx(bottom - 0.8 * (bottom - top), abs=0.02)
    assert {"demanded 8 kN", "held 11.4 s"} <= set(said(root))


def test_a_demanded_load_above_the_curve_is_still_in_the_frame() -> None:
    root = drawn(PullPlot(points(), LABELS, (Level(40, "demanded 40 kN"),)))
    dashed = next(each for each in root.iter(f"{SVG}path") if "stroke-dasharray" in each.attrib)

    assert TOP < float(re.findall(r"[\d.]+", dashed.attrib["d"])[1]) < TOP + HEIGHT


@pytest.mark.parametrize(("begin", "end", "anchor"), [(1.0, 4.0, "start"), (1.0, 22.0, "end")])
def test_what_stayed_is_a_bar_with_words_beside_it(begin: float, end: float, anchor: str) -> None:
    times = every(0.5)
    loop = list(zip(at(TRAVEL, times), at(TRAPEZOID, times), strict=True))
    root = drawn(PullPlot(loop, LABELS, stayed=Stretch(begin, end, "stayed")))
    words = next(each for each in root.iter(f"{SVG}text") if each.text == "stayed")

    assert words.attrib["text-anchor"] == anchor
    assert LEFT - 60 < float(words.attrib["x"]) < WIDTH - RIGHT


def test_thinning_keeps_ends_and_extremes_of_a_long_log() -> None:
    x = np.linspace(70, 700, 50_000)
    y = 100 + np.random.default_rng(3).normal(0, 5, len(x))
    y[12_345], y[40_000] = 400, -50
    given = list(zip(x.tolist(), y.tolist(), strict=True))
    kept = thinned(given)

    assert len(kept) < 9_000
    assert {given[0], given[-1], given[12_345], given[40_000]} <= set(kept)
    assert kept == sorted(kept)


def test_thinning_a_curve_that_turns_back_keeps_its_order() -> None:
    there = np.linspace(70, 700, 20_000)
    given = [(x, 200.0 - x / 10) for x in (*there.tolist(), *there[::-1].tolist())]
    kept = thinned(given)
    places = [given.index(each) for each in kept[: len(kept) // 3]]

    assert len(kept) < 9_000
    assert places == sorted(places)
    assert max(x for x, _ in kept) == 700


def test_a_short_log_is_drawn_whole() -> None:
    assert thinned(points()) == points()


def test_one_point_is_no_curve() -> None:
    with pytest.raises(ValueError, match="two points"):
        pull_svg(PullPlot([(0, 0)], LABELS))


def test_a_force_that_stands_still_is_drawn_as_well() -> None:
    assert "NaN" not in pull_svg(PullPlot([(0, 0), (0, 0)], LABELS))
