"""The bar of a lock window's shares, and the part of a photo around a frame."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from evidence.drawing.framed import framed
from evidence.drawing.measured import PARTS
from evidence.drawing.shares import HEIGHT, LEAST, WIDTH, key_svgs, shares_svg

COLOURS = ("#265cb2", "#eca020")
NAMES = {"locked": COLOURS[0], "open": COLOURS[1], "neither": "#ffffff"}


def widths(svg: str) -> dict[str, float]:
    """Width of each part's ground by its colour."""
    found = re.findall(r'<rect x="([0-9.]+)" y="0" width="([0-9.]+)" height="24" fill="([^"]+)"', svg)
    ends = [(float(x), float(width)) for x, width, _ in found]
    for (x, width), (following, _) in pairwise(ends):
        assert x + width == pytest.approx(following, abs=0.02)
    return {colour: float(width) for _, width, colour in found}


@pytest.mark.parametrize(
    ("shares", "expected"),
    [
        (("0.500", "0.250", "0.250"), {"locked": 200, "open": 100, "neither": 100}),
        (("1.000", "0.000", "0.000"), {"locked": WIDTH}),
        (("0.000", "1.000", "0.000"), {"open": WIDTH}),
        (("0.999", "0.000", "0.001"), {"locked": WIDTH - LEAST, "neither": LEAST}),
        (("0.001", "0.001", "0.998"), {"locked": LEAST, "open": LEAST, "neither": WIDTH - 2 * LEAST}),
    ],
)
def test_each_part_is_as_wide_as_its_share_and_a_trace_is_still_seen(
    shares: tuple[str, str, str], expected: dict[str, float]
) -> None:
    assert widths(shares_svg(*shares, COLOURS)) == {NAMES[name]: width for name, width in expected.items()}


def test_each_part_has_a_pattern_of_its_own() -> None:
    locked, opened, neither = key_svgs(COLOURS)
    assert "<line" not in locked
    assert "h0.01" not in locked
    assert "<line" in opened
    assert "h0.01" in neither
    assert "<line" not in neither


def test_hatches_stay_inside_their_part() -> None:
    svg = shares_svg("0.500", "0.333", "0.167", COLOURS)
    strokes = re.findall(r'<line x1="([0-9.]+)" y1="([0-9.]+)" x2="([0-9.]+)" y2="([0-9.]+)"', svg)
    slanting = [each for each in strokes if each[0] != each[2]]
    assert len(slanting) > 20
    for stroke in slanting:
        x1, y1, x2, y2 = map(float, stroke)
        assert 200 <= x1 <= x2 <= 333.4
        assert 0 <= y2 <= y1 <= HEIGHT


@pytest.mark.parametrize(
    ("corners", "shape"),
    [
        ((400, 300, 600, 300, 600, 400, 400, 400), 1.5),
        ((0, 0, 50, 0, 50, 900, 0, 900), 1.5),
        ((950, 950, 1000, 950, 1000, 1000, 950, 1000), 1.0),
        ((500, 500, 500, 500, 500, 500, 500, 500), 1.2),
        ((0, 0, 1000, 0, 1000, 1000, 0, 1000), 2.0),
    ],
)
def test_a_part_holds_its_corners_and_never_leaves_the_picture(
    corners: tuple[int, ...], shape: float
) -> None:
    size = (2000, 1500)
    part = framed(corners, size, margin=0.3, shape=shape)
    left, top, right, bottom = part.box
    assert 0 <= left <= min(corners[::2]) * 10
    assert max(corners[::2]) * 10 <= right <= PARTS
    assert 0 <= top <= min(corners[1::2]) * 10
    assert max(corners[1::2]) * 10 <= bottom <= PARTS
    assert left < right
    assert top < bottom
    ET.fromstring(part.svg)  # noqa: S314 - our own drawing


def test_the_outline_runs_through_the_corners() -> None:
    # worked by hand: 1000 by 1000 px, corners at 400 and 600, margin 0.5 of 200 on each side: the part is 300 to 700
    part = framed((400, 400, 600, 400, 600, 600, 400, 600), (1000, 1000), margin=0.5, shape=1.0)
    assert part.box == (3000, 3000, 7000, 7000)
    assert part.svg.count("M100 100L300 100L300 300L100 300Z") == 2
    bare = framed(
        (400, 400, 600, 400, 600, 600, 400, 600), (1000, 1000), margin=0.5, shape=1.0, outlined=False
    )
    assert "<path" not in bare.svg
