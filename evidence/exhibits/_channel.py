"""A measured channel: evenly spaced samples with their unit, and what the file says of how they were recorded."""

import math
from array import array
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median
from typing import Any, Literal, NoReturn, get_args

from evidence.errors import HostileInputError, Problem
from evidence.exhibits._answer import Answer
from evidence.jsondoc import Json
from evidence.quantity import UNITS, Dimension

Recorded = Literal["unfiltered", "1000", "600", "180", "60", "pre-filtered", "special", "undeclared"]
"""What a channel's values went through before they were written; a number is a channel frequency class."""
DEFAULT_AXES = "sae-j1733"
"""x forward, y to the right, z down; assumed where a file names no other. Nobody turns a sign because of it."""

MAX_SAMPLES = 2_000_000  # of one channel
UNEVEN = Fraction(1, 100)  # of a step; further from its place no time may stand
_DIGITS = 12  # significant ones of an interval that was computed from printed times
_DOUBLE = 8  # bytes
_BIG = array("H", [1]).tobytes() == b"\x00\x01"  # whether this machine writes the greatest byte first


@dataclass(frozen=True)
class Channel:
    """One channel as recorded; nothing in it was computed.

    Attributes:
        name: its code, or the heading of its column.
        title: what the laboratory calls it; may be empty.
        unit: symbol of the unit table, else as the file spells it; empty where it names none.
        dimension: what it measures; None where the unit is in no table.
        start_s: time of the first sample in seconds.
        interval_s: sampling interval in seconds.
        values: one double per sample, in ``unit``.
        recorded: what it went through before.
        cutoff_hz: cut-off of the recorder's own filter, where the file states it in hertz.
        axes: sign convention; ``sae-j1733`` where the file names none.
        where: place for messages.
        doubts: codes of what contradicts in its file, sorted; no verdict can rest on such a channel.
        notices: codes of what was assumed or passed over, sorted.
    """

    name: str
    title: str
    unit: str
    dimension: Dimension | None
    start_s: Fraction
    interval_s: Fraction
    values: "array[float]"
    recorded: Recorded = "undeclared"
    cutoff_hz: Fraction | None = None
    axes: str = DEFAULT_AXES
    where: str = ""
    doubts: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()


@dataclass(frozen=True)
class ChannelSet:
    """The channels of one test, and everything that is wrong with the files.

    Attributes:
        channels: those whose numbers could be read, in the order of the set.
        problems: what contradicts, is missing or unreadable, with file and line; sorted.
        notices: codes of what was passed over in the set as a whole, sorted.
        title: what the laboratory calls the test; may be empty. Told to whoever adds it, stored nowhere.
    """

    channels: tuple[Channel, ...]
    problems: tuple[Problem, ...] = ()
    notices: tuple[str, ...] = ()
    title: str = ""


def unit_of(spelling: str, dimension: Dimension | None) -> tuple[str, Dimension | None]:
    """Symbol and dimension of a unit as a laboratory spells it, capitals or not.

    Args:
        spelling: ``m/(s*s)``, ``G'S``, ``KN``.
        dimension: what the channel measures, where that is known; ``g`` is then no mass.
    """
    if not spelling:
        return "", None
    wanted = [dimension] if dimension else [one for one in Dimension if one != Dimension.MASS]
    for one in wanted:
        if (spelling, one) in UNITS:
            return UNITS[spelling, one].symbol, one
    folded = spelling.casefold()
    found = {
        (unit.symbol, one)
        for (known, one), unit in UNITS.items()
        if one in wanted and known and known.casefold() == folded
    }
    if len(found) == 1:
        return found.pop()
    return spelling, None


def even_steps(
    times: Sequence[float], ends: tuple[Fraction, Fraction], decimals: int
) -> tuple[Fraction, Fraction] | int:
    """Start and interval of printed times, or the index of the one that stands most out of step.

    A time may be off by a hundredth of a step, or by the rounding of its last printed digit. Rounding makes steps
    that differ by one digit at most; where a whole step is no more than a digit, a lost sample would look the same, so
    there all steps must be equal.

    Args:
        times: at least two, in one unit.
        ends: the first and the last of them, exact.
        decimals: most digits behind the point that any of them has.
    """
    step = (ends[1] - ends[0]) / (len(times) - 1)
    if step <= 0:
        return next(at for at in range(1, len(times)) if times[at] <= times[at - 1])
    digit = Fraction(1, 10**decimals)
    digits = 10.0**decimals
    steps = {round((later - earlier) * digits) for earlier, later in pairwise(times)}
    rounded = max(steps) - min(steps) <= 1 and (len(steps) == 1 or min(steps) > 1)
    allowed = float(max(step * UNEVEN, digit * 11 / 10 if rounded else 0))
    begin, width = times[0], float(step)
    if any(abs(time - begin - at * width) > allowed for at, time in enumerate(times)):
        usual = median(later - earlier for earlier, later in pairwise(times))
        return max(range(1, len(times)), key=lambda at: abs(times[at] - times[at - 1] - usual))
    return ends[0], _shortened(step, Fraction(allowed) / (len(times) - 1))


