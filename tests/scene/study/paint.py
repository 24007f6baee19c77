"""Paint a part of the picture in linear light: floor, sill, hook, boards, prints, and the light that falls on them.

Surfaces are found by inverse mapping: rays of a coarse grid of pixels meet the surface, and what lies between is
interpolated; prints keep their scale finer than the picture's and are filtered by area.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.scene.study import prints
from tests.scene.study.optics import Camera
from tests.scene.study.places import SLIDER_MM, STRIP_MM, Surface, slider_base
from tests.scene.study.setups import Setup

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

FINER = ((250_000, 4), (600_000, 3))  # pixels of a print up to which so many samples are taken each way
LEAST_FINER = 2
CELL = 8  # samples between rays of the grid
SHIFT = 4  # binary places of a polygon's corners
BOARD, METAL, RIB, STEP, HOOK = 0.62, 0.42, 0.33, 0.05, 0.30  # reflectances
FAR_V = (-1500.0, 1500.0)  # mm along the sill that are painted
SILL_WIDE = 46.0  # mm
NEAR = 20.0  # mm before the camera
WIDE = 1.3  # of half the diagonal


@dataclass(frozen=True)
class Window:
    """A part of the picture, with its grid of samples.

    Attributes:
        left, top, width, height: pixels.
        fine: samples a pixel, each way; one over a whole number for a coarse look.
    """

    left: int
    top: int
    width: int
    height: int
    fine: float

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of samples."""
        return round(self.height * self.fine), round(self.width * self.fine)

    def samples(self, pixels: Floats) -> Floats:
        """Pixels of the picture as sample coordinates, the first sample's centre at (0, 0)."""
        moved: Floats = (pixels - np.array([self.left, self.top]) + 0.5) * self.fine - 0.5
        return moved

    def grid(self) -> Floats:
        """Pixels at the nodes of the coarse grid, one cell beyond the window on every side."""
        rows, columns = (-(-count // CELL) + 2 for count in self.shape)
        y = ((np.arange(rows) - 0.5) * CELL - 0.5 + 0.5) / self.fine - 0.5 + self.top
        x = ((np.arange(columns) - 0.5) * CELL - 0.5 + 0.5) / self.fine - 0.5 + self.left
        return np.stack(np.broadcast_arrays(x[None, :], y[:, None]), axis=-1)

    def spread(self, nodes: Floats) -> Singles:
        """Values at the grid's nodes, (rows, columns), at every sample."""
        rows, columns = nodes.shape
        wide = cv2.resize(
            nodes.astype(np.float32), (columns * CELL, rows * CELL), interpolation=cv2.INTER_LINEAR
        )
        return np.asarray(wide[CELL : CELL + self.shape[0], CELL : CELL + self.shape[1]], dtype=np.float32)

    def around(self, pixels: Floats, margin: int) -> Window:
        """Return the window around some pixels, cut to this one."""
        whole = max(1, round(1 / self.fine))  # pixels that stay together
        low = (np.floor(pixels.min(axis=0)).astype(int) - margin) // whole * whole
        high = -(-(np.ceil(pixels.max(axis=0)).astype(int) + margin + 1) // whole) * whole
        left, top = max(int(low[0]), self.left), max(int(low[1]), self.top)
        right, bottom = (
            min(int(high[0]), self.left + self.width),
            min(int(high[1]), self.top + self.height),
        )
        return Window(left, top, max(right - left, 0), max(bottom - top, 0), self.fine)


def paint(setup: Setup, camera: Camera, window: Window, strip: Surface, slider: Surface) -> Singles:
    """Return linear light, (rows, columns) of the window's samples, without lens and sensor."""
    brush = Brush(setup, camera, window)
    brush.ground()
    from_inside = camera.place[0] > setup.hook_distance
    if not from_inside:
        brush.hook()
    for surface, base in ((strip, 0.0), (slider, slider_base(setup))):
        brush.shade(surface, setup.stock + base)
    brush.board(strip, 0.0)
    brush.printed("strip", strip)
    brush.board(slider, max(slider_base(setup), 0.0))
    brush.printed("slider", slider)
    if from_inside:
        brush.hook()
    brush.lit()
    return brush.light


class Brush:
    """Paints one window; ``light`` is what is painted so far, (rows, columns) reflectance, then linear light."""

    def __init__(self, setup: Setup, camera: Camera, window: Window) -> None:
        """Start with a black window."""
        self.setup, self.camera, self.window = setup, camera, window
        self.light: Singles = np.zeros(window.shape, dtype=np.float32)
        self._nodes = window.grid()
        rays = camera.rays(self._nodes)
        # where the sight rises over the horizon there is no floor: far away is good enough
        reach = -camera.place[2] / np.maximum(rays[..., 2], 0.02)
        self._floor = camera.place[:2] + rays[..., :2] * reach[..., None]

    def ground(self) -> None:
        """Paint floor, sill and what lies before it."""
        setup = self.setup
        texture = prints.floor(setup.floor, setup.floor_seed)
        places = (self._floor - np.array(prints.FLOOR_FROM)) * prints.FLOOR_PER_MM - 0.5
        tone = cv2.remap(
            texture,
            self.window.spread(places[..., 0]),
            self.window.spread(places[..., 1]),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REFLECT,
        )
        self.light = np.asarray(tone, dtype=np.float32) * np.float32(setup.floor_tone / 255)
        v = np.linspace(*FAR_V, 121)
        edge = np.stack([_sill_line(setup, v), v, np.zeros_like(v)], axis=-1)
        inner = np.array([(SILL_WIDE, FAR_V[1], 0.0), (SILL_WIDE, FAR_V[0], 0.0)])
        self.fill(np.concatenate([edge, inner]), METAL)
        low = np.array([(-2000.0, FAR_V[1], 0.0), (-2000.0, FAR_V[0], 0.0)])
        self.fill(np.concatenate([edge, low]), STEP)
        if setup.sill_form.startswith("lip"):
            inside = 0.0 if setup.sill_form != "lip-under" else 4.0
            self.box((inside - 4.0, inside), (-500.0, 500.0), (0.0, setup.lip), METAL)
        if setup.rib_under != "nothing":
            self._ribs()

    def _ribs(self) -> None:
        """Paint the rib under one board; it ends where it would lift the other one too."""
        setup = self.setup
        (u, v), (along, across), ends = (
            ((0.0, 0.0), STRIP_MM, (-250.0, STRIP_MM[1]))
            if setup.rib_under == "strip"
            else (
                (setup.hook_distance - SLIDER_MM, setup.slider_v),
                (SLIDER_MM,) * 2,
                (setup.slider_v, 300.0),
            )
        )
        if setup.rib_runs == "across":
            middle = u + setup.rib_share * along
            self.box((middle - 2.0, middle + 2.0), ends, (0.0, setup.rib), RIB)
        else:
            middle = v + setup.rib_share * across
            self.box((SILL_WIDE, 400.0), (middle - 2.0, middle + 2.0), (0.0, setup.rib), RIB)

    def hook(self) -> None:
        """Paint the hook: a block whose near face stands at the hook's distance."""
        setup = self.setup
        left = setup.slider_v + 2.0
        at = setup.hook_distance
        self.box((at, at + 46.0), (left, left + 62.0), (0.0, setup.hook_high), HOOK)
        self.box((at + 10.0, at + 30.0), (left + 20.0, left + 42.0), (setup.hook_high,) * 2, HOOK * 0.4)

    def box(
        self, u: tuple[float, float], v: tuple[float, float], high: tuple[float, float], tone: float
    ) -> None:
        """Paint the faces of an upright block that look at the camera."""
        top, bottom = -high[1], -high[0]
        eye = self.camera.place
        for side, shade in ((u[0], 0.6), (u[1], 0.75)):
            if (eye[0] - side) * (1 if side == u[1] else -1) > 0:
                self.fill(
                    np.array(
                        [(side, v[0], top), (side, v[1], top), (side, v[1], bottom), (side, v[0], bottom)]
                    ),
                    tone * shade,
                )
        for side, shade in ((v[0], 0.7), (v[1], 0.65)):
            if (eye[1] - side) * (1 if side == v[1] else -1) > 0:
                self.fill(
                    np.array(
                        [(u[0], side, top), (u[1], side, top), (u[1], side, bottom), (u[0], side, bottom)]
                    ),
                    tone * shade,
                )
        self.fill(
            np.array([(u[0], v[0], top), (u[1], v[0], top), (u[1], v[1], top), (u[0], v[1], top)]), tone
        )

    def board(self, surface: Surface, base: float) -> None:
        """Paint the sides of the board under a print, from its edges down to what it lies on."""
        upper = surface.outline(8)
        lower = upper.copy()
        lower[:, 2] = np.maximum(-base, upper[:, 2])
        following = np.roll(np.arange(len(upper)), -1)
        middle = upper.mean(axis=0)
        for here, there in enumerate(following):
            outward = (upper[here] + upper[there]) / 2 - middle
            if (self.camera.place - upper[here])[:2] @ outward[:2] > 0:
                self.fill(np.array([upper[here], upper[there], lower[there], lower[here]]), BOARD)
        if base > 0:
            flat = surface.outline()
            span = [(float(flat[:, axis].min()), float(flat[:, axis].max())) for axis in (0, 1)]
            self.box(span[0], span[1], (0.0, base), METAL * 0.7)

    def shade(self, surface: Surface, high: float) -> None:
        """Darken the floor around a board, where little light comes in."""
        spread = surface.outline()
        middle = spread.mean(axis=0)
        spread = middle + (spread - middle) * (1 + 2 * high / np.ptp(spread[:, :2]))
        spread[:, 2] = 0.0
        inside = self._region(spread)
        if inside is not None:
            part, mask = inside
            soft = cv2.GaussianBlur(mask, (0, 0), max(1.0, high * self._per_mm(middle) / 3))
            part *= 1 - 0.35 / 255 * soft.astype(np.float32)

    def printed(self, which: str, surface: Surface) -> None:
        """Lay a print upon what is painted."""
        seen = self.camera.pixels(surface.outline(8))
        window = self.window.around(seen, 4)
        if 0 in window.shape:
            return
        times = next((times for most, times in FINER if window.width * window.height <= most), LEAST_FINER)
        finer = replace(window, fine=window.fine * times)
        steps = self._steps(surface, finer.fine)
        texture = prints.texture(which, self.setup, surface, steps)
        met = surface.prints(self.camera.place, self.camera.rays(finer.grid()))
        places = (met + prints.MARGIN_MM) * np.array(steps) - 0.5
        laid = cv2.remap(
            texture,
            finer.spread(places[..., 0]),
            finer.spread(places[..., 1]),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_CONSTANT,
        )
        laid = cv2.resize(laid, window.shape[::-1], interpolation=cv2.INTER_AREA)
        part = self._part(window)
        part *= 1 - laid[..., 1]
        part += laid[..., 0]

    def fill(self, points: Floats, tone: float) -> None:
        """Fill a polygon in the world with one reflectance."""
        inside = self._region(points)
        if inside is not None:
            part, mask = inside
            share = mask.astype(np.float32) * np.float32(1 / 255)
            part += (np.float32(tone) - part) * share

    def lit(self) -> None:
        """Turn reflectance into light: lamp, ambient, gradient, shadow, vignette and exposure."""
        light = illumination(self.setup, self._floor)
        radius = ((self._nodes - self.camera.centre) ** 2).sum(axis=-1) / self.camera.half**2
        light = light * (1 - self.setup.vignette * radius) * self.setup.exposure / self.setup.paper
        self.light *= self.window.spread(light)

    def _steps(self, surface: Surface, fine: float) -> tuple[int, int]:
        corners = self.camera.pixels(surface.outline())
        along, across = surface.high[0] - surface.low[0], surface.high[1] - surface.low[1]
        sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1) * fine
        return (
            prints.step_for(max(sides[0], sides[2]) / along),
            prints.step_for(max(sides[1], sides[3]) / across),
        )

    def _per_mm(self, point: Floats) -> float:
        depth = float((point - self.camera.place) @ self.camera.axes[2])
        return self.camera.focal / depth * self.window.fine

    def _part(self, window: Window) -> Singles:
        top = round((window.top - self.window.top) * self.window.fine)
        left = round((window.left - self.window.left) * self.window.fine)
        return self.light[top : top + window.shape[0], left : left + window.shape[1]]

    def _region(self, points: Floats) -> tuple[Singles, NDArray[np.uint8]] | None:
        """The part of the light that a polygon touches, as a view, and the polygon's coverage 0 to 255."""
        ahead = _clipped(self.camera, points)
        if len(ahead) < 3:
            return None
        seen = self.window.samples(self.camera.pixels(ahead))
        rows, columns = self.window.shape
        low = np.maximum(np.floor(seen.min(axis=0)).astype(int) - 2, 0)
        high = np.minimum(np.ceil(seen.max(axis=0)).astype(int) + 3, [columns, rows])
        if (high <= low).any():
            return None
        mask = np.zeros((high[1] - low[1], high[0] - low[0]), dtype=np.uint8)
        corners = np.round((seen - low) * (1 << SHIFT)).astype(np.int32)
        cv2.fillPoly(mask, [corners], 255, cv2.LINE_AA, SHIFT)
        return self.light[low[1] : high[1], low[0] : high[0]], mask


def illumination(setup: Setup, floor: Floats) -> Floats:
    """Return the light on places of the floor, (..., 2) to (...), about 1 where it is brightest on the card."""
    away = floor - np.array([setup.lamp_u, setup.lamp_v])
    direct = setup.lamp_high**3 / (setup.lamp_high**2 + (away**2).sum(axis=-1)) ** 1.5
    reference = (
        setup.lamp_high**3 / (setup.lamp_high**2 + (90 - setup.lamp_u) ** 2 + (45 - setup.lamp_v) ** 2) ** 1.5
    )
    light = setup.ambient + (1 - setup.ambient) * direct / reference
    turn = math.radians(setup.gradient_turn)
    run = (floor - np.array([90.0, 45.0])) @ np.array([math.cos(turn), math.sin(turn)])
    light = light * np.clip(1 + setup.gradient * (run - 100) / 200, 0.3, 1.3)
    turn = math.radians(setup.shadow_turn)
    run = (floor - np.array([setup.shadow_u, 45.0])) @ np.array([math.cos(turn), math.sin(turn)])
    dark: Floats = setup.shadow / (1 + np.exp(-np.clip(run / (setup.shadow_soft / 4), -40, 40)))
    lit: Floats = light * (1 - dark)
    return lit


def _sill_line(setup: Setup, v: Floats) -> Floats:
    """U of the sill's outer line: through the datum at the hook's middle, bowed where the setup says so."""
    if setup.sill_form != "bowed":
        return np.zeros_like(v)
    middle = setup.slider_v + SLIDER_MM / 2
    touched = 0.0 if setup.sill_off > 0 else STRIP_MM[1]  # the corner of the strip that the bow reaches first
    bow: Floats = setup.sill_off * np.clip((v - middle) / (touched - middle), -4, 4) ** 2
    return bow


def _clipped(camera: Camera, points: Floats) -> Floats:
    """The part of a polygon well before the camera and not far outside the picture, where the lens is still a lens."""
    wide = WIDE * camera.half / camera.focal
    right, down, forward = camera.axes
    sides = [forward, *(wide * forward + sign * side for side in (right, down) for sign in (1, -1))]
    kept = points - camera.place
    for index, normal in enumerate(sides):
        off = kept @ normal - (NEAR if index == 0 else 0.0)
        cut = []
        for here in range(len(kept)):
            there = (here + 1) % len(kept)
            if off[here] >= 0:
                cut.append(kept[here])
            if (off[here] >= 0) != (off[there] >= 0):
                cut.append(kept[here] + off[here] / (off[here] - off[there]) * (kept[there] - kept[here]))
        if not cut:
            return np.empty((0, 3))
        kept = np.array(cut)
    clipped: Floats = kept + camera.place
    return clipped
