"""Tests and what was computed from their channels, looked up for a criterion; the numbers are never computed here.

Every test of the asked kind and direction that is of the subject, of what it is part of, or of its parts answers, if
the record names a channel of the asked use in it: a run whose pulse and excursion lie in two files is two tests. A
number with any doubt decides nothing.

Sizes and signs: where no limit lies below nought, a figure is compared as a size, whichever way its channel points;
a corridor, and limits below nought, are compared with the channel's own sign.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction

from evidence.judge import _rework
from evidence.judge._base import Look, Verdict, verdict
from evidence.judge._evidence import Stop, Used, exhibit_stop, not_shown, unreadable
from evidence.judge._scope import related
from evidence.judge._uncertainty import Measured
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.labtests import Wanted, channel_of, wanted
from evidence.model.criterion import Within
from evidence.model.finding import Finding, Parameter
from evidence.model.names import LabKind, Outcome, RestsOn, Role
from evidence.model.record import LabTest
from evidence.model.result import LabResult
from evidence.model.times import Interval
from evidence.quantity import UNITS, Dimension, Quantity
from evidence.register.demand import Demand

_TOLD = {
    "outside-limits": "test-outside-limits",
    "under-minimum": "test-under-minimum",
    "over-maximum": "test-over-maximum",
    "uncertainty-spans-limit": "test-uncertainty-spans-limit",
    "uncertainty-unknown": "test-uncertainty-unknown",
}
CHANNEL_ROLES = frozenset({Role.TEST_CHANNEL, Role.PULL_LOG})
"""Roles of files that a test may have its channels in."""


def lab_looks(
    demand: Demand, subject: str, case: Case, compare: Callable[[LabResult], Verdict]
) -> Sequence[Look]:
    """What the tests of a subject say to a demand.

    Args:
        demand: asks tests of a direction.
        subject: what it is asked of.
        case: for record, files and numbers.
        compare: a number without doubts with the limits of the demand.
    """
    asks = wanted(demand.criterion)
    if asks is None:
        raise TypeError(demand.requirement)
    own = [test for test in case.record.tests if related(test.subject, subject, case.record)]
    facing = [test for test in own if (test.kind, test.direction) == (asks.kind, asks.direction)]
    facing = [test for test in facing if _may_answer(test, demand, case)]
    if not facing:
        code = "pull-not-recorded" if asks.kind == LabKind.STATIC_PULL else "test-not-recorded"
        there = tuple(test.id for test in own if test.kind == asks.kind)
        stop = not_shown(code, direction=asks.direction.value, found=there or ("\u2013",), subject=subject)
        return [Look(Used(), stop)]
    named = [test for test in facing if channel_of(test, asks.use) is not None]
    if not named:
        tests = tuple(test.id for test in facing)
        return [Look(Used(records=frozenset(tests)), _unnamed(tests, asks))]
    return [_look(test, demand, subject, case, compare, several=len(named) > 1) for test in named]


def with_result(finding: Finding, demand: Demand, case: Case) -> Finding:
    """The finding with the id of the one number that it rests on; the parts of several are named by their tests."""
    found = [case.results.get((demand.requirement, entry)) for entry in finding.records]
    ids = [result.id for result in found if result is not None]
    return finding.model_copy(update={"measurement": ids[0]}) if len(ids) == 1 else finding


def of_test(compared: Verdict, result: LabResult) -> Verdict:
    """The verdict as it is told of a laboratory's test, which nobody in a workshop can correct or measure again."""
    code = _TOLD.get(compared.reason.code, compared.reason.code)
    reason = because(code, **{**compared.reason.parameters, "test": result.test})
    return Verdict(compared.outcome, reason)


def measured(criterion: Within, result: LabResult) -> Measured:
    """A computed number as it is compared: as a size where no limit lies below nought."""
    unit = UNITS[result.unit or "", criterion.dimension]
    bounds = (criterion.bound(text) for text in (criterion.low, criterion.high, criterion.nominal))
    signed = any(bound is not None and bound.base < 0 for bound in bounds)
    text = result.value or "0"
    value = _quantity(text if signed else text.removeprefix("-"), unit.symbol, criterion.dimension)
    spread = result.expanded_uncertainty
    return Measured(value, None if spread is None else _quantity(spread, unit.symbol, criterion.dimension))


