"""Vectors, the pinhole camera and projection, in plain Python floats so that no processor rounds differently."""

from __future__ import annotations

import math
from dataclasses import dataclass

Vec = tuple[float, float, float]
Pixel = tuple[float, float]
Homography = tuple[Vec, Vec, Vec]

FULL_FRAME_DIAGONAL_MM = math.sqrt(36.0 * 36.0 + 24.0 * 24.0)
NEAR_PLANE_MM = 15.0


def add(a: Vec, b: Vec) -> Vec:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, factor: float) -> Vec:
    """Return a times a number."""
    return (a[0] * factor, a[1] * factor, a[2] * factor)


def dot(a: Vec, b: Vec) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Return the vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def unit(a: Vec) -> Vec:
    """Return a scaled to length one."""
    return scale(a, 1.0 / math.sqrt(dot(a, a)))


def centroid(points: list[Vec]) -> Vec:
    """Return the mean of some points."""
    total = (0.0, 0.0, 0.0)
    for point in points:
        total = add(total, point)
    return scale(total, 1.0 / len(points))


def sine_cosine(degrees: float) -> tuple[float, float]:
    """Return sine and cosine, rounded to twelve places so that mathematical libraries cannot disagree."""
    angle = math.radians(degrees)
    return round(math.sin(angle), 12), round(math.cos(angle), 12)


@dataclass(frozen=True)
class Camera:
    """An ideal pinhole camera.

    Attributes:
        position: centre of projection, mm.
        target: world point that falls on the image centre, mm.
        up: direction that shall point up in the image; need not be square to the view.
        focal_35mm: focal length as a 35 mm equivalent, mm, by the picture diagonal.
        size: image width and height in pixels, as the viewer sees it.
    """

    position: Vec
    target: Vec
    up: Vec = (0.0, 0.0, 1.0)
    focal_35mm: float = 26.0
    size: tuple[int, int] = (2000, 1500)

    @property
    def focal_px(self) -> float:
        """Focal length in pixels."""
        width, height = self.size
        return self.focal_35mm / FULL_FRAME_DIAGONAL_MM * math.sqrt(float(width * width + height * height))

    @property
    def centre_px(self) -> Pixel:
        """Principal point in pixels."""
        return ((self.size[0] - 1) / 2.0, (self.size[1] - 1) / 2.0)

    def axes(self) -> tuple[Vec, Vec, Vec]:
        """Return the unit vectors of image right, image down and the line of sight."""
        forward = unit(sub(self.target, self.position))
        right = unit(cross(forward, self.up))
        return right, cross(forward, right), forward

    def in_view(self, point: Vec) -> Vec:
        """Return a world point in camera coordinates (right, down, depth), mm."""
        right, down, forward = self.axes()
        ray = sub(point, self.position)
        return (dot(ray, right), dot(ray, down), dot(ray, forward))


def project(camera: Camera, point: Vec) -> Pixel:
    """Return the pixel at which a world point appears.

    Raises:
        ValueError: the point lies behind the camera.
    """
    right, down, depth = camera.in_view(point)
    if depth <= 0.0:
        raise ValueError(f"point {point} lies behind the camera at {camera.position}")
    centre_x, centre_y = camera.centre_px
    return (centre_x + camera.focal_px * right / depth, centre_y + camera.focal_px * down / depth)


def plane_homography(camera: Camera, origin: Vec, step_u: Vec, step_v: Vec) -> Homography:
    """Return the matrix that takes plane coordinates (i, j) of origin + i step_u + j step_v to homogeneous pixels."""
    right, down, forward = camera.axes()
    centre_x, centre_y = camera.centre_px
    focal = camera.focal_px
    columns = []
    for vector in (step_u, step_v, sub(origin, camera.position)):
        depth = dot(vector, forward)
        columns.append(
            (
                focal * dot(vector, right) + centre_x * depth,
                focal * dot(vector, down) + centre_y * depth,
                depth,
            )
        )
    first, second, third = columns
    return tuple((first[row], second[row], third[row]) for row in range(3))  # type: ignore[return-value]


def clip_near(camera: Camera, corners: list[Vec]) -> list[Vec]:
    """Return the part of a convex polygon that lies in front of the near plane (empty when none does)."""
    depths = [camera.in_view(corner)[2] - NEAR_PLANE_MM for corner in corners]
    kept: list[Vec] = []
    for index, corner in enumerate(corners):
        following = (index + 1) % len(corners)
        if depths[index] >= 0.0:
            kept.append(corner)
        if (depths[index] >= 0.0) != (depths[following] >= 0.0):
            share = depths[index] / (depths[index] - depths[following])
            kept.append(add(corner, scale(sub(corners[following], corner), share)))
    return kept
