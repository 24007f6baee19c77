"""A phone's camera: pinhole, principal point, radial distortion; from the world to pixels and back along rays.

World coordinates are (u, v, z) with z pointing down, so that with u to the right and v down a view from above is
right-handed. The centre of the first pixel is (0, 0).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.scene.study.setups import Setup

Floats = NDArray[np.float64]

FULL_FRAME_DIAGONAL = math.hypot(36.0, 24.0)  # mm; from memory of CIPA DC-008, focal length in 35 mm film
ROUNDS = 6  # of the inverse of the distortion, whose terms are a few per cent
HOOK_MIDDLE = 17.0  # mm from the slider's edge to the middle of its front


@dataclass(frozen=True)
class Camera:
    """Where a camera stands and how it draws.

    Attributes:
        place: (3,) world.
        axes: (3, 3) rows: right, down, forward.
        focal: pixels.
        centre: (2,) principal point, pixels.
        half: half the picture's diagonal, pixels.
        bend: k1 and k2.
    """

    place: Floats
    axes: Floats
    focal: float
    centre: Floats
    half: float
    bend: tuple[float, float]

    def pixels(self, points: Floats) -> Floats:
        """(..., 3) world points as (..., 2) pixels."""
        seen = (points - self.place) @ self.axes.T
        flat = seen[..., :2] / seen[..., 2:] * (self.focal / self.half)
        squared = (flat**2).sum(axis=-1, keepdims=True)
        bent: Floats = flat * (1 + self.bend[0] * squared + self.bend[1] * squared**2)
        return bent * self.half + self.centre

    def rays(self, pixels: Floats) -> Floats:
        """(..., 2) pixels as (..., 3) directions in the world, one unit deep along the line of sight."""
        bent = (pixels - self.centre) / self.half
        flat = bent
        for _ in range(ROUNDS if any(self.bend) else 0):
            squared = (flat**2).sum(axis=-1, keepdims=True)
            flat = bent / (1 + self.bend[0] * squared + self.bend[1] * squared**2)
        flat = flat * (self.half / self.focal)
        directions: Floats = flat @ self.axes[:2] + self.axes[2]
        return directions


def camera_of(setup: Setup) -> Camera:
    """Return the camera of a setup: placed by the slider's front edge, looking at the aim."""
    front = np.array([setup.hook_distance, setup.slider_v + HOOK_MIDDLE, 0.0])
    away = np.array([-math.tan(math.radians(setup.tilt)), -math.tan(math.radians(setup.aside)), -1.0])
    place = front + away / np.linalg.norm(away) * setup.distance
    forward = np.array([setup.aim_u, setup.aim_v, 0.0]) - place
    forward /= np.linalg.norm(forward)
    right = np.array([1.0, 0.0, 0.0]) - forward[0] * forward
    right /= np.linalg.norm(right)
    down = np.cross(forward, right)
    turn = math.radians(setup.facing + setup.roll)
    # a scene that turns clockwise in the picture is a camera that turns the other way
    axes = np.stack(
        [
            math.cos(turn) * right - math.sin(turn) * down,
            math.sin(turn) * right + math.cos(turn) * down,
            forward,
        ]
    )
    half = math.hypot(*setup.size) / 2
    middle = np.array([(setup.columns - 1) / 2, (setup.rows - 1) / 2])
    return Camera(
        place=place,
        axes=axes,
        focal=setup.focal_35mm / FULL_FRAME_DIAGONAL * 2 * half,
        centre=middle + np.array([setup.principal_x, setup.principal_y]) * half,
        half=half,
        bend=(setup.k1, setup.k2),
    )
