"""Where the printed surfaces lie in the world, and the numbers of card and slider, written down a second time.

These numbers are the study's own; a test compares them with those of the tool.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tests.scene.study.setups import Setup

Floats = NDArray[np.float64]

STRIP_MM = (180.0, 60.0)
SLIDER_MM = 34.0
TAG_MM = 24.0
SLIDER_TAG = 501
SLIDER_TAG_AT = (5.0, 5.0)
TAG_AT = {2 * i + j: (5.0 + 29.0 * i, 4.0 + 28.0 * j) for i in range(6) for j in range(2)}


@dataclass(frozen=True)
class Surface:
    """A printed rectangle in the world.

    Attributes:
        origin: (3,) world place of print (0, 0).
        axes: (3, 3) rows: along print u, along print v, up from the print; unit vectors in the world.
        scale: mm in the world for a mm of the print, along u and v.
        low, high: cut edges, print mm.
        curl: mm at the ends over the middle.
    """

    origin: Floats
    axes: Floats
    scale: Floats
    low: tuple[float, float]
    high: tuple[float, float]
    curl: float = 0.0

    def world(self, prints: Floats) -> Floats:
        """(..., 2) print places as (..., 3) world points."""
        flat: Floats = self.origin + (prints * self.scale) @ self.axes[:2]
        lifted: Floats = flat + self._height(prints)[..., None] * self.axes[2]
        return lifted

    def _height(self, prints: Floats) -> Floats:
        height: Floats = self.curl * (2 * prints[..., 0] / STRIP_MM[0] - 1) ** 2
        return height

    def prints(self, place: Floats, rays: Floats) -> Floats:
        """Print places that rays from a place meet, (..., 3) to (..., 2)."""
        inverse = 1.0 / self.scale
        start = (place - self.origin) @ self.axes.T
        runs = rays @ self.axes.T
        height = np.zeros(rays.shape[:-1])
        for _ in range(4 if self.curl else 1):
            # the surface is nearly flat: the height where the ray met it last time is good for the next time
            reach = (height - start[2]) / runs[..., 2]
            met: Floats = (start[:2] + reach[..., None] * runs[..., :2]) * inverse
            if self.curl:
                height = self._height(met)
        return met

    def outline(self, steps: int = 1) -> Floats:
        """World points around the cut edges."""
        (left, top), (right, bottom) = self.low, self.high
        corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
        shares = np.arange(steps) / steps
        around = [a + shares[:, None] * (b - a) for a, b in pairwise(corners)]
        return self.world(np.concatenate(around))


def tag_square(at: tuple[float, float]) -> Floats:
    """Return the corners of a tag's black square in print mm: upper left, then clockwise as printed."""
    u, v = at
    return np.array([(u, v), (u + TAG_MM, v), (u + TAG_MM, v + TAG_MM), (u, v + TAG_MM)])


def turned(yaw: float, pitch: float, roll: float) -> Floats:
    """Return the axes of a rectangle: yaw about the vertical, pitch lifts its u = 0 end, roll its v = 0 side."""
    a, b, c = (math.radians(angle) for angle in (yaw, pitch, roll))
    about_up = np.array([[math.cos(a), math.sin(a), 0], [-math.sin(a), math.cos(a), 0], [0, 0, 1]])
    pitched = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
    rolled = np.array([[1, 0, 0], [0, math.cos(c), math.sin(c)], [0, -math.sin(c), math.cos(c)]])
    axes: Floats = rolled @ pitched @ about_up
    axes[2] = -axes[2]  # z points down, heights up
    return axes


def _rocking(setup: Setup, under: str, size: tuple[float, float]) -> tuple[float, float]:
    """Pitch and roll, degrees, of a board that lies over a rib: it rocks towards its heavier side."""
    if setup.rib_under != under:
        return 0.0, 0.0
    length = size[0] if setup.rib_runs == "across" else size[1]
    lever = length * max(setup.rib_share, 1 - setup.rib_share)
    angle = math.degrees(math.asin(setup.rib / lever))
    angle = angle if setup.rib_share < 1 / 2 else -angle
    return (angle, 0.0) if setup.rib_runs == "across" else (0.0, angle)


def strip_of(setup: Setup) -> Surface:
    """Return the strip: its cut edge against the sill, its lowest point on the floor."""
    pitch, roll = _rocking(setup, "strip", STRIP_MM)
    if setup.sill_form == "lip-under":
        pitch += math.degrees(math.asin(setup.lip / STRIP_MM[0]))
    axes = turned(setup.strip_yaw, setup.strip_pitch + pitch, setup.strip_roll + roll)
    loose = Surface(
        np.zeros(3),
        axes,
        np.array([1 + setup.scale_u, 1 + setup.scale_v]),
        (setup.strip_cut, 0.0),
        STRIP_MM,
        setup.curl,
    )
    around = loose.outline(2)  # with the middles of its sides, which are lowest where the ends curl up
    edge = around[[0, 6], 0].min()  # the corner that comes nearest to the sill
    origin = np.array([setup.sill_off + setup.gap_sill - edge, 0.0, -setup.stock - around[:, 2].max()])
    return replace(loose, origin=origin)


def slider_base(setup: Setup) -> float:
    """Return the height of what the slider's board lies on, mm over the floor."""
    return setup.stated_height + setup.step + setup.lift


def slider_of(setup: Setup) -> Surface:
    """Return the slider: its cut front edge at the hook, its lowest corner on what it lies on."""
    pitch, roll = _rocking(setup, "slider", (SLIDER_MM, SLIDER_MM))
    axes = turned(setup.slider_yaw, setup.slider_pitch + pitch, setup.slider_roll + roll)
    loose = Surface(
        np.zeros(3),
        axes,
        np.array([1 + setup.scale_u, 1 + setup.scale_v]),
        (0.0, 0.0),
        (SLIDER_MM + setup.slider_cut, SLIDER_MM),
    )
    corners = loose.outline()
    front = corners[[1, 2], 0].max()
    bottom = -setup.stock - slider_base(setup)
    origin = np.array(
        [setup.hook_distance - setup.gap_hook - front, setup.slider_v, bottom - corners[:, 2].max()]
    )
    return replace(loose, origin=origin)


def ideal_reading(strip: Surface, slider: Surface) -> tuple[float, float]:
    """Return what a faultless camera would read off: print u of the slider's edge u = 34, and its height over the strip.

    The tag's middle is taken plus 17 mm, as the tool does; the height is that of the front edge's middle over the
    strip's plane, its curl evened out.
    """
    middle, front = slider.world(np.array([[SLIDER_MM / 2, SLIDER_MM / 2], [SLIDER_MM, SLIDER_MM / 2]]))
    across = (middle - strip.origin) @ strip.axes[0] / strip.scale[0]
    height = (front - strip.origin) @ strip.axes[2] - strip.curl / 3  # the mean of a square over -1 to 1
    return float(across) + SLIDER_MM / 2 * float(strip.axes[0] @ slider.axes[0]), float(height)
