"""The overview photo: the empty patient compartment from the tailgate, marked out, with nothing fitted yet."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.random import PCG64, Generator

from tests.scene.fittings import EAST, INTO_VIEW_RIGHT, SOUTH, TOWARDS_TAILGATE, screwdriver
from tests.scene.geometry import Camera, Vec
from tests.scene.hook_view import SILL_WIDTH_MM
from tests.scene.labels import Ticket, tape_panel, ticket_panel
from tests.scene.print_art import Sheet
from tests.scene.raster import Panel
from tests.scene.scene import Defocus, Element, Look, Scene, Solids
from tests.scene.solids import Finish, Lamp, Solid, box, cylinder, rod
from tests.scene.surface import Bytes, Surface, opaque, veil
from tests.scene.textures import (
    VINYL_BLUE_GREY,
    Colour,
    brushed,
    chequer_plate,
    corner_shade,
    darkened,
    dirty,
    painted,
    speckled_vinyl,
    swarf,
)

LENGTH_MM, HALF_WIDTH_MM, HEIGHT_MM = 2900.0, 850.0, 1720.0
DOWN: Vec = (0.0, 0.0, -1.0)
WHITE_PAINT: Colour = (214, 217, 216)
WALL_PER_MM = 1.0


@dataclass(frozen=True)
class Bay:
    """What an overview shows.

    Attributes:
        ticket: job ticket on the floor.
        places: name and y (mm) of the marked stretcher places.
        body_colour: paint of the rear frame.
        floor: colour of the vinyl.
        stretch: texels a millimetre of the floor; more for larger pictures.
        seed: seed of textures, dirt and noise.
    """

    ticket: Ticket
    places: tuple[tuple[str, float], ...]
    body_colour: Colour
    floor: Colour = VINYL_BLUE_GREY
    stretch: float = 1.0
    seed: int = 1


def overview_camera(size: tuple[int, int]) -> Camera:
    """Return a camera at chest height behind the tailgate."""
    return Camera((-1420.0, 110.0, 1180.0), (720.0, -10.0, 250.0), (0.0, 0.0, 1.0), 26.0, size)


def overview_scene(bay: Bay, camera: Camera) -> Scene:
    """Return the empty compartment of a bay."""
    rng = Generator(PCG64(bay.seed))
    lamp = Lamp((-0.25, 0.2, 0.95), 0.5)
    elements = [*_shell(rng), *_floor(bay, rng), *_rear(bay, rng), *_marks(bay, rng), *_clutter(bay, rng)]
    look = Look(((62, 92, 96, 88, 64), (84, 104, 106, 102, 82), (88, 100, 104, 98, 82), (70, 84, 88, 82, 66)))
    return Scene(camera, tuple(elements), lamp, look, bay.seed)


def _shell(rng: Generator) -> list[Element]:
    """Return bulkhead, ceiling with its lights, and the two side walls."""
    ceiling = darkened(
        painted((1700, 2900), WALL_PER_MM, rng, (206, 208, 206)), corner_shade((1700, 2900), (40, 70, 60, 70))
    )
    for row in (420, 1220):
        cv2.rectangle(ceiling, (250, row), (2650, row + 70), (255, 255, 252), -1)
    return [
        Panel(
            (LENGTH_MM, HALF_WIDTH_MM, HEIGHT_MM),
            INTO_VIEW_RIGHT,
            DOWN,
            opaque(_bulkhead(rng), WALL_PER_MM),
            (0.72, 0.72, 0.72),
        ),
        Panel(
            (0.0, -HALF_WIDTH_MM, HEIGHT_MM),
            EAST,
            (0.0, 1.0, 0.0),
            opaque(ceiling, WALL_PER_MM),
            (0.85, 0.85, 0.85),
            cells=(4, 2),
        ),
        Panel(
            (0.0, HALF_WIDTH_MM, HEIGHT_MM),
            EAST,
            DOWN,
            opaque(_cupboards(rng), WALL_PER_MM),
            (0.7, 0.7, 0.7),
            cells=(4, 2),
        ),
        Panel(
            (LENGTH_MM, -HALF_WIDTH_MM, HEIGHT_MM),
            TOWARDS_TAILGATE,
            DOWN,
            opaque(_window_wall(rng), WALL_PER_MM),
            (0.74, 0.74, 0.74),
            cells=(4, 2),
        ),
    ]


def _wall(size: tuple[int, int], rng: Generator) -> Bytes:
    picture = painted(size, WALL_PER_MM, rng, WHITE_PAINT)
    return darkened(picture, corner_shade(size, (55, 40, 55, 90)))


def _bulkhead(rng: Generator) -> Bytes:
    sheet = Sheet(_wall((1720, 1700), rng), WALL_PER_MM)
    sheet.bar((520.0, 210.0), (1180.0, 620.0), (48, 62, 74))
    sheet.frame((510.0, 200.0), (1190.0, 630.0), 22.0, 40.0, (60, 62, 66))
    sheet.frame((90.0, 760.0), (760.0, 1560.0), 8.0, 24.0, (146, 150, 152))
    sheet.frame((900.0, 760.0), (1610.0, 1560.0), 8.0, 24.0, (146, 150, 152))
    for x in (700.0, 1550.0):
        sheet.bar((x, 1080.0), (x + 22.0, 1220.0), (52, 54, 58))
    sheet.bar((0.0, 668.0), (1700.0, 700.0), (24, 96, 122))
    return sheet.pixels


def _cupboards(rng: Generator) -> Bytes:
    """Return the left wall: four sliding cupboards above a coloured rail."""
    sheet = Sheet(_wall((1720, 2900), rng), WALL_PER_MM)
    for index in range(4):
        left = 120.0 + 680.0 * index
        sheet.bar((left, 110.0), (left + 640.0, 560.0), (166, 178, 184))
        sheet.frame((left, 110.0), (left + 640.0, 560.0), 12.0, 22.0, (126, 130, 134))
        sheet.bar((left + 300.0, 122.0), (left + 322.0, 548.0), (120, 124, 128))
        sheet.frame((left + 262.0, 300.0), (left + 282.0, 380.0), 5.0, 8.0, (44, 46, 50))
    sheet.bar((0.0, 640.0), (2900.0, 674.0), (24, 96, 122))
    for index in range(6):
        sheet.disc((300.0 + 440.0 * index, 800.0), 26.0, (70, 74, 78))
        sheet.disc((300.0 + 440.0 * index, 800.0), 16.0, (30, 32, 34))
    return sheet.pixels


def _window_wall(rng: Generator) -> Bytes:
    """Return the right wall, its first column at the bulkhead: a frosted window and a grab rail."""
    sheet = Sheet(_wall((1720, 2900), rng), WALL_PER_MM)
    sheet.bar((1150.0, 200.0), (2150.0, 640.0), (228, 238, 246))
    sheet.frame((1138.0, 188.0), (2162.0, 652.0), 22.0, 60.0, (58, 60, 64))
    sheet.bar((1640.0, 200.0), (1654.0, 640.0), (70, 72, 76))
    sheet.bar((0.0, 690.0), (2900.0, 724.0), (24, 96, 122))
    sheet.bar((700.0, 800.0), (2500.0, 826.0), (214, 176, 34))
    sheet.bar((700.0, 826.0), (2500.0, 832.0), (120, 96, 20))
    return sheet.pixels


def _furniture() -> list[Element]:
    """Return nothing that hides the floor's middle: a bench locker at the left, a seat base at the right front."""
    light, dark, cover = Finish((188, 192, 194), 3), Finish((70, 74, 80), 3), Finish((34, 60, 92), 4, 0.05)
    locker = (
        box((700.0, 540.0, 0.0), (2880.0, 848.0, 400.0), light, per_mm=0.6),
        box((690.0, 530.0, 400.0), (2880.0, 848.0, 470.0), cover, 14.0, 0.6),
    )
    seat = (
        box((2050.0, -760.0, 0.0), (2420.0, -480.0, 330.0), dark, per_mm=0.6),
        box((2000.0, -800.0, 330.0), (2470.0, -400.0, 430.0), cover, 24.0, 0.6),
        box((2400.0, -800.0, 430.0), (2500.0, -400.0, 1000.0), cover, 24.0, 0.6),
    )
    return [Solids(locker, 0.0, 60.0), Solids(seat, 0.0, 60.0)]


