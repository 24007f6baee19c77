"""A lock window in a photo: the indicator's field, a grey and white tile beside it, and whatever may spoil them.

``sample_window(seed, state)`` draws a setup, ``render_window(setup)`` returns picture and truth; nothing of the tool's
own is used. States: locked, open, between (both colours show), other (neither: blank, dark, a third colour, taped).
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.scene.study import sensor
from tests.scene.study.prints import decoded
from tests.scene.study.setups import drawn, generator

Bytes = NDArray[np.uint8]
Singles = NDArray[np.float32]
Floats = NDArray[np.float64]
Colour = tuple[float, float, float]

SIZE = (1600, 1200)
SHEET_MM = (200.0, 160.0)  # of the housing that is painted, its middle in the picture's middle
SHEET_PER_MM = 10
FIELD_AT = (74.0, 80.0)  # mm, middle of the window on the sheet
TILE_AT, TILE_MM = (118.0, 66.0), 14.0  # mm, white square, the grey one below it
WHITE, GREY = 0.85, 0.85 * 0.184  # reflectances of the tile, the second as of code 119
TAPE: Colour = (0.62, 0.58, 0.47)
_LASTING = frozenset(
    {"wide", "high", "paint_error", "fading", "rim", "rim_wide", "housing", "dirt", "film"}
) | {
    "sunken",
    "distractors",
    "distractor_near",
}
"""What stays with a window from photo to photo."""

FRAME_MM = 5.0  # of plastic around the field
FRAME_TONE = 0.03
DISTRACTOR_MM = (5.0, 22.0)


@dataclass(frozen=True)
class WindowSetup:
    """The true state of a window photo; names as in ``window_ranges.json``.

    Attributes:
        state, seed, photo: what it was drawn from.
        locked, open: declared colours, ``#rrggbb``.
        wide, high: of the field, mm. per_mm: pixels a mm in the picture's middle. turn: degrees in the picture.
        slant_x, slant_y: change of scale from one side of the picture to the other, relative.
        paint_error: largest difference of the true colours from the declared ones, sRGB codes. fading: share of grey
            mixed in. rim, rim_wide: darkness of the field's rim, and how wide, of the shorter side.
        housing: reflectance around. share: of the field in the locked colour, across share_turn degrees; gap: share
            that shows neither, between both. other: what the field shows instead.
        dirt: share under spots. film: light that a greasy film adds. glare, glare_wide, glare_x, glare_y: light added
            by a gleam, its size and middle in sides of the field.
        shadow, shadow_at, shadow_turn: share of light taken, where its edge crosses the field. sunken: light in the
            window by light at the tile. gradient: relative change of light across the field's longer side.
        exposure: linear light of a perfect white. cast_red, cast_blue: error of the phone's balance. lamp: colour of
            the light on all; mixed: the same on the window alone.
        distractors: patches in the declared colours outside; distractor_near: mm from the frame to the nearest.
        corner_error: of the clicked corners, in shorter sides.
        blur, shot_noise, read_noise, contrast, jpeg_quality: as of the card's setups.
    """

    state: str
    seed: int
    photo: int
    locked: str
    open: str
    wide: float
    high: float
    per_mm: float
    turn: float
    slant_x: float
    slant_y: float
    paint_error: float
    fading: float
    rim: float
    rim_wide: float
    housing: float
    share: float
    share_turn: float
    gap: float
    other: str
    dirt: float
    film: float
    glare: float
    glare_wide: float
    glare_x: float
    glare_y: float
    shadow: float
    shadow_at: float
    shadow_turn: float
    sunken: float
    gradient: float
    exposure: float
    cast_red: float
    cast_blue: float
    lamp: Colour
    mixed: Colour
    distractors: int
    distractor_near: float
    corner_error: float
    blur: float
    shot_noise: float
    read_noise: float
    contrast: float
    jpeg_quality: int

    @property
    def kind(self) -> str:
        """Name of the setup's own random numbers."""
        return f"window-{self.state}-{self.photo}"

    @property
    def field(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the field on the sheet, mm, on whole texels."""
        wide, high = (round(side * SHEET_PER_MM / 2) / SHEET_PER_MM for side in (self.wide, self.high))
        x, y = FIELD_AT
        return x - wide, y - high, x + wide, y + high


@cache
def window_ranges() -> dict[str, Any]:
    """Return the frozen ranges."""
    text = resources.files(__package__).joinpath("window_ranges.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


def sample_window(seed: int, state: str, photo: int = 0) -> WindowSetup:
    """Return the setup of a seed; the same seed gives every state the same window.

    Args:
        seed: of the window; with the photo's number also of light, view and phone.
        state: of the indicator.
        photo: another number is another photo of the same window.

    Raises:
        KeyError: no such state.
    """
    frozen = window_ranges()
    specs = frozen["common"] | frozen["states"][state]
    got = {
        name: drawn(spec, generator(seed, "window", name, *(() if name in _LASTING else (f"{photo}",))))
        for name, spec in specs.items()
    }
    locked, opened = drawn({"choice": frozen["pairs"]}, generator(seed, "window", "pair"))
    got |= {name: tuple(got[name]) for name in ("lamp", "mixed")}
    return WindowSetup(state=state, seed=seed, photo=photo, locked=locked, open=opened, **got)


def render_window(setup: WindowSetup) -> tuple[Bytes, dict[str, Any]]:
    """Render a window.

    Returns:
        The picture, (1200, 1600, 3) sRGB, and a dict: ``state``; ``locked`` and ``open`` declared colours;
        ``fractions`` of the field that truly are locked, open and neither, before dirt and gleam; ``corners`` of the
        field, (4, 2) pixels from its upper left; ``clicked`` the same as a person sets them; ``white`` and ``grey``
        corners of the tile's patches, ``white_reflectance`` and ``grey_reflectance``.
    """
    sheet, fractions = _sheet(setup)
    scaled = np.diag([1 / SHEET_PER_MM, 1 / SHEET_PER_MM, 1.0]) @ _HALF
    light = cv2.warpPerspective(sheet, _view(setup) @ scaled, SIZE, borderMode=cv2.BORDER_REPLICATE)
    known = {
        "state": setup.state,
        "locked": setup.locked,
        "open": setup.open,
        "fractions": fractions,
        "white_reflectance": WHITE,
        "grey_reflectance": GREY,
    }
    return _stored(np.asarray(light, dtype=np.float32), setup), known | places(setup)


def places(setup: WindowSetup) -> dict[str, Floats]:
    """Return the corners that ``render_window`` names, (4, 2) pixels each, without a picture."""
    view = _view(setup)
    corners = _moved(view, _rectangle(*setup.field))
    side = float(np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1).min())
    rng = generator(setup.seed, setup.kind, "clicks")
    left, top = TILE_AT
    tile = {
        name: _moved(view, _rectangle(left + 1, top + row + 1, left + TILE_MM - 1, top + row + TILE_MM - 1))
        for name, row in (("white", 0.0), ("grey", TILE_MM))
    }
    clicked = corners + rng.uniform(-1, 1, (4, 2)) * setup.corner_error * side
    return {"corners": corners, "clicked": clicked} | tile


_HALF = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])  # a texel's middle in sheet coordinates


def _rectangle(left: float, top: float, right: float, bottom: float) -> Floats:
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)])


def _view(setup: WindowSetup) -> Floats:
    """Matrix from mm on the sheet to pixels."""
    turn = math.radians(setup.turn)
    cosine, sine = math.cos(turn) * setup.per_mm, math.sin(turn) * setup.per_mm
    x, y = FIELD_AT[0] + 18.0, FIELD_AT[1]
    flat = np.array([[cosine, -sine, 0], [sine, cosine, 0], [0, 0, 1.0]]) @ np.array(
        [[1, 0, -x], [0, 1, -y], [0, 0, 1.0]]
    )
    slant = np.array([[1, 0, 0], [0, 1, 0], [setup.slant_x / SIZE[0], setup.slant_y / SIZE[1], 1.0]])
    middle = np.array([[1, 0, (SIZE[0] - 1) / 2], [0, 1, (SIZE[1] - 1) / 2], [0, 0, 1.0]])
    view: Floats = middle @ slant @ flat
    return view


def _moved(matrix: Floats, points: Floats) -> Floats:
    seen = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    flat: Floats = seen[:, :2] / seen[:, 2:]
    return flat


def _sheet(setup: WindowSetup) -> tuple[Singles, dict[str, float]]:
    """Light from the housing, (rows, columns, 3), and what the field truly shows."""
    rng = generator(setup.seed, "window", "sheet")
    columns, rows = (round(side * SHEET_PER_MM) for side in SHEET_MM)
    coarse = rng.uniform(0.85, 1.15, (rows // 40, columns // 40)).astype(np.float32)
    wear = cv2.resize(coarse, (columns, rows), interpolation=cv2.INTER_CUBIC)
    sheet = np.repeat((wear * setup.housing)[..., None], 3, axis=2).astype(np.float32)
    left, top, right, bottom = setup.field
    _laid(sheet, (left - FRAME_MM, top - FRAME_MM, right + FRAME_MM, bottom + FRAME_MM), (FRAME_TONE,) * 3)
    for number in range(setup.distractors):
        _distract(sheet, setup, number)
    x, y = TILE_AT
    _laid(sheet, (x, y, x + TILE_MM, y + TILE_MM), (WHITE,) * 3)
    _laid(sheet, (x, y + TILE_MM, x + TILE_MM, y + 2 * TILE_MM), (GREY,) * 3)
    inside = _part(sheet, setup.field)
    field, fractions = _field(setup, inside.shape[:2])
    inside[:] = field
    _spots(inside, setup)
    inside *= np.float32(setup.sunken) * np.array(setup.mixed, dtype=np.float32)
    _shaded(sheet, setup)
    inside += _gleam(setup, inside.shape[:2])[..., None]
    return sheet, fractions


def _part(sheet: Singles, place: tuple[float, float, float, float]) -> Singles:
    """The sheet's texels of a rectangle in mm, as a view."""
    left, top, right, bottom = (max(round(side * SHEET_PER_MM), 0) for side in place)
    return sheet[top:bottom, left:right]


def _laid(sheet: Singles, place: tuple[float, float, float, float], tone: Colour) -> None:
    _part(sheet, place)[:] = tone


def _true_colour(setup: WindowSetup, name: str, declared: str) -> Singles:
    """Linear light of an indicator's paint: near the declared colour, perhaps faded."""
    rng = generator(setup.seed, "window", "paint", name)
    codes = np.frombuffer(bytes.fromhex(declared[1:]), dtype=np.uint8).astype(np.float64)
    codes = np.clip(np.round(codes + rng.uniform(-1, 1, 3) * setup.paint_error), 0, 255).astype(int)
    light = decoded()[codes]
    grey = float(light.mean()) * 0.8 + 0.1
    return np.asarray(light * (1 - setup.fading) + grey * setup.fading, dtype=np.float32)


def _field(setup: WindowSetup, shape: tuple[int, int]) -> tuple[Singles, dict[str, float]]:
    """What the indicator shows, (rows, columns, 3), and its shares."""
    locked = _true_colour(setup, "locked", setup.locked)
    opened = _true_colour(setup, "open", setup.open)
    if setup.state == "other":
        tone = _neither(setup, locked, opened)
        shown = np.broadcast_to(tone, (*shape, 3)).astype(np.float32)
        return _rimmed(shown, setup), {"locked": 0.0, "open": 0.0, "neither": 1.0}
    rows, columns = shape
    turn = math.radians(setup.share_turn)
    y, x = np.mgrid[0:rows, 0:columns]
    run = (x + 0.5) / columns * math.cos(turn) + (y + 0.5) / rows * math.sin(turn)
    # ranks make the shares true whatever the turn
    rank = np.argsort(np.argsort(run, axis=None, kind="stable"), kind="stable").reshape(shape) / run.size
    first, last = setup.share * (1 - setup.gap), setup.share * (1 - setup.gap) + setup.gap
    is_locked, is_open = rank < first, rank >= last
    shown = np.where(is_locked[..., None], locked, np.where(is_open[..., None], opened, np.float32(0.02)))
    fractions = {"locked": float(is_locked.mean()), "open": float(is_open.mean())}
    fractions["neither"] = 1 - sum(fractions.values())
    return _rimmed(np.asarray(shown, dtype=np.float32), setup), fractions


def _neither(setup: WindowSetup, locked: Singles, opened: Singles) -> Singles:
    rng = generator(setup.seed, setup.kind, "neither")
    if setup.other == "blank":
        return np.full(3, rng.uniform(0.2, 0.8), dtype=np.float32)
    if setup.other == "dark":
        return np.full(3, rng.uniform(0.004, 0.03), dtype=np.float32)
    if setup.other == "tape":
        return np.array(TAPE, dtype=np.float32)
    # as far in linear light from both colours as a handful of tries finds
    tries = decoded()[rng.integers(20, 236, (24, 3))]
    off = np.minimum(*(np.abs(tries - one).sum(axis=1) for one in (locked, opened)))
    return np.asarray(tries[int(off.argmax())], dtype=np.float32)


def _rimmed(field: Singles, setup: WindowSetup) -> Singles:
    """Darken the field towards its frame."""
    rows, columns = field.shape[:2]
    wide = max(setup.rim_wide * min(rows, columns), 0.5)
    y, x = np.arange(rows) + 0.5, np.arange(columns) + 0.5
    off = np.minimum(np.minimum(y, rows - y)[:, None], np.minimum(x, columns - x)[None, :])
    rim = 1 - setup.rim * np.clip(1 - off / wide, 0, 1)
    return np.asarray(field * rim[..., None], dtype=np.float32)


def _spots(field: Singles, setup: WindowSetup) -> None:
    """Lay dirt over a share of the field, and a film over all of it."""
    rng = generator(setup.seed, "window", "spots")
    rows, columns = field.shape[:2]
    mask = np.zeros((rows, columns), dtype=np.uint8)
    while setup.dirt > 0 and float((mask > 0).mean()) < setup.dirt:
        x, y, radius = int(rng.integers(columns)), int(rng.integers(rows)), int(rng.integers(2, 12))
        cv2.circle(mask, (x, y), radius, int(rng.integers(120, 256)), -1, cv2.LINE_AA)
    share = mask.astype(np.float32)[..., None] / 255
    field[:] = field * (1 - share) + np.array([0.09, 0.075, 0.055], dtype=np.float32) * share
    field[:] = field * (1 - setup.film) + np.float32(setup.film * 0.35)


def _gleam(setup: WindowSetup, shape: tuple[int, int]) -> Singles:
    """Light that the window's cover throws back."""
    rows, columns = shape
    y = ((np.arange(rows) + 0.5) / rows - setup.glare_y) * rows / min(rows, columns)
    x = ((np.arange(columns) + 0.5) / columns - setup.glare_x) * columns / min(rows, columns)
    off = (y[:, None] ** 2 + x[None, :] ** 2) / (2 * (setup.glare_wide / 2) ** 2)
    return np.asarray(setup.glare * np.exp(-off), dtype=np.float32)


def _shaded(sheet: Singles, setup: WindowSetup) -> None:
    """Let light change over the sheet, and a shadow's edge fall across the field."""
    rows, columns = sheet.shape[:2]
    x = (np.arange(columns) + 0.5) / SHEET_PER_MM - FIELD_AT[0]
    y = (np.arange(rows) + 0.5) / SHEET_PER_MM - FIELD_AT[1]
    longer = max(setup.wide, setup.high)
    turn = math.radians(setup.shadow_turn)
    run = x[None, :] * math.cos(turn) + y[:, None] * math.sin(turn)
    edge = run - (setup.shadow_at - 0.5) * longer
    light = np.clip(1 + setup.gradient * x[None, :] / longer, 0.5, 1.5)
    light = light * (1 - setup.shadow / (1 + np.exp(-np.clip(edge / 0.6, -40, 40))))
    sheet *= light.astype(np.float32)[..., None]


def _distract(sheet: Singles, setup: WindowSetup, number: int) -> None:
    """Stick something in a declared colour beside the window."""
    rng = generator(setup.seed, "window", "distractor", str(number))
    name, declared = (("locked", setup.locked), ("open", setup.open))[int(rng.integers(2))]
    wide, high = rng.uniform(*DISTRACTOR_MM, 2)
    left, top, right, bottom = setup.field
    off = FRAME_MM + (setup.distractor_near if number == 0 else float(rng.uniform(8, 20)))
    x, y = (
        (left - off - wide, rng.uniform(top - high, bottom)),
        (rng.uniform(left, right - wide / 2), top - off - high),
        (rng.uniform(left, right - wide / 2), bottom + off),
    )[int(rng.integers(3))]
    _laid(sheet, (x, y, x + wide, y + high), tuple(_true_colour(setup, name, declared).tolist()))


def _stored(light: Singles, setup: WindowSetup) -> Bytes:
    """Return what the phone stores."""
    lamp = np.array(setup.lamp) * np.array([1 + setup.cast_red, 1.0, 1 + setup.cast_blue])
    seen = cv2.GaussianBlur(light * (lamp * setup.exposure).astype(np.float32), (0, 0), setup.blur)
    rng = generator(setup.seed, setup.kind, "noise")
    seen = sensor.noisy(np.asarray(seen, dtype=np.float32), (setup.shot_noise, setup.read_noise), rng)
    rows, columns = seen.shape[:2]
    code = sensor.encoded(seen.reshape(rows, columns * 3), setup.contrast)
    return sensor.stored(sensor.rounded(code).reshape(rows, columns, 3), setup.jpeg_quality)
