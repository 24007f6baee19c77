"""The floor latch's hook and housing, screws with witness paint, and tools that lie about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from tests.scene.labels import grey_patch_panel, with_round_corners
from tests.scene.print_art import Sheet
from tests.scene.raster import Panel
from tests.scene.solids import Finish, Solid, box, cylinder, regular, rod, rounded
from tests.scene.surface import Bytes, Surface, opaque, veil

if TYPE_CHECKING:
    from numpy.random import Generator

    from tests.scene.geometry import Vec

STEEL = Finish((126, 129, 134), 5, 0.30)
DARK_STEEL = Finish((74, 77, 82), 5, 0.22)
ZINC = Finish((182, 180, 170), 6, 0.35)
MOULDING = Finish((46, 48, 53), 4, 0.12)
FRAME_PLASTIC = Finish((150, 152, 155), 3, 0.10)
AMBER = (236, 160, 32)
BLUE = (38, 92, 178)
WITNESS_PAINT = (232, 196, 30)
EAST: Vec = (1.0, 0.0, 0.0)
SOUTH: Vec = (0.0, -1.0, 0.0)
INTO_VIEW_RIGHT = SOUTH  # for somebody at the tailgate who looks into the vehicle, right is -y
TOWARDS_TAILGATE: Vec = (-1.0, 0.0, 0.0)

HOUSING_SIZE_MM = (130.0, 210.0, 46.0)
WINDOW_SIZE_MM = (64.0, 26.0)


def hook_parts(front_x: float, right_y: float) -> tuple[Solid, ...]:
    """Return the floor hook; its sill-side face is the plane x = front_x, its body runs 62 mm to the left of right_y + 62."""
    middle = right_y + 31.0
    base = box((front_x, right_y, 0.0), (front_x + 96.0, right_y + 62.0, 8.0), DARK_STEEL, 1.2)
    riser = box((front_x + 12.0, middle - 15.0, 8.0), (front_x + 42.0, middle + 15.0, 50.0), STEEL)
    nose = box((front_x + 12.0, middle - 15.0, 50.0), (front_x + 76.0, middle + 15.0, 64.0), STEEL, 4.0)
    lip = box((front_x + 64.0, middle - 15.0, 42.0), (front_x + 76.0, middle + 15.0, 50.0), STEEL)
    return (base, riser, nose, lip)


def hook_screws(front_x: float, right_y: float) -> list[tuple[float, float]]:
    """Return the places (x, y) of the hook's four screws."""
    return [(front_x + x, right_y + y) for x in (52.0, 86.0) for y in (9.0, 53.0)]


def socket_screw(at: Vec) -> tuple[Solid, ...]:
    """Return a domed screw head; its socket is a separate panel."""
    return (cylinder(at, 6.6, 4.6, ZINC, bevel=1.6),)


def socket_panel(at: Vec, height: float) -> Panel:
    """Return the dark hexagonal socket on a screw head's top."""
    per_mm, side = 10.0, 9.0
    opacity = np.zeros((round(side * per_mm), round(side * per_mm)), dtype=np.uint8)
    middle = side * per_mm / 2.0
    corners = np.array(
        [(round(middle + x * per_mm), round(middle + y * per_mm)) for x, y in regular(2.9, 6)], dtype=np.int32
    )
    cv2.fillConvexPoly(opacity, corners, 235, cv2.LINE_AA)
    return Panel(
        (at[0] - side / 2, at[1] + side / 2, at[2] + height), EAST, SOUTH, veil(opacity, (18, 18, 20), per_mm)
    )


def hexagon_screw(at: Vec, turn_degrees: float) -> tuple[Solid, ...]:
    """Return a hexagon head on its washer."""
    washer = cylinder(at, 11.0, 2.0, ZINC, bevel=0.4, corners=36)
    head = regular(8.2, 6, turn_degrees)
    top = regular(7.2, 6, turn_degrees)
    body = Solid(
        ((0.0, head), (5.6, head), (6.6, top)),
        (at[0], at[1], at[2] + 2.0),
        Finish((158, 158, 154), 5, 0.4),
        per_mm=8.0,
    )
    return (washer, body)


