"""Plots of channels: what they show, in whichever print."""

import re
from xml.etree import ElementTree as ET

import pytest

from evidence.drawing import plot
from evidence.drawing.plot import MAX_TRACES, PANEL, TOP, WIDTH, Level, Mark, Plot, Trace, Words, plot_svg

NS = "{http://www.w3.org/2000/svg}"
WORDS = Words("time / ms", "corridor", "Channels <over> time", "sled: greatest 20 g at 0.04 s & more")
QUANTITIES = {"g": "acceleration / g", "N": "force / N"}


def trace(name: str = "sled", unit: str = "g", values: tuple[float, ...] = (0.0, -20.0, 0.0)) -> Trace:
    return Trace(name, unit, -10.0, 10.0, values)


def drawn(*traces: Trace, upper: plot.Line = (), lower: plot.Line = ()) -> ET.Element:
    """The drawing as another reader sees it."""
    return ET.fromstring(plot_svg(Plot(traces, WORDS, QUANTITIES, upper, lower)))  # noqa: S314 - our own text


def texts(root: ET.Element) -> list[str]:
    return [each.text or "" for each in root.iter(f"{NS}text")]


def strokes(root: ET.Element) -> list[ET.Element]:
    """Paths that are lines."""
    return [each for each in root.iter(f"{NS}path") if each.attrib["fill"] == "none"]


def test_who_cannot_see_it_is_told() -> None:
    root = drawn(trace())

    assert root.attrib["role"] == "img"
    assert [root.findtext(f"{NS}title"), root.findtext(f"{NS}desc")] == [WORDS.title, WORDS.alt]


def test_axes_have_their_quantities_with_units() -> None:
    said = texts(drawn(trace(), trace("belt", "N", (0.0, 9000.0, 0.0))))

    assert said.count("time / ms") == 2  # below each panel
    assert {"acceleration / g", "force / N", "\u221220", "8000", "sled", "belt"} <= set(said)


def test_a_value_stands_where_its_axis_says() -> None:
    root = drawn(trace(values=(0.0, -20.0, -10.0)))
    labels = {
        each.text: float(each.attrib["y"]) - 4
        for each in root.iter(f"{NS}text")
        if each.attrib["text-anchor"] == "end"
    }
    points = re.findall(r"([\d.]+) ([\d.]+)", strokes(root)[0].attrib["d"])

    assert [float(y) for _, y in points] == pytest.approx(
        [labels["0"], labels["\u221220"], labels["\u221210"]], abs=0.02
    )
    assert [float(x) for x, _ in points] == pytest.approx(
        [plot.LEFT, (plot.LEFT + WIDTH - plot.RIGHT) / 2, WIDTH - plot.RIGHT]
    )


def test_traces_differ_without_colour() -> None:
    root = drawn(*(trace(f"c{number}") for number in range(MAX_TRACES)))
    looks = [
        (each.attrib["stroke-width"], each.attrib.get("stroke-dasharray"))
        for each in strokes(root)[:MAX_TRACES]
    ]

    assert len(set(looks)) == MAX_TRACES


def test_the_key_draws_each_trace_as_the_panel_does() -> None:
    root = drawn(trace("a"), trace("b"))
    first, second, key_first, key_second = strokes(root)

    for curve, key in ((first, key_first), (second, key_second)):
        assert {name: curve.attrib.get(name) for name in ("stroke", "stroke-width", "stroke-dasharray")} == {
            name: key.attrib.get(name) for name in ("stroke", "stroke-width", "stroke-dasharray")
        }


def test_a_corridor_is_drawn_on_its_side_and_named() -> None:
    upper, lower = ((0.0, 0.0), (5.0, -15.0)), ((-5.0, -5.0), (8.0, -26.0))
    root = drawn(trace(), upper=upper, lower=lower)
    shades = [each for each in root.iter(f"{NS}path") if each.attrib["fill"] != "none"]

    assert "corridor" in texts(root)
    assert len(shades) == 2
    assert [re.findall(r"[\d.]+", each.attrib["d"])[1] for each in shades] == [str(TOP), str(TOP + PANEL)]
    assert "\u221225" in texts(root) or "\u221220" in texts(root)  # the axis reaches to the corridor's foot


