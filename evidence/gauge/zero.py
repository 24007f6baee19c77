"""Whether a gauge card may be trusted on a day: what its zero check showed, how long that holds, and its last day.

A check compares the card with a known length. Its error is accepted up to ``MOST_ERROR`` as it stands (simple
acceptance), because the card's own uncertainty already allows for print and cut, which are what the check finds.
"""

import math
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Final

from evidence.model.names import InstrumentKind
from evidence.model.times import add_months
from evidence.model.work import Instrument, ZeroCheck
from evidence.uncertainty import NORMAL_FACTOR

MOST_ERROR: Final = Fraction(1, 2)  # mm; common practice, no source
CHECK_MONTHS: Final = 1  # that a check holds where the record states no interval; as the card's sheet says
_MM: Final = 1000  # in a metre, the base unit of a length


@dataclass(frozen=True)
class Zero:
    """What a zero check showed.

    Attributes:
        error: mm by which the card reads more than the known length.
        standard: standard uncertainty of the error, mm; None where one of the two lengths states none.
    """

    error: Fraction
    standard: float | None


@dataclass(frozen=True)
class Doubt:
    """Why a card may not be trusted on a day: a code of ``gauge-*`` and the parameters of its sentence."""

    code: str
    parameters: dict[str, str]


def zero(check: ZeroCheck) -> Zero:
    """Error of the card's zero and how sure that is; both expanded uncertainties are taken as 95 % of a normal one."""
    error = (check.reading.base - check.known.base) * _MM
    if check.uncertainty is None or check.known_uncertainty is None:
        return Zero(error, None)
    parts = [float(each.base * _MM) / NORMAL_FACTOR for each in (check.uncertainty, check.known_uncertainty)]
    return Zero(error, math.hypot(*parts))


def doubts(card: Instrument, day: date) -> tuple[Doubt, ...]:
    """Why a card's readings of a day may not be trusted; empty where it was in check and not expired.

    Args:
        card: as recorded.
        day: on which it was used. Only checks up to this day count, and of these the last.

    Raises:
        ValueError: no gauge card.
    """
    if card.kind != InstrumentKind.GAUGE_CARD:
        raise ValueError(card.kind.value)
    return (*_expiry(card, day), *_checked(card, day))


def holds_until(card: Instrument, day: date) -> date:
    """Last day for which a card without doubts on a day may be trusted.

    Raises:
        ValueError: it may not be trusted on that day.
    """
    if card.use_until is None or doubts(card, day):
        raise ValueError(card.id)
    last = max(check.at for check in card.zero if check.at <= day)
    return min(card.use_until, add_months(last, card.interval_months or CHECK_MONTHS))


def _expiry(card: Instrument, day: date) -> tuple[Doubt, ...]:
    if card.use_until is None:
        return (Doubt("gauge-expiry-not-recorded", {"instrument": card.id}),)
    if day <= card.use_until:
        return ()
    return (_doubt("gauge-expired", card, expires=card.use_until.isoformat(), day=day.isoformat()),)


def _checked(card: Instrument, day: date) -> tuple[Doubt, ...]:
    known = [check for check in card.zero if check.at <= day]
    if not known:
        return (_doubt("gauge-not-checked", card, day=day.isoformat()),)
    last = max(check.at for check in known)
    until = add_months(last, card.interval_months or CHECK_MONTHS)
    # two checks of one day: all of them count, or the better one could be picked
    found = [_shown(card, check) for check in known if check.at == last]
    if day > until:
        stated = {"checked": last.isoformat(), "until": until.isoformat(), "day": day.isoformat()}
        found.insert(0, _doubt("gauge-check-old", card, **stated))
    return tuple(doubt for doubt in found if doubt is not None)


def _shown(card: Instrument, check: ZeroCheck) -> Doubt | None:
    shown = zero(check)
    stated = {"checked": check.at.isoformat(), "limit": f"{float(MOST_ERROR):.1f}"}
    if abs(shown.error) > MOST_ERROR:
        return _doubt("gauge-zero-off", card, error=f"{float(shown.error):+.2f}", **stated)
    if shown.standard is None:
        return _doubt("gauge-zero-uncertainty-not-stated", card, checked=stated["checked"])
    if shown.standard * NORMAL_FACTOR > MOST_ERROR:
        return _doubt(
            "gauge-zero-unsure", card, uncertainty=f"{shown.standard * NORMAL_FACTOR:.2f}", **stated
        )
    return None


def _doubt(code: str, card: Instrument, **parameters: str) -> Doubt:
    return Doubt(code, {"instrument": card.id, **parameters})
