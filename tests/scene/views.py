"""Close-up photos: lock window, plates, the vehicle's ticket, witness marks."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.random import PCG64, Generator

from tests.scene.fittings import (
    AMBER,
    BLUE,
    EAST,
    INTO_VIEW_RIGHT,
    SOUTH,
    STEEL,
    TOWARDS_TAILGATE,
    WINDOW_SIZE_MM,
    grey_patch_corner,
    hexagon_screw,
    housing,
    housing_marks,
    release_lever,
    screwdriver,
    window_centre,
    window_frame,
    window_panel,
    witness_line,
)
from tests.scene.geometry import Camera, Vec, sine_cosine
from tests.scene.labels import TICKET_SIZE_MM, Plate, Ticket, plate_panel, tape_panel, ticket_panel
from tests.scene.raster import Panel
from tests.scene.scene import Defocus, Element, Scene, Solids
from tests.scene.solids import Finish, Lamp, Solid, box, cylinder, rod, rounded
from tests.scene.surface import opaque, veil
from tests.scene.textures import (
    VINYL_BLUE_GREY,
    Colour,
    brushed,
    clouds,
    dirty,
    painted,
    speckled_vinyl,
    toned,
    wood,
)

LATCH_AT: Vec = (350.0, 0.0, 0.0)
UP: Vec = (0.0, 0.0, 1.0)
DOWN: Vec = (0.0, 0.0, -1.0)
CAMERA_RIGHT_ON_WALL: Vec = (0.0, -1.0, 0.0)


@dataclass(frozen=True)
class Shot:
    """What one close-up varies: ticket in view, picture size, where the camera stands, seed.

    Attributes:
        ticket: job ticket in view.
        size: picture size in pixels.
        shift: moves the camera away from its usual place, mm.
        seed: seed of textures, dirt and noise.
        floor: colour of the vinyl.
        lamp: lighting.
    """

    ticket: Ticket
    size: tuple[int, int] = (2000, 1500)
    shift: Vec = (0.0, 0.0, 0.0)
    seed: int = 1
    floor: Colour = VINYL_BLUE_GREY
    lamp: Lamp = field(default_factory=Lamp)


def _camera(position: Vec, target: Vec, shot: Shot, up: Vec = UP) -> Camera:
    moved = (position[0] + shot.shift[0], position[1] + shot.shift[1], position[2] + shot.shift[2])
    return Camera(moved, target, up, 26.0, shot.size)


def _floor(shot: Shot, rng: Generator, low: tuple[float, float], size_mm: tuple[float, float]) -> Panel:
    """Return a piece of vinyl floor from its lowest x and y."""
    per_mm = 2.5
    picture = speckled_vinyl(
        (round(size_mm[1] * per_mm), round(size_mm[0] * per_mm)), per_mm, rng, shot.floor
    )
    dirty(picture, per_mm, rng)
    return Panel((low[0], low[1] + size_mm[1], 0.0), EAST, SOUTH, opaque(picture, per_mm), cells=(4, 3))


def lock_window_scene(shot: Shot, *, locked: bool) -> Scene:
    """Return the latch housing seen from the tailgate, its window blue when locked, amber when open."""
    rng = Generator(PCG64(shot.seed))
    camera = _camera((110.0, 8.0, 300.0), (346.0, 4.0, 26.0), shot)
    colour = BLUE if locked else AMBER
    elements: tuple[Element, ...] = (
        _floor(shot, rng, (60.0, -750.0), (1100.0, 1500.0)),
        _far_wall(rng),
        Solids(screwdriver((610.0, 330.0, 14.0), (-0.28, -0.96, 0.0)), 0.0),
        Defocus(shot.size[0] / 900.0),
        Solids((housing(LATCH_AT), *release_lever(LATCH_AT)), 0.0, 16.0),
        *housing_marks(LATCH_AT, shot.ticket.position),
        Solids((window_frame(LATCH_AT),), window_centre(LATCH_AT)[2], 3.0),
        window_panel(LATCH_AT, colour, rng),
        ticket_panel(shot.ticket, (270.0, 54.0, 0.4), (0.02, -0.9998, 0.0), (-0.9998, -0.02, 0.0), rng),
    )
    return Scene(camera, elements, shot.lamp, seed=shot.seed)


def _far_wall(rng: Generator) -> Panel:
    per_mm = 1.0
    picture = painted((420, 2400), per_mm, rng, (198, 200, 200))
    return Panel(
        (1150.0, 1200.0, 420.0),
        INTO_VIEW_RIGHT,
        DOWN,
        opaque(picture, per_mm),
        (0.75, 0.75, 0.75),
        cells=(2, 1),
    )


def window_corners() -> tuple[Vec, Vec, Vec, Vec]:
    """Return the window's corners in the world, clockwise from the upper left one as seen from the tailgate."""
    x, y, z = window_centre(LATCH_AT)
    half_x, half_y, top = WINDOW_SIZE_MM[1] / 2, WINDOW_SIZE_MM[0] / 2, z + 3.5
    return (
        (x + half_x, y + half_y, top),
        (x + half_x, y - half_y, top),
        (x - half_x, y - half_y, top),
        (x - half_x, y + half_y, top),
    )


