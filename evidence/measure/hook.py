"""Hook position: from the sill datum to the hook, along u, from photos of the gauge card and its slider.

The slider's tag is laid upon the card's plane as a rigid square; its front edge is where the hook is. What stands
above the plane is seen displaced towards the side away from the camera, by its height times the tangent of the
obliqueness along u; the camera's place is known from the card itself, so a stated contact height is corrected, and
an unstated one shows in the size of the slider's tag. Two views from different places tell distance and height apart.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure import edges, plane, tags
from evidence.measure._base import Noticed, Priors, Term, refuse
from evidence.measure._checks import (
    MOST_AWAY,
    away,
    blur_limits,
    median_sharpness,
    require_contrast,
    require_one_card,
    require_sharp,
    require_slider,
)
from evidence.measure._checks import sharpness as sharpness_of
from evidence.measure.plane import Plane
from evidence.measure.tags import Grey, Points
from evidence.uncertainty import NORMAL_FACTOR

METHOD = "gauge-card-plane/1"
WARN_OBLIQUE, MOST_OBLIQUE = 10.0, 20.0  # degrees along u
MOST_SCALE = 0.005  # relative difference of the slider's scale from what its stated height explains
MOST_SIGMAS = 3.5  # of a height that the scale shows beside the one that is stated
MOST_TURN = 3.0  # degrees of the slider against the card
MOST_SQUARE = 0.5  # mm, root mean square of the slider's corners from a rigid square, were it in the plane
LEAST_SHARP = 1.4  # pixels per mm on the card; below it a tag's module is four pixels, and edges run together
USUAL_FOCAL = 26.0  # mm, the 35 mm equivalent of most phones' main camera; common practice, no source
_SQUARE = np.array(geometry.square((geometry.QUIET, geometry.QUIET)))
_LEVER = geometry.SLIDER / 2  # mm from the tag's middle, which height displaces, to the front edge
_FRONT = np.array([[geometry.SLIDER, 0.0], [geometry.SLIDER, geometry.SLIDER]])


@dataclass(frozen=True)
class Zero:
    """A zero check of the card: cutting and printing errors together, as they show at a known length.

    Attributes:
        error: mm by which the card read more than the length.
        standard: standard uncertainty of it, mm.
        known: mm, the length.
    """

    error: float
    standard: float
    known: float


@dataclass(frozen=True)
class Setup:
    """What a photo cannot know.

    Attributes:
        height: mm, where the hook is touched above the card's plane.
        height_uncertainty: its standard uncertainty, mm; None takes the prior.
        offset: mm, from the touched face to the functional one.
        zero: what the card's last zero check showed; None where there is none.
        priors: standard uncertainties from elsewhere.
    """

    height: float = 0.0
    height_uncertainty: float | None = None
    offset: float = 0.0
    zero: Zero | None = None
    priors: Priors = field(default_factory=Priors)


@dataclass(frozen=True)
class View:
    """One photo of the card and its slider.

    Attributes:
        apparent: mm, u of the front edge's middle as it lies on the card's plane.
        noise: mm, standard uncertainty of it from the picture alone.
        turn: degrees of the slider against the card.
        scale: of the slider's tag against the card's.
        camera: u, v and height of the camera, mm.
        focal_known: whether the file states a focal length.
        residual: pixels, of the card's corners.
        blur: pixels, standard deviation.
        sharpness: pixels per mm at the slider.
        tags: how many of the card's tags carried the plane.
        corners: tag id to its corners, pixels.
        front, datum: the slider's front edge, and u = 0 opposite it, two pixels each.
    """

    apparent: float
    noise: float
    turn: float
    scale: float
    camera: tuple[float, float, float]
    focal_known: bool
    residual: float
    blur: float
    sharpness: float
    tags: int
    corners: dict[int, Points]
    front: Points
    datum: Points

    @property
    def tangent(self) -> float:
        """Of the obliqueness along u, at the front edge."""
        return (self.apparent - self.camera[0]) / self.camera[2]

    @property
    def oblique(self) -> float:
        """Obliqueness along u in degrees, not negative."""
        return abs(math.degrees(math.atan(self.tangent)))

    def height(self) -> float:
        """Mm by which the slider's tag lies above the card's plane, by its size."""
        return self.camera[2] * (1 - 1 / self.scale)

    def height_noise(self) -> float:
        """Standard uncertainty of that height, mm: a square of four corners shows its size to this."""
        return self.camera[2] * self.noise * 2 / (math.sqrt(2) * geometry.TAG)


@dataclass(frozen=True)
class Position:
    """A measured hook position.

    Attributes:
        value: mm, with the profile's offset.
        expanded: mm, expanded uncertainty for 95 %.
        terms: its contributions, largest first.
        plane_margin: mm by which the value could be wrong if the slider were as far off the card's plane as its size
            just allows; a verdict wants the value inside its limits by this much too.
        height: mm, contact height as used.
        decides: whether the view was steep enough, or a second view agreed.
        noticed: what to know about it.
        views: what was seen.
    """

    value: float
    expanded: float
    terms: tuple[Term, ...]
    plane_margin: float
    height: float
    decides: bool
    noticed: tuple[Noticed, ...]
    views: tuple[View, ...]


def see(grey: Grey, focal_35mm: float | None, priors: Priors | None = None) -> View:
    """Look at one photo.

    Args:
        grey: (rows, columns) 8-bit grey, upright.
        focal_35mm: focal length as 35 mm equivalent as the file states it, or None.
        priors: as of the setup.

    Raises:
        Unmeasurable: card-not-seen, card-twice, card-not-flat, card-too-small, slider-not-seen, slider-twice,
            slider-far, slider-not-flat, slider-turned, card-faint, slider-faint, photo-blurred.
    """
    size = (grey.shape[1], grey.shape[0])
    shown = tags.every(grey)
    fitted = edges.fit(grey, tags.once(shown))
    require_sharp(fitted, complete=geometry.SLIDER_TAG in fitted.tags)
    require_one_card(shown)
    require_contrast(shown, fitted)
    card = plane.fit(fitted.tags, size)
    require_slider(shown, fitted)
    corners = fitted.tags[geometry.SLIDER_TAG]
    sharpness = sharpness_of(corners)
    if sharpness < LEAST_SHARP:
        refuse("card-too-small", found=f"{sharpness:.1f}", expected=f"{LEAST_SHARP:.1f}")
    laid = card.millimetres(corners)
    if (found := away(laid)) > MOST_AWAY:
        refuse("slider-far", found=f"{found:.0f}", expected=f"{MOST_AWAY:.0f}")
    turn, scale, off = _laid(laid, plane.grow(_SQUARE, card.growth))
    if off > MOST_SQUARE:
        refuse("slider-not-flat", found=f"{off:.1f}")
    if abs(math.degrees(turn)) > MOST_TURN:
        refuse("slider-turned", found=f"{abs(math.degrees(turn)):.1f}", expected=f"{MOST_TURN:.0f}")
    front = _front(laid, turn)
    focal = plane.focal_pixels(focal_35mm or USUAL_FOCAL, size)
    camera = card.camera(focal)
    chosen = priors or Priors()
    return View(
        apparent=float(front[:, 0].mean()),
        noise=_noise(card, corners, turn, sharpness, chosen),
        turn=math.degrees(turn),
        scale=scale,
        camera=(float(camera[0]), float(camera[1]), float(camera[2])),
        focal_known=focal_35mm is not None,
        residual=card.residual,
        blur=fitted.blur,
        sharpness=sharpness,
        tags=card.tags,
        corners=fitted.tags,
        front=card.pixels(front),
        datum=card.pixels(front * np.array([0.0, 1.0])),
    )


def position(views: Sequence[View], setup: Setup) -> Position:
    """The hook position from one view, or from several of the same set-up.

    Raises:
        Unmeasurable: slider-off-plane, views-disagree.
        ValueError: no view.
    """
    if not views:
        raise ValueError("no view")
    priors = setup.priors
    spread = setup.height_uncertainty if setup.height_uncertainty is not None else priors.height
    prior = math.hypot(spread, priors.lift)
    for view in views:
        _require_in_plane(view, setup.height, prior)
    place, height, covariance = _solved(views, setup.height, prior)
    _require_agreement(views, (place, height), covariance, setup.height)
    terms = _terms(views, place, height, covariance, setup)
    gaps = 2 * priors.gap_mean
    error = setup.zero.error if setup.zero is not None else 0.0
    expanded = NORMAL_FACTOR * math.sqrt(sum(term.standard**2 for term in terms))
    return Position(
        value=place + gaps - error + setup.offset,
        expanded=expanded,
        terms=tuple(sorted(terms, key=lambda term: -term.standard)),
        plane_margin=_plane_margin(views, setup.height),
        height=height,
        decides=nearest(views).oblique <= MOST_OBLIQUE or _tells_height(views),
        noticed=(*slanting(views), *(each for view in views for each in wanting(view))),
        views=tuple(views),
    )


def _laid(laid: Points, square: Points) -> tuple[float, float, float]:
    """Turn (radians), scale and misfit (mm) of a square on the plane against the slider's own."""
    model, seen = square - square.mean(axis=0), laid - laid.mean(axis=0)
    spread = float((model**2).sum())
    across = float((seen * model).sum()) / spread
    aside = float((seen[:, 1] * model[:, 0] - seen[:, 0] * model[:, 1]).sum()) / spread
    turn, scale = math.atan2(aside, across), math.hypot(across, aside)
    misfit = seen - scale * model @ _turned(turn).T
    return turn, scale, math.sqrt(float((misfit**2).mean()))


