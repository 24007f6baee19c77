"""From light to file: lens blur, smear, noise, tone curve, sharpening, JPEG."""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from tests.scene.study.setups import Setup, generator

Bytes = NDArray[np.uint8]
Singles = NDArray[np.float32]

CODES = 4096  # steps of the table from light to encoded light
OVER = 1.25  # brightest light of the table


def expose(light: Singles, setup: Setup) -> Bytes:
    """Return what the phone stores, (rows, columns, 3) sRGB.

    Args:
        light: (rows, columns) linear light, white 1.
        setup: blur, noise, tone, sharpening and quality.
    """
    seen = smeared(light, setup)
    if setup.shot_noise > 0 or setup.read_noise > 0:
        seen = noisy(seen, (setup.shot_noise, setup.read_noise), generator(setup.seed, setup.kind, "noise"))
    code = encoded(seen, setup.contrast)
    if setup.sharpening > 0:
        soft = cv2.GaussianBlur(code, (0, 0), setup.sharpening_radius)
        code = np.asarray(
            cv2.addWeighted(code, 1 + setup.sharpening, soft, -setup.sharpening, 0), dtype=np.float32
        )
    return stored(tinted(rounded(code), setup.warmth), setup.jpeg_quality)


def noisy(light: Singles, noise: tuple[float, float], rng: Generator) -> Singles:
    """Add photon noise (its standard deviation at white) and reading noise to linear light of any shape."""
    spread = np.sqrt(np.maximum(light, 0) * np.float32(noise[0] ** 2) + np.float32(noise[1] ** 2))
    return np.asarray(light + rng.standard_normal(light.shape, dtype=np.float32) * spread, dtype=np.float32)


def rounded(code: Singles) -> Bytes:
    """Round encoded light, 0 to 1, to 8 bits."""
    return np.asarray(cv2.convertScaleAbs(np.maximum(code, 0), alpha=255), dtype=np.uint8)


def smeared(light: Singles, setup: Setup) -> Singles:
    """Blur linear light by the lens and by the hand."""
    seen = light
    if setup.blur > 0:
        seen = np.asarray(cv2.GaussianBlur(seen, (0, 0), setup.blur), dtype=np.float32)
    if setup.motion > 0:
        seen = np.asarray(
            cv2.filter2D(seen, -1, smear(setup.motion, setup.motion_turn), borderType=cv2.BORDER_REPLICATE),
            dtype=np.float32,
        )
    return seen


def smear(length: float, turn: float) -> Singles:
    """Return the kernel of a straight smear: its centre stays, its variance along itself is length^2 / 12."""
    reach = math.ceil(length / 2) + 1
    kernel = np.zeros((2 * reach + 1,) * 2, dtype=np.float32)
    for run in (np.arange(64) + 0.5) / 64 * length - length / 2:
        x, y = reach + run * math.cos(math.radians(turn)), reach + run * math.sin(math.radians(turn))
        left, top = math.floor(x), math.floor(y)
        for i, share_x in ((left, left + 1 - x), (left + 1, x - left)):
            for j, share_y in ((top, top + 1 - y), (top + 1, y - top)):
                kernel[j, i] += share_x * share_y
    return np.asarray(kernel / kernel.sum(), dtype=np.float32)


def tone(contrast: float) -> Singles:
    """Return encoded light, 0 to 1, of ``CODES`` equal steps of linear light from 0 to ``OVER``."""
    light = np.minimum(np.linspace(0, OVER, CODES), 1.0)
    code = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    curved = code + contrast * (code * code * (3 - 2 * code) - code)
    return np.asarray(curved, dtype=np.float32)


def encoded(light: Singles, contrast: float) -> Singles:
    """Encode linear light by the tone curve, 0 to 1."""
    # the table is bent most near black, where a straight look-up by rounding is coarser than a code: interpolate
    scaled = np.clip(light, 0, OVER) * np.float32((CODES - 1) / OVER)
    flat = np.zeros_like(scaled)
    table = tone(contrast)[None, :]
    return np.asarray(cv2.remap(table, scaled, flat, cv2.INTER_LINEAR), dtype=np.float32)


def tinted(grey: Bytes, warmth: float) -> Bytes:
    """Give grey the lamp's colour: red over blue, green as it is."""
    codes = np.arange(256)
    red = np.clip(np.round(codes * (1 + warmth / 2)), 0, 255).astype(np.uint8)
    blue = np.clip(np.round(codes * (1 - warmth / 2)), 0, 255).astype(np.uint8)
    return np.asarray(cv2.merge([cv2.LUT(grey, red), grey, cv2.LUT(grey, blue)]), dtype=np.uint8)


def stored(picture: Bytes, quality: int) -> Bytes:
    """Return an RGB picture as it comes back from JPEG; quality 0 stores it as it is."""
    if quality == 0:
        return picture
    swapped = cv2.cvtColor(picture, cv2.COLOR_RGB2BGR)
    _, data = cv2.imencode(".jpg", swapped, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return np.asarray(cv2.imdecode(data, cv2.IMREAD_COLOR_RGB), dtype=np.uint8)
