"""Curves of sled runs as a dossier draws them: which channels, processed how, over which stretch, and thinned out.

A pulse is drawn always, another channel where a number was asked of it. Each curve is drawn as it was processed for the
number that decides most: its corridor, else a filtered figure. All curves of a test share one stretch of time: what its
numbers and its corridor span, with room on both sides.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from evidence.exhibits._base import Reading
from evidence.labbench import Bench
from evidence.labtests import Results
from evidence.measure import pulse
from evidence.measure.figures import CORRIDOR
from evidence.measure.outline import Outline, outline
from evidence.model.criterion import Inside, Processing
from evidence.model.names import ChannelUse, LabKind
from evidence.model.record import JobRecord, LabChannel, LabTest
from evidence.model.result import LabResult
from evidence.quantity import UNITS
from evidence.register.demand import Demand, Demands

ROOM = Fraction(1, 4)  # of what must be seen, shown before it and after it
WHOLE = Fraction(1, 2)  # of a record; where that much must be seen, all of it is shown

Stretch = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class DrawnCurve:
    """One channel of a sled run, ready to be drawn.

    Attributes:
        channel: of the test, as the record names and turns it.
        unit: of the values; that of the corridor or of a number, where the channel converts to it.
        processing: what was done to it.
        corridor: requirement whose corridor it is drawn in; empty where none is.
        recorded: what the source had filtered it with.
        samples: of the whole record.
        begin_s: of the whole record, decimal seconds.
        end_s: likewise.
        outline: what is drawn, in ``unit``.
    """

    channel: LabChannel
    unit: str
    processing: Processing
    corridor: str
    recorded: str
    samples: int
    begin_s: str
    end_s: str
    outline: Outline


def curves(
    record: JobRecord, demands: Demands, readings: Mapping[str, Reading], results: Results
) -> dict[str, tuple[DrawnCurve, ...]]:
    """The curves of every sled run of a job that can be drawn, by id of the test, in the order of its channels.

    Args:
        record: its tests.
        demands: what is asked; its corridors.
        readings: files as read.
        results: numbers of the tests, as ``labtests.of_job`` gives them.
    """
    bench = Bench(readings)
    corridors = {demand.requirement: demand for demand in demands.criteria if has_corridor(demand)}
    found = {}
    for test in record.tests:
        if test.kind == LabKind.DYNAMIC and test.exhibit in readings:
            own = sorted((one for one in results.values() if one.test == test.id), key=_first)
            made = tuple(_of_test(test, own, corridors, bench))
            if made:
                found[test.id] = made
    return found


def has_corridor(demand: Demand) -> bool:
    """Whether a demand is a corridor of a test whose break points are known."""
    criterion = demand.criterion
    held = isinstance(criterion, Inside) and criterion.direction is not None
    return held and isinstance(criterion, Inside) and bool(criterion.upper or criterion.lower)


def _first(result: LabResult) -> tuple[bool, bool, bool, str]:
    """Corridors first, then what was computed, then what was filtered for it."""
    filtered = result.processing is not None and result.processing.cfc != "none"
    return result.quantity != CORRIDOR, result.state != "computed", not filtered, result.asked


def _of_test(
    test: LabTest, own: Sequence[LabResult], corridors: Mapping[str, Demand], bench: Bench
) -> Iterator[DrawnCurve]:
    spans = list(_spans(own, corridors))
    for channel in test.channels:
        asked = [one for one in own if one.use == channel.use]
        if channel.use != ChannelUse.PULSE and not asked:
            continue
        processing = (asked[0].processing if asked else None) or Processing()
        curve = bench.curve(test, channel, processing)
        if curve is not None and curve.dimension is not None:
            corridor = asked[0].asked if asked and asked[0].asked in corridors else ""
            yield _drawn(curve, channel, (processing, corridor, _unit(curve, asked)), spans)


def _spans(own: Sequence[LabResult], corridors: Mapping[str, Demand]) -> Iterator[Stretch]:
    for one in own:
        if one.begin_s is not None and one.end_s is not None:
            yield Fraction(one.begin_s), Fraction(one.end_s)
        criterion = corridors[one.asked].criterion if one.asked in corridors else None
        if isinstance(criterion, Inside):
            times = [Fraction(point.x) for point in (*criterion.upper, *criterion.lower)]
            yield min(times), max(times)


def _unit(curve: pulse.Curve, asked: Sequence[LabResult]) -> str:
    known = (one.unit for one in asked if one.unit is not None)
    return next((unit for unit in known if (unit, curve.dimension) in UNITS), curve.unit)


def _drawn(
    curve: pulse.Curve, channel: LabChannel, how: tuple[Processing, str, str], spans: Sequence[Stretch]
) -> DrawnCurve:
    processing, corridor, unit = how
    begin, end = _stretch(curve, spans)
    dimension = curve.dimension
    target = curve.factor if dimension is None else UNITS[unit, dimension].factor
    return DrawnCurve(
        channel=channel,
        unit=unit,
        processing=processing,
        corridor=corridor,
        recorded=curve.recorded,
        samples=len(curve.values),
        begin_s=pulse.moment(curve.start_s),
        end_s=pulse.moment(curve.end_s),
        outline=outline(curve, begin, end, float(curve.factor / target)),
    )


def _stretch(curve: pulse.Curve, spans: Sequence[Stretch]) -> Stretch:
    """What is shown of a record: what must be seen with room around it, or all where that is no more than twice."""
    whole = (curve.start_s, curve.end_s)
    if not spans:
        return whole
    begin, end = min(begin for begin, _ in spans), max(end for _, end in spans)
    if (end - begin) >= WHOLE * (curve.end_s - curve.start_s):
        return whole
    room = (end - begin) * ROOM or WHOLE * (curve.end_s - curve.start_s)
    begin, end = max(begin - room, curve.start_s), min(end + room, curve.end_s)
    return (begin, end) if end - begin >= 2 * curve.interval_s else whole
