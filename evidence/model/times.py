"""Times as they are known: half-open intervals read from what somebody wrote.

``2026-03-04`` is that day, ``2026-03-04 am`` its first half, ``2026-03-04 before 14:00`` from midnight to two,
``2026-03-04T10:40`` that minute; an exact time may carry its offset from UTC.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

MAX_TEXT = 40  # characters
FIRST_YEAR, LAST_YEAR = (
    1900,
    2200,
)  # outside no vehicle was built, and calendars end where sums of days reach them
_NOON = time(12)
_DAY = r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})"
_CLOCK = r"[0-9]{2}:[0-9]{2}"
_OFFSET = r"(?P<offset>Z|[+-][0-9]{2}:[0-9]{2})"
_INTERVAL = re.compile(
    rf"{_DAY}(?:T(?P<clock>{_CLOCK})(?::(?P<second>[0-9]{{2}}))?{_OFFSET}?"
    rf"| (?P<half>am|pm)| (?P<side>before|after) (?P<bound>{_CLOCK}))?",
    re.ASCII,
)


_SPACED = re.compile(rf"{_DAY} (?P<rest>{_CLOCK}(?::[0-9]{{2}})?{_OFFSET}?)", re.ASCII)


class TimeTextError(ValueError):
    """Text that is no time in the agreed forms.

    Attributes:
        code: why, where that is known: ``day-unknown`` for a day that no calendar has, ``time-without-t`` for a space
            in place of the T; else empty.
        parameters: for the sentence.
    """

    def __init__(self, text: str, code: str = "", **parameters: str) -> None:
        self.code = code
        self.parameters = parameters
        super().__init__(text)


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
    return _day(text, text)


def _day(day: str, text: str) -> date:
    """The day of a text that has its form.

    Raises:
        TimeTextError: no calendar has it, or no vehicle of that time can be meant.
    """
    try:
        found = date.fromisoformat(day)
    except ValueError as error:
        raise TimeTextError(text, "day-unknown", found=day) from error
    try:
        return _plausible(found)
    except ValueError as error:
        raise TimeTextError(text) from error


def _plausible(day: date) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(day)
    return day


def parse_interval(text: str) -> Interval:
    """Read one of the agreed forms.

    Raises:
        TimeTextError: another form, or a time that no clock shows.
    """
    match = _INTERVAL.fullmatch(text) if len(text) <= MAX_TEXT else None
    if match is None:
        if (spaced := _SPACED.fullmatch(text)) is not None:
            expected = f"{spaced['day']}T{spaced['rest']}"
            raise TimeTextError(text, "time-without-t", found=text, expected=expected)
        raise TimeTextError(text)
    _day(match["day"], text)
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
