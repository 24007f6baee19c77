"""Render a setup: the picture as the phone stores it, and the truth it was made from."""

from __future__ import annotations

import math
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.scene.study import sensor
from tests.scene.study.optics import HOOK_MIDDLE, Camera, camera_of
from tests.scene.study.paint import Window, paint
from tests.scene.study.places import (
    SLIDER_MM,
    SLIDER_TAG,
    SLIDER_TAG_AT,
    TAG_AT,
    Surface,
    ideal_reading,
    slider_of,
    strip_of,
    tag_square,
)
from tests.scene.study.setups import Setup

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]

BLOCK = 16  # pixels of a JPEG's smallest unit with halved colour
MARGIN = 48  # pixels around card and slider that are rendered in full
COARSE = 8  # pixels a sample elsewhere

Truth = dict[str, Any]


def render(setup: Setup) -> tuple[Bytes, Truth]:
    """Return picture and truth.

    Returns:
        The picture, (rows, columns, 3) sRGB, and a dict:
        ``d`` mm true hook distance; ``stated_height`` mm; ``focal_stated``; ``height`` mm, true, of the slider's front
        edge over the strip's plane; ``ideal`` mm, what a faultless camera would read off the prints; ``placement`` =
        ideal - d, all that print, cuts, gaps and yaw do; ``oblique`` and ``oblique_v`` degrees at the front edge;
        ``camera`` (u, v, height) mm from the datum; ``per_mm`` pixels a millimetre at the slider; ``corners`` tag id
        to (4, 2) pixels; ``front`` (2, 2) pixels of the cut front edge; ``focal`` pixels; ``region`` (left, top,
        width, height) rendered in full.
    """
    camera, strip, slider = camera_of(setup), strip_of(setup), slider_of(setup)
    known = truth(setup, camera, strip, slider)
    window = _region(setup, camera, strip, slider)
    known["region"] = (window.left, window.top, window.width, window.height)
    light = paint(setup, camera, window, strip, slider)
    picture = _around(setup, camera, strip, slider)
    picture[window.top : window.top + window.height, window.left : window.left + window.width] = (
        sensor.expose(light, setup)
    )
    return picture, known


def truth(setup: Setup, camera: Camera, strip: Surface, slider: Surface) -> Truth:
    """Return what is true of a setup, as ``render`` describes it."""
    ideal, height = ideal_reading(strip, slider)
    front = slider.world(np.array([[slider.high[0], 0.0], [slider.high[0], SLIDER_MM]]))
    away = camera.place - np.array([setup.hook_distance, setup.slider_v + HOOK_MIDDLE, 0.0])
    corners = {tag: camera.pixels(strip.world(tag_square(at))) for tag, at in TAG_AT.items()}
    corners[SLIDER_TAG] = camera.pixels(slider.world(tag_square(SLIDER_TAG_AT)))
    sides = np.linalg.norm(np.roll(corners[SLIDER_TAG], -1, axis=0) - corners[SLIDER_TAG], axis=1)
    return {
        "d": setup.hook_distance,
        "stated_height": setup.stated_height,
        "focal_stated": setup.focal_stated,
        "height": height,
        "ideal": ideal,
        "placement": ideal - setup.hook_distance,
        "oblique": math.degrees(math.atan2(-away[0], -away[2])),
        "oblique_v": math.degrees(math.atan2(-away[1], -away[2])),
        "camera": (float(camera.place[0]), float(camera.place[1]), -float(camera.place[2])),
        "per_mm": float(sides.min()) / 24.0,
        "corners": corners,
        "front": camera.pixels(front),
        "focal": camera.focal,
    }


def _region(setup: Setup, camera: Camera, strip: Surface, slider: Surface) -> Window:
    """The part to render in full, on whole JPEG blocks."""
    seen = camera.pixels(np.concatenate([strip.outline(8), slider.outline(4)]))
    low = np.maximum((seen.min(axis=0) - MARGIN) // BLOCK * BLOCK, 0).astype(int)
    high = np.minimum(-(-(seen.max(axis=0) + MARGIN) // BLOCK) * BLOCK, setup.size).astype(int)
    width, height = (int(high[axis] - low[axis]) for axis in (0, 1))
    return Window(int(low[0]), int(low[1]), width, height, 1)


def _around(setup: Setup, camera: Camera, strip: Surface, slider: Surface) -> Bytes:
    """The whole picture, coarse and soft."""
    whole = Window(0, 0, -(-setup.columns // COARSE) * COARSE, -(-setup.rows // COARSE) * COARSE, 1 / COARSE)
    light = paint(setup, camera, whole, strip, slider)
    small = sensor.tinted(sensor.rounded(sensor.encoded(light, setup.contrast)), setup.warmth)
    size = (whole.width, whole.height)
    wide = cv2.resize(small, size, interpolation=cv2.INTER_LINEAR)
    return np.ascontiguousarray(wide[: setup.rows, : setup.columns])
