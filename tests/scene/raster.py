"""Painting flat panels into a picture, far ones first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from tests.scene.geometry import (
    Camera,
    Homography,
    Pixel,
    Vec,
    add,
    centroid,
    clip_near,
    plane_homography,
    project,
    scale,
)

if TYPE_CHECKING:
    from tests.scene.surface import Bytes, Light, Linear, Surface

MOST_HALVINGS = 7
WHITE_LIGHT: Light = (1.0, 1.0, 1.0)


@dataclass(frozen=True, eq=False)
class Panel:
    """A flat rectangle with a texture.

    Attributes:
        origin: world position of the texture's first corner, mm.
        along_u: unit vector of the texture's columns.
        along_v: unit vector of the texture's rows (downwards in the texture).
        surface: the texture and its scale.
        light: light that falls on it.
        cells: how many pieces a direction is cut into; a long panel needs several, each reduced to its own distance.
    """

    origin: Vec
    along_u: Vec
    along_v: Vec
    surface: Surface
    light: Light = WHITE_LIGHT
    cells: tuple[int, int] = (1, 1)

    def point(self, u: float, v: float) -> Vec:
        """Return the world point at texture position (u, v) in mm."""
        return add(self.origin, add(scale(self.along_u, u), scale(self.along_v, v)))


def blank(camera: Camera) -> Linear:
    """Return a black picture in linear light, (height, width, 3)."""
    return np.zeros((camera.size[1], camera.size[0], 3), dtype=np.uint16)


def paint_panel(picture: Linear, camera: Camera, panel: Panel) -> None:
    """Lay one panel over what the picture shows so far."""
    width, height = panel.surface.size_mm
    columns, rows = panel.cells
    for row in range(rows):
        for column in range(columns):
            corners = [
                panel.point(width * (column + i) / columns, height * (row + j) / rows)
                for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))
            ]
            visible = clip_near(camera, corners)
            if len(visible) >= 3:
                _paint_cell(picture, camera, panel, visible)
    panel.surface.forget()


def _paint_cell(picture: Linear, camera: Camera, panel: Panel, polygon: list[Vec]) -> None:
    outline = [project(camera, point) for point in polygon]
    box = _box(outline, camera.size)
    if box is None:
        return
    halvings = _halvings(camera, panel, centroid(polygon))
    texture = panel.surface.level(*halvings, panel.light)
    matrix = _texture_to_box(camera, panel, halvings, (box[0], box[1]))
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = (box[2] - box[0], box[3] - box[1])
    layer = cv2.warpPerspective(
        texture, _inverse(matrix), size, flags=flags, borderMode=cv2.BORDER_CONSTANT, borderValue=(0, 0, 0, 0)
    )
    if panel.cells != (1, 1) or len(polygon) != 4:
        layer = cv2.copyTo(layer, _mask(outline, box))
    _lay_over(picture[box[1] : box[3], box[0] : box[2]], np.asarray(layer, dtype=np.uint16))


def _box(outline: list[Pixel], size: tuple[int, int]) -> tuple[int, int, int, int] | None:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    left, top = max(0, math.floor(min(xs)) - 1), max(0, math.floor(min(ys)) - 1)
    right, bottom = min(size[0], math.ceil(max(xs)) + 2), min(size[1], math.ceil(max(ys)) + 2)
    return (left, top, right, bottom) if right > left and bottom > top else None


def _halvings(camera: Camera, panel: Panel, middle: Vec) -> tuple[int, int]:
    """Return the reductions at which one texel covers between half a pixel and one pixel, a direction each."""
    depth = max(camera.in_view(middle)[2], 1.0)
    counts = []
    for direction in (panel.along_u, panel.along_v):
        step = depth / 1000.0
        here, there = project(camera, middle), project(camera, add(middle, scale(direction, step)))
        length = math.sqrt((here[0] - there[0]) ** 2 + (here[1] - there[1]) ** 2)
        texels_a_pixel = panel.surface.per_mm * step / max(length, 1e-6)
        counts.append(max(0, min(MOST_HALVINGS, math.floor(math.log2(max(texels_a_pixel, 1e-6)) + 1e-9))))
    return counts[0], counts[1]


def _texture_to_box(
    camera: Camera, panel: Panel, halvings: tuple[int, int], corner: tuple[int, int]
) -> Homography:
    """Return texel centre (i, j) of a reduced texture to pixel of the picture's box that starts at the corner."""
    texel_u = (1 << halvings[0]) / panel.surface.per_mm
    texel_v = (1 << halvings[1]) / panel.surface.per_mm
    origin = panel.point(texel_u / 2.0, texel_v / 2.0)
    first, second, third = plane_homography(
        camera, origin, scale(panel.along_u, texel_u), scale(panel.along_v, texel_v)
    )
    left, top = float(corner[0]), float(corner[1])
    shifted_x = (first[0] - left * third[0], first[1] - left * third[1], first[2] - left * third[2])
    shifted_y = (second[0] - top * third[0], second[1] - top * third[1], second[2] - top * third[2])
    return shifted_x, shifted_y, third


def _inverse(m: Homography) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return the inverse by cofactors: a linear algebra library may round differently from machine to machine."""
    (a, b, c), (d, e, f), (g, h, i) = m
    cofactors = [
        [e * i - f * h, c * h - b * i, b * f - c * e],
        [f * g - d * i, a * i - c * g, c * d - a * f],
        [d * h - e * g, b * g - a * h, a * e - b * d],
    ]
    determinant = a * cofactors[0][0] + b * cofactors[1][0] + c * cofactors[2][0]
    return np.array([[value / determinant for value in row] for row in cofactors], dtype=np.float64)


def _mask(outline: list[Pixel], box: tuple[int, int, int, int]) -> Bytes:
    """Return the cell's share of the box, grown by a pixel so that neighbouring cells leave no seam."""
    mask = np.zeros((box[3] - box[1], box[2] - box[0]), dtype=np.uint8)
    # Points far outside the picture overflow the polygon filler; ten picture widths away is as good as there.
    limit = 30000
    points = [
        (max(-limit, min(limit, round(x - box[0]))), max(-limit, min(limit, round(y - box[1]))))
        for x, y in outline
    ]
    polygon = np.array(points, dtype=np.int32)
    cv2.fillConvexPoly(mask, polygon, 255)
    cv2.polylines(mask, [polygon], isClosed=True, color=255, thickness=3)
    return mask


def _lay_over(region: Linear, layer: Linear) -> None:
    colour, opacity = layer[:, :, :3], layer[:, :, 3]
    if int(opacity.min()) == 65535:
        region[:] = colour
        return
    cv2.copyTo(np.ascontiguousarray(colour), (opacity == 65535).astype(np.uint8), region)
    partly = np.nonzero((opacity != 65535) & (opacity != 0))
    rest = (65535 - opacity[partly]).astype(np.uint32)[:, None]
    region[partly] = np.minimum(colour[partly] + ((region[partly] * rest) >> 16), 65535).astype(np.uint16)
