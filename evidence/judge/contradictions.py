"""Contradictions: every rule of the package ``rules`` asked in turn, and who has answered what it found."""

from collections.abc import Callable, Iterable

from evidence.judge._identity import answered_by
from evidence.judge.case import Case
from evidence.judge.rules import calibration, declaration, identity, order, photos
from evidence.model.finding import Contradiction
from evidence.model.names import ContradictionRule

RULES: dict[ContradictionRule, Callable[[Case], Iterable[Contradiction]]] = {
    ContradictionRule.DECLARATION_BEFORE_LAST_TEST: declaration.before_last_test,
    ContradictionRule.CALIBRATION_EXPIRED_ON_WORK: calibration.expired_on_work,
    ContradictionRule.PHOTO_OUTSIDE_WORK: photos.outside_work,
    ContradictionRule.SERIAL_DIFFERS: identity.serial_differs,
    ContradictionRule.ORDER_BROKEN: order.order_broken,
    ContradictionRule.TESTED_PAIR_DIFFERS: identity.tested_pair_differs,
    ContradictionRule.VIN_CHECK_DIGIT: identity.vin_check_digit,
    ContradictionRule.SIGNATORY_IS_FITTER: declaration.signatory_is_fitter,
    ContradictionRule.SAME_FILE_TWICE: photos.same_file_twice,
    ContradictionRule.EXHIBIT_CHANGED: photos.changed,
    ContradictionRule.CERTIFICATE_DATE_DIFFERS: calibration.certificate_date_differs,
}
"""Rule to the function that finds its cases."""


def contradictions(case: Case) -> tuple[Contradiction, ...]:
    """Everything that cannot both be right, by id, each once, with the person who answered it."""
    found = {one.id: one for rule in RULES.values() for one in rule(case)}
    return tuple(
        found[identity].model_copy(update={"answered_by": answered_by(identity, case)})
        for identity in sorted(found)
    )
