"""Contradictions: every rule of the package ``rules`` asked in turn, then the answers to what they found."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import answered_by
from evidence.judge.case import Case
from evidence.judge.rules import (
    answers,
    binding,
    calibration,
    claims,
    clock,
    concession,
    cure,
    cycles,
    declaration,
    identity,
    in_force,
    labels,
    lots,
    measured,
    order,
    photos,
    qualification,
    release,
    screws,
    stages,
    stretchers,
    tests,
    torque_log,
    torques,
    typing,
    windows,
)
from evidence.model.finding import Contradiction, Finding
from evidence.model.names import ContradictionRule

RULES: dict[ContradictionRule, Callable[[Case], Iterable[Contradiction]]] = {
    ContradictionRule.DECLARATION_BEFORE_LAST_TEST: declaration.before_last_test,
    ContradictionRule.CALIBRATION_EXPIRED_ON_WORK: calibration.expired_on_work,
    ContradictionRule.PHOTO_OUTSIDE_WORK: photos.outside_work,
    ContradictionRule.PHOTO_AGAINST_VALUE: measured.photo_against_value,
    ContradictionRule.WINDOW_AGAINST_READING: windows.against_reading,
    ContradictionRule.SERIAL_DIFFERS: identity.serial_differs,
    ContradictionRule.ORDER_BROKEN: order.order_broken,
    ContradictionRule.TESTED_PAIR_DIFFERS: identity.tested_pair_differs,
    ContradictionRule.VIN_CHECK_DIGIT: identity.vin_check_digit,
    ContradictionRule.SIGNATORY_IS_FITTER: declaration.signatory_is_fitter,
    ContradictionRule.SAME_FILE_TWICE: photos.same_file_twice,
    ContradictionRule.SAME_PICTURE_TWICE: photos.same_picture_twice,
    ContradictionRule.EXHIBIT_CHANGED: photos.changed,
    ContradictionRule.CAMERA_CLOCK_JUMPED: clock.jumped,
    ContradictionRule.QUALIFICATION_ENDED: qualification.ended,
    ContradictionRule.CARD_PAGE_BEYOND: typing.card_page_beyond,
    ContradictionRule.CERTIFICATE_DATE_DIFFERS: calibration.certificate_date_differs,
    ContradictionRule.CLAIM_NOT_ON_PAGE: claims.not_on_page,
    ContradictionRule.RELEASE_BEFORE_LAST_WORK: release.before_last_work,
    ContradictionRule.SCREWS_DIFFER_FROM_MANUAL: screws.differ_from_manual,
    ContradictionRule.PROFILE_NOT_IN_FORCE: in_force.not_in_force,
    ContradictionRule.VIN_WITHOUT_PHOTO: binding.vin_without_photo,
    ContradictionRule.STAGE_OUT_OF_ORDER: stages.stage_out_of_order,
    ContradictionRule.STRETCHER_NOT_APPROVED: stretchers.not_approved,
    ContradictionRule.LOT_DIFFERS: lots.differ,
    ContradictionRule.LABEL_DIFFERS: labels.label_differs,
    ContradictionRule.PHOTO_OF_ANOTHER_VEHICLE: labels.photo_of_another_vehicle,
    ContradictionRule.CURE_TIME_DIFFERS: cure.time_differs,
    ContradictionRule.CLAIM_AGAINST_CHANNEL: tests.claim_against_channel,
    ContradictionRule.TEST_DATE_DIFFERS: tests.date_differs,
    ContradictionRule.TEST_MASS_DIFFERS: tests.mass_differs,
    ContradictionRule.TYPED_TWICE_DIFFERS: typing.typed_twice_differs,
    ContradictionRule.AUDIT_MOVED: torques.audit_moved,
    ContradictionRule.AUDIT_OUTSIDE_RANGE: torques.outside_range,
    ContradictionRule.TORQUES_IDENTICAL: torques.identical,
    ContradictionRule.RETORQUED_AFTER_CURE: torques.after_cure,
    ContradictionRule.TORQUE_LOG_DIFFERS: torque_log.differs,
    ContradictionRule.CYCLE_LOG_DIFFERS: cycles.log_differs,
    ContradictionRule.END_READING_BEYOND: cycles.end_reading_beyond,
}
"""Rule to the function that finds its cases."""
RULES_ON_FINDINGS: dict[ContradictionRule, Callable[[Sequence[Finding], Case], Iterable[Contradiction]]] = {
    ContradictionRule.CONCESSION_NOT_IN_FORCE: concession.not_in_force
}
"""Rules that look at what judging found."""
RULES_ON_ANSWERS: dict[
    ContradictionRule, Callable[[Collection[Contradiction], Case], Iterable[Contradiction]]
] = {ContradictionRule.ANSWER_WITHOUT_CONTRADICTION: answers.without_contradiction}
"""Rules that look at what the others found."""


def contradictions(case: Case, findings: Sequence[Finding] = ()) -> tuple[Contradiction, ...]:
    """Everything that cannot both be right, by id, each once, with the person who answered it.

    Args:
        case: all that may be looked at.
        findings: every finding of the case, for the rules that look at them.
    """
    case = _as_known(case)
    found = {one.id: one for rule in RULES.values() for one in rule(case)}
    found |= {one.id: one for rule in RULES_ON_FINDINGS.values() for one in rule(findings, case)}
    found |= {one.id: one for rule in RULES_ON_ANSWERS.values() for one in rule(tuple(found.values()), case)}
    return tuple(
        found[identity].model_copy(update={"answered_by": answered_by(identity, case)})
        for identity in sorted(found)
    )


def _as_known(case: Case) -> Case:
    """The case without the files that nobody had yet: rules look at items whether or not a demand could use them."""
    stops = {exhibit: exhibit_stop(exhibit, case) for exhibit in case.items} if case.known_on else {}
    late = {
        exhibit for exhibit, stop in stops.items() if stop is not None and stop.reason.code == "not-yet-known"
    }
    items = {exhibit: item for exhibit, item in case.items.items() if exhibit not in late}
    return replace(case, items=items, changed=case.changed - late) if late else case
