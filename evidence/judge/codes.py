"""Every reason that judging gives, with the parameters its sentence may name; the catalogue has one sentence for each.

A reason with an unknown code, or without a promised parameter, is a fault of the program and stops it.
"""

from collections.abc import Mapping

from evidence.model.finding import Parameter, Reason
from evidence.model.names import ContradictionRule, Role

_APPLICABILITY = {
    "not-for-this-vehicle": ("expected", "fact", "found"),
    "route-not-taken": ("compared", "taken"),
    "nothing-recorded": ("kind",),
    "fact-not-stated": ("fact", "subject"),
    "fact-illegible": ("fact", "subject"),
    "all-parts-met": ("count",),
}
_EVIDENCE = {
    **{f"missing-{role.value}": ("subject",) for role in Role},
    "missing-evidence": ("roles", "subject"),
    "too-few-files": ("at_least", "found", "roles", "subject"),
    "evidence-open": ("exhibits", "state"),
    "evidence-promised": ("by", "exhibits", "from"),
    "file-missing": ("exhibits",),
    "file-withdrawn": ("exhibits",),
    "file-moved-out": ("cause", "exhibits", "job"),
    "not-yet-known": ("entry", "known_on"),
    "document-later": ("day", "entry", "found"),
    "recorded-for-vehicle": ("entries", "subject"),
    "which-vehicle": ("exhibits", "subject"),
    "exhibit-wrong-kind": ("exhibits", "expected", "found"),
    "exhibit-illegible": ("exhibits",),
    "exhibit-unreadable": ("cause", "exhibits"),
    "exhibit-needs-extra": ("exhibits",),
    "file-changed": ("exhibits",),
    "claims-not-recorded": ("exhibits",),
    "claim-not-stated": ("claim", "document"),
    "claim-open": ("claim", "document", "state"),
    "claim-illegible": ("claim", "document"),
    "claim-nobody-read": ("claim", "document", "page"),
    "claim-page-beyond": ("claim", "document", "page", "pages"),
    "value-not-recorded": ("quantity", "subject"),
    "value-open": ("entry", "state"),
    "value-illegible": ("entry",),
    "torque-not-recorded": ("number", "screws"),
    "time-open": ("entry", "state"),
    "time-illegible": ("entry",),
}
_WINDOW = {
    "window-shows-locked": ("exhibits", "locked", "open", "unknown"),
    "window-shows-open": ("exhibits", "locked", "open", "unknown"),
    "window-shows-other": ("asked", "exhibits", "locked", "open", "unknown"),
    "window-read-by-person": ("by", "cause", "exhibits", "reads"),
    "window-read-as-other": ("asked", "by", "cause", "exhibits", "reads"),
    "window-not-read": ("asked", "cause", "exhibits"),
}
_PHOTO = {
    "photo-agrees": ("en", "exhibits", "expanded_uncertainty", "value"),
    "photo-differs": ("en", "exhibits", "expanded_uncertainty", "value"),
    "photo-too-coarse": ("en", "exhibits", "expanded_uncertainty", "value"),
    "photo-without-tolerance": ("en", "exhibits", "expanded_uncertainty", "value"),
    "photo-told-first": ("exhibits", "recorded"),
    "photo-oblique": ("exhibits",),
    "photo-not-usable": ("exhibits",),
    "photo-unmeasurable": ("cause", "exhibits"),
    "photo-card-not-recorded": ("subject",),
    "photo-card-in-doubt": ("cause", "entry"),
    "gauge-not-checked": ("day", "instrument"),
    "gauge-check-old": ("checked", "day", "instrument", "until"),
    "gauge-expired": ("day", "expires", "instrument"),
    "gauge-expiry-not-recorded": ("instrument",),
    "gauge-zero-off": ("checked", "error", "instrument", "limit"),
    "gauge-zero-unsure": ("checked", "instrument", "limit", "uncertainty"),
    "gauge-zero-uncertainty-not-stated": ("checked", "instrument"),
    "photo-beside-unknown-uncertainty": ("exhibits",),
}
_LIMITS = {
    "limit-not-held": (),
    "limit-not-confirmed": ("compared", "mark"),
    "practice-compared": ("compared",),
    "no-tolerance": ("nominal", "value"),
    "processing-not-done": ("processing",),
    "within-limits": ("high", "low", "value"),
    "at-least-minimum": ("low", "value"),
    "at-most-maximum": ("high", "value"),
    "outside-limits": ("high", "low", "value"),
    "under-minimum": ("low", "value"),
    "over-maximum": ("high", "value"),
    "uncertainty-spans-limit": ("expanded_uncertainty", "limit", "value"),
    "uncertainty-unknown": ("value",),
    "outside-instrument-range": ("instrument", "value"),
    "outside-tool-range": ("entry", "high", "instrument", "low", "value"),
    "instrument-wrong-kind": ("entry", "expected", "found", "instrument"),
}
_TYPES = {
    "evidence-there": ("found",),
    "fields-complete": ("document",),
    "fields-missing": ("document", "fields"),
    "fields-illegible": ("document", "fields"),
    "inside-corridor": ("at", "exhibit", "margin"),
    "outside-corridor": ("at", "exhibit", "margin"),
    "corridor-unordered": (),
    "not-a-table": ("exhibit",),
    "column-missing": ("column", "exhibit"),
    "column-unit-missing": ("column", "exhibit", "expected"),
    "column-unit": ("column", "exhibit", "expected", "found"),
    "channel-too-short": ("exhibit",),
    "fact-matches": ("fact", "found"),
    "fact-differs": ("expected", "fact", "found"),
    "fact-not-excluded": ("fact", "found"),
    "fact-excluded": ("excluded", "fact", "found"),
    "cycles-not-recorded": ("kind", "subject"),
    "counted-enough": ("at_least", "found"),
    "too-few-counted": ("at_least", "found"),
    "faults-seen": ("allowed", "faults", "found"),
    "valid-on-day": ("day", "entry"),
    "expired-on-day": ("day", "entry", "last_day"),
    "not-yet-valid-on-day": ("day", "entry", "first_day"),
    "calibration-after-use": ("day", "entry", "first_day"),
    "calibration-not-recorded": ("entry",),
    "calibration-illegible": ("entry",),
    "interval-not-recorded": ("entry",),
    "declaration-not-calibration": ("documents", "entry"),
    "tool-cycles-not-recorded": ("cycles", "entry"),
    "tool-cycles-within": ("cycles", "entry", "found", "use"),
    "tool-cycles-exceeded": ("cycles", "entry", "found", "use"),
    "tool-cycles-undecided": ("cycles", "entry", "use"),
    "qualification-not-recorded": ("entry", "qualification"),
    "qualification-of-another": ("entry", "exhibits", "found"),
    "locker-not-recorded": ("entry",),
    "use-by-not-recorded": ("entry",),
    "use-by-illegible": ("entry",),
    "event-not-recorded": ("event",),
    "no-concession": (),
    "in-order": ("after", "before"),
    "out-of-order": ("after", "before"),
    "order-undecided": ("after", "before"),
    "gap-long-enough": ("after", "at_least", "before"),
    "gap-too-short": ("after", "at_least", "before"),
    "gap-undecided": ("after", "at_least", "before"),
    "step-not-recorded": ("step", "subject"),
    "reopened": ("redone", "step"),
    "reopened-undecided": ("redone", "step"),
    "reopened-undated": ("evidence", "redone"),
    "covered": ("claim", "found"),
    "covers-other": ("claim", "expected", "found"),
    "outside-report": ("claim", "document", "expected", "found"),
    "stated": ("by", "function"),
    "not-stated": ("function", "statement"),
    "stated-by-other": ("by", "function", "statement"),
}
_LOOSE_ENDS = {
    "loose-field": ("place", "state"),
    "loose-release": (),
    "loose-declaration": (),
    "loose-overdue": ("by", "place", "state"),
    "loose-promised": ("by", "from", "place"),
    "loose-illegible": ("place",),
    "loose-typed-once": ("place",),
    "loose-card-row": ("place",),
    "loose-clock-unread": ("place",),
    "loose-loaner-overdue": ("by", "place"),
}
REASON_CODES: Mapping[str, tuple[str, ...]] = {
    **_APPLICABILITY,
    **_EVIDENCE,
    **_LIMITS,
    **_PHOTO,
    **_WINDOW,
    **_TYPES,
    **_LOOSE_ENDS,
}
"""Code to the parameters that are always there."""

