"""The accuracy study of the hook position: ``python -m tests.bench.study``. Rendered scenes, no real photo.

Scenes come from ``tests/scene/study`` with its frozen ranges and from seeds that no other test uses; the renderer knows
nothing of the measuring code. Two tables are printed: what a photo gives where everything lies as stated, by tilt and
distance; and what a verdict from the photo alone would have been worth where something lies otherwise, and nobody said
so, for hooks outside their limits. A third says what no photo can show.
"""

import dataclasses
import math
import multiprocessing
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import fmean

import click
import cv2
import numpy as np

from evidence.gauge.zero import MOST_ERROR
from evidence.measure import hook
from evidence.measure._base import Unmeasurable
from evidence.measure.hook import Position, Zero
from evidence.uncertainty import NORMAL_FACTOR
from tests.scene.study import Setup, cells, render, sample
from tests.scene.study.setups import ranges

FIRST_SEED = 700_000
STATED = 2250
UNSTATED = 500
HIDDEN = 150
HEIGHT_SURE = 0.1  # mm, standard uncertainty of the contact height that a profile states
TOLERANCE = 2.0  # mm to each side of the nominal
OUTSIDE = (0.02, 6.0)  # mm by which hooks lie outside their limits
CONFIDENCE = 0.95
WANTED_ERROR, MOST_ERROR_ALLOWED = 0.45, 1.0  # mm
SEEN = ("step", "lip", "rib", "cut")
UNSEEN = ("bead", "curved", "scale")


@dataclass(frozen=True)
class Row:
    """One scene.

    Attributes:
        kind, cell: as drawn.
        code: why it was not measured, or empty.
        error: mm, measured minus true; not a number where not measured.
        expanded: mm.
        met: whether the photo alone would have said that a hook outside its limits lies within.
    """

    kind: str
    cell: tuple[int, int]
    code: str = ""
    error: float = math.nan
    expanded: float = math.nan
    met: bool = False


def scene(kind: str, seed: int) -> Row:
    """Render and measure one scene."""
    cv2.setNumThreads(1)
    setup = sample(kind, seed)
    try:
        zero = _zero_check(setup, seed) if kind == "cut" else None
        found = measured(setup, zero)
    except Unmeasurable as error:
        return Row(kind, setup.cell, error.code)
    off = found.value - setup.hook_distance
    return Row(kind, setup.cell, "", off, found.expanded, _met(found, setup, seed))


def measured(setup: Setup, zero: Zero | None = None) -> Position:
    """What the tool makes of a scene.

    Raises:
        Unmeasurable: as ``hook.see`` and ``hook.position``.
    """
    picture, _ = render(setup)
    view = hook.see(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY).astype(np.uint8), float(setup.focal_stated))
    stated = hook.Setup(height=setup.stated_height, height_uncertainty=HEIGHT_SURE, zero=zero)
    return hook.position([view], stated)


def _zero_check(setup: Setup, seed: int) -> Zero:
    """The same card against a block of known length, from straight above, on another day."""
    other = sample("stated", seed + 1_000_000, (0, 1))
    same_card = {name: getattr(setup, name) for name in ("strip_cut", "slider_cut", "scale_u", "scale_v")}
    found = measured(dataclasses.replace(other, **same_card))
    error = found.value - other.hook_distance
    if abs(error) > MOST_ERROR:
        raise Unmeasurable("card-out-of-check", {})
    return Zero(error, found.expanded / NORMAL_FACTOR, other.hook_distance)


def _met(found: Position, setup: Setup, seed: int) -> bool:
    """Guarded acceptance by the photo alone, for limits that the true hook lies outside of."""
    generator = np.random.Generator(np.random.PCG64(seed))
    beyond = float(generator.uniform(*OUTSIDE))
    low = setup.hook_distance + beyond if generator.random() < 0.5 else None
    low = setup.hook_distance - beyond - 2 * TOLERANCE if low is None else low
    spread = found.expanded + found.plane_margin
    return found.decides and low <= found.value - spread and found.value + spread <= low + 2 * TOLERANCE


def share(count: int, of: int) -> tuple[float, float]:
    """Two-sided limits of a share, after Clopper and Pearson (1934)."""
    rest = (1 - CONFIDENCE) / 2
    low = 0.0 if count == 0 else _root(lambda p: 1 - _cumulated(count - 1, of, p) - rest)
    high = 1.0 if count == of else _root(lambda p: rest - _cumulated(count, of, p))
    return low, high


