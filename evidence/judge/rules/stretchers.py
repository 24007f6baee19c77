"""Rule on stretchers: one that goes with the vehicle is of no model that fits what is there."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge._scope import fold
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule
from evidence.model.record import Position


def not_approved(case: Case) -> Iterator[Contradiction]:
    """A model, own, on loan or of a pool, that is missing in the manual's pairs or in the record's list.

    The manual's pairs of the fitted system are the stronger word; a system that the manual does not pair, and a
    list that is empty, say nothing.
    """
    for position in case.record.positions:
        paired = _paired(position, case)
        named = position.stretchers.approved_models
        for model in dict.fromkeys(one.model for one in position.stretchers.delivered_with):
            if paired and not _among(model, paired):
                yield _contradiction(position, model, paired, f"{case.profile.reference}.pairs")
            elif named and not _among(model, named):
                yield _contradiction(position, model, named, f"{position.id}.stretchers.approved_models")


def _paired(position: Position, case: Case) -> tuple[str, ...]:
    system = fold(position.system.model)
    return tuple(pair.stretcher for pair in case.profile.pairs if fold(pair.system) == system)


def _among(model: str, models: tuple[str, ...]) -> bool:
    return fold(model) in {fold(one) for one in models}


def _contradiction(position: Position, model: str, models: tuple[str, ...], where: str) -> Contradiction:
    together = ", ".join(dict.fromkeys(models))
    return contradiction(
        ContradictionRule.STRETCHER_NOT_APPROVED,
        position.id,
        (
            Place(where=f"{position.id}.stretchers.delivered_with", value=model),
            Place(where=where, value=together),
        ),
        subject=position.id,
        model=model,
        expected=together,
        source=where,
    )
