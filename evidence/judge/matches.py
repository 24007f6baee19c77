"""Type ``matches``: a fact is one of the allowed values, equals another fact, or is none of the excluded values."""

from collections.abc import Sequence
from functools import partial

from evidence.judge._base import Look, Verdict, asked, decide, met_if, verdict
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
from evidence.judge._rework import screws_stop, supporting
from evidence.judge._same import Meaning, entries, fits, lot_in, meaning
from evidence.judge.case import Case
from evidence.judge.facts import FactValue, fact
from evidence.model.criterion import Matches
from evidence.model.finding import Finding, Parameter
from evidence.model.names import Fact, FieldWord, Outcome
from evidence.register.demand import Demand

_CLAIM = "document."


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare every value of the fact; case and spacing do not matter, every other difference does.

    Serial numbers and lots are taken out of labels and device identifiers, kinds of certificates are read.
    """
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
    stop = _value_stop(criterion.fact, value, subject) or screws_stop(criterion.fact, subject, case)
    if stop is None:
        return _value_looks(criterion, value.values, allowed, used, subject)
    # one that is certainly excluded counts, whatever is not known beside it
    if criterion.excluded and value.values:
        looks = _value_looks(criterion, value.values, allowed, used, subject, "recorded")
        return [*looks, Look(used, stop, name="not-recorded")]
    return [Look(used, stop)]


def _wanted(criterion: Matches, subject: str, case: Case) -> tuple[tuple[str, ...], Used] | Look:
    if criterion.equals is None:
        return criterion.allowed, Used()
    if criterion.equals.startswith(_CLAIM):
        return _wanted_of_documents(criterion, criterion.equals.removeprefix(_CLAIM), subject, case)
    value = fact(Fact(criterion.equals), subject, case.record)
    used = recorded(*value.records)
    stop = _value_stop(criterion.equals, value, subject) or screws_stop(criterion.equals, subject, case)
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
        used |= used_claims(document, (claim,), case)
        stop = document_stop(document, case) or claim_stop(document, claim, case)
        unread = claim_stops(document, claim, case)
        if stop is not None or unread:
            return Look(used, stop or unread[0])
        values += usable(document, claim, case)
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
        together = used | used_claims(document, (claim,), case)
        name = document.id if len(found) > 1 else ""
        stop = document_stop(document, case) or claim_stop(document, claim, case)
        if stop is not None:
            looks.append(Look(together, stop, name=name))
            continue
        looks += [Look(together, unread, name=name) for unread in claim_stops(document, claim, case)]
        looks += _value_looks(criterion, usable(document, claim, case), allowed, together, subject, name)
    return looks


def _value_looks(
    criterion: Matches,
    values: tuple[str, ...],
    allowed: tuple[str, ...],
    used: Used,
    subject: str,
    name: str = "",
) -> Sequence[Look]:
    several = len(values) > 1
    looks = []
    for number, value in enumerate(values, start=1):
        label = ".".join(piece for piece in (name, str(number) if several else "") if piece)
        compare = (
            partial(_exclude, criterion, value, subject)
            if criterion.excluded
            else partial(_compare, criterion, value, allowed)
        )
        looks.append(Look(used, compare=compare, name=label, shown={"found": value}))
    return looks


def _compare(criterion: Matches, value: str, allowed: tuple[str, ...]) -> Verdict:
    agrees = fits(value, allowed, meaning(criterion.fact, criterion.equals))
    return met_if(agrees, "fact-matches", "fact-differs", fact=criterion.fact, found=value, expected=allowed)


def _exclude(criterion: Matches, value: str, subject: str) -> Verdict:
    means = meaning(criterion.fact)
    shown: dict[str, Parameter] = {"fact": criterion.fact, "found": value}
    hit = tuple(
        one for one in criterion.excluded if any(fits(entry, [one], means) for entry in entries([value]))
    )
    if hit:
        return verdict(Outcome.NOT_MET, "fact-excluded", excluded=hit, **shown)
    if means == Meaning.LOT and lot_in(value) is None:  # a device identifier without lot says nothing of it
        return verdict(Outcome.NOT_SHOWN, "fact-not-stated", fact=criterion.fact, subject=subject)
    return verdict(Outcome.MET, "fact-not-excluded", **shown)


def _value_stop(name: str, value: FactValue, subject: str) -> Stop | None:
    if value.states and set(value.states) == {FieldWord.ILLEGIBLE}:
        return unreadable("fact-illegible", fact=name, subject=subject)
    return not_shown("fact-not-stated", fact=name, subject=subject) if value.states else None
