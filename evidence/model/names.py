"""Closed lists of words: what a file may say where a word is expected. DEVELOPERS.md lists them; a test compares."""

from enum import StrEnum

from evidence.model._claims import CLAIM_DATES, CLAIM_DIMENSION, ClaimName
from evidence.model._lab_names import (
    LAB_DIMENSION,
    LAB_KIND,
    LAB_USE,
    ChannelUse,
    LabDirection,
    LabKind,
    LabQuantity,
)
from evidence.model._roles import (
    CODE_ROLES,
    KEY_PHOTO_ROLES,
    LABEL_ROLES,
    PLACE_ROLES,
    ROLE_KINDS,
    WINDOW_ROLES,
    Role,
)
from evidence.quantity import Dimension

__all__ = [
    "CHARACTERISTIC_DIMENSION",
    "CLAIM_DATES",
    "CLAIM_DIMENSION",
    "CODE_ROLES",
    "DECIDING_MARKS",
    "INSTRUMENT_DIMENSION",
    "KEY_PHOTO_ROLES",
    "LABEL_ROLES",
    "LAB_DIMENSION",
    "LAB_KIND",
    "LAB_USE",
    "PLACE_ROLES",
    "ROLE_KINDS",
    "WINDOW_ROLES",
    "ChannelUse",
    "CharacteristicName",
    "ClaimName",
    "Closes",
    "ContradictionRule",
    "CycleKind",
    "Fact",
    "FieldWord",
    "Function",
    "Group",
    "InstrumentKind",
    "LabDirection",
    "LabKind",
    "LabQuantity",
    "Mark",
    "Outcome",
    "PartyFunction",
    "ProfileKind",
    "Region",
    "RestsOn",
    "Role",
    "Severity",
    "SubjectKind",
]


class Outcome(StrEnum):
    """What is known about one requirement; a missing answer is never a pass."""

    MET = "met"
    NOT_MET = "not met"
    NOT_SHOWN = "not shown"
    UNDECIDED = "undecided"
    NOT_APPLICABLE = "not applicable"


class RestsOn(StrEnum):
    """What an outcome was decided from."""

    MEASURED = "measured"
    RECORDED = "recorded"
    WITNESSED = "witnessed"
    DOCUMENT = "document"
    STATEMENT = "statement"


class Mark(StrEnum):
    """Where a demand comes from, and so what it may decide."""

    PUBLISHED = "published"
    COMPUTED = "computed"
    SECONDARY = "secondary"
    MEMORY = "memory"
    PRACTICE = "practice"
    CONFIRMED = "confirmed"
    INVENTED = "invented"


DECIDING_MARKS = frozenset({Mark.PUBLISHED, Mark.COMPUTED, Mark.CONFIRMED, Mark.INVENTED})


class Group(StrEnum):
    """Which family a requirement belongs to; only practice stays out of the count of open points."""

    STANDARD = "standard"
    PROFILE = "profile"
    PRACTICE = "practice"


class Closes(StrEnum):
    """Who can close an open point."""

    FITTER = "fitter"
    PAPERWORK = "paperwork"
    SUPERVISOR = "supervisor"
    LABORATORY = "laboratory"
    AGENCY = "agency"
    MAKER = "maker"
    SIGNATORY = "signatory"


class Function(StrEnum):
    """What a person does on the job."""

    FITTER = "fitter"
    SUPERVISOR = "supervisor"
    INSPECTOR = "inspector"
    PAPERWORK = "paperwork"
    SIGNATORY = "signatory"
    WITNESS = "witness"
    AGENCY_OFFICER = "agency-officer"
    LABORATORY = "laboratory"


class PartyFunction(StrEnum):
    """What an organisation is to this vehicle."""

    BASE_BUILDER = "base-builder"
    BUILDER = "builder"
    FITTING_COMPANY = "fitting-company"
    AGENCY = "agency"
    SYSTEM_MAKER = "system-maker"
    STRETCHER_MAKER = "stretcher-maker"
    LABORATORY = "laboratory"
    INSURER = "insurer"


class Region(StrEnum):
    """Where a basis comes from; rules paper size, words and whether the VIN check digit binds."""

    EUROPE = "europe"
    NORTH_AMERICA = "north-america"
    INTERNATIONAL = "international"


class FieldWord(StrEnum):
    """Why a field holds no value."""

    TO_COME = "to come"
    UNKNOWN = "unknown"
    NOT_FITTED = "not fitted"
    ILLEGIBLE = "illegible"


