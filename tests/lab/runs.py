"""Sled runs by their parameters: what the sled, the occupant's chest and the greatest reach of the body did."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from tests.lab.mme import LabChannel, Recording, set_files, set_zip
from tests.lab.shapes import Bump, Curve, Stretch, Trapezoid, noise, ringing

G = 9.80665  # m/s², the standard acceleration of free fall, exact by definition
MPH = 0.44704  # m/s, exact by definition
KMH = 1 / 3.6  # m/s
HERTZ = 10_000
BEFORE, AFTER = 500, 1500  # samples before the impact, and from it on
_WINDOW = 31  # samples that the fault "filtered" averages

Axis = Literal["X", "Y"]
Unit = Literal["m/(s*s)", "G'S"]
Fault = Literal["filtered", "extreme"]


@dataclass(frozen=True)
class Run:
    """One sled run.

    Attributes:
        number, title, day: of the test.
        plateau_g: what the sled's pulse holds; its filtered peak lies a little above it.
        velocity_change: m/s, positive.
        rise_s, fall_s: of the pulse; how long it holds follows.
        axis: in which the sled moves.
        sign: of the sled's acceleration by SAE J1733: -1 where a frontal impact pushes it back.
        excursion_mm, remains_mm: greatest reach, and what is left of it.
        excursion_code: channel code of the reach.
        unit: in which accelerations are written.
        seed: of noise.
        faults: ``filtered``: the sled's channel went through a filter that the header calls so; ``extreme``: its header
            states another least or greatest value than its samples have.
    """

    number: str
    title: str
    day: str
    plateau_g: float
    velocity_change: float
    rise_s: float
    fall_s: float
    axis: Axis
    sign: int
    excursion_mm: float
    remains_mm: float
    seed: int
    excursion_code: str = "11HEAD0000H3DSX0"
    unit: Unit = "m/(s*s)"
    faults: frozenset[Fault] = frozenset()

    @property
    def recording(self) -> Recording:
        """What holds for all of its channels."""
        return Recording(self.number, self.title, self.day, HERTZ, BEFORE)

    @property
    def sled_code(self) -> str:
        """Code of the sled's channel; P where a filter is not named."""
        return f"S0SLED000000AC{self.axis}{'P' if 'filtered' in self.faults else '0'}"


def with_faults(run: Run, *faults: Fault) -> Run:
    """The same run, with something wrong in its files."""
    return replace(run, faults=frozenset(faults))


def run_zip(run: Run) -> bytes:
    """The run's set as it is filed."""
    return set_zip(run.recording, channels(run))


def run_files(run: Run) -> list[tuple[str, bytes]]:
    """The run's set as the files of a folder."""
    return set_files(run.recording, channels(run))


def channels(run: Run) -> list[LabChannel]:
    """Sled, chest in three directions, reach."""
    pulse = Trapezoid.with_area(run.velocity_change, run.plateau_g * G, run.rise_s, run.fall_s)
    chest = [_chest(run, pulse, direction, at) for at, direction in enumerate("XYZ", 1)]
    return [_sled(run, pulse), *chest, _reach(run, pulse)]


def _sled(run: Run, pulse: Trapezoid) -> LabChannel:
    count = BEFORE + AFTER
    values = _sampled(pulse)
    # the structure answers both ends of the plateau; one way up, the other way down, so that the area stays
    up, down = (ringing(count, BEFORE + round(at * HERTZ), 0.5 * G) for at in (run.rise_s / 2.0, pulse.end_s))
    hiss = noise(run.seed, count, 0.25 * G)
    summed = [
        run.sign * (value + rise - fall) + each
        for value, rise, fall, each in zip(values, up, down, hiss, strict=True)
    ]
    if "filtered" in run.faults:
        summed = _averaged(summed)
    header: dict[str, str | None] = {}
    if "filtered" in run.faults:
        header = {"Channel frequency class": "NOVALUE", "Pre-filter type": "NOVALUE"}
    written = _acceleration(run, f"Sled acceleration {run.axis}", run.sled_code, summed)
    if "extreme" in run.faults:
        key = "First global minimum value" if run.sign < 0 else "First global maximum value"
        stated = (min(written.values) if run.sign < 0 else max(written.values)) * 0.94
        header[key] = f"{stated:.{written.decimals}f}"
    return replace(written, header=header)


def _chest(run: Run, pulse: Trapezoid, direction: str, at: int) -> LabChannel:
    """The chest follows the sled later and higher in its own direction, and a little in the others."""
    own = direction == run.axis
    share = 1.22 if own else 0.14 if direction == "Z" else 0.05
    begin, length = 0.011 + 0.002 * at, pulse.end_s * 1.15
    values = _sampled(Bump(share * pulse.peak, begin, length))
    hiss = noise(run.seed + at, len(values), 0.4 * G)
    sign = run.sign if own else 1
    summed = [sign * value + each for value, each in zip(values, hiss, strict=True)]
    return _acceleration(run, f"Chest acceleration {direction}", f"11CHST0000H3AC{direction}0", summed)


def _reach(run: Run, pulse: Trapezoid) -> LabChannel:
    top = pulse.end_s * 0.9
    curve = Stretch(run.excursion_mm, run.remains_mm, 0.004, top, top + 0.05)
    return LabChannel("Excursion", run.excursion_code, "mm", _rounded(_sampled(curve), 2), 2)


def _acceleration(run: Run, name: str, code: str, values: Sequence[float]) -> LabChannel:
    if run.unit == "G'S":
        return LabChannel(name, code, run.unit, _rounded([value / G for value in values], 4), 4)
    return LabChannel(name, code, run.unit, _rounded(values, 3), 3)


def _sampled(curve: Curve) -> list[float]:
    return [curve(at / HERTZ) for at in range(-BEFORE, AFTER)]


def _rounded(values: Sequence[float], decimals: int) -> list[float]:
    return [round(value, decimals) + 0.0 for value in values]  # no minus in front of a nought


def _averaged(values: Sequence[float]) -> list[float]:
    """Each value as the mean of those around it; near the ends of fewer."""
    half = _WINDOW // 2
    return [
        sum(values[max(0, at - half) : at + half + 1]) / len(values[max(0, at - half) : at + half + 1])
        for at in range(len(values))
    ]
