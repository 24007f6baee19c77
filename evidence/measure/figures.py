"""One number of a channel, as a demand or a paper's claim asks for it: value, unit, when, and what the number rests on.

Sizes and signs: a figure keeps the sign of the channel. A level that is given as a size, above zero, counts on the side
on which the channel peaks higher, as a clip does, and the figure says so where that is below zero.

Uncertainty: what a record states for a channel is taken as one of scale, which makes all its values too large or too
small together, and is carried over to first order: of a figure read on the channel its share of the value; of a margin
its share of the channel's own value there; of a time above a level what the time changes where the level is shifted by
that share. Offset, timing and filtering are assumed exact.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

import numpy as np

from evidence.errors import InputError
from evidence.measure import pulse
from evidence.measure._bounds import Points
from evidence.measure.pulse import Curve, Figure, Span
from evidence.model._text import read_quantity
from evidence.model.criterion import Processing
from evidence.model.names import LAB_DIMENSION, LabQuantity
from evidence.quantity import UNITS, Dimension

CORRIDOR: Literal["corridor"] = "corridor"
LEVEL_BELOW = "figure-level-below"
DIGITS = 9  # significant ones of what is kept where no uncertainty is stated
DECIMALS = 9  # most that are kept
LARGEST = 1e12  # in the unit of the figure; no test gives more
_HUNDREDTH = 2  # powers of ten

Quantity = LabQuantity | Literal["corridor"]
Spread = Callable[[float], float]
"""Share of the channel's value by which it may be off to what the figure may be off, in the figure's unit."""


@dataclass(frozen=True)
class Asked:
    """What is to be computed.

    Attributes:
        quantity: which figure.
        processing: how; the channel is filtered by ``recipe_of`` it.
        unit: symbol that the figure is to have; empty for the channel's own, m/s of a velocity change, s of a time.
        upper, lower: of a corridor, break points in seconds and ``unit``.
        limits: in ``unit``, what the number will be held against; samples may leave open on which side it lies.
    """

    quantity: Quantity
    processing: Processing
    unit: str = ""
    upper: Points = ()
    lower: Points = ()
    limits: tuple[Fraction, ...] = ()


@dataclass(frozen=True)
class Found:
    """The number.

    Attributes:
        value: in ``unit``, with the channel's sign.
        scale: what it is small or large beside, in ``unit``; rules how many digits are kept.
        span: when, seconds of the recording; None where the recording has no times.
        near_end: whether the filter guessed any of it, or the record ends where it was found, so that more may follow.
        spread: see ``Spread``.
        bound: of a corridor, which bound is nearest.
        doubts: codes of what leaves a verdict undecided, beside those of the channel.
        notices: codes of what to know, likewise.
    """

    value: float
    unit: str
    scale: float
    span: Span | None
    near_end: bool
    spread: Spread
    bound: Literal["upper", "lower"] | None = None
    doubts: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()


def recipe_of(processing: Processing) -> pulse.Recipe:
    """What is done to the channel first."""
    cfc = next((one for one in pulse.CLASSES if str(one) == processing.cfc), None)
    return pulse.Recipe(cfc, processing.form, span_of(processing.zero))


def span_of(text: str | None) -> Span | None:
    """Two times ``-0.05 0`` as a span."""
    if text is None:
        return None
    begin, end = map(Fraction, text.split(" "))
    return Span(begin, end)


def figure(curve: Curve, asked: Asked) -> Found:
    """The number of one curve.

    Raises:
        InputError: figure-unit where the channel measures something else, figure-corridor-unordered,
            figure-record-short where the record does not span what is asked, figure-out-of-range, and pulse-limits.
    """
    wanted = _dimension(asked)
    if curve.dimension != wanted:
        raise InputError.one("figure-unit", curve.name, found=curve.unit or "none", expected=wanted.value)
    found = (
        _corridor(curve, asked)
        if asked.quantity == CORRIDOR
        else _FIGURES[LabQuantity(asked.quantity)](curve, asked)
    )
    if not abs(found.value) < LARGEST:
        raise InputError.one("figure-out-of-range", curve.name, found=f"{found.value:g}")
    return replace(found, near_end=found.near_end or _cut(curve, asked, found))


def _cut(curve: Curve, asked: Asked, found: Found) -> bool:
    """Whether the record begins or ends where the figure was found, so that a part of it may be missing."""
    if (
        asked.quantity == CORRIDOR
        or asked.processing.span is not None
        or found.span is None
        or not found.value
    ):
        return False
    if asked.quantity in (LabQuantity.VELOCITY_CHANGE, LabQuantity.EXCURSION):  # both begin at time zero
        return curve.start_s > 0 or found.span.end_s >= curve.end_s
    return found.span.begin_s <= curve.start_s or found.span.end_s >= curve.end_s


def kept(value: float, expanded: float | None, scale: float) -> str:
    """A number as it is kept: rounded once, to a hundredth of U where U is known, else to nine digits of the scale."""
    size = expanded if expanded is not None else abs(scale)
    place = -DECIMALS
    if size > 0:
        place = math.floor(math.log10(size)) - (_HUNDREDTH if expanded is not None else DIGITS - 1)
    step = Decimal((0, (1,), max(place, -DECIMALS)))
    number = (Decimal(repr(value)) / step).quantize(Decimal(1), ROUND_HALF_UP) * step
    text = f"{number or abs(number):f}"
    return text.rstrip("0").rstrip(".") if expanded is None and "." in text else text


def _dimension(asked: Asked) -> Dimension:
    """What the channel must measure."""
    if asked.quantity != CORRIDOR:
        dimension = LAB_DIMENSION[LabQuantity(asked.quantity)]
        derived = dimension in (Dimension.SPEED, Dimension.TIME)
        return Dimension.ACCELERATION if derived else dimension
    known = [one for one in Dimension if (asked.unit, one) in UNITS and one != Dimension.MASS]
    return known[0] if known else Dimension.COUNT


def _read(curve: Curve, found: Figure | None, asked: Asked, own: str = "") -> Found:
    """A figure that is read on the channel, or grows with it."""
    if found is None:
        raise InputError.one("figure-record-short", curve.name)
    dimension = LAB_DIMENSION[LabQuantity(asked.quantity)]
    source = UNITS[own or curve.unit, dimension]
    target = UNITS[asked.unit, dimension] if asked.unit else source
    value = found.value * float(source.factor / target.factor)
    size = abs(value)
    return Found(value, target.symbol, size, found.span, found.near_end, lambda share: share * size)


def _peak(curve: Curve, asked: Asked) -> Found:
    sides = pulse.peak(curve, "max"), pulse.peak(curve, "min")
    return _read(curve, max(sides, key=lambda one: abs(one.value)), asked)


def _clip(curve: Curve, asked: Asked) -> Found:
    return _read(curve, pulse.clip(curve, asked.processing.kind or "cumulative"), asked)


def _velocity_change(curve: Curve, asked: Asked) -> Found:
    return _read(curve, pulse.velocity_change(curve, span_of(asked.processing.span)), asked, "m/s")


def _excursion(curve: Curve, asked: Asked) -> Found:
    return _read(curve, pulse.excursion(curve), asked)


def _time_above(curve: Curve, asked: Asked) -> Found:
    kind = asked.processing.kind or "cumulative"
    stated = read_quantity(asked.processing.level or "", Dimension.ACCELERATION)
    level = float(stated.base / curve.factor)
    below = level > 0 and -curve.values.min() > curve.values.max()
    level = -level if below else level
    found = pulse.time_above(curve, level, kind)
    target = UNITS[asked.unit or "s", Dimension.TIME]
    factor = 1 / float(target.factor)

    def spread(share: float) -> float:
        moved = (pulse.time_above(curve, level * (1 + by), kind).value for by in (-share, share))
        return max(abs(one - found.value) for one in moved) * factor

    value = found.value * factor
    notices = (LEVEL_BELOW,) if below else ()
    return Found(value, target.symbol, abs(value), found.span, found.near_end, spread, notices=notices)


def _corridor(curve: Curve, asked: Asked) -> Found:
    if any(list(line) != sorted(line, key=lambda point: point[0]) for line in (asked.upper, asked.lower)):
        raise InputError.one("figure-corridor-unordered", curve.name)
    margin = pulse.corridor(curve, asked.upper, asked.lower, asked.unit)
    if margin is None:
        raise InputError.one("figure-record-short", curve.name)
    unit = UNITS[asked.unit, _dimension(asked)]
    there = float(np.interp(float(margin.at_s), curve.times, curve.values))
    ordinate = abs(there * float(curve.factor / unit.factor))
    scale = max(abs(float(y)) for _, y in (*asked.upper, *asked.lower))
    when = Span(margin.at_s, margin.at_s)
    return Found(
        margin.value,
        unit.symbol,
        scale or abs(margin.value),
        when,
        margin.near_end,
        lambda share: share * ordinate,
        margin.side,
    )


_FIGURES: dict[LabQuantity, Callable[[Curve, Asked], Found]] = {
    LabQuantity.PEAK_ACCELERATION: _peak,
    LabQuantity.CLIP_3MS: _clip,
    LabQuantity.VELOCITY_CHANGE: _velocity_change,
    LabQuantity.TIME_ABOVE: _time_above,
    LabQuantity.EXCURSION: _excursion,
}
"""Figures of a pulse; those of a static pull need two channels and are had elsewhere."""