def _cumulated(count: int, of: int, p: float) -> float:
    logs = [
        math.lgamma(of + 1)
        - math.lgamma(k + 1)
        - math.lgamma(of - k + 1)
        + k * math.log(p)
        + (of - k) * math.log1p(-p)
        for k in range(count + 1)
    ]
    return math.fsum(math.exp(each) for each in logs)


def _root(rising: Callable[[float], float]) -> float:
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


def line(rows: Sequence[Row]) -> str:
    """Detection, bias, error and coverage of some scenes."""
    good = [row for row in rows if not row.code]
    if not good:
        return f"{len(rows):5}  none measured"
    errors = np.array([row.error for row in good])
    covered = sum(abs(row.error) <= row.expanded for row in good)
    seen, within = share(len(good), len(rows)), share(covered, len(good))
    return (
        f"{len(rows):5}  {len(good) / len(rows):6.1%} ({seen[0]:.1%}-{seen[1]:.1%})  {errors.mean():+6.3f}  "
        f"{np.quantile(np.abs(errors), 0.95):5.3f}  {np.abs(errors).max():5.3f}  "
        f"{fmean(row.expanded for row in good):5.3f}  {covered / len(good):6.1%} ({within[0]:.1%}-{within[1]:.1%})"
    )


def tell(rows: Sequence[Row]) -> None:
    """Print the tables."""
    spans = ranges()["cells"]
    click.echo("As stated, by tilt along u and distance; mm")
    click.echo(
        f"{'tilt, distance':>22}  {'n':>5}  {'measured':>21}  {'bias':>6}  {'95 %':>5}  {'most':>5}  {'U':>5}  covered by U"
    )
    stated = [row for row in rows if row.kind == "stated"]
    for tilt, distance in cells():
        mine = [row for row in stated if row.cell == (tilt, distance)]
        name = "{}-{}\u00b0, {}-{}".format(*spans["tilt"][tilt], *spans["distance"][distance])
        click.echo(f"{name:>22}  {line(mine)}" if mine else f"{name:>22}  none")
    click.echo(f"{'all':>22}  {line(stated)}")
    refused = Counter(row.code for row in stated if row.code)
    click.echo(
        "not measured: " + (", ".join(f"{count} {code}" for code, count in refused.most_common()) or "none")
    )
    click.echo("\nSomething lies otherwise and nobody said so; hooks outside their limits")
    for kind in SEEN:
        mine = [row for row in rows if row.kind == kind]
        met, left = sum(row.met for row in mine), sum(not row.code for row in mine)
        most = share(met, len(mine))[1] if mine else 1.0
        click.echo(
            f"{kind:>8}: {len(mine)} scenes, {left} measured, {met} within limits by the photo (at most {most:.2%})"
        )
    click.echo(
        "\nWhat no photo of the card can show: a datum that the card does not touch, a print that nobody measured"
    )
    for kind in UNSEEN:
        click.echo(f"{kind:>8}: {line([row for row in rows if row.kind == kind])}")


def _one(job: tuple[str, int]) -> Row:
    return scene(*job)


@click.command()
@click.option("--stated", default=STATED, help="Scenes where everything lies as stated.")
@click.option("--unstated", default=UNSTATED, help="Scenes of each kind where something lies otherwise.")
@click.option("--hidden", default=HIDDEN, help="Scenes of each kind that a photo cannot show.")
@click.option("--first-seed", default=FIRST_SEED, help="Seed of the first scene.")
@click.option("-j", "--jobs", default=2, help="Processes.")
def main(stated: int, unstated: int, hidden: int, first_seed: int, jobs: int) -> None:
    """Render, measure, print."""
    wanted = [("stated", first_seed + n) for n in range(stated)]
    wanted += [(kind, first_seed + n) for kind in SEEN for n in range(unstated)]
    wanted += [(kind, first_seed + n) for kind in UNSEEN for n in range(hidden)]
    with multiprocessing.get_context("spawn").Pool(jobs) as pool:
        tell(list(pool.imap(_one, wanted, chunksize=5)))


if __name__ == "__main__":
    main()