def grey_patch_corners() -> tuple[Vec, Vec, Vec, Vec]:
    """Return the corners of the neutral grey field beside the window, clockwise from the upper left one."""
    x, y, z = grey_patch_corner(LATCH_AT)
    left, right, top, bottom = y - 2.5, y - 27.5, x - 2.5, x - 16.5
    return ((top, left, z), (top, right, z), (bottom, right, z), (bottom, left, z))


def system_label_scene(shot: Shot, plate: Plate) -> Scene:
    """Return the latch's plate on a housing that stands on the bench before fitting."""
    rng = Generator(PCG64(shot.seed))
    width, height = plate.size_mm
    body = Solid(
        (
            (0.0, rounded(150.0, 240.0, 16.0)),
            (70.0, rounded(150.0, 240.0, 16.0)),
            (78.0, rounded(136.0, 226.0, 12.0)),
        ),
        (0.0, 0.0, 0.0),
        Finish((46, 48, 53), 4, 0.12),
    )
    bench = wood((1800, 2400), rng)
    dirty(bench, 2.0, rng, 30)
    top = 78.1
    elements: tuple[Element, ...] = (
        Panel((-300.0, 450.0, 0.0), EAST, SOUTH, opaque(bench, 2.0), cells=(3, 2)),
        Solids(
            (
                cylinder((170.0, 150.0, 0.0), 32.0, 70.0, Finish((210, 60, 30), 4, 0.2)),
                cylinder((180.0, -40.0, 0.0), 26.0, 30.0, STEEL),
            ),
            0.0,
        ),
        Defocus(shot.size[0] / 420.0),
        Solids((body,), 0.0, 18.0),
        plate_panel(plate, (height / 2 - 4.0, width / 2, top), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, rng),
        tape_panel(
            shot.ticket.position, (58.0, 92.0, top), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, rng, length_mm=46.0
        ),
    )
    camera = _camera((-85.0, 6.0, top + 150.0), (2.0, 0.0, top), shot)
    return Scene(camera, elements, shot.lamp, seed=shot.seed)


def stretcher_label_scene(shot: Shot, plate: Plate) -> Scene:
    """Return the stretcher's plate on its side frame, the vehicle's floor far behind."""
    rng = Generator(PCG64(shot.seed))
    width, height = plate.size_mm
    yellow, alloy, dark = (
        Finish((224, 180, 32), 1, 0.25),
        Finish((172, 175, 179), 1, 0.3),
        Finish((44, 46, 50), 3, 0.1),
    )
    tubes = (
        rod((30.0, 420.0, 62.0), (30.0, -420.0, 62.0), 19.0, yellow, 44),
        rod((30.0, 420.0, -66.0), (30.0, -420.0, -66.0), 15.0, alloy, 44),
        rod((30.0, 130.0, 60.0), (30.0, 150.0, -66.0), 12.0, alloy, 36),
        rod((30.0, -112.0, 60.0), (30.0, -132.0, -66.0), 12.0, alloy, 36),
    )
    mattress = box((60.0, -500.0, 40.0), (500.0, 500.0, 130.0), Finish((38, 52, 78), 4), 12.0, 1.0)
    carrier = box((22.0, -width / 2 - 8.0, -36.0), (26.0, width / 2 + 8.0, 34.0), dark)
    floor = speckled_vinyl((2600, 1500), 1.0, rng, shot.floor)
    elements: tuple[Element, ...] = (
        Panel((-100.0, 1300.0, -420.0), EAST, SOUTH, opaque(floor, 1.0), (0.7, 0.7, 0.7), cells=(4, 4)),
        Panel(
            (1100.0, 1300.0, 900.0),
            INTO_VIEW_RIGHT,
            DOWN,
            opaque(painted((1320, 2600), 1.0, rng, (196, 200, 202)), 1.0),
            (0.6, 0.6, 0.6),
            cells=(3, 1),
        ),
        Solids(
            (
                cylinder((90.0, 190.0, -420.0), 62.0, 150.0, dark),
                cylinder((140.0, -230.0, -420.0), 62.0, 150.0, dark),
            ),
            -419.0,
            30.0,
        ),
        Defocus(shot.size[0] / 220.0),
        Solids((mattress,)),
        Defocus(shot.size[0] / 700.0),
        Solids((*tubes, carrier)),
        plate_panel(plate, (21.8, width / 2, height / 2 - 1.0), CAMERA_RIGHT_ON_WALL, DOWN, rng),
    )
    camera = _camera((-150.0, 24.0, 34.0), (22.0, 4.0, 0.0), shot)
    return Scene(camera, elements, shot.lamp, seed=shot.seed)


