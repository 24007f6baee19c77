"""Reading a lock window: what it shows, why nothing can be told, and never the locked colour where it is not."""

from dataclasses import replace

import numpy as np
import pytest

from evidence.gauge import artwork
from evidence.measure import colour, window
from evidence.measure._base import Noticed, Unmeasurable
from evidence.measure.window import Declared, Fractions, Neutral, Reading
from tests.bench import windows as bench
from tests.measure import flat, windows
from tests.measure.windows import PAIRS, Photo, Scene, photo, plain

UNLOCKED = 60


def read(scene: Scene) -> Reading:
    return read_photo(photo(scene))


def read_photo(taken: Photo) -> Reading:
    return window.read(taken.pixels, taken.frame, taken.neutrals, taken.manual)


def code(reading: Reading) -> str:
    assert reading.state == "undecided"
    assert reading.why is not None
    return reading.why.code


def fractions(reading: Reading) -> Fractions:
    assert reading.fractions is not None
    return reading.fractions


@pytest.mark.parametrize("manual", PAIRS)
def test_either_colour(manual: Declared) -> None:
    locked, opened = read(plain(manual, 1.0)), read(plain(manual, 0.0))

    assert (locked.state, opened.state) == ("locked", "open")
    assert locked.why is opened.why is None
    assert fractions(locked).locked > 0.97
    assert fractions(opened).open > 0.97
    assert sum(vars(fractions(locked)).values()) == pytest.approx(1)
    assert window.conclude(locked, opened) == locked


@pytest.mark.parametrize("shift", [0.05, 0.5, 0.9, 0.96])
def test_half_way(shift: float) -> None:
    """A strip of a twenty-fifth of the open colour is enough to tell nothing."""
    reading = read(plain(shift=shift))

    assert code(reading) == "window-between"
    assert fractions(reading).locked == pytest.approx(shift, abs=0.03)


@pytest.mark.parametrize("cast", [(1.0, 0.75, 0.5), (0.6, 0.8, 1.0), (0.9, 1.0, 0.85)])
@pytest.mark.parametrize("shift", [0.0, 1.0])
def test_cast_and_dim_light_are_balanced(cast: tuple[float, float, float], shift: float) -> None:
    scene = replace(plain(PAIRS[1], shift), lamp=np.array(cast), lit=0.35)

    reading = read(scene)

    assert reading.state == ("locked" if shift else "open")
    assert reading.gains is not None
    assert np.array(reading.gains) * cast == pytest.approx(reading.gains[0] * cast[0], rel=0.05)


@pytest.mark.parametrize("shade", [0.5, 1.3])
def test_another_share_of_light_at_the_window(shade: float) -> None:
    assert read(replace(plain(), near_lamp=np.full(3, shade))).state == "locked"


@pytest.mark.parametrize("material", windows.MATERIALS)
@pytest.mark.parametrize("manual", PAIRS)
def test_other_things_behind_the_frame(material: str, manual: Declared) -> None:
    reading = read(replace(plain(manual, 0.0), other=colour.declared(material)))

    assert reading.state != "locked"


def test_the_frame_may_be_given_from_any_corner() -> None:
    taken = photo(plain())

    for turn in range(4):
        assert read_photo(replace(taken, frame=np.roll(taken.frame, turn, axis=0))).state == "locked"
    assert read_photo(replace(taken, frame=taken.frame[::-1])).state == "locked"


def test_a_large_window_is_read_as_well() -> None:
    """Three times the pixels, every one of them, and a frame that fills more than is read at full size."""
    taken = photo(plain())
    times = 9
    large = np.repeat(np.repeat(taken.pixels, times, axis=0), times, axis=1)
    patch = Neutral((taken.neutrals[0].corners + 0.5) * times - 0.5, windows.PATCH)

    reading = window.read(large, (taken.frame + 0.5) * times - 0.5, (patch,), taken.manual)

    assert reading.state == "locked"
    assert fractions(reading).locked == pytest.approx(fractions(read_photo(taken)).locked, abs=0.02)


# -- why nothing can be told


