"""The one procedure by which every criterion is judged.

1. Does it apply to this subject? If not, ``not applicable``; a fact that decides this and is not known stops here.
2. Is the evidence there? If not, ``not shown``.
3. Can it be read? If not, ``undecided``.
4. Is the demand decided? A limit that is not held, or not confirmed, gives ``not shown``, whatever is compared.
5. Compare.

The first that stops gives the reason. A criterion type only looks its evidence up (2, 3) and says how it compares
(5); nothing is compared before step 4 allows it. Several looks are joined by AND.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from evidence.judge._evidence import Stop, Used, not_shown, unreadable
from evidence.judge._scope import VEHICLE, fold
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.judge.facts import fact
from evidence.model.criterion import Counted, Criterion, Inside, Ordered, Present, ValidOn, Within
from evidence.model.finding import Finding, Parameter, Part, Reason
from evidence.model.names import DECIDING_MARKS, Fact, FieldWord, Group, Mark, Outcome, SubjectKind
from evidence.register.demand import Demand

_PRECEDENCE = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.UNDECIDED, Outcome.MET)
_RESTS_ON_NOTHING = frozenset({Outcome.NOT_SHOWN, Outcome.NOT_APPLICABLE})
C = TypeVar("C")


@dataclass(frozen=True)
class Verdict:
    """What a comparison says; ``expires`` is the last day on which a validity used in it holds."""

    outcome: Outcome
    reason: Reason
    expires: date | None = None


@dataclass(frozen=True)
class Look:
    """One thing that was looked at: why it stops, or how it compares.

    Attributes:
        used: entries read.
        stop: step 2 or 3, or None.
        compare: step 5.
        name: name of the part in the finding; empty where the criterion asks one thing only.
        shown: values to show where the demand holds no limit to compare with.
    """

    used: Used
    stop: Stop | None = None
    compare: Callable[[], Verdict] | None = None
    name: str = ""
    shown: Mapping[str, Parameter] = field(default_factory=dict)


@dataclass(frozen=True)
class _Answer:
    look: Look
    verdict: Verdict


def asked(demand: Demand, kind: type[C]) -> C:
    """The criterion of a demand, which must be of the kind.

    Raises:
        TypeError: the demand was handed to the module of another type.
    """
    criterion = demand.criterion
    if not isinstance(criterion, kind):
        raise TypeError(f"{demand.requirement}: {criterion.type}")
    return criterion


def all_of(outcomes: Iterable[Outcome]) -> Outcome:
    """AND: not met > not shown > undecided > met; what is not applicable has no say."""
    found = set(outcomes)
    return next((outcome for outcome in _PRECEDENCE if outcome in found), Outcome.NOT_APPLICABLE)


def verdict(outcome: Outcome, code: str, /, **parameters: Parameter) -> Verdict:
    """A verdict with its reason."""
    return Verdict(outcome, because(code, **parameters))


def met_if(truth: bool, yes: str, no: str, /, **parameters: Parameter) -> Verdict:  # noqa: FBT001 - it is the question
    """Met with the one code, or not met with the other."""
    return verdict(Outcome.MET, yes, **parameters) if truth else verdict(Outcome.NOT_MET, no, **parameters)


def decide(demand: Demand, subject: str, case: Case, look: Callable[[], Sequence[Look]]) -> Finding:
    """Judge one demand for one subject by the numbered procedure.

    Args:
        demand: what is asked.
        subject: ``vehicle`` or a record id.
        case: all that may be looked at.
        look: steps 2 and 3 of the type; called only where the demand applies.
    """
    stop = _applies(demand, subject, case) or _no_instance(demand.criterion, subject)
    if stop is not None:
        return _finding(demand, subject, [_Answer(Look(Used()), Verdict(stop.outcome, stop.reason))])
    return _finding(demand, subject, [_Answer(one, _answer(demand, one)) for one in look() or [Look(Used())]])


def _applies(demand: Demand, subject: str, case: Case) -> Stop | None:
    stops = [
        _fact_stop(name, allowed, subject, case)
        for name, allowed in sorted(demand.applies.items(), key=lambda pair: pair[0].value)
    ]
    found = [stop for stop in stops if stop is not None]
    # one rule that certainly does not hold settles it, whatever is unknown about the others
    settled = [stop for stop in found if stop.outcome == Outcome.NOT_APPLICABLE]
    return next(iter(settled or found), None)


def _fact_stop(name: Fact, allowed: Sequence[str], subject: str, case: Case) -> Stop | None:
    value = fact(name, subject, case.record)
    # here a rule reads the state `not fitted`, so it counts as an answer
    fitted = [state for state in value.states if state != FieldWord.NOT_FITTED]
    answers = (*value.values, *(state.value for state in value.states if state == FieldWord.NOT_FITTED))
    wanted = {fold(text) for text in allowed}
    if any(fold(text) in wanted for text in answers):
        return None
    if FieldWord.ILLEGIBLE in fitted:
        return unreadable("fact-illegible", fact=name.value, subject=subject)
    if fitted:
        return not_shown("fact-not-stated", fact=name.value, subject=subject)
    reason = because("not-for-this-vehicle", fact=name.value, found=answers, expected=tuple(allowed))
    return Stop(Outcome.NOT_APPLICABLE, reason)


def _no_instance(criterion: Criterion, subject: str) -> Stop | None:
    if subject != VEHICLE or criterion.subject == SubjectKind.VEHICLE:
        return None
    return not_shown("nothing-recorded", kind=criterion.subject.value)


def _answer(demand: Demand, look: Look) -> Verdict:
    if look.stop is not None or look.compare is None:  # steps 2 and 3
        stop = look.stop or not_shown("nothing-recorded", kind=demand.criterion.subject.value)
        return Verdict(stop.outcome, stop.reason)
    if demand.criterion.limit == "not-held":  # step 4
        return verdict(Outcome.NOT_SHOWN, "limit-not-held", **look.shown)
    compared = look.compare()  # step 5, but only a demand that step 4 lets decide may say so
    if decides(demand) or compared.outcome == Outcome.NOT_APPLICABLE:
        return compared
    parameters = {
        **compared.reason.parameters,
        "compared": compared.outcome.value,
        "compared_code": compared.reason.code,
        "mark": demand.criterion.mark.value,
    }
    practice = mark_of(demand) == Mark.PRACTICE
    return Verdict(
        Outcome.NOT_SHOWN, because("practice-compared" if practice else "limit-not-confirmed", **parameters)
    )


def decides(demand: Demand) -> bool:
    """Whether the demand's mark lets it say met or not met.

    A demand of common practice decides within its own group, but never a number.
    """
    mark = mark_of(demand)
    return mark in DECIDING_MARKS or (mark == Mark.PRACTICE and not _holds_number(demand.criterion))


def mark_of(demand: Demand) -> Mark:
    """The mark that holds: a profile's demand with a page of the maker's manual counts as confirmed."""
    criterion = demand.criterion
    from_manual = demand.group == Group.PROFILE and criterion.page is not None
    return Mark.CONFIRMED if from_manual and criterion.mark not in DECIDING_MARKS else criterion.mark


def _holds_number(criterion: Criterion) -> bool:
    if isinstance(criterion, Present):
        return criterion.at_least > 1
    if isinstance(criterion, ValidOn):
        return criterion.months is not None or criterion.cycles is not None
    if isinstance(criterion, Ordered):
        return bool(criterion.gaps)
    return isinstance(criterion, Within | Inside | Counted)


def _finding(demand: Demand, subject: str, answers: Sequence[_Answer]) -> Finding:
    outcome = all_of(answer.verdict.outcome for answer in answers)
    used = Used()
    rests = Used()
    for answer in answers:
        used |= answer.look.used
        if answer.verdict.outcome not in _RESTS_ON_NOTHING:
            rests |= answer.look.used
    expiries = sorted(answer.verdict.expires for answer in answers if answer.verdict.expires)
    return Finding(
        requirement=demand.requirement,
        subject=subject,
        group=demand.group,
        clause=demand.clause,
        type=demand.criterion.type,
        outcome=outcome,
        rests_on=() if outcome in _RESTS_ON_NOTHING else tuple(sorted(rests.rests)),
        mark=mark_of(demand),
        reason=_reason(outcome, answers),
        exhibits=tuple(sorted(used.exhibits)),
        documents=tuple(sorted(used.documents)),
        records=tuple(sorted(used.records)),
        expires=expiries[0].isoformat() if expiries else None,
        parts=_parts(answers),
        closes=demand.criterion.closes,
    )


def _parts(answers: Sequence[_Answer]) -> tuple[Part, ...]:
    return tuple(
        Part(name=answer.look.name, outcome=answer.verdict.outcome, reason=answer.verdict.reason)
        for answer in answers
        if answer.look.name
    )


def _reason(outcome: Outcome, answers: Sequence[_Answer]) -> Reason:
    if len(answers) > 1 and outcome == Outcome.MET:
        return because("all-parts-met", count=str(len(answers)))
    deciding = next(answer for answer in answers if answer.verdict.outcome == outcome)
    reason = deciding.verdict.reason
    if not deciding.look.name:
        return reason
    return because(reason.code, **{**reason.parameters, "part": deciding.look.name})