_R = ContradictionRule
_CLOCKS = ("first", "first_at", "first_claimed", "minutes", "second", "second_at", "second_claimed")
CONTRADICTION_CODES: Mapping[str, tuple[str, ...]] = {
    _R.DECLARATION_BEFORE_LAST_TEST.value: ("declared", "entry", "tested"),
    _R.CALIBRATION_EXPIRED_ON_WORK.value: ("entry", "instrument", "last_day", "used"),
    _R.PHOTO_OUTSIDE_WORK.value: ("exhibit", "first_day", "last_day", "taken"),
    _R.PHOTO_AGAINST_VALUE.value: ("entry", "exhibit", "found", "recorded"),
    _R.WINDOW_AGAINST_READING.value: ("exhibit", "found", "person", "recorded"),
    _R.SERIAL_DIFFERS.value: ("claimed", "document", "recorded", "subject"),
    _R.ORDER_BROKEN.value: ("after", "after_time", "before", "before_time", "subject"),
    _R.TESTED_PAIR_DIFFERS.value: ("document", "fitted", "subject", "tested"),
    _R.VIN_CHECK_DIGIT.value: ("expected", "found", "vin"),
    _R.SIGNATORY_IS_FITTER.value: ("entry", "person"),
    _R.SAME_FILE_TWICE.value: ("first", "second"),
    _R.SAME_PICTURE_TWICE.value: ("first", "second"),
    _R.EXHIBIT_CHANGED.value: ("exhibit",),
    _R.CAMERA_CLOCK_JUMPED.value: _CLOCKS,
    "camera-clock-after-filing": _CLOCKS,
    _R.QUALIFICATION_ENDED.value: ("day", "entry", "last_day", "person", "qualification"),
    _R.CARD_PAGE_BEYOND.value: ("entries", "exhibit", "page", "pages"),
    _R.CERTIFICATE_DATE_DIFFERS.value: ("claimed", "document", "instrument", "recorded"),
    _R.CLAIM_NOT_ON_PAGE.value: ("claim", "document", "page", "value"),
    "claim-on-other-page": ("claim", "document", "found", "page", "value"),
    _R.RELEASE_BEFORE_LAST_WORK.value: ("done", "entry", "released"),
    _R.SCREWS_DIFFER_FROM_MANUAL.value: ("expected", "fact", "recorded", "subject"),
    _R.CURE_TIME_DIFFERS.value: ("claimed", "document", "expected"),
    _R.TYPED_TWICE_DIFFERS.value: ("by", "first", "place", "second", "subject"),
    _R.LOT_DIFFERS.value: ("claimed", "document", "recorded", "subject"),
    _R.LABEL_DIFFERS.value: ("exhibit", "found", "recorded", "subject"),
    _R.PHOTO_OF_ANOTHER_VEHICLE.value: ("exhibit", "expected", "found"),
    "photo-of-another-place": ("exhibit", "expected", "found"),
    "photo-ticket-not-printed": ("exhibit", "expected", "found"),
    _R.PROFILE_NOT_IN_FORCE.value: ("bound", "day", "entries", "profile", "span"),
    "profile-not-yet-in-force": ("bound", "day", "entries", "profile", "span"),
    _R.VIN_WITHOUT_PHOTO.value: ("build", "vin"),
    "vin-photo-unusable": ("exhibit", "vin"),
    _R.STAGE_OUT_OF_ORDER.value: ("done", "earlier", "entry", "finished", "later"),
    "stage-finished-early": ("done", "earlier", "finished", "later"),
    _R.STRETCHER_NOT_APPROVED.value: ("expected", "model", "source", "subject"),
    _R.ANSWER_WITHOUT_CONTRADICTION.value: ("answer", "by", "open"),
    # the one rule with a code for each of its reasons: concession-not-in-force
    "concession-requirement-unknown": ("concession", "requirement"),
    "concession-other-subject": ("asked", "concession", "requirement", "subject"),
    "concession-wrong-authority": ("authority", "concession", "expected", "requirement"),
    "concession-authority-not-named": ("authority", "concession"),
    "concession-later": ("at", "concession", "day"),
    "concession-ended": ("concession", "day", "until"),
    "concession-paper-unusable": ("concession", "exhibit"),
    "concession-permit-late": ("at", "concession", "worked"),
    "concession-limit-exceeded": ("concession", "found", "limits", "requirement"),
    "concession-limit-undecided": ("concession", "found", "limits", "requirement"),
    "concession-limit-of-another-kind": ("concession", "limits", "requirement"),
    "concession-limits-crossed": ("concession", "limits"),
    "concession-permit-before-unknown": ("at", "concession", "subject"),
}
"""Code, which is the rule's own name where a rule has one reason only, to the parameters that are always there."""


def because(code: str, /, **parameters: Parameter) -> Reason:
    """A reason with a known code and at least the parameters that its sentence names.

    Raises:
        ValueError: the code is not listed, or a promised parameter is absent.
    """
    promised = REASON_CODES.get(code, CONTRADICTION_CODES.get(code))
    if promised is None or not set(promised) <= set(parameters):
        raise ValueError(f"{code}: {sorted(parameters)}")
    return Reason(code=code, parameters=dict(sorted(parameters.items())))


def all_codes() -> tuple[str, ...]:
    """Every code of a finding or contradiction, sorted."""
    return tuple(sorted({*REASON_CODES, *CONTRADICTION_CODES}))