class SubjectKind(StrEnum):
    """What a criterion is asked of."""

    VEHICLE = "vehicle"
    POSITION = "position"
    SCREWS = "screws"
    INSTRUMENT = "instrument"
    PERSON = "person"
    DOCUMENT = "document"


class InstrumentKind(StrEnum):
    """What a value was taken with."""

    CALIPER = "caliper"
    STEEL_RULE = "steel-rule"
    TORQUE_WRENCH = "torque-wrench"
    FORCE_GAUGE = "force-gauge"
    GAUGE_CARD = "gauge-card"
    SCALE = "scale"
    CLOCK = "clock"
    MULTIMETER = "multimeter"
    GO_NO_GO = "go-no-go"


INSTRUMENT_DIMENSION: dict[InstrumentKind, Dimension] = {
    InstrumentKind.CALIPER: Dimension.LENGTH,
    InstrumentKind.STEEL_RULE: Dimension.LENGTH,
    InstrumentKind.TORQUE_WRENCH: Dimension.TORQUE,
    InstrumentKind.FORCE_GAUGE: Dimension.FORCE,
    InstrumentKind.GAUGE_CARD: Dimension.LENGTH,
    InstrumentKind.SCALE: Dimension.MASS,
    InstrumentKind.CLOCK: Dimension.TIME,
    InstrumentKind.MULTIMETER: Dimension.VOLTAGE,
    InstrumentKind.GO_NO_GO: Dimension.COUNT,
}


class CharacteristicName(StrEnum):
    """What a recorded value is of."""

    HOOK_POSITION = "hook-position"
    HEAD_END_CLEARANCE = "head-end-clearance"
    DOOR_CLEARANCE = "door-clearance"
    DECK_HEIGHT = "deck-height"
    PLAY_LENGTHWISE = "play-lengthwise"
    PLAY_CROSSWISE = "play-crosswise"
    PLAY_VERTICAL = "play-vertical"
    PLATE_THICKNESS = "plate-thickness"
    RELEASE_FORCE = "release-force"
    CHARGING_VOLTAGE = "charging-voltage"
    SUPPLY_VOLTAGE = "supply-voltage"
    LEG_CLEARANCE = "leg-clearance"


CHARACTERISTIC_DIMENSION: dict[CharacteristicName, Dimension] = {
    **dict.fromkeys(CharacteristicName, Dimension.LENGTH),
    CharacteristicName.RELEASE_FORCE: Dimension.FORCE,
    CharacteristicName.CHARGING_VOLTAGE: Dimension.VOLTAGE,
    CharacteristicName.SUPPLY_VOLTAGE: Dimension.VOLTAGE,
}


class CycleKind(StrEnum):
    """What was repeated and watched."""

    LOAD_UNLOAD_EMPTY = "load-unload-empty"
    LOAD_UNLOAD_LOADED = "load-unload-loaded"
    FALSE_LOCK = "false-lock"
    BOTH_ENDS = "both-ends"
    MANUAL_RELEASE = "manual-release"
    CHARGING = "charging"
    LEGS_CLEAR = "legs-clear"
    RELEASE_WITHOUT_POWER = "release-without-power"


class Fact(StrEnum):
    """A fact of the record that a rule may read; ``document.<claim>`` is read beside these."""

    VEHICLE_TYPE = "vehicle.type"
    VEHICLE_DRIVE_SIDE = "vehicle.drive-side"
    VEHICLE_BUILD = "vehicle.build"
    VEHICLE_VIN = "vehicle.vin"
    VEHICLE_MODULE_SERIAL = "vehicle.module-serial"
    POSITION_SYSTEM_MODEL = "position.system-model"
    POSITION_SYSTEM_SERIAL = "position.system-serial"
    POSITION_LOADING = "position.loading"
    POSITION_ORIENTATION = "position.orientation"
    POSITION_FLOOR = "position.floor"
    POSITION_TESTED_MODEL = "position.stretcher-tested-with"
    POSITION_APPROVED_MODELS = "position.stretcher-approved"
    POSITION_DELIVERED_MODEL = "position.stretcher-delivered-with"
    SCREWS_THREAD = "screws.thread"
    SCREWS_CLASS = "screws.property-class"
    SCREWS_HEAD = "screws.head"
    SCREWS_COUNT = "screws.count"
    SCREWS_WITNESS_MARKED = "screws.witness-marked"
    SCREWS_LOT = "screws.lot"
    SCREWS_LOCKER = "screws.locker-product"
    SCREWS_LOCKER_LOT = "screws.locker-lot"
    POSITION_SYSTEM_LOT = "position.system-lot"
    POSITION_VARIANT = "position.system-variant"
    POSITION_CARRIED_MASS = "position.carried-mass"
    POSITION_FREE_TRAVEL = "position.free-travel"
    RECORD_PROFILE = "record.profile"


