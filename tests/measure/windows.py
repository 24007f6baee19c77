"""Simulated lock windows: two colours behind a frame on a housing, under all sorts of light, as a phone writes them.

Simulated light, not photographed: three channels, no spectra, no real lens. What comes of it says how the reading
behaves where its assumptions are broken on purpose; it is no measure of photos.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from evidence.measure import colour, window
from evidence.measure.window import Declared, Neutral

Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]

SIZE = (420, 320)  # columns and rows
PATCH = 0.45  # reflectance of the simulated patch
PAIRS = (  # locked and open, at least 35 apart by CIEDE2000, in light as in shade
    Declared("#1f8a3c", "#c8242b"),
    Declared("#265cb2", "#eca020"),
    Declared("#18a060", "#d83a2a"),
    Declared("#2a9d3e", "#e7e4dc"),
)
MATERIALS = (
    "#17181a",
    "#3c3f42",
    "#8b8e90",
    "#c9cacb",
    "#f1efe9",
    "#8a6a45",
    "#b98a6c",
    "#a58a4c",
    "#5a5148",
)


@dataclass(frozen=True)
class Scene:
    """One simulated photo.

    Attributes:
        manual: declared colours.
        shift: share of the frame that the locked colour covers, from one side; 1 is locked, 0 open.
        other: linear light of what lies behind the frame instead, or None.
        housing: linear reflectance around the frame.
        lamp: (3,) light at the patch.
        near_lamp: (3,) light at window and surroundings, by that at the patch.
        lit: brightness of a perfect white at the patch.
        gloss: strength of a veil of light over the window, and where its middle lies across it.
        cover: linear light of something that lies over window and surroundings, or None.
        fading: pigments' shift towards grey.
        corners: of the frame, pixels.
        framed: corners that somebody set.
        blur: pixels.
        noise: standard deviation in codes.
        seed: of noise and texture.
    """

    manual: Declared
    shift: float
    other: Floats | None
    housing: Floats
    lamp: Floats
    near_lamp: Floats
    lit: float
    gloss: tuple[float, float]
    cover: Floats | None
    fading: float
    corners: Floats
    framed: Floats
    blur: float
    noise: float
    seed: int


@dataclass(frozen=True)
class Photo:
    """What the reading gets."""

    pixels: Bytes
    frame: Floats
    neutrals: tuple[Neutral, ...]
    manual: Declared


PATCH_CORNERS = np.array([[30.0, 250.0], [80.0, 250.0], [80.0, 292.0], [30.0, 292.0]])


def plain(manual: Declared = PAIRS[0], shift: float = 1.0) -> Scene:
    """A sharp, evenly lit photo."""
    corners = np.array([[150.0, 90.0], [290.0, 94.0], [284.0, 176.0], [154.0, 172.0]])
    return Scene(
        manual, shift, None, np.full(3, 0.06), np.ones(3), np.ones(3), 0.8, (0.0, 0.5), None, 0.0, corners, corners,
        0.7, 1.0, 1,
    )  # fmt: skip


def drawn(generator: Generator, manual: Declared, shift: float, *, other: bool = False) -> Scene:
    """A photo as anybody may take it: cast, shade, gloss, noise, a frame set by hand."""
    one = plain(manual, shift)
    corners = one.corners + generator.normal(0, 12, (4, 2))
    sizes = np.linalg.norm(corners - corners.mean(axis=0), axis=1).mean()
    behind = None
    if other:
        behind = (
            colour.declared(str(generator.choice(MATERIALS)))
            if generator.random() < 0.6
            else _apart(generator, manual)
        )
    cover = None
    if generator.random() < 0.06:  # a hand or a cloth, of the very colour that is looked for
        cover = colour.declared(manual.locked) * generator.uniform(0.7, 1.2)
    near = np.full(3, generator.uniform(0.5, 1.3)) * np.exp(generator.normal(0, 0.06, 3))
    if generator.random() < 0.12:  # a coloured lamp at the window alone
        near = near * (0.12 + colour.declared(manual.locked) / colour.declared(manual.locked).max())
    return replace(
        one,
        other=behind,
        housing=np.clip(np.full(3, generator.uniform(0.02, 0.5)) * np.exp(generator.normal(0, 0.1, 3)), 0, 1),
        lamp=np.exp(generator.normal(0, 0.22, 3)),
        near_lamp=near,
        lit=generator.uniform(0.25, 1.15),
        gloss=(max(0.0, generator.normal(-0.05, 0.2)), generator.uniform(0, 1)),
        cover=cover,
        fading=generator.uniform(0, 0.25),
        corners=corners,
        framed=corners + generator.normal(0, 0.035 * sizes, (4, 2)),
        blur=generator.uniform(0.4, 2.2),
        noise=generator.uniform(0.5, 6.0),
        seed=int(generator.integers(1 << 30)),
    )


def unlocked(generator: Generator, manual: Declared) -> Scene:
    """A window that is not locked: open, between, or with something else behind the frame."""
    kind = generator.integers(3)
    if kind == 0:
        return drawn(generator, manual, 0.0)
    if kind == 1:
        scene = drawn(generator, manual, generator.uniform(0.05, 0.93))
        return partly_framed(scene) if scene.shift > 0.4 and generator.random() < 0.3 else scene
    return drawn(generator, manual, 0.0, other=True)


def partly_framed(scene: Scene) -> Scene:
    """The frame set around the part that shows the locked colour."""
    first, second, third, last = scene.corners
    share = scene.shift * 0.95
    framed = np.array([first, first + (second - first) * share, last + (third - last) * share, last])
    return replace(scene, framed=framed)


def _apart(generator: Generator, manual: Declared) -> Floats:
    """A colour as far from the locked one as two declared colours must be, in light and in shade."""
    shades = colour.declared(manual.locked) * np.array(window.SHADES)[:, None]
    while True:
        light: Floats = generator.uniform(0, 1, 3) ** 2
        apart = colour.ciede2000(colour.lab(light), colour.lab(shades))
        if apart[window.SHADES.index(1.0)] >= window.LEAST_APART and apart.min() >= window.LEAST_SHADED_APART:
            return light


def photo(scene: Scene) -> Photo:
    """Take the photo: light, veil, blur, noise, sRGB, JPEG."""
    generator = np.random.Generator(np.random.PCG64(scene.seed))
    columns, rows = SIZE
    light = np.empty((rows, columns, 3))
    light[:] = scene.housing
    coarse = generator.normal(1, 0.06, (rows // 8, columns // 8, 1))
    light *= cv2.resize(coarse, SIZE, interpolation=cv2.INTER_LINEAR)[..., None]
    _fill(light, _grown(scene.corners, 1.12), scene.housing * 1.5 + 0.01)
    _window(light, scene)
    if scene.cover is not None:
        _fill(light, _grown(scene.corners, 2.2), scene.cover)
    light *= scene.near_lamp
    _fill(light, _grown(PATCH_CORNERS, 1.3), np.full(3, 0.8))
    _fill(light, PATCH_CORNERS, np.full(3, PATCH))
    seen = light * scene.lamp / scene.lamp.max() * scene.lit
    seen = np.asarray(cv2.GaussianBlur(seen, (0, 0), scene.blur))
    codes = _encoded(np.clip(seen, 0, 1)) + generator.normal(0, scene.noise, seen.shape)
    pixels = np.clip(np.round(codes), 0, 255).astype(np.uint8)
    _, stored = cv2.imencode(".jpg", pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 82])
    back = np.asarray(cv2.imdecode(stored, cv2.IMREAD_COLOR), dtype=np.uint8)
    return Photo(
        np.ascontiguousarray(back[..., ::-1]), scene.framed, (Neutral(PATCH_CORNERS, PATCH),), scene.manual
    )


def _window(light: Floats, scene: Scene) -> None:
    """Indicator, its shaded rim and the veil, painted across the frame and laid into it."""
    wide, high = 160, 100
    pane = np.empty((high, wide, 3))
    pane[:] = _faded(colour.declared(scene.manual.open), scene.fading)
    pane[:, : round(wide * scene.shift)] = _faded(colour.declared(scene.manual.locked), scene.fading)
    if scene.other is not None:
        pane[:] = scene.other
    across = np.linspace(0, 1, wide)[None, :, None]
    strength, middle = scene.gloss
    pane += strength * np.exp(-(((across - middle) / 0.2) ** 2))
    places = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], dtype=np.float32) - np.float32(0.5)
    matrix = cv2.getPerspectiveTransform(places, scene.corners.astype(np.float32))
    laid = cv2.warpPerspective(
        pane, matrix, SIZE, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(-1, -1, -1)
    )
    inside = laid.min(axis=-1) >= 0
    light[inside] = laid[inside]


def _faded(light: Floats, share: float) -> Floats:
    faded: Floats = light * (1 - share) + float(colour.luminance(light)) * share
    return faded


def _grown(corners: Floats, ratio: float) -> Floats:
    middle = corners.mean(axis=0)
    grown: Floats = middle + (corners - middle) * ratio
    return grown


def _fill(light: Floats, corners: Floats, value: Floats) -> None:
    cv2.fillConvexPoly(light, np.round(corners).astype(np.int32), tuple(float(one) for one in value))


def _encoded(light: Floats) -> Floats:
    """8-bit codes of linear light; from memory of IEC 61966-2-1."""
    bent = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    codes: Floats = bent * 255
    return codes
