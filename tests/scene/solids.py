"""Convex solids made of flat faces, their shading and the shadows they throw on a level plane."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import cv2
import numpy as np

from tests.scene.geometry import Camera, Vec, add, centroid, cross, dot, scale, sine_cosine, sub, unit
from tests.scene.raster import Panel
from tests.scene.surface import Bytes, Light, Surface, veil

if TYPE_CHECKING:
    from numpy.random import Generator

Outline = tuple[tuple[float, float], ...]
OUTLINE_BITS = 4  # sub-texel bits in which face outlines are filled


@dataclass(frozen=True)
class Lamp:
    """Light of a scene: one broad lamp and what the walls give back.

    Attributes:
        towards: direction from the scene to the lamp.
        ambient: share of the light that reaches every face.
        tint: colour of all light, relative to white.
    """

    towards: Vec = (-0.35, 0.45, 0.82)
    ambient: float = 0.42
    tint: Light = (1.0, 1.0, 1.0)

    def on(self, normal: Vec) -> float:
        """Return the light on a matt face, 1 for a face square to the lamp."""
        return self.ambient + (1.0 - self.ambient) * max(0.0, dot(normal, unit(self.towards)))


@dataclass(frozen=True)
class Finish:
    """What a solid is made of.

    Attributes:
        colour: sRGB.
        grain: strength of the surface's unevenness in sRGB steps.
        gloss: strength of the lamp's reflection, 0 for matt.
    """

    colour: tuple[int, int, int]
    grain: int = 3
    gloss: float = 0.0


@dataclass(frozen=True)
class Solid:
    """A convex solid: outlines (seen from above, anticlockwise) at rising heights, joined by flat faces.

    Attributes:
        rings: (height, outline in mm) from bottom to top, all with the same number of corners.
        origin: world position of the local (0, 0, 0).
        axes: local x, y, z as world unit vectors, right-handed.
        finish: what it is made of.
        per_mm: texels a millimetre of its faces.
    """

    rings: tuple[tuple[float, Outline], ...]
    origin: Vec
    finish: Finish
    axes: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    per_mm: float = 3.0

    def world(self, x: float, y: float, z: float) -> Vec:
        """Return the world position of a local point."""
        return add(
            self.origin, add(scale(self.axes[0], x), add(scale(self.axes[1], y), scale(self.axes[2], z)))
        )

    def vertices(self) -> list[Vec]:
        """Return all corners in the world."""
        return [self.world(x, y, height) for height, outline in self.rings for x, y in outline]

    def faces(self) -> list[list[Vec]]:
        """Return every face as corners that run anticlockwise when seen from outside."""
        layers = [[self.world(x, y, height) for x, y in outline] for height, outline in self.rings]
        found = [layers[-1], layers[0][::-1]]
        for lower, upper in pairwise(layers):
            for index in range(len(lower)):
                following = (index + 1) % len(lower)
                found.append([lower[index], lower[following], upper[following], upper[index]])
        return found


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Outline:
    """Return a rectangle as an outline."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def regular(radius: float, corners: int, turn_degrees: float = 0.0) -> Outline:
    """Return a regular polygon; with many corners, a circle."""
    turns = [sine_cosine(turn_degrees + 360.0 * index / corners) for index in range(corners)]
    return tuple((radius * cosine, radius * sine) for sine, cosine in turns)


def rounded(width: float, length: float, radius: float, corners: int = 6) -> Outline:
    """Return a rectangle around the origin with rounded corners."""
    points = []
    for quarter, (side_x, side_y) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        for step in range(corners + 1):
            sine, cosine = sine_cosine(90.0 * quarter + 90.0 * step / corners)
            points.append(
                (
                    side_x * (width / 2 - radius) + radius * cosine,
                    side_y * (length / 2 - radius) + radius * sine,
                )
            )
    return tuple(points)


