"""Draw the true state of a study photo from frozen ranges: what a camera cannot know, known here to the last digit."""

from __future__ import annotations

import json
import zlib
from dataclasses import dataclass, fields, replace
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.random import PCG64, Generator, SeedSequence

Cell = tuple[int, int]
"""Index of the tilt's range, index of the distance's range."""

MOST_ATTEMPTS = 400
BEAD = (0.3, 2.0)  # mm by which a bead at the foot of a lip holds the strip off


@dataclass(frozen=True)
class Setup:
    """The true state of one photo; lengths in mm, angles in degrees, u into the vehicle, v along the sill, heights up.

    Attributes:
        kind, seed, cell: what it was drawn from; tilt and distance lie in the ranges of the cell.
        hook_distance: d, along u from the sill datum (u = 0) to the face of the hook that the slider should touch.
        tilt: obliqueness along u of the line from the slider's front edge to the camera; positive: camera towards the
            tailgate.
        aside: the same along v; positive: camera towards smaller v.
        distance: from the camera to the middle of the slider's front edge.
        facing, roll: turn of the picture about the line of sight is their sum; 0: u to the right, -90: u up.
        aim_u, aim_v: point of the floor on the line of sight.
        focal_35mm: true focal length, 35 mm equivalent by the diagonal; ``focal_stated`` what the file would state.
        k1, k2: radial distortion, share of the radius at half the diagonal: r (1 + k1 r^2 + k2 r^4).
        principal_x, principal_y: offset of the principal point, in half diagonals.
        columns, rows: of the picture.
        scale_u, scale_v: relative error of the print, of strip and slider alike.
        strip_cut: where the strip's edge was cut, print u (right: 0). slider_cut: the same for the slider's front
            edge, print u - 34.
        gap_sill, gap_hook: clearance of the strip's u = 0 edge, and of the slider's front edge, at the corner that is
            nearest; not negative.
        strip_yaw, slider_yaw: turn seen from above, u towards v.
        slider_v: v of the slider's edge next to the strip.
        strip_pitch, strip_roll, slider_pitch, slider_roll: what is left when all the rest is flat; positive pitch
            lifts the u = 0 end, positive roll lifts the v = 0 side. The lowest corner lies on the floor.
        lift: of the slider's plane over the strip's beyond what is stated. step: unstated step under the slider.
        stated_height: height of the slider's plane over the strip's that the profile states.
        curl: of the strip, mm at its ends over its middle, quadratic along u.
        stock: thickness of the boards.
        sill_off: u at which the strip's edge is stopped by a rounded or bowed sill, or by a bead.
        sill_form: square, lip-inside (strip butts against a lip), lip-under (strip's end lies on the lip), lip-bead (a
            bead at the lip's foot holds the strip off), rounded, bowed (in plan).
        lip: height of the lip. rib, rib_under, rib_runs, rib_share: height, under strip, slider or nothing, across or
            along u, and where under it.
        hook_high: of the hook's face.
        ink_gain: growth of printed black at each edge. ink, paper: reflectances.
        floor, floor_tone, floor_seed: texture.
        lamp_u, lamp_v, lamp_high, ambient: lamp, and the share of light that does not come from it.
        gradient, gradient_turn: relative change of light over 200 mm. shadow, shadow_u, shadow_turn, shadow_soft: share
            of light taken beyond an edge, where the edge crosses v = 45, its turn, width of its penumbra.
        exposure: linear light of white paper in full light. warmth: red over blue. vignette: loss in the corners.
        blur: standard deviation, pixels, in linear light. motion, motion_turn: length and turn of a smear, pixels.
        shot_noise, read_noise: standard deviations in linear light, the first at white.
        contrast: strength of an S over the sRGB curve. sharpening, sharpening_radius: unsharp mask on the encoded
            picture. jpeg_quality: 0 for none.
    """

    kind: str
    seed: int
    cell: Cell
    hook_distance: float
    tilt: float
    aside: float
    distance: float
    facing: float
    roll: float
    aim_u: float
    aim_v: float
    focal_35mm: float
    focal_stated: int
    k1: float
    k2: float
    principal_x: float
    principal_y: float
    columns: int
    rows: int
    scale_u: float
    scale_v: float
    strip_cut: float
    slider_cut: float
    gap_sill: float
    gap_hook: float
    strip_yaw: float
    slider_yaw: float
    slider_v: float
    strip_pitch: float
    strip_roll: float
    slider_pitch: float
    slider_roll: float
    lift: float
    step: float
    stated_height: float
    curl: float
    stock: float
    sill_off: float
    sill_form: str
    lip: float
    rib: float
    rib_under: str
    rib_runs: str
    rib_share: float
    hook_high: float
    ink_gain: float
    ink: float
    paper: float
    floor: str
    floor_tone: float
    floor_seed: int
    lamp_u: float
    lamp_v: float
    lamp_high: float
    ambient: float
    gradient: float
    gradient_turn: float
    shadow: float
    shadow_u: float
    shadow_turn: float
    shadow_soft: float
    exposure: float
    warmth: float
    vignette: float
    blur: float
    motion: float
    motion_turn: float
    shot_noise: float
    read_noise: float
    contrast: float
    sharpening: float
    sharpening_radius: float
    jpeg_quality: int

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of the picture."""
        return self.columns, self.rows


def faultless(setup: Setup) -> Setup:
    """Return the setup seen by a camera without blur, noise, distortion or tone, under even light."""
    none: dict[str, Any] = dict.fromkeys(
        (
            *("k1", "k2", "principal_x", "principal_y", "ink_gain", "gradient", "shadow", "vignette", "blur"),
            *("motion", "shot_noise", "read_noise", "contrast", "sharpening", "warmth"),
        ),
        0.0,
    )
    return replace(setup, **none, ambient=1.0, exposure=1.0, jpeg_quality=0)


@cache
def ranges() -> dict[str, Any]:
    """Return the frozen ranges."""
    text = resources.files(__package__).joinpath("ranges.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


def kinds() -> tuple[str, ...]:
    """Return the kinds of scene."""
    return tuple(ranges()["kinds"])


def cells() -> tuple[Cell, ...]:
    """Return every cell, distance running fastest."""
    known = ranges()["cells"]
    return tuple((i, j) for i in range(len(known["tilt"])) for j in range(len(known["distance"])))


def generator(seed: int, *names: str) -> Generator:
    """Return a generator of its own for some names, so that a new nuisance leaves all others as they are."""
    return Generator(PCG64(SeedSequence([seed, *(zlib.crc32(name.encode()) for name in names)])))


def drawn(spec: dict[str, Any], rng: Generator) -> Any:
    """Return one value of a distribution as the ranges write it."""
    if "share" in spec and rng.random() >= spec["share"]:
        return spec["else"]
    if "uniform" in spec:
        return float(rng.uniform(*spec["uniform"]))
    if "normal" in spec:
        mean, spread, most = spec["normal"]
        return mean + spread * float(np.clip(rng.standard_normal(), -most, most))
    if "choice" in spec:
        weights = np.array([weight for _, weight in spec["choice"]], dtype=np.float64)
        return spec["choice"][int(rng.choice(len(weights), p=weights / weights.sum()))][0]
    return spec["constant"]


def draw(kind: str, seed: int, cell: Cell, attempt: int = 0) -> Setup:
    """Return the setup of one attempt, whether or not all of it would be in the picture.

    Raises:
        KeyError: no such kind.
    """
    frozen = ranges()
    specs = frozen["common"] | frozen["kinds"][kind]
    got = {
        name: drawn(spec, generator(seed, kind, name, f"{attempt if name in _FRAMING else 0}"))
        for name, spec in specs.items()
    }
    for index, name in enumerate(("tilt", "distance")):
        low, high = frozen["cells"][name][cell[index]]
        got[name] = float(generator(seed, kind, name, f"{attempt}").uniform(low, high))
    if cell[0] == 0 and generator(seed, kind, "from").random() < 1 / 3:
        got["tilt"] = -got["tilt"]  # nearly from above it may as well be a little from inside
    columns, rows = map(int, got.pop("size").split("x"))
    got["columns"], got["rows"] = (rows, columns) if got.pop("portrait") == "yes" else (columns, rows)
    got["focal_stated"] = round(got["focal_35mm"] * (1 + got.pop("focal_error")))
    if got["sill_form"] == "lip-bead":
        got["sill_off"] = float(generator(seed, kind, "bead").uniform(*BEAD))
    known = {field.name for field in fields(Setup)}
    assert known == {"kind", "seed", "cell", *got}, known ^ {"kind", "seed", "cell", *got}
    return Setup(kind=kind, seed=seed, cell=cell, **got)


_FRAMING = frozenset({"aside", "facing", "roll", "aim_u", "aim_v", "focal_35mm", "portrait"})
