"""What is printed: lettering, codes, the gauge card and its slider."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

import cv2
import numpy as np
import segno
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from tests.scene.surface import Bytes

Colour = tuple[int, int, int]
INK: Colour = (24, 24, 26)
PAPER: Colour = (240, 240, 238)
NEUTRAL_GREY: Colour = (122, 122, 122)

CARD_PER_MM = 12.0
CARD_SIZE_MM = (180.0, 60.0)
SLIDER_SIZE_MM = 34.0
TAG_MM = 24.0
SLIDER_TAG_ID = 501
SLIDER_QUIET_MM = 5.0


def card_tag_corner(tag_id: int) -> tuple[float, float]:
    """Return (u, v) in mm of the upper left corner of a card tag's black square."""
    column, row = divmod(tag_id, 2)
    return 5.0 + 29.0 * column, 4.0 + 28.0 * row


@cache
def _font(weight: str, height_px: int) -> ImageFont.FreeTypeFont:
    path = resources.files("font_source_sans_pro") / "files" / f"SourceSansPro-{weight}.ttf"
    return ImageFont.truetype(str(path), height_px)


class Sheet:
    """A flat print that is drawn in millimetres, (rows, columns, 3) 8-bit sRGB."""

    def __init__(self, picture: Bytes, per_mm: float) -> None:
        """Start from a picture of the bare material."""
        self._image = Image.fromarray(picture)
        self._draw = ImageDraw.Draw(self._image)
        self.per_mm = per_mm

    @property
    def pixels(self) -> Bytes:
        """The print as it stands."""
        return np.array(self._image, dtype=np.uint8)

    def text(
        self,
        at: tuple[float, float],
        words: str,
        height_mm: float,
        ink: Colour = INK,
        weight: str = "Semibold",
    ) -> None:
        """Write a line whose capitals stand on the given baseline point."""
        font = _font(weight, max(4, round(height_mm * self.per_mm)))
        self._draw.text((at[0] * self.per_mm, at[1] * self.per_mm), words, fill=ink, font=font, anchor="ls")

    def bar(self, low: tuple[float, float], high: tuple[float, float], ink: Colour = INK) -> None:
        """Fill a rectangle between two corners."""
        left, top, right, bottom = (round(value * self.per_mm) for value in (*low, *high))
        self._draw.rectangle((left, top, max(left, right - 1), max(top, bottom - 1)), fill=ink)

    def frame(
        self,
        low: tuple[float, float],
        high: tuple[float, float],
        width_mm: float,
        radius_mm: float,
        ink: Colour = INK,
    ) -> None:
        """Draw a frame with rounded corners."""
        corners = (low[0] * self.per_mm, low[1] * self.per_mm, high[0] * self.per_mm, high[1] * self.per_mm)
        width = max(1, round(width_mm * self.per_mm))
        self._draw.rounded_rectangle(corners, radius=radius_mm * self.per_mm, outline=ink, width=width)

    def disc(self, centre: tuple[float, float], radius_mm: float, ink: Colour) -> None:
        """Fill a circle."""
        x, y, radius = (value * self.per_mm for value in (*centre, radius_mm))
        self._draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=ink)

    def line(
        self, start: tuple[float, float], end: tuple[float, float], width_mm: float, ink: Colour
    ) -> None:
        """Draw a straight line."""
        points = [value * self.per_mm for value in (*start, *end)]
        self._draw.line(points, fill=ink, width=max(1, round(width_mm * self.per_mm)))

    def picture(self, at: tuple[float, float], pixels: Bytes) -> None:
        """Put a picture in, its first corner at the given point."""
        self._image.paste(Image.fromarray(pixels), (round(at[0] * self.per_mm), round(at[1] * self.per_mm)))

    def code(
        self, at: tuple[float, float], payload: str, size_mm: float, ground: Colour = PAPER, ink: Colour = INK
    ) -> None:
        """Print a QR code with its quiet zone, size_mm over all, its first corner at the given point."""
        self.picture(at, qr_pixels(payload, round(size_mm * self.per_mm), ground, ink))