def _floor(bay: Bay, rng: Generator) -> list[Element]:
    """Return the vinyl floor with the shadows of furniture baked in; laid after the walls, before what stands on it."""
    per_mm = bay.stretch
    half = speckled_vinyl((round(1700 * per_mm), round(1430 * per_mm)), per_mm, rng, bay.floor)
    floor = np.ascontiguousarray(np.concatenate([half, half[::-1]], axis=1))
    dirty(floor, per_mm, rng, 15)
    for _, y in bay.places:
        place = (round((126.0 + 40.0) * per_mm), round((HALF_WIDTH_MM - y) * per_mm))
        swarf(floor, place, round(120 * per_mm), per_mm, rng)
    floor = darkened(floor, corner_shade((floor.shape[0], floor.shape[1]), (20, 110, 120, 110)))
    sill = brushed((round(1700 * per_mm), round(SILL_WIDTH_MM * per_mm)), rng, (172, 174, 176), across=True)
    return [
        Panel((SILL_WIDTH_MM, HALF_WIDTH_MM, 0.0), EAST, SOUTH, opaque(floor, per_mm), cells=(8, 3)),
        *_furniture(),
        Panel((0.0, HALF_WIDTH_MM, 0.0), EAST, SOUTH, opaque(sill, per_mm), (1.1, 1.1, 1.1), cells=(1, 3)),
    ]