def _turned(angle: float) -> NDArray[np.float64]:
    turned: NDArray[np.float64] = np.array(
        [[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]]
    )
    return turned


def _front(laid: Points, turn: float) -> Points:
    """Both ends of the slider's front edge on the card's plane, its true size kept."""
    ends: Points = (_FRONT - _SQUARE.mean(axis=0)) @ _turned(turn).T + laid.mean(axis=0)
    return ends


def _noise(card: Plane, corners: Points, turn: float, sharpness: float, priors: Priors) -> float:
    """Standard uncertainty of the front edge's u from the picture alone: the plane's, and the slider's own corners'."""

    def edge(solution: NDArray[np.float64]) -> float:
        laid = card.millimetres(corners, solution)
        return float(_front(laid, turn)[:, 0].mean())

    slopes = np.empty(len(card.solution))
    at = edge(card.solution)
    for index in range(len(slopes)):
        moved = card.solution.copy()
        moved[index] += 1e-6
        slopes[index] = (edge(moved) - at) / 1e-6
    # the corners' scatter carries over four corners, and through the slider's turn to its edge
    own = card.residual / sharpness / 2
    return math.sqrt(float(slopes @ card.covariance @ slopes) + own**2 + priors.corner**2)


def _require_in_plane(view: View, height: float, prior: float) -> None:
    expected = view.camera[2] / (view.camera[2] - height)
    off = abs(view.scale / expected - 1)
    found = view.height()
    if off > MOST_SCALE or abs(found - height) > MOST_SIGMAS * math.hypot(view.height_noise(), prior):
        refuse("slider-off-plane", found=f"{found:.1f}", expected=f"{height:.1f}")


