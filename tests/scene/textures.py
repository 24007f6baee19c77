"""Pictures of workshop surfaces, (rows, columns, 3) 8-bit sRGB unless said otherwise, all from a seeded generator."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.random import Generator

    from tests.scene.surface import Bytes

Colour = tuple[int, int, int]


def clouds(shape: tuple[int, int], cell: int, rng: Generator) -> Bytes:
    """Return smooth random grey (rows, columns) whose patches are about a cell wide, in texels."""
    coarse = rng.integers(0, 256, (shape[0] // cell + 3, shape[1] // cell + 3), dtype=np.uint8)
    return np.asarray(cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC), dtype=np.uint8)


def toned(base: Bytes, tone: Bytes, strength: int) -> Bytes:
    """Return a picture made lighter and darker by a grey picture around its middle, by up to strength steps."""
    table = [(value - 128) * strength // 128 for value in range(256)]
    up = np.asarray(cv2.LUT(tone, np.array([max(0, step) for step in table], dtype=np.uint8)), dtype=np.uint8)
    down = np.asarray(
        cv2.LUT(tone, np.array([max(0, -step) for step in table], dtype=np.uint8)), dtype=np.uint8
    )
    lighter = cv2.add(base, cv2.merge([up, up, up]))
    return np.asarray(cv2.subtract(lighter, cv2.merge([down, down, down])), dtype=np.uint8)


def even(shape: tuple[int, int], colour: Colour) -> Bytes:
    """Return one colour."""
    return np.full((*shape, 3), colour, dtype=np.uint8)


VINYL_BLUE_GREY: Colour = (104, 112, 121)
VINYL_SAND: Colour = (132, 122, 106)
VINYL_REPEAT_MM = 290.0  # the printed pattern repeats, as on a real roll


def speckled_vinyl(
    shape: tuple[int, int], per_mm: float, rng: Generator, colour: Colour = VINYL_BLUE_GREY
) -> Bytes:
    """Return non-slip vinyl: a grey ground with small light, dark and blue flakes, and wear."""
    side = round(VINYL_REPEAT_MM * per_mm)
    tile = toned(even((side, side), colour), clouds((side, side), max(2, round(1.2 * per_mm)), rng), 5)
    for density, flake in (
        (0.030, (62, 68, 76)),
        (0.022, (164, 170, 176)),
        (0.010, (76, 100, 138)),
        (0.004, (30, 33, 38)),
    ):
        _scatter(
            tile,
            round(VINYL_REPEAT_MM * VINYL_REPEAT_MM * density),
            flake,
            (0.35 * per_mm, 0.95 * per_mm),
            rng,
        )
    repeats = (shape[0] // side + 1, shape[1] // side + 1, 1)
    picture = np.ascontiguousarray(np.tile(tile, repeats)[: shape[0], : shape[1]])
    return toned(picture, clouds(shape, round(60 * per_mm), rng), 9)


def _scatter(picture: Bytes, count: int, colour: Colour, radii: tuple[float, float], rng: Generator) -> None:
    rows, columns = picture.shape[:2]
    xs, ys = rng.integers(0, columns * 16, count), rng.integers(0, rows * 16, count)
    longs = rng.integers(round(radii[0] * 16), round(radii[1] * 16) + 1, (count, 2))
    turns = rng.integers(0, 180, count)
    for x, y, (first, second), turn in zip(
        xs.tolist(), ys.tolist(), longs.tolist(), turns.tolist(), strict=True
    ):
        cv2.ellipse(picture, (x, y), (first, max(8, second // 2)), turn, 0, 360, colour, -1, cv2.LINE_AA, 4)


def chequer_plate(
    shape: tuple[int, int], per_mm: float, rng: Generator, colour: Colour = (118, 120, 122)
) -> Bytes:
    """Return rolled chequer plate: crossed lens-shaped ribs, lit from one side."""
    pitch = max(4, round(24 * per_mm))
    tile = np.full((pitch * 2, pitch * 2, 3), colour, dtype=np.uint8)
    for row in range(-1, 3):
        for column in range(-1, 3):
            turn = 45 if (row + column) % 2 == 0 else -45
            _rib(tile, (column * pitch + pitch // 2, row * pitch + pitch // 2), turn, per_mm, colour)
    repeats = (shape[0] // tile.shape[0] + 1, shape[1] // tile.shape[1] + 1, 1)
    picture = np.ascontiguousarray(np.tile(tile, repeats)[: shape[0], : shape[1]])
    picture = toned(picture, clouds(shape, max(2, round(35 * per_mm)), rng), 16)
    return toned(picture, rng.integers(0, 256, shape, dtype=np.uint8), 5)


def _rib(tile: Bytes, centre: tuple[int, int], turn: int, per_mm: float, colour: Colour) -> None:
    axes = (round(11.5 * per_mm), max(2, round(3.0 * per_mm)))
    offset = max(1, round(0.7 * per_mm))
    for shift, step in ((offset, -34), (-offset, 62), (0, 22)):
        tone = tuple(max(0, min(255, channel + step)) for channel in colour)
        cv2.ellipse(tile, (centre[0] + shift, centre[1] + shift), axes, turn, 0, 360, tone, -1, cv2.LINE_AA)


def brushed(
    shape: tuple[int, int], rng: Generator, colour: Colour = (172, 174, 176), *, across: bool = False
) -> Bytes:
    """Return brushed metal, with streaks along the columns' direction or, if asked, across it."""
    rows, columns = (shape[1], shape[0]) if across else shape
    lines = rng.integers(0, 256, (rows, columns // 90 + 3), dtype=np.uint8)
    streaks = np.asarray(cv2.resize(lines, (columns, rows), interpolation=cv2.INTER_LINEAR), dtype=np.uint8)
    streaks = streaks.T if across else streaks
    picture = toned(even(shape, colour), np.ascontiguousarray(streaks), 13)
    return toned(picture, clouds(shape, max(shape) // 3 + 2, rng), 16)


def painted(shape: tuple[int, int], per_mm: float, rng: Generator, colour: Colour) -> Bytes:
    """Return sprayed paint with its fine orange-peel surface."""
    picture = toned(even(shape, colour), clouds(shape, max(2, round(1.5 * per_mm)), rng), 3)
    return toned(picture, clouds(shape, max(4, round(160 * per_mm)), rng), 4)


def wood(shape: tuple[int, int], rng: Generator) -> Bytes:
    """Return a worn plywood bench top, grain along the columns' direction."""
    long_grain = rng.integers(0, 256, (shape[0] // 3 + 2, shape[1] // 160 + 3), dtype=np.uint8)
    grain = np.asarray(
        cv2.resize(long_grain, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC), dtype=np.uint8
    )
    picture = toned(even(shape, (176, 146, 108)), grain, 22)
    return toned(picture, clouds(shape, max(shape) // 5 + 2, rng), 14)


def dirty(picture: Bytes, per_mm: float, rng: Generator, strength: int = 26) -> None:
    """Lay dust, smears and scuffs on a picture, in place."""
    shape = picture.shape[:2]
    small = (
        max(2, shape[0] // 4),
        max(2, shape[1] // 4),
    )  # stains are soft: a quarter of the texels is plenty
    broad = clouds(small, max(4, round(18 * per_mm)), rng).astype(np.int32)
    fine = clouds(small, max(2, round(3 * per_mm)), rng).astype(np.int32)
    smear = np.maximum(0, broad * 5 + fine * 3 - 1150)  # a stain is where both are high, with a ragged edge
    stain = _enlarged(np.minimum(smear * strength // 640, 120).astype(np.uint8), picture)
    picture[:] = cv2.subtract(picture, cv2.merge([stain // 2 + stain // 6, stain // 2 + stain // 4, stain]))
    area_mm2 = shape[0] * shape[1] / (per_mm * per_mm)
    _scuffs(picture, round(area_mm2 / 16000) + 2, per_mm, rng)
    _scatter(picture, round(area_mm2 / 900), (196, 188, 172), (0.25 * per_mm, 0.6 * per_mm), rng)


def _enlarged(layer: Bytes, like: Bytes) -> Bytes:
    size = (like.shape[1], like.shape[0])
    return np.asarray(cv2.resize(layer, size, interpolation=cv2.INTER_LINEAR), dtype=np.uint8)


def _scuffs(picture: Bytes, count: int, per_mm: float, rng: Generator) -> None:
    rows, columns, per_mm = picture.shape[0] // 2, picture.shape[1] // 2, per_mm / 2.0
    layer = np.zeros((rows, columns), dtype=np.uint8)
    for _ in range(count):
        centre = (int(rng.integers(0, columns)), int(rng.integers(0, rows)))
        radius = int(rng.integers(round(60 * per_mm), round(340 * per_mm)))
        start = int(rng.integers(0, 360))
        cv2.ellipse(
            layer,
            centre,
            (radius, radius),
            0,
            start,
            start + int(rng.integers(6, 24)),
            int(rng.integers(20, 60)),
            max(1, round(1.4 * per_mm)),
        )
    soft = _enlarged(
        np.asarray(cv2.GaussianBlur(layer, (0, 0), max(0.8, 0.7 * per_mm)), dtype=np.uint8), picture
    )
    picture[:] = cv2.subtract(picture, cv2.merge([soft, soft, soft]))


def swarf(picture: Bytes, centre: tuple[int, int], reach: int, per_mm: float, rng: Generator) -> None:
    """Strew bright drilling chips around a texel, in place."""
    for _ in range(90):
        angle, far = (
            int(rng.integers(0, 360)),
            int(rng.integers(0, reach)) * int(rng.integers(30, 101)) // 100,
        )
        x = centre[0] + far * (int(rng.integers(-100, 101))) // 100
        y = centre[1] + far * (int(rng.integers(-100, 101))) // 100
        size = max(1, round(per_mm * int(rng.integers(6, 22)) / 10))
        tone = int(rng.integers(150, 245))
        cv2.ellipse(
            picture,
            (x, y),
            (size, max(1, size // 2)),
            angle,
            0,
            int(rng.integers(90, 260)),
            (tone, tone, tone),
            max(1, round(0.35 * per_mm)),
            cv2.LINE_AA,
        )


def darkened(picture: Bytes, tone: Bytes) -> Bytes:
    """Return a picture times a grey picture, 255 leaving it as it is."""
    product = picture.astype(np.uint16) * tone.astype(np.uint16)[:, :, None]
    return ((product + 255) >> 8).astype(np.uint8)


def corner_shade(shape: tuple[int, int], edges: tuple[int, int, int, int]) -> Bytes:
    """Return a grey picture that darkens towards its left, top, right and bottom edge by the given steps."""
    rows, columns = shape
    shade = np.zeros(shape, dtype=np.int32)
    ramps = (np.arange(columns), np.arange(rows), np.arange(columns)[::-1], np.arange(rows)[::-1])
    for index, (ramp, depth) in enumerate(zip(ramps, edges, strict=True)):
        reach = max(1, len(ramp) // 3)
        rest = np.maximum(0, reach - ramp)
        fall = depth * rest * rest // (reach * reach)
        shade += fall[None, :] if index % 2 == 0 else fall[:, None]
    return np.clip(255 - shade, 0, 255).astype(np.uint8)
