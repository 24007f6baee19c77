"""Rule on answers: one that names a contradiction which is not there."""

from collections.abc import Collection, Iterator

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Severity

_NONE = "\u2013"
_OWN = f"{ContradictionRule.ANSWER_WITHOUT_CONTRADICTION.value}:"


def without_contradiction(found: Collection[Contradiction], case: Case) -> Iterator[Contradiction]:
    """An answer whose id nothing has: mistyped, or to values that were changed since.

    Args:
        found: what all other rules found.
        case: for the answers.
    """
    known = {one.id for one in found}
    answered = {answer.contradiction for answer in case.record.answers}
    for answer in case.record.answers:
        if answer.contradiction in known or answer.contradiction.startswith(_OWN):
            continue
        still_open = sorted(
            one.id for one in found if one.id not in answered and _kin(one.id) == _kin(answer.contradiction)
        )
        yield contradiction(
            ContradictionRule.ANSWER_WITHOUT_CONTRADICTION,
            VEHICLE,
            (
                Place(where="answers", value=answer.contradiction),
                Place(where="contradictions", value=", ".join(still_open) or _NONE),
            ),
            severity=Severity.NOTICE,
            answer=answer.contradiction,
            by=answer.by,
            open=tuple(still_open) or (_NONE,),
        )


def _kin(identity: str) -> tuple[str, ...]:
    """Rule and subject of an id, the digest left out."""
    return tuple(identity.strip().casefold().split(":")[:2])