@pytest.mark.parametrize(
    ("locked", "opened", "expected"),
    [
        ("#1f8a3c", "#6a9a2c", "colours-too-close"),
        ("#b01020", "#d05028", "colours-too-close"),
        ("#d8d8d6", "#b02020", "colour-without-hue"),
    ],
)
def test_colours_that_a_photo_cannot_tell(locked: str, opened: str, expected: str) -> None:
    reading = read(plain(Declared(locked, opened)))

    assert code(reading) == expected
    assert reading.fractions is None


def test_light_and_dark_of_one_colour_are_too_close() -> None:
    """Farther apart than 35 in the same light, but one in shade looks like the other."""
    light, dark = Declared("#7cc8f0", "#0a3c64").locked, "#0a3c64"
    apart = colour.ciede2000(colour.lab(colour.declared(light)), colour.lab(colour.declared(dark)))

    assert apart > window.LEAST_APART
    assert code(read(plain(Declared(light, dark)))) == "colours-too-close"


def test_no_neutral_patch() -> None:
    taken = photo(plain())

    assert code(read_photo(replace(taken, neutrals=()))) == "neutral-missing"
    outside = Neutral(windows.PATCH_CORNERS + 400)
    assert code(read_photo(replace(taken, neutrals=(outside,)))) == "neutral-missing"


def test_patch_of_a_few_pixels() -> None:
    tiny = Neutral(np.array([[40.0, 260.0], [43.0, 260.0], [43.0, 263.0], [40.0, 263.0]]))

    assert code(read_photo(replace(photo(plain()), neutrals=(tiny,)))) == "neutral-too-small"


def test_patch_too_bright_too_dark_or_no_patch() -> None:
    assert code(read(replace(plain(), lit=2.5))) == "neutral-clipped"
    assert code(read(replace(plain(), lit=0.03))) == "neutral-dark"
    uneven = Neutral(windows.PATCH_CORNERS + np.array([30.0, 0.0]))
    assert code(read_photo(replace(photo(plain()), neutrals=(uneven,)))) == "neutral-uneven"


def test_a_second_patch_stands_in_for_one_that_is_too_bright() -> None:
    taken = photo(plain())
    bright = taken.pixels.copy()
    bright[10:40, 10:60] = 255
    white = Neutral(np.array([[12.0, 12.0], [56.0, 12.0], [56.0, 36.0], [12.0, 36.0]]), 0.85)

    reading = read_photo(replace(taken, pixels=bright, neutrals=(white, *taken.neutrals)))

    assert reading.state == "locked"


def test_light_that_lacks_a_colour() -> None:
    assert code(read(replace(plain(), lamp=np.array([1.0, 0.7, 0.2])))) == "light-coloured"


def test_two_patches_in_different_light() -> None:
    taken = photo(plain())
    tinted = taken.pixels.copy()
    tinted[10:40, 10:60] = (200, 150, 110)
    second = Neutral(np.array([[12.0, 12.0], [56.0, 12.0], [56.0, 36.0], [12.0, 36.0]]), 0.2)

    assert (
        code(read_photo(replace(taken, pixels=tinted, neutrals=(*taken.neutrals, second)))) == "light-mixed"
    )


def test_window_too_small_or_at_the_edge() -> None:
    small = plain().corners.mean(axis=0) + (plain().corners - plain().corners.mean(axis=0)) * 0.3
    assert code(read(replace(plain(), corners=small, framed=small))) == "window-too-small"
    aside = np.array([[0.0, 0.0], [415.0, 0.0], [415.0, 240.0], [0.0, 240.0]])
    assert code(read(replace(plain(), corners=aside, framed=aside))) == "window-at-edge"


@pytest.mark.parametrize(
    "framed",
    [
        [[150.0, 90.0], [290.0, 94.0], [154.0, 172.0], [284.0, 176.0]],
        [[350.0, 90.0], [490.0, 94.0], [484.0, 176.0], [354.0, 172.0]],
        [[-20.0, 90.0], [140.0, 94.0], [140.0, 176.0], [-20.0, 172.0]],
        [[150.0, 40.0], [190.0, 40.0], [380.0, 240.0], [20.0, 240.0]],
    ],
)
def test_corners_that_are_no_frame(framed: list[list[float]]) -> None:
    assert code(read(replace(plain(), framed=np.array(framed)))) == "window-frame-wrong"


