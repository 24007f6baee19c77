"""Photos of a clock: what a phone's own clock is worth once somebody compared it."""

from typing import Any

import pytest

from evidence.judge._camera import taken
from evidence.judge.case import Case
from evidence.judge.loose_ends import loose_ends
from evidence.model.exhibit import Item
from evidence.phrases import say
from tests.judge.builders import TO_COME, case, entry, photo, record

# The phone says 08:00:00 when the clock beside it shows 07:48:10 (+01:00), so it is 11 min 50 s fast.
# Every stretch below is computed independently by hand: difference of the two, and a minute on each side.
READ = {"exhibit": "E9", "shown": "2026-03-04T07:48:10", "by": "w1"}
CLOCK = entry("E9", "clock-ticket", "vehicle", "photos/E9.jpg")


def by_phone(name: str, at: str | None, offset: str | None = None, camera: str | None = "Demo Phone") -> Item:
    item = photo(name, at, offset)
    assert item.photo is not None
    return item.model_copy(update={"photo": item.photo.model_copy(update={"camera": camera})})


def timed(
    photo_time: str,
    *,
    clock: str | None = "2026-03-04T08:00:00",
    offset: str | None = None,
    camera: str | None = "Demo Phone",
    readings: Any = (READ,),
    **more: Any,
) -> tuple[str, str] | None:
    """First and last instant in which the photo was taken, UTC."""
    exhibits = [entry("E1", "hook-position", file="photos/E1.jpg"), CLOCK, *more.get("exhibits", ())]
    shot = by_phone("E1", photo_time, offset, camera)
    items = {"E1": shot, "E9": by_phone("E9", clock, more.get("clock_offset"))}
    the_case: Case = case(
        record(exhibits=exhibits, clocks=list(readings)), items={**items, **more.get("items", {})}
    )
    assert shot.photo is not None
    found = taken(shot.photo, the_case)
    return None if found is None else (found.start.isoformat(), found.end.isoformat())


def test_without_a_reading_a_clock_may_be_ten_minutes_wrong() -> None:
    assert timed("2026-03-04T10:00:00", readings=()) == ("2026-03-04T08:50:00", "2026-03-04T09:10:00")


@pytest.mark.parametrize(
    ("photo_time", "expected"),
    [
        ("2026-03-04T10:00:00", ("2026-03-04T08:47:10", "2026-03-04T08:49:11")),
        ("2026-03-04T06:00:00", ("2026-03-04T04:47:10", "2026-03-04T04:49:11")),  # before the clock was taken
        ("2026-03-11T08:00:00", ("2026-03-11T06:47:10", "2026-03-11T06:49:11")),  # a week later
        (
            "2026-03-11T08:00:01",
            ("2026-03-11T06:50:01", "2026-03-11T07:10:01"),
        ),  # longer ago: no longer known
    ],
)
def test_a_reading_corrects_the_phones_clock(photo_time: str, expected: tuple[str, str]) -> None:
    assert timed(photo_time) == expected


def test_a_clock_without_seconds_leaves_a_minute_more() -> None:
    found = timed("2026-03-04T10:00:00", readings=[{**READ, "shown": "2026-03-04T07:48"}])

    assert found == ("2026-03-04T08:47:00", "2026-03-04T08:50:00")


@pytest.mark.parametrize(
    "changes",
    [
        {"camera": "Demo Other"},
        {"camera": None},
        {"clock": None},
        {"clock_offset": "+01:00"},  # its clock ran by another rule
        {"readings": [{**READ, "exhibit": "E1"}]},  # no photo of a clock
    ],
)
def test_the_clock_of_another_phone_says_nothing(changes: dict[str, Any]) -> None:
    found = timed("2026-03-04T10:00:00", **changes)

    assert found == ("2026-03-04T08:50:00", "2026-03-04T09:10:00")


def test_an_offset_of_the_phones_own_does_not_make_its_clock_right() -> None:
    found = timed("2026-03-04T10:00:00", offset="+01:00", clock_offset="+01:00")

    assert found == ("2026-03-04T08:47:10", "2026-03-04T08:49:11")


def test_two_phones_of_one_model_are_not_told_apart() -> None:
    second: dict[str, Any] = {
        "exhibits": [entry("E8", "clock-ticket", "vehicle", "photos/E8.jpg")],
        "items": {"E8": by_phone("E8", "2026-03-04T08:01:00")},
        "readings": [READ, {**READ, "exhibit": "E8", "shown": "2026-03-04T08:01:00"}],
    }

    assert timed("2026-03-04T10:00:00", **second) == ("2026-03-04T08:47:10", "2026-03-04T09:01:01")


@pytest.mark.parametrize(
    ("file", "clocks", "told"),
    [("photos/E9.jpg", [], ["E9"]), ("photos/E9.jpg", [READ], []), (TO_COME, [], [])],
)
def test_a_filed_clock_that_nobody_read_is_told(file: Any, clocks: list[Any], told: list[str]) -> None:
    the_record = record(exhibits=[entry("E9", "clock-ticket", "vehicle", file)], clocks=clocks)
    ends = [end for end in loose_ends(the_record) if end.code == "loose-clock-unread"]

    assert [end.place for end in ends] == told
    for end in ends:
        reason = end.reason(case().as_of)
        assert say(reason.code, reason.parameters).startswith("E9 shows the clock ticket.")