def _rear(bay: Bay, rng: Generator) -> list[Element]:
    """Return what stands in front of the sill: workshop floor, step, and the painted frame of the opening."""
    concrete = painted((2000, 3200), 1.0, rng, (128, 126, 122))
    dirty(concrete, 1.0, rng, 60)
    step = chequer_plate(
        (round(1700 * bay.stretch), round(300 * bay.stretch)), bay.stretch, rng, (62, 64, 67)
    )
    dirty(step, bay.stretch, rng, 20)
    paint, rubber = Finish(bay.body_colour, 2, 0.15), Finish((28, 29, 31), 2, 0.05)
    frame = []
    for side in (1.0, -1.0):
        inner, outer = side * HALF_WIDTH_MM, side * (HALF_WIDTH_MM + 420.0)
        low, high = min(inner, outer), max(inner, outer)
        frame.append(box((-60.0, low, -500.0), (30.0, high, 2300.0), paint, per_mm=0.5))
        frame.append(rod((-64.0, inner, -60.0), (-64.0, inner, 1760.0), 16.0, rubber))
        lamp_low = side * (HALF_WIDTH_MM + 190.0)
        frame.append(_rear_lamp(lamp_low, 560.0, (186, 28, 26)))
        frame.append(_rear_lamp(lamp_low, 400.0, (222, 132, 24)))
    return [
        Panel(
            (-2000.0, 1600.0, -560.0),
            EAST,
            SOUTH,
            opaque(_turned(concrete), 1.0),
            (0.6, 0.6, 0.6),
            cells=(6, 6),
        ),
        Solids(
            (
                box(
                    (-296.0, -HALF_WIDTH_MM, -240.0),
                    (-2.0, HALF_WIDTH_MM, -59.0),
                    Finish((44, 45, 48), 3),
                    per_mm=0.5,
                ),
            )
        ),
        Panel(
            (-302.0, HALF_WIDTH_MM, -58.0),
            EAST,
            SOUTH,
            opaque(step, bay.stretch),
            (0.85, 0.85, 0.85),
            cells=(2, 3),
        ),
        Solids(
            (
                box(
                    (-2.0, -HALF_WIDTH_MM, -58.0),
                    (0.0, HALF_WIDTH_MM, -0.1),
                    Finish((140, 142, 144), 3),
                    per_mm=0.5,
                ),
            )
        ),
        Solids(tuple(frame)),
    ]


def _rear_lamp(y: float, z: float, colour: Colour) -> Solid:
    """Return a round lamp on the frame's rear face."""
    return rod((-60.0, y, z), (-76.0, y, z), 60.0, Finish(colour, 2, 0.3), 36)


