"""Corners by fitted edges: hundredths of a pixel, the blur they have, and what is left out."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from evidence.measure import edges

Floats = NDArray[np.float64]
Grey = NDArray[np.uint8]
FINER = 8
TURNED = np.array([(52.3, 40.7), (148.1, 49.2), (139.6, 145.0), (43.8, 136.5)])


def square(corners: Floats, blur: float, dark: float = 0.02, light: float = 0.8) -> Grey:
    """A dark square on light, blurred in linear light, in a picture of 200 by 190 pixels."""
    down, across = (np.mgrid[: 190 * FINER, : 200 * FINER] + 0.5) / FINER - 0.5
    inside = np.ones(down.shape, dtype=bool)
    for (x1, y1), (x2, y2) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (x2 - x1) * (down - y1) - (y2 - y1) * (across - x1) > 0
    canvas = np.where(inside, dark, light).astype(np.float32)
    soft = cv2.GaussianBlur(canvas, (0, 0), blur * FINER)
    small = cv2.resize(soft, (200, 190), interpolation=cv2.INTER_AREA)
    srgb = np.where(small <= 0.0031308, 12.92 * small, 1.055 * small ** (1 / 2.4) - 0.055)
    noisy = 255 * srgb + np.random.default_rng(5).normal(0, 0.8, srgb.shape)
    return np.clip(np.round(noisy), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("blur", [0.6, 1.0, 1.8])
def test_corners_are_found_to_hundredths_whatever_the_blur(blur: float) -> None:
    start = TURNED + np.array([(0.9, -0.7), (-0.8, 0.6), (0.5, 0.9), (-0.9, -0.4)])
    found = edges.fit(square(TURNED, blur), {3: start})
    assert found.tags[3] == pytest.approx(TURNED, abs=0.08)
    # a pixel's own width adds to the lens: its variance is a twelfth
    assert found.blur == pytest.approx(np.sqrt(blur**2 + 1 / 12), abs=0.15)


def test_brightness_is_made_linear_first() -> None:
    """In the file's own codes a blurred black square looks smaller all round; that would be 0.3 pixels here."""
    found = edges.fit(square(TURNED, 1.8), {3: TURNED}).tags[3]
    assert np.linalg.norm(found[0] - found[2]) == pytest.approx(
        np.linalg.norm(TURNED[0] - TURNED[2]), abs=0.06
    )


def test_an_edge_without_contrast_is_left_out() -> None:
    assert edges.fit(square(TURNED, 0.8, dark=0.40, light=0.44), {3: TURNED}).tags == {}


def test_a_tag_that_runs_out_of_the_picture_is_left_out() -> None:
    picture = square(TURNED, 0.8)[:140]
    assert edges.fit(picture, {3: TURNED}).tags == {}


def test_nothing_to_fit() -> None:
    found = edges.fit(square(TURNED, 0.8), {})
    assert found.tags == {}
    assert np.isnan(found.blur)
