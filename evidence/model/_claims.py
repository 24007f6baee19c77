"""What documents can say: the closed list of claims, and what their values are."""

from enum import StrEnum

from evidence.quantity import Dimension


class ClaimName(StrEnum):
    """What a document says, as somebody transcribed it."""

    TEST_STANDARD = "test-standard"
    AMENDMENT = "amendment"
    REPORT_DATE = "report-date"
    TEST_DATE = "test-date"
    TESTED_FOR = "tested-for"
    SAMPLE_NAME = "sample-name"
    SAMPLE_SERIAL = "sample-serial"
    MANUFACTURER_ADDRESS = "manufacturer-address"
    SYSTEM_MODEL = "system-model"
    SYSTEM_VARIANT = "system-variant"
    SYSTEM_SERIAL = "system-serial"
    STRETCHER_MODEL = "stretcher-model"
    STRETCHER_SERIAL = "stretcher-serial"
    ORIENTATION = "orientation"
    FLOOR = "floor"
    DIRECTIONS = "directions"
    TEST_REQUIREMENT = "test-requirement"
    TEST_PLACE = "test-place"
    TEST_EQUIPMENT = "test-equipment"
    TEST_PROCEDURE = "test-procedure"
    RESULT = "result"
    VERIFYING_DATA = "verifying-data"
    PHOTOGRAPHS = "photographs"
    CONCLUSION = "conclusion"
    WITNESS = "witness"
    SIGNATURE = "signature"
    PEAK_DECELERATION = "peak-deceleration"
    VELOCITY_CHANGE = "velocity-change"
    VELOCITY_CHANGE_FRONTAL = "velocity-change-frontal"
    VELOCITY_CHANGE_SIDE = "velocity-change-side"
    VELOCITY_CHANGE_REAR = "velocity-change-rear"
    PATIENT_EXCURSION = "patient-excursion"
    DISPLACEMENT = "displacement"
    TEST_MASS = "test-mass"
    CARRIED_MASS = "carried-mass"
    LOADING_MASS = "loading-mass"
    DEFORMATION = "deformation"
    LOAD_PATH = "load-path"
    MOUNTING = "mounting"
    TEST_METHOD = "test-method"
    TEST_FACILITY = "test-facility"
    CERTIFIED_TO = "certified-to"
    ITEMS = "items"
    MANUFACTURER = "manufacturer"
    MODEL_NUMBER = "model-number"
    SPECIFICATION_DATA = "specification-data"
    TEST_SUMMARY = "test-summary"
    CERTIFYING_STATEMENT = "certifying-statement"
    DECLARATION_NUMBER = "declaration-number"
    ISSUER = "issuer"
    ISSUER_ADDRESS = "issuer-address"
    DECLARED_OBJECT = "declared-object"
    CONFORMITY_STATEMENT = "conformity-statement"
    REQUIREMENTS_LISTED = "requirements-listed"
    ISSUED_ON = "issued-on"
    ISSUED_AT = "issued-at"
    SIGNATORY_FUNCTION = "signatory-function"
    VALIDITY_LIMITS = "validity-limits"
    INSTRUMENT_SERIAL = "instrument-serial"
    CERTIFICATE_KIND = "certificate-kind"
    CALIBRATED_ON = "calibrated-on"
    TRACEABILITY = "traceability"
    UNCERTAINTY_STATED = "uncertainty-stated"
    LOT = "lot"
    USE_BY = "use-by"
    CURE_TIME = "cure-time"
    UDI = "udi"


CLAIM_DIMENSION: dict[ClaimName, Dimension] = {
    ClaimName.PEAK_DECELERATION: Dimension.ACCELERATION,
    ClaimName.VELOCITY_CHANGE: Dimension.SPEED,
    ClaimName.VELOCITY_CHANGE_FRONTAL: Dimension.SPEED,
    ClaimName.VELOCITY_CHANGE_SIDE: Dimension.SPEED,
    ClaimName.VELOCITY_CHANGE_REAR: Dimension.SPEED,
    ClaimName.PATIENT_EXCURSION: Dimension.LENGTH,
    ClaimName.DISPLACEMENT: Dimension.LENGTH,
    ClaimName.TEST_MASS: Dimension.MASS,
    ClaimName.CARRIED_MASS: Dimension.MASS,
    ClaimName.LOADING_MASS: Dimension.MASS,
    ClaimName.DEFORMATION: Dimension.LENGTH,
    ClaimName.CURE_TIME: Dimension.TIME,
}
CLAIM_DATES = frozenset(
    {
        ClaimName.REPORT_DATE,
        ClaimName.TEST_DATE,
        ClaimName.CALIBRATED_ON,
        ClaimName.USE_BY,
        ClaimName.ISSUED_ON,
    }
)