def _turned(picture: Bytes) -> Bytes:
    return np.ascontiguousarray(picture.transpose(1, 0, 2))


def _marks(bay: Bay, rng: Generator) -> list[Element]:
    """Return for each place: a chalk centre line, a pen cross and drilled holes, and tape with its name."""
    found: list[Element] = []
    for name, y in bay.places:
        found.append(Panel((60.0, y + 4.0, 0.2), EAST, SOUTH, _chalk(1500.0, rng)))
        found.append(Panel((70.0, y + 130.0, 0.2), EAST, SOUTH, _layout(), cells=(1, 1)))
        found.append(
            tape_panel(name, (90.0, y + 260.0, 0.3), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, rng, length_mm=80.0)
        )
    return found


def _chalk(length_mm: float, rng: Generator) -> Surface:
    per_mm = 1.0
    dust = rng.integers(60, 210, (8, round(length_mm)), dtype=np.uint8)
    dust[0], dust[-1] = dust[0] // 4, dust[-1] // 4
    return veil(np.asarray(cv2.GaussianBlur(dust, (0, 0), 1.0), dtype=np.uint8), (226, 232, 240), per_mm)


def _layout() -> Surface:
    """Return pen marks in a 260 x 260 mm field: a cross, a frame and four drilled holes."""
    per_mm = 2.0
    sheet = Sheet(np.zeros((round(260 * per_mm), round(260 * per_mm), 3), dtype=np.uint8), per_mm)
    white: Colour = (255, 255, 255)
    sheet.line((10.0, 130.0), (250.0, 130.0), 1.6, white)
    sheet.line((50.0, 40.0), (50.0, 220.0), 1.6, white)
    sheet.frame((50.0, 99.0), (146.0, 161.0), 1.6, 2.0, white)
    for x in (102.0, 136.0):
        for y in (108.0, 152.0):
            sheet.disc((x, y), 6.5, white)
    return veil(np.ascontiguousarray(sheet.pixels[:, :, 0]), (236, 234, 220), per_mm)


def _steel_rule() -> Surface:
    per_mm = 3.0
    sheet = Sheet(
        np.full((round(30 * per_mm), round(500 * per_mm), 3), (160, 162, 165), dtype=np.uint8), per_mm
    )
    for millimetre in range(0, 500, 5):
        length = 12.0 if millimetre % 50 == 0 else 8.0 if millimetre % 10 == 0 else 5.0
        sheet.bar((float(millimetre), 0.0), (millimetre + 0.8, length), (30, 30, 32))
    return opaque(sheet.pixels, per_mm)


def _clutter(bay: Bay, rng: Generator) -> list[Element]:
    """Return tools and boxes that were left in the bay, and the job ticket near the sill."""
    red, cardboard, dark = (
        Finish((170, 34, 30), 3, 0.15),
        Finish((168, 130, 84), 5),
        Finish((40, 42, 46), 3, 0.1),
    )
    toolbox = (
        box((860.0, -660.0, 0.0), (1060.0, -260.0, 170.0), red, 10.0, 1.0),
        rod((960.0, -600.0, 196.0), (960.0, -320.0, 196.0), 12.0, dark),
    )
    carton = (box((1350.0, 180.0, 0.0), (1640.0, 460.0, 190.0), cardboard, per_mm=1.0),)
    tin = (cylinder((620.0, -600.0, 0.0), 42.0, 110.0, Finish((196, 198, 200), 3, 0.3), corners=36),)
    return [
        Solids(carton, 0.0, 40.0),
        Solids(toolbox, 0.0, 30.0),
        Solids(tin, 0.0, 14.0),
        Solids(screwdriver((520.0, 330.0, 14.0), (-0.6, 0.8, 0.0)), 0.0),
        Panel((330.0, -70.0, 0.4), (0.94, -0.3412, 0.0), (-0.3412, -0.94, 0.0), _steel_rule()),
        ticket_panel(bay.ticket, (250.0, -545.0, 0.4), (0.1, -0.995, 0.0), (-0.995, -0.1, 0.0), rng),
        Defocus(0.6),
    ]