def _solved(views: Sequence[View], height: float, prior: float) -> tuple[float, float, NDArray[np.float64]]:
    """Front edge and height that fit every view best, with their covariance."""
    place, above = views[0].apparent, height
    information = np.eye(2)
    for _ in range(6):
        rows, gaps = [[0.0, 1 / prior]], [(height - above) / prior]
        for view in views:
            larger = view.camera[2] / (view.camera[2] - above)
            middle = place - _LEVER - view.camera[0]
            rows.append([larger / view.noise, middle * larger / (view.camera[2] - above) / view.noise])
            gaps.append((view.apparent - _seen(view, place, above)) / view.noise)
            rows.append([0.0, 1 / view.height_noise()])
            gaps.append((view.height() - above) / view.height_noise())
        slopes, off = np.array(rows), np.array(gaps)
        information = slopes.T @ slopes
        step = np.linalg.solve(information, slopes.T @ off)
        place, above = place + float(step[0]), above + float(step[1])
    return place, above, np.linalg.inv(information).astype(np.float64)


def _require_agreement(
    views: Sequence[View], solved: tuple[float, float], covariance: NDArray[np.float64], stated: float
) -> None:
    place, height = solved
    for view in views if len(views) > 1 else ():
        spread = math.sqrt(view.noise**2 + float(covariance[0, 0]))
        if abs(view.apparent - _seen(view, place, height)) > MOST_SIGMAS * spread:
            alone = [_laid_down(each, stated) for each in views]
            refuse("views-disagree", found=f"{max(alone) - min(alone):.2f}")


