"""Hook position without the slider: two points that a person set on the hook's base line, in the card's plane.

The line is taken where the hook leaves the floor or block; a point on the hook's upper edge stands above the plane and
would be centimetres off. The plane comes from the card's own tags, as ever.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure import edges, plane, tags
from evidence.measure._base import Noticed, Priors, Term, refuse
from evidence.measure._checks import MOST_AWAY, away, require_contrast, require_one_card, require_sharp
from evidence.measure.hook import (
    LEAST_SHARP,
    MOST_OBLIQUE,
    USUAL_FOCAL,
    Position,
    Setup,
    View,
    slanting,
    wanting,
)
from evidence.measure.plane import Plane
from evidence.measure.tags import Grey, Points
from evidence.uncertainty import NORMAL_FACTOR

METHOD = "gauge-card-points/1"
LEAST_APART = 10.0  # mm along the line; closer points say nothing of its direction
MOST_TURN = 10.0  # degrees of the line against the card; more is another edge, or the hook's flank


def see(
    grey: Grey, focal_35mm: float | None, clicked: Sequence[tuple[float, float]], priors: Priors | None = None
) -> View:
    """Look at one photo in which two points were set.

    Args:
        grey: (rows, columns) 8-bit grey, upright.
        focal_35mm: focal length as 35 mm equivalent, or None.
        clicked: two points of the upright picture, pixels, the centre of the first pixel at (0, 0).
        priors: as of the setup.

    Raises:
        Unmeasurable: card-not-seen, card-twice, card-faint, card-not-flat, card-too-small, photo-blurred, points-outside, points-far,
            points-close, points-turned.
    """
    size = (grey.shape[1], grey.shape[0])
    points = np.array(clicked, dtype=np.float64)
    if points.min() < 0 or (points >= np.array(size)).any():
        refuse("points-outside", width=str(size[0]), height=str(size[1]))
    shown = tags.every(grey)
    fitted = edges.fit(grey, tags.once(shown))
    require_sharp(fitted, complete=len(fitted.tags) >= plane.FEWEST_TAGS)
    require_one_card(shown)
    require_contrast(shown, fitted)
    card = plane.fit(fitted.tags, size)
    laid = card.millimetres(points)
    if (found := away(laid)) > MOST_AWAY:
        refuse("points-far", found=f"{found:.0f}", expected=f"{MOST_AWAY:.0f}")
    turn = _turn(laid)
    sharpness = _sharpness(card, points)
    if sharpness < LEAST_SHARP:
        refuse("card-too-small", found=f"{sharpness:.1f}", expected=f"{LEAST_SHARP:.1f}")
    camera = card.camera(plane.focal_pixels(focal_35mm or USUAL_FOCAL, size))
    return View(
        apparent=float(laid[:, 0].mean()),
        noise=_noise(card, points, priors or Priors()),
        turn=turn,
        scale=1.0,
        camera=(float(camera[0]), float(camera[1]), float(camera[2])),
        focal_known=focal_35mm is not None,
        residual=card.residual,
        blur=fitted.blur,
        sharpness=sharpness,
        tags=card.tags,
        corners={tag: corners for tag, corners in fitted.tags.items() if tag != geometry.SLIDER_TAG},
        front=points,
        datum=card.pixels(laid * np.array([0.0, 1.0])),
    )


def position(view: View, setup: Setup) -> Position:
    """The hook position from two points; no gap and no slider, but a person's hand.

    The setup's height is that of the touched face and does not concern the base line, which lies in the plane.
    """
    priors = setup.priors
    terms = (
        Term("clicked-points", view.noise, "B"),
        Term("plane-height", priors.base * abs(view.tangent), "B"),
        Term("print-scale", view.apparent * priors.print_scale, "B"),
        Term("cut", priors.cut, "B"),
        Term("gap", priors.gap, "B"),
        Term("yaw", geometry.STRIP[1] / 2 * math.radians(priors.yaw), "B"),
    )
    return Position(
        value=view.apparent + priors.gap_mean + setup.offset,
        expanded=NORMAL_FACTOR * math.sqrt(sum(term.standard**2 for term in terms)),
        terms=tuple(sorted(terms, key=lambda term: -term.standard)),
        plane_margin=2 * priors.base * abs(view.tangent),
        height=0.0,
        decides=view.oblique <= MOST_OBLIQUE,
        noticed=(Noticed("points-clicked"), *slanting([view]), *wanting(view)),
        views=(view,),
    )


def _turn(laid: Points) -> float:
    """Degrees of the line against the card's v."""
    along = laid[1] - laid[0]
    if np.linalg.norm(along) < LEAST_APART:
        refuse("points-close", found=f"{np.linalg.norm(along):.0f}", expected=f"{LEAST_APART:.0f}")
    turn = math.degrees(math.atan2(along[0], along[1]))
    turn = (turn + 90) % 180 - 90  # whichever point was set first
    if abs(turn) > MOST_TURN:
        refuse("points-turned", found=f"{abs(turn):.0f}", expected=f"{MOST_TURN:.0f}")
    return turn


def _sharpness(card: Plane, points: Points) -> float:
    """Pixels per mm of u at the line."""
    return 1 / float(np.linalg.norm(_slopes(card, points), axis=1).max())


def _noise(card: Plane, points: Points, priors: Priors) -> float:
    """Standard uncertainty of the line's u: each point's by itself, and what the plane leaves open."""
    clicks = priors.click * np.linalg.norm(_slopes(card, points)) / len(points)
    return math.hypot(float(clicks), card.residual / _sharpness(card, points), priors.corner)


def _slopes(card: Plane, points: Points) -> NDArray[np.float64]:
    """Mm of u that a pixel makes at each point, (point, along x and y)."""
    steps = [np.array([1.0, 0.0]), np.array([0.0, 1.0])]
    moved = [card.millimetres(points + step) - card.millimetres(points - step) for step in steps]
    return np.stack([each[:, 0] / 2 for each in moved], axis=1)
