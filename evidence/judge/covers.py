"""Type ``covers``: a test report covers this vehicle, field by field.

A field that the report does not state is not shown; one that it states differently, or beyond the range it tested, is
not met. Editions and directions are the scope of the report itself: to another edition, or in other directions, it
says nothing here, and that is missing evidence, so not shown. A recorded argument is told wherever it speaks of a
field that is not covered; it counts only where the demand takes one.
"""

from collections.abc import Sequence
from dataclasses import replace

from evidence.judge._argued import Argued, argued
from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._claims import claim_stop, claim_stops, usable, used_claims
from evidence.judge._coverage import compare
from evidence.judge._evidence import (
    Stop,
    Used,
    document_stop,
    documents,
    no_documents,
    not_shown,
    recorded,
    unreadable,
)
from evidence.judge.case import Case
from evidence.judge.facts import FactValue, fact
from evidence.model.criterion import CoveredField, Covers
from evidence.model.finding import Finding
from evidence.model.names import Fact, FieldWord, Outcome, RestsOn
from evidence.model.record import Document
from evidence.register.demand import Demand

_NOT_COUNTED = {"covers-other": "covers-other-argued", "covers-outside-range": "covers-other-argued"}
"""Code of what the report says otherwise to the code that tells of an argument beside it."""


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare each field of each report with the vehicle; one part per field."""
    criterion = asked(demand, Covers)
    return decide(demand, subject, case, lambda: _looks(criterion, subject, case))


def _looks(criterion: Covers, subject: str, case: Case) -> Sequence[Look]:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(Used(), no_documents(criterion.evidence_from, subject, case))]
    several = len(found) > 1
    return [
        replace(
            _look(criterion, field, document, subject, case),
            name=f"{document.id}.{field.claim}" if several else field.claim.value,
        )
        for document in found
        for field in criterion.fields
    ]


def _look(criterion: Covers, field: CoveredField, document: Document, subject: str, case: Case) -> Look:
    used = used_claims(document, (field.claim,), case)
    stop = document_stop(document, case)
    if stop is not None:
        return Look(used, stop)
    missing = claim_stop(document, field.claim, case)
    beside = argued(criterion, field, document, subject, case)
    if missing is not None and (beside is None or missing.outcome != Outcome.NOT_SHOWN):
        return Look(used, missing)
    has = FactValue((), (), ())
    if field.fact is not None:
        has = fact(field.fact, subject, case.record)
        used |= recorded(*has.records)
        stop = _fact_stop(field.fact, has, subject)
    found = usable(document, field.claim, case)
    if missing is not None and beside is not None:
        return _unstated(field, document, used, stop, beside)
    if stop is not None:
        return Look(used, stop)
    said = compare(field, document.id, found, has.values, claim_stops(document, field.claim, case))
    return _compared(field, found, used, said, beside)


def _fact_stop(name: Fact, has: FactValue, subject: str) -> Stop | None:
    if has.states and set(has.states) == {FieldWord.ILLEGIBLE}:
        return unreadable("fact-illegible", fact=name.value, subject=subject)
    return not_shown("fact-not-stated", fact=name.value, subject=subject) if has.states else None


def _unstated(field: CoveredField, document: Document, used: Used, stop: Stop | None, beside: Argued) -> Look:
    """A field that the report does not state and for which somebody argues."""
    if not beside.cause:
        return Look(used, stop) if stop else _by_argument(field, used, beside)
    parameters = {"claim": field.claim.value, "document": document.id, "cause": beside.cause}
    reason = not_shown("not-stated-argued", **parameters, **beside.parameters)
    return Look(used | _told(beside), reason)


def _compared(
    field: CoveredField, found: tuple[str, ...], used: Used, said: Verdict, beside: Argued | None
) -> Look:
    """What was compared, with an argument where there is one and the report does not reach."""
    shown = {"found": found}
    outside = said.outcome in (Outcome.NOT_MET, Outcome.NOT_SHOWN) and "expected" in said.reason.parameters
    if beside is None or not outside:
        return Look(used, compare=lambda: said, shown=shown)
    if not beside.cause:
        return _by_argument(field, used, beside)
    code = _NOT_COUNTED.get(said.reason.code, "outside-report-argued")
    parameters = {**said.reason.parameters, **beside.parameters, "cause": beside.cause}
    told = verdict(said.outcome, code, **parameters)
    return Look(used | _told(beside), compare=lambda: told, shown=shown)


def _by_argument(field: CoveredField, used: Used, beside: Argued) -> Look:
    """It rests on the argument alone: what the report says did not reach."""
    rests = replace(used, rests=frozenset({RestsOn.STATEMENT})) | beside.used
    met = verdict(Outcome.MET, "covered-by-argument", claim=field.claim.value, **beside.parameters)
    return Look(rests, compare=lambda: met)


def _told(beside: Argued) -> Used:
    """Entries that are named beside an outcome that does not rest on them."""
    return replace(beside.used, rests=frozenset())
