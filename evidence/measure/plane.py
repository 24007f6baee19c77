"""The card's plane in a photo: from pixels to millimetres on the card, and where the camera stood.

A plane maps to a picture by a homography. A phone's lens bends straight lines a little even after its own correction,
so one radial term about the picture's centre is fitted with it, held near zero by a prior.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure._base import refuse
from evidence.measure.tags import Points, Tags

Floats = NDArray[np.float64]

FEWEST_TAGS = 4
FAR_OFF = 4.0  # pixels beyond which a corner counts as wrong when the first homography is sought
MOST_RESIDUAL = 1.0  # pixels, root mean square
BEND = 0.03  # standard deviation of the radial term at the picture's corner, relative
ROUNDS = 8
FULL_FRAME = math.hypot(36.0, 24.0)  # mm, the diagonal by which a focal length is called "35 mm equivalent"
_CARD = np.array([[1 / 90, 0, -1], [0, 1 / 90, -1 / 3], [0, 0, 1]])  # mm of the card to about -1 to 1


@dataclass(frozen=True)
class Plane:
    """How the card's plane lies in a picture.

    Attributes:
        solution: eight numbers of the homography (card and picture both brought to about -1 to 1) and the radial term.
        covariance: of the solution.
        residual: pixels, root mean square per coordinate with regard to the degrees of freedom.
        centre, half: centre of the picture and half its diagonal, pixels.
        tags: how many tags carried it.
        growth: relative, by which every tag looks larger than it is: blur, sharpening and ink move a black edge.
    """

    solution: Floats
    covariance: Floats
    residual: float
    centre: Floats
    half: float
    tags: int
    growth: float = 0.0

    def millimetres(self, pixels: Points, solution: Floats | None = None) -> Points:
        """(n, 2) pixels as (u, v) on the card, mm; with another solution to see how much it matters."""
        chosen = self.solution if solution is None else solution
        straight = _straight((pixels - self.centre) / self.half, chosen[8])
        return _apply(np.linalg.inv(_CARD) @ np.linalg.inv(_matrix(chosen)), straight)

    def pixels(self, millimetres: Points) -> Points:
        """(n, 2) places (u, v) on the card as pixels."""
        straight = _apply(_matrix(self.solution) @ _CARD, millimetres)
        bent = straight
        for _ in range(ROUNDS):
            bent = straight / (1 + self.solution[8] * (bent**2).sum(axis=-1, keepdims=True))
        return bent * self.half + self.centre

    def camera(self, focal: float) -> Floats:
        """Where the camera stood: u, v and height above the card's plane, mm.

        Args:
            focal: focal length in pixels.
        """
        ratio = self.half / focal
        matrix = np.diag([ratio, ratio, 1.0]) @ _matrix(self.solution) @ _CARD
        scale = 2 / (np.linalg.norm(matrix[:, 0]) + np.linalg.norm(matrix[:, 1]))
        middle = np.array([geometry.STRIP[0] / 2, geometry.STRIP[1] / 2, 1.0])
        scale = -scale if (matrix @ middle)[2] < 0 else scale
        first, second, offset = (matrix * scale).T
        left, _, right = np.linalg.svd(np.stack([first, second, np.cross(first, second)], axis=1))
        turn = left @ np.diag([1.0, 1.0, np.linalg.det(left @ right)]) @ right
        place = -turn.T @ offset
        # u to the right and v down make a plane whose third axis points away from the viewer
        return np.array([place[0], place[1], -place[2]])


def focal_pixels(focal_35mm: float, size: tuple[int, int]) -> float:
    """Focal length in pixels from its 35 mm equivalent, by the diagonal."""
    return focal_35mm / FULL_FRAME * math.hypot(*size)


def fit(tags: Tags, size: tuple[int, int]) -> Plane:
    """Fit the card's plane to the corners of its tags.

    Args:
        tags: corners in pixels; the slider's is passed over.
        size: columns and rows of the picture.

    Raises:
        Unmeasurable: card-not-seen, card-not-flat.
    """
    ids = [tag for tag in sorted(tags) if tag in geometry.tag_ids()]
    if len(ids) < FEWEST_TAGS:
        refuse("card-not-seen", found=str(len(ids)), expected=str(FEWEST_TAGS))
    squares = np.array([geometry.square(geometry.tag_corner(tag)) for tag in ids])
    seen = np.concatenate([tags[tag] for tag in ids])
    start, _ = cv2.findHomography(squares.reshape(-1, 2), seen, cv2.RANSAC, FAR_OFF)
    if start is None:
        refuse("card-not-flat", residual="")
    centre, half = np.array([(size[0] - 1) / 2, (size[1] - 1) / 2]), math.hypot(*size) / 2
    card = Plane(_normal(start, centre, half), np.eye(9), 0.0, centre, half, len(ids))
    for _ in range(2):
        grown = grow(squares, card.growth).reshape(-1, 2)
        solution, covariance, residual = _solve(grown, (seen - centre) / half, card.solution, half)
        card = Plane(solution, covariance, residual, centre, half, len(ids), card.growth)
        card = replace(card, growth=_growth(card, squares, seen))
    if not card.residual <= MOST_RESIDUAL:
        refuse("card-not-flat", residual=f"{card.residual:.1f}")
    return card


def grow(squares: Floats, growth: float) -> Floats:
    """Squares (..., 4, 2) enlarged about their middles."""
    middles = squares.mean(axis=-2, keepdims=True)
    larger: Floats = middles + (squares - middles) * (1 + growth)
    return larger


def _growth(card: Plane, squares: Floats, seen: Points) -> float:
    """Median over the tags of how much larger than printed they lie on the plane."""
    laid = card.millimetres(seen).reshape(-1, 4, 2)
    sides = np.linalg.norm(np.roll(laid, -1, axis=1) - laid, axis=2).mean(axis=1)
    printed = np.linalg.norm(np.roll(squares, -1, axis=1) - squares, axis=2).mean(axis=1)
    return float(np.median(sides / printed)) - 1


def _normal(matrix: NDArray[Any], centre: Floats, half: float) -> Floats:
    picture = np.array([[1 / half, 0, -centre[0] / half], [0, 1 / half, -centre[1] / half], [0, 0, 1]])
    normal = picture @ matrix @ np.linalg.inv(_CARD)
    return np.append((normal / normal[2, 2]).ravel()[:8], 0.0)


def _solve(places: Floats, seen: Floats, start: Floats, half: float) -> tuple[Floats, Floats, float]:
    """Gauss-Newton with Huber weights; residuals and the covariance's scale in pixels."""
    scaled = _apply(_CARD, places)

    def residuals(solution: Floats) -> Floats:
        off = _straight(seen, solution[8]) - _apply(_matrix(solution), scaled)
        return (off * half).ravel()

    solution = start
    information = np.eye(9)
    for _ in range(ROUNDS):
        off = residuals(solution)
        slopes = _slopes(residuals, solution, off)
        noise = max(float(np.median(np.abs(off))) * 1.4826, 0.02)
        far = np.linalg.norm(off.reshape(-1, 2), axis=1).repeat(2)
        weights = np.minimum(1.0, 2.5 * noise / np.maximum(far, 1e-9))
        information = slopes.T @ (weights[:, None] * slopes)
        pull = slopes.T @ (weights * off)
        information[8, 8] += (noise / BEND) ** 2
        pull[8] += (noise / BEND) ** 2 * solution[8]
        change = np.linalg.solve(information, pull)
        solution = solution - change
        if np.abs(change).max() < 1e-9:  # noqa: PLR2004 - of numbers near one
            break
    off = residuals(solution)
    residual = math.sqrt(float(off @ off) / (len(off) - len(solution)))
    return solution, (np.linalg.inv(information) * residual**2).astype(np.float64), residual


def _slopes(function: Callable[[Floats], Floats], at: Floats, value: Floats) -> Floats:
    step = 1e-6
    columns = []
    for index in range(len(at)):
        moved = at.copy()
        moved[index] += step
        columns.append((function(moved) - value) / step)
    return np.stack(columns, axis=1)


def _matrix(solution: Floats) -> Floats:
    return np.append(solution[:8], 1.0).reshape(3, 3)


def _straight(bent: Floats, term: float) -> Floats:
    straight: Floats = bent * (1 + term * (bent**2).sum(axis=-1, keepdims=True))
    return straight


def _apply(matrix: Floats, points: Floats) -> Floats:
    moved = points @ matrix[:, :2].T + matrix[:, 2]
    flat: Floats = moved[:, :2] / moved[:, 2:]
    return flat
