"""Corners of tags by fitting their edges: to a few hundredths of a pixel, where a detector gives one.

Light adds up in the scene, not in the file, so brightness is made linear first; a blurred edge then lies where half of
the light has changed, whatever the blur. Across each side brightness is read along its normals; the area under a
profile gives the edge more steadily than its steepest point. Corners are where neighbouring edges meet.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure.tags import Grey, Points, Tags

Floats = NDArray[np.float64]

NORMALS = 17  # profiles on each side
USED = (0.1, 0.9)  # share of a side that is read; its ends are rounded by blur
STEP = 0.5  # pixels between readings
REACH = 0.55  # modules to each side of the edge: the border is one module wide, and so is the white around it
LEAST_REACH, MOST_REACH = 2.0, 10.0  # pixels
LEAST_CONTRAST = 0.06  # of full scale, linear
FEWEST = 6  # profiles that make an edge
SRGB_KNEE = 0.04045  # below it sRGB is a straight line
BLURS, SPARE = 3.5, 1.0  # the second reach: standard deviations of blur, and pixels


@dataclass(frozen=True)
class Fitted:
    """Tags with fitted corners.

    Attributes:
        tags: id to corners, as ``tags.Tags``.
        blur: median standard deviation of the blur at the edges, pixels; what remains of a sharp picture is about 0.5.
    """

    tags: dict[int, Points]
    blur: float


def _linear() -> NDArray[np.float32]:
    """Linear light of each 8-bit sRGB code; from memory of IEC 61966-2-1."""
    code = np.arange(256) / 255
    return np.where(code <= SRGB_KNEE, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)


LINEAR = _linear()


def fit(grey: Grey, tags: Tags) -> Fitted:
    """Fit every side of every tag, twice: the second time from the corners of the first, and closer by.

    Tags with a side that shows too little contrast, or runs out of the picture, are left out.

    Args:
        grey: (rows, columns) 8-bit grey.
        tags: corners to about a pixel.
    """
    if not tags:
        return Fitted({}, float("nan"))
    rough = _once(grey, tags, MOST_REACH)
    if not rough.tags:
        return rough
    # no farther than the blur asks for: what is printed beside a tag would pull its edge
    return _once(grey, rough.tags, BLURS * rough.blur + SPARE)


def _once(grey: Grey, tags: Tags, most: float) -> Fitted:
    ids = sorted(tags)
    corners = np.array([tags[tag] for tag in ids])  # tag, corner, xy
    sides = np.roll(corners, -1, axis=1) - corners
    lengths = np.linalg.norm(sides, axis=2, keepdims=True)
    along = sides / lengths
    outward = np.stack([along[..., 1], -along[..., 0]], axis=-1)  # corners run clockwise as seen
    reach = np.clip(
        lengths[..., 0].mean(axis=1) / geometry.MODULES * REACH, LEAST_REACH, max(most, LEAST_REACH)
    )
    places = np.linspace(*USED, NORMALS)
    feet = corners[:, :, None] + sides[:, :, None] * places[None, None, :, None]  # tag, side, normal, xy
    found: dict[int, Points] = {}
    widths: list[Floats] = []
    for index, tag in enumerate(ids):
        offsets, width = _profiles(grey, feet[index], outward[index], float(reach[index]))
        edges = feet[index] + outward[index][:, None] * np.nan_to_num(offsets)[..., None]
        refined = _corners(edges, np.isfinite(offsets))
        if refined is not None:
            found[tag] = refined
            widths.append(width[np.isfinite(width)])
    blur = float(np.median(np.concatenate(widths))) if widths else float("nan")
    return Fitted(found, blur)


def _profiles(grey: Grey, feet: Floats, outward: Floats, reach: float) -> tuple[Floats, Floats]:
    """Where along each normal the edge lies, and how blurred it is there; not a number where there is none.

    Args:
        grey: the picture.
        feet: (4, normals, 2) pixels.
        outward: (4, 2) unit vectors.
        reach: pixels to each side.

    Returns:
        Two arrays (4, normals) in pixels.
    """
    count = 2 * round(reach / STEP) + 1
    steps = np.linspace(-reach, reach, count)
    spots = feet[:, :, None] + outward[:, None, None] * steps[None, None, :, None]
    light = _light(grey, spots)
    if light is None:
        nothing = np.full(feet.shape[:2], np.nan)
        return nothing, nothing
    ends = max(2, count // 6)
    low, high = np.median(light[..., :ends], axis=-1), np.median(light[..., -ends:], axis=-1)
    contrast = high - low
    share = (light - low[..., None]) / np.maximum(contrast, LEAST_CONTRAST / 4)[..., None]
    step = steps[1] - steps[0]
    area = (share.sum(axis=-1) - (share[..., 0] + share[..., -1]) / 2) * step
    offsets = reach - area
    # the integral of p (1 - p) over a Gaussian edge is its standard deviation over the root of pi
    middle = np.clip(share, 0.0, 1.0)
    blur = np.sqrt(np.pi) * (middle * (1 - middle)).sum(axis=-1) * step
    good = (contrast > LEAST_CONTRAST) & (np.abs(offsets) < reach * 0.8)
    return np.where(good, offsets, np.nan), np.where(good, blur, np.nan)


def _light(grey: Grey, spots: Floats) -> Floats | None:
    """Linear light at some spots, by bilinear interpolation; None where they leave the picture."""
    low, high = (
        np.floor(spots.min(axis=(0, 1, 2))).astype(int),
        np.ceil(spots.max(axis=(0, 1, 2))).astype(int),
    )
    rows, columns = grey.shape
    if low.min() < 0 or high[0] >= columns or high[1] >= rows:
        return None
    part = cv2.LUT(np.ascontiguousarray(grey[low[1] : high[1] + 1, low[0] : high[0] + 1]), LINEAR)
    flat = (spots - low).astype(np.float32).reshape(-1, spots.shape[2], 2)
    read = cv2.remap(part, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return read.reshape(spots.shape[:-1]).astype(np.float64)


def _corners(edges: Floats, good: NDArray[np.bool_]) -> Points | None:
    """Corners where neighbouring edges meet; None where a side has too few profiles."""
    lines = []
    for side in range(4):
        points = edges[side][good[side]]
        if len(points) < FEWEST:
            return None
        lines.append(_line(points))
    met = []
    for side in range(4):
        normals = np.array([lines[side - 1][0], lines[side][0]])
        if abs(np.linalg.det(normals)) < 0.1:  # noqa: PLR2004 - nearly parallel neighbours are no square
            return None
        met.append(np.linalg.solve(normals, np.array([lines[side - 1][1], lines[side][1]])))
    return np.array(met)


def _line(points: Floats) -> tuple[Floats, float]:
    """Normal and offset of a line through points, those far from the rest left out."""
    for _ in range(2):
        normal, offset = _least_squares(points)
        off = np.abs(points @ normal - offset)
        near = off < 3 * (np.median(off) * 1.4826 + 0.03)
        if near.sum() < FEWEST:
            break
        points = points[near]
    return _least_squares(points)


def _least_squares(points: Floats) -> tuple[Floats, float]:
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    # direction of largest spread, in closed form
    angle = 0.5 * np.arctan2(2 * (x * y).sum(), (x * x - y * y).sum())
    normal = np.array([-np.sin(angle), np.cos(angle)])
    return normal, float(normal @ middle)
