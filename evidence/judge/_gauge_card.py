"""Whether a gauge card may be trusted on the days it was used: its zero check, how long that holds, its last day."""

from collections.abc import Sequence
from datetime import date
from functools import partial

from evidence.gauge import zero
from evidence.judge._base import Look, Verdict, verdict
from evidence.judge._evidence import Used, not_shown
from evidence.judge._scope import related
from evidence.judge._times import works
from evidence.judge._validity import look, occasions
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.model.criterion import ValidOn
from evidence.model.finding import Reason
from evidence.model.names import InstrumentKind, Outcome
from evidence.model.record import Instrument
from evidence.model.times import Interval

_OUTCOMES = {
    "gauge-expired": Outcome.NOT_MET,
    "gauge-check-old": Outcome.NOT_MET,
    "gauge-zero-off": Outcome.NOT_MET,
    "gauge-zero-unsure": Outcome.UNDECIDED,
    "gauge-zero-uncertainty-not-stated": Outcome.UNDECIDED,
    "gauge-not-checked": Outcome.NOT_SHOWN,
    "gauge-expiry-not-recorded": Outcome.NOT_SHOWN,
}
_WORST = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.UNDECIDED)


def card_looks(criterion: ValidOn, card: Instrument, used: Used, case: Case) -> Sequence[Look]:
    """A gauge card on each occasion of the event."""
    done = [work for work in works(case.record) if card.id in work.instruments]
    days = occasions(criterion, case, done)
    if not days:
        return [Look(used, not_shown("event-not-recorded", event=criterion.event), name=card.id)]
    return [look(card.id, used | day.used, day, partial(_trusted, card)) for day in days]


def card_doubt(subject: str, case: Case) -> Reason | None:
    """Why the card in the photos of a place cannot be trusted: none is recorded with work there, or one is in doubt."""
    cards = {one.id: one for one in case.record.instruments if one.kind == InstrumentKind.GAUGE_CARD}
    uses = [
        (cards[instrument], work.at)
        for work in works(case.record)
        if related(work.subject, subject, case.record)
        for instrument in work.instruments
        if instrument in cards and isinstance(work.at, Interval)
    ]
    if not uses:
        return because("photo-card-not-recorded", subject=subject)
    found = [
        because("photo-card-in-doubt", entry=card.id, cause=doubt.code)
        for card, at in uses
        for doubt in zero.doubts(card, at.last_day)
    ]
    return found[0] if found else None


def _trusted(card: Instrument, day: date) -> Verdict:
    doubts = zero.doubts(card, day)
    if not doubts:
        until = zero.holds_until(card, day)
        last = {"last_day": until.isoformat()}
        return Verdict(
            Outcome.MET, because("valid-on-day", entry=card.id, day=day.isoformat(), **last), expires=until
        )
    worst = min(doubts, key=lambda doubt: _WORST.index(_OUTCOMES[doubt.code]))
    return verdict(_OUTCOMES[worst.code], worst.code, **worst.parameters)