def test_window_too_dark() -> None:
    dark = replace(plain(), near_lamp=np.full(3, 0.006))

    assert code(read(dark)) == "window-dark"


def test_window_too_bright() -> None:
    assert code(read(replace(plain(PAIRS[1], 0.0), near_lamp=np.full(3, 1.8)))) == "window-clipped"


def test_gloss() -> None:
    assert code(read(replace(plain(PAIRS[1]), gloss=(0.9, 0.5), lit=0.65))) == "window-gloss"


def test_neither_colour() -> None:
    assert code(read(replace(plain(), other=np.full(3, 0.2)))) == "window-unclear"


@pytest.mark.parametrize("manual", PAIRS)
def test_something_of_the_locked_colour_over_all(manual: Declared) -> None:
    """A glove or cloth over the window and what surrounds it."""
    scene = replace(plain(manual, 0.0), cover=colour.declared(manual.locked))

    assert code(read(scene)) == "window-surroundings-coloured"


@pytest.mark.parametrize("housing", [0.02, 0.15, 0.5])
@pytest.mark.parametrize("behind", ["#f1efe9", "#c9cacb", "#8b8e90"])
def test_lamp_of_the_locked_colour(housing: float, behind: str) -> None:
    """White or grey under a coloured lamp that the patch does not see, on a dark housing as on a light one."""
    lamp = colour.declared(PAIRS[1].locked)
    scene = replace(
        plain(PAIRS[1], 0.0),
        other=colour.declared(behind),
        housing=np.full(3, housing),
        near_lamp=lamp / lamp.max() * 1.2,
    )

    assert read(scene).state != "locked"


def test_frame_around_the_locked_part_only() -> None:
    scene = windows.partly_framed(plain(PAIRS[1], 0.6))

    assert code(read(scene)) == "window-surroundings-coloured"


# -- the photo of the open state


def test_locked_wants_its_open_photo() -> None:
    locked = read(plain())

    assert code(window.conclude(locked, None)) == "window-open-photo-missing"
    assert code(window.conclude(locked, locked)) == "window-open-photo-unclear"
    assert window.conclude(locked, None).fractions == locked.fractions


def test_what_is_not_locked_stays_as_it_is() -> None:
    opened, between = read(plain(shift=0.0)), read(plain(shift=0.5))

    assert window.conclude(opened, None) == opened
    assert window.conclude(between, opened) == between


def test_same_window_from_elsewhere_in_other_light() -> None:
    other = np.array([[160.0, 100.0], [270.0, 92.0], [272.0, 160.0], [158.0, 166.0]])
    scene = replace(plain(shift=0.0), corners=other, framed=other, lamp=np.array([1.0, 0.8, 0.6]), lit=0.5)

    assert window.difference(read(plain()), read(scene)) is None


def test_same_window_with_the_phone_held_otherwise() -> None:
    taken = photo(plain(shift=0.0))
    columns = taken.pixels.shape[1]
    turned = np.stack([taken.frame[:, 1], columns - 1 - taken.frame[:, 0]], axis=1)
    patch = taken.neutrals[0].corners
    neutral = Neutral(np.stack([patch[:, 1], columns - 1 - patch[:, 0]], axis=1), windows.PATCH)
    upper_left = np.roll(turned, -1, axis=0)

    reading = window.read(np.ascontiguousarray(np.rot90(taken.pixels)), upper_left, (neutral,), taken.manual)

    assert reading.state == "open"
    assert window.conclude(read(plain()), reading).state == "locked"


def test_window_of_another_shape() -> None:
    square = np.array([[170.0, 80.0], [262.0, 80.0], [262.0, 172.0], [170.0, 172.0]])
    wide = np.array([[130.0, 100.0], [310.0, 100.0], [310.0, 160.0], [130.0, 160.0]])
    opened = read(replace(plain(shift=0.0), corners=square, framed=square))
    locked = read(replace(plain(), corners=wide, framed=wide))

    assert code(window.conclude(locked, opened)) == "window-shape-differs"


def test_window_in_another_housing() -> None:
    opened = read(replace(plain(shift=0.0), housing=np.array([0.5, 0.36, 0.05])))

    assert code(window.conclude(read(plain(PAIRS[0])), opened)) == "window-surroundings-differ"


