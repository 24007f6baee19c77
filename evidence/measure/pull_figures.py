"""One number of a static pull, as a demand asks for it; as ``figures`` does for a pulse.

What the samples of a log leave open is a doubt only where a limit of the demand lies inside it. The uncertainty that a
record states for a column is one of scale, carried over to first order: of a force or displacement its share of the
value, of a hold what the time changes where the level is shifted by that share; of what stayed, the scatter of the travel
at rest is joined to it.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from evidence.errors import InputError
from evidence.exhibits.pull_log import CLOCK_TIMES, PullColumn, PullLog
from evidence.measure import pull
from evidence.measure.figures import LARGEST, Asked, Found, Spread, span_of
from evidence.measure.pull import Pull, PullFigure, Refused
from evidence.measure.pulse import Span
from evidence.model._text import read_quantity
from evidence.model.names import LAB_DIMENSION, LabQuantity
from evidence.quantity import UNITS, Dimension, Unit

_TICKS = 10**9  # of a second; what is kept of a time


@dataclass(frozen=True)
class Column:
    """A column of a log, and whether the record turns it."""

    column: PullColumn
    turned: bool = False


def figure(log: PullLog, force: Column, travel: Column | None, asked: Asked) -> Found:
    """The number of one log.

    Args:
        log: for its times.
        force: the load; which way round it is, the record says.
        travel: the displacement, where the number is one.
        asked: what is computed.

    Raises:
        InputError: figure-unit where a column measures something else, pulse-offset-window, pull-not-filtered,
            pull-level-not-positive, and the codes with which ``pull`` refuses.
    """
    if asked.processing.cfc != "none":
        raise InputError.one("pull-not-filtered", log.where)
    loads = _unit(force.column, Dimension.FORCE)
    moves = None if travel is None else _unit(travel.column, Dimension.LENGTH)
    made = pull.of_columns(
        force.column.values, log.times_s, None if travel is None else travel.column.values, log.tick_s
    )
    made = pull.turned(made, force=force.turned, travel=travel is not None and travel.turned)
    made = _without_offset(made, asked, log.where)
    if asked.quantity == LabQuantity.HOLD_TIME:
        return _hold(made, loads, asked, log)
    if asked.quantity == LabQuantity.PEAK_FORCE:
        return _found(pull.peak_force(made), loads, asked, log)
    bent = _given(pull.residual_displacement(made), log)
    # what the travel did at rest is uncertainty of the means, beside that of the scale
    return _found(
        bent, moves or loads, asked, log, lambda share: math.hypot(share * bent.value, bent.most - bent.value)
    )


def _unit(column: PullColumn, dimension: Dimension) -> Unit:
    if column.dimension != dimension:
        found = column.unit or "none"
        raise InputError.one("figure-unit", column.name, found=found, expected=dimension.value)
    return UNITS[column.unit, dimension]


def _without_offset(made: Pull, asked: Asked, where: str) -> Pull:
    window = span_of(asked.processing.zero)
    if window is None:
        return made
    shifted = pull.without_offset(made, float(window.begin_s), float(window.end_s))
    if shifted is None:
        times = made.times
        held = "no times" if times is None else f"{times[0]:g} to {times[-1]:g} s"
        stated = f"{float(window.begin_s):g} to {float(window.end_s):g} s"
        raise InputError.one("pulse-offset-window", where, found=stated, expected=held)
    return shifted


def _given(found: PullFigure | Refused, log: PullLog) -> PullFigure:
    if isinstance(found, Refused):
        by_clock = found.code == pull.NO_TIMES and CLOCK_TIMES in log.notices
        raise InputError.one(CLOCK_TIMES if by_clock else found.code, log.where)
    return found


def _hold(made: Pull, loads: Unit, asked: Asked, log: PullLog) -> Found:
    kind = asked.processing.kind or "continuous"
    stated = read_quantity(asked.processing.level or "", Dimension.FORCE)
    if stated.base <= 0:
        raise InputError.one("pull-level-not-positive", log.where, found=stated.text)
    level = float(stated.base / loads.factor)
    held = _given(pull.hold_time(made, level, kind), log)

    def spread(share: float) -> float:
        moved = (_given(pull.hold_time(made, level * (1 + by), kind), log) for by in (-share, share))
        return max(abs(one.value - held.value) for one in moved)

    return _found(held, UNITS["s", Dimension.TIME], asked, log, spread)


def _found(
    given: PullFigure, source: Unit, asked: Asked, log: PullLog, spread: Spread | None = None
) -> Found:
    target = UNITS[asked.unit, LAB_DIMENSION[LabQuantity(asked.quantity)]] if asked.unit else source
    factor = float(source.factor / target.factor)
    value = given.value * factor
    if not abs(value) < LARGEST:
        raise InputError.one("figure-out-of-range", log.where, found=f"{value:g}")
    span = (
        None if given.span is None else Span(*(Fraction(round(each * _TICKS), _TICKS) for each in given.span))
    )
    is_open = any(given.open_at(float(limit) / factor) for limit in asked.limits)
    doubts = {*given.doubts, *(given.wide if is_open else ())}

    def off(share: float) -> float:
        return (spread(share) if spread is not None else share * abs(given.value)) * factor

    return Found(
        value,
        target.symbol,
        abs(value),
        span,
        near_end=False,
        spread=off,
        doubts=tuple(sorted(doubts)),
        notices=tuple(sorted({*log.notices, *given.told} - doubts)),
    )
