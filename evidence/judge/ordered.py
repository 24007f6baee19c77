"""Type ``ordered``: steps were done in an order and with gaps; a redo reopens what depends on it.

Times are intervals, so each comparison takes the worst case. Where a step was done again after a later one, that
later one is open until it is done again too: not shown, not wrong.
"""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from fractions import Fraction
from functools import partial
from itertools import pairwise, product

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._cure import Begun, begun
from evidence.judge._evidence import Stop, Used, not_shown, recorded, time_stop
from evidence.judge._rework import supporting
from evidence.judge._steps import Thread, concerns, in_order, needed_before, threads
from evidence.judge._times import span
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.criterion import Gap, Ordered
from evidence.model.finding import Finding, Parameter
from evidence.model.names import Outcome, ProfileKind
from evidence.model.record import Step
from evidence.model.times import Interval
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare each step with the next, each gap, and each redo with what it reopens; one part for each."""
    criterion = asked(demand, Ordered)
    return decide(demand, subject, case, lambda: _looks(criterion, subject, case))


def _looks(criterion: Ordered, subject: str, case: Case) -> Sequence[Look]:
    wanted = (*criterion.steps, *(step for gap in criterion.gaps for step in (gap.before, gap.after)))
    found = threads(wanted, subject, case)
    beside = supporting(criterion.evidence_from, subject, case)
    looks = [
        Look(one.used | beside, one.stop, one.compare, one.name, one.shown)
        for thread in found
        for one in _thread(criterion, thread, case)
    ]
    nowhere = [step for step in wanted if not any(concerns(step, one, case.profile) for one in found)]
    looks += [_absent(step, subject, step) for step in dict.fromkeys(nowhere)]
    return looks


def _thread(criterion: Ordered, thread: Thread, case: Case) -> Iterator[Look]:
    steps = [step for step in criterion.steps if concerns(step, thread, case.profile)]
    gaps = [
        gap
        for gap in criterion.gaps
        if concerns(gap.before, thread, case.profile) and concerns(gap.after, thread, case.profile)
    ]
    everything = dict.fromkeys((*steps, *(step for gap in gaps for step in (gap.before, gap.after))))
    for step in everything:
        if not thread.latest(step):
            yield _absent(step, thread.name, f"{thread.name}/{step}")
    for first, second in pairwise(steps):
        yield from _pair(first, second, thread, case)
    for gap in gaps:
        # a cure is counted from the last of all that must be over before it begins
        also = begun(thread, case) if criterion.answers == ProfileKind.CURE else ()
        yield from _gap(gap, thread, also, case)
    for step in everything:
        yield from _reopened(
            step, [first for first, second in pairwise(steps) if second == step], thread, case
        )


def _absent(step: str, subject: str, name: str) -> Look:
    return Look(Used(), not_shown("step-not-recorded", step=step, subject=subject), name=name)


def _pair(first: str, second: str, thread: Thread, case: Case) -> Iterator[Look]:
    for one, other in product(thread.latest(first), thread.latest(second)):
        yield Look(
            recorded(one.id, other.id),
            _pair_stop(one, other, case),
            partial(_compare_order, one, other, case),
            f"{thread.name}/{one.id}/{other.id}",
        )


def _pair_stop(one: Step, other: Step, case: Case) -> Stop | None:
    if in_order(one, other, case) != Outcome.UNDECIDED:
        return None  # the rows of one card decide even where a time is missing
    return time_stop(one.id, one.at) or time_stop(other.id, other.at)


def _compare_order(one: Step, other: Step, case: Case) -> Verdict:
    outcome = in_order(one, other, case)
    if outcome == Outcome.NOT_MET and one.redo_of is not None:
        return verdict(Outcome.NOT_SHOWN, "reopened", step=other.step, redone=one.step)
    if outcome == Outcome.UNDECIDED and one.redo_of is not None:
        return verdict(outcome, "reopened-undecided", step=other.step, redone=one.step)
    codes = {Outcome.MET: "in-order", Outcome.NOT_MET: "out-of-order", Outcome.UNDECIDED: "order-undecided"}
    return verdict(outcome, codes[outcome], before=one.step, after=other.step)


def _gap(gap: Gap, thread: Thread, also: Sequence[Begun], case: Case) -> Iterator[Look]:
    for one, other in product(thread.latest(gap.before), thread.latest(gap.after)):
        stops = [time_stop(one.id, one.at), time_stop(other.id, other.at), *(start.stop for start in also)]
        yield Look(
            recorded(one.id, other.id, *(start.entry for start in also)),
            next((stop for stop in stops if stop is not None), None),
            partial(_compare_gap, gap, (one, other), [start.at for start in also], case),
            f"{thread.name}/{one.id}/{other.id}/gap",
        )


def _compare_gap(
    gap: Gap, steps: tuple[Step, Step], also: Sequence[Interval | FieldState], case: Case
) -> Verdict:
    one, other = steps
    shown: dict[str, Parameter] = {"before": gap.before, "after": gap.after, "at_least": gap.at_least.json()}
    first = [span(at, case.record) for at in (one.at, *also) if isinstance(at, Interval)]
    if not isinstance(one.at, Interval) or not isinstance(other.at, Interval):
        return verdict(Outcome.UNDECIDED, "gap-undecided", **shown)
    second = span(other.at, case.record)
    if in_order(one, other, case) == Outcome.NOT_MET and one.redo_of is not None:
        return verdict(Outcome.NOT_SHOWN, "reopened", step=other.step, redone=one.step)
    if _seconds(second.start - max(start.end for start in first)) >= gap.at_least.base:
        return verdict(Outcome.MET, "gap-long-enough", **shown)
    # both intervals are open at their ends, so a longest gap that only touches the limit does not reach it
    if _seconds(second.end - max(start.start for start in first)) <= gap.at_least.base:
        return verdict(Outcome.NOT_MET, "gap-too-short", **shown)
    return verdict(Outcome.UNDECIDED, "gap-undecided", **shown)


def _seconds(length: timedelta) -> Fraction:
    return Fraction(length // timedelta(microseconds=1), 1_000_000)


def _reopened(step: str, compared: Sequence[str], thread: Thread, case: Case) -> Iterator[Look]:
    """Redone steps that the manual wants before this one and that no pair has looked at already."""
    for name in sorted(needed_before(step, case.profile) - set(compared)):
        redone = [one for one in thread.latest(name) if one.redo_of is not None]
        for one, other in product(redone, thread.latest(step)):
            if in_order(one, other, case) != Outcome.MET:
                yield Look(
                    recorded(one.id, other.id),
                    _pair_stop(one, other, case),
                    partial(_compare_order, one, other, case),
                    f"{thread.name}/{one.id}/{other.id}",
                )