def which_vehicle_scene(shot: Shot, plate: Plate, body_colour: Colour) -> Scene:
    """Return the job ticket taped beside the vehicle plate on the door pillar."""
    rng = Generator(PCG64(shot.seed))
    wall = painted((1500, 1800), 3.0, rng, body_colour)
    wall[:, 1270:1290] = wall[:, 1270:1290] // 3
    wall[:, 1290:1296] = 235
    dirty(wall, 3.0, rng, 20)
    sine, cosine = sine_cosine(3.0)
    along_u, along_v = (0.0, -cosine, -sine), (0.0, sine, -cosine)
    seal = rod((-6.0, 232.0, 300.0), (-6.0, 232.0, -300.0), 14.0, Finish((30, 31, 33), 3, 0.08))
    elements: tuple[Element, ...] = (
        Panel((0.0, 300.0, 250.0), CAMERA_RIGHT_ON_WALL, DOWN, opaque(wall, 3.0), cells=(2, 2)),
        Solids((seal,)),
        plate_panel(plate, (-0.6, 130.0, 66.0), CAMERA_RIGHT_ON_WALL, DOWN, rng),
        _paper_shadow(TICKET_SIZE_MM, (-0.3, -17.0, 62.0), along_u, along_v),
        ticket_panel(shot.ticket, (-1.2, -15.0, 64.0), along_u, along_v, rng),
        tape_panel("", (-1.4, -46.0, 83.0), along_u, along_v, rng, length_mm=44.0),
        tape_panel("", (-1.4, -104.0, -1.0), (0.0, -0.98, 0.199), (0.0, -0.199, -0.98), rng, length_mm=48.0),
        tape_panel(
            shot.ticket.job.removeprefix("AMB-"),
            (-0.5, 120.0, -22.0),
            (0.0, -0.999, 0.03),
            (0.0, -0.03, -0.999),
            rng,
            length_mm=78.0,
        ),
    )
    camera = _camera((-250.0, 22.0, 50.0), (0.0, 2.0, 26.0), shot)
    return Scene(camera, elements, shot.lamp, seed=shot.seed)


def _paper_shadow(size_mm: tuple[float, float], origin: Vec, along_u: Vec, along_v: Vec) -> Panel:
    per_mm, margin = 2.0, 8.0
    opacity = np.zeros(
        (round((size_mm[1] + 2 * margin) * per_mm), round((size_mm[0] + 2 * margin) * per_mm)), dtype=np.uint8
    )
    edge = round(margin * per_mm)
    opacity[edge:-edge, edge:-edge] = 130
    soft = np.asarray(cv2.GaussianBlur(opacity, (0, 0), 3.0), dtype=np.uint8)
    start = (origin[0], origin[1] + margin * 0.9, origin[2] + margin * 0.9)
    return Panel(start, along_u, along_v, veil(soft, (5, 5, 8), per_mm))


def witness_scene(shot: Shot) -> Scene:
    """Return the latch's floor plate with eight hexagon screws, each with a stroke of witness paint."""
    rng = Generator(PCG64(shot.seed))
    plate = box((280.0, -170.0, 0.0), (440.0, 170.0, 7.0), STEEL, 1.2)
    grain = brushed((338 * 4, 158 * 4), rng, (148, 151, 156), across=True)
    grain = toned(grain, clouds((grain.shape[0], grain.shape[1]), 160, rng), 10)
    dirty(grain, 4.0, rng, 20)
    top = 7.0
    screws = [(x, y) for x in (314.0, 406.0) for y in (126.0, 42.0, -42.0, -126.0)]
    elements: list[Element] = [
        _floor(shot, rng, (40.0, -520.0), (900.0, 1040.0)),
        Solids((plate,), 0.0, 5.0),
        Panel((281.2, 168.8, top + 0.02), EAST, SOUTH, opaque(grain, 4.0), cells=(2, 2)),
        tape_panel("g1", (272.0, 96.0, 0.3), INTO_VIEW_RIGHT, TOWARDS_TAILGATE, rng, length_mm=46.0),
        ticket_panel(shot.ticket, (262.0, 4.0, 0.4), (-0.05, -0.99875, 0.0), (-0.99875, 0.05, 0.0), rng),
    ]
    far_first = sorted(screws, reverse=True)
    for x, y in far_first:
        elements += _marked_screw((x, y, top), rng)
    camera = _camera((170.0, 10.0, 330.0), (330.0, 0.0, 0.0), shot)
    return Scene(camera, tuple(elements), shot.lamp, seed=shot.seed)


def _marked_screw(at: Vec, rng: Generator) -> list[Element]:
    """Return a screw head with paint from its top over the washer to the plate."""
    sine, cosine = sine_cosine(float(int(rng.integers(-60, 61))) - 160.0)
    along, across = (cosine, sine, 0.0), (sine, -cosine, 0.0)
    on_plate = (at[0] + 8.0 * along[0], at[1] + 8.0 * along[1], at[2] + 0.1)
    washer, head = hexagon_screw(at, float(int(rng.integers(0, 60))))
    return [
        Solids((washer,), at[2], 3.0),
        witness_line((on_plate[0], on_plate[1], at[2] + 2.06), 3.0, along, across, rng),
        witness_line(
            (at[0] + 11.0 * along[0], at[1] + 11.0 * along[1], at[2] + 0.1), 9.0, along, across, rng
        ),
        Solids((head,), at[2] + 2.0, 2.0),
        witness_line((at[0] - 1.0 * along[0], at[1] - 1.0 * along[1], at[2] + 8.65), 6.2, along, across, rng),
    ]
