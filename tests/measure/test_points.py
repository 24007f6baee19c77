"""Two clicked points in place of the slider."""

import numpy as np
import pytest

from evidence.measure import points
from evidence.measure._base import Priors, Unmeasurable
from evidence.measure.hook import Setup
from tests.measure.flat import FOCAL_35MM, Eye, Laid, above, seen

BARE = Laid(slider=False)
GAP = Priors().gap_mean


def clicked(eye: Eye, u: float = 120.0, turn: float = 0.0) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where a line from v = 64 to 126 is seen, its far end ``turn`` mm further in."""
    first, second = eye.pixels(np.array([(u, 64.0), (u + turn, 126.0)]))
    return (float(first[0]), float(first[1])), (float(second[0]), float(second[1]))


def refused(spots: tuple[tuple[float, float], tuple[float, float]]) -> Unmeasurable:
    with pytest.raises(Unmeasurable) as error:
        points.see(seen(above(8.0), BARE), FOCAL_35MM, spots)
    return error.value


@pytest.mark.parametrize("tilt", [0.0, 12.0])
def test_exact_points_give_the_distance(tilt: float) -> None:
    eye = above(tilt)
    view = points.see(seen(eye, BARE), FOCAL_35MM, clicked(eye, 117.4))
    found = points.position(view, Setup(offset=2.0))
    assert found.value - GAP == pytest.approx(119.4, abs=0.08)
    assert found.decides
    assert found.noticed[0].code == "points-clicked"
    assert {term.name for term in found.terms} >= {"clicked-points", "plane-height"}


def test_clicks_scatter_as_their_term_says() -> None:
    """A thousand pairs of points, each 1.5 pixels off by chance in either direction, on one fitted plane."""
    eye = above(10.0)
    grey = seen(eye, BARE)
    view = points.see(grey, FOCAL_35MM, clicked(eye))
    random = np.random.default_rng(2)
    inverse = np.linalg.inv(eye.matrix())
    off = np.array(clicked(eye)) + random.normal(0, Priors().click, (1000, 2, 2))
    flat = off @ inverse[:, :2].T + inverse[:, 2]
    scatter = (flat[..., 0] / flat[..., 2]).mean(axis=1).std()
    assert view.noise == pytest.approx(scatter, rel=0.1)


def test_the_uncertainty_is_larger_than_with_the_slider_and_grows_with_the_slant() -> None:
    found = []
    for tilt in (0.0, 30.0):
        eye = above(tilt)
        found.append(points.position(points.see(seen(eye, BARE), FOCAL_35MM, clicked(eye)), Setup()))
    assert 0.4 < found[0].expanded < found[1].expanded
    assert (found[0].decides, found[1].decides) == (True, False)
    assert "view-oblique" in [each.code for each in found[1].noticed]


def test_the_order_of_the_points_does_not_matter() -> None:
    eye = above(8.0)
    first, second = clicked(eye, turn=3.0)
    grey = seen(eye, BARE)
    one, other = (points.see(grey, FOCAL_35MM, pair) for pair in ((first, second), (second, first)))
    assert one.turn == pytest.approx(other.turn)
    assert one.apparent == pytest.approx(other.apparent)
    assert one.turn == pytest.approx(np.degrees(np.arctan2(3.0, 62.0)), abs=0.1)


def test_a_point_outside_the_picture_is_refused() -> None:
    error = refused(((10.0, 10.0), (1600.0, 20.0)))
    assert (error.code, error.parameters) == ("points-outside", {"width": "1600", "height": "1200"})


def test_a_point_far_from_the_card_is_refused() -> None:
    far = above(8.0).pixels(np.array([(120.0, 64.0), (120.0, 230.0)]))
    error = refused(((float(far[0, 0]), float(far[0, 1])), (float(far[1, 0]), float(far[1, 1]))))
    assert (error.code, error.parameters) == ("points-far", {"found": "170", "expected": "120"})


def test_points_close_together_are_refused() -> None:
    eye = above(8.0)
    near = eye.pixels(np.array([(120.0, 80.0), (120.0, 84.0)]))
    error = refused(((float(near[0, 0]), float(near[0, 1])), (float(near[1, 0]), float(near[1, 1]))))
    assert (error.code, error.parameters["found"]) == ("points-close", "4")


def test_a_line_across_is_refused() -> None:
    error = refused(clicked(above(8.0), turn=20.0))
    assert (error.code, error.parameters["found"]) == ("points-turned", "18")


def test_a_small_or_blurred_card_is_refused_with_points_too() -> None:
    far = above(0.0, distance=920.0)
    with pytest.raises(Unmeasurable) as small:
        points.see(seen(far, BARE), FOCAL_35MM, clicked(far))
    near = above(0.0, distance=300.0)
    with pytest.raises(Unmeasurable) as blurred:
        points.see(seen(near, BARE, blur=2.6), FOCAL_35MM, clicked(near))
    assert (small.value.code, blurred.value.code) == ("card-too-small", "photo-blurred")