def _shortened(step: Fraction, slack: Fraction) -> Fraction:
    """The shortest decimal within what rounding leaves open, else 12 significant digits."""
    power = _DIGITS - 1 - math.floor(math.log10(step))
    for digits in range(power - _DIGITS + 1, power):
        rounded = round(step, digits)
        if rounded > 0 and abs(rounded - step) <= slack:
            return Fraction(rounded)
    return Fraction(round(step, power))


# ── across the process border ───────────────────────────────────────────────────────────────────────────────


def set_answer(found: ChannelSet) -> Answer:
    """A set as one JSON value and one byte string of doubles per channel, least byte first."""
    value = {
        "channels": [_fields(channel) for channel in found.channels],
        "problems": [[each.code, each.where, each.pointer, dict(each.parameters)] for each in found.problems],
        "notices": list(found.notices),
        "title": found.title,
    }
    return Answer(value, tuple(_little(channel.values).tobytes() for channel in found.channels))


def set_of_answer(answer: Answer, where: str) -> ChannelSet:
    """The set that a reader in the guard's child found.

    Raises:
        HostileInputError: the answer has another form, as only a reader gives that an attack has taken over.
    """
    try:
        value = answer.value
        channels = tuple(
            _channel(fields, blob, where)
            for fields, blob in zip(value["channels"], answer.blobs, strict=True)
        )
        problems = tuple(_problem(*each, where=where) for each in value["problems"])
        return ChannelSet(channels, problems, _codes(value["notices"]), str(value["title"]))
    except (AttributeError, KeyError, TypeError, ValueError, ZeroDivisionError):
        _nonsense(where)


def _little(values: "array[float]") -> "array[float]":
    if _BIG:
        values = values[:]
        values.byteswap()
    return values


def _fields(channel: Channel) -> dict[str, Json]:
    cutoff = channel.cutoff_hz
    return {
        "name": channel.name,
        "title": channel.title,
        "unit": channel.unit,
        "dimension": channel.dimension.value if channel.dimension else None,
        "start": str(channel.start_s),
        "interval": str(channel.interval_s),
        "recorded": channel.recorded,
        "cutoff": None if cutoff is None else str(cutoff),
        "axes": channel.axes,
        "where": channel.where,
        "doubts": list(channel.doubts),
        "notices": list(channel.notices),
    }


def _channel(fields: Mapping[str, Any], blob: bytes, where: str) -> Channel:
    if len(blob) % _DOUBLE or fields["recorded"] not in get_args(Recorded):
        _nonsense(where)
    values = array("d")
    values.frombytes(blob)
    if not all(map(math.isfinite, values)):
        _nonsense(where)
    texts = [fields[name] for name in ("name", "title", "unit", "axes", "where")]
    if not all(isinstance(text, str) for text in texts):
        _nonsense(where)
    name, title, unit, axes, place = texts
    interval = Fraction(fields["interval"])
    if interval <= 0 or not place.startswith(where):
        _nonsense(where)
    return Channel(
        name=name,
        title=title,
        unit=unit,
        dimension=Dimension(fields["dimension"]) if fields["dimension"] else None,
        start_s=Fraction(fields["start"]),
        interval_s=interval,
        values=_little(values),
        recorded=fields["recorded"],
        cutoff_hz=Fraction(fields["cutoff"]) if fields["cutoff"] else None,
        axes=axes,
        where=place,
        doubts=_codes(fields["doubts"]),
        notices=_codes(fields["notices"]),
    )


def _problem(code: str, place: str, pointer: str, parameters: Mapping[str, str], *, where: str) -> Problem:
    given = {str(name): str(value) for name, value in parameters.items()}
    return Problem(str(code), place if place.startswith(where) else where, str(pointer), given)


def _codes(listed: Sequence[str]) -> tuple[str, ...]:
    if not isinstance(listed, list) or not all(isinstance(code, str) for code in listed):
        raise TypeError(listed)
    return tuple(listed)


def _nonsense(where: str) -> NoReturn:
    raise HostileInputError((Problem("reader-gave-up", where, "", {"cause": "answer"}),))
