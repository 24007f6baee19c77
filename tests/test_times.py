"""Times as intervals: what each form covers, what is refused, and months that end early."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.model.times import TimeTextError, add_months, parse_date, parse_interval, parse_offset


def at(day: int, hour: int = 0, minute: int = 0, second: int = 0) -> datetime:
    return datetime(2026, 3, day, hour, minute, second)  # noqa: DTZ001 - the workshop's own clock


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("2026-03-04", at(4), at(5)),
        ("2026-03-04 am", at(4), at(4, 12)),
        ("2026-03-04 pm", at(4, 12), at(5)),
        ("2026-03-04 before 14:00", at(4), at(4, 14)),
        ("2026-03-04 after 14:00", at(4, 14), at(5)),
        ("2026-03-04T10:40", at(4, 10, 40), at(4, 10, 41)),
        ("2026-03-04T10:40:30", at(4, 10, 40, 30), at(4, 10, 40, 31)),
        ("2026-03-04T23:59", at(4, 23, 59), at(5)),
    ],
)
def test_interval_is_half_open(text: str, start: datetime, end: datetime) -> None:
    interval = parse_interval(text)

    assert (interval.start, interval.end, interval.offset, interval.text) == (start, end, None, text)
    assert (interval.first_day, interval.last_day) == (date(2026, 3, 4), date(2026, 3, 4))


@pytest.mark.parametrize(
    ("text", "hours"),
    [("2026-03-04T10:40+01:00", 1), ("2026-03-04T10:40Z", 0), ("2026-03-04T10:40-05:30", -5.5)],
)
def test_exact_time_may_carry_its_offset(text: str, hours: float) -> None:
    assert parse_interval(text).offset == timedelta(hours=hours)


@pytest.mark.parametrize(
    "text",
    [
        "", "2026-3-4", "04.03.2026", "2026-03-04 10:40", "2026-03-04T24:00", "2026-03-04T10:60", "2026-02-29",
        "2026-03-04 before 00:00", "2026-03-04 noon", "2026-03-04+01:00", "2026-03-04T10:40+15:00", "2026-03-04\n",
        "2026-03-04T10:40:61", "\u0662026-03-04", "2026-03-04 am ", "10000-01-01", "9999-12-31",
    ],
)  # fmt: skip
def test_other_forms_are_refused(text: str) -> None:
    with pytest.raises(TimeTextError):
        parse_interval(text)


@pytest.mark.parametrize("text", ["2026-03-04T10:40", "2026-02-30", "20260304", "2026-W10-3", " 2026-03-04"])
def test_day_has_one_form(text: str) -> None:
    with pytest.raises(TimeTextError):
        parse_date(text)


@pytest.mark.parametrize("text", ["+1:00", "+15:00", "01:00", "+01:60", "z", "+0100"])
def test_offset_has_one_form(text: str) -> None:
    with pytest.raises(TimeTextError):
        parse_offset(text)


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        # common practice, no source: a validity of 12 months includes the same day one year on
        (date(2024, 3, 1), 12, date(2025, 3, 1)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2023, 1, 31), 1, date(2023, 2, 28)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 12, 31), 2, date(2025, 2, 28)),
        (date(2024, 10, 15), 0, date(2024, 10, 15)),
        (date(2024, 11, 30), 1, date(2024, 12, 30)),
    ],
)
def test_months_end_with_the_month(day: date, months: int, expected: date) -> None:
    assert add_months(day, months) == expected


@given(day=st.dates(date(1990, 1, 1), date(2100, 1, 1)), months=st.integers(0, 240))
def test_months_keep_the_day_or_end_earlier(day: date, months: int) -> None:
    later = add_months(day, months)

    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day == day.day or (later + timedelta(days=1)).day == 1


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2026-02-30", "day-unknown"),
        ("2026-13-01 am", "day-unknown"),
        ("2026-03-04 10:40", "time-without-t"),
        ("2026-03-04 10:40+01:00", "time-without-t"),
        ("0026-03-04", ""),
        ("2026-03-04T25:00", ""),
        ("yesterday", ""),
    ],
)
def test_refusal_says_why_where_it_knows(text: str, code: str) -> None:
    with pytest.raises(TimeTextError) as caught:
        parse_interval(text)

    assert caught.value.code == code
