"""A scene as data, and its development into an 8-bit picture."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from statistics import NormalDist
from typing import TYPE_CHECKING

import cv2
import numpy as np
from numpy.random import PCG64, Generator

from tests.scene.print_art import Sheet
from tests.scene.raster import Panel, blank, paint_panel
from tests.scene.solids import Lamp, Solid, nearest_last, shadow_panel, solid_panels
from tests.scene.surface import ENCODE_TABLE, Bytes, Linear

if TYPE_CHECKING:
    from tests.scene.geometry import Camera

NOTICE = "rendered demonstration scene"


@dataclass(frozen=True)
class Solids:
    """Convex solids that may hide one another; painted far to near.

    Attributes:
        parts: the solids.
        shadow_on: height of the level plane that takes their shadow, None for no shadow.
        softness_mm: width of the shadow's blurred edge.
    """

    parts: tuple[Solid, ...]
    shadow_on: float | None = None
    softness_mm: float = 9.0


@dataclass(frozen=True)
class Defocus:
    """Blurs all that has been painted so far: what lies behind the plane of focus."""

    sigma_px: float


Element = Panel | Solids | Defocus


@dataclass(frozen=True)
class Look:
    """What lens, sensor and room do to the picture.

    Attributes:
        light_percent: rows of a coarse grid of brightness over the picture, 100 for none.
        blur_px: standard deviation of the lens blur.
        noise: standard deviation of the sensor noise in sRGB steps.
    """

    light_percent: tuple[tuple[int, ...], ...] = ((78, 92, 84), (96, 108, 98), (80, 96, 86))
    blur_px: float = 0.8
    noise: float = 1.2


@dataclass(frozen=True)
class Scene:
    """Everything that decides a picture.

    Attributes:
        camera: where it is taken from.
        elements: what is in it, in painting order (far or lower things first).
        lamp: how it is lit.
        look: lens, sensor and room.
        seed: seed of grain and noise.
    """

    camera: Camera
    elements: tuple[Element, ...]
    lamp: Lamp = field(default_factory=Lamp)
    look: Look = field(default_factory=Look)
    seed: int = 1


def render(scene: Scene) -> Bytes:
    """Return the scene's picture, (height, width, 3) 8-bit sRGB, with the printed notice in its corner."""
    rng = Generator(PCG64(scene.seed))
    picture = blank(scene.camera)
    for element in scene.elements:
        if isinstance(element, Panel):
            paint_panel(picture, scene.camera, _tinted(element, scene.lamp))
        elif isinstance(element, Defocus):
            picture = _blurred(picture, element.sigma_px)
        else:
            _paint_solids(picture, scene, element, rng)
    return _developed(picture, scene.look, rng)


def _tinted(panel: Panel, lamp: Lamp) -> Panel:
    red, green, blue = (share * tint for share, tint in zip(panel.light, lamp.tint, strict=True))
    return replace(panel, light=(red, green, blue))


def _paint_solids(picture: Linear, scene: Scene, group: Solids, rng: Generator) -> None:
    if group.shadow_on is not None:
        paint_panel(
            picture, scene.camera, shadow_panel(group.parts, scene.lamp, group.shadow_on, group.softness_mm)
        )
    for solid in nearest_last(group.parts, scene.camera):
        for panel in solid_panels(solid, scene.camera, scene.lamp, rng):
            paint_panel(picture, scene.camera, panel)


def _blurred(picture: Linear, sigma_px: float) -> Linear:
    if sigma_px >= 4.0:  # a strong blur loses nothing at half size
        size = (picture.shape[1], picture.shape[0])
        half = np.asarray(
            cv2.resize(picture, (size[0] // 2, size[1] // 2), interpolation=cv2.INTER_AREA), dtype=np.uint16
        )
        return np.asarray(
            cv2.resize(_blurred(half, sigma_px / 2.0), size, interpolation=cv2.INTER_LINEAR), dtype=np.uint16
        )
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), sigma_px), dtype=np.uint16)


def _developed(picture: Linear, look: Look, rng: Generator) -> Bytes:
    lit = _with_light(_blurred(picture, look.blur_px), look)
    encoded = np.take(ENCODE_TABLE, lit)
    return _with_notice(_with_noise(encoded, look.noise, rng))


def _with_light(picture: Linear, look: Look) -> Linear:
    grid = np.array(look.light_percent, dtype=np.uint8)
    size = (picture.shape[1], picture.shape[0])
    percent = np.asarray(cv2.resize(grid, size, interpolation=cv2.INTER_CUBIC), dtype=np.uint8)
    gain = np.array([value * 256 // 100 for value in range(256)], dtype=np.uint32)[percent]
    gained = (picture * gain[:, :, None]) >> 8
    return np.asarray(np.minimum(gained, 65535), dtype=np.uint16)


def _with_noise(picture: Bytes, sigma: float, rng: Generator) -> Bytes:
    """Add bell-shaped noise, mostly equal in the three channels, by a table of the bell's quantiles."""
    if sigma <= 0.0:
        return picture
    shape = picture.shape[:2]
    bell = NormalDist(0.0, sigma)
    quantiles = np.array([round(bell.inv_cdf((value + 0.5) / 256.0)) for value in range(256)], dtype=np.int16)
    grey = np.take(quantiles, rng.integers(0, 256, shape, dtype=np.uint8))
    coloured = np.take(quantiles // 2, rng.integers(0, 256, shape, dtype=np.uint8))
    steps = cv2.merge([grey + coloured, grey, grey - coloured])
    return np.asarray(cv2.add(picture, steps, dtype=cv2.CV_8U), dtype=np.uint8)


def _with_notice(picture: Bytes) -> Bytes:
    height_px = max(14, picture.shape[0] // 62)
    sheet = Sheet(picture, 1.0)
    left, bottom = height_px // 2, picture.shape[0] - height_px // 2
    for offset, ink in ((1, (30, 30, 32)), (0, (214, 214, 216))):
        sheet.text((left + offset, bottom + offset), NOTICE, float(height_px), ink)
    return sheet.pixels
