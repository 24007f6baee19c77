"""Hook position from card and slider: right within hundredths, uncertain where it should be, refused where it must."""

import math
from functools import partial

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from evidence.measure import hook
from evidence.measure._base import Priors, Unmeasurable
from evidence.measure.hook import Position, Setup, View
from tests.measure.flat import FOCAL_35MM, Laid, above, scene, seen
from tests.scene.scene import Look

GAPS = 2 * Priors().gap_mean  # added for gaps that the drawn scenes do not have


def view(tilt: float, laid: Laid, distance: float = 420.0) -> View:
    return hook.see(seen(above(tilt, distance), laid), FOCAL_35MM)


def measured(tilt: float, laid: Laid, setup: Setup | None = None) -> Position:
    return hook.position([view(tilt, laid)], setup or Setup())


def refused(grey: NDArray[np.uint8]) -> Unmeasurable:
    with pytest.raises(Unmeasurable) as error:
        hook.see(grey, FOCAL_35MM)
    return error.value


@pytest.mark.parametrize(("tilt", "distance"), [(0.0, 120.3), (10.0, 96.4), (25.0, 131.7)])
def test_a_rendered_scene_gives_its_distance(tilt: float, distance: float) -> None:
    """Judged by the scene's own truth: floor, sill, dirt, uneven light, lens blur and noise are in it."""
    found = hook.position([hook.see(scene(tilt, distance), FOCAL_35MM)], Setup())
    assert found.value - GAPS == pytest.approx(distance, abs=0.06)
    assert found.views[0].oblique == pytest.approx(math.degrees(math.atan(found.views[0].tangent)), abs=1e-6)
    assert found.views[0].tags == 12


@pytest.mark.parametrize("tilt", [-35.0, 0.0, 20.0, 40.0])
def test_a_drawn_card_gives_its_distance_and_the_camera(tilt: float) -> None:
    eye = above(tilt)
    found = measured(tilt, Laid(distance=118.2))
    assert found.value - GAPS == pytest.approx(118.2, abs=0.08)
    assert found.views[0].camera == pytest.approx(eye.place, abs=6.0)
    expected = math.degrees(math.atan((118.2 - eye.place[0]) / eye.place[2]))
    assert math.degrees(math.atan(found.views[0].tangent)) == pytest.approx(expected, abs=0.8)


def test_the_front_and_datum_are_drawn_where_they_are() -> None:
    eye = above(15.0)
    found = view(15.0, Laid())
    front = eye.pixels(np.array([(120.0, 62.0), (120.0, 96.0)]))
    datum = eye.pixels(np.array([(0.0, 62.0), (0.0, 96.0)]))
    assert found.front == pytest.approx(front, abs=0.3)
    assert found.datum == pytest.approx(datum, abs=0.5)


def test_a_stated_height_is_corrected() -> None:
    """By similar triangles: the middle of a tag h higher is seen further from the camera's foot by h times the tangent."""
    eye = above(30.0)
    laid = Laid(distance=120.0, lift=6.0)
    found = measured(30.0, laid, Setup(height=6.0, height_uncertainty=0.5))
    shift = (103.0 - eye.place[0]) * 6.0 / (eye.place[2] - 6.0)
    assert shift > 3.0
    assert found.views[0].apparent == pytest.approx(120.0 + shift, abs=0.15)
    assert found.value - GAPS == pytest.approx(120.0, abs=0.2)


def test_a_height_that_nobody_stated_is_refused() -> None:
    with pytest.raises(Unmeasurable) as error:
        measured(30.0, Laid(lift=6.0))
    assert error.value.code == "slider-off-plane"
    assert float(error.value.parameters["found"]) == pytest.approx(6.0, abs=1.5)
    assert error.value.parameters["expected"] == "0.0"


def test_a_stated_height_that_the_slider_does_not_have_is_refused() -> None:
    with pytest.raises(Unmeasurable) as error:
        measured(5.0, Laid(), Setup(height=6.0, height_uncertainty=0.5))
    assert error.value.code == "slider-off-plane"


