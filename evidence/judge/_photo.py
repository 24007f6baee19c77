"""What the photos of a place say of a value that was recorded there: agreement, disagreement, or nothing.

The recorded value decides; a photo only corroborates it (E_n of ISO/IEC 17043, which is at most one where
they agree), and only
where both expanded uncertainties are at most a quarter of the tolerance and the value stood in the record before the
photo's own was told to anybody. Everything is an exact fraction.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from evidence.judge._evidence import exhibit_stop
from evidence.judge._gauge_card import card_doubt
from evidence.judge._uncertainty import Measured
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.model.criterion import Within
from evidence.model.finding import Finding, Parameter, Reason
from evidence.model.intake import IntakeEvent
from evidence.model.measurement import Measurement, measurement_id
from evidence.model.names import RestsOn
from evidence.model.record import Characteristic
from evidence.quantity import Dimension, Quantity, parse
from evidence.uncertainty import normalized_error_squared

SHARE = 4  # both uncertainties times this must fit the tolerance, half the width between the limits


@dataclass(frozen=True)
class Compared:
    """A photo's value beside a recorded one.

    Attributes:
        photo: the photo's value and expanded uncertainty.
        certain: whether they differ by more than their uncertainties and the plane's margin allow.
        en: E_n without its sign, two decimals, rounded down.
        agree: whether it is at most one.
    """

    photo: Measured
    certain: bool
    en: str
    agree: bool


def with_photo(
    finding: Finding, criterion: Within, values: Sequence[tuple[Characteristic, Measured]], case: Case
) -> Finding:
    """The finding with what the photos of its place say of the values that it rests on."""
    key = (criterion.quantity, finding.subject)
    measurement = case.measurements.get(key)
    if not criterion.corroborated_by or measurement is None or not values:
        return finding
    said = _said(criterion, measurement, finding.subject, values, case)
    agrees = said.code == "photo-agrees"
    rests = {*finding.rests_on, RestsOn.MEASURED} if agrees and finding.rests_on else set(finding.rests_on)
    return finding.model_copy(
        update={
            "measurement": measurement_id(*key),
            "corroboration": said,
            "rests_on": tuple(sorted(rests)),
            "exhibits": tuple(sorted({*finding.exhibits, *measurement.exhibits})),
        }
    )


def compared(measurement: Measurement, value: Measured) -> Compared | None:
    """A photo's value beside a recorded one; None where either, or how well it is known, is missing."""
    if measurement.value is None or value.expanded is None:
        return None
    photo = of_measurement(measurement)
    if photo.expanded is None:
        return None
    apart = abs(photo.value.base - value.value.base)
    spreads = photo.expanded.base, value.expanded.base
    square = normalized_error_squared(apart, *spreads)
    margin = Fraction(measurement.plane_margin or "0") / 1000  # base of a length is the metre
    return Compared(
        photo=photo,
        certain=apart > margin and normalized_error_squared(apart - margin, *spreads) > 1,
        en=_hundredths(square),
        agree=square <= 1,
    )


def of_measurement(measurement: Measurement) -> Measured:
    """Value and expanded uncertainty of a measurement that has them.

    Raises:
        ValueError: the photo could not be measured.
    """
    if measurement.value is None or measurement.expanded_uncertainty is None or measurement.unit is None:
        raise ValueError(measurement.quantity)
    return Measured(
        _quantity(measurement.value, measurement.unit),
        _quantity(measurement.expanded_uncertainty, measurement.unit),
    )


def told_first(measurement: Measurement, values: Iterable[Characteristic], case: Case) -> str | None:
    """What stood in the record when a photo was first measured, where that is no longer what stands there."""
    now = recorded_text(values)
    lines = [
        entry
        for entry in case.intake.entries
        if entry.event == IntakeEvent.MEASURE and entry.id in measurement.exhibits
    ]
    return next((line.recorded or "" for line in lines if line.recorded != now), None)


def recorded_text(values: Iterable[Characteristic]) -> str:
    """The values of a quantity as they stand in the record, for the intake log."""
    return "; ".join(f"{one.id} {one.quantity.text}" for one in values if one.quantity is not None)


def _said(
    criterion: Within,
    measurement: Measurement,
    subject: str,
    values: Sequence[tuple[Characteristic, Measured]],
    case: Case,
) -> Reason:
    silent = _silent(measurement, subject, [entry for entry, _ in values], case)
    pairs = [compared(measurement, value) for _, value in values]
    found = [pair for pair in pairs if pair is not None]
    if silent is not None or len(found) < len(pairs):
        return silent or because("photo-beside-unknown-uncertainty", exhibits=measurement.exhibits)
    worst = max(found, key=lambda pair: Fraction(pair.en))
    shown: dict[str, Parameter] = {
        "exhibits": measurement.exhibits,
        "value": worst.photo.value.json(),
        "expanded_uncertainty": worst.photo.expanded.json() if worst.photo.expanded else "",
        "en": worst.en,
    }
    if not worst.agree:
        return because("photo-differs", **shown)
    return _fine_enough(criterion, worst.photo, [value for _, value in values], shown)


def _silent(
    measurement: Measurement, subject: str, values: Sequence[Characteristic], case: Case
) -> Reason | None:
    """Why a photo says nothing about values that stand in the record, if it does not."""
    exhibits = measurement.exhibits
    if measurement.reason is not None:
        return because("photo-unmeasurable", exhibits=exhibits, cause=measurement.reason.code)
    if any(exhibit_stop(exhibit, case) for exhibit in exhibits):
        return because("photo-not-usable", exhibits=exhibits)
    if not measurement.decides:
        return because("photo-oblique", exhibits=exhibits)
    doubt = card_doubt(subject, case)
    if doubt is not None:
        return doubt
    before = told_first(measurement, values, case)
    return because("photo-told-first", exhibits=exhibits, recorded=before) if before is not None else None


def _fine_enough(
    criterion: Within, photo: Measured, values: Sequence[Measured], shown: dict[str, Parameter]
) -> Reason:
    low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
    if low is None or high is None:
        return because("photo-without-tolerance", **shown)
    tolerance = (high.base - low.base) / 2
    widest = max(each.expanded.base for each in (photo, *values) if each.expanded is not None)
    if widest * SHARE > tolerance:
        return because("photo-too-coarse", **shown)
    return because("photo-agrees", **shown)


def _quantity(number: str, unit: str) -> Quantity:
    return parse(f"{number} {unit}", Dimension.LENGTH)


def _hundredths(square: Fraction) -> str:
    """Root of a fraction to two decimals, rounded down."""
    whole = isqrt(square.numerator * 10_000 // square.denominator)
    return f"{whole // 100}.{whole % 100:02d}"
