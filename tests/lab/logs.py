"""Tables of a workshop and of a test house: a static pull, cycles, torques; whole numbers of the last digit, no floats."""

from collections.abc import Sequence
from dataclasses import dataclass

from tests.lab.shapes import noise


@dataclass(frozen=True)
class Pull:
    """A static pull: ramp, hold, release, and some time after.

    Attributes:
        force: while it holds.
        ramp_s, hold_s, release_s, rest_s: how long each part takes.
        before_s: without load before the ramp.
        most, remains: displacement under load, and what is left after.
        hertz: rows in a second; 100 at most, for two decimals of a second.
        seed: of the force's noise, at most ``noise``.
        noise: of the force.
        force_unit, travel_unit: of all that is a force or a displacement here, as the headings name them.
        decimals: of the displacement; as many as tell it from its neighbour in that unit.
        creeps: displacement that is there after the release beside what remains, and goes back while the log rests.
    """

    force: float
    ramp_s: float
    hold_s: float
    release_s: float
    rest_s: float
    most: float
    remains: float
    before_s: float = 2.0
    hertz: int = 20
    seed: int = 1
    noise: float = 25.0
    force_unit: str = "N"
    travel_unit: str = "mm"
    decimals: int = 2
    creeps: float = 0.0

    def load(self, time: float) -> float:
        """Share of the full load at a time."""
        time -= self.before_s
        if time < 0:
            return 0.0
        full, over = self.ramp_s + self.hold_s, self.ramp_s + self.hold_s + self.release_s
        if time < self.ramp_s:
            return time / self.ramp_s
        if time <= full:
            return 1.0
        return max(0.0, (over - time) / self.release_s)

    def travel(self, time: float) -> float:
        """Displacement at a time: with the load, and what remains stays once the load was full."""
        over = self.before_s + self.ramp_s + self.hold_s + self.release_s
        stays = self.remains + self.creeps * (1.0 - min(1.0, max(0.0, (time - over) / self.rest_s)))
        left = stays if time >= self.before_s + self.ramp_s else stays * self.load(time)
        return left + (self.most - stays) * self.load(time)


def pull_table(pull: Pull, *, comma: bool) -> bytes:
    """Time, force and displacement as CSV.

    Args:
        pull: its parameters.
        comma: decimal commas as in Europe, else points as in North America.
    """
    rows = round((pull.before_s + pull.ramp_s + pull.hold_s + pull.release_s + pull.rest_s) * pull.hertz) + 1
    hiss = noise(pull.seed, rows, pull.noise)
    table = [
        (
            f"{at / pull.hertz:.2f}",
            f"{max(0.0, pull.force * pull.load(at / pull.hertz) + each):.1f}",
            f"{pull.travel(at / pull.hertz):.{pull.decimals}f}",
        )
        for at, each in zip(range(rows), hiss, strict=True)
    ]
    heads = ("time [s]", f"force [{pull.force_unit}]", f"displacement [{pull.travel_unit}]")
    return _csv(heads, table, comma=comma)


def cycle_table(
    results: Sequence[str], load: str, *, comma: bool, faults: Sequence[str] = (), unit: str = "kg"
) -> bytes:
    """A cycle log: number, load, whether it went well (1 or 0), and a remark for each cycle.

    Args:
        results: each cycle's result, ``ok`` or a word for the fault.
        load: of every cycle.
        comma: as in ``pull_table``.
        faults: remarks on the cycles, in order; fewer are filled with ``none``.
        unit: of the load.
    """
    remarks = [*faults, *["none"] * (len(results) - len(faults))]
    rows = [
        (str(at), load, "1" if result == "ok" else "0", remark)
        for at, (result, remark) in enumerate(zip(results, remarks, strict=True), 1)
    ]
    return _csv(("cycle", f"load [{unit}]", "ok", "remark"), rows, comma=comma)


def torque_table(torques: Sequence[str], unit: str, tool: str, *, comma: bool) -> bytes:
    """A torque log: screw, torque, tool and result.

    Args:
        torques: of each screw in the order of tightening, decimals with a point.
        unit: of the torques.
        tool: serial of the wrench.
        comma: as in ``pull_table``.
    """
    rows = [(str(at), torque, tool, "ok") for at, torque in enumerate(torques, 1)]
    return _csv(("screw", f"torque [{unit}]", "tool", "result"), rows, comma=comma)


def _csv(heads: Sequence[str], rows: Sequence[Sequence[str]], *, comma: bool) -> bytes:
    separator = ";" if comma else ","
    lines = [separator.join(heads)]
    for row in rows:
        line = separator.join(row)
        lines.append(line.replace(".", ",") if comma else line)
    return "".join(f"{line}\n" for line in lines).encode()
