"""Type ``valid_on``: something was valid at an event; the last day of a validity counts as valid."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._evidence import (
    Stop,
    Used,
    certificates,
    claim_stop,
    document_stop,
    documents,
    exhibit_stop,
    legible,
    missing,
    no_documents,
    not_shown,
    recorded,
    time_stop,
    unreadable,
    used_document,
    used_file,
)
from evidence.judge._scope import instruments_asked, people_asked, related, screws_of
from evidence.judge._times import Work, works
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import ValidOn
from evidence.model.finding import Finding
from evidence.model.names import FieldWord, Outcome, Role
from evidence.model.record import Concession, Document, Instrument, Person, Qualification, Screws
from evidence.model.times import Interval, add_months, parse_date
from evidence.register.demand import Demand


@dataclass(frozen=True)
class _Occasion:
    """A day on which something must be valid, or why that day is not known; ``name`` is what happened then."""

    name: str
    day: date | None
    stop: Stop | None = None


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Judge each instrument, person, document, lot or concession at each occasion of the event."""
    criterion = asked(demand, ValidOn)
    looks: dict[str, Callable[[ValidOn, str, Case], Sequence[Look]]] = {
        "instrument": _instruments,
        "qualification": _qualifications,
        "document": _documents,
        "lot": _lots,
        "concession": _concessions,
    }
    return decide(demand, subject, case, lambda: _named(looks[criterion.what](criterion, subject, case)))


def _named(looks: Sequence[Look]) -> Sequence[Look]:
    # one occasion of one thing is the whole answer and needs no part of its own
    return (
        [Look(one.used, one.stop, one.compare, "", one.shown) for one in looks] if len(looks) == 1 else looks
    )


def _occasions(criterion: ValidOn, case: Case, done: Sequence[Work]) -> Sequence[_Occasion]:
    if criterion.event == "work":
        return [_occasion(work.id, work.at) for work in done]
    if criterion.event == "as-of":
        return [_Occasion("as-of", case.as_of)]
    record = case.record
    event = record.release if criterion.event == "release" else record.declaration
    if event is None:
        stop = not_shown("event-not-recorded", event=criterion.event)
        return [_Occasion(criterion.event, None, stop)]
    return [_occasion(criterion.event, event.at)]


def _occasion(name: str, at: Interval | FieldState) -> _Occasion:
    # every written time lies within one day
    return _Occasion(name, at.last_day if isinstance(at, Interval) else None, time_stop(name, at))


def _look(entry: str, used: Used, occasion: _Occasion, compare: Callable[[date], Verdict]) -> Look:
    name = f"{entry}.{occasion.name}"
    if occasion.day is None:
        return Look(used, occasion.stop, name=name)
    return Look(used, compare=partial(compare, occasion.day), name=name)


