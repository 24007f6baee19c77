"""The card's plane: from pixels to millimetres, and where the camera stood."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure import plane
from evidence.measure._base import Unmeasurable
from tests.measure.flat import Eye, above

Floats = NDArray[np.float64]
GRID = np.array([(u, v) for u in (0.0, 60.0, 120.0, 180.0) for v in (-20.0, 30.0, 100.0)])


def corners(eye: Eye, noise: float = 0.0, bend: float = 0.0) -> dict[int, Floats]:
    """Corners of every tag as a pinhole camera sees them, the lens bent by ``bend`` at the picture's corner."""
    random = np.random.default_rng(3)
    found = {}
    for tag in geometry.tag_ids():
        seen = bent(eye, eye.pixels(np.array(geometry.square(geometry.tag_corner(tag)))), bend)
        found[tag] = seen + random.normal(0, noise, (4, 2)) if noise else seen
    return found


def bent(eye: Eye, pixels: Floats, bend: float) -> Floats:
    centre, half = (np.array(eye.size) - 1) / 2, np.hypot(*eye.size) / 2
    away = (pixels - centre) / half
    moved = away
    for _ in range(20):  # the inverse of what the fit takes off
        moved = away / (1 + bend * (moved**2).sum(axis=1, keepdims=True))
    return np.asarray(moved * half + centre)


@pytest.mark.parametrize("tilt", [0.0, 12.0, 45.0])
def test_exact_corners_give_the_camera_and_every_place(tilt: float) -> None:
    eye = above(tilt)
    card = plane.fit(corners(eye), eye.size)
    assert card.camera(eye.focal) == pytest.approx(eye.place, abs=0.05)
    assert card.millimetres(eye.pixels(GRID)) == pytest.approx(GRID, abs=1e-3)
    assert card.residual < 1e-3
    assert card.tags == 12


def test_the_camera_is_where_the_vision_library_finds_it() -> None:
    """Computed independently with cv2.solvePnP."""
    eye = Eye((20.0, 190.0, 510.0))
    found = corners(eye, noise=0.05)
    places = np.array([(*place, 0.0) for tag in found for place in geometry.square(geometry.tag_corner(tag))])
    lens = np.array(
        [
            [eye.focal, 0, (eye.size[0] - 1) / 2],
            [0, eye.focal, (eye.size[1] - 1) / 2],
            [0, 0, 1],
        ]
    )
    _, turn, shift = cv2.solvePnP(places, np.concatenate(list(found.values())), lens, np.zeros(4))
    stood = (-cv2.Rodrigues(turn)[0].T @ shift).ravel()
    camera = plane.fit(found, eye.size).camera(eye.focal)
    assert camera == pytest.approx([stood[0], stood[1], -stood[2]], abs=1.5)


def test_a_bent_lens_is_taken_off() -> None:
    """Without the radial term a bend of one in a hundred would move a place by some tenths of a millimetre."""
    eye = above(15.0)
    card = plane.fit(corners(eye, bend=0.01), eye.size)
    inside = GRID[(GRID[:, 1] >= 0) & (GRID[:, 1] <= 100)]
    assert card.millimetres(bent(eye, eye.pixels(inside), 0.01)) == pytest.approx(inside, abs=0.05)


def test_pixels_are_the_inverse_of_millimetres() -> None:
    eye = above(20.0)
    card = plane.fit(corners(eye, noise=0.1, bend=0.01), eye.size)
    assert card.millimetres(card.pixels(GRID)) == pytest.approx(GRID, abs=1e-6)


def test_its_covariance_foretells_the_scatter() -> None:
    """Two hundred noisy cards scatter about as the covariance of one says."""
    eye = above(10.0)
    random = np.random.default_rng(11)
    exact = corners(eye)
    spot = eye.pixels(np.array([[120.0, 79.0]]))
    found = []
    for _ in range(200):
        noisy = {tag: each + random.normal(0, 0.1, (4, 2)) for tag, each in exact.items()}
        found.append(plane.fit(noisy, eye.size).millimetres(spot)[0, 0])
    card = plane.fit({tag: each + random.normal(0, 0.1, (4, 2)) for tag, each in exact.items()}, eye.size)
    slopes = np.array([_slope(card, spot, index) for index in range(9)])
    foretold = np.sqrt(slopes @ card.covariance @ slopes)
    assert np.std(found) == pytest.approx(foretold, rel=0.4)


def _slope(card: plane.Plane, spot: Floats, index: int) -> float:
    moved = card.solution.copy()
    moved[index] += 1e-6
    return float((card.millimetres(spot, moved) - card.millimetres(spot))[0, 0] / 1e-6)


def test_three_tags_are_too_few() -> None:
    eye = above(5.0)
    few = {tag: each for tag, each in corners(eye).items() if tag < 3}
    few[geometry.SLIDER_TAG] = eye.pixels(np.array(geometry.square((91.0, 67.0))))
    with pytest.raises(Unmeasurable) as refused:
        plane.fit(few, eye.size)
    assert (refused.value.code, refused.value.parameters) == (
        "card-not-seen",
        {"found": "3", "expected": "4"},
    )


def test_a_warped_card_is_refused() -> None:
    eye = above(5.0)
    lifted = {tag: each + np.array([0.0, 6.0 * np.sin(tag)]) for tag, each in corners(eye).items()}
    with pytest.raises(Unmeasurable) as refused:
        plane.fit(lifted, eye.size)
    assert refused.value.code == "card-not-flat"
    assert float(refused.value.parameters["residual"]) > 1.0


def test_focal_length_goes_by_the_diagonal() -> None:
    """From memory of CIPA DC-008, FocalLengthIn35mmFilm; full frame is 36 x 24 mm."""
    assert plane.focal_pixels(43.2666, (4000, 3000)) == pytest.approx(5000.0, abs=0.1)
