"""Rule on builders of several stages: each hands on before the next one works."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge._times import Span, before, span, works
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Outcome, PartyFunction
from evidence.model.record import Party
from evidence.model.times import Interval

BUILDERS = frozenset({PartyFunction.BASE_BUILDER, PartyFunction.BUILDER, PartyFunction.FITTING_COMPANY})


@dataclass(frozen=True)
class _Stage:
    name: str
    party: Party
    finished: Interval | None


def stage_out_of_order(case: Case) -> Iterator[Contradiction]:
    """A later stage certainly worked, or was finished, before an earlier one was finished."""
    for earlier, later in combinations(_stages(case.record.parties), 2):
        if earlier.finished is None:
            continue
        end = span(earlier.finished, case.record)
        yield from _finished(earlier, earlier.finished, end, later, case)
        yield from _worked(earlier, earlier.finished, end, later, case)


def _stages(parties: Sequence[Party]) -> list[_Stage]:
    return [
        _Stage(
            party.id or f"parties.{number}",
            party,
            party.finished if isinstance(party.finished, Interval) else None,
        )
        for number, party in enumerate(parties, start=1)
        if party.function in BUILDERS
    ]


def _finished(
    earlier: _Stage, finished: Interval, end: Span, later: _Stage, case: Case
) -> Iterator[Contradiction]:
    if later.finished is not None and before(span(later.finished, case.record), end) == Outcome.MET:
        yield _contradiction(
            (earlier, finished.text),
            later,
            Place(where=f"{later.name}.finished", value=later.finished.text),
            "stage-finished-early",
        )


def _worked(
    earlier: _Stage, finished: Interval, end: Span, later: _Stage, case: Case
) -> Iterator[Contradiction]:
    """The first of the later stage's work stands for all of it."""
    hands = {person.id for person in case.record.people if person.party and person.party == later.party.id}
    early = [
        (when.start, work.id, work.at.text)
        for work in works(case.record)
        if work.by in hands and isinstance(work.at, Interval)
        if before(when := span(work.at, case.record), end) == Outcome.MET
    ]
    if early:
        _, entry, text = min(early)
        yield _contradiction(
            (earlier, finished.text), later, Place(where=f"{entry}.at", value=text), "stage-out-of-order"
        )


def _contradiction(earlier: tuple[_Stage, str], later: _Stage, place: Place, code: str) -> Contradiction:
    stage, finished = earlier
    return contradiction(
        ContradictionRule.STAGE_OUT_OF_ORDER,
        VEHICLE,
        (Place(where=f"{stage.name}.finished", value=finished), place),
        exhibits=[party.exhibit for party in (stage.party, later.party) if party.exhibit],
        code=code,
        earlier=stage.name,
        finished=finished,
        later=later.name,
        entry=place.where,
        done=place.value,
    )