def witness_line(at: Vec, length_mm: float, along: Vec, across: Vec, rng: Generator) -> Panel:
    """Return a brushed stroke of witness paint that starts at a point and runs along a level direction."""
    per_mm, width = 10.0, 6.0
    opacity = np.zeros((round(width * per_mm), round((length_mm + 6.0) * per_mm)), dtype=np.uint8)
    middle = round(width * per_mm / 2)
    for texel in range(round(3.0 * per_mm), round((3.0 + length_mm) * per_mm), 4):
        radius = round(per_mm * int(rng.integers(10, 17)) / 10)
        cv2.circle(opacity, (texel, middle + int(rng.integers(-4, 5))), radius, 244, -1, cv2.LINE_AA)
    start = (
        at[0] - 3.0 * along[0] - width / 2 * across[0],
        at[1] - 3.0 * along[1] - width / 2 * across[1],
        at[2],
    )
    return Panel(start, along, across, veil(opacity, WITNESS_PAINT, per_mm))


def housing(at: Vec) -> Solid:
    """Return the moulded latch housing around a floor point; its long side runs across the vehicle."""
    depth, width, height = HOUSING_SIZE_MM
    rings = (
        (0.0, rounded(depth, width, 16.0)),
        (height - 9.0, rounded(depth, width, 16.0)),
        (height - 2.5, rounded(depth - 7.0, width - 7.0, 14.0)),
        (height, rounded(depth - 16.0, width - 16.0, 11.0)),
    )
    return Solid(rings, at, MOULDING)


def window_frame(at: Vec) -> Solid:
    """Return the raised frame of the lock window on the housing's top."""
    x, y, z = window_centre(at)
    across, along = WINDOW_SIZE_MM[1] + 13.0, WINDOW_SIZE_MM[0] + 13.0
    rings = (
        (0.0, rounded(across, along, 7.0)),
        (2.4, rounded(across, along, 7.0)),
        (3.4, rounded(across - 2.0, along - 2.0, 6.0)),
    )
    return Solid(rings, (x, y, z), FRAME_PLASTIC, per_mm=5.0)


def window_centre(at: Vec) -> Vec:
    """Return the middle of the lock window of a housing, on the housing's top."""
    return (at[0] + 4.0, at[1] + 38.0, at[2] + HOUSING_SIZE_MM[2])


