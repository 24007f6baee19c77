"""Drawings of a bolt pattern: what stands where."""

from xml.etree import ElementTree as ET

import pytest

from evidence.drawing.bolts import ARROW, RING, WIDTH, Edge, Panel, Pattern, Spot, Words, bolts_svg

NS = "{http://www.w3.org/2000/svg}"
WORDS = Words(("bolt", "pull/N", "shear/N", "reserve"), ("a < b",), "Pattern & loads", "B1 pulls <5> N")
PLATE = ((-300.0, -200.0), (300.0, 200.0))


def spot(name: str, at: tuple[float, float], pull: float, shear: tuple[float, float]) -> Spot:
    return Spot(name, at, pull, shear, (f"{pull:g}", "0", "2.00"))


SPOTS = (spot("B1", (200, -100), 1000, (0, -500)), spot("B2", (-200, 100), -500, (250, 0)))


def drawn(
    *panels: Panel, plate: tuple[tuple[float, float], tuple[float, float]] | None = PLATE
) -> ET.Element:
    """The drawing as another reader sees it."""
    pattern = Pattern(panels, WORDS, (50, 10), (0, 0), plate)
    return ET.fromstring(bolts_svg(pattern))  # noqa: S314 - our own text


def circles(root: ET.Element) -> list[tuple[float, float, float]]:
    return [
        (float(each.attrib["cx"]), float(each.attrib["cy"]), float(each.attrib["stroke-width"]))
        for each in root.iter(f"{NS}circle")
    ]


def test_forward_is_to_the_right_and_right_is_down() -> None:
    (front, rear) = circles(drawn(Panel("Forward", SPOTS, "front")))

    assert front[0] > rear[0]
    assert front[1] < rear[1]
    # one scale along and across: 400 mm to 200 mm
    assert (front[0] - rear[0]) / (rear[1] - front[1]) == pytest.approx(2, abs=0.01)


def test_the_greatest_pull_has_the_thickest_ring_and_pressure_a_broken_one() -> None:
    root = drawn(Panel("Forward", SPOTS, "front"))

    assert [width for _, _, width in circles(root)] == [1 + RING, 1 + RING / 2]
    assert ["stroke-dasharray" in each.attrib for each in root.iter(f"{NS}circle")] == [False, True]


def test_arrows_are_as_long_as_their_shear() -> None:
    root = drawn(Panel("Forward", SPOTS, None), plate=None)
    starts = {(x, y) for x, y, _ in circles(root)}
    ways = [
        tuple(
            float(each.attrib[end]) - float(each.attrib[start]) for start, end in (("x1", "x2"), ("y1", "y2"))
        )
        for each in root.iter(f"{NS}line")
        if (float(each.attrib["x1"]), float(each.attrib["y1"])) in starts
    ]

    assert ways == [pytest.approx((0, -ARROW), abs=0.02), pytest.approx((ARROW / 2, 0), abs=0.02)]


EDGES: tuple[Edge, ...] = ("front", "rear", "left", "right")


@pytest.mark.parametrize("edge", EDGES)
def test_the_edge_about_which_the_plate_turns_is_thick(edge: Edge) -> None:
    root = drawn(Panel("Load", SPOTS, edge))
    ((x1, y1, x2, y2),) = [
        tuple(float(each.attrib[name]) for name in ("x1", "y1", "x2", "y2"))
        for each in root.iter(f"{NS}line")
        if each.attrib["stroke-width"] == "4"
    ]
    xs, ys = [x for x, _, _ in circles(root)], [y for _, y, _ in circles(root)]

    if edge in ("front", "rear"):
        assert x1 == x2
        assert x1 > max(xs) if edge == "front" else x1 < min(xs)
    else:
        assert y1 == y2
        assert y1 > max(ys) if edge == "right" else y1 < min(ys)


def test_words_are_inert_and_every_row_is_there() -> None:
    root = drawn(Panel("Forward", SPOTS, "front"), Panel("Upward", SPOTS, None))
    texts = [each.text for each in root.iter(f"{NS}text")]

    assert [root.findtext(f"{NS}title"), root.findtext(f"{NS}desc")] == [WORDS.title, WORDS.alt]
    assert texts.count("B1") == 4  # beside the bolt and in the table, twice
    assert {"Forward", "Upward", "a < b", "1000", "-500", "pull/N"} <= set(texts)
    assert root.attrib["role"] == "img"


def test_many_bolts_and_a_single_one_stay_on_the_paper() -> None:
    many = tuple(spot(f"B{at}", (at * 10, 0), 1, (1, 1)) for at in range(60))
    single = (spot("B1", (0, 0), 0, (0, 0)),)

    for panel in (Panel("Forward", many, None), Panel("Forward", single, None)):
        root = drawn(panel, plate=None)
        height = float(root.attrib["height"])
        places = [(float(each.attrib["x"]), float(each.attrib["y"])) for each in root.iter(f"{NS}text")]
        assert all(0 <= x <= WIDTH and 0 <= y <= height for x, y in places)
        assert len(circles(root)) == len(panel.spots)


def test_nothing_is_no_drawing() -> None:
    with pytest.raises(ValueError, match="direction"):
        bolts_svg(Pattern((), WORDS, (0, 0), (0, 0)))
