"""Plates, stickers and the job ticket."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.scene.print_art import INK, NEUTRAL_GREY, PAPER, Sheet
from tests.scene.raster import Panel
from tests.scene.surface import Bytes, Surface, opaque
from tests.scene.textures import brushed, clouds, toned

if TYPE_CHECKING:
    from numpy.random import Generator

    from tests.scene.geometry import Vec

PLATE_PER_MM = 16.0
TICKET_PER_MM = 10.0
TICKET_SIZE_MM = (105.0, 74.0)
TICKET_CODE_MM = 50.0
PLATE_BLUE = (26, 62, 112)
SILVER = (206, 208, 210)


@dataclass(frozen=True)
class Ticket:
    """What the job ticket says."""

    job: str
    position: str
    nonce: str

    @property
    def payload(self) -> str:
        """Text of the ticket's code."""
        return f"sillmark:{self.job}:{self.position}:{self.nonce}"


@dataclass(frozen=True)
class Plate:
    """What a maker's plate says: heading, lines below it (some of them large), and the text of its code."""

    heading: str
    maker: str
    lines: tuple[str, ...]
    payload: str
    size_mm: tuple[float, float] = (96.0, 54.0)
    large: tuple[int, ...] = (1,)


def system_plate(serial: str) -> Plate:
    """Return the floor latch's plate."""
    return Plate(
        "HERON 2",
        "Alder Point Handling",
        ("Floor latch for stretchers", f"Serial  {serial}", "See manual before use"),
        f"HERON 2 SN {serial}",
    )


def stretcher_plate(serial: str) -> Plate:
    """Return the stretcher's plate."""
    lines = ("Stretcher, rear loading", f"Serial  {serial}", "For use with HERON 2")
    return Plate("HERON CARRIER", "Alder Point Handling", lines, f"HERON CARRIER SN {serial}")


def vehicle_plate(vin: str, build: str) -> Plate:
    """Return the body builder's plate."""
    lines = (f"VIN  {vin}", f"Build no.  {build}", "Ambulance conversion")
    return Plate(
        "BRACKWATER COACHWORKS", "Body builder", lines, f"VIN {vin} BUILD {build}", (136.0, 60.0), (0, 1)
    )


def plate_pixels(plate: Plate, rng: Generator) -> Bytes:
    """Return a printed metal plate: blue heading, engraved lines, code at the right, rivets in the corners."""
    width, height = plate.size_mm
    shape = (round(height * PLATE_PER_MM), round(width * PLATE_PER_MM))
    sheet = Sheet(brushed(shape, rng, SILVER), PLATE_PER_MM)
    sheet.bar((0.0, 0.0), (width, 14.0), PLATE_BLUE)
    sheet.frame((0.6, 0.6), (width - 0.6, height - 0.6), 0.5, 2.0, (60, 66, 74))
    sheet.text((8.5, 10.2), plate.heading, 8.4, (240, 242, 244), "Bold")
    code_mm = height - 14.0 - 8.0
    sheet.code((width - code_mm - 6.0, 17.5), plate.payload, code_mm, (232, 233, 234))
    sheet.text((8.0, 21.6), plate.maker, 4.6, INK, "Semibold")
    for index, line in enumerate(plate.lines):
        size, weight = (5.8, "Bold") if index in plate.large else (4.4, "Regular")
        sheet.text((8.0, 30.0 + 8.2 * index), line, size, INK, weight)
    for x in (3.6, width - 3.6):
        for y in (3.6, height - 3.6):
            sheet.disc((x + 0.25, y + 0.3), 2.0, (50, 52, 56))
            sheet.disc((x, y), 1.8, (186, 188, 190))
            sheet.disc((x - 0.4, y - 0.5), 0.7, (228, 230, 232))
    return sheet.pixels


def plate_panel(plate: Plate, origin: Vec, along_u: Vec, along_v: Vec, rng: Generator) -> Panel:
    """Return a plate with rounded corners in the world."""
    pixels = with_round_corners(plate_pixels(plate, rng), PLATE_PER_MM, 3.0)
    return Panel(origin, along_u, along_v, Surface(pixels, PLATE_PER_MM))


