"""The study's renderer: its pictures show what their truth says, by arithmetic and libraries that it does not use."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from evidence.gauge import geometry
from tests.scene.study import Setup, cells, kinds, render, sample, sensor
from tests.scene.study.optics import camera_of
from tests.scene.study.places import (
    SLIDER_MM,
    SLIDER_TAG,
    SLIDER_TAG_AT,
    STRIP_MM,
    TAG_AT,
    TAG_MM,
    ideal_reading,
    slider_of,
    strip_of,
    tag_square,
)
from tests.scene.study.render import truth
from tests.scene.study.setups import faultless, ranges

Floats = NDArray[np.float64]
Grey = NDArray[np.uint8]

SMALL = {"columns": 2304, "rows": 1728}


def linear(grey: Grey) -> NDArray[np.float32]:
    """Linear light of sRGB codes; from memory of IEC 61966-2-1."""
    code = grey / 255.0
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)


def seen_corners(light: NDArray[np.float32], near: Floats, reach: float) -> Floats:
    """Corners of a dark square near the given ones: where half of the light is reached on each side, lines, crossings.

    Args:
        light: linear light.
        near: (4, 2) pixels, clockwise.
        reach: pixels looked at to each side of an edge.
    """
    steps = np.linspace(-reach, reach, 81)
    lines = []
    for here, there in zip(near, np.roll(near, -1, axis=0), strict=True):
        along = (there - here) / np.linalg.norm(there - here)
        outward = np.array([along[1], -along[0]])
        feet = here + np.linspace(0.15, 0.85, 60)[:, None] * (there - here)
        spots = (feet[:, None] + steps[None, :, None] * outward).astype(np.float32)
        read = cv2.remap(light, spots[..., 0], spots[..., 1], cv2.INTER_LINEAR)
        low, high = read[:, :10].mean(axis=1), read[:, -10:].mean(axis=1)
        share = np.clip((read - low[:, None]) / (high - low)[:, None], -0.5, 1.5)
        edge = reach - np.trapezoid(share, steps, axis=1)
        slope, offset = np.polyfit(np.linspace(0.15, 0.85, 60), edge, 1)
        lines.append((here + offset * outward, there + (slope + offset) * outward))
    met = []
    for index in range(4):
        (a, b), (c, d) = lines[index - 1], lines[index]
        run = np.linalg.solve(np.column_stack([b - a, c - d]), c - a)
        met.append(a + run[0] * (b - a))
    return np.array(met)


def corner_errors(setup: Setup) -> Floats:
    """Pixels from where the camera model puts every tag's corners to where the picture shows them, (52, 2)."""
    picture, known = render(setup)
    light = linear(picture[..., 1])
    reach = 0.42 * TAG_MM / 8 * known["per_mm"]
    return np.concatenate([seen_corners(light, quad, reach) - quad for quad in known["corners"].values()])


def flat(**changes: Any) -> Setup:
    """A small faultless setup whose card lies and is printed perfectly, but for some changes."""
    zero = dict.fromkeys(
        (
            *(
                "scale_u",
                "scale_v",
                "strip_cut",
                "slider_cut",
                "gap_sill",
                "gap_hook",
                "strip_yaw",
                "slider_yaw",
            ),
            *("strip_roll", "slider_pitch", "slider_roll", "lift", "curl"),
        ),
        0.0,
    )
    return replace(faultless(sample("stated", 4)), **(zero | SMALL | changes))


def test_the_study_reads_nothing_of_what_measures() -> None:
    program = "import sys, tests.scene.study.window; print(sorted(n for n in sys.modules if 'measure' in n))"
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "[]"


def test_both_write_down_the_same_card() -> None:
    assert geometry.STRIP == STRIP_MM
    assert (geometry.SLIDER, geometry.TAG, geometry.SLIDER_TAG) == (SLIDER_MM, TAG_MM, SLIDER_TAG)
    assert {tag: geometry.tag_corner(tag) for tag in geometry.tag_ids()} == TAG_AT
    assert (geometry.QUIET, geometry.QUIET) == SLIDER_TAG_AT
    assert np.allclose(geometry.square(SLIDER_TAG_AT), tag_square(SLIDER_TAG_AT))