class ProfileKind(StrEnum):
    """What every fitting profile must answer, with an item or with the page where the manual is silent."""

    APPROVED_PAIR = "approved-pair"
    HOOK_POSITION = "hook-position"
    LOCK_WINDOW = "lock-window"
    SCREW_COUNT = "screw-count"
    SCREW_KIND = "screw-kind"
    SCREW_TORQUE = "screw-torque"
    THREAD_LOCKER = "thread-locker"
    CURE = "cure"
    STEP_ORDER = "step-order"
    FUNCTIONAL_CYCLES = "functional-cycles"
    FALSE_LOCK = "false-lock"
    PLAY = "play"
    CHARGING = "charging"
    TOOLS = "tools"
    BOTH_ENDS = "both-ends"
    LEGS = "legs"
    POWER = "power"


class ContradictionRule(StrEnum):
    """Two pieces of evidence that cannot both be right."""

    DECLARATION_BEFORE_LAST_TEST = "declaration-before-last-test"
    CALIBRATION_EXPIRED_ON_WORK = "calibration-expired-on-work"
    PHOTO_OUTSIDE_WORK = "photo-outside-work"
    PHOTO_AGAINST_VALUE = "photo-against-value"
    WINDOW_AGAINST_READING = "window-against-reading"
    SERIAL_DIFFERS = "serial-differs"
    ORDER_BROKEN = "order-broken"
    TESTED_PAIR_DIFFERS = "tested-pair-differs"
    VIN_CHECK_DIGIT = "vin-check-digit"
    SIGNATORY_IS_FITTER = "signatory-is-fitter"
    SAME_FILE_TWICE = "same-file-twice"
    EXHIBIT_CHANGED = "exhibit-changed"
    CERTIFICATE_DATE_DIFFERS = "certificate-date-differs"
    RELEASE_BEFORE_LAST_WORK = "release-before-last-work"
    SCREWS_DIFFER_FROM_MANUAL = "screws-differ-from-manual"
    ANSWER_WITHOUT_CONTRADICTION = "answer-without-contradiction"
    CONCESSION_NOT_IN_FORCE = "concession-not-in-force"
    PROFILE_NOT_IN_FORCE = "profile-not-in-force"
    LABEL_DIFFERS = "label-differs"
    PHOTO_OF_ANOTHER_VEHICLE = "photo-of-another-vehicle"
    TYPED_TWICE_DIFFERS = "typed-twice-differs"
    CLAIM_NOT_ON_PAGE = "claim-not-on-page"
    VIN_WITHOUT_PHOTO = "vin-without-photo"
    STAGE_OUT_OF_ORDER = "stage-out-of-order"
    STRETCHER_NOT_APPROVED = "stretcher-not-approved"
    LOT_DIFFERS = "lot-differs"
    CURE_TIME_DIFFERS = "cure-time-differs"
    QUALIFICATION_ENDED = "qualification-ended"
    CARD_PAGE_BEYOND = "card-page-beyond"
    SAME_PICTURE_TWICE = "same-picture-twice"
    CAMERA_CLOCK_JUMPED = "camera-clock-jumped"
    AUDIT_MOVED = "audit-moved"
    AUDIT_OUTSIDE_RANGE = "audit-outside-range"
    TORQUES_IDENTICAL = "torques-identical"
    RETORQUED_AFTER_CURE = "retorqued-after-cure"
    TORQUE_LOG_DIFFERS = "torque-log-differs"
    CYCLE_LOG_DIFFERS = "cycle-log-differs"
    END_READING_BEYOND = "end-reading-beyond"
    CLAIM_AGAINST_CHANNEL = "claim-against-channel"
    TEST_DATE_DIFFERS = "test-date-differs"
    TEST_MASS_DIFFERS = "test-mass-differs"


class Severity(StrEnum):
    """Whether an unanswered disagreement keeps the job open, or is only told."""

    CONTRADICTION = "contradiction"
    NOTICE = "notice"