def box(low: Vec, high: Vec, finish: Finish, bevel: float = 0.0, per_mm: float = 3.0) -> Solid:
    """Return an upright box between two opposite corners, its top edges broken by a bevel."""
    x, y = high[0] - low[0], high[1] - low[1]
    top = high[2] - low[2]
    rings: tuple[tuple[float, Outline], ...] = ((0.0, rectangle(0, 0, x, y)), (top, rectangle(0, 0, x, y)))
    if bevel > 0.0:
        small = rectangle(bevel, bevel, x - bevel, y - bevel)
        rings = (rings[0], (top - bevel, rings[0][1]), (top, small))
    return Solid(rings, low, finish, per_mm=per_mm)


def cylinder(
    base: Vec, radius: float, height: float, finish: Finish, *, bevel: float = 0.0, corners: int = 28
) -> Solid:
    """Return an upright cylinder."""
    side = regular(radius, corners)
    rings: tuple[tuple[float, Outline], ...] = ((0.0, side), (height, side))
    if bevel > 0.0:
        rings = ((0.0, side), (height - bevel, side), (height, regular(radius - bevel, corners)))
    return Solid(rings, base, finish, per_mm=6.0)


def rod(start: Vec, end: Vec, radius: float, finish: Finish, corners: int = 20) -> Solid:
    """Return a round (or, with six corners, hexagonal) bar between two points."""
    along = unit(sub(end, start))
    helper: Vec = (0.0, 0.0, 1.0) if abs(along[2]) < 0.9 else (1.0, 0.0, 0.0)
    first = unit(cross(helper, along))
    length = math.sqrt(dot(sub(end, start), sub(end, start)))
    side = regular(radius, corners)
    return Solid(
        ((0.0, side), (length, side)), start, finish, axes=(first, cross(along, first), along), per_mm=2.0
    )


def solid_panels(solid: Solid, camera: Camera, lamp: Lamp, rng: Generator) -> list[Panel]:
    """Return the faces that the camera sees, shaded."""
    panels = []
    for face in solid.faces():
        normal = _normal(face)
        if normal is None or dot(normal, sub(camera.position, centroid(face))) <= 0.0:
            continue
        light = lamp.on(normal) + solid.finish.gloss * _reflection(normal, centroid(face), camera, lamp)
        tinted = (light * lamp.tint[0], light * lamp.tint[1], light * lamp.tint[2])
        panels.append(_face_panel(face, normal, solid, tinted, rng))
    return panels


def nearest_last(solids: tuple[Solid, ...], camera: Camera) -> list[Solid]:
    """Return solids in painting order: far ones first."""

    def distance(solid: Solid) -> float:
        away = sub(centroid(solid.vertices()), camera.position)
        return -dot(away, away)

    return sorted(solids, key=distance)


def _normal(face: list[Vec]) -> Vec | None:
    for first in range(len(face)):
        edge = sub(face[(first + 1) % len(face)], face[first])
        other = sub(face[(first + 2) % len(face)], face[first])
        normal = cross(edge, other)
        if dot(normal, normal) > 1e-9:
            return unit(normal)
    return None


def _reflection(normal: Vec, point: Vec, camera: Camera, lamp: Lamp) -> float:
    halfway = unit(add(unit(lamp.towards), unit(sub(camera.position, point))))
    alignment = max(0.0, dot(normal, halfway))
    eighth = alignment * alignment * alignment * alignment
    return eighth * eighth


def _face_panel(face: list[Vec], normal: Vec, solid: Solid, light: Light, rng: Generator) -> Panel:
    """Return a rectangle around the face, opaque inside the face only."""
    along_u = unit(sub(face[1], face[0]))
    along_v = cross(along_u, normal)  # the panel is seen from the side of along_v x along_u
    flat = [(dot(sub(point, face[0]), along_u), dot(sub(point, face[0]), along_v)) for point in face]
    left, top = min(u for u, _ in flat), min(v for _, v in flat)
    width, height = max(u for u, _ in flat) - left, max(v for _, v in flat) - top
    per_mm = solid.per_mm
    shape = (max(1, math.ceil(height * per_mm)) + 2, max(1, math.ceil(width * per_mm)) + 2)
    pixels = np.empty((*shape, 4), dtype=np.uint8)
    pixels[:, :, :3] = grained(solid.finish, shape, rng)
    pixels[:, :, 3] = _filled([((u - left) * per_mm + 0.5, (v - top) * per_mm + 0.5) for u, v in flat], shape)
    margin = 1.0 / per_mm
    origin = add(face[0], add(scale(along_u, left - margin), scale(along_v, top - margin)))
    return Panel(origin, along_u, along_v, Surface(pixels, per_mm), light)


