"""Colours as people see them apart: from a photo's codes to linear light, CIELAB, and CIEDE2000 between two.

sRGB and its white D65 from memory of IEC 61966-2-1, CIELAB of CIE 15, CIEDE2000 of ISO/CIE 11664-6.
"""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

_KNEE: Final = 0.04045  # below it sRGB is a straight line
_XYZ: Final = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]],
)
_WHITE: Final = _XYZ.sum(axis=1)  # so that equal channels are exactly neutral
_DELTA: Final = 6 / 29  # where CIELAB turns from a straight line to a cube root
_FULL: Final = 25.0**7
_TURN: Final = 360.0


def _codes() -> Floats:
    code = np.arange(256) / 255
    return np.where(code <= _KNEE, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


LINEAR: Final = _codes()
"""Linear light of each 8-bit sRGB code, 0 to 1."""


def linear(pixels: Pixels) -> Floats:
    """Linear light of 8-bit sRGB pixels, any shape."""
    return LINEAR[pixels]


def declared(colour: str) -> Floats:
    """Linear light (3,) of a colour written as ``#rrggbb``."""
    return linear(np.frombuffer(bytes.fromhex(colour.removeprefix("#")), dtype=np.uint8))


def luminance(light: Floats) -> Floats:
    """Luminance of linear sRGB (..., 3), 1 for white."""
    brightness: Floats = light @ _XYZ[1]
    return brightness


def lab(light: Floats) -> Floats:
    """CIELAB of linear sRGB (..., 3) against D65; light below zero counts as none."""
    share = np.maximum(light, 0.0) @ _XYZ.T / _WHITE
    bent = np.where(share > _DELTA**3, np.cbrt(share), share / (3 * _DELTA**2) + 4 / 29)
    x, y, z = bent[..., 0], bent[..., 1], bent[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def chroma(colours: Floats) -> Floats:
    """Chroma of CIELAB colours (..., 3)."""
    return np.hypot(colours[..., 1], colours[..., 2])


def ciede2000(first: NDArray[Any], second: NDArray[Any]) -> Floats:
    """CIEDE2000 between CIELAB colours (..., 3), all weights one; both are broadcast."""
    first, second = np.broadcast_arrays(
        np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    )
    middle = (chroma(first) + chroma(second)) / 2
    stretch = 1.5 - 0.5 * _saturation(middle)
    red_one, red_two = first[..., 1] * stretch, second[..., 1] * stretch
    chroma_one, chroma_two = np.hypot(red_one, first[..., 2]), np.hypot(red_two, second[..., 2])
    hue_one, hue_two = _hue(red_one, first[..., 2]), _hue(red_two, second[..., 2])
    grey = chroma_one * chroma_two == 0
    turn = np.where(grey, 0.0, hue_two - hue_one)
    far = np.abs(turn) > _TURN / 2
    turn = np.where(far, turn - np.sign(turn) * _TURN, turn)
    hue = (hue_one + hue_two) / np.where(grey, 1.0, 2.0)
    hue = np.where(far, np.where(hue < _TURN / 2, hue + _TURN / 2, hue - _TURN / 2), hue)
    lightness = (first[..., 0] + second[..., 0]) / 2
    mean = (chroma_one + chroma_two) / 2
    light_step = (second[..., 0] - first[..., 0]) / _light_weight(lightness)
    chroma_step = (chroma_two - chroma_one) / (1 + 0.045 * mean)
    arc = 2 * np.sqrt(chroma_one * chroma_two) * np.sin(np.radians(turn / 2))
    hue_step = arc / (1 + 0.015 * mean * _hue_weight(hue))
    rotation = -np.sin(np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2)))) * 2 * _saturation(mean)
    square = light_step**2 + chroma_step**2 + hue_step**2 + rotation * chroma_step * hue_step
    difference: Floats = np.sqrt(np.maximum(square, 0.0))
    return difference


def _saturation(mean: Floats) -> Floats:
    cube = mean * mean * mean
    seventh = cube * cube * mean  # ten times as fast as the power
    return np.sqrt(seventh / (seventh + _FULL))


def _hue(red: Floats, yellow: Floats) -> Floats:
    """Degrees from 0 to 360."""
    return np.degrees(np.arctan2(yellow, red)) % _TURN


def _light_weight(lightness: Floats) -> Floats:
    off = (lightness - 50) ** 2
    return 1 + 0.015 * off / np.sqrt(20 + off)


def _hue_weight(hue: Floats) -> Floats:
    first = 1.0 - 0.17 * np.cos(np.radians(hue - 30)) + 0.24 * np.cos(np.radians(2 * hue))
    weight: Floats = first + 0.32 * np.cos(np.radians(3 * hue + 6)) - 0.20 * np.cos(np.radians(4 * hue - 63))
    return weight


def gains(neutral: Floats, reflectance: float) -> Floats:
    """Factors (3,) for each channel that make a neutral patch grey, and as bright as it is.

    Args:
        neutral: (3,) linear light that the photo shows of the patch, all positive.
        reflectance: of the patch, 1 for a perfect white.

    Raises:
        ValueError: a channel without light.
    """
    if not (neutral > 0).all():
        raise ValueError("a neutral patch without light")
    return reflectance / neutral
