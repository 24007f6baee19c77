"""Gauge card and slider as a pinhole camera sees them, on plain grey: quick, exact, and with any wrong in it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.scene.hook_view import HookSetup, camera_above_card, hook_scene
from tests.scene.print_art import CARD_PER_MM, gauge_card, gauge_slider
from tests.scene.scene import Look, render

Floats = NDArray[np.float64]
Grey = NDArray[np.uint8]
SIZE = (1600, 1200)
FOCAL_35MM = 26.0
SLIDER_V = 62.0  # mm, where the slider's upper edge lies
SLIDER = 34.0  # mm
GROUND = 0.15  # linear light
FINER = 2  # drawn so much larger before it is made small


@dataclass(frozen=True)
class Eye:
    """A pinhole camera; u to the right, v down, height towards it.

    Attributes:
        place: u, v and height, mm.
        target: u and v that it looks at, mm.
        size: pixels.
    """

    place: tuple[float, float, float]
    target: tuple[float, float] = (98.0, 66.0)
    size: tuple[int, int] = SIZE

    @property
    def focal(self) -> float:
        """In pixels; the diagonal of full frame is 43.27 mm."""
        return FOCAL_35MM / math.hypot(36.0, 24.0) * math.hypot(*self.size)

    def matrix(self, height: float = 0.0) -> Floats:
        """Homography from (u, v) at a height to pixels, the centre of the first one at (0, 0)."""
        eye = np.array([self.place[0], self.place[1], -self.place[2]])
        ahead = np.array([*self.target, 0.0]) - eye
        ahead /= np.linalg.norm(ahead)
        right = np.cross(np.array([0.0, 1.0, 0.0]), ahead)
        right /= np.linalg.norm(right)
        turn = np.stack([right, np.cross(ahead, right), ahead])
        middle = ((self.size[0] - 1) / 2, (self.size[1] - 1) / 2)
        lens = np.array([[self.focal, 0, middle[0]], [0, self.focal, middle[1]], [0, 0, 1.0]])
        base = turn @ np.array([0.0, 0.0, -height]) - turn @ eye
        matrix: Floats = lens @ np.stack([turn[:, 0], turn[:, 1], base], axis=1)
        return matrix

    def pixels(self, places: Floats, height: float = 0.0) -> Floats:
        """Pixels of (n, 2) places."""
        return through(self.matrix(height), places)


@dataclass(frozen=True)
class Laid:
    """What lies before the camera.

    Attributes:
        distance: mm from the card's zero edge to the slider's front edge.
        lift: mm of the slider's plane above the card's.
        yaw: degrees of the slider about its front edge's middle.
        slider: whether there is one.
        bent: mm by which each place of the card is off where it was printed.
        slider_bent: the same of the slider, by its own (u, v).
    """

    distance: float = 120.0
    lift: float = 0.0
    yaw: float = 0.0
    slider: bool = True
    bent: Floats = field(default_factory=lambda: np.eye(3))
    slider_bent: Floats = field(default_factory=lambda: np.eye(3))


def above(tilt: float, distance: float = 420.0, aside: float = 0.0, size: tuple[int, int] = SIZE) -> Eye:
    """A camera ``tilt`` degrees from straight above along u, standing back towards the sill."""
    along, across = math.radians(tilt), math.radians(aside)
    place = (
        98.0 - distance * math.sin(along) * math.cos(across),
        66.0 + distance * math.sin(across),
        distance * math.cos(along) * math.cos(across),
    )
    return Eye(place, size=size)


def seen(eye: Eye, laid: Laid, blur: float = 0.8, light: float = 0.9) -> Grey:
    """The picture, 8-bit grey with a little noise."""
    size = (eye.size[0] * FINER, eye.size[1] * FINER)
    canvas = np.full(size[::-1], GROUND, dtype=np.float32)
    larger = np.array([[FINER, 0, (FINER - 1) / 2], [0, FINER, (FINER - 1) / 2], [0, 0, 1.0]])
    _lay(canvas, _art("strip"), larger @ eye.matrix() @ laid.bent, light)
    if laid.slider:
        matrix = eye.matrix(laid.lift) @ slider_place(laid) @ laid.slider_bent
        _lay(canvas, _art("slider"), larger @ matrix, light)
    soft = cv2.GaussianBlur(canvas, (0, 0), blur * FINER)
    small = cv2.resize(soft, eye.size, interpolation=cv2.INTER_AREA)
    code = 255 * np.clip(small, 0, 1) ** (1 / 2.2)
    noise = np.random.default_rng(7).normal(0, 1.0, code.shape)
    return np.clip(np.round(code + noise), 0, 255).astype(np.uint8)


def slider_place(laid: Laid) -> Floats:
    """From the slider's own (u, v) to the card's, turned about the middle of its front edge."""
    angle = math.radians(laid.yaw)
    turn = np.array(
        [[math.cos(angle), -math.sin(angle), 0], [math.sin(angle), math.cos(angle), 0], [0, 0, 1.0]]
    )
    back = np.array([[1, 0, -SLIDER], [0, 1, -SLIDER / 2], [0, 0, 1.0]])
    there = np.array([[1, 0, laid.distance], [0, 1, SLIDER_V + SLIDER / 2], [0, 0, 1.0]])
    placed: Floats = there @ turn @ back
    return placed


def through(matrix: Floats, places: Floats) -> Floats:
    """(n, 2) places through a homography."""
    moved = places @ matrix[:, :2].T + matrix[:, 2]
    flat: Floats = moved[:, :2] / moved[:, 2:]
    return flat


def _lay(canvas: NDArray[np.float32], art: NDArray[np.float32], matrix: Floats, light: float) -> None:
    """Paint printed art, in mm by ``matrix``, over the canvas."""
    texels = np.array(
        [[1 / CARD_PER_MM, 0, 0.5 / CARD_PER_MM], [0, 1 / CARD_PER_MM, 0.5 / CARD_PER_MM], [0, 0, 1.0]]
    )
    size = (canvas.shape[1], canvas.shape[0])
    warped = cv2.warpPerspective(art * light, matrix @ texels, size, flags=cv2.INTER_LINEAR)
    cover = cv2.warpPerspective(np.ones_like(art), matrix @ texels, size, flags=cv2.INTER_LINEAR)
    canvas *= 1 - cover
    canvas += warped


@lru_cache
def _art(piece: str) -> NDArray[np.float32]:
    picture = gauge_card("GC-T") if piece == "strip" else gauge_slider()
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY).astype(np.float32) / 255
    return np.asarray(grey**2.2, dtype=np.float32)


@lru_cache
def scene(tilt: float, distance: float, look: Callable[[], Look] = Look) -> Grey:
    """A whole rendered measuring photo of 2000 x 1500 pixels: floor, sill, hook, dirt and light."""
    setup = HookSetup(distance, "p1", "GC-T")
    picture = render(hook_scene(setup, camera_above_card(420.0, tilt, (2000, 1500)), look=look()))
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