def _filled(points: list[tuple[float, float]], shape: tuple[int, int]) -> Bytes:
    mask = np.zeros(shape, dtype=np.uint8)
    fixed = np.array(
        [(round(x * (1 << OUTLINE_BITS)), round(y * (1 << OUTLINE_BITS))) for x, y in points], dtype=np.int32
    )
    cv2.fillConvexPoly(mask, fixed, 255, lineType=cv2.LINE_AA, shift=OUTLINE_BITS)
    return mask


def grained(finish: Finish, shape: tuple[int, int], rng: Generator) -> Bytes:
    """Return a (rows, columns, 3) patch of an almost even colour."""
    if finish.grain == 0:
        unevenness = np.zeros(shape, dtype=np.int16)
    else:
        coarse = rng.integers(0, 256, (shape[0] // 3 + 2, shape[1] // 3 + 2), dtype=np.uint8)
        spread = cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR)
        unevenness = (np.asarray(spread, dtype=np.int16) - 128) * finish.grain // 64
    colour = np.array(finish.colour, dtype=np.int16)
    return np.asarray(np.clip(colour + unevenness[:, :, None], 0, 255), dtype=np.uint8)


def shadow_panel(
    casters: tuple[Solid, ...], lamp: Lamp, plane_z: float, softness_mm: float = 9.0, strength: int = 190
) -> Panel:
    """Return the soft shadow of some solids on a level plane, with the dark contact line around their feet."""
    slant = unit(lamp.towards)
    hulls = [[_dropped(vertex, slant, plane_z) for vertex in solid.vertices()] for solid in casters]
    feet = [[(x, y) for x, y, z in solid.vertices() if z - plane_z < 3.0] for solid in casters]
    margin, per_mm = 3.0 * softness_mm, min(2.0, 14.0 / softness_mm)
    xs, ys = [x for hull in hulls for x, _ in hull], [y for hull in hulls for _, y in hull]
    left, top = min(xs) - margin, max(ys) + margin
    shape = (math.ceil((top - min(ys) + margin) * per_mm), math.ceil((max(xs) + margin - left) * per_mm))
    cast = _soft_hulls(hulls, (left, top), per_mm, shape, softness_mm)
    contact = _soft_hulls(
        [foot for foot in feet if len(foot) >= 3], (left, top), per_mm, shape, softness_mm / 3.0
    )
    opacity = (
        np.maximum(cast.astype(np.uint16) * strength, contact.astype(np.uint16) * min(255, strength + 50))
        // 255
    )
    return Panel(
        (left, top, plane_z),
        (1.0, 0.0, 0.0),
        (0.0, -1.0, 0.0),
        veil(opacity.astype(np.uint8), (4, 5, 8), per_mm),
    )


def _dropped(vertex: Vec, slant: Vec, plane_z: float) -> tuple[float, float]:
    drop = max(0.0, vertex[2] - plane_z) / slant[2]
    return vertex[0] - slant[0] * drop, vertex[1] - slant[1] * drop


def _soft_hulls(
    shapes: list[list[tuple[float, float]]],
    corner: tuple[float, float],
    per_mm: float,
    shape: tuple[int, int],
    softness_mm: float,
) -> Bytes:
    mask = np.zeros(shape, dtype=np.uint8)
    for points in shapes:
        texels = [(round((x - corner[0]) * per_mm), round((corner[1] - y) * per_mm)) for x, y in points]
        hull = cv2.convexHull(np.array(texels, dtype=np.int32))
        cv2.fillConvexPoly(mask, hull, 255)
    return np.asarray(cv2.GaussianBlur(mask, (0, 0), softness_mm * per_mm / 2.0), dtype=np.uint8)
