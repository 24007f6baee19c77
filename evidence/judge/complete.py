"""Type ``complete``: a document states each of the listed fields."""

from collections.abc import Sequence

from evidence.judge._base import Look, asked, decide, verdict
from evidence.judge._claims import NOBODY_READ, claim_stop, used_claims
from evidence.judge._evidence import (
    Stop,
    Used,
    document_stop,
    documents,
    no_documents,
    not_shown,
    unreadable,
)
from evidence.judge.case import Case
from evidence.model.criterion import Complete
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from evidence.model.record import Document
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Look for every field among the claims of each document; what a document does not state is not shown."""
    criterion = asked(demand, Complete)
    return decide(demand, subject, case, lambda: _looks(criterion, subject, case))


def _looks(criterion: Complete, subject: str, case: Case) -> Sequence[Look]:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(Used(), no_documents(criterion.evidence_from, subject, case))]
    return [_look(criterion, document, case, several=len(found) > 1) for document in found]


def _look(criterion: Complete, document: Document, case: Case, *, several: bool) -> Look:
    stop = document_stop(document, case) or _fields_stop(criterion, document, case)
    return Look(
        used_claims(document, criterion.fields, case),
        stop,
        compare=lambda: verdict(Outcome.MET, "fields-complete", document=document.id),
        name=document.id if several else "",
    )


def _fields_stop(criterion: Complete, document: Document, case: Case) -> Stop | None:
    stops = {field.value: claim_stop(document, field, case) for field in criterion.fields}
    found = {name: stop for name, stop in stops.items() if stop is not None}
    absent = tuple(name for name, stop in found.items() if stop.outcome == Outcome.NOT_SHOWN)
    beyond = [stop for stop in found.values() if stop.reason.code == "claim-page-beyond"]
    unread = {name: stop for name, stop in found.items() if stop.reason.code == NOBODY_READ}
    illegible = tuple(name for name, stop in found.items() if stop.outcome == Outcome.UNDECIDED)
    if absent:
        return not_shown("fields-missing", document=document.id, fields=absent)
    if beyond:
        return beyond[0]
    if unread:
        pages = tuple(dict.fromkeys(str(stop.reason.parameters["page"]) for stop in unread.values()))
        return unreadable(NOBODY_READ, claim=tuple(unread), document=document.id, page=pages)
    if illegible:
        return unreadable("fields-illegible", document=document.id, fields=illegible)
    return None
