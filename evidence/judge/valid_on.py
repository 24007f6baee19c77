"""Type ``valid_on``: something was valid at an event; the last day of a validity counts as valid."""

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._calibration import instruments
from evidence.judge._claims import claim_stop, claim_stops, usable, used_claims
from evidence.judge._evidence import (
    Stop,
    Used,
    document_stop,
    documents,
    no_documents,
    not_shown,
    recorded,
    time_stop,
    unreadable,
)
from evidence.judge._qualification import people
from evidence.judge._scope import related, screws_of
from evidence.judge._times import works
from evidence.judge._validity import look, not_yet, occasion, occasions, valid_until
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import ValidOn
from evidence.model.finding import Finding
from evidence.model.names import FieldWord, Outcome
from evidence.model.record import Concession, Document, Screws
from evidence.model.times import parse_date
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Judge each instrument, person, document, lot or concession at each occasion of the event."""
    criterion = asked(demand, ValidOn)
    looks: dict[str, Callable[[ValidOn, str, Case], Sequence[Look]]] = {
        "instrument": instruments,
        "qualification": people,
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


def _documents(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(Used(), no_documents(criterion.evidence_from, subject, case))]
    return [one for document in found for one in _document(criterion, document, case)]


def _document(criterion: ValidOn, document: Document, case: Case) -> Sequence[Look]:
    used = used_claims(document, ("use-by",), case)
    stop = document_stop(document, case) or claim_stop(document, "use-by", case)
    if stop is not None:
        return [Look(used, stop, name=document.id)]
    last = min(parse_date(text) for text in usable(document, "use-by", case))
    done = [work for work in works(case.record) if related(work.subject, document.subject, case.record)]
    days = occasions(criterion, case, done)
    if not days:
        return [Look(used, not_shown("event-not-recorded", event=criterion.event), name=document.id)]
    compare = partial(valid_until, document.id, last)
    # a day that cannot be read may be the earliest
    unread = [Look(used, stop, name=document.id) for stop in claim_stops(document, "use-by", case)]
    return [*(look(document.id, used | one.used, one, compare) for one in days), *unread]


def _lots(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    groups = screws_of(subject, case.record)
    if not groups:
        return [Look(Used(), not_shown("value-not-recorded", quantity="screws", subject=subject))]
    return [one for group in groups for one in _lot(criterion, group, case)]


def _lot(criterion: ValidOn, group: Screws, case: Case) -> Sequence[Look]:
    used = recorded(group.id)
    stop = _use_by_stop(group) or time_stop(group.id, group.at)
    if stop is not None or group.locker is None or not isinstance(group.locker.use_by, date):
        return [Look(used, stop, name=group.id)]
    applied = [occasion(f"{group.id}.locker", group.locker.applied)]
    # nothing is valid of what was not applied yet, whatever the event
    undated = applied[0].stop is not None or criterion.event == "work"
    days = applied if undated else occasions(criterion, case, ())
    compare = partial(valid_until, group.id, group.locker.use_by)
    return [look(group.id, used, one, compare) for one in days]


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
    days = occasions(criterion, case, works(record))
    if not days:
        return [Look(Used(), not_shown("event-not-recorded", event=criterion.event))]
    return [look(one.id, recorded(one.id), day, partial(_granted, one)) for one in found for day in days]


def _granted(concession: Concession, day: date) -> Verdict:
    if day < concession.at:
        return not_yet(concession.id, concession.at, day)
    return valid_until(concession.id, concession.until, day)