def _quantity(number: str, unit: str, dimension: Dimension) -> Quantity:
    return Quantity(Fraction(number), UNITS[unit, dimension], f"{number} {unit}")


def _may_answer(test: LabTest, demand: Demand, case: Case) -> bool:
    """Whether the demand takes a file of the test's role; roles that hold no channels are of its other evidence."""
    roles = CHANNEL_ROLES.intersection(demand.criterion.evidence_from)
    return not roles or _role(test, case) in roles


def _role(test: LabTest, case: Case) -> Role | None:
    return next((entry.role for entry in case.record.exhibits if entry.id == test.exhibit), None)


def _unnamed(tests: tuple[str, ...], asks: Wanted) -> Stop:
    return not_shown("test-channel-not-named", tests=tests, use=asks.use.value)


def _look(
    test: LabTest,
    demand: Demand,
    subject: str,
    case: Case,
    compare: Callable[[LabResult], Verdict],
    *,
    several: bool,
) -> Look:
    used = Used(
        frozenset({RestsOn.MEASURED}), exhibits=frozenset({test.exhibit}), records=frozenset({test.id})
    )
    name = test.id if several else ""
    result = case.results.get((demand.requirement, test.id))
    stop = test_stop(test, case) or _redone(test, subject, case) or _result_stop(result)
    if stop is not None:
        return Look(used, stop, name=name)
    if result is None:
        # a corridor that is not held has nothing computed against it, and is compared with nothing
        return Look(used, compare=lambda: _absent(test), name=name)
    shown: dict[str, Parameter] = {"value": {"unit": result.unit or "", "value": result.value or ""}}
    return Look(used, compare=lambda: compare(result), name=name, shown=shown)


def _redone(test: LabTest, subject: str, case: Case) -> Stop | None:
    """Why a pull on the vehicle says nothing any more; a sled run is of the type, which no redo touches."""
    if test.kind != LabKind.STATIC_PULL:
        return None
    return _rework.reopened(_rework.of_test(test, case), subject, case)


def test_stop(test: LabTest, case: Case) -> Stop | None:
    """Why a test says nothing, whatever its channels hold: its file cannot be used, or it was run later."""
    used_as = Role.TEST_CHANNEL if test.kind == LabKind.DYNAMIC else None
    stop = exhibit_stop(test.exhibit, case, used_as)
    if stop is not None:
        return stop
    if isinstance(test.at, Interval) and test.at.first_day > case.as_of:
        found, day = test.at.first_day.isoformat(), case.as_of.isoformat()
        return not_shown("document-later", entry=test.id, found=found, day=day)
    return None


def _absent(test: LabTest) -> Verdict:
    return verdict(Outcome.UNDECIDED, "result-absent", exhibit=test.exhibit, test=test.id)


def _result_stop(result: LabResult | None) -> Stop | None:
    if result is None:
        return None
    about = {"exhibit": result.exhibit, "test": result.test}
    if result.reason is not None:
        return _not_computed(result.reason.code, {**result.reason.parameters, **about})
    if result.doubts:
        codes = tuple(doubt.code for doubt in result.doubts)
        number: Parameter = {"unit": result.unit or "", "value": result.value or ""}
        return unreadable("result-doubtful", cause=codes[0], doubts=codes, value=number, **about)
    return None


def _not_computed(code: str, parameters: dict[str, Parameter]) -> Stop:
    if code == "channel-not-found":
        return unreadable("channel-not-found", **parameters)
    if code == "channel-several":
        return unreadable("channel-several", **parameters)
    if code == "figure-record-short":
        return not_shown("channel-too-short", **parameters)
    if code == "figure-corridor-unordered":
        return unreadable("corridor-unordered", **parameters)
    return unreadable("result-not-computed", cause=code, **parameters)
