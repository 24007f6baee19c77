"""What is printed: lettering, codes, the gauge card and its slider."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

import cv2
import numpy as np
import segno
from PIL import Image, ImageDraw, ImageFont

from evidence.gauge import artwork, geometry
from evidence.phrases import say

if TYPE_CHECKING:
    from tests.scene.surface import Bytes

Colour = tuple[int, int, int]
INK: Colour = (24, 24, 26)
PAPER: Colour = (240, 240, 238)
NEUTRAL_GREY: Colour = (artwork.GREY, artwork.GREY, artwork.GREY)

FINE_INK: Colour = (70, 70, 72)

CARD_PER_MM = 12.0
CARD_SIZE_MM = geometry.STRIP
SLIDER_SIZE_MM = geometry.SLIDER
TAG_MM = geometry.TAG
SLIDER_TAG_ID = geometry.SLIDER_TAG
SLIDER_QUIET_MM = geometry.QUIET
SLIDER_SERIAL, PRINTED = "GC-007", "2026-02-02"
CAPITAL = 0.66  # height of the font's capitals, in parts of its size


def card_tag_corner(tag_id: int) -> tuple[float, float]:
    """Return (u, v) in mm of the upper left corner of a card tag's black square."""
    return geometry.tag_corner(tag_id)


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

    def turned_text(
        self, middle: tuple[float, float], words: str, height_mm: float, ink: Colour, weight: str
    ) -> None:
        """Write a line that reads downwards, the middle of its baseline on the given point."""
        font = _font(weight, max(4, round(height_mm * self.per_mm)))
        left, top, right, bottom = (round(side) for side in font.getbbox(words, anchor="ls"))
        mask = Image.new("L", (right - left, bottom - top))
        ImageDraw.Draw(mask).text((-left, -top), words, fill=255, font=font, anchor="ls")
        turned = mask.transpose(Image.Transpose.ROTATE_270)
        corner = (
            round(middle[0] * self.per_mm) - bottom,
            round(middle[1] * self.per_mm - turned.height / 2),
        )
        self._image.paste(Image.new("RGB", turned.size, ink), corner, turned)

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
    sheet = _piece("strip", serial)
    sheet.bar(artwork.PATCHES[0][:2], artwork.PATCHES[0][2:], NEUTRAL_GREY)
    sheet.frame(artwork.PATCHES[1][:2], artwork.PATCHES[1][2:], 0.2, 0.2, (150, 150, 150))
    return sheet.pixels


def gauge_slider(serial: str = SLIDER_SERIAL) -> Bytes:
    """Return the 34 x 34 mm slider, twelve texels a millimetre, in the card's orientation."""
    return _piece("slider", serial).pixels


def _piece(piece: artwork.Piece, serial: str) -> Sheet:
    """What the program prints on a piece, cut out along its edges."""
    wide, high = artwork.size(piece)
    ground = np.full((round(high * CARD_PER_MM), round(wide * CARD_PER_MM), 3), PAPER, dtype=np.uint8)
    sheet = Sheet(ground, CARD_PER_MM)
    for tag, corner in artwork.tags(piece).items():
        sheet.picture(corner, tag_pixels(tag, CARD_PER_MM))
    for stroke in artwork.strokes(piece):
        sheet.line(stroke.start, stroke.end, stroke.width, FINE_INK)
    known = {"version": artwork.VERSION, "serial": serial, "day": PRINTED}
    for line in artwork.lettering(piece):
        words = say(f"gauge-{line.code}", known)
        height, weight = line.height / CAPITAL, "Semibold" if line.bold else "Regular"
        if line.turned:
            sheet.turned_text(line.at, words, height, FINE_INK, weight)
        else:
            sheet.text(line.at, words, height, FINE_INK, weight)
    return sheet