@pytest.mark.parametrize("kind", kinds())
def test_every_cell_of_every_kind_has_its_setups(kind: str) -> None:
    known = ranges()["cells"]
    for seed, cell in enumerate(cells()):
        setup = sample(kind, seed)
        assert setup.cell == cell
        assert known["tilt"][cell[0]][0] <= abs(setup.tilt) <= known["tilt"][cell[0]][1]
        assert known["distance"][cell[1]][0] <= setup.distance <= known["distance"][cell[1]][1]
        facts = truth(setup, camera_of(setup), strip_of(setup), slider_of(setup))
        assert facts["oblique"] == pytest.approx(setup.tilt, abs=1e-9)
        corners = np.concatenate(list(facts["corners"].values()))
        assert (corners > 0).all()
        assert (corners < np.array(setup.size) - 1).all()
        assert 95 <= facts["d"] <= 160


def test_the_same_seed_gives_the_same_bytes_and_another_another_setup() -> None:
    setup = sample("stated", 11)
    assert setup == sample("stated", 11)
    assert np.array_equal(render(setup)[0], render(sample("stated", 11))[0])
    assert sample("stated", 26).hook_distance != setup.hook_distance
    assert sample("cut", 11).hook_distance != setup.hook_distance
    assert sample("stated", 11, (0, 0)).cell == (0, 0)


@pytest.mark.parametrize("seed", [2, 7, 12, 14])
def test_corners_lie_where_the_camera_puts_them(seed: int) -> None:
    """Computed independently, by an edge finder that shares nothing with the renderer or the tool."""
    off = corner_errors(faultless(sample("stated", seed)))
    assert np.sqrt((off**2).mean()) < 0.02
    assert np.abs(off.mean(axis=0)).max() < 0.01
    assert np.abs(off).max() < 0.05


def test_corners_stay_where_they_are_under_a_bent_lens_and_a_curled_card() -> None:
    off = corner_errors(replace(faultless(sample("rib", 1)), k1=0.03, k2=-0.015, principal_x=0.01, curl=0.4))
    assert np.abs(off).max() < 0.05


def test_blur_and_smear_leave_edges_in_place() -> None:
    off = corner_errors(replace(faultless(sample("stated", 3)), blur=1.2, motion=2.0, motion_turn=20.0))
    assert np.sqrt((off**2).mean()) < 0.03


def test_projection_agrees_with_the_vision_library() -> None:
    """Computed independently with cv2.projectPoints, whose radial terms count in focal lengths."""
    setup = sample("stated", 9)
    camera = camera_of(setup)
    points = np.array([(u, v, -z) for u in (0.0, 90.0, 180.0) for v in (0.0, 60.0, 96.0) for z in (0.0, 9.0)])
    lens = np.array([[camera.focal, 0, camera.centre[0]], [0, camera.focal, camera.centre[1]], [0, 0, 1.0]])
    ratio = (camera.focal / camera.half) ** 2
    expected, _ = cv2.projectPoints(
        points,
        cv2.Rodrigues(camera.axes)[0],
        -camera.axes @ camera.place,
        lens,
        np.array([setup.k1 * ratio, setup.k2 * ratio**2, 0.0, 0.0]),
    )
    seen = camera.pixels(points)
    assert abs(setup.k1) > 1e-3
    assert np.allclose(seen, expected.reshape(-1, 2), atol=1e-6)
    rays = camera.rays(seen)
    reach = (points[:, 2] - camera.place[2]) / rays[:, 2]
    assert np.allclose(camera.place + reach[:, None] * rays, points, atol=1e-4)


def test_seen_from_the_tailgate_the_vehicle_lies_ahead() -> None:
    """Common practice, no source: the picture's upper edge points into the vehicle."""
    facts = truth(*_scene(flat(facing=-90.0, roll=0.0, tilt=15.0, aside=0.0)))
    first, last = facts["corners"][0][0], facts["corners"][10][0]
    assert last[1] < first[1] - 300
    assert facts["corners"][1][0][0] > first[0] + 30
    assert facts["camera"][0] < facts["d"]
    assert facts["camera"][2] > 200


