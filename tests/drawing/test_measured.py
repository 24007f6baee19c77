"""The drawing over a measured photo: every line where its mark says, and text that stays text."""

import re
from xml.etree import ElementTree as ET

import pytest

from evidence.drawing.measured import PARTS, Labels, Overlay, overlay
from evidence.model.measurement import Marks

MARKS = Marks.read(
    {
        "exhibit": "E003",
        "width": 2000,
        "height": 1500,
        "tags": [[["510", "520"], ["570", "520"], ["570", "580"], ["510", "580"]]],
        "datum": [["600", "900"], ["700", "900"]],
        "front": [["600", "500"], ["700", "500"]],
        "limits": {"low": [["600", "507"], ["700", "507"]], "high": [["600", "493"], ["700", "493"]]},
    }
)
LABELS = Labels("120.46 mm ± 0.40 mm", "0", {"low": "118.0", "high": "122.0"})
SVG = "{http://www.w3.org/2000/svg}"
POINT = re.compile(r"[ML](-?[0-9.]+) (-?[0-9.]+)")


def parsed(drawing: Overlay) -> ET.Element:
    return ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing


def strokes(drawing: Overlay) -> set[tuple[tuple[float, float], ...]]:
    """Every path as its points in pixels of the whole picture's pixel edges."""
    left, top = drawing.box[0] * 2000 / PARTS, drawing.box[1] * 1500 / PARTS
    return {
        tuple(
            (round(float(x) + left, 1), round(float(y) + top, 1)) for x, y in POINT.findall(each.attrib["d"])
        )
        for each in parsed(drawing).iter(f"{SVG}path")
    }


def test_lines_stand_where_they_were_measured() -> None:
    """The centre of the first pixel is (0, 0) when measured and (0.5, 0.5) when drawn; ends stand out by a fifth."""
    drawn = strokes(overlay(MARKS, LABELS))
    assert ((580.5, 500.5), (720.5, 500.5)) in drawn
    assert ((580.5, 900.5), (720.5, 900.5)) in drawn
    assert ((510.5, 520.5), (570.5, 520.5), (570.5, 580.5), (510.5, 580.5)) in drawn
    assert {points[0][1] for points in drawn if len(points) == 2} == {493.5, 500.5, 507.5, 900.5}


def test_the_part_holds_every_mark_and_keeps_to_the_picture() -> None:
    left, top, right, bottom = overlay(MARKS, LABELS).box
    assert 0 <= left < 510 * PARTS / 2000 < 700 * PARTS / 2000 < right <= PARTS
    assert 0 <= top < 493 * PARTS / 1500 < 900 * PARTS / 1500 < bottom <= PARTS


def test_labels_are_text_and_nothing_else() -> None:
    texts = [each.text for each in parsed(overlay(MARKS, Labels("<b>&", "0", {}))).iter(f"{SVG}text")]
    assert texts == ["0", "<b>&"]


@pytest.mark.parametrize("x", ["0", "1990"])
def test_labels_stay_inside_the_part(x: str) -> None:
    moved = Marks.read(
        MARKS.document() | {"datum": [[x, "900"], [x, "900"]], "front": [[x, "500"], [x, "500"]]}
    )
    drawing = overlay(moved, LABELS)
    for text in parsed(drawing).iter(f"{SVG}text"):
        assert 0 < float(text.attrib["x"]) < drawing.width
        assert 0 < float(text.attrib["y"]) <= drawing.height
