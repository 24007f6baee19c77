"""What lies in and around a frame in a photo: neutral patches, and small cells of linear light."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from evidence.measure import colour
from evidence.measure._base import refuse
from evidence.measure.colour import Floats, Pixels

CELLS: Final = 36  # across the frame's shorter side
RING: Final = (1.06, 1.5)  # sizes of what is looked at around the frame, by the frame
GRID: Final = 24  # cells across frame and surroundings, laid square, to compare two photos
STRIDE_SIDE: Final = 1200  # pixels of a side beyond which only every n-th is read
CLIPPED_CODE: Final = 250  # of 255; brighter may be anything
MOST_CLIPPED: Final = 0.01  # share of a patch
DARK: Final = 0.03  # linear light of a patch; below it noise has the colour
MOST_UNEVEN: Final = 0.25  # relative scatter of light over a patch: a shadow's edge, gloss, or no patch
PATCH_PIXELS: Final = 12
LEAST_AROUND: Final = 0.5  # share of the surroundings that must be in the picture

Corners = NDArray[np.float64]
"""(4, 2) pixels x and y around a quadrilateral, the centre of the first pixel at (0, 0)."""


@dataclass(frozen=True)
class Cells:
    """Frame and surroundings, reduced.

    Attributes:
        light: (rows, columns, 3) linear.
        clipped: (rows, columns) share of clipped pixels.
        corners: of the frame, in cells.
        inside: which cells lie in the frame.
        beside: (rows, columns) side of the frame, 0 to 3, that a cell of the surroundings lies at; -1 elsewhere.
    """

    light: Floats
    clipped: Floats
    corners: Corners
    inside: NDArray[np.bool_]
    beside: NDArray[np.int_]


def cells_of(picture: Pixels, frame: Corners) -> Cells:
    """Reduce frame and surroundings to cells of linear light, some ``CELLS`` across the frame.

    Raises:
        Unmeasurable: window-at-edge.
    """
    middle = frame.mean(axis=0)
    wide = middle + (frame - middle) * RING[1]
    low = np.maximum(np.floor(wide.min(axis=0)), 0).astype(int)
    high = np.ceil(wide.max(axis=0)).astype(int) + 1
    part = picture[low[1] : high[1], low[0] : high[0]]
    stride = max(1, max(part.shape[:2]) // STRIDE_SIDE)
    part = part[::stride, ::stride]
    corners = (frame - low) / stride
    ratio = min(1.0, CELLS / float(sides(corners).min()))
    size = (max(1, round(part.shape[1] * ratio)), max(1, round(part.shape[0] * ratio)))
    light = cv2.resize(colour.linear(part).astype(np.float32), size, interpolation=cv2.INTER_AREA)
    over: NDArray[np.float32] = np.asarray((part >= CLIPPED_CODE).any(axis=2), dtype=np.float32)
    clipped = cv2.resize(over, size, interpolation=cv2.INTER_AREA)
    scale = np.array([size[0] / part.shape[1], size[1] / part.shape[0]])
    corners = (corners + 0.5) * scale - 0.5
    middle = corners.mean(axis=0)
    near, far = (_filled(middle + (corners - middle) * reach, light.shape) for reach in RING)
    inside, around = _filled(corners, light.shape), far & ~near
    if around.sum() < LEAST_AROUND * inside.sum() * (RING[1] ** 2 - RING[0] ** 2):
        refuse("window-at-edge")
    beside = np.where(around, _margins(corners, light.shape).argmin(axis=0), -1)
    return Cells(light.astype(np.float64), clipped.astype(np.float64), corners, inside, beside)


def turns(corners: Corners) -> Floats:
    """Cross product at each corner; all of one sign around a convex quadrilateral."""
    ahead = np.roll(corners, -1, axis=0) - corners
    behind = np.roll(ahead, 1, axis=0)
    product: Floats = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    return product


def sides(corners: Corners) -> Floats:
    """Lengths of the sides, pixels, from the first corner on."""
    lengths: Floats = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    return lengths


def patch(picture: Pixels, corners: Corners) -> Floats:
    """Mean linear light (3,) of a patch, its rim left out.

    Raises:
        Unmeasurable: neutral-missing, neutral-too-small, neutral-clipped, neutral-dark, neutral-uneven.
    """
    middle = corners.mean(axis=0)
    inner = middle + (corners - middle) * 0.8
    low, high = np.floor(inner.min(axis=0)).astype(int), np.ceil(inner.max(axis=0)).astype(int) + 1
    if (low < 0).any() or high[0] > picture.shape[1] or high[1] > picture.shape[0]:
        refuse("neutral-missing")
    part = picture[low[1] : high[1], low[0] : high[0]]
    pixels = part[_filled(inner - low, part.shape[:2])]
    if len(pixels) < PATCH_PIXELS:
        refuse("neutral-too-small", found=str(len(pixels)), expected=str(PATCH_PIXELS))
    if (pixels >= CLIPPED_CODE).any(axis=1).mean() > MOST_CLIPPED:
        refuse("neutral-clipped")
    light = colour.linear(pixels)
    mean: Floats = light.mean(axis=0)
    if mean.max() < DARK or mean.min() < DARK / 10:
        refuse("neutral-dark")
    bright = colour.luminance(light)
    if bright.std() > MOST_UNEVEN * bright.mean():
        refuse("neutral-uneven")
    return mean


def _filled(corners: Corners, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Pixels whose centres lie inside a convex quadrilateral."""
    return np.asarray((_margins(corners, shape) >= 0).all(axis=0), dtype=np.bool_)


def _margins(corners: Corners, shape: tuple[int, ...]) -> Floats:
    """(4, rows, columns): how far each pixel lies inside each side, by the quadrilateral's reach from that side."""
    rows, columns = np.indices(shape[:2], dtype=np.float64)
    ahead = np.roll(corners, -1, axis=0) - corners
    middle = corners.mean(axis=0)

    def inward(x: Floats, y: Floats) -> Floats:
        off = [
            (y - corner[1]) * way[0] - (x - corner[0]) * way[1]
            for corner, way in zip(corners, ahead, strict=True)
        ]
        return np.stack(off)

    return inward(columns, rows) / inward(middle[:1, None], middle[1:, None])


def square(cells: Cells, gains: Floats) -> Floats:
    """Frame and surroundings laid upon a square grid, CIELAB; the frame itself not a number."""
    middle = np.full(2, (GRID - 1) / 2)
    half = GRID / 2 / RING[1]
    places = middle + np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    matrix = cv2.getPerspectiveTransform(cells.corners.astype(np.float32), places.astype(np.float32))
    soft = cv2.GaussianBlur(cells.light.astype(np.float32), (0, 0), CELLS / GRID / 2)
    laid = cv2.warpPerspective(
        soft,
        matrix,
        (GRID, GRID),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(-1, -1, -1),
    ).astype(np.float64)
    colours = colour.lab(laid * gains)
    colours[laid.min(axis=-1) < 0] = np.nan
    inner = np.abs(np.arange(GRID) - middle[0]) < half * RING[0]
    colours[np.ix_(inner, inner)] = np.nan
    return colours


def changed(one: Floats, other: Floats) -> float:
    """Median difference of two surroundings; how bright the whole is may differ."""
    both = np.isfinite(one[..., 0]) & np.isfinite(other[..., 0])
    if both.sum() < GRID:
        return float("inf")
    first, second = one[both], other[both]
    first = first - first.mean(axis=0) * np.array([1.0, 0.0, 0.0])
    second = second - second.mean(axis=0) * np.array([1.0, 0.0, 0.0])
    return float(np.median(np.linalg.norm(first - second, axis=-1)))
