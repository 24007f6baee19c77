"""Which numbers are computed from the channels of a job's tests: for a job folder and for a bundle alike.

Every demand that asks for a number of a test, and every number that a paper claims of one, is computed once from
the channels, rounded once, and kept with how it was had. Judging reads those numbers and computes none itself.

A paper seldom names the filter class of its peak. So a claim is held against every class and every processing that a
demand asks for, and the number that comes nearest is kept, with its processing: a claim that differs from the nearest
differs from all. Claims of static pulls are not recomputed: papers say displacement to what moved and to what stayed.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from evidence.exhibits._base import Reading
from evidence.labbench import Bench
from evidence.measure import pulse
from evidence.measure.figures import CORRIDOR, Asked
from evidence.model.criterion import Criterion, Inside, Processing, Within
from evidence.model.finding import Reason
from evidence.model.names import (
    LAB_KIND,
    LAB_USE,
    ChannelUse,
    ClaimName,
    LabDirection,
    LabKind,
    LabQuantity,
)
from evidence.model.record import Document, JobRecord, LabChannel, LabTest
from evidence.model.result import LabResult
from evidence.quantity import UNITS, Quantity, read_decimal
from evidence.register.demand import Demand, Demands

Results = Mapping[tuple[str, str], LabResult]
"""What asked, a requirement or ``<document>/<claim>``, and id of the test, to what its channels gave."""
COMMON = Fraction(2, 100)  # of a recomputed figure without stated uncertainty; common practice, no source
_CLASSES = (*(str(cfc) for cfc in pulse.CLASSES), "none")


@dataclass(frozen=True)
class Wanted:
    """Which tests can answer a criterion, and which of their channels does."""

    kind: LabKind
    direction: LabDirection
    use: ChannelUse


@dataclass(frozen=True)
class _Claimed:
    """What a claim speaks of: a figure of dynamic tests, and of a direction where its name says so."""

    quantity: LabQuantity
    use: ChannelUse
    direction: LabDirection | None = None


_CHANGE = (LabQuantity.VELOCITY_CHANGE, ChannelUse.PULSE)
_CLAIMS: Mapping[ClaimName, _Claimed] = {
    ClaimName.PEAK_DECELERATION: _Claimed(LabQuantity.PEAK_ACCELERATION, ChannelUse.PULSE),
    ClaimName.VELOCITY_CHANGE: _Claimed(*_CHANGE),
    ClaimName.VELOCITY_CHANGE_FRONTAL: _Claimed(*_CHANGE, LabDirection.FRONTAL),
    ClaimName.VELOCITY_CHANGE_SIDE: _Claimed(*_CHANGE, LabDirection.SIDE),
    ClaimName.VELOCITY_CHANGE_REAR: _Claimed(*_CHANGE, LabDirection.REAR),
    ClaimName.PATIENT_EXCURSION: _Claimed(LabQuantity.EXCURSION, ChannelUse.EXCURSION),
    ClaimName.DISPLACEMENT: _Claimed(LabQuantity.EXCURSION, ChannelUse.DISPLACEMENT),
}


def of_job(
    record: JobRecord, demands: Demands, readings: Mapping[str, Reading]
) -> dict[tuple[str, str], LabResult]:
    """Compute what the demands ask of the tests of a job, and what its papers claim of them.

    Args:
        record: its tests and papers.
        demands: what is asked.
        readings: files as read; a test whose file is absent or holds no channels gives nothing.
    """
    bench = Bench(readings)
    found: list[LabResult] = []
    for test in record.tests:
        reading = readings.get(test.exhibit)
        if reading is not None and reading.item.kind in ("table", "channels"):
            found += (result for demand in demands.criteria for result in _demanded(test, demand, bench))
            found += _claimed(test, record, demands, bench)
    return {(one.asked, one.test): one for one in found}


def wanted(criterion: Criterion) -> Wanted | None:
    """Which tests a criterion asks; None where it asks something else."""
    if isinstance(criterion, Inside) and criterion.direction is not None:
        return Wanted(LabKind.DYNAMIC, criterion.direction, criterion.channel)
    quantity = criterion.lab_quantity if isinstance(criterion, Within) else None
    if not isinstance(criterion, Within) or criterion.direction is None or quantity is None:
        return None
    return Wanted(LAB_KIND[quantity], criterion.direction, criterion.channel or LAB_USE[quantity])


def asked_of(criterion: Criterion) -> Asked | None:
    """What a criterion has computed from a channel of a test; None where it names no corridor to compare with."""
    if isinstance(criterion, Inside):
        upper, lower = (
            tuple((read_decimal(point.x), read_decimal(point.y)) for point in points)
            for points in (criterion.upper, criterion.lower)
        )
        processing = criterion.processing or Processing()
        return Asked(CORRIDOR, processing, criterion.y_unit, upper, lower) if upper or lower else None
    if not isinstance(criterion, Within) or criterion.lab_quantity is None:
        return None
    texts = (criterion.low, criterion.high, criterion.nominal)
    bounds = [bound for bound in map(criterion.bound, texts) if bound is not None]
    unit = bounds[0].unit if bounds else None
    limits = tuple(bound.base / unit.factor for bound in bounds) if unit is not None else ()
    symbol = unit.symbol if unit is not None else ""
    return Asked(criterion.lab_quantity, criterion.processing or Processing(), symbol, limits=limits)


def channel_of(test: LabTest, use: ChannelUse) -> LabChannel | None:
    """The channel of a test with a use; None where the record names none."""
    return next((channel for channel in test.channels if channel.use == use), None)


def claim_names(test: LabTest) -> tuple[ClaimName, ...]:
    """Claims of a paper that can speak of a number of the test."""
    if test.kind != LabKind.DYNAMIC:
        return ()
    return tuple(name for name, one in _CLAIMS.items() if one.direction in (None, test.direction))


def claimed_direction(name: ClaimName) -> LabDirection | None:
    """The direction that a claim has in its name."""
    return _CLAIMS[name].direction


def quantities_of(paper: Document, name: ClaimName) -> tuple[Quantity, ...]:
    """Every legible value of a claim."""
    return tuple(
        claim.quantity for claim in paper.claims if claim.name == name and claim.quantity is not None
    )


def allowed(claimed: Quantity, value: Fraction, expanded: Fraction | None) -> Fraction:
    """How far a claim may lie from the recomputed number and still agree, in the claim's base unit.

    Half a unit of the claim's last digit, and the stated uncertainty of the number, or 2 % of it where none is stated.

    Args:
        claimed: as transcribed.
        value: the number in the base unit.
        expanded: its expanded uncertainty in the base unit, or None.
    """
    return half_digit(claimed) + (expanded if expanded is not None else abs(value) * COMMON)


def half_digit(stated: Quantity) -> Fraction:
    """Half a unit of the last digit of a typed quantity, in its base unit."""
    if "/" in stated.text:  # 4 3/8 is read off a rule divided into eighths
        step = Fraction(1, stated.value.denominator)
    else:
        step = Fraction(1, 10 ** len(stated.number.partition(".")[2]))
    return step / 2 * stated.unit.factor


def apart(result: LabResult, claimed: Quantity) -> tuple[Fraction, Fraction]:
    """How far a claim lies from a computed number, both taken as sizes, and how far it may; in the base unit.

    Args:
        result: computed, in the dimension of the claim.
        claimed: as transcribed.
    """
    factor = UNITS[result.unit or "", claimed.unit.dimension].factor
    value = abs(Fraction(result.value or "0")) * factor
    expanded = Fraction(result.expanded_uncertainty) * factor if result.expanded_uncertainty else None
    return abs(value - abs(claimed.base)), allowed(claimed, value, expanded)


def _demanded(test: LabTest, demand: Demand, bench: Bench) -> Iterator[LabResult]:
    criterion = demand.criterion
    asks = wanted(criterion)
    if asks is None or (asks.kind, asks.direction) != (test.kind, test.direction):
        return
    channel = channel_of(test, asks.use)
    if channel is None:
        return
    asked = asked_of(criterion)
    if asked is not None:
        yield bench.result(test, demand.requirement, channel, asked)


def _claimed(test: LabTest, record: JobRecord, demands: Demands, bench: Bench) -> Iterator[LabResult]:
    paper = next((one for one in record.documents if one.id == test.paper), None)
    for name in claim_names(test) if paper is not None else ():
        claimed = _CLAIMS[name]
        channel = channel_of(test, claimed.use)
        stated = quantities_of(paper, name) if paper is not None else ()
        if paper is None or channel is None or not stated:
            continue
        unit = stated[0].unit.symbol
        tried = [
            bench.result(test, f"{paper.id}/{name.value}", channel, Asked(claimed.quantity, processing, unit))
            for processing in _processings(claimed.quantity, test, demands)
        ]
        yield _nearest(tried, stated)


def _processings(quantity: LabQuantity, test: LabTest, demands: Demands) -> tuple[Processing, ...]:
    """How a paper may have had its figure: every class for a peak, and what demands ask for."""
    usual = _CLASSES if quantity == LabQuantity.PEAK_ACCELERATION else ("none",)
    found = [Processing.read({"cfc": each}) for each in usual]
    for demand in demands.criteria:
        criterion = demand.criterion
        if not isinstance(criterion, Within) or criterion.processing is None:
            continue
        if (criterion.lab_quantity, criterion.direction) == (quantity, test.direction):
            found.append(criterion.processing)
    return tuple(one for at, one in enumerate(found) if one not in found[:at])


def _nearest(tried: Sequence[LabResult], stated: Sequence[Quantity]) -> LabResult:
    """Of several ways to compute a claimed figure the one that bears it out, else the one that comes nearest."""

    def rank(one: LabResult) -> tuple[bool, bool, Fraction]:
        if one.state != "computed":
            return True, True, Fraction(0)
        distances = [apart(one, claim) for claim in stated]
        agrees = any(away <= may for away, may in distances)
        return False, not agrees or bool(one.doubts), min(away for away, _ in distances)

    best = min(tried, key=rank)
    if len({one.value for one in tried}) == 1:  # one number, however it is had
        return best
    told = {*(each.code for each in best.notices), "figure-nearest-to-claim"}
    return best.model_copy(update={"notices": tuple(Reason(code=code) for code in sorted(told))})
