"""The study's lock windows: the picture shows the state, the colours and the spoiling that the truth names."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tests.scene.study.window import WindowSetup, places, render_window, sample_window, window_ranges

Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]

STATES = ("locked", "open", "between", "other")
SPOILING = (
    *(
        "turn",
        "slant_x",
        "slant_y",
        "paint_error",
        "fading",
        "rim",
        "rim_wide",
        "gap",
        "dirt",
        "film",
        "glare",
    ),
    *("shadow", "gradient", "cast_red", "cast_blue", "blur", "shot_noise", "read_noise", "contrast"),
    "corner_error",
)


def plain(seed: int, state: str, **changes: Any) -> WindowSetup:
    """A window that nothing spoils, but for some changes; blue when locked, amber when open."""
    none: dict[str, Any] = dict.fromkeys(SPOILING, 0.0)
    even: dict[str, Any] = {"lamp": (1.0,) * 3, "mixed": (1.0,) * 3, "sunken": 1.0, "exposure": 1.0}
    even |= {"blur": 0.5, "jpeg_quality": 0, "locked": "#265cb2", "open": "#eca020", "distractors": 0}
    return replace(sample_window(seed, state), **(none | even | changes))


def inside(picture: Bytes, corners: Floats, margin: float = 0.15) -> Floats:
    """Pixels well inside a quadrilateral, (n, 3)."""
    middle = corners.mean(axis=0)
    mask = np.zeros(picture.shape[:2], dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.round(middle + (corners - middle) * (1 - margin)).astype(np.int32), 1)
    pixels: Floats = picture[mask == 1].astype(np.float64)
    return pixels


def linear(codes: Floats) -> Floats:
    """Linear light of sRGB codes; from memory of IEC 61966-2-1."""
    code = codes / 255
    light: Floats = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    return light


@pytest.mark.parametrize("state", STATES)
def test_the_same_seed_gives_the_same_window(state: str) -> None:
    setup = sample_window(5, state)
    first, known = render_window(setup)
    assert first.shape == (1200, 1600, 3)
    assert np.array_equal(first, render_window(sample_window(5, state))[0])
    assert known["state"] == state
    other = sample_window(5, state, photo=1)
    assert (other.wide, other.high, other.locked) == (setup.wide, setup.high, setup.locked)
    assert other.exposure != setup.exposure
    assert not np.array_equal(first, render_window(other)[0])


def test_window_and_tile_are_in_the_picture() -> None:
    for seed in range(200):
        known = places(sample_window(seed, "locked"))
        seen = np.concatenate([known["corners"], known["white"], known["grey"]])
        assert (seen > 5).all(), seed
        assert (seen < np.array([1594, 1194])).all(), seed


@pytest.mark.parametrize(("state", "code"), [("locked", (0x26, 0x5C, 0xB2)), ("open", (0xEC, 0xA0, 0x20))])
def test_an_unspoiled_window_has_the_declared_colour(state: str, code: tuple[int, int, int]) -> None:
    """The tile's grey is half-way in CIE lightness: computed independently, (50 + 16) / 116 cubed is 0.184."""
    picture, known = render_window(plain(3, state))
    assert np.abs(np.median(inside(picture, known["corners"]), axis=0) - code).max() <= 1
    white, grey = (np.median(linear(inside(picture, known[name]))) for name in ("white", "grey"))
    assert white == pytest.approx(known["white_reflectance"], abs=0.01)
    assert grey / white == pytest.approx(((50 + 16) / 116) ** 3, abs=0.005)


@pytest.mark.parametrize("turn", [0, 90, 30])
def test_a_window_between_shows_both_in_their_shares(turn: int) -> None:
    picture, known = render_window(plain(4, "between", share=0.3, share_turn=turn, gap=0.1))
    seen = inside(picture, known["corners"], 0.0)
    blue, amber = (np.abs(seen - code).max(axis=1) < 12 for code in ((0x26, 0x5C, 0xB2), (0xEC, 0xA0, 0x20)))
    assert known["fractions"]["locked"] == pytest.approx(0.27, abs=0.01)
    assert known["fractions"]["open"] == pytest.approx(0.63, abs=0.01)
    assert blue.mean() == pytest.approx(0.27, abs=0.04)
    assert amber.mean() == pytest.approx(0.63, abs=0.04)


