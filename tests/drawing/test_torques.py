"""The strip of a screw group's torques: a place for each screw, values inside the frame, numbers that can be read."""

import re
import xml.etree.ElementTree as ET  # our own output, nothing hostile
from fractions import Fraction

import pytest

from evidence.drawing.limits import Reading
from evidence.drawing.torques import HEIGHT, WIDTH, TorqueStrip, torque_strip_svg

LOW, HIGH = (Fraction(22), "22.0 N·m"), (Fraction(26), "26.0 N·m")


def readings(*values: str | None, spread: str | None = "1") -> tuple[Reading | None, ...]:
    known = None if spread is None else Fraction(spread)
    return tuple(None if value is None else Reading(Fraction(value), known) for value in values)


def drawn(strip: TorqueStrip) -> ET.Element:
    return ET.fromstring(torque_strip_svg(strip))  # noqa: S314 - our own output


def texts(root: ET.Element) -> list[str]:
    return [node.text or "" for node in root.iter("{http://www.w3.org/2000/svg}text")]


def dots(svg: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"M([0-9.]+) ([0-9.-]+)a4.5", svg)]


def test_each_screw_has_a_dot_in_its_order_higher_for_more() -> None:
    svg = torque_strip_svg(TorqueStrip(readings("24", "25", "23"), (), LOW, HIGH))
    found = dots(svg)

    assert [x for x, _ in found] == sorted(x for x, _ in found)
    assert found[1][1] < found[0][1] < found[2][1]
    assert texts(drawn(TorqueStrip(readings("24", "25", "23"), (), LOW, HIGH))) == [
        "22.0 N·m",
        "26.0 N·m",
        "1",
        "2",
        "3",
    ]


def test_everything_lies_in_the_frame() -> None:
    strip = TorqueStrip(readings("24", "90", "-3"), ((Fraction(8), None, Fraction(140)),), LOW, HIGH)
    ys = [y for _, y in dots(torque_strip_svg(strip))]

    assert all(0 < y < HEIGHT + 8 for y in ys)
    assert drawn(strip).attrib["width"] == str(WIDTH)


def test_what_is_not_known_is_a_dash_and_what_was_found_later_a_diamond() -> None:
    plain = torque_strip_svg(TorqueStrip(readings("24", "24")))
    gap = torque_strip_svg(TorqueStrip(readings("24", None)))
    audited = torque_strip_svg(TorqueStrip(readings("24", "24"), ((Fraction(20), None),)))

    assert (len(dots(plain)), len(dots(gap))) == (2, 1)
    assert 'stroke-width="2.5"' in gap
    assert 'stroke-width="2.5"' not in plain
    assert (plain.count("l5 -5"), audited.count("l5 -5")) == (0, 1)


def test_open_limits() -> None:
    assert texts(drawn(TorqueStrip(readings("24"), (), LOW, None)))[0] == "22.0 N·m"
    assert texts(drawn(TorqueStrip(readings("24"), (), None, HIGH)))[0] == "26.0 N·m"
    assert texts(drawn(TorqueStrip(readings("24")))) == ["1"]


def test_limits_that_lie_close_keep_their_numbers_apart() -> None:
    close = TorqueStrip(readings("24", "90"), (), (Fraction(24), "24 N·m"), (Fraction(25), "25 N·m"))
    root = drawn(close)
    low, high = (float(node.attrib["y"]) for node in list(root.iter("{http://www.w3.org/2000/svg}text"))[:2])

    assert low - high >= 14.9


@pytest.mark.parametrize(("count", "numbers"), [(12, 12), (30, 30), (31, 16), (100, 21), (400, 21)])
def test_of_many_screws_some_have_their_number(count: int, numbers: int) -> None:
    assert len(texts(drawn(TorqueStrip(readings(*(["24"] * count)))))) == numbers


def test_words_cannot_leave_their_place() -> None:
    hostile = (Fraction(22), '<script x="1">&')

    assert texts(drawn(TorqueStrip(readings("24"), (), hostile)))[0] == '<script x="1">&'


@pytest.mark.parametrize("torques", [(), (None, None)])
def test_a_strip_without_a_torque_is_refused(torques: tuple[Reading | None, ...]) -> None:
    with pytest.raises(ValueError, match="torque"):
        torque_strip_svg(TorqueStrip(torques, (), LOW, HIGH))
