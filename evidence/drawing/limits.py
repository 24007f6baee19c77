"""A limit bar: what is allowed, what was found, and how sure that is, on one line."""

from dataclasses import dataclass
from fractions import Fraction

from evidence.drawing._palette import INK, MUTED, OUTCOME_TINTS, RULE
from evidence.drawing._svg import line, path, rectangle, svg
from evidence.model.names import Outcome

WIDTH = 400  # user units
HEIGHT = 36
_MIDDLE = Fraction(HEIGHT, 2)
_MARGIN = Fraction(35, 100)  # of the allowed span, shown on each side of it
_ONE_SIDED = Fraction(15, 100)  # of the limit's size, shown at least where only one limit is given
_RADIUS = 5


@dataclass(frozen=True)
class Reading:
    """A value and its expanded uncertainty, None where nobody stated one; in one unit for the whole bar."""

    value: Fraction
    uncertainty: Fraction | None = None


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


def _reading(reading: Reading, start: Fraction, end: Fraction) -> str:
    place = _at(reading.value, start, end)
    if place < 0 or place > WIDTH:
        return _arrow(to_the_right=place > WIDTH)
    body = ""
    if reading.uncertainty is not None:
        first = max(_at(reading.value - reading.uncertainty, start, end), Fraction(0))
        last = min(_at(reading.value + reading.uncertainty, start, end), Fraction(WIDTH))
        body += line((first, _MIDDLE), (last, _MIDDLE), MUTED, 3)
        body += "".join(line((end_, _MIDDLE - 6), (end_, _MIDDLE + 6), MUTED, 2) for end_ in (first, last))
    return body + _dot(min(max(place, Fraction(_RADIUS)), Fraction(WIDTH - _RADIUS)))


def _dot(x: Fraction) -> str:
    left = float(x) - _RADIUS
    arc = f"a{_RADIUS} {_RADIUS} 0 1 1 "
    return path(f"M{left:.2f} {float(_MIDDLE):.0f}{arc}{2 * _RADIUS} 0{arc}-{2 * _RADIUS} 0Z", INK)


def _arrow(*, to_the_right: bool) -> str:
    tip, base = (WIDTH - 1, WIDTH - 14) if to_the_right else (1, 14)
    middle = int(_MIDDLE)
    return path(f"M{tip} {middle}L{base} {middle - 8}V{middle + 8}Z", OUTCOME_TINTS[Outcome.NOT_MET].ink)
