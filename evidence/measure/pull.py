"""Static pulls: how much, how long, and what stayed bent, each with the least and the most that its samples allow.

Method id and rules, for whoever computes the same elsewhere:

- The force is straight between its samples, at whatever moments they stand. Signs stay as recorded.
- Peak: the greatest value of a sample. Where at least ten samples in a row stand at exactly the greatest value of a
  finely divided log, the logger may have ended there, and the peak may have been any higher.
- Hold: all time at or above a level, or its longest stretch. The least is what lies between two samples at or above
  it that are no gap apart; the most reaches to the neighbouring samples below. A gap is longer than five usual steps.
  Between two samples below the level the force is taken to have stayed below.
- Residual displacement: mean of the travel after release less its mean before loading, each over the stretch at that
  end of the log where the force is at most 1 % of its peak above what it is at that end. Least and most are twice
  the scatter of the travel there away. A log that begins or ends above 5 % of the peak has none.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

METHOD = "pull/1"
LOADED = 0.05  # of the peak; a log that begins or ends above it shows no rest there
REST_SHARE = 0.01  # of the peak, above the first or last force; so far the travel counts as at rest
GAP_STEPS = 5  # usual steps; a longer one is a gap
FLAT_SAMPLES = 10  # equal ones at the very top that a finely divided log of a real force does not show
FLAT_DIVISIONS = 1000  # of the peak; a coarser log has flat tops of its own
COVERAGE = 2  # times the scatter of the travel at rest
RECOVERY = 0.05  # of the travel under load; so much against the pull is noise

COARSE = "pull-sampled-coarsely"
FLAT_TOP = "pull-flat-top"
GAP = "pull-gap"
REPEATED = "pull-times-repeat"
MOVES = "pull-rest-moves"
STARTS_LOADED, ENDS_LOADED = "pull-starts-loaded", "pull-ends-loaded"
AGAINST = "pull-force-negative"
TRAVEL_AGAINST = "pull-travel-negative"
BEYOND_START = "pull-sprung-beyond-start"
NO_LOAD, NO_TIMES, NO_TRAVEL = "pull-no-load", "pull-no-times", "pull-no-travel"

Floats = NDArray[np.float64]
Kind = Literal["cumulative", "continuous"]
Stretch = tuple[float, float]


def _rounded(value: float) -> float:
    # the last digits of a double come from adding up, not from the log
    return float(f"{value:.9g}")


@dataclass(frozen=True)
class Pull:
    """What one log gives, in the units of its columns, every value turned already where the record says so.

    Attributes:
        force: shape (n,), n at least 2.
        times: shape (n,), seconds, never decreasing; None where the log has none.
        travel: shape (n,); None where it was not measured.
        tick: seconds by which printed times may be off, where several rows share one.
    """

    force: Floats
    times: Floats | None = None
    travel: Floats | None = None
    tick: float = 0.0


@dataclass(frozen=True)
class PullFigure:
    """One number of a pull.

    Attributes:
        value: what the samples give, straight between them.
        least, most: what they prove and what they allow; ``most`` may be infinite.
        span: seconds from begin to end of where it was found; None without times.
        wide: codes of what keeps least and most apart, sorted; they matter where a limit lies between the two.
        doubts: codes that leave any verdict undecided, sorted.
        rests: of a residual displacement, the stretches over which the means were taken, in seconds or, without
            times, in rows from 0.
        before: of a residual displacement, the mean before loading.
    """

    value: float
    least: float
    most: float
    span: Stretch | None = None
    wide: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    rests: tuple[Stretch, Stretch] | None = None
    before: float = 0.0

    @property
    def told(self) -> tuple[str, ...]:
        """Of ``wide``, what a reader should know wherever the limit lies; every log is coarse and moves a little."""
        return tuple(code for code in self.wide if code not in (COARSE, MOVES))

    def open_at(self, limit: float) -> bool:
        """Whether the samples leave open on which side of a limit the figure lies; a limit itself is fulfilled."""
        return _rounded(self.least) < _rounded(limit) < _rounded(self.most)


@dataclass(frozen=True)
class Refused:
    """Why there is no number."""

    code: str


def of_columns(
    force: Sequence[float],
    times: Sequence[float] | None = None,
    travel: Sequence[float] | None = None,
    tick: float = 0.0,
) -> Pull:
    """The log of columns as recorded."""
    return Pull(
        np.array(force, dtype=np.float64),
        None if times is None else np.array(times, dtype=np.float64),
        None if travel is None else np.array(travel, dtype=np.float64),
        tick,
    )


def turned(pull: Pull, *, force: bool = False, travel: bool = False) -> Pull:
    """The log with the columns turned that point the other way, as the record says."""
    moved = -pull.travel if travel and pull.travel is not None else pull.travel
    return Pull(-pull.force if force else pull.force, pull.times, moved, pull.tick)


def peak_force(pull: Pull) -> PullFigure:
    """Greatest force, in its unit, and when it was first there."""
    at = int(pull.force.argmax())
    top = float(pull.force[at])
    flat = flat_top(pull.force) is not None
    span = None if pull.times is None else (float(pull.times[at]), float(pull.times[at]))
    return PullFigure(top, top, math.inf if flat else top, span, (FLAT_TOP,) if flat else (), _against(pull))


def hold_time(pull: Pull, level: float, kind: Kind) -> PullFigure | Refused:
    """Seconds at or above a level.

    Args:
        pull: the log.
        level: in the unit of the force.
        kind: all stretches together, or the longest one.
    """
    if pull.times is None:
        return Refused(NO_TIMES)
    times, force = pull.times, pull.force
    above = force >= level
    begins, ends = _crossings(times, force, level)
    value, span = _sum(begins, ends, kind)
    least, gaps = _least(times, above, kind)
    allowed = above | _hidden(force, level)
    low, high = _neighbours(times, allowed)
    most, _ = _sum(low, high, kind)
    wide = {COARSE} if least < most else set()
    wide |= {GAP} if gaps or _beside_gap(times, allowed) else set()
    wide |= {FLAT_TOP} if allowed.sum() > above.sum() else set()
    if pull.tick and len(low):
        wide.add(REPEATED)
        slack = pull.tick * (len(low) if kind == "cumulative" else 1)
        least, most = max(0.0, least - slack), most + slack
    for code, edge in ((STARTS_LOADED, above[0]), (ENDS_LOADED, above[-1])):
        if edge:  # nobody knows for how long before the log began, or after it ended
            most = math.inf
            wide.add(code)
    return PullFigure(value, min(least, value), max(most, value), span, tuple(sorted(wide)), _against(pull))


def residual_displacement(pull: Pull) -> PullFigure | Refused:
    """Travel after release less that before loading, in its unit, positive along the pull."""
    if pull.travel is None:
        return Refused(NO_TRAVEL)
    top = float(pull.force.max())
    if top <= 0:
        return Refused(NO_LOAD)
    for at, code in ((0, STARTS_LOADED), (-1, ENDS_LOADED)):
        if abs(pull.force[at]) > LOADED * top:
            return Refused(code)
    places = np.arange(len(pull.force), dtype=np.float64) if pull.times is None else pull.times
    before = _rest(places, pull.force, pull.travel, top)
    after = _rest(-places[::-1], pull.force[::-1], pull.travel[::-1], top)
    value = after.mean - before.mean
    scatter = COVERAGE * math.hypot(before.scatter, after.scatter)
    under_load = float(pull.travel[pull.force.argmax()]) - before.mean
    doubts = set(_against(pull))
    if under_load < 0:
        doubts.add(TRAVEL_AGAINST)
    elif value < -RECOVERY * under_load:
        doubts.add(BEYOND_START)
    rests = ((float(places[0]), before.end), (-after.end, float(places[-1])))
    span = None if pull.times is None else (rests[0][1], rests[1][0])
    bounds = (value - scatter, value + scatter)
    return PullFigure(value, *bounds, span, (MOVES,), tuple(sorted(doubts)), rests, before.mean)


def without_offset(pull: Pull, begin: float, end: float) -> Pull | None:
    """The log with the mean force of a stretch taken away; None where it does not lie in the log or has no times."""
    if pull.times is None or begin < pull.times[0] or end > pull.times[-1] or end <= begin:
        return None
    inside = (pull.times > begin) & (pull.times < end)
    x = np.concatenate(([begin], pull.times[inside], [end]))
    y = np.concatenate(
        (
            [np.interp(begin, pull.times, pull.force)],
            pull.force[inside],
            [np.interp(end, pull.times, pull.force)],
        )
    )
    return Pull(pull.force - _mean(x, y), pull.times, pull.travel, pull.tick)


def flat_top(force: Floats) -> tuple[int, int] | None:
    """First and last sample of the longest stretch at exactly the greatest value, where that looks like an end of range."""
    top = force.max()
    steps = np.abs(np.diff(force))
    steps = steps[steps > 0]
    if not len(steps) or top <= 0 or steps.min() * FLAT_DIVISIONS > top:
        return None
    first, last = _runs(force == top)
    longest = int(np.argmax(last - first))
    if last[longest] - first[longest] + 1 < FLAT_SAMPLES:
        return None
    return int(first[longest]), int(last[longest])


def _against(pull: Pull) -> tuple[str, ...]:
    """A pull whose greatest force is negative was recorded the other way round, and nobody said so."""
    return (AGAINST,) if -pull.force.min() > max(pull.force.max(), 0.0) else ()


def _runs(marked: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last sample of every stretch of marked samples."""
    padded = np.concatenate(([False], marked, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return edges[::2], edges[1::2] - 1


def _crossings(times: Floats, force: Floats, level: float) -> tuple[Floats, Floats]:
    """Begin and end of every stretch at or above the level, on the straight lines between the samples."""
    first, last = _runs(force >= level)
    begins, ends = times[first].copy(), times[last].copy()
    inner = first > 0
    at = first[inner]
    begins[inner] -= (force[at] - level) / (force[at] - force[at - 1]) * (times[at] - times[at - 1])
    inner = last < len(force) - 1
    at = last[inner]
    ends[inner] += (force[at] - level) / (force[at] - force[at + 1]) * (times[at + 1] - times[at])
    return begins, ends


def _sum(begins: Floats, ends: Floats, kind: Kind) -> tuple[float, Stretch | None]:
    if not len(begins):
        return 0.0, None
    lengths = ends - begins
    if kind == "cumulative":
        return float(lengths.sum()), (float(begins[0]), float(ends[-1]))
    longest = int(lengths.argmax())
    return float(lengths[longest]), (float(begins[longest]), float(ends[longest]))


def _usual(times: Floats) -> float:
    steps = np.diff(times)
    moving = steps[steps > 0]
    return float(np.median(moving)) if len(moving) else 0.0


def _least(times: Floats, above: NDArray[np.bool_], kind: Kind) -> tuple[float, bool]:
    """Seconds that lie between two samples above, and whether a gap was left out of them."""
    steps = np.diff(times)
    held = above[1:] & above[:-1]
    narrow = steps <= GAP_STEPS * _usual(times)
    first, last = _runs(held & narrow)
    seconds, _ = _sum(times[first], times[last + 1], kind)
    return seconds, bool((held & ~narrow).any())


def _hidden(force: Floats, level: float) -> NDArray[np.bool_]:
    """Samples below a level that may have been above it, had the logger reached so far."""
    hidden = np.zeros(len(force), dtype=np.bool_)
    flat = flat_top(force)
    if flat is not None and level > force.max():
        hidden[flat[0] : flat[1] + 1] = True
    return hidden


def _neighbours(times: Floats, above: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Every stretch above, as far as the samples beside it that are below."""
    first, last = _runs(above)
    return times[np.maximum(first - 1, 0)], times[np.minimum(last + 1, len(times) - 1)]


def _beside_gap(times: Floats, above: NDArray[np.bool_]) -> bool:
    wide = np.diff(times) > GAP_STEPS * _usual(times)
    return bool((wide & (above[1:] != above[:-1])).any())


@dataclass(frozen=True)
class _Rest:
    """Mean and scatter of the travel over an unloaded stretch, and where it ends."""

    mean: float
    scatter: float
    end: float


def _rest(places: Floats, load: Floats, travel: Floats, top: float) -> _Rest:
    """The stretch from the first sample to where the load first rises above rest."""
    level = min(float(load[0]) + REST_SHARE * top, LOADED * top)
    last = int(np.argmax(load > level)) - 1
    share = (level - load[last]) / (load[last + 1] - load[last])
    end = float(places[last] + share * (places[last + 1] - places[last]))
    there = float(travel[last] + share * (travel[last + 1] - travel[last]))
    x, y = np.append(places[: last + 1], end), np.append(travel[: last + 1], there)
    mean = _mean(x, y)
    return _Rest(mean, _scatter(x, y - mean), end)


def _mean(x: Floats, y: Floats) -> float:
    """Mean of a line that is straight between its points, over its length; of its points where it has none."""
    width = float(x[-1] - x[0])
    return float(np.trapezoid(y, x) / width) if width > 0 else float(y.mean())


def _scatter(x: Floats, y: Floats) -> float:
    """Root of the mean square of a line that is straight between its points."""
    width = float(x[-1] - x[0])
    if width <= 0:
        return float(np.sqrt(np.mean(y * y)))
    squares = (y[1:] ** 2 + y[1:] * y[:-1] + y[:-1] ** 2) / 3
    return math.sqrt(float((squares * np.diff(x)).sum()) / width)