def test_slanting_views_are_less_certain_and_do_not_decide_alone() -> None:
    steep, slanting, oblique = (measured(tilt, Laid()) for tilt in (0.0, 12.0, 32.0))
    assert steep.expanded < slanting.expanded < oblique.expanded
    assert steep.plane_margin < slanting.plane_margin < oblique.plane_margin
    assert (steep.decides, slanting.decides, oblique.decides) == (True, True, False)
    assert [[each.code for each in one.noticed] for one in (steep, slanting, oblique)] == [
        [],
        ["view-slanting"],
        ["view-oblique"],
    ]


def test_two_views_from_apart_tell_distance_and_height() -> None:
    """A lift within what the size of one slider hides: one slanting view is off by it, two are not."""
    laid = Laid(distance=120.0, lift=1.0)
    alone = measured(40.0, laid)
    both = hook.position([view(-5.0, laid), view(40.0, laid)], Setup())
    assert alone.value - GAPS > 120.35
    assert not alone.decides
    assert both.value - GAPS == pytest.approx(120.0, abs=0.12)
    assert both.height == pytest.approx(1.0, abs=0.25)
    assert both.decides
    assert both.plane_margin == 0.0
    assert both.noticed == ()


def test_views_of_different_set_ups_are_refused() -> None:
    with pytest.raises(Unmeasurable) as error:
        hook.position([view(0.0, Laid(distance=120.0)), view(8.0, Laid(distance=122.0))], Setup())
    assert error.value.code == "views-disagree"
    assert float(error.value.parameters["found"]) == pytest.approx(2.0, abs=0.2)


def test_the_uncertainty_is_made_of_named_terms() -> None:
    found = measured(5.0, Laid())
    assert {term.name for term in found.terms} == {
        "picture",
        "plane-height",
        "focal-length",
        "print-scale",
        "cut",
        "gap",
        "yaw",
    }
    squares = sum(term.standard**2 for term in found.terms)
    # from memory of JCGM 100: the normal distribution's factor for 95 %
    assert found.expanded == pytest.approx(1.96 * math.sqrt(squares))
    assert [term.standard for term in found.terms] == sorted(
        (term.standard for term in found.terms), reverse=True
    )
    rougher = hook.position(found.views, Setup(priors=Priors(cut=0.5)))
    assert rougher.expanded > 1.96 * 0.7


def test_the_noise_of_one_view_foretells_its_scatter() -> None:
    """Twelve drawings with other noise scatter by less than the picture's term, which has the lens in it too."""
    grey = seen(above(10.0), Laid()).astype(np.float64)
    found = []
    for seed in range(12):
        more = np.random.default_rng(seed).normal(0, 1.5, grey.shape)
        found.append(hook.see(np.clip(np.round(grey + more), 0, 255).astype(np.uint8), FOCAL_35MM))
    assert np.std([each.apparent for each in found]) < found[0].noise < 0.1


def test_the_profile_adds_its_offset() -> None:
    found = view(3.0, Laid())
    plain, moved = (hook.position([found], Setup(offset=offset)).value for offset in (0.0, -7.5))
    assert plain - moved == pytest.approx(7.5)


def test_a_file_without_focal_length_is_told_and_less_certain() -> None:
    grey = seen(above(12.0), Laid(lift=4.0))
    setup = Setup(height=4.0, height_uncertainty=0.5)
    known, unknown = (hook.position([hook.see(grey, focal)], setup) for focal in (FOCAL_35MM, None))
    assert "focal-not-stated" in [each.code for each in unknown.noticed]
    assert unknown.expanded > known.expanded


def test_no_view_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="no view"):
        hook.position([], Setup())


def test_a_picture_without_card_is_refused() -> None:
    error = refused(np.full((1200, 1600), 128, dtype=np.uint8))
    assert (error.code, error.parameters) == ("card-not-seen", {"found": "0", "expected": "4"})


@pytest.mark.parametrize("distance", [420.0, 600.0, 760.0])
def test_every_tag_is_found_from_near_and_far(distance: float) -> None:
    assert len(view(0.0, Laid(), distance=distance).corners) == 13


