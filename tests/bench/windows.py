"""How often an unlocked window is read as locked: ``python -m tests.bench.windows``. Simulated light, no photo.

Open windows, windows half-way and windows with something else behind the frame, from two simulators that share nothing:
a quick one whose frames are set carelessly and over which now and then lies a lamp or a cloth of the very colour, and
the study's, which draws light, dirt, gleams and a phone more truly. Printed are counts, and what they bound.

The thresholds of ``measure/window.py`` were set by looking at the quick simulator's draws from seed 20260305 and at the
study's from seed 0 on, so counts of those say nothing. The default seed is another one; who changes a threshold after
looking at its counts needs a fresh one.
"""

from collections import Counter
from collections.abc import Iterator

import click
import numpy as np

from evidence.measure import window
from evidence.measure.window import Declared, Neutral, Reading
from tests.measure import windows
from tests.measure.windows import PAIRS
from tests.scene.study.window import render_window, sample_window

DRAWS = 1000
FIRST_SEED = 31_000_000
CONFIDENCE = 0.95
STATES = ("open", "between", "other")


@click.command()
@click.option(
    "--draws", type=click.IntRange(min=4), default=DRAWS, show_default=True, help="Unlocked windows."
)
@click.option("--first-seed", type=click.IntRange(min=0), default=FIRST_SEED, show_default=True)
def main(draws: int, first_seed: int) -> None:
    """Read unlocked windows of two simulators, and a quarter as many locked ones; print counts and their bounds."""
    click.echo("Lock windows in simulated light, no photo; the bounds hold for these simulations only.")
    _print("quick, unlocked", quick(draws, first_seed, locked=False), first_seed, bound=True)
    _print("quick, locked", quick(draws // 4, first_seed, locked=True), first_seed, bound=False)
    unlocked = (
        study(first_seed + number // len(STATES), STATES[number % len(STATES)]) for number in range(draws)
    )
    _print("study, unlocked", unlocked, first_seed, bound=True)
    locked = (study(first_seed + number, "locked") for number in range(draws // 4))
    _print("study, locked", locked, first_seed, bound=False)


def quick(draws: int, seed: int, *, locked: bool) -> Iterator[Reading]:
    """Readings of the quick simulator."""
    generator = np.random.Generator(np.random.PCG64(seed + locked))
    for number in range(draws):
        manual = PAIRS[number % len(PAIRS)]
        scene = windows.drawn(generator, manual, 1.0) if locked else windows.unlocked(generator, manual)
        taken = windows.photo(scene)
        yield window.read(taken.pixels, taken.frame, taken.neutrals, taken.manual)


def study(seed: int, state: str) -> Reading:
    """A reading of the study's simulator, the corners as a person sets them."""
    setup = sample_window(seed, state)
    picture, known = render_window(setup)
    neutrals = [Neutral(known[name], known[f"{name}_reflectance"]) for name in ("white", "grey")]
    return window.read(picture, known["clicked"], neutrals, Declared(setup.locked, setup.open))


def upper_bound(wrong: int, draws: int) -> float:
    """One-sided upper limit of a share: where so few or fewer would come up with the remaining probability."""
    low, high = wrong / draws, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        term, total = (1 - middle) ** draws, 0.0
        for count in range(wrong + 1):
            total += term
            term *= (draws - count) / (count + 1) * middle / max(1 - middle, 1e-300)
        low, high = (middle, high) if total > 1 - CONFIDENCE else (low, middle)
    return high


def _print(name: str, drawn: Iterator[Reading], first_seed: int, *, bound: bool) -> None:
    """One paragraph; a case that must not be is named by its number, so that it can be looked at."""
    readings = list(drawn)
    states = Counter(reading.state for reading in readings)
    reasons = Counter(reading.why.code for reading in readings if reading.why)
    click.echo(
        f"{name}, {len(readings)} from seed {first_seed}: "
        + ", ".join(f"{count} {state}" for state, count in states.items())
    )
    click.echo("    " + ", ".join(f"{count} {code}" for code, count in reasons.most_common()))
    if bound:
        false = [number for number, reading in enumerate(readings) if reading.state == "locked"]
        share = upper_bound(len(false), len(readings)) * 100
        click.echo(
            f"    false locked: {len(false)} of {len(readings)}; at most {share:.2f} % "
            f"({CONFIDENCE * 100:.0f} % one-sided, after Clopper and Pearson)"
            + "".join(f"; draw {number}" for number in false)
        )


if __name__ == "__main__":
    main()
