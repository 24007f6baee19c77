"""Type ``matches``: a fact is one of the allowed values, or equals another fact."""

from collections.abc import Sequence
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, met_if
from evidence.judge._evidence import (
    Stop,
    Used,
    claim_stop,
    document_stop,
    documents,
    legible,
    no_documents,
    not_shown,
    recorded,
    state_stops,
    supporting,
    unreadable,
    used_document,
)
from evidence.judge._scope import fold
from evidence.judge.case import Case
from evidence.judge.facts import FactValue, fact
from evidence.model.criterion import Matches
from evidence.model.finding import Finding
from evidence.model.names import Fact, FieldWord
from evidence.register.demand import Demand

_CLAIM = "document."


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare every value of the fact; case and spacing do not matter, every other difference does."""
    criterion = asked(demand, Matches)
    return decide(demand, subject, case, lambda: _looks(criterion, subject, case))


def _looks(criterion: Matches, subject: str, case: Case) -> Sequence[Look]:
    wanted = _wanted(criterion, subject, case)
    if isinstance(wanted, Look):
        return [wanted]
    allowed, used = wanted
    if criterion.fact.startswith(_CLAIM):
        return _document_looks(criterion, subject, case, allowed, used)
    value = fact(Fact(criterion.fact), subject, case.record)
    used |= recorded(*value.records) | supporting(criterion.evidence_from, subject, case)
    stop = _value_stop(criterion.fact, value, subject)
    if stop is not None:
        return [Look(used, stop)]
    return _value_looks(criterion, value.values, allowed, used)


def _wanted(criterion: Matches, subject: str, case: Case) -> tuple[tuple[str, ...], Used] | Look:
    if criterion.equals is None:
        return criterion.allowed, Used()
    if criterion.equals.startswith(_CLAIM):
        return _wanted_of_documents(criterion, criterion.equals.removeprefix(_CLAIM), subject, case)
    value = fact(Fact(criterion.equals), subject, case.record)
    used = recorded(*value.records)
    stop = _value_stop(criterion.equals, value, subject)
    return Look(used, stop) if stop else (value.values, used)


def _wanted_of_documents(
    criterion: Matches, claim: str, subject: str, case: Case
) -> tuple[tuple[str, ...], Used] | Look:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return Look(Used(), no_documents(criterion.evidence_from, subject, case))
    used = Used()
    values: list[str] = []
    for document in found:
        used |= used_document(document)
        stop = document_stop(document, case) or claim_stop(document, claim)
        unread = state_stops(document, claim)
        if stop is not None or unread:
            return Look(used, stop or unread[0])
        values += legible(document, claim)
    return tuple(values), used


def _document_looks(
    criterion: Matches, subject: str, case: Case, allowed: tuple[str, ...], used: Used
) -> Sequence[Look]:
    claim = criterion.fact.removeprefix(_CLAIM)
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(used, no_documents(criterion.evidence_from, subject, case))]
    looks: list[Look] = []
    for document in found:
        together = used | used_document(document)
        name = document.id if len(found) > 1 else ""
        stop = document_stop(document, case) or claim_stop(document, claim)
        if stop is not None:
            looks.append(Look(together, stop, name=name))
            continue
        looks += [Look(together, unread, name=name) for unread in state_stops(document, claim)]
        looks += _value_looks(criterion, legible(document, claim), allowed, together, name)
    return looks


def _value_looks(
    criterion: Matches, values: tuple[str, ...], allowed: tuple[str, ...], used: Used, name: str = ""
) -> Sequence[Look]:
    several = len(values) > 1
    looks = []
    for number, value in enumerate(values, start=1):
        label = ".".join(piece for piece in (name, str(number) if several else "") if piece)
        compare = partial(_compare, criterion.fact, value, allowed)
        looks.append(Look(used, compare=compare, name=label, shown={"found": value}))
    return looks


def _compare(name: str, value: str, allowed: tuple[str, ...]) -> Verdict:
    fits = fold(value) in {fold(text) for text in allowed}
    return met_if(fits, "fact-matches", "fact-differs", fact=name, found=value, expected=allowed)


def _value_stop(name: str, value: FactValue, subject: str) -> Stop | None:
    if value.states and set(value.states) == {FieldWord.ILLEGIBLE}:
        return unreadable("fact-illegible", fact=name, subject=subject)
    return not_shown("fact-not-stated", fact=name, subject=subject) if value.states else None
