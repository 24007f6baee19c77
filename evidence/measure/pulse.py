"""Crash pulses: measured channels filtered by class, and the figures that clauses ask of them.

Method id and rules, for whoever computes the same elsewhere:

- Offset: the mean over a stated window is taken away before anything else.
- Filter: channel frequency class in the form of SAE J211-1 or of ISO 6487, see ``_filter``. Before every step that
  is not linear, such as a resultant or a clip.
- Velocity change: trapezoidal integral with g = 9.80665 m/s^2, between limits that stand beside the figure.
- Clip and time above a level: the curve is straight between its samples. ``cumulative`` adds all stretches up,
  ``continuous`` takes the longest one.
- Corridor: every sample in the span of a bound and every break point; no shift in time.
- A figure within 20 ms x 60/class of an end of the record is flagged: there the filter reads what was not recorded.
- Signs stay as recorded. A clip has the sign of the side on which the channel peaks higher.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

import numpy as np

from evidence.errors import InputError
from evidence.jsondoc import Json
from evidence.measure import _bounds, _runs
from evidence.measure._bounds import Points
from evidence.measure._curve import Curve, Recipe, Span, processed, resultant, turned
from evidence.measure._filter import CLASSES, FORMS, Class, Floats, Form
from evidence.quantity import UNITS, Dimension, decimal_text

__all__ = [
    "CLASSES",
    "FORMS",
    "METHOD",
    "Class",
    "Curve",
    "Figure",
    "Form",
    "Margin",
    "Points",
    "Recipe",
    "Span",
    "Summary",
    "clip",
    "corridor",
    "decimal",
    "excursion",
    "moment",
    "peak",
    "processed",
    "pulse_limits",
    "resultant",
    "summary",
    "time_above",
    "turned",
    "velocity_change",
]

METHOD = "pulse/1"
CLIP_SECONDS = Fraction(3, 1000)
DIGITS = 9  # significant ones of a printed figure; the last ones of a double differ between machines
NOISE = 0.05  # of the highest peak; a lesser one is no figure that anybody asks for
TIME_DIGITS = 9  # decimals of a printed time in seconds
SAME = 1e-9  # of a value; what differs by less is the same, so that every machine finds the same moment
PEAK_EDGE, CLIP_EDGE, CHANGE_EDGE = "pulse-peak-near-end", "pulse-clip-near-end", "pulse-delta-v-near-end"

Kind = Literal["cumulative", "continuous"]


@dataclass(frozen=True)
class Figure:
    """One number of a curve.

    Attributes:
        value: in the unit that the function names.
        span: when: of a peak its moment twice, of an integral its limits.
        near_end: whether any of it lies so near an end of the record that the filter guessed.
    """

    value: float
    span: Span
    near_end: bool


@dataclass(frozen=True)
class Margin:
    """Worst margin to a corridor, in the corridor's unit, negative outside; when, and to which bound."""

    value: float
    at_s: Fraction
    side: Literal["upper", "lower"]
    near_end: bool


def peak(curve: Curve, side: Literal["max", "min"]) -> Figure:
    """Greatest or least value, in the curve's unit, and when it is first there."""
    values = curve.values if side == "max" else -curve.values
    moment = curve.time_of(_first_of_highest(values))
    found = float(curve.values.max() if side == "max" else curve.values.min())
    return Figure(found, Span(moment, moment), curve.near_end(moment))


def _first_of_highest(values: Floats) -> int:
    highest = values.max()
    return int((values >= highest - abs(highest) * SAME).argmax())


