"""Type ``within``: a quantity lies between limits, its uncertainty counted in.

Guarded acceptance (JCGM 106:2012, guard band r = 1): with U the expanded uncertainty, met where the whole of
[v-U, v+U] lies inside the limits, not met where it lies wholly outside, undecided else. ``simple`` compares the
value alone, limits included. Everything is an exact fraction.
"""

from collections.abc import Sequence
from fractions import Fraction

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._claims import claim_stop, one_stop, used_claims
from evidence.judge._evidence import (
    Stop,
    Used,
    claims_of,
    document_stop,
    documents,
    no_documents,
    not_shown,
    recorded,
    time_stop,
    unplaced_stop,
    unreadable,
)
from evidence.judge._lab import lab_looks, measured, of_test, with_result
from evidence.judge._photo import with_photo
from evidence.judge._rework import current, of_screws, of_value, reopened, supporting
from evidence.judge._scope import lineage, screws_of, unplaced
from evidence.judge._tools import range_stop
from evidence.judge._uncertainty import (
    Measured,
    fitting_kinds,
    instrument_of,
    of_characteristic,
    of_document,
    of_torque,
)
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import Within
from evidence.model.finding import Finding, Parameter
from evidence.model.names import FieldWord, Outcome
from evidence.model.record import Characteristic, Document, Screws
from evidence.model.result import LabResult
from evidence.quantity import Quantity
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare every recorded value of the quantity; several values, screws or documents are joined by AND."""
    criterion = asked(demand, Within)
    source, _, name = criterion.quantity.partition(".")
    if source == "test":
        return _of_tests(demand, criterion, subject, case)
    looks = {"characteristic": _characteristics, "document": _documents, "screws": _torques}
    finding = decide(demand, subject, case, lambda: looks[source](criterion, name, subject, case))
    if source != "characteristic" or finding.outcome == Outcome.NOT_APPLICABLE:
        return finding
    return with_photo(finding, criterion, values_of(name, subject, case), case)


def _of_tests(demand: Demand, criterion: Within, subject: str, case: Case) -> Finding:
    def compared(result: LabResult) -> Verdict:
        return of_test(compare(criterion, measured(criterion, result)), result)

    finding = decide(demand, subject, case, lambda: lab_looks(demand, subject, case, compared))
    return with_result(finding, demand, case)


def values_of(name: str, subject: str, case: Case) -> list[tuple[Characteristic, Measured]]:
    """Values recorded for a characteristic that count now, with how well they are known."""
    line = lineage(subject, case.record)
    found = [each for each in case.record.characteristics if each.name == name and each.subject in line]
    return [
        (each, of_characteristic(each, case.record))
        for each in current(found, subject, case)
        if not isinstance(each.value, FieldState)
    ]


def _characteristics(criterion: Within, name: str, subject: str, case: Case) -> Sequence[Look]:
    line = lineage(subject, case.record)
    found: Sequence[Characteristic] = [
        value for value in case.record.characteristics if value.name == name and value.subject in line
    ]
    if not found:
        return [Look(Used(), not_shown("value-not-recorded", quantity=name, subject=subject))]
    found = current(found, subject, case)
    beside = supporting(criterion.evidence_from, subject, case)
    return [
        Look(
            recorded(value.id, value.instrument) | beside,
            # a stray value stays in the way even of a good one: it may be this place's, and bad
            unplaced_stop((value.id,), subject),
            name=value.id if len(found) > 1 else "",
        )
        if unplaced(value.subject, subject, case.record)
        else _characteristic(
            criterion, value, case, beside, reopened(of_value(value), subject, case), several=len(found) > 1
        )
        for value in found
    ]


def _characteristic(
    criterion: Within, value: Characteristic, case: Case, beside: Used, redone: Stop | None, *, several: bool
) -> Look:
    used = recorded(value.id, value.instrument) | beside
    name = value.id if several else ""
    if isinstance(value.value, FieldState):
        return Look(used, _state_stop(value.id, value.value), name=name)
    wrong = (
        time_stop(value.id, value.at)
        or redone
        or _instrument_stop(value.id, value.instrument, criterion, case)
    )
    if wrong is not None:
        return Look(used, wrong, name=name)
    return _measured(criterion, of_characteristic(value, case.record), used, name)


def _torques(criterion: Within, _name: str, subject: str, case: Case) -> Sequence[Look]:
    groups = screws_of(subject, case.record)
    if not groups:
        return [Look(Used(), not_shown("value-not-recorded", quantity=criterion.quantity, subject=subject))]
    return [look for group in groups for look in _group(criterion, group, subject, case)]


def _group(criterion: Within, group: Screws, subject: str, case: Case) -> Sequence[Look]:
    used = recorded(group.id, group.instrument) | supporting(criterion.evidence_from, subject, case)
    numbers = range(1, max(group.count, len(group.torques), 1) + 1)
    redone = reopened(of_screws(group), subject, case)
    if redone is not None and time_stop(group.id, group.at) is None:
        return [Look(used, redone, name=group.id)]  # the group was tightened as one
    return [_screw(criterion, group, number, used, case) for number in numbers]


def _screw(criterion: Within, group: Screws, number: int, used: Used, case: Case) -> Look:
    name = f"{group.id}.{number}"
    if number > len(group.torques):
        stop = not_shown("torque-not-recorded", screws=group.id, number=str(number))
        return Look(used, stop, name=name)
    torque = group.torques[number - 1]
    if isinstance(torque, FieldState):
        return Look(used, _state_stop(name, torque), name=name)
    wrong = (
        time_stop(group.id, group.at)
        or _instrument_stop(name, group.instrument, criterion, case)
        or range_stop(name, torque, group.instrument, case.record)
    )
    if wrong is not None:
        return Look(used, wrong, name=name)
    return _measured(criterion, of_torque(torque, group, case.record), used, name)


def _instrument_stop(entry: str, identity: str, criterion: Within, case: Case) -> Stop | None:
    """Why a value says nothing: what it was taken with does not measure such a quantity."""
    instrument = instrument_of(identity, case.record)
    fitting = fitting_kinds(criterion.dimension)
    if instrument is None or instrument.kind in fitting:
        return None
    return unreadable(
        "instrument-wrong-kind",
        entry=entry,
        instrument=identity,
        found=instrument.kind.value,
        expected=tuple(sorted(kind.value for kind in fitting)),
    )


def _documents(criterion: Within, name: str, subject: str, case: Case) -> Sequence[Look]:
    found = documents(criterion.evidence_from, subject, case)
    if not found:
        return [Look(Used(), no_documents(criterion.evidence_from, subject, case))]
    several = len(found) > 1
    looks: list[Look] = []
    for document in found:
        label = document.id if several else ""
        stop = document_stop(document, case) or claim_stop(document, name, case)
        looks += (
            [Look(used_claims(document, (name,), case), stop, name=label)]
            if stop
            else _claims(criterion, name, document, case, label)
        )
    return looks


def _claims(criterion: Within, name: str, document: Document, case: Case, label: str) -> Sequence[Look]:
    used = used_claims(document, (name,), case)
    claims = claims_of(document, name)
    looks = []
    for number, claim in enumerate(claims, start=1):
        part = f"{document.id}.{number}" if len(claims) > 1 else label
        stop = one_stop(claim, document, case)
        if stop is not None:
            looks.append(Look(used, stop, name=part))
        elif claim.quantity is not None:
            looks.append(_measured(criterion, of_document(claim.quantity), used, part))
    return looks


def _state_stop(entry: str, state: FieldState) -> Stop:
    if state.state == FieldWord.ILLEGIBLE:
        return unreadable("value-illegible", entry=entry)
    return not_shown("value-open", entry=entry, state=state.state.value)


def _measured(criterion: Within, measured: Measured, used: Used, name: str) -> Look:
    return Look(
        used,
        compare=lambda: compare(criterion, measured),
        name=name,
        shown={"value": measured.value.json()},
    )


def compare(criterion: Within, measured: Measured) -> Verdict:
    """Compare one value with the limits of the criterion by its decision rule."""
    low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
    value = measured.value
    shown: dict[str, Parameter] = {"value": value.json()}
    if low is None and high is None:
        nominal = criterion.bound(criterion.nominal)
        wanted = nominal.json() if nominal else {"value": "", "unit": value.unit.symbol}
        return verdict(Outcome.UNDECIDED, "no-tolerance", nominal=wanted, **shown)
    if criterion.decision == "simple":
        return _placed(low, high, value.base, value.base, shown)
    if measured.out_of_range_of is not None:
        instrument = measured.out_of_range_of
        return verdict(Outcome.UNDECIDED, "outside-instrument-range", instrument=instrument, **shown)
    if measured.expanded is None:
        return verdict(Outcome.UNDECIDED, "uncertainty-unknown", **shown)
    shown["expanded_uncertainty"] = measured.expanded.json()
    spread = measured.expanded.base
    return _placed(low, high, value.base - spread, value.base + spread, shown)


def _placed(
    low: Quantity | None, high: Quantity | None, least: Fraction, most: Fraction, shown: dict[str, Parameter]
) -> Verdict:
    if low is not None:
        shown["low"] = low.json()
    if high is not None:
        shown["high"] = high.json()
    if low is not None and most < low.base:
        return verdict(Outcome.NOT_MET, "under-minimum" if high is None else "outside-limits", **shown)
    if high is not None and least > high.base:
        return verdict(Outcome.NOT_MET, "over-maximum" if low is None else "outside-limits", **shown)
    if low is not None and least < low.base:
        return verdict(Outcome.UNDECIDED, "uncertainty-spans-limit", limit=low.json(), **shown)
    if high is not None and most > high.base:
        return verdict(Outcome.UNDECIDED, "uncertainty-spans-limit", limit=high.json(), **shown)
    return verdict(Outcome.MET, _inside_code(low, high), **shown)


def _inside_code(low: Quantity | None, high: Quantity | None) -> str:
    if low is not None and high is not None:
        return "within-limits"
    return "at-least-minimum" if low is not None else "at-most-maximum"