@pytest.mark.parametrize("other", ["blank", "dark", "third", "tape"])
def test_another_window_shows_neither_colour(other: str) -> None:
    picture, known = render_window(plain(6, "other", other=other))
    seen = np.median(inside(picture, known["corners"]), axis=0)
    assert known["fractions"] == {"locked": 0.0, "open": 0.0, "neither": 1.0}
    assert min(np.abs(seen - code).max() for code in ((0x26, 0x5C, 0xB2), (0xEC, 0xA0, 0x20))) > 40


def test_light_falls_on_tile_and_window_as_said() -> None:
    base = render_window(plain(3, "locked"))
    tile = np.median(linear(inside(base[0], base[1]["white"])), axis=0)
    field = np.median(linear(inside(base[0], base[1]["corners"])), axis=0)
    cast = render_window(plain(3, "locked", lamp=(1.0, 0.5, 0.25), cast_blue=0.2, exposure=0.8))
    share = np.median(linear(inside(cast[0], cast[1]["white"])), axis=0) / tile
    assert share == pytest.approx([0.8, 0.4, 0.24], abs=0.02)
    mixed = render_window(plain(3, "locked", mixed=(0.5, 1.0, 1.0), sunken=0.8))
    assert np.median(linear(inside(mixed[0], mixed[1]["white"])), axis=0) == pytest.approx(tile, abs=0.01)
    share = np.median(linear(inside(mixed[0], mixed[1]["corners"])), axis=0) / field
    assert share == pytest.approx([0.4, 0.8, 0.8], abs=0.05)


def test_spoiling_covers_what_it_says() -> None:
    base, known = render_window(plain(3, "locked"))
    clean = inside(base, known["corners"], 0.0)
    dirty = inside(render_window(plain(3, "locked", dirt=0.2))[0], known["corners"], 0.0)
    # the last spot may go a little beyond
    assert 0.15 < float((np.abs(dirty - clean).max(axis=1) > 8).mean()) < 0.3
    gleam = inside(
        render_window(plain(3, "locked", glare=0.9, glare_wide=0.3, glare_x=0.5, glare_y=0.5))[0],
        known["corners"],
        0,
    )
    assert gleam.min(axis=1).max() > 240
    assert np.abs(gleam - clean).max(axis=1).min() < 3
    shaded = render_window(plain(3, "locked", shadow=0.5, shadow_at=0.5, shadow_turn=0.0))[0]
    light = linear(inside(shaded, known["corners"], 0.0))[:, 2] / linear(clean)[:, 2]
    assert 0.3 < float((light < 0.6).mean()) < 0.7


def test_distractors_lie_outside_the_frame() -> None:
    for seed in range(2):
        alone = render_window(plain(seed, "locked"))
        beside = render_window(plain(seed, "locked", distractors=4, distractor_near=0.5))
        changed = np.abs(alone[0].astype(int) - beside[0]).max(axis=2) > 30
        assert changed.mean() > 0.001
        assert not inside(
            np.repeat(changed[..., None], 3, axis=2).astype(np.uint8), alone[1]["corners"], 0.0
        ).any()


def test_declared_pairs_are_two_colours_each() -> None:
    pairs = [pair for pair, _ in window_ranges()["pairs"]]
    assert len(pairs) >= 8
    assert all(locked != opened and len(locked) == len(opened) == 7 for locked, opened in pairs)


def test_clicked_corners_are_off_by_a_share_of_the_side() -> None:
    _, known = render_window(plain(3, "locked", corner_error=0.02))
    off = np.abs(known["clicked"] - known["corners"]).max()
    side = np.linalg.norm(np.diff(known["corners"], axis=0), axis=1).min()
    assert 0 < off <= 0.02 * side
