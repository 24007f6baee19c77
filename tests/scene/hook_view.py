"""The measuring photo: floor, sill, hook, gauge card and slider, with the truth it was made from."""

from __future__ import annotations

from dataclasses import dataclass

from numpy.random import PCG64, Generator

from tests.scene.fittings import (
    AMBER,
    EAST,
    INTO_VIEW_RIGHT,
    SOUTH,
    TOWARDS_TAILGATE,
    hexagon_key,
    hook_parts,
    hook_screws,
    housing,
    housing_marks,
    screwdriver,
    socket_panel,
    socket_screw,
    window_frame,
    window_panel,
)
from tests.scene.geometry import Camera, Vec, sine_cosine
from tests.scene.labels import Ticket, tape_panel, ticket_panel
from tests.scene.print_art import CARD_PER_MM, CARD_SIZE_MM, SLIDER_SIZE_MM, gauge_card, gauge_slider
from tests.scene.raster import Panel
from tests.scene.scene import Element, Look, Scene, Solids
from tests.scene.solids import Finish, Lamp, box
from tests.scene.surface import opaque
from tests.scene.textures import VINYL_BLUE_GREY, Colour, brushed, chequer_plate, dirty, speckled_vinyl, swarf

BOARD = Finish((226, 226, 222), 2)
SLIDER_V_MM = 62.0
HOOK_V_MM = 64.0
HOOK_WIDTH_MM = 62.0
SILL_WIDTH_MM = 46.0


@dataclass(frozen=True)
class HookSetup:
    """The true state of a measuring photo.

    Attributes:
        distance_mm: from the sill datum (u = 0) to the hook's sill-side face.
        position: stretcher place, as written on the tape.
        card_serial: serial printed on the gauge card.
        ticket: job ticket that lies beside the card, if any.
        stock_mm: thickness of the rigid boards under card and slider, so the height of their printed planes.
        butt_gap_mm: gap between the slider's front edge and the hook.
        slider_lift_mm: how much higher than the card the slider's plane is.
        slider_yaw_degrees: turn of the slider about the middle of its front edge, seen from above.
        floor: colour of the vinyl.
        tools: whether tools lie about.
        seed: seed of textures, dirt and noise.
    """

    distance_mm: float
    position: str
    card_serial: str
    ticket: Ticket | None = None
    stock_mm: float = 3.0
    butt_gap_mm: float = 0.0
    slider_lift_mm: float = 0.0
    slider_yaw_degrees: float = 0.0
    floor: Colour = VINYL_BLUE_GREY
    tools: bool = True
    seed: int = 1


def camera_above_card(
    distance_mm: float,
    tilt_degrees: float,
    size: tuple[int, int],
    focal_35mm: float = 26.0,
    aside_degrees: float = 0.0,
) -> Camera:
    """Return a camera that looks at the middle of card and hook from the tailgate side.

    Args:
        distance_mm: from the camera to the point it looks at.
        tilt_degrees: obliqueness along u, 0 for straight down, positive when the camera stands back from the sill.
        size: picture size in pixels.
        focal_35mm: focal length as 35 mm equivalent.
        aside_degrees: obliqueness along v.
    """
    target: Vec = (98.0, -66.0, 0.0)
    sine_u, cosine_u = sine_cosine(tilt_degrees)
    sine_v, cosine_v = sine_cosine(aside_degrees)
    offset = (-sine_u * cosine_v * distance_mm, -sine_v * distance_mm, cosine_u * cosine_v * distance_mm)
    position = (target[0] + offset[0], target[1] + offset[1], offset[2])
    return Camera(position, target, EAST, focal_35mm, size)


def card_point(u: float, v: float, height_mm: float) -> Vec:
    """Return the world point of a card position."""
    return (u, -v, height_mm)


def hook_scene(setup: HookSetup, camera: Camera, lamp: Lamp | None = None, look: Look | None = None) -> Scene:
    """Return the measuring scene of a setup."""
    rng = Generator(PCG64(setup.seed))
    elements: list[Element] = [
        *_ground(setup, camera, rng),
        *_scattered(setup, rng),
        *_latch(setup, rng),
        *_gauge(setup),
    ]
    return Scene(camera, tuple(elements), lamp or Lamp(), look or Look(), setup.seed)