def with_round_corners(colour: Bytes, per_mm: float, radius_mm: float) -> Bytes:
    """Return a picture with opacity that leaves its corners out."""
    rows, columns = colour.shape[:2]
    radius = radius_mm * per_mm
    x = np.maximum(
        0.0, np.maximum(radius - np.arange(columns) - 0.5, np.arange(columns) + 0.5 - (columns - radius))
    )
    y = np.maximum(0.0, np.maximum(radius - np.arange(rows) - 0.5, np.arange(rows) + 0.5 - (rows - radius)))
    inside = x[None, :] * x[None, :] + y[:, None] * y[:, None] <= radius * radius
    return np.concatenate([colour, np.where(inside, 255, 0).astype(np.uint8)[:, :, None]], axis=2)


def ticket_pixels(ticket: Ticket, rng: Generator) -> Bytes:
    """Return the job ticket: a paper slip with the code on the left and its text beside it."""
    width, height = TICKET_SIZE_MM
    shape = (round(height * TICKET_PER_MM), round(width * TICKET_PER_MM))
    paper = toned(np.full((*shape, 3), PAPER, dtype=np.uint8), clouds(shape, 120, rng), 5)
    sheet = Sheet(paper, TICKET_PER_MM)
    sheet.frame((1.5, 1.5), (width - 1.5, height - 1.5), 0.4, 1.0, (120, 120, 122))
    sheet.code((3.0, 18.0), ticket.payload, TICKET_CODE_MM)
    sheet.text((6.0, 13.0), "JOB TICKET", 8.0, INK, "Bold")
    sheet.text((55.0, 13.0), "hold in key photos", 4.6, (90, 90, 92), "Regular")
    for index, (name, value) in enumerate(
        (("Job", ticket.job), ("Position", ticket.position), ("Code", ticket.nonce))
    ):
        sheet.text((55.0, 26.0 + 15.0 * index), name, 4.2, (90, 90, 92), "Regular")
        sheet.text((55.0, 33.2 + 15.0 * index), value, 8.0, INK, "Bold")
    return sheet.pixels


def ticket_panel(ticket: Ticket, origin: Vec, along_u: Vec, along_v: Vec, rng: Generator) -> Panel:
    """Return the job ticket in the world."""
    return Panel(origin, along_u, along_v, opaque(ticket_pixels(ticket, rng), TICKET_PER_MM))


def tape_panel(
    words: str,
    origin: Vec,
    along_u: Vec,
    along_v: Vec,
    rng: Generator,
    *,
    length_mm: float = 70.0,
) -> Panel:
    """Return a strip of masking tape with a felt-pen word, 25 mm wide."""
    per_mm = 6.0
    shape = (round(25.0 * per_mm), round(length_mm * per_mm))
    base = toned(
        np.full((*shape, 3), (214, 194, 142), dtype=np.uint8), rng.integers(0, 256, shape, dtype=np.uint8), 7
    )
    sheet = Sheet(toned(base, clouds(shape, 40, rng), 12), per_mm)
    sheet.text((6.0, 17.5), words, 16.0, (28, 34, 86), "SemiboldIt")
    pixels = np.concatenate([sheet.pixels, np.full((*shape, 1), 240, dtype=np.uint8)], axis=2)
    for row in range(0, shape[0], 6):  # torn ends
        left, right = (int(value) for value in rng.integers(0, 14, 2))
        pixels[row : row + 6, :left, 3] = 0
        pixels[row : row + 6, shape[1] - right :, 3] = 0
    return Panel(origin, along_u, along_v, Surface(pixels, per_mm))


def grey_patch_panel(origin: Vec, along_u: Vec, along_v: Vec) -> Panel:
    """Return a 30 x 22 mm sticker with a neutral grey field and a white rim."""
    per_mm = 8.0
    sheet = Sheet(
        np.full((round(22 * per_mm), round(30 * per_mm), 3), (236, 236, 236), dtype=np.uint8), per_mm
    )
    sheet.bar((2.5, 2.5), (27.5, 16.5), NEUTRAL_GREY)
    sheet.text((3.0, 20.6), "NEUTRAL GREY", 3.4, (70, 70, 70))
    return Panel(origin, along_u, along_v, opaque(sheet.pixels, per_mm))
