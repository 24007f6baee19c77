"""What is printed, as reflectance and coverage at several scales, and the floor's textures."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.random import PCG64, Generator
from numpy.typing import NDArray

from tests.scene import print_art, textures
from tests.scene.study.places import Surface
from tests.scene.study.setups import Setup

Bytes = NDArray[np.uint8]
Singles = NDArray[np.float32]

PER_MM = 12  # texels of a print; every tag's corner then lies between texels
MARGIN_MM = 3  # bare around a print, so that its edges are filtered like its ink
STEPS = (12, 6, 4, 3, 2)  # texels a millimetre that divide the print evenly
FLOOR_PER_MM = 2.0
FLOOR_MM = (900, 700)
FLOOR_FROM = (-300.0, -300.0)  # u and v of the floor texture's corner


def decoded() -> Singles:
    """Return linear light of each 8-bit sRGB code; from memory of IEC 61966-2-1."""
    code = np.arange(256) / 255
    light = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    return np.asarray(light, dtype=np.float32)


@cache
def _printed(which: str) -> Singles:
    """Reflectance of a print between black ink 0 and paper 1."""
    picture = print_art.gauge_card("GC-STUDY") if which == "strip" else print_art.gauge_slider()
    if print_art.CARD_PER_MM != PER_MM:
        raise ValueError("the card's art has another scale than the study")
    light = cv2.LUT(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), decoded())
    low, high = float(light.min()), float(np.median(light[:12]))
    return np.asarray(np.clip((light - low) / (high - low), 0, 1), dtype=np.float32)


def texture(which: str, setup: Setup, surface: Surface, steps: tuple[int, int]) -> Singles:
    """Return a print as (rows, columns, 2): reflectance times coverage, and coverage, with its bare margin.

    Args:
        which: strip or slider.
        setup: for ink and paper.
        surface: for its cut edges.
        steps: texels a millimetre along u and v, each of ``STEPS``.
    """
    pattern = _grown(_printed(which), setup.ink_gain * PER_MM)
    pattern = setup.ink + (setup.paper - setup.ink) * pattern
    margin = MARGIN_MM * PER_MM
    wide = cv2.copyMakeBorder(pattern, *(margin,) * 4, cv2.BORDER_REPLICATE)
    columns = _covered(wide.shape[1], surface.low[0], surface.high[0])
    rows = _covered(wide.shape[0], surface.low[1], surface.high[1])
    covered = rows[:, None] * columns[None, :]
    both = np.dstack([wide * covered, covered]).astype(np.float32)
    if steps == (PER_MM, PER_MM):
        return both
    size = (wide.shape[1] * steps[0] // PER_MM, wide.shape[0] * steps[1] // PER_MM)
    return np.asarray(cv2.resize(both, size, interpolation=cv2.INTER_AREA), dtype=np.float32)


def _grown(pattern: Singles, texels: float) -> Singles:
    """Let the ink's edges grow by less than a texel."""
    kernel = np.ones((3, 3), dtype=np.uint8)
    moved = cv2.erode(pattern, kernel) if texels > 0 else cv2.dilate(pattern, kernel)
    return np.asarray(cv2.addWeighted(pattern, 1 - abs(texels), moved, abs(texels), 0), dtype=np.float32)


def _covered(count: int, low: float, high: float) -> Singles:
    """Share of each texel of a row that lies between two cut edges, print mm."""
    left = np.arange(count) / PER_MM - MARGIN_MM
    inside = np.minimum(left + 1 / PER_MM, high) - np.maximum(left, low)
    return np.asarray(np.clip(inside * PER_MM, 0, 1), dtype=np.float32)


def step_for(pixels_per_mm: float) -> int:
    """Return the coarsest scale that is still finer than the picture."""
    return min((step for step in STEPS if step >= pixels_per_mm), default=PER_MM)


@cache
def floor(kind: str, seed: int) -> Bytes:
    """Return a floor texture, (rows, columns) linear light in 1/255, ``FLOOR_PER_MM`` texels a millimetre."""
    rng = Generator(PCG64(seed))
    shape = (round(FLOOR_MM[1] * FLOOR_PER_MM), round(FLOOR_MM[0] * FLOOR_PER_MM))
    if kind == "vinyl":
        picture = textures.speckled_vinyl(shape, FLOOR_PER_MM, rng)
    elif kind == "chequer":
        picture = textures.chequer_plate(shape, FLOOR_PER_MM, rng)
    else:
        picture = textures.painted(shape, FLOOR_PER_MM, rng, (120, 116, 104))
    light = cv2.LUT(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), decoded())
    return np.asarray(np.round(light * 255), dtype=np.uint8)