def _instruments(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    asked_of = instruments_asked(criterion, case.record)
    own = [instrument for instrument in asked_of if instrument.id == subject]
    return [look for instrument in own or asked_of for look in _instrument(criterion, instrument, case)]


def _instrument(criterion: ValidOn, instrument: Instrument, case: Case) -> Sequence[Look]:
    papers = certificates(criterion.evidence_from, instrument, case)
    used = recorded(instrument.id)
    stop = _calibration_stop(criterion, instrument)
    for document in papers:
        used |= used_document(document)
        stop = stop or document_stop(document, case)
    if criterion.evidence_from and not papers:
        stop = stop or missing(criterion.evidence_from, instrument.id)
    if stop is not None or not isinstance(instrument.calibrated, date):
        return [Look(used, stop, name=instrument.id)]
    first, last = instrument.calibrated, add_months(instrument.calibrated, _months(criterion, instrument))
    done = [work for work in works(case.record) if instrument.id in work.instruments]
    compare = partial(_calibrated, instrument.id, first, last)
    return [
        _look(instrument.id, used | _work_used(one), one, compare)
        for one in _occasions(criterion, case, done)
    ]


def _work_used(occasion: _Occasion) -> Used:
    return (
        Used()
        if occasion.name in ("release", "declaration", "as-of")
        else Used(records=frozenset({occasion.name}))
    )


def _calibration_stop(criterion: ValidOn, instrument: Instrument) -> Stop | None:
    calibrated = instrument.calibrated
    if isinstance(calibrated, FieldState) and calibrated.state == FieldWord.ILLEGIBLE:
        return unreadable("calibration-illegible", entry=instrument.id)
    if calibrated is None or isinstance(calibrated, FieldState):
        return not_shown("calibration-not-recorded", entry=instrument.id)
    if criterion.months is None and instrument.interval_months is None:
        return not_shown("interval-not-recorded", entry=instrument.id)
    return None


def _months(criterion: ValidOn, instrument: Instrument) -> int:
    # where the demand and the workshop both name an interval, both must hold: the shorter one
    return min(months for months in (criterion.months, instrument.interval_months) if months is not None)


def _calibrated(entry: str, first: date, last: date, day: date) -> Verdict:
    if day < first:  # an earlier calibration may well have held; it is not in the record
        parameters = {"entry": entry, "day": day.isoformat(), "first_day": first.isoformat()}
        return verdict(Outcome.NOT_SHOWN, "calibration-after-use", **parameters)
    return _until(entry, last, day)


def _until(entry: str, last: date | None, day: date) -> Verdict:
    shown = {"entry": entry, "day": day.isoformat()}
    if last is not None:
        shown["last_day"] = last.isoformat()
    valid = last is None or day <= last
    found = verdict(
        Outcome.MET if valid else Outcome.NOT_MET, "valid-on-day" if valid else "expired-on-day", **shown
    )
    return Verdict(found.outcome, found.reason, last)


def _qualifications(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    asked_of = people_asked(criterion, case.record)
    own = [person for person in asked_of if person.id == subject]
    return [look for person in own or asked_of for look in _person(criterion, person, case)]


def _person(criterion: ValidOn, person: Person, case: Case) -> Sequence[Look]:
    held = [
        one
        for one in person.qualifications
        if criterion.qualification is None or one.what == criterion.qualification
    ]
    used = recorded(person.id)
    stop: Stop | None = None
    if not held:
        wanted = criterion.qualification or "any"
        stop = not_shown("qualification-not-recorded", entry=person.id, qualification=wanted)
    stops = [_paper_stop(one, case) for one in held]
    shown = [one for one, why in zip(held, stops, strict=True) if why is None]
    if held and not shown:
        stop = stops[0]
    if stop is not None:
        return [Look(used, stop, name=person.id)]
    for one in shown:
        used |= used_file(one.exhibit, case) if one.exhibit else Used()
    done = [work for work in works(case.record) if work.by == person.id]
    compare = partial(_qualified, person.id, shown)
    return [
        _look(person.id, used | _work_used(one), one, compare) for one in _occasions(criterion, case, done)
    ]


def _paper_stop(qualification: Qualification, case: Case) -> Stop | None:
    paper = qualification.exhibit
    return exhibit_stop(paper, case, Role.QUALIFICATION) if paper is not None else None


def _qualified(entry: str, held: Sequence[Qualification], day: date) -> Verdict:
    covering = [one for one in held if one.from_ <= day and (one.until is None or day <= one.until)]
    if covering:
        ends = [one.until for one in covering if one.until is not None]
        # of several the one that lasts longest; one without an end never expires
        return _until(entry, max(ends) if len(ends) == len(covering) else None, day)
    begun = [one.until for one in held if one.from_ <= day and one.until is not None]
    if begun:
        return _until(entry, max(begun), day)
    return _not_yet(entry, min(one.from_ for one in held), day)


def _documents(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(Used(), no_documents(criterion.evidence_from, subject, case))]
    return [look for document in found for look in _document(criterion, document, case)]


def _document(criterion: ValidOn, document: Document, case: Case) -> Sequence[Look]:
    used = used_document(document)
    stop = document_stop(document, case) or claim_stop(document, "use-by")
    if stop is not None:
        return [Look(used, stop, name=document.id)]
    last = min(parse_date(text) for text in legible(document, "use-by"))
    done = [work for work in works(case.record) if related(work.subject, document.subject, case.record)]
    occasions = _occasions(criterion, case, done)
    if not occasions:
        return [Look(used, not_shown("event-not-recorded", event=criterion.event), name=document.id)]
    compare = partial(_until, document.id, last)
    return [_look(document.id, used | _work_used(one), one, compare) for one in occasions]


def _lots(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    groups = screws_of(subject, case.record)
    if not groups:
        return [Look(Used(), not_shown("value-not-recorded", quantity="screws", subject=subject))]
    return [look for group in groups for look in _lot(criterion, group, case)]


def _lot(criterion: ValidOn, group: Screws, case: Case) -> Sequence[Look]:
    used = recorded(group.id)
    stop = _use_by_stop(group) or time_stop(group.id, group.at)
    if stop is not None or group.locker is None or not isinstance(group.locker.use_by, date):
        return [Look(used, stop, name=group.id)]
    applied = [_occasion(f"{group.id}.locker", group.locker.applied)]
    # nothing is valid of what was not applied yet, whatever the event
    undated = applied[0].stop is not None or criterion.event == "work"
    occasions = applied if undated else _occasions(criterion, case, ())
    compare = partial(_until, group.id, group.locker.use_by)
    return [_look(group.id, used, one, compare) for one in occasions]


def _use_by_stop(group: Screws) -> Stop | None:
    if group.locker is None:
        return not_shown("locker-not-recorded", entry=group.id)
    use_by = group.locker.use_by
    if isinstance(use_by, FieldState) and use_by.state == FieldWord.ILLEGIBLE:
        return unreadable("use-by-illegible", entry=group.id)
    if use_by is None or isinstance(use_by, FieldState):
        return not_shown("use-by-not-recorded", entry=group.id)
    return None


def _concessions(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    record = case.record
    found = [one for one in record.concessions if related(one.subject, subject, record)]
    if not found:
        # nothing was departed from, so there is no permission to be valid
        return [Look(Used(), compare=lambda: verdict(Outcome.NOT_APPLICABLE, "no-concession"))]
    occasions = _occasions(criterion, case, works(record))
    if not occasions:
        return [Look(Used(), not_shown("event-not-recorded", event=criterion.event))]
    return [
        _look(one.id, recorded(one.id), occasion, partial(_granted, one))
        for one in found
        for occasion in occasions
    ]


def _granted(concession: Concession, day: date) -> Verdict:
    if day < concession.at:
        return _not_yet(concession.id, concession.at, day)
    return _until(concession.id, concession.until, day)


def _not_yet(entry: str, first: date, day: date) -> Verdict:
    parameters = {"entry": entry, "day": day.isoformat(), "first_day": first.isoformat()}
    return verdict(Outcome.NOT_MET, "not-yet-valid-on-day", **parameters)
