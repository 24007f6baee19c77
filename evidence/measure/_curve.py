"""Channels made ready to be judged: offset taken away, filtered by class, or several joined to a resultant."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from evidence.errors import InputError
from evidence.exhibits.channels import Channel, Recorded
from evidence.measure import _filter
from evidence.measure._filter import CLASSES, Class, Floats, Form
from evidence.quantity import UNITS, Dimension

EDGE_SECONDS = Fraction(20, 1000)  # for class 60; a higher class forgets sooner
RECORDER_HERTZ = 1650  # F_N of class 1000, which recorders must reach: such a filter is none beside ours

FILTERED_AGAIN = "pulse-filtered-again"
UNDECLARED = "pulse-filter-undeclared"
BY_SOURCE = "pulse-filtered-by-source"
RECORDER = "pulse-recorder-filter"
SLOW = "pulse-sampled-slowly"
ROLL_OFF = "pulse-roll-off"
NOT_FILTERED = "pulse-not-filtered"


@dataclass(frozen=True)
class Span:
    """A stretch of time in seconds, begin before end."""

    begin_s: Fraction
    end_s: Fraction


@dataclass(frozen=True)
class Recipe:
    """What is done to a channel.

    Attributes:
        cfc: channel frequency class; None filters nothing.
        form: whose form of the filter.
        offset: window whose mean is taken away; None takes nothing away.
    """

    cfc: Class | None = None
    form: Form = "j211"
    offset: Span | None = None


@dataclass(frozen=True)
class Curve:
    """A channel ready to be judged.

    Attributes:
        name: of its channel.
        unit: symbol, or as the file spells it.
        dimension: what it measures; None where the unit is in no table.
        start_s, interval_s: time of the first sample and step, in seconds, exact.
        values: shape (n,), in ``unit``.
        recorded: what the source had filtered it with.
        cfc: class that it has now; None where it has none or nobody knows.
        form: form of our filter; None where we filtered nothing.
        recipe: what was asked.
        axes: sign convention of the source.
        signed: False for a resultant, which has no direction.
        doubts: codes that leave any verdict undecided, sorted.
        notices: codes that a reader should know, sorted.
        unfiltered: the values before our filter, offset taken away: velocity changes are computed from them.
    """

    name: str
    unit: str
    dimension: Dimension | None
    start_s: Fraction
    interval_s: Fraction
    values: Floats
    recorded: Recorded
    cfc: Class | None
    form: Form | None
    recipe: Recipe
    axes: str
    signed: bool
    doubts: tuple[str, ...]
    notices: tuple[str, ...]
    unfiltered: Floats

    @property
    def end_s(self) -> Fraction:
        """Time of the last sample."""
        return self.start_s + (len(self.values) - 1) * self.interval_s

    @property
    def times(self) -> Floats:
        """Time of each sample in seconds."""
        count = np.arange(len(self.values), dtype=np.float64)
        return float(self.start_s) + count * float(self.interval_s)

    @property
    def factor(self) -> Fraction:
        """Exact factor from ``unit`` to the SI unit of the dimension.

        Raises:
            KeyError: the unit is in no table.
        """
        if self.dimension is None:
            raise KeyError(self.unit)
        return UNITS[self.unit, self.dimension].factor

    def time_of(self, sample: int) -> Fraction:
        """Exact time of a sample."""
        return self.start_s + sample * self.interval_s

    def near_end(self, moment_s: Fraction) -> bool:
        """Whether a filtered value at that time rests on what lies beyond an end of the record."""
        if self.cfc is None:
            return False
        reach = EDGE_SECONDS * 60 / self.cfc
        return moment_s - self.start_s < reach or self.end_s - moment_s < reach


def processed(channel: Channel, recipe: Recipe) -> Curve:
    """A channel with its offset taken away and filtered, in this order.

    A channel that its source filtered to the same class is taken as it is. One that was filtered otherwise, or of
    which nobody says whether it was, is filtered and gets a doubt.

    Raises:
        InputError: pulse-too-short, pulse-too-slow or pulse-offset-window.
    """
    values = np.array(channel.values, dtype=np.float64)
    if len(values) < _filter.MIN_SAMPLES:
        raise InputError.one(
            "pulse-too-short", channel.where, found=str(len(values)), limit=str(_filter.MIN_SAMPLES)
        )
    curve = Curve(
        name=channel.name,
        unit=channel.unit,
        dimension=channel.dimension,
        start_s=channel.start_s,
        interval_s=channel.interval_s,
        values=values,
        recorded=channel.recorded,
        cfc=_class_of(channel.recorded),
        form=None,
        recipe=recipe,
        axes=channel.axes,
        signed=True,
        doubts=channel.doubts,
        notices=channel.notices,
        unfiltered=values,
    )
    if recipe.offset is not None:
        values = values - _offset(curve, recipe.offset, channel.where)
        curve = replace(curve, values=values, unfiltered=values)
    return _filtered(curve, channel) if recipe.cfc is not None else _with(curve, notices={NOT_FILTERED})


def _class_of(recorded: str) -> Class | None:
    return next((cfc for cfc in CLASSES if str(cfc) == recorded), None)


def _offset(curve: Curve, window: Span, where: str) -> float:
    first = -((curve.start_s - window.begin_s) // curve.interval_s)  # the sample at its begin or just after
    last = (window.end_s - curve.start_s) // curve.interval_s
    if not 0 <= first < last < len(curve.values):
        raise InputError.one(
            "pulse-offset-window",
            where,
            found=f"{float(window.begin_s):g} to {float(window.end_s):g} s",
            expected=f"{float(curve.start_s):g} to {float(curve.end_s):g} s",
        )
    return float(curve.values[first : last + 1].mean())


def _filtered(curve: Curve, channel: Channel) -> Curve:
    cfc, form, interval = curve.recipe.cfc, curve.recipe.form, float(curve.interval_s)
    if cfc is None or cfc == curve.cfc:
        return _with(curve, notices={BY_SOURCE})
    if _filter.too_slow(cfc, interval):
        rate = f"{1 / interval:.6g}"
        raise InputError.one("pulse-too-slow", channel.where, found=rate, cfc=str(cfc))
    notices = {SLOW} if _filter.sampled_slowly(cfc, interval) else set()
    notices |= {ROLL_OFF} if _filter.leaves_roll_off(cfc, interval, form) else set()
    doubts = set()
    if curve.recorded == "undeclared":
        doubts = {UNDECLARED}
    elif curve.recorded == "pre-filtered" and (channel.cutoff_hz or 0) >= RECORDER_HERTZ:
        notices |= {RECORDER}
    elif curve.recorded != "unfiltered":
        doubts = {FILTERED_AGAIN}
    values = _filter.filtered(curve.values, cfc, interval, form)
    return _with(replace(curve, values=values, cfc=cfc, form=form), doubts=doubts, notices=notices)


def _with(curve: Curve, *, doubts: set[str] | None = None, notices: set[str] | None = None) -> Curve:
    return replace(
        curve,
        doubts=tuple(sorted({*curve.doubts, *(doubts or set())})),
        notices=tuple(sorted({*curve.notices, *(notices or set())})),
    )


def turned(curve: Curve) -> Curve:
    """The curve with every sign turned, as if the channel had pointed the other way."""
    return replace(curve, values=-curve.values, unfiltered=-curve.unfiltered)


def resultant(curves: Sequence[Curve], where: str) -> Curve:
    """Root of the sum of squares, sample by sample, in the unit of the first curve.

    Args:
        curves: at least two, each filtered already.
        where: name of the set for messages.

    Raises:
        InputError: pulse-resultant where they differ in sampling, quantity or class.
    """
    first = curves[0]
    for other in curves:
        for what, mine, others in (
            ("sampling interval", first.interval_s, other.interval_s),
            ("first sample", first.start_s, other.start_s),
            ("number of samples", len(first.values), len(other.values)),
            ("quantity", first.dimension, other.dimension),
            ("class", first.cfc, other.cfc),
        ):
            if mine != others:
                raise InputError.one(
                    "pulse-resultant", where, found=other.name, name=first.name, differs=what
                )
    factors = [_relative(each, first) for each in curves]
    squares = sum((each.values * factor) ** 2 for each, factor in zip(curves, factors, strict=True))
    values = np.sqrt(np.asarray(squares, dtype=np.float64))
    name = f"resultant({','.join(each.name for each in curves)})"
    joined = replace(first, name=name, values=values, unfiltered=values, signed=False)
    return _with(
        joined,
        doubts={code for each in curves for code in each.doubts},
        notices={code for each in curves for code in each.notices},
    )


def _relative(curve: Curve, to: Curve) -> float:
    return 1.0 if curve.unit == to.unit else float(curve.factor / to.factor)