def _ground(setup: HookSetup, camera: Camera, rng: Generator) -> list[Element]:
    """Return bumper step, sill strip and vinyl floor."""
    floor_per_mm = 4.0 if camera.size[0] > 2500 else 2.5
    step_per_mm, sill_per_mm = min(3.0, floor_per_mm), floor_per_mm
    step = chequer_plate(
        (round(1200 * step_per_mm), round(330 * step_per_mm)), step_per_mm, rng, (70, 72, 75)
    )
    dirty(step, step_per_mm, rng, 18)
    sill = brushed(
        (round(1200 * sill_per_mm), round(SILL_WIDTH_MM * sill_per_mm)), rng, (168, 170, 172), across=True
    )
    dirty(sill, sill_per_mm, rng, 20)
    sill[:, -3:] = sill[:, -3:] // 3
    floor = speckled_vinyl(
        (round(1200 * floor_per_mm), round(560 * floor_per_mm)), floor_per_mm, rng, setup.floor
    )
    dirty(floor, floor_per_mm, rng)
    swarf(
        floor,
        (round(330 * floor_per_mm), round(830 * floor_per_mm)),
        round(150 * floor_per_mm),
        floor_per_mm,
        rng,
    )
    edge = box((-2.0, -800.0, -60.0), (0.0, 600.0, -0.1), Finish((146, 148, 150), 3, 0.2), per_mm=1.0)
    return [
        Panel((-332.0, 540.0, -58.0), EAST, SOUTH, opaque(step, step_per_mm), (0.8, 0.8, 0.8), cells=(1, 3)),
        Solids((edge,)),
        Panel((0.0, 540.0, 0.0), EAST, SOUTH, opaque(sill, sill_per_mm), cells=(1, 3)),
        Panel((SILL_WIDTH_MM, 540.0, 0.0), EAST, SOUTH, opaque(floor, floor_per_mm), cells=(2, 3)),
        *(_sill_screw(y) for y in (380.0, 180.0, -20.0 + 60.0, -300.0, -480.0)),
    ]


def _sill_screw(y: float) -> Panel:
    return socket_panel((24.0, y, 0.0), 0.05)


def _scattered(setup: HookSetup, rng: Generator) -> list[Element]:
    """Return tape with the place's name, ticket and tools."""
    found: list[Element] = [
        tape_panel(
            f"{setup.position}  datum",
            (70.0, 190.0, 0.2),
            INTO_VIEW_RIGHT,
            TOWARDS_TAILGATE,
            rng,
            length_mm=96.0,
        )
    ]
    if setup.ticket is not None:
        slant_sine, slant_cosine = sine_cosine(4.0)
        along_u, along_v = (slant_sine, -slant_cosine, 0.0), (-slant_cosine, -slant_sine, 0.0)
        found.append(ticket_panel(setup.ticket, (196.0, -196.0, 0.4), along_u, along_v, rng))
    if not setup.tools:
        return found
    found.append(Solids(screwdriver((232.0, 92.0, 14.0), (-0.196, 0.98, 0.0)), 0.0))
    found.append(Solids(hexagon_key((128.0, 196.0, 3.2), (118.0, 104.0, 3.2)), 0.0, 4.0))
    return found


def _latch(setup: HookSetup, rng: Generator) -> list[Element]:
    """Return hook, its screws and the housing behind it."""
    right_y = -(HOOK_V_MM + HOOK_WIDTH_MM)
    body_at = (setup.distance_mm + 230.0, right_y + HOOK_WIDTH_MM / 2.0, 0.0)
    screws = hook_screws(setup.distance_mm, right_y)
    parts = hook_parts(setup.distance_mm, right_y)
    found: list[Element] = [Solids((housing(body_at),), 0.0, 14.0), *housing_marks(body_at, setup.position)]
    found += [Solids((window_frame(body_at),)), window_panel(body_at, AMBER, rng)]
    found.append(Solids(parts[:1], 0.0, 6.0))
    for x, y in screws:
        found += [Solids(socket_screw((x, y, 8.0)), 8.0, 2.0), socket_panel((x, y, 8.0), 4.65)]
    found.append(Solids(parts[1:], 8.0, 10.0))
    return found


def _gauge(setup: HookSetup) -> list[Element]:
    """Return card and slider on their boards, last, because nothing lies on them."""
    top = setup.stock_mm
    card_low, card_high = card_point(0.0, CARD_SIZE_MM[1], 0.0), card_point(CARD_SIZE_MM[0], 0.0, top - 0.02)
    front = setup.distance_mm - setup.butt_gap_mm
    slider_top = top + setup.slider_lift_mm
    board_low = card_point(front - SLIDER_SIZE_MM, SLIDER_V_MM + SLIDER_SIZE_MM, 0.0)
    board_high = card_point(front, SLIDER_V_MM, slider_top - 0.02)
    boards = (box(card_low, card_high, BOARD), box(board_low, board_high, BOARD))
    slider_u, slider_v = _turned(setup.slider_yaw_degrees)
    middle = card_point(front, SLIDER_V_MM + SLIDER_SIZE_MM / 2.0, slider_top)
    corner = tuple(
        middle[i] - slider_u[i] * SLIDER_SIZE_MM - slider_v[i] * SLIDER_SIZE_MM / 2.0 for i in range(3)
    )
    return [
        Solids(boards, 0.0, 4.0),
        Panel(card_point(0.0, 0.0, top), EAST, SOUTH, opaque(gauge_card(setup.card_serial), CARD_PER_MM)),
        Panel(
            (corner[0], corner[1], corner[2]),
            slider_u,
            slider_v,
            opaque(gauge_slider(setup.card_serial), CARD_PER_MM),
        ),
    ]


def _turned(degrees: float) -> tuple[Vec, Vec]:
    sine, cosine = sine_cosine(degrees)
    return (cosine, sine, 0.0), (sine, -cosine, 0.0)
