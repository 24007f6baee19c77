"""Type ``covers``: a test report covers this vehicle, field by field.

A field that the report does not state is not shown; one that it states differently is not met. Editions and
directions are the scope of the report itself: to another edition, or in other directions, it says nothing here, and
that is missing evidence, so not shown.
"""

from collections.abc import Sequence
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._claims import claim_stop, claim_stops, usable, used_claims
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
from evidence.judge._same import entries, fits, meaning
from evidence.judge.case import Case
from evidence.judge.facts import FactValue, fact
from evidence.model.criterion import CoveredField, Covers
from evidence.model.finding import Finding, Parameter
from evidence.model.names import ClaimName, Fact, FieldWord, Outcome
from evidence.model.record import Document
from evidence.register.demand import Demand

_SCOPE = frozenset({ClaimName.TEST_STANDARD, ClaimName.AMENDMENT, ClaimName.DIRECTIONS})


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
        _look(
            field, document, subject, case, f"{document.id}.{field.claim}" if several else field.claim.value
        )
        for document in found
        for field in criterion.fields
    ]


def _look(field: CoveredField, document: Document, subject: str, case: Case, name: str) -> Look:
    used = used_claims(document, (field.claim,), case)
    stop = document_stop(document, case) or claim_stop(document, field.claim, case)
    if stop is not None:
        return Look(used, stop, name=name)
    has = FactValue((), (), ())
    if field.fact is not None:
        has = fact(field.fact, subject, case.record)
        used |= recorded(*has.records)
        stop = _fact_stop(field.fact, has, subject)
    found = usable(document, field.claim, case)
    unread = claim_stops(document, field.claim, case)
    compare = partial(_compare, field, document, found, has.values, unread)
    return Look(used, stop, compare, name, {"found": found})


def _fact_stop(name: Fact, has: FactValue, subject: str) -> Stop | None:
    if has.states and set(has.states) == {FieldWord.ILLEGIBLE}:
        return unreadable("fact-illegible", fact=name.value, subject=subject)
    return not_shown("fact-not-stated", fact=name.value, subject=subject) if has.states else None


def _compare(
    field: CoveredField,
    document: Document,
    found: tuple[str, ...],
    has: tuple[str, ...],
    unread: tuple[Stop, ...],
) -> Verdict:
    if _fits(field, found, has):
        return verdict(Outcome.MET, "covered", claim=field.claim.value, found=found)
    if unread:  # what cannot be read might have been the value that fits
        return Verdict(unread[0].outcome, unread[0].reason)
    expected = field.values if field.how == "one-of" else has
    shown: dict[str, Parameter] = {"claim": field.claim.value, "found": found, "expected": expected}
    if field.claim in _SCOPE:
        return verdict(Outcome.NOT_SHOWN, "outside-report", document=document.id, **shown)
    return verdict(Outcome.NOT_MET, "covers-other", **shown)


def _fits(field: CoveredField, found: tuple[str, ...], has: tuple[str, ...]) -> bool:
    if field.how == "stated":
        return True
    means = meaning(field.claim.value, field.fact)
    stated = found if field.how == "same" else entries(found)
    wanted = field.values if field.how == "one-of" else has
    covered = [fits(one, stated, means) for one in wanted]
    # the maker's list is the vehicle's: the tested model must stand on it
    on_list = field.how == "listed" and field.fact == Fact.POSITION_APPROVED_MODELS
    return any(covered) if field.how == "one-of" or on_list else all(covered)
