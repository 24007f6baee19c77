"""Calibration of instruments: by months, and by cycles where the criterion asks; both must hold.

The usual rule of the trade for hand torque tools is 5 000 cycles or 12 months, whichever comes first, where the user's
own control procedure says nothing else. What counts here is what the criterion and the record say.
"""

from collections.abc import Sequence
from datetime import date
from functools import partial

from evidence.judge._base import Look, Verdict, verdict
from evidence.judge._certificates import only_declarations
from evidence.judge._evidence import (
    Stop,
    Used,
    certificates,
    document_stop,
    missing,
    not_shown,
    recorded,
    unreadable,
    used_document,
)
from evidence.judge._gauge_card import card_looks
from evidence.judge._scope import instruments_asked
from evidence.judge._times import Span, span, uses, whole_day
from evidence.judge._validity import Occasion, look, occasions, valid_until
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import ValidOn
from evidence.model.names import FieldWord, InstrumentKind, Outcome, Role
from evidence.model.record import Document, Instrument
from evidence.model.times import add_months
from evidence.model.work import CounterReading


def instruments(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    """Each instrument asked for on each occasion."""
    asked_of = instruments_asked(criterion, case.record)
    own = [instrument for instrument in asked_of if instrument.id == subject]
    return [one for instrument in own or asked_of for one in _instrument(criterion, instrument, case)]


def _instrument(criterion: ValidOn, instrument: Instrument, case: Case) -> Sequence[Look]:
    if instrument.kind == InstrumentKind.GAUGE_CARD:
        return card_looks(criterion, instrument, recorded(instrument.id), case)
    papers = certificates(criterion.evidence_from, instrument, case)
    declarations = _declarations(instrument, case)
    used = recorded(instrument.id)
    stop = _calibration_stop(criterion, instrument)
    for document in (*papers, *(one for one in declarations if one not in papers)):
        used |= used_document(document)
        stop = stop or document_stop(document, case)
    if criterion.evidence_from and not papers:
        stop = stop or missing(criterion.evidence_from, instrument.id)
    if declarations:
        names = tuple(one.id for one in declarations)
        stop = stop or not_shown("declaration-not-calibration", entry=instrument.id, documents=names)
    if stop is not None or not isinstance(instrument.calibrated, date):
        return [Look(used, stop, name=instrument.id)]
    done = [work for work in uses(case.record) if instrument.id in work.instruments]
    found = occasions(criterion, case, done)
    return [one for occasion in found for one in _on(criterion, instrument, occasion, used, case)]


def _declarations(instrument: Instrument, case: Case) -> tuple[Document, ...]:
    """What stands in the place of a torque tool's certificate, where it is nothing but declarations."""
    if instrument.kind != InstrumentKind.TORQUE_WRENCH:
        return ()
    return only_declarations(certificates((Role.CALIBRATION_CERTIFICATE,), instrument, case))


def _calibration_stop(criterion: ValidOn, instrument: Instrument) -> Stop | None:
    calibrated = instrument.calibrated
    if isinstance(calibrated, FieldState) and calibrated.state == FieldWord.ILLEGIBLE:
        return unreadable("calibration-illegible", entry=instrument.id)
    if calibrated is None or isinstance(calibrated, FieldState):
        return not_shown("calibration-not-recorded", entry=instrument.id)
    if criterion.months is None and instrument.interval_months is None:
        return not_shown("interval-not-recorded", entry=instrument.id)
    return None


def _on(
    criterion: ValidOn, instrument: Instrument, occasion: Occasion, used: Used, case: Case
) -> Sequence[Look]:
    first = instrument.calibrated
    if not isinstance(first, date):
        raise TypeError(instrument.id)
    last = add_months(first, _months(criterion, instrument))
    together = used | occasion.used
    looks = [look(instrument.id, together, occasion, partial(_calibrated, instrument.id, first, last))]
    # before the calibration the counter counted from another one; the months say so already
    if criterion.cycles is not None and occasion.day is not None and occasion.day >= first:
        looks.append(_counted(criterion.cycles, instrument, first, occasion, together, case))
    return looks


def _months(criterion: ValidOn, instrument: Instrument) -> int:
    # where the demand and the workshop both name an interval, both must hold: the shorter one
    return min(months for months in (criterion.months, instrument.interval_months) if months is not None)


def _calibrated(entry: str, first: date, last: date, day: date) -> Verdict:
    if day < first:  # an earlier calibration may well have held; it is not in the record
        parameters = {"entry": entry, "day": day.isoformat(), "first_day": first.isoformat()}
        return verdict(Outcome.NOT_SHOWN, "calibration-after-use", **parameters)
    return valid_until(entry, last, day)


def _counted(
    most: int, instrument: Instrument, first: date, occasion: Occasion, used: Used, case: Case
) -> Look:
    name = f"{instrument.id}.{occasion.name}.cycles"
    readings = [one for one in instrument.counter if first <= one.at.last_day and _known(one, case)]
    if not readings:
        return Look(
            used, not_shown("tool-cycles-not-recorded", entry=instrument.id, cycles=str(most)), name=name
        )
    return Look(used, compare=partial(_cycles, most, instrument.id, readings, occasion, case), name=name)


def _known(reading: CounterReading, case: Case) -> bool:
    return reading.at.first_day <= min(case.as_of, case.known_on or case.as_of)


def _cycles(
    most: int, entry: str, readings: Sequence[CounterReading], occasion: Occasion, case: Case
) -> Verdict:
    """Whether the tool had done at most so many cycles at a use; a count never falls between two calibrations."""
    use = _span_of(occasion, case)
    timed = [(reading.count, span(reading.at, case.record)) for reading in readings]
    before = [count for count, at in timed if _not_after(at, use)]
    after = [count for count, at in timed if _not_after(use, at)]
    shown = {"entry": entry, "cycles": str(most), "use": occasion.name}
    if before and max(before) > most:
        return verdict(Outcome.NOT_MET, "tool-cycles-exceeded", found=str(max(before)), **shown)
    if after and min(after) <= most:
        return verdict(Outcome.MET, "tool-cycles-within", found=str(min(after)), **shown)
    return verdict(Outcome.UNDECIDED, "tool-cycles-undecided", **shown)


def _span_of(occasion: Occasion, case: Case) -> Span:
    if occasion.at is not None:
        return span(occasion.at, case.record)
    return whole_day(occasion.day or case.as_of, case.record)


def _not_after(one: Span, other: Span) -> bool:
    """Whether the first certainly did not come after the second.

    A reading written with the very minute of the use was taken at that use: nothing finer can be written.
    """
    return one.end <= other.start or (one == other and (one.end - one.start).total_seconds() <= _MINUTE)


_MINUTE = 60
