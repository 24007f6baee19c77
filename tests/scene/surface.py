"""Textures: 8-bit pictures with a scale, and their reduced copies in linear light."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Linear = NDArray[np.uint16]
LINEAR_WHITE = 52000  # head-room above white, so that light can exceed a white wall before it clips


def _decode(value: int) -> float:
    """Return the linear share of an 8-bit sRGB value (from memory of IEC 61966-2-1, transfer function)."""
    share = value / 255.0
    return share / 12.92 if share <= 0.04045 else math.pow((share + 0.055) / 1.055, 2.4)


def _encode(share: float) -> int:
    """Return the 8-bit sRGB value of a linear share, clipped to 255."""
    share = min(share, 1.0)
    encoded = share * 12.92 if share <= 0.0031308 else 1.055 * math.pow(share, 1.0 / 2.4) - 0.055
    return round(encoded * 255.0)


LINEAR_SHARE = tuple(_decode(value) for value in range(256))
ENCODE_TABLE: Bytes = np.array([_encode(value / LINEAR_WHITE) for value in range(65536)], dtype=np.uint8)


@dataclass(frozen=True, eq=False)
class Surface:
    """A texture with its scale.

    Attributes:
        pixels: (rows, columns, 4) 8-bit sRGB and opacity, row 0 at the panel's origin.
        per_mm: texels a millimetre, in both directions.
    """

    pixels: Bytes
    per_mm: float
    _levels: dict[tuple[int, int, Light], Linear] = field(default_factory=dict, repr=False)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width (along u) and height (along v) in mm."""
        return self.pixels.shape[1] / self.per_mm, self.pixels.shape[0] / self.per_mm

    def level(self, halvings_u: int, halvings_v: int, light: Light) -> Linear:
        """Return the texture in linear light, premultiplied by opacity, reduced by powers of two a direction."""
        key = (halvings_u, halvings_v, light)
        if key not in self._levels:
            self._levels[key] = self._reduced(halvings_u, halvings_v, light)
        return self._levels[key]

    def forget(self) -> None:
        """Drop the reduced copies, which are far larger than the texture."""
        self._levels.clear()

    def _reduced(self, halvings_u: int, halvings_v: int, light: Light) -> Linear:
        step_u, step_v = 1 << halvings_u, 1 << halvings_v
        if halvings_u == 0 and halvings_v == 0:
            return _lit(self.pixels, light)
        full = self.level(0, 0, light)
        rows, columns = full.shape[:2]
        # Texels beyond the edge are transparent: a reduced edge texel is then partly covered, as it should be.
        padded = cv2.copyMakeBorder(
            full, 0, -rows % step_v, 0, -columns % step_u, cv2.BORDER_CONSTANT, value=(0, 0, 0, 0)
        )
        size = (padded.shape[1] // step_u, padded.shape[0] // step_v)
        return np.asarray(cv2.resize(padded, size, interpolation=cv2.INTER_AREA), dtype=np.uint16)


Light = tuple[float, float, float]
"""Light that falls on a face, relative to full white light: red, green, blue."""


def _lit(pixels: Bytes, light: Light) -> Linear:
    table = np.zeros((1, 256, 4), dtype=np.uint16)
    for channel in range(3):
        peak = light[channel] * LINEAR_WHITE
        table[0, :, channel] = [min(65535, round(share * peak)) for share in LINEAR_SHARE]
    table[0, :, 3] = [value * 257 for value in range(256)]
    linear = np.asarray(cv2.LUT(pixels, table), dtype=np.uint16)
    opacity = pixels[:, :, 3]
    if int(opacity.min()) < 255:
        share = opacity.astype(np.uint32)[:, :, None]
        linear[:, :, :3] = (linear[:, :, :3] * share // 255).astype(np.uint16)
    return linear


def opaque(colour: Bytes, per_mm: float) -> Surface:
    """Return a surface from (rows, columns, 3) sRGB with full opacity."""
    alpha = np.full((*colour.shape[:2], 1), 255, dtype=np.uint8)
    return Surface(np.concatenate([colour, alpha], axis=2), per_mm)


def veil(opacity: Bytes, colour: tuple[int, int, int], per_mm: float) -> Surface:
    """Return one colour laid on with the given opacity (a shadow, a stain, a pen line)."""
    pixels = np.empty((*opacity.shape, 4), dtype=np.uint8)
    pixels[:, :, :3] = colour
    pixels[:, :, 3] = opacity
    return Surface(pixels, per_mm)