def pulse_limits(curve: Curve) -> Span:
    """From time zero, or the first sample if that is later, to where the velocity has changed most.

    There the acceleration returns to zero: the first time for good in a pulse of one sign, however much noise
    crosses zero before.
    """
    begin = min(max(Fraction(0), curve.start_s), curve.end_s)
    first = int(-((curve.start_s - begin) // curve.interval_s))
    steps = (curve.values[1:] + curve.values[:-1]) / 2
    change = np.concatenate(([0.0], np.cumsum(steps)))
    change -= change[first]
    at = first + _first_of_highest(np.abs(change[first:]))
    return Span(curve.time_of(first), curve.time_of(at))


def velocity_change(curve: Curve, limits: Span | None = None) -> Figure | None:
    """Velocity change in m/s with the sign of the channel; None where the curve is no acceleration in one direction.

    Args:
        curve: an acceleration.
        limits: of the integral, inside the record; the curve is integrated as it is. Without them, the limits are
            those of the pulse, and what is integrated is the channel before our filter: a filter keeps the whole area
            and moves some of it beyond the limits.

    Raises:
        InputError: pulse-limits.
    """
    if curve.dimension != Dimension.ACCELERATION or not curve.signed:
        return None
    values = curve.values if limits else curve.unfiltered
    span = limits or pulse_limits(curve)
    if not curve.start_s <= span.begin_s <= span.end_s <= curve.end_s:
        raise InputError.one(
            "pulse-limits",
            curve.name,
            found=f"{float(span.begin_s):g} to {float(span.end_s):g} s",
            expected=f"{float(curve.start_s):g} to {float(curve.end_s):g} s",
        )
    area = _area(curve, values, span.end_s) - _area(curve, values, span.begin_s)
    near = curve.near_end(span.begin_s) or curve.near_end(span.end_s)
    return Figure(area * float(curve.factor), span, near)


def _area(curve: Curve, values: Floats, until: Fraction) -> float:
    """Trapezoidal integral from the first sample, in unit times seconds."""
    steps = (until - curve.start_s) / curve.interval_s
    whole = min(int(steps), len(values) - 1)
    part = float(steps - whole)
    area = float(values[: whole + 1].sum() - (values[0] + values[whole]) / 2)
    if part:
        area += part * float(values[whole] + part / 2 * (values[whole + 1] - values[whole]))
    return area * float(curve.interval_s)


def clip(curve: Curve, kind: Kind, duration_s: Fraction = CLIP_SECONDS) -> Figure | None:
    """Level that the curve holds or exceeds for a duration, in its unit, on the side on which it peaks higher.

    None where the record is shorter than the duration.
    """
    sign = -1.0 if -curve.values.min() > curve.values.max() else 1.0
    values = sign * curve.values
    wanted = float(duration_s / curve.interval_s)
    found = (_runs.clip_cumulative if kind == "cumulative" else _runs.clip_continuous)(values, wanted)
    if found is None:
        return None
    level = found - abs(found) * SAME
    begin, end = (_runs.whole_span if kind == "cumulative" else _runs.longest_run)(values, level)
    return Figure(sign * found, *_when(curve, (round(begin, 6), round(end, 6))))


def time_above(curve: Curve, level: float, kind: Kind) -> Figure:
    """Seconds that the curve stays at or beyond a level; a negative level is one to stay below.

    Args:
        curve: a channel or resultant.
        level: in its unit.
        kind: all stretches together, or the longest.
    """
    sign = -1.0 if level < 0 else 1.0
    values = sign * curve.values
    if kind == "continuous":
        bounds = _runs.longest_run(values, sign * level)
        samples = bounds[1] - bounds[0]
    else:
        bounds = _runs.whole_span(values, sign * level)
        samples = _runs.total_above(values, sign * level)
    return Figure(samples * float(curve.interval_s), *_when(curve, bounds))


def _when(curve: Curve, bounds: tuple[float, float]) -> tuple[Span, bool]:
    begin, end = (curve.start_s + Fraction(one) * curve.interval_s for one in bounds)
    return Span(begin, end), curve.near_end(begin) or curve.near_end(end)


def excursion(curve: Curve) -> Figure | None:
    """Furthest distance from the place at time zero, signed, in the curve's unit; None where it is no displacement.

    Where time zero was not recorded, the first sample is that place. The span runs from there to the furthest point.
    """
    if curve.dimension != Dimension.LENGTH:
        return None
    begin = min(max(Fraction(0), curve.start_s), curve.end_s)
    first = int(-((curve.start_s - begin) // curve.interval_s))
    way = curve.values[first:] - curve.values[first]
    at = _first_of_highest(np.abs(way))
    moment = curve.time_of(first + at)
    near = curve.near_end(curve.time_of(first)) or curve.near_end(moment)
    return Figure(float(way[at]), Span(curve.time_of(first), moment), near)


def corridor(curve: Curve, upper: Points, lower: Points, unit: str) -> Margin | None:
    """Worst margin to the bounds of a corridor; None where the record does not span them.

    Args:
        curve: the channel.
        upper: break points in seconds and ``unit``; may be empty.
        lower: likewise; not both.
        unit: of the corridor, of the curve's dimension.

    Raises:
        KeyError: the units do not convert.
    """
    times = curve.times
    bounds = [(points, side) for points, side in _sides(upper, lower) if points]
    if not all(_bounds.spans(times, points) for points, _ in bounds):
        return None
    values = curve.values
    if unit != curve.unit:
        if curve.dimension is None:
            raise KeyError(curve.unit)
        values = values * float(curve.factor / UNITS[unit, curve.dimension].factor)
    found = [_bounds.nearest(times, values, points, side) for points, side in bounds]
    worst = min(found, key=lambda each: (each.margin, each.at_s))
    moment = Fraction(round(worst.at_s * 10**9), 10**9)
    return Margin(worst.margin, moment, worst.side, curve.near_end(moment))


def _sides(
    upper: Points, lower: Points
) -> tuple[tuple[Points, Literal["upper"]], tuple[Points, Literal["lower"]]]:
    return (upper, "upper"), (lower, "lower")


@dataclass(frozen=True)
class Summary:
    """The usual figures of one curve; a figure is None where it makes no sense for the quantity.

    Attributes:
        curve: where they come from.
        peak_max, peak_min: in the curve's unit.
        clip_cumulative, clip_continuous: 3 ms clip of an acceleration, in the curve's unit.
        delta_v: velocity change of the pulse in m/s, with its limits.
    """

    curve: Curve
    peak_max: Figure
    peak_min: Figure
    clip_cumulative: Figure | None
    clip_continuous: Figure | None
    delta_v: Figure | None

    @property
    def warnings(self) -> tuple[str, ...]:
        """Codes of all that a reader should know, doubts among them; sorted."""
        peaks = (self.peak_max, self.peak_min)
        highest = max(abs(one.value) for one in peaks)
        edges = {
            # the lesser peak of a pulse of one sign is noise, wherever it lies
            PEAK_EDGE: tuple(one for one in peaks if abs(one.value) > highest * NOISE),
            CLIP_EDGE: (self.clip_cumulative, self.clip_continuous),
            CHANGE_EDGE: (self.delta_v,),
        }
        near = {
            code for code, found in edges.items() if any(one is not None and one.near_end for one in found)
        }
        return tuple(sorted({*self.curve.doubts, *self.curve.notices, *near}))

    def document(self) -> dict[str, Json]:
        """The channel as ``pulse --json`` prints it; every number is a decimal string, what makes no sense is null."""
        curve = self.curve
        return {
            "name": curve.name,
            "unit": curve.unit,
            "sampling_interval_s": decimal_text(curve.interval_s),
            "samples": str(len(curve.values)),
            "cfc": str(curve.cfc or "none"),
            "form": curve.form,
            "peak_max": decimal(self.peak_max.value),
            "peak_min": decimal(self.peak_min.value),
            "time_of_peak_max_s": moment(self.peak_max.span.begin_s),
            "time_of_peak_min_s": moment(self.peak_min.span.begin_s),
            "clip_3ms_cumulative": _value(self.clip_cumulative),
            "clip_3ms_continuous": _value(self.clip_continuous),
            "delta_v_m_s": _value(self.delta_v),
            "warnings": list(self.warnings),
        }


def summary(curve: Curve) -> Summary:
    """The usual figures of a curve."""
    clipped = curve.dimension == Dimension.ACCELERATION
    return Summary(
        curve,
        peak(curve, "max"),
        peak(curve, "min"),
        clip(curve, "cumulative") if clipped else None,
        clip(curve, "continuous") if clipped else None,
        velocity_change(curve),
    )


def decimal(value: float, digits: int = DIGITS) -> str:
    """A computed number as a decimal string without exponent."""
    text = f"{Decimal(f'{value:.{digits}g}'):f}"
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short == "-0" else short


def moment(seconds: Fraction) -> str:
    """A time in seconds as a decimal string."""
    return decimal_text(Fraction(round(seconds, TIME_DIGITS)))


def _value(figure: Figure | None) -> str | None:
    return None if figure is None else decimal(figure.value)
