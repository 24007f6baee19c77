"""Type ``complete``: a document states each of the listed fields."""

from collections.abc import Sequence

from evidence.judge._base import Look, asked, decide, verdict
from evidence.judge._evidence import (
    Stop,
    Used,
    claim_stop,
    document_stop,
    documents,
    no_documents,
    not_shown,
    unreadable,
    used_document,
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
    stop = document_stop(document, case) or _fields_stop(criterion, document)
    return Look(
        used_document(document),
        stop,
        compare=lambda: verdict(Outcome.MET, "fields-complete", document=document.id),
        name=document.id if several else "",
    )


def _fields_stop(criterion: Complete, document: Document) -> Stop | None:
    stops = {field.value: claim_stop(document, field) for field in criterion.fields}
    absent = tuple(name for name, stop in stops.items() if stop and stop.outcome == Outcome.NOT_SHOWN)
    illegible = tuple(name for name, stop in stops.items() if stop and stop.outcome == Outcome.UNDECIDED)
    if absent:
        return not_shown("fields-missing", document=document.id, fields=absent)
    if illegible:
        return unreadable("fields-illegible", document=document.id, fields=illegible)
    return None