def test_a_long_record_is_drawn_short_and_keeps_its_peaks() -> None:
    values = [0.0] * 100_000
    values[54_321] = 33.0
    text = plot_svg(Plot((trace(values=tuple(values)),), WORDS, QUANTITIES))
    labels = texts(ET.fromstring(text))  # noqa: S314 - our own text
    lowest = min(float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", text))

    assert len(text) < 120_000
    assert "30" in labels
    assert lowest < TOP + PANEL * 0.1


@pytest.mark.parametrize("values", [(0.0, 0.0), (5.0, 5.0), (1e-9, 2e-9), (-1e6, 1e6), (3.0,)])
def test_flat_tiny_and_huge_values_are_drawn(values: tuple[float, ...]) -> None:
    assert len(strokes(drawn(trace(values=values)))) == 2


@pytest.mark.parametrize(
    "traces", [(), (trace(values=()),), tuple(trace(str(at)) for at in range(MAX_TRACES + 1))]
)
def test_nothing_and_too_much_are_refused(traces: tuple[Trace, ...]) -> None:
    with pytest.raises(ValueError, match="one to eight traces"):
        drawn(*traces)


def test_levels_and_marks_stand_where_their_values_are_in_the_panel_of_their_unit() -> None:
    levels = (Level(-15.0, "at least 15 g", "g"), Level(8000.0, "at most 8 kN", "N"))
    marks = (Mark(0.0, -20.0, "g", "ring", "greatest"), Mark(5.0, -10.0, "g", "diamond", "worst margin"))
    traces = (trace(values=(0.0, -20.0, 0.0)), trace("belt", "N", (0.0, 9000.0, 0.0)))
    root = ET.fromstring(plot_svg(Plot(traces, WORDS, QUANTITIES, levels=levels, marks=marks)))  # noqa: S314 - our own
    said = texts(root)
    rings = list(root.iter(f"{NS}circle"))
    curve = re.findall(r"[ML]([\d.]+) ([\d.]+)", strokes(root)[0].attrib["d"])
    across = [each for each in strokes(root) if each.attrib.get("stroke-dasharray") == "7 4"]
    heights = [float(re.findall(r"[\d.]+", each.attrib["d"])[1]) for each in across]

    assert {"at least 15 g", "at most 8 kN", "greatest", "worst margin"} <= set(said)
    assert (rings[0].attrib["cx"], rings[0].attrib["cy"]) == curve[1]
    assert len(rings) == 2  # on the curve and in the key
    # three quarters of the way from nought to the trough, and in the panel below
    zero, trough = float(curve[0][1]), float(curve[1][1])
    assert heights[0] == pytest.approx(zero + 0.75 * (trough - zero), abs=0.02)
    assert heights[1] > TOP + PANEL


@pytest.mark.parametrize("value", [-21.0, 1.0, -10.0])
def test_words_of_a_level_stay_inside_the_frame(value: float) -> None:
    plot_of = Plot((trace(),), WORDS, QUANTITIES, levels=(Level(value, "limit", "g"),))
    root = ET.fromstring(plot_svg(plot_of))  # noqa: S314 - our own text
    (words,) = (each for each in root.iter(f"{NS}text") if each.text == "limit")

    assert TOP < float(words.attrib["y"]) < TOP + PANEL


def test_a_curve_that_was_thinned_out_stands_at_its_own_times() -> None:
    uneven = Trace("sled", "g", -10.0, 0.0, (0.0, -5.0, 0.0), (-10.0, 5.0, 10.0))
    points = re.findall(r"[ML]([\d.]+) [\d.]+", strokes(drawn(uneven))[0].attrib["d"])
    width = WIDTH - plot.RIGHT - plot.LEFT

    assert [float(x) for x in points] == pytest.approx(
        [plot.LEFT, plot.LEFT + 0.75 * width, plot.LEFT + width], abs=0.01
    )


def test_a_corridor_that_outlasts_the_record_is_seen_to_do_so() -> None:
    root = drawn(trace(), upper=((0.0, 0.0), (30.0, 5.0)))
    points = re.findall(r"[ML]([\d.]+) [\d.]+", strokes(root)[0].attrib["d"])
    curve = re.findall(r"[ML]([\d.]+) [\d.]+", strokes(root)[1].attrib["d"])

    assert {float(x) for x in points} >= {WIDTH - plot.RIGHT}
    assert max(float(x) for x in curve) < WIDTH - plot.RIGHT
