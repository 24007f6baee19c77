"""What was done when: a lane for each thing, the days side by side, the hours that nobody worked left out.

Times are drawn as they are known: a stretch as a bar as long as it is, a minute as a bar of the least width that is seen. In
the order of the manual the bars go down like stairs; one that goes up was done out of order.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal
from xml.sax.saxutils import escape

from evidence.drawing._palette import ACCENT, BAND, INK, MUTED, OUTCOME_TINTS, PAPER, RULE
from evidence.drawing._svg import Number, line, number, path, rectangle, svg
from evidence.model.names import Outcome

WIDTH = 720  # user units
MAX_DAYS = 9  # side by side; what lies further apart is drawn again below
MAX_LANES = 34  # of one drawing, so that it fits a page
_LABELS = 214  # user units left of the days
_LANE = 19
_HEAD = 34
_GAP = 7  # between two days
_SIZE = 12  # of letters
_LETTER = 5.3  # user units of a usual letter of that size
_ROOM_FOR_HOUR, _ROOM_FOR_DATE = 22, 70
_LEAST = 5  # user units of a bar
_BAR = 9  # height of a bar
_PAD = timedelta(hours=1)
_WRONG = OUTCOME_TINTS[Outcome.NOT_MET].ink

Kind = Literal["step", "redo", "check", "photo", "wait", "valid", "event"]


@dataclass(frozen=True)
class Mark:
    """One thing in time.

    Attributes:
        start, end: half-open stretch, local time; of what holds without end, ``end`` is far away.
        kind: what it is; a wait is what must pass, valid is when a calibration or qualification held.
        wrong: whether a finding or a contradiction says that something is wrong with it.
    """

    start: datetime
    end: datetime
    kind: Kind
    wrong: bool = False


@dataclass(frozen=True)
class Lane:
    """A row: what it is of, and its marks."""

    label: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class _Days:
    """The days side by side, and which hours of each are drawn."""

    days: tuple[date, ...]
    first: timedelta
    last: timedelta

    @property
    def wide(self) -> float:
        """Width of one day."""
        free = WIDTH - _LABELS - _GAP * (len(self.days) - 1)
        return free / len(self.days)

    def left(self, place: int) -> float:
        """Left edge of a day."""
        return _LABELS + place * (self.wide + _GAP)

    def pieces(self, mark: Mark) -> Iterator[tuple[float, float]]:
        """From where to where the mark lies in each day that it touches; hours left out count to the nearer edge."""
        for place, day in enumerate(self.days):
            begin = datetime.combine(day, time())
            if mark.start < begin + timedelta(days=1) and mark.end > begin:
                left, wide = self.left(place), self.wide
                yield (
                    left + self._share(mark.start - begin) * wide,
                    left + self._share(mark.end - begin) * wide,
                )

    def _share(self, after: timedelta) -> float:
        whole = (self.last - self.first) / timedelta(hours=1)
        return min(max((after - self.first) / timedelta(hours=1) / whole, 0.0), 1.0)


def timeline_svgs(lanes: Sequence[Lane], short_day: Callable[[date], str]) -> tuple[str, ...]:
    """The drawings, as many as the days and lanes need; none where no mark has a day of its own.

    Args:
        lanes: from the top; those that only say what was valid come with every stretch of days that they touch.
        short_day: a day without its year, as the reader writes it, for columns with no room for more.
    """
    days = sorted(
        {
            day
            for lane in lanes
            for mark in lane.marks
            if mark.kind not in ("valid", "wait")
            for day in _days(mark)
        }
    )
    drawings = []
    for begin in range(0, len(days), MAX_DAYS):
        window = _window(tuple(days[begin : begin + MAX_DAYS]), lanes)
        shown = [lane for lane in lanes if any(True for mark in lane.marks for _ in window.pieces(mark))]
        drawings += [
            _drawing(window, shown[first : first + MAX_LANES], short_day)
            for first in range(0, len(shown), MAX_LANES)
        ]
    return tuple(drawings)


def _days(mark: Mark) -> Iterator[date]:
    day, last = mark.start.date(), (mark.end - timedelta(microseconds=1)).date()
    while day <= last:
        yield day
        day += timedelta(days=1)


def _window(days: tuple[date, ...], lanes: Sequence[Lane]) -> _Days:
    """Hours that hold every mark known to less than half a day; a whole day is drawn as wide as they are."""
    starts, ends = [], []
    for lane in lanes:
        for mark in lane.marks:
            if mark.kind in ("valid", "wait") or mark.end - mark.start > timedelta(hours=6):
                continue
            if mark.start.date() in days:
                midnight = datetime.combine(mark.start.date(), time())
                starts.append(mark.start - midnight)
                ends.append(mark.end - midnight)
    if not starts:
        return _Days(days, timedelta(), timedelta(hours=24))
    return _Days(
        days, max(_whole(min(starts) - _PAD), timedelta()), min(_whole(max(ends) + _PAD), timedelta(hours=24))
    )


def _whole(span: timedelta) -> timedelta:
    return timedelta(hours=round(span / timedelta(hours=1)))


def _drawing(window: _Days, lanes: Sequence[Lane], short_day: Callable[[date], str]) -> str:
    height = _HEAD + _LANE * len(lanes)
    body = "".join(_columns(window, height, short_day))
    for row, lane in enumerate(lanes):
        middle = _HEAD + _LANE * row + _LANE / 2
        body += line((0, middle + _LANE / 2), (WIDTH, middle + _LANE / 2), RULE, 0.5)
        body += _letters(0, middle + 4, _cut(lane.label), INK)
        body += "".join(_mark(window, mark, middle) for mark in lane.marks)
    return svg(WIDTH, height, f'<g font-family="Source Sans Pro" font-size="{_SIZE}">{body}</g>')


def _columns(window: _Days, height: float, short_day: Callable[[date], str]) -> Iterator[str]:
    hours = [
        window.first + timedelta(hours=each)
        for each in range(int((window.last - window.first).total_seconds() // 3600) + 1)
    ]
    every = next(
        each
        for each in (1, 2, 3, 4, 6, 12, 24)
        if window.wide / max(len(hours) - 1, 1) * each >= _ROOM_FOR_HOUR
    )
    for place, day in enumerate(window.days):
        left = window.left(place)
        yield rectangle((left, _HEAD - 4), (window.wide, height - _HEAD + 4), BAND)
        yield _letters(
            left + window.wide / 2,
            12,
            day.isoformat() if window.wide >= _ROOM_FOR_DATE else short_day(day),
            INK,
            "middle",
        )
        for step, hour in enumerate(hours):
            whole = int(hour.total_seconds() // 3600)
            x = left + step / max(len(hours) - 1, 1) * window.wide
            if whole % every == 0:
                yield line((x, _HEAD - 4), (x, height), RULE, 0.6)
                if 0 < step < len(hours) - 1 or len(window.days) == 1:
                    yield _letters(x, 26, str(whole), MUTED, "middle")


def _mark(window: _Days, mark: Mark, middle: float) -> str:
    drawn = ""
    for begin, end in window.pieces(mark):
        colour = _WRONG if mark.wrong else _COLOURS[mark.kind]
        middle_of = (begin + end) / 2
        left, right = (
            (begin, end) if end - begin >= _LEAST else (middle_of - _LEAST / 2, middle_of + _LEAST / 2)
        )
        drawn += _SHAPES[mark.kind](left, right, middle, colour)
        if mark.wrong:
            drawn += _flag(right, middle)
    return drawn


def _solid(left: float, right: float, middle: float, colour: str) -> str:
    return rectangle((left, middle - _BAR / 2), (right - left, _BAR), colour)


def _open(left: float, right: float, middle: float, colour: str) -> str:
    top, foot = number(middle - _BAR / 2), number(middle + _BAR / 2)
    return path(f"M{number(left)} {top}H{number(right)}V{foot}H{number(left)}Z", PAPER, colour, 1.8)


def _diamond(left: float, right: float, middle: float, colour: str) -> str:
    if right - left > 2 * _BAR:
        return _open(left, right, middle, colour)
    x = number((left + right) / 2)
    return path(f"M{x} {number(middle - 6)}l5 6l-5 6l-5-6Z", colour)


def _dotted(left: float, right: float, middle: float, colour: str) -> str:
    body = line((left, middle), (right, middle), colour, 1.2)
    steps = range(int((right - left) // 6) + 1)
    return body + "".join(
        line((left + 6 * step, middle - 3.5), (left + 6 * step, middle + 3.5), colour, 1.2) for step in steps
    )


def _thin(left: float, right: float, middle: float, colour: str) -> str:
    return rectangle((left, middle - 1.6), (right - left, 3.2), colour)


def _dot(left: float, right: float, middle: float, colour: str) -> str:
    if right - left > 2 * _BAR:
        return _open(left, right, middle, colour)
    return path(
        f"M{number((left + right) / 2 - 3.5)} {number(middle)}a3.5 3.5 0 1 1 7 0a3.5 3.5 0 1 1 -7 0Z",
        PAPER,
        colour,
        1.6,
    )


_SHAPES = {
    "step": _solid,
    "redo": _open,
    "check": _diamond,
    "photo": _dot,
    "wait": _dotted,
    "valid": _thin,
    "event": _diamond,
}
_COLOURS = {
    "step": ACCENT,
    "redo": ACCENT,
    "check": ACCENT,
    "photo": MUTED,
    "wait": MUTED,
    "valid": MUTED,
    "event": INK,
}


def _flag(right: float, middle: float) -> str:
    """An exclamation in the colour of what is not met, so that shape and colour both say it."""
    x = right + 5
    return line((x, middle - 6), (x, middle + 1), _WRONG, 2.4) + line(
        (x, middle + 3.6), (x, middle + 6), _WRONG, 2.4
    )


def key_svg(kind: Kind, *, wrong: bool = False) -> str:
    """What stands beside the words for a kind in the key."""
    middle, colour = 8, _WRONG if wrong else _COLOURS[kind]
    ends = (11, 17) if kind in ("check", "photo", "event") else (2, 26)
    body = _SHAPES[kind](*ends, middle, colour)
    return svg(34, 16, body + (_flag(ends[1], middle) if wrong else ""))


def _cut(label: str) -> str:
    most = int(_LABELS / _LETTER)
    return label if len(label) <= most else label[: most - 1].rstrip() + "\u2026"


def _letters(x: Number, y: Number, words: str, colour: str, anchor: str = "start") -> str:
    place = f'x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" fill="{colour}"'
    return f"<text {place}>{escape(words)}</text>"