def test_a_reading_without_surroundings_shows_no_sameness() -> None:
    refused = read_photo(replace(photo(plain()), neutrals=()))

    assert window.difference(read(plain()), refused) == Noticed("window-surroundings-differ")


# -- corners and patches from elsewhere


def test_corners_from_per_mille() -> None:
    """The picture's own corners are 0 and 1000; the centre of its first pixel is (0, 0)."""
    corners = window.frame_corners([0, 0, 1000, 0, 1000, 1000, 0, 1000], (400, 200))

    assert corners.tolist() == [[-0.5, -0.5], [399.5, -0.5], [399.5, 199.5], [-0.5, 199.5]]


@pytest.mark.parametrize(
    "wrong",
    [
        [0, 0, 1000, 0, 1000, 1000],
        [0, 0, 1001, 0, 1000, 1000, 0, 1000],
        [0, 0, float("nan"), 0, 1000, 1000, 0, 1000],
        [0, 0, 1000, 1000, 1000, 0, 0, 1000],
        [500, 500, 500, 500, 500, 500, 500, 500],
    ],
)
def test_corners_that_cannot_be(wrong: list[float]) -> None:
    with pytest.raises(Unmeasurable) as caught:
        window.frame_corners(wrong, (400, 200))
    assert caught.value.code == "window-frame-wrong"


def test_patches_of_the_gauge_strip() -> None:
    """Found where the camera that drew the picture has them; grey code 119 is 0.184 of the paper's light."""
    eye = flat.above(8.0)

    grey, white = window.card_neutrals(flat.seen(eye, flat.Laid()))

    for patch, (left, top, right, bottom) in zip((grey, white), artwork.PATCHES, strict=True):
        places = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
        assert patch.corners == pytest.approx(eye.pixels(places), abs=0.5)
    assert white.reflectance == window.PAPER
    assert grey.reflectance == pytest.approx(window.PAPER * 0.184, abs=0.001)


def test_no_gauge_strip() -> None:
    with pytest.raises(Unmeasurable) as caught:
        window.card_neutrals(np.full((600, 800), 128, dtype=np.uint8))
    assert caught.value.code == "card-not-seen"


# -- never a false "locked"


def test_no_unlocked_window_shows_the_locked_colour() -> None:
    """In simulated light; the benchmark draws a thousand."""
    generator = np.random.Generator(np.random.PCG64(20260305))

    states = [
        read(windows.unlocked(generator, PAIRS[number % len(PAIRS)])).state for number in range(UNLOCKED)
    ]

    assert states.count("locked") == 0
    assert states.count("open") > UNLOCKED / 10


@pytest.mark.parametrize("seed", [28, 67, 127])
@pytest.mark.parametrize("state", ["open", "between", "other"])
def test_no_unlocked_window_of_the_study_shows_the_locked_colour(seed: int, state: str) -> None:
    """Another simulator, with a third colour under a blue lamp (28), under an amber one (127), and a taped window (67)."""
    assert bench.study(seed, state).state != "locked"


@pytest.mark.parametrize("seed", [2, 28])
def test_locked_windows_of_the_study_are_read(seed: int) -> None:
    assert bench.study(seed, "locked").state == "locked"


@pytest.mark.parametrize(
    ("draws", "lower"), [(10, 0.741134), (29, 0.901855), (59, 0.950492), (299, 0.990031)]
)
def test_bound_of_the_benchmark(draws: int, lower: float) -> None:
    """All of n at 95 %, in closed form: 0.05 to the power of 1 / n."""
    assert 1 - bench.upper_bound(0, draws) == pytest.approx(lower, abs=5e-7)
    assert bench.upper_bound(1, draws) > bench.upper_bound(0, draws)


def test_locked_windows_are_read_in_careless_photos() -> None:
    """So that the test above cannot pass by reading nothing; a third of these photos is spoiled on purpose."""
    generator = np.random.Generator(np.random.PCG64(20260306))

    states = [
        read(windows.drawn(generator, PAIRS[number % len(PAIRS)], 1.0)).state
        for number in range(UNLOCKED // 2)
    ]

    assert states.count("locked") > UNLOCKED / 2 * 0.25
    assert states.count("open") == 0