def _seen(view: View, place: float, height: float) -> float:
    """U at which a view shows a front edge: height moves the tag's middle away from the camera's foot, not its size."""
    foot, _, camera = view.camera
    return foot + (place - _LEVER - foot) * camera / (camera - height) + _LEVER


def _laid_down(view: View, height: float) -> float:
    """Where a view alone has the front edge, at a height; the inverse of ``_seen``."""
    foot, _, camera = view.camera
    return foot + (view.apparent - _LEVER - foot) * (camera - height) / camera + _LEVER


def _terms(
    views: Sequence[View], place: float, height: float, covariance: NDArray[np.float64], setup: Setup
) -> list[Term]:
    priors = setup.priors
    fixed = math.sqrt(1 / sum(1 / view.noise**2 for view in views))
    total = math.sqrt(float(covariance[0, 0]))
    steepest = nearest(views)
    focal = priors.focal if steepest.focal_known else priors.focal_unknown
    lever = geometry.STRIP[1] / 2
    if setup.zero is None:
        card = [
            Term("print-scale", place * priors.print_scale, "B"),
            Term("cut", math.hypot(priors.cut, priors.cut), "B"),
        ]
    else:  # the check saw both at its own length; only what lies between the two lengths is left
        card = [
            Term("zero-check", setup.zero.standard, "B"),
            Term("print-scale", abs(place - setup.zero.known) * priors.print_scale, "B"),
        ]
    return [
        *card,
        Term("picture", fixed, "A"),
        Term("plane-height", math.sqrt(max(total**2 - fixed**2, 0.0)), "B"),
        Term("focal-length", abs(height * steepest.tangent) * focal, "B"),
        Term("gap", math.hypot(priors.gap, priors.gap), "B"),
        Term("yaw", lever * math.radians(priors.yaw) * math.sqrt(2), "B"),
    ]


def _plane_margin(views: Sequence[View], height: float) -> float:
    """How far the edge could be displaced by a height that its size would still hide."""

    def hidden(view: View) -> float:
        return (abs(view.height() - height) + 2 * view.height_noise()) * abs(view.tangent)

    return 0.0 if _tells_height(views) else min(hidden(view) for view in views)


def _tells_height(views: Sequence[View]) -> bool:
    """Whether the views stand far enough apart along u to tell distance and height apart."""
    tangents = [view.tangent for view in views]
    return max(tangents) - min(tangents) > 0.5  # noqa: PLR2004 - as 10 and 35 degrees do


def nearest(views: Sequence[View]) -> View:
    """The view from closest to straight above along u, which matters most."""
    return min(views, key=lambda view: view.oblique)


def slanting(views: Sequence[View]) -> list[Noticed]:
    """Whether even the nearest view is a slanting one, and no other makes up for it."""
    steep = nearest(views).oblique
    if steep <= WARN_OBLIQUE or _tells_height(views):
        return []
    code, limit = ("view-oblique", MOST_OBLIQUE) if steep > MOST_OBLIQUE else ("view-slanting", WARN_OBLIQUE)
    return [Noticed(code, {"found": f"{steep:.1f}", "limit": f"{limit:.0f}"})]


def wanting(view: View) -> list[Noticed]:
    """What one view leaves to be wished, its slant apart."""
    found = []
    limit, _ = blur_limits(median_sharpness(view.corners))
    if view.blur > limit:
        found.append(Noticed("photo-soft", {"found": f"{view.blur:.1f}", "limit": f"{limit:.1f}"}))
    if not view.focal_known:
        found.append(Noticed("focal-not-stated", {"assumed": f"{USUAL_FOCAL:.0f}"}))
    return found
