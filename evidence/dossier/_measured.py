"""What photos measured at one place, beside what was recorded there; lengths in the words of their reader."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from evidence import uncertainty
from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.judge._uncertainty import Measured, of_characteristic
from evidence.measuring import HOOK
from evidence.model.criterion import Within
from evidence.model.finding import Finding, Parameter, Reason
from evidence.model.manifest import ManifestMeasurement
from evidence.model.measurement import Measurement, View
from evidence.model.names import CharacteristicName, Role
from evidence.model.record import Characteristic
from evidence.quantity import Quantity, converted, decimal_text, read_decimal
from evidence.register.demand import Demand

MM_DECIMALS, INCH_DECIMALS = 3, 3  # of lengths that were typed in the other unit
_INCHES = frozenset({"in", "ft"})
_MM = Fraction(1000)  # of the base unit of lengths

Recorded = tuple[Characteristic, Measured]


@dataclass(frozen=True)
class Judged:
    """A finding about a place's hook position, with what was asked.

    Attributes:
        number: of the finding in the matrix.
        demand: what was asked; None where the demands do not hold it.
    """

    number: int
    finding: Finding
    demand: Demand | None

    @property
    def criterion(self) -> Within | None:
        """The limits; None where no quantity is compared with any."""
        criterion = None if self.demand is None else self.demand.criterion
        return criterion if isinstance(criterion, Within) and criterion.limit == "held" else None


@dataclass(frozen=True)
class Place:
    """One place with its hook position.

    Attributes:
        subject: id of the place.
        entry: what its photos gave; None where they were not measured.
        photos: ids of the photos filed for it.
        values: recorded ones, those that were judged where any were.
        judged: findings about them.
    """

    subject: str
    entry: ManifestMeasurement | None
    photos: tuple[str, ...]
    values: tuple[Recorded, ...]
    judged: tuple[Judged, ...]

    @property
    def measurement(self) -> Measurement | None:
        """What its photos gave."""
        return None if self.entry is None else self.entry.measurement

    @property
    def lengths(self) -> "Lengths":
        """How lengths are written here."""
        return Lengths(inches=any(value.value.unit.symbol in _INCHES for _, value in self.values))


def places(source: DossierInput, index: Index) -> tuple[Place, ...]:
    """Places whose hook position is asked for, recorded, photographed or measured, in the record's order."""
    measured = {each.subject: each for each in source.manifest.measurements if each.quantity == HOOK}
    named = [position.id for position in source.record.positions]
    found = [
        _place(subject, measured.get(subject), source, index)
        for subject in dict.fromkeys([*named, *measured])
    ]
    return tuple(place for place in found if place.entry or place.photos or place.values or place.judged)


def _place(subject: str, entry: ManifestMeasurement | None, source: DossierInput, index: Index) -> Place:
    judged = tuple(
        Judged(number, finding, index.demands.get(finding.requirement))
        for number, finding in enumerate(index.findings)
        if finding.subject == subject and _about_hook(finding, index)
    )
    photos = tuple(
        exhibit.id
        for exhibit in source.manifest.exhibits
        if exhibit.role == Role.HOOK_POSITION and exhibit.subject == subject and exhibit.kind == "photo"
    )
    return Place(subject, entry, photos, _values(subject, judged, source), judged)


def _about_hook(finding: Finding, index: Index) -> bool:
    demand = index.demands.get(finding.requirement)
    return demand is not None and isinstance(demand.criterion, Within) and demand.criterion.quantity == HOOK


def _values(subject: str, judged: Sequence[Judged], source: DossierInput) -> tuple[Recorded, ...]:
    recorded = [
        value
        for value in source.record.characteristics
        if value.name == CharacteristicName.HOOK_POSITION and value.quantity is not None
    ]
    used = {name for each in judged for name in each.finding.records}
    own = [value for value in recorded if value.id in used]
    # what no finding used is still what stands in the record
    own = own or [value for value in recorded if value.subject in (subject, "vehicle")]
    return tuple((value, of_characteristic(value, source.record)) for value in own)


@dataclass(frozen=True)
class Lengths:
    """Writes lengths in mm, with inches beside them where the record has inches."""

    inches: bool

    def quantity(self, value: Quantity) -> str:
        """A length that somebody typed: in mm, with what was typed where that was another unit."""
        if value.unit.symbol != "mm":
            return f"{decimal_text(round(value.base * _MM, MM_DECIMALS))} mm ({value.text.strip()})"
        return f"{value} ({_inch(value.number)} in)" if self.inches else str(value)

    def interval(self, value: Quantity, spread: Quantity | None) -> str:
        """A recorded value with its expanded uncertainty, if that is known."""
        if spread is None:
            return self.quantity(value)
        lead, _, typed = self.quantity(value).partition(" (")
        return f"{lead} ± {millimetres(spread)} mm" + (f" ({typed}" if typed else "")

    def measured(self, measurement: Measurement) -> str:
        """What a photo gave, two digits of its uncertainty; empty where it gave nothing."""
        if measurement.value is None or measurement.expanded_uncertainty is None:
            return ""
        value, spread = printed(measurement.value, measurement.expanded_uncertainty)
        text = f"{value} mm ± {spread} mm"
        return f"{text} ({_inch(value)} in ± {_inch(spread)} in)" if self.inches else text


def millimetres(value: Quantity) -> str:
    """The number of a length in mm, as typed where it was typed so."""
    if value.unit.symbol == "mm":
        return value.number
    return decimal_text(round(value.base * _MM, MM_DECIMALS))


def _inch(number: str) -> str:
    return converted(number, "mm", "in", INCH_DECIMALS) or number


def printed(value: str, spread: str) -> tuple[str, str]:
    """Value and expanded uncertainty with two digits of the latter, which a document carries with more."""
    return uncertainty.printed(Decimal(value), Decimal(spread))


def shortened(reason: Reason) -> Reason:
    """A reason whose value and uncertainty are written as the page writes them."""
    parameters: dict[str, Parameter] = dict(reason.parameters)
    value, spread = parameters.get("value"), parameters.get("expanded_uncertainty")
    if not isinstance(value, Mapping) or not isinstance(spread, Mapping) or value["unit"] != spread["unit"]:
        return reason
    texts = printed(value["value"], spread["value"])
    parameters["value"] = {**value, "value": texts[0]}
    parameters["expanded_uncertainty"] = {**spread, "value": texts[1]}
    return reason.model_copy(update={"parameters": parameters})


def steepest(measurement: Measurement) -> View | None:
    """The photo from nearest to straight above, which says most; None where none was measured."""
    return min(measurement.views, key=lambda view: abs(read_decimal(view.obliqueness)), default=None)


def conformance(value: Measured, criterion: Within) -> float | None:
    """Probability that the true value lies within the limits; None where the recorded value does not tell it."""
    low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
    unusable = value.expanded is None or value.out_of_range_of is not None
    if unusable or value.expanded is None or (low is None and high is None):
        return None
    return uncertainty.conformance_probability(
        float(value.value.base),
        float(value.expanded.base) / uncertainty.STATED_FACTOR,
        None if low is None else float(low.base),
        None if high is None else float(high.base),
    )


def percentage(probability: float) -> str:
    """A probability with one decimal; what would be all or nothing is told as beyond the last figure."""
    if probability > 0.999:  # noqa: PLR2004 - 99.9 %
        return ">99.9 %"
    if probability < 0.001:  # noqa: PLR2004 - 0.1 %
        return "<0.1 %"
    return f"{probability * 100:.1f} %"
