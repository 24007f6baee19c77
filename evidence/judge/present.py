"""Type ``present``: evidence of a role is there and readable."""

from collections.abc import Sequence
from dataclasses import replace

from evidence.judge._base import Look, Verdict, asked, decide, verdict
from evidence.judge._evidence import Piece, Stop, Used, missing, not_shown
from evidence.judge._rework import pieces
from evidence.judge._which import which_vehicle_stop
from evidence.judge._window import shown
from evidence.judge.case import Case
from evidence.model.criterion import Present
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from evidence.register.demand import Demand


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Count usable files and held documents of the roles; enough of them is met.

    Only where a lock window's photo must show a colour can it be not met.
    """
    criterion = asked(demand, Present)
    return decide(demand, subject, case, lambda: [_look(criterion, subject, case)])


def _look(criterion: Present, subject: str, case: Case) -> Look:
    found = [_of_this_vehicle(piece, case) for piece in pieces(criterion.evidence_from, subject, case)]
    usable = [piece for piece in found if piece.stop is None]
    used = Used()
    for piece in usable or found:
        used |= piece.used
    needed = max(criterion.at_least, 1)
    if len(usable) < needed:
        return Look(used, _stop(criterion, subject, found, usable))
    if criterion.shows is not None:
        return shown(criterion, usable, case)
    return Look(used, compare=lambda: _there(len(usable)))


def _of_this_vehicle(piece: Piece, case: Case) -> Piece:
    return piece if piece.stop is not None else replace(piece, stop=which_vehicle_stop(piece.id, case))


def _there(count: int) -> Verdict:
    return verdict(Outcome.MET, "evidence-there", found=str(count))


def _stop(criterion: Present, subject: str, found: Sequence[Piece], usable: Sequence[Piece]) -> Stop:
    stops = [piece.stop for piece in found if piece.stop is not None]
    unread = [stop for stop in stops if stop.outcome == Outcome.UNDECIDED]
    if unread and len(usable) + len(unread) >= criterion.at_least:
        return unread[0]
    lacking = [stop for stop in stops if stop.outcome == Outcome.NOT_SHOWN]
    if lacking:
        return lacking[0]
    if not found:
        return missing(criterion.evidence_from, subject)
    return not_shown(
        "too-few-files",
        subject=subject,
        roles=tuple(sorted(criterion.evidence_from)),
        found=str(len(usable)),
        at_least=str(criterion.at_least),
    )
