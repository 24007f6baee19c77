"""The torques of one screw group: a place for each screw, the allowed zone as a band behind them all."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from evidence.drawing._palette import FONT, INK, MUTED, OUTCOME_TINTS, PAPER, RULE
from evidence.drawing._svg import Number, line, number, path, rectangle, svg
from evidence.drawing.limits import Reading
from evidence.model.names import Outcome

WIDTH = 720  # user units
HEIGHT = 128  # of the frame; the numbers of the screws stand below it
_LEFT, _RIGHT, _TOP, _FOOT = 84, 10, 8, 20
_ROOM = Fraction(22, 100)  # of the span of values, free above and below
_LEAST = Fraction(6, 100)  # of the largest value, the smallest span that is drawn
_MOST_NUMBERS = 30  # below the frame; of more screws every second, fifth, tenth has its number
_SIZE = 12  # of letters
_RADIUS = 4.5
_APART = 15  # between the texts of two lines, so that they can be read


@dataclass(frozen=True)
class TorqueStrip:
    """What one strip shows, everything in the same unit.

    Attributes:
        torques: of each screw in the order of the group; None where none is known.
        audits: found later, each in the order of the group.
        low, high: limits with their texts; either may be open.
    """

    torques: tuple[Reading | None, ...]
    audits: tuple[tuple[Fraction | None, ...], ...] = ()
    low: tuple[Fraction, str] | None = None
    high: tuple[Fraction, str] | None = None


def torque_strip_svg(strip: TorqueStrip) -> str:
    """Each screw as a dot with its uncertainty as whisker, audits as open diamonds, an unknown torque as a dash.

    Raises:
        ValueError: no torque is known at all.
    """
    values = list(_values(strip))
    if not any(reading is not None for reading in strip.torques):
        raise ValueError("a strip needs a torque")
    least, most = min(values), max(values)
    spread = max(most - least, max(most, -least) * _LEAST)
    view = (least - spread * _ROOM, most + spread * _ROOM)
    body = _zone(strip, view) + "".join(_axis(strip))
    step = Fraction(WIDTH - _LEFT - _RIGHT, len(strip.torques))
    for place, reading in enumerate(strip.torques):
        x = _LEFT + step * place + step / 2
        body += line((x, _TOP), (x, _TOP + HEIGHT), RULE, 0.6)
        body += _dash(x) if reading is None else _dot(x, reading, view)
        for audit in strip.audits:
            if place < len(audit) and (found := audit[place]) is not None:
                body += _diamond(x + min(step / 4, Fraction(9)), _y(found, view))
    return svg(WIDTH, _TOP + HEIGHT + _FOOT, body)


def _values(strip: TorqueStrip) -> Iterator[Fraction]:
    for reading in strip.torques:
        if reading is not None:
            spread = reading.uncertainty or Fraction(0)
            yield from (reading.value - spread, reading.value + spread)
    for audit in strip.audits:
        yield from (found for found in audit if found is not None)
    yield from (limit[0] for limit in (strip.low, strip.high) if limit is not None)


def _y(value: Fraction, view: tuple[Fraction, Fraction]) -> Fraction:
    return _TOP + HEIGHT * (view[1] - value) / (view[1] - view[0])


def _zone(strip: TorqueStrip, view: tuple[Fraction, Fraction]) -> str:
    wide = WIDTH - _LEFT - _RIGHT
    tint = OUTCOME_TINTS[Outcome.MET]
    high = Fraction(_TOP) if strip.high is None else _y(strip.high[0], view)
    low = Fraction(_TOP + HEIGHT) if strip.low is None else _y(strip.low[0], view)
    limits = [(low, strip.low), (high, strip.high)]
    if strip.low is None and strip.high is None:
        return ""
    body = rectangle((_LEFT, high), (wide, low - high), tint.ground)
    body += "".join(
        line((_LEFT - 5, y), (WIDTH - _RIGHT, y), tint.ink, 1.6) for y, limit in limits if limit is not None
    )
    return body + "".join(_labels([(y, limit[1]) for y, limit in limits if limit is not None]))


def _labels(limits: Sequence[tuple[Fraction, str]]) -> Iterator[str]:
    """The limits' numbers beside their lines, moved apart where the lines lie too close for both."""
    near = len(limits) > 1 and abs(limits[0][0] - limits[1][0]) < _APART
    shift = Fraction(_APART) / 2 - abs(limits[0][0] - limits[-1][0]) / 2 if near else Fraction(0)
    for place, (y, words) in enumerate(limits):
        yield _words(words, (_LEFT - 9, y + 4 + (shift if place == 0 else -shift)), "end", INK)


def _axis(strip: TorqueStrip) -> Iterator[str]:
    step = Fraction(WIDTH - _LEFT - _RIGHT, len(strip.torques))
    every = next(
        each for each in (1, 2, 5, 10, 20, 50, 100, 1000) if len(strip.torques) / each <= _MOST_NUMBERS
    )
    for place in range(len(strip.torques)):
        if place == 0 or (place + 1) % every == 0:
            at = (_LEFT + step * place + step / 2, _TOP + HEIGHT + 15)
            yield _words(str(place + 1), at, "middle", MUTED)


def _dot(x: Fraction, reading: Reading, view: tuple[Fraction, Fraction]) -> str:
    body = ""
    if reading.uncertainty is not None:
        top, foot = (_y(reading.value + sign * reading.uncertainty, view) for sign in (1, -1))
        body += line((x, top), (x, foot), MUTED, 2)
        body += "".join(line((x - 4, y), (x + 4, y), MUTED, 1.6) for y in (top, foot))
    left, y = float(x) - _RADIUS, float(_y(reading.value, view))
    arc = f"a{_RADIUS} {_RADIUS} 0 1 1 "
    return body + path(f"M{left:.2f} {y:.2f}{arc}{2 * _RADIUS} 0{arc}-{2 * _RADIUS} 0Z", INK)


def _diamond(x: Fraction, y: Fraction) -> str:
    reach = 5
    corners = f"M{float(x) - reach:.2f} {float(y):.2f}l{reach} -{reach}l{reach} {reach}l-{reach} {reach}Z"
    return path(corners, PAPER, INK, 1.6)


def _dash(x: Fraction) -> str:
    y = _TOP + Fraction(HEIGHT, 2)
    return line((x - 5, y), (x + 5, y), OUTCOME_TINTS[Outcome.NOT_SHOWN].ink, 2.5)


def _words(words: str, at: tuple[Number, Number], anchor: str, colour: str) -> str:
    place = f'x="{number(at[0])}" y="{number(at[1])}" text-anchor="{anchor}"'
    return f'<text {place} font-family="{FONT}" font-size="{_SIZE}" fill="{colour}">{escape(words)}</text>'
