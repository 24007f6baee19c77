"""A limit bar: what is allowed, what was found, and how sure that is, on one line."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from evidence.drawing._palette import FONT, INK, MUTED, OUTCOME_TINTS, PAPER, RULE
from evidence.drawing._svg import line, number, path, rectangle, svg
from evidence.model.names import Outcome

WIDTH = 400  # user units
HEIGHT = 36
LANE = 22  # height of one value's line where several stand below each other
FOOT = 16  # below them, for the limits' numbers
_MIDDLE = Fraction(HEIGHT, 2)
_MARGIN = Fraction(35, 100)  # of the allowed span, shown on each side of it
_ONE_SIDED = Fraction(15, 100)  # of the limit's size, shown at least where only one limit is given
_WIDENED = 1  # of the stretch, by which it may grow at each end for values beyond it
_RADIUS = 5
_LETTER = 6  # user units of a number's letter, roughly


@dataclass(frozen=True)
class Reading:
    """A value and its expanded uncertainty, None where nobody stated one; in one unit for the whole bar."""

    value: Fraction
    uncertainty: Fraction | None = None


@dataclass(frozen=True)
class ComparedBar:
    """Recorded values and what a photo gave, each on a line of its own, everything in the same unit.

    Attributes:
        recorded: values that decide, from above.
        photo: what the photo gave, below them; None where it gave nothing.
        low, high: limits with their texts; either may be open.
        guard: width of the band inside each limit that a value must keep clear of; zero without one.
    """

    recorded: tuple[Reading, ...]
    photo: Reading | None
    low: tuple[Fraction, str] | None
    high: tuple[Fraction, str] | None
    guard: Fraction = Fraction(0)


@dataclass(frozen=True)
class LimitBar:
    """What one bar shows, everything in the same unit.

    Attributes:
        readings: at least one.
        low, high: limits; either may be open, not both.
    """

    readings: tuple[Reading, ...]
    low: Fraction | None
    high: Fraction | None


def limit_bar_svg(bar: LimitBar) -> str:
    """Allowed zone as a band between its ticks, each value as a dot with its interval as whisker.

    A value beyond the drawn stretch becomes an arrow at that end.

    Raises:
        ValueError: no reading, or no limit at all.
    """
    if not bar.readings or (bar.low is None and bar.high is None):
        raise ValueError("a limit bar needs a reading and a limit")
    start, end = _view(bar)
    body = _zone(bar, start, end)
    body += "".join(_reading(reading, start, end) for reading in bar.readings)
    return svg(WIDTH, HEIGHT, body)


def compared_bar_svg(bar: ComparedBar) -> str:
    """As ``limit_bar_svg``, a line for each value: recorded ones as dots, the photo's as an open diamond.

    The guard band is tinted and bounded by a broken line inside each limit; each limit has its number below.

    Raises:
        ValueError: no value, or no limit at all.
    """
    readings = (*bar.recorded, *((bar.photo,) if bar.photo else ()))
    if not readings or (bar.low is None and bar.high is None):
        raise ValueError("a limit bar needs a reading and a limit")
    low, high = (None if limit is None else limit[0] for limit in (bar.low, bar.high))
    plain = LimitBar(readings, low, high)
    start, end = _wide_view(plain)
    lanes = len(readings) * LANE
    body = _wide_zone(plain, bar.guard, (start, end), lanes)
    for index, reading in enumerate(readings):
        shape = _diamond if reading is bar.photo and index == len(readings) - 1 else _dot
        body += _reading(reading, start, end, Fraction(index * LANE + LANE // 2), shape)
    for limit in (bar.low, bar.high):
        if limit is not None:
            body += _number(limit[1], _at(limit[0], start, end), lanes + FOOT - 3)
    return svg(WIDTH, lanes + FOOT, body)


def _wide_view(bar: LimitBar) -> tuple[Fraction, Fraction]:
    """The stretch of a plain bar, widened for values beyond it by as much as lets the zone still be seen."""
    start, end = _view(bar)
    spread = [reading.uncertainty or Fraction(0) for reading in bar.readings]
    lows = [reading.value - 2 * each for reading, each in zip(bar.readings, spread, strict=True)]
    highs = [reading.value + 2 * each for reading, each in zip(bar.readings, spread, strict=True)]
    reach = (end - start) * _WIDENED
    return max(min(start, *lows), start - reach), min(max(end, *highs), end + reach)


def _wide_zone(bar: LimitBar, guard: Fraction, view: tuple[Fraction, Fraction], lanes: int) -> str:
    left = Fraction(0) if bar.low is None else _at(bar.low, *view)
    right = Fraction(WIDTH) if bar.high is None else _at(bar.high, *view)
    tint, shy = OUTCOME_TINTS[Outcome.MET], OUTCOME_TINTS[Outcome.UNDECIDED]
    body = "".join(line((0, y), (WIDTH, y), RULE, 1) for y in range(LANE // 2, lanes, LANE))
    body += rectangle((left, 2), (max(right - left, Fraction(1)), lanes - 4), tint.ground)
    # where the uncertainty leaves no room, the bands fill the zone and do not leave it
    wide = min(guard / (view[1] - view[0]) * WIDTH, right - left)
    for limit, place, inward in ((bar.low, left, wide), (bar.high, right, -wide)):
        if limit is not None and wide:
            body += rectangle((min(place, place + inward), 2), (wide, lanes - 4), shy.ground)
            body += _broken(place + inward, lanes, shy.ink)
    ticks = [place for limit, place in ((bar.low, left), (bar.high, right)) if limit is not None]
    return body + "".join(line((place, 0), (place, lanes + 2), tint.ink, 2.5) for place in ticks)


def _broken(x: Fraction, lanes: int, colour: str) -> str:
    dashes = "".join(f"M{float(x):.2f} {y}v4" for y in range(3, lanes - 3, 7))
    return path(dashes, "none", colour, 1.2)


def _number(text: str, x: Fraction, y: int) -> str:
    half = Fraction(len(text) * _LETTER, 2)
    at = min(max(x, half), WIDTH - half)
    place = f'x="{number(at)}" y="{y}" text-anchor="middle"'
    return f'<text {place} font-family="{FONT}" font-size="11" fill="{INK}">{escape(text)}</text>'


def _view(bar: LimitBar) -> tuple[Fraction, Fraction]:
    if bar.low is not None and bar.high is not None:
        margin = (bar.high - bar.low) * _MARGIN or Fraction(1)
        return bar.low - margin, bar.high + margin
    limit = bar.high if bar.low is None else bar.low
    assert limit is not None  # noqa: S101 - the caller has checked that one of them is given
    farthest = max(abs(reading.value - limit) for reading in bar.readings)
    reach = max(farthest * 3 / 2, abs(limit) * _ONE_SIDED) or Fraction(1)
    inside, outside = (limit - reach, limit + reach * _MARGIN), (limit - reach * _MARGIN, limit + reach)
    violated = any(_beyond(reading.value, bar) for reading in bar.readings)
    if violated:
        return limit - reach, limit + reach
    return inside if bar.low is None else outside


def _beyond(value: Fraction, bar: LimitBar) -> bool:
    return (bar.low is not None and value < bar.low) or (bar.high is not None and value > bar.high)


def _at(value: Fraction, start: Fraction, end: Fraction) -> Fraction:
    return (value - start) / (end - start) * WIDTH


def _zone(bar: LimitBar, start: Fraction, end: Fraction) -> str:
    left = Fraction(0) if bar.low is None else _at(bar.low, start, end)
    right = Fraction(WIDTH) if bar.high is None else _at(bar.high, start, end)
    tint = OUTCOME_TINTS[Outcome.MET]
    body = line((0, _MIDDLE), (WIDTH, _MIDDLE), RULE, 2)
    body += rectangle((left, _MIDDLE - 7), (max(right - left, Fraction(1)), 14), tint.ground)
    for limit, place in ((bar.low, left), (bar.high, right)):
        if limit is not None:
            body += line((place, 3), (place, HEIGHT - 3), tint.ink, 2.5)
    return body


def _reading(
    reading: Reading,
    start: Fraction,
    end: Fraction,
    y: Fraction = _MIDDLE,
    shape: Callable[[Fraction, Fraction], str] | None = None,
) -> str:
    place = _at(reading.value, start, end)
    if place < 0 or place > WIDTH:
        return _arrow(y, to_the_right=place > WIDTH)
    body = ""
    if reading.uncertainty is not None:
        first = max(_at(reading.value - reading.uncertainty, start, end), Fraction(0))
        last = min(_at(reading.value + reading.uncertainty, start, end), Fraction(WIDTH))
        body += line((first, y), (last, y), MUTED, 3)
        body += "".join(line((end_, y - 6), (end_, y + 6), MUTED, 2) for end_ in (first, last))
    return body + (shape or _dot)(min(max(place, Fraction(_RADIUS)), Fraction(WIDTH - _RADIUS)), y)


def _dot(x: Fraction, y: Fraction) -> str:
    left = float(x) - _RADIUS
    arc = f"a{_RADIUS} {_RADIUS} 0 1 1 "
    return path(f"M{left:.2f} {float(y):.0f}{arc}{2 * _RADIUS} 0{arc}-{2 * _RADIUS} 0Z", INK)


def _diamond(x: Fraction, y: Fraction) -> str:
    reach = _RADIUS + 1
    corners = f"M{float(x) - reach:.2f} {float(y):.0f}l{reach} -{reach}l{reach} {reach}l-{reach} {reach}Z"
    return path(corners, PAPER, INK, 2)


def _arrow(y: Fraction, *, to_the_right: bool) -> str:
    tip, base = (WIDTH - 1, WIDTH - 14) if to_the_right else (1, 14)
    middle = int(y)
    return path(f"M{tip} {middle}L{base} {middle - 8}V{middle + 8}Z", OUTCOME_TINTS[Outcome.NOT_MET].ink)
