"""What an exhibit shows, and which files can show it."""

from enum import StrEnum


class Role(StrEnum):
    """What an exhibit shows."""

    WHICH_VEHICLE = "which-vehicle"
    OVERVIEW = "overview"
    HOOK_POSITION = "hook-position"
    LOCK_WINDOW_OPEN = "lock-window-open"
    LOCK_WINDOW_LOCKED = "lock-window-locked"
    LABEL_SYSTEM = "label-system"
    LABEL_STRETCHER = "label-stretcher"
    LABEL_VEHICLE = "label-vehicle"
    SCREWS = "screws"
    WITNESS_MARKS = "witness-marks"
    CHARGING = "charging"
    CLOCK_TICKET = "clock-ticket"
    OTHER_PHOTO = "other-photo"
    WORK_CARD = "work-card"
    TYPE_TEST_REPORT = "type-test-report"
    TYPE_TEST_CERTIFICATE = "type-test-certificate"
    FLOOR_TEST_REPORT = "floor-test-report"
    CALIBRATION_CERTIFICATE = "calibration-certificate"
    QUALIFICATION = "qualification"
    MANUAL_EXTRACT = "manual-extract"
    DATA_SHEET = "data-sheet"
    DECLARATION = "declaration"
    DELIVERY_NOTE = "delivery-note"
    CONCESSION = "concession"
    OTHER_DOCUMENT = "other-document"
    CYCLE_LOG = "cycle-log"
    TORQUE_LOG = "torque-log"
    PULL_LOG = "pull-log"
    TEST_CHANNEL = "test-channel"


_PHOTO, _PAPER, _SHEET = frozenset({"photo"}), frozenset({"document"}), frozenset({"table"})
ROLE_KINDS: dict[Role, frozenset[str]] = {
    **dict.fromkeys(Role, _PAPER),
    **dict.fromkeys(
        (
            Role.WHICH_VEHICLE,
            Role.OVERVIEW,
            Role.HOOK_POSITION,
            Role.LOCK_WINDOW_OPEN,
            Role.LOCK_WINDOW_LOCKED,
            Role.LABEL_SYSTEM,
            Role.LABEL_STRETCHER,
            Role.LABEL_VEHICLE,
            Role.SCREWS,
            Role.WITNESS_MARKS,
            Role.CHARGING,
            Role.CLOCK_TICKET,
            Role.OTHER_PHOTO,
        ),
        _PHOTO,
    ),
    # papers of the workshop floor, which people photograph because the scanner is in the office
    **dict.fromkeys(
        (
            Role.WORK_CARD,
            Role.CALIBRATION_CERTIFICATE,
            Role.QUALIFICATION,
            Role.DELIVERY_NOTE,
            Role.OTHER_DOCUMENT,
        ),
        _PAPER | _PHOTO,
    ),
    **dict.fromkeys((Role.CYCLE_LOG, Role.TORQUE_LOG), _SHEET | _PAPER),
    **dict.fromkeys((Role.PULL_LOG, Role.TEST_CHANNEL), _SHEET | frozenset({"channels"})),
}
"""Role to the kinds of file (``Item.kind``) that can show it; a file of another kind proves nothing there."""
_OF_THE_VEHICLE = frozenset({Role.WHICH_VEHICLE, Role.LABEL_VEHICLE, Role.CLOCK_TICKET})
PLACE_ROLES = frozenset(
    role
    for role, kinds in ROLE_KINDS.items()
    if (kinds == _PHOTO or "table" in kinds) and role not in _OF_THE_VEHICLE
)
"""Roles of what shows one stretcher place only: photos and logs of the work; papers can be about all places."""
WINDOW_ROLES = {"locked": Role.LOCK_WINDOW_LOCKED, "open": Role.LOCK_WINDOW_OPEN}
"""Role of the photo that shows a lock window in each state."""
KEY_PHOTO_ROLES = frozenset({Role.HOOK_POSITION, Role.LOCK_WINDOW_OPEN, Role.LOCK_WINDOW_LOCKED})
"""Roles of photos that must show which vehicle they are of."""
LABEL_ROLES = frozenset({Role.LABEL_SYSTEM, Role.LABEL_STRETCHER, Role.LABEL_VEHICLE})
CODE_ROLES = KEY_PHOTO_ROLES | LABEL_ROLES | {Role.WHICH_VEHICLE, Role.OVERVIEW, Role.CLOCK_TICKET}
"""Roles of photos that are expected to show a code: the ticket, or a label with one."""