def test_a_mirrored_picture_is_refused() -> None:
    assert refused(np.ascontiguousarray(seen(above(3.0), Laid())[:, ::-1])).code == "card-not-seen"


def test_two_cards_in_one_picture_are_refused() -> None:
    grey = seen(above(0.0, distance=700.0), Laid())
    found = refused(np.vstack([grey[200:], grey[200:]]))
    assert (found.code, found.parameters["found"]) == ("card-twice", "12")


def test_two_sliders_in_one_picture_are_refused() -> None:
    """Nobody can tell which one touches the hook."""
    grey = seen(above(0.0, distance=700.0), Laid())
    bare = seen(above(0.0, distance=700.0), Laid(slider=False))
    strip = np.abs(grey.astype(int) - bare.astype(int)).max(axis=1) > 40
    first, last = np.flatnonzero(strip)[[0, -1]]
    assert refused(np.vstack([grey, grey[first - 10 : last + 10]])).code == "slider-twice"


def test_a_slider_far_from_the_card_is_refused() -> None:
    """It may be another one that lies about; and the plane is known at the card only."""
    grey = seen(above(0.0, distance=760.0), Laid(distance=345.0))
    found = refused(grey)
    assert found.code == "slider-far"
    assert float(found.parameters["found"]) == pytest.approx(345 - 5 - 180, abs=5)


def test_a_card_in_the_dark_is_called_faint_and_not_missing() -> None:
    dark = np.clip(seen(above(3.0), Laid()).astype(float) * 0.2, 0, 255).astype(np.uint8)
    assert (refused(dark).code, refused(dark).parameters["found"]) == ("card-faint", "0")


def test_a_slider_in_the_dark_is_called_faint_and_not_missing() -> None:
    grey, bare = (seen(above(3.0), Laid(slider=there)) for there in (True, False))
    there = np.abs(grey.astype(int) - bare.astype(int)) > 12
    first, last = np.flatnonzero(there.max(axis=1))[[0, -1]]
    grey[first - 20 : last + 20] = grey[first - 20 : last + 20] * 0.2
    assert refused(grey).code == "slider-faint"


def test_a_larger_copy_of_a_photo_is_no_worse() -> None:
    """Twice the pixels are twice the blur in pixels, and the same in mm: phones write 48 from 12 million pixels."""
    small = seen(above(3.0, distance=200.0), Laid(), blur=1.1)
    large = cv2.resize(small, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    views = [hook.see(np.asarray(grey, dtype=np.uint8), FOCAL_35MM) for grey in (small, large)]
    assert views[1].blur > 2.05
    assert views[1].apparent == pytest.approx(views[0].apparent, abs=0.02)
    assert [hook.wanting(view) for view in views] == [[], []]


def test_a_missing_slider_is_refused() -> None:
    assert refused(seen(above(3.0), Laid(slider=False))).code == "slider-not-seen"


def test_a_turned_slider_is_refused() -> None:
    error = refused(seen(above(3.0), Laid(yaw=4.0)))
    assert error.code == "slider-turned"
    assert float(error.parameters["found"]) == pytest.approx(4.0, abs=0.1)


def test_a_slider_out_of_square_is_refused() -> None:
    stretched = np.array([[1.06, 0, 0], [0, 0.96, 0], [0, 0, 1.0]])
    assert refused(seen(above(3.0), Laid(slider_bent=stretched))).code == "slider-not-flat"


def test_a_small_card_is_refused() -> None:
    error = refused(seen(above(0.0, distance=920.0), Laid()))
    assert error.code == "card-too-small"
    assert float(error.parameters["found"]) < 1.4


def test_a_blurred_photo_is_refused_and_a_soft_one_told() -> None:
    assert refused(seen(above(3.0, distance=300.0), Laid(), blur=2.6)).code == "photo-blurred"
    soft = hook.see(seen(above(3.0), Laid(), blur=1.7), FOCAL_35MM)
    assert [each.code for each in hook.wanting(soft)] == ["photo-soft"]


def test_a_rendered_blur_is_refused_too() -> None:
    assert refused(scene(10.0, 120.0, partial(Look, blur_px=3.0))).code == "photo-blurred"
