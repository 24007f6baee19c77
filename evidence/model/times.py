"""Times as they are known: half-open intervals read from what somebody wrote.

``2026-03-04`` is that day, ``2026-03-04 am`` its first half, ``2026-03-04 before 14:00`` from midnight to two,
``2026-03-04T10:40`` that minute; an exact time may carry its offset from UTC.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

MAX_TEXT = 40  # characters
_NOON = time(12)
_DAY = r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})"
_CLOCK = r"[0-9]{2}:[0-9]{2}"
_OFFSET = r"(?P<offset>Z|[+-][0-9]{2}:[0-9]{2})"
_INTERVAL = re.compile(
    rf"{_DAY}(?:T(?P<clock>{_CLOCK})(?::(?P<second>[0-9]{{2}}))?{_OFFSET}?"
    rf"| (?P<half>am|pm)| (?P<side>before|after) (?P<bound>{_CLOCK}))?",
    re.ASCII,
)


class TimeTextError(ValueError):
    """Text that is no time in the agreed forms."""


@dataclass(frozen=True)
class Interval:
    """A half-open stretch of local time ``[start, end)``.

    Attributes:
        start: first instant, without zone.
        end: first instant after it, without zone.
        offset: offset from UTC where it was written, else None: the record's list of offsets rules.
        text: as somebody wrote it.
    """

    start: datetime
    end: datetime
    offset: timedelta | None
    text: str

    @property
    def first_day(self) -> date:
        """Day of the first instant."""
        return self.start.date()

    @property
    def last_day(self) -> date:
        """Day of the last instant."""
        return (self.end - timedelta(microseconds=1)).date()


def parse_date(text: str) -> date:
    """Read ``2026-03-04``.

    Raises:
        TimeTextError: another form, or a day that no calendar has.
    """
    if re.fullmatch(_DAY, text, re.ASCII) is None:
        raise TimeTextError(text)
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise TimeTextError(text) from error


def parse_interval(text: str) -> Interval:
    """Read one of the agreed forms.

    Raises:
        TimeTextError: another form, or a time that no clock shows.
    """
    match = _INTERVAL.fullmatch(text) if len(text) <= MAX_TEXT else None
    if match is None:
        raise TimeTextError(text)
    try:
        start, end = _bounds(match)
        offset = parse_offset(match["offset"]) if match["offset"] else None
    except (ValueError, OverflowError) as error:
        raise TimeTextError(text) from error
    if start >= end:
        raise TimeTextError(text)
    return Interval(start, end, offset, text)


def parse_offset(text: str) -> timedelta:
    """Read ``+01:00`` or ``Z``.

    Raises:
        TimeTextError: another form, or more than 14 hours.
    """
    if text == "Z":
        return timedelta(0)
    if re.fullmatch(r"[+-](0[0-9]|1[0-4]):[0-5][0-9]", text, re.ASCII) is None:
        raise TimeTextError(text)
    size = timedelta(hours=int(text[1:3]), minutes=int(text[4:6]))
    return -size if text[0] == "-" else size


def add_months(day: date, months: int) -> date:
    """The same day of the month ``months`` later; where that month is shorter, its last day."""
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    following = date(year + (month + 1) // 12, (month + 1) % 12 + 1, 1)
    last = following - timedelta(days=1)
    return date(year, month + 1, min(day.day, last.day))


def _bounds(match: re.Match[str]) -> tuple[datetime, datetime]:
    midnight = datetime.combine(date.fromisoformat(match["day"]), time())
    next_midnight = midnight + timedelta(days=1)
    noon = datetime.combine(midnight, _NOON)
    if match["clock"]:
        start = _at(midnight, match["clock"])
        if match["second"]:
            start = start.replace(second=int(match["second"]))
            return start, start + timedelta(seconds=1)
        return start, start + timedelta(minutes=1)
    if match["half"]:
        return (midnight, noon) if match["half"] == "am" else (noon, next_midnight)
    if match["side"]:
        bound = _at(midnight, match["bound"])
        return (midnight, bound) if match["side"] == "before" else (bound, next_midnight)
    return midnight, next_midnight


def _at(midnight: datetime, clock: str) -> datetime:
    return datetime.combine(midnight, time.fromisoformat(clock))