def window_panel(at: Vec, colour: tuple[int, int, int], rng: Generator) -> Panel:
    """Return the indicator in its frame, seen upright from the tailgate: one colour, a shaded rim, dust."""
    per_mm = 10.0
    shape = (round(WINDOW_SIZE_MM[1] * per_mm), round(WINDOW_SIZE_MM[0] * per_mm))
    picture = np.full((*shape, 3), colour, dtype=np.uint8)
    rim = np.full(shape, 255, dtype=np.uint8)
    cv2.rectangle(rim, (0, 0), (shape[1] - 1, shape[0] - 1), 150, 14)
    soft = np.asarray(cv2.GaussianBlur(rim, (0, 0), 5.0), dtype=np.uint8)
    shaded = (picture.astype(np.uint16) * soft[:, :, None] // 255).astype(np.uint8)
    for x, y in zip(
        rng.integers(20, shape[1] - 20, 26).tolist(),
        rng.integers(20, shape[0] - 20, 26).tolist(),
        strict=True,
    ):
        cv2.circle(shaded, (x, y), 1, (205, 200, 190), -1, cv2.LINE_AA)
    x, y, z = window_centre(at)
    corner = (x + WINDOW_SIZE_MM[1] / 2, y + WINDOW_SIZE_MM[0] / 2, z + 3.5)
    return Panel(
        corner, INTO_VIEW_RIGHT, TOWARDS_TAILGATE, Surface(with_round_corners(shaded, per_mm, 4.0), per_mm)
    )


def grey_patch_corner(at: Vec) -> Vec:
    """Return the upper left corner of the grey sticker on a housing's top."""
    return (at[0] + 15.0, at[1] - 36.0, at[2] + HOUSING_SIZE_MM[2] + 0.1)


def housing_marks(at: Vec, position: str) -> tuple[Panel, ...]:
    """Return what is printed or stuck on the housing's top: name, place number, caption, grey patch."""
    top = at[2] + HOUSING_SIZE_MM[2] + 0.1
    name = _lettering("HERON 2", 13.0, 66.0, (196, 198, 202))
    caption = _lettering("LOCK INDICATOR", 5.4, 64.0, (190, 192, 196))
    place = _lettering(position, 15.0, 26.0, (232, 196, 60))
    left, far = at[1] + 80.0, at[0]
    return (
        Panel((far + 52.0, left, top), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, name),
        Panel((far - 20.0, left - 22.0, top), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, caption),
        Panel((far + 52.0, at[1] - 58.0, top), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, place),
        grey_patch_panel(grey_patch_corner(at), INTO_VIEW_RIGHT, TOWARDS_TAILGATE),
    )


def _lettering(words: str, height_mm: float, width_mm: float, colour: tuple[int, int, int]) -> Surface:
    per_mm = 8.0
    shape = (round(height_mm * 1.5 * per_mm), round(width_mm * per_mm))
    sheet = Sheet(np.zeros((*shape, 3), dtype=np.uint8), per_mm)
    sheet.text((1.0, height_mm * 1.1), words, height_mm, (255, 255, 255), "Bold")
    return veil(np.ascontiguousarray(sheet.pixels[:, :, 0]), colour, per_mm)


def release_lever(at: Vec) -> tuple[Solid, ...]:
    """Return the housing's release lever: a red grip on two arms at the side towards the vehicle's right."""
    x, y, z = at[0], at[1] - HOUSING_SIZE_MM[1] / 2.0, at[2]
    arms = [
        box((x + offset, y - 29.5, z + 14.0), (x + offset + 9.0, y, z + 24.0), DARK_STEEL)
        for offset in (-34.0, 26.0)
    ]
    grip = rod(
        (x - 44.0, y - 38.0, z + 19.0), (x + 46.0, y - 38.0, z + 19.0), 9.0, Finish((176, 36, 34), 4, 0.15)
    )
    return (*arms, grip)


def hexagon_key(start: Vec, end: Vec) -> tuple[Solid, ...]:
    """Return an angled hexagon key that lies on the floor."""
    finish = Finish((92, 94, 98), 3, 0.4)
    return (rod(start, end, 3.2, finish, 6), rod(end, (end[0] + 24.0, end[1] + 12.0, end[2]), 3.2, finish, 6))


def screwdriver(start: Vec, along: Vec) -> tuple[Solid, ...]:
    """Return a screwdriver with a coloured grip that lies on the floor."""

    def place(distance: float) -> Vec:
        return (start[0] + along[0] * distance, start[1] + along[1] * distance, start[2])

    grip = rod(place(0.0), place(98.0), 14.0, Finish((196, 88, 24), 4, 0.2), 10)
    collar = rod(place(98.0), place(112.0), 9.0, Finish((34, 34, 36), 2, 0.2))
    return (grip, collar, rod(place(112.0), place(232.0), 3.4, ZINC))


def floor_plate(picture: Bytes, per_mm: float, at: Vec, size_mm: tuple[float, float]) -> tuple[Solid, Panel]:
    """Return a low steel plate on the floor and the picture on its top, columns along x."""
    solid = box(at, (at[0] + size_mm[0], at[1] + size_mm[1], at[2] + 6.0), STEEL, 1.0)
    top = Panel((at[0] + 1.0, at[1] + size_mm[1] - 1.0, at[2] + 6.02), EAST, SOUTH, opaque(picture, per_mm))
    return solid, top