def qr_pixels(payload: str, size_px: int, ground: Colour, ink: Colour) -> Bytes:
    """Return a QR code with a quiet zone of four modules, scaled to size_px."""
    matrix = np.array([list(row) for row in segno.make_qr(payload, error="m").matrix], dtype=np.uint8)
    modules = np.pad(matrix, 4)
    # Each output texel takes the module under its centre: edges stay within half a texel of their true place.
    index = (np.arange(size_px) * 2 + 1) * len(modules) // (2 * size_px)
    dark = modules[index][:, index][:, :, None]
    return np.where(dark == 1, np.array(ink, dtype=np.uint8), np.array(ground, dtype=np.uint8))


def tag_pixels(tag_id: int, per_mm: float) -> Bytes:
    """Return the 24 mm black square of an AprilTag 36h11, (rows, columns, 3)."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    grey = np.asarray(
        cv2.aruco.generateImageMarker(dictionary, tag_id, round(TAG_MM * per_mm)), dtype=np.uint8
    )
    dark, light = np.array(INK, dtype=np.uint8), np.array(PAPER, dtype=np.uint8)
    return np.where(grey[:, :, None] < 128, dark, light)


def gauge_card(serial: str) -> Bytes:
    """Return the 180 x 60 mm strip, twelve texels a millimetre: u along columns, v along rows."""
    per_mm = CARD_PER_MM
    sheet = Sheet(
        np.full((round(CARD_SIZE_MM[1] * per_mm), round(CARD_SIZE_MM[0] * per_mm), 3), PAPER, dtype=np.uint8),
        per_mm,
    )
    for tag_id in range(12):
        sheet.picture(card_tag_corner(tag_id), tag_pixels(tag_id, per_mm))
    _rulers(sheet)
    sheet.text((6.0, 30.7), f"GAUGE CARD {serial}", 2.2, (96, 96, 98))
    sheet.text((63.5, 30.7), "u = 0 at the sill datum, u into the vehicle", 2.2, (96, 96, 98), "Regular")
    sheet.text((121.5, 30.7), "check rulers before use", 2.2, (96, 96, 98), "Regular")
    sheet.bar((175.9, 5.0), (178.9, 17.0), NEUTRAL_GREY)
    sheet.frame((175.9, 18.2), (178.9, 27.2), 0.2, 0.2, (150, 150, 150))
    return sheet.pixels


def _rulers(sheet: Sheet) -> None:
    """Draw hairline rulers: 150 mm along u at the lower edge, 50 mm along v at the far end."""
    for millimetre in range(151):
        length = 1.7 if millimetre % 10 == 0 else 1.2 if millimetre % 5 == 0 else 0.8
        sheet.bar((5.0 + millimetre - 0.08, 60.0 - length), (5.0 + millimetre + 0.08, 60.0), (70, 70, 72))
    for millimetre in range(51):
        length = 1.7 if millimetre % 10 == 0 else 1.2 if millimetre % 5 == 0 else 0.8
        sheet.bar((180.0 - length, 5.0 + millimetre - 0.08), (180.0, 5.0 + millimetre + 0.08), (70, 70, 72))
    for mark in range(0, 151, 50):
        sheet.text((5.4 + mark, 59.4), str(mark), 1.2, (70, 70, 72), "Regular")


def gauge_slider() -> Bytes:
    """Return the 34 x 34 mm slider, twelve texels a millimetre, in the card's orientation."""
    per_mm = CARD_PER_MM
    sheet = Sheet(
        np.full((round(SLIDER_SIZE_MM * per_mm), round(SLIDER_SIZE_MM * per_mm), 3), PAPER, dtype=np.uint8),
        per_mm,
    )
    sheet.picture((SLIDER_QUIET_MM, SLIDER_QUIET_MM), tag_pixels(SLIDER_TAG_ID, per_mm))
    sheet.text((6.0, 33.3), "this edge to the hook  u = 34", 1.8, (96, 96, 98), "Regular")
    return sheet.pixels
