"""Rule on the order of work: a step was certainly done before one that the manual wants finished first."""

from collections.abc import Iterator
from itertools import product

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge._steps import Thread, by_time, threads
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Outcome
from evidence.model.record import Step
from evidence.model.times import Interval


def order_broken(case: Case) -> Iterator[Contradiction]:
    """Two written times that leave no reading in which the manual's order was kept; a redo is no break."""
    wanted = [step.id for step in case.profile.steps]
    for thread in threads(wanted, VEHICLE, case):
        for step in case.profile.steps:
            for needed in step.after:
                yield from _broken(needed, step.id, thread, case)


def _broken(needed: str, step: str, thread: Thread, case: Case) -> Iterator[Contradiction]:
    for one, other in product(thread.latest(needed), thread.latest(step)):
        if one.redo_of is None and by_time(one, other, case.record) == Outcome.NOT_MET:
            yield _contradiction(one, other)


def _contradiction(one: Step, other: Step) -> Contradiction:
    times = [entry.at.text if isinstance(entry.at, Interval) else "" for entry in (one, other)]
    cards = [entry.card_row.exhibit for entry in (one, other) if entry.card_row]
    return contradiction(
        ContradictionRule.ORDER_BROKEN,
        other.id,
        (Place(where=f"{one.id}.at", value=times[0]), Place(where=f"{other.id}.at", value=times[1])),
        exhibits=cards,
        subject=other.subject,
        before=one.step,
        before_time=times[0],
        after=other.step,
        after_time=times[1],
    )
