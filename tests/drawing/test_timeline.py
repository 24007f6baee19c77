"""The drawn timeline: days side by side, bars as long as what was written, what is wrong told by shape too."""

import re
import xml.etree.ElementTree as ET
from datetime import date, datetime, timedelta

import pytest

from evidence.drawing.timeline import (
    MAX_DAYS,
    MAX_LANES,
    WIDTH,
    Kind,
    Lane,
    Mark,
    key_svg,
    timeline_svgs,
)

DAY = datetime(2026, 3, 4)  # noqa: DTZ001 - the drawing is in local time
STEP = "#1d4f63"
WRONG = "#8c1d12"


def short(day: date) -> str:
    """A day without its year."""
    return f"{day:%m-%d}"


def mark(start: float, end: float, kind: Kind = "step", *, wrong: bool = False) -> Mark:
    """A mark by hours from midnight of the first day."""
    return Mark(DAY + timedelta(hours=start), DAY + timedelta(hours=end), kind, wrong)


def bars(drawing: str, colour: str = STEP) -> list[tuple[float, float, float]]:
    """x, y and width of the filled bars of a colour."""
    found = re.findall(
        rf'<rect x="([0-9.]+)" y="([0-9.]+)" width="([0-9.]+)" height="9" fill="{colour}"', drawing
    )
    return [(float(x), float(y), float(width)) for x, y, width in found]


def test_a_bar_is_as_long_as_its_time_and_good_order_goes_down_like_stairs() -> None:
    lanes = [Lane("Drill", (mark(8, 9),)), Lane("Seal", (mark(9, 11),)), Lane("Fit", (mark(11, 12),))]

    (drawing,) = timeline_svgs(lanes, short)

    drill, seal, fit = bars(drawing)
    assert seal[2] == pytest.approx(2 * drill[2], abs=0.05)
    assert drill[0] + drill[2] == pytest.approx(seal[0], abs=0.05)
    assert drill[0] < seal[0] < fit[0]
    assert drill[1] < seal[1] < fit[1]


def test_a_minute_is_still_seen() -> None:
    (drawing,) = timeline_svgs([Lane("Drill", (mark(8, 8 + 1 / 60),)), Lane("Seal", (mark(15, 16),))], short)

    assert next(width for _, _, width in bars(drawing)) == 5


def test_days_without_work_are_left_out_and_a_stretch_over_midnight_lies_in_both() -> None:
    lanes = [
        Lane("Fit", (mark(8, 9),)),
        Lane("Test", (mark(24 * 9 + 9, 24 * 9 + 10),)),
        Lane("Night", (mark(20, 28),)),
    ]

    (drawing,) = timeline_svgs(lanes, short)

    assert re.findall(r">(2026-[0-9-]+)<", drawing) == ["2026-03-04", "2026-03-05", "2026-03-13"]
    night = max(y for _, y, _ in bars(drawing))
    assert len([bar for bar in bars(drawing) if bar[1] == night]) == 2


def test_what_only_holds_opens_no_day_but_spans_those_that_are_there() -> None:
    lanes = [Lane("Fit", (mark(8, 9),)), Lane("Wrench, calibrated", (mark(-24 * 200, 24 * 100, "valid"),))]

    (drawing,) = timeline_svgs(lanes, short)

    assert re.findall(r">(2026-[0-9-]+)<", drawing) == ["2026-03-04"]
    assert 'height="3.2"' in drawing
    assert timeline_svgs(lanes[1:], short) == ()


def test_an_end_of_validity_is_drawn_where_it_is() -> None:
    lanes = [
        Lane("Fit", (mark(8, 9),)),
        Lane("Test", (mark(32, 33),)),
        Lane("Wrench, calibrated", (mark(-99, 24, "valid"),)),
    ]

    (drawing,) = timeline_svgs(lanes, short)

    assert drawing.count('height="3.2"') == 1


def test_what_is_wrong_has_another_colour_and_a_sign() -> None:
    (drawing,) = timeline_svgs([Lane("Fit", (mark(8, 9), mark(10, 11, wrong=True)))], short)

    assert len(bars(drawing)) == len(bars(drawing, WRONG)) == 1
    assert drawing.count(f'stroke="{WRONG}"') == 2


def test_many_days_and_many_lanes_make_several_drawings() -> None:
    days = [Lane(f"Step {day}", (mark(24 * day + 8, 24 * day + 9),)) for day in range(MAX_DAYS + 1)]
    lanes = [Lane(f"Step {step}", (mark(8 + step / 10, 8.1 + step / 10),)) for step in range(MAX_LANES + 1)]

    assert len(timeline_svgs(days, short)) == 2
    assert len(timeline_svgs(lanes, short)) == 2


def test_hostile_and_long_labels_stay_in_their_column() -> None:
    (drawing,) = timeline_svgs([Lane('<script>&"' + "w" * 200, (mark(8, 9),))], short)

    told = [each.text or "" for each in ET.fromstring(drawing).iter() if each.tag.endswith("text")]  # noqa: S314 - our own
    assert max(map(len, told)) <= 45
    assert any(each.startswith("<script>") for each in told)


@pytest.mark.parametrize("kind", ["step", "redo", "check", "photo", "wait", "valid", "event"])
def test_every_kind_has_its_shape_in_key_and_drawing_inside_the_paper(kind: Kind) -> None:
    (drawing,) = timeline_svgs([Lane("A", (mark(8, 9),)), Lane("B", (mark(9, 9.2, kind),))], short)
    xs = [float(x) for x in re.findall(r'\bx[12]?="([0-9.]+)"', drawing)]

    assert 0 <= min(xs) <= max(xs) <= WIDTH
    assert ET.fromstring(key_svg(kind)).tag.endswith("svg")  # noqa: S314 - our own
    assert (
        len(
            {
                key_svg("step"),
                key_svg("redo"),
                key_svg("check"),
                key_svg("photo"),
                key_svg("wait"),
                key_svg("valid"),
            }
        )
        == 6
    )