def _scene(setup: Setup) -> tuple[Setup, Any, Any, Any]:
    return setup, camera_of(setup), strip_of(setup), slider_of(setup)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, 0.0),
        ({"gap_sill": 0.1}, -0.1),
        ({"gap_hook": 0.12}, -0.12),
        ({"strip_cut": 0.3}, 0.3),
        ({"slider_cut": 0.2}, -0.2),
        ({"sill_off": 1.5}, -1.5),
        ({"slider_yaw": 2.0}, -17 * math.sin(math.radians(2))),
        ({"step": 7.0}, 0.0),
    ],
)
def test_what_a_faultless_camera_would_read(changes: dict[str, float], expected: float) -> None:
    """Computed independently on paper: what each fault of print and placement does alone."""
    setup = flat(**changes)
    ideal, height = ideal_reading(strip_of(setup), slider_of(setup))
    # a turned slider is read at its tag's middle, 17 mm behind the front edge
    assert ideal - setup.hook_distance == pytest.approx(expected, abs=1e-6)
    assert height == pytest.approx(setup.step, abs=1e-9)


def test_a_large_print_reads_short() -> None:
    setup = flat(scale_u=0.01)
    middle = (setup.hook_distance - 17 * 1.01) / 1.01
    assert ideal_reading(strip_of(setup), slider_of(setup))[0] == pytest.approx(middle + 17, abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("kind", ["stated", "curved", "rib", "lip"])
def test_nothing_enters_sill_or_hook(kind: str, seed: int) -> None:
    setup = sample(kind, seed)
    strip, slider = strip_of(setup).outline(2), slider_of(setup).outline()
    assert strip[[0, 6], 0].min() == pytest.approx(setup.sill_off + setup.gap_sill, abs=1e-9)
    assert slider[:, 0].max() == pytest.approx(setup.hook_distance - setup.gap_hook, abs=1e-9)
    assert setup.gap_sill >= 0
    assert setup.gap_hook >= 0
    assert (-strip[:, 2]).min() == pytest.approx(setup.stock, abs=1e-9)


def test_boards_rock_over_a_rib_and_lie_on_a_lip() -> None:
    """Computed independently by similar triangles."""
    across = flat(rib=3.0, rib_under="strip", rib_runs="across", rib_share=0.25)
    heights = -strip_of(across).outline()[:, 2] - across.stock
    assert heights[[0, 3]] == pytest.approx([3.0 * 180 / 135] * 2, abs=1e-9)
    assert heights[[1, 2]] == pytest.approx([0, 0], abs=1e-9)
    along = flat(rib=2.0, rib_under="slider", rib_runs="along", rib_share=0.75)
    heights = -slider_of(along).outline()[:, 2] - along.stock
    assert heights[[2, 3]] == pytest.approx([2.0 * 34 / 25.5] * 2, abs=1e-9)
    lip = flat(sill_form="lip-under", lip=6.0)
    heights = -strip_of(lip).outline()[:, 2] - lip.stock
    assert heights[[0, 3]] == pytest.approx([6.0, 6.0], abs=1e-9)


def test_a_step_moves_the_slider_by_the_tangent() -> None:
    """Computed independently with cv2.findHomography and similar triangles: h x away / (height - h)."""
    readings = []
    for step in (0.0, 6.0):
        facts = truth(*_scene(flat(tilt=35.0, step=step)))
        printed = np.concatenate([tag_square(at) for at in TAG_AT.values()])
        matrix, _ = cv2.findHomography(np.concatenate([facts["corners"][tag] for tag in TAG_AT]), printed)
        laid = cv2.perspectiveTransform(facts["corners"][SLIDER_TAG].reshape(1, 4, 2), matrix).reshape(4, 2)
        readings.append(laid[1:3, 0].mean())
    u, _, above = facts["camera"]
    front, height = facts["d"] - 5.0, above - 3.0
    assert flat().stock == pytest.approx(3.0)
    assert readings[1] - readings[0] == pytest.approx(6.0 * (front - u) / (height - 6.0), abs=0.02)


def test_blur_is_that_of_linear_light() -> None:
    """Computed independently: variances of blur, smear and two bilinear readings add up on an edge."""
    light = np.zeros((80, 200), dtype=np.float32)
    light[:, 100:] = 1.0
    setup = replace(flat(), blur=1.3, motion=4.0, motion_turn=0.0)
    edge = np.diff(sensor.smeared(light, setup)[40].astype(np.float64))
    place = np.arange(len(edge))
    middle = (place * edge).sum()
    assert middle == pytest.approx(99, abs=1e-3)
    spread = ((place - middle) ** 2 * edge).sum()
    assert spread == pytest.approx(1.3**2 + 4.0**2 / 12 + 1 / 6, abs=0.05)
    upright = np.diff(sensor.smeared(light, replace(setup, motion_turn=90.0))[40].astype(np.float64))
    assert ((place - middle) ** 2 * upright).sum() == pytest.approx(1.3**2, abs=0.25)


def test_noise_grows_with_light() -> None:
    """Computed independently: photons scatter by the root of their number."""
    for level in (0.1, 0.4):
        light = np.full((400, 400), level, dtype=np.float32)
        setup = replace(flat(), shot_noise=0.02, read_noise=0.003)
        back = linear(sensor.expose(light, setup)[..., 1])
        assert float(back.mean()) == pytest.approx(level, rel=0.01)
        assert float(back.std()) == pytest.approx(math.sqrt(0.02**2 * level + 0.003**2), rel=0.06)


def test_tone_sharpening_and_jpeg_change_the_picture() -> None:
    light = np.zeros((64, 64), dtype=np.float32)
    light[:, 32:] = 0.5
    plain = sensor.expose(light, flat())
    assert plain[0, 0, 0] == 0
    assert abs(int(plain[0, -1, 1]) - 188) <= 1  # published: IEC 61966-2-1, 1999, half the light is code 188
    assert sensor.expose(light, replace(flat(), contrast=0.3))[0, -1, 1] > plain[0, -1, 1]
    sharp = sensor.expose(light, replace(flat(), sharpening=0.8, sharpening_radius=1.2))
    assert sharp[32].max() > plain[32].max() + 20
    packed = sensor.expose(light, replace(flat(), blur=1.0, jpeg_quality=40))
    assert not np.array_equal(packed, sensor.expose(light, replace(flat(), blur=1.0)))


def test_ink_grows_by_what_is_said() -> None:
    """The black square's sides grow by twice the gain."""
    sides = []
    for gain in (0.0, 0.05):
        setup = replace(flat(), ink_gain=gain)
        picture, known = render(setup)
        quad = known["corners"][4]
        seen = seen_corners(linear(picture[..., 1]), quad, 0.8 * known["per_mm"])
        sides.append(np.linalg.norm(np.roll(seen, -1, axis=0) - seen, axis=1).sum() / 4 / known["per_mm"])
    assert sides[1] - sides[0] == pytest.approx(0.1, rel=0.2)


def test_light_has_gradient_shadow_and_exposure() -> None:
    setup = flat()
    bright = render(setup)[0].astype(np.float64)
    dim = render(replace(setup, exposure=0.5))[0].astype(np.float64)
    assert dim.mean() < bright.mean() * 0.8
    left, top, width, height = render(setup)[1]["region"]
    shadowed = render(replace(setup, shadow=0.6, shadow_u=90.0, shadow_turn=0.0, shadow_soft=3.0))
    first, last = (shadowed[1]["corners"][tag].mean(axis=0).round().astype(int) for tag in (0, 10))
    patch = [shadowed[0][y - 20 : y + 20, x - 20 : x + 20].max() for x, y in (first, last)]
    assert patch[1] < patch[0] - 60
    assert shadowed[1]["region"] == (left, top, width, height)


def test_kinds_carry_their_fault_and_the_stated_one_carries_none() -> None:
    for seed in range(30):
        errors = {}
        for kind in kinds():
            setup = sample(kind, seed)
            ideal, height = ideal_reading(strip_of(setup), slider_of(setup))
            errors[kind] = (ideal - setup.hook_distance, height - setup.stated_height)
        assert abs(errors["stated"][0]) < 1.0
        assert abs(errors["stated"][1]) < 0.8
        assert 0.4 < errors["step"][1] < 10.6
        assert abs(errors["raised"][1]) < 0.8
        assert sample("raised", seed).stated_height >= 2
        assert sample("rib", seed).rib_under in {"strip", "slider"}
        assert sample("lip", seed).sill_form in {"lip-under", "lip-bead"}
        assert abs(sample("curved", seed).sill_off) <= 1.5
        assert abs(sample("scale", seed).scale_u) <= 0.01
        assert abs(sample("cut", seed).strip_cut) <= 0.5
