"""Photos of screens, scans and lost light: told on made-up positives, and silent on every demonstration photo."""

import io
from dataclasses import replace
from functools import lru_cache

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from evidence.measure import hook, screen
from evidence.measure._base import Picture
from evidence.measure.hook import View
from evidence.measure.reading import read
from tests.conftest import DEMO
from tests.measure.flat import FOCAL_35MM, Laid, above, seen

Grey = NDArray[np.uint8]
PHOTOS = sorted(
    path for folder in ("job", "job-with-faults") for path in (DEMO / folder / "photos").glob("*.jpg")
)
PLAIN = Picture(np.zeros((1200, 1600), np.uint8), FOCAL_35MM, None, camera=True, cropped=False)


@lru_cache
def card(tilt: float = 8.0) -> tuple[Grey, View]:
    grey = seen(above(tilt), Laid())
    return grey, hook.see(grey, FOCAL_35MM)


def on_screen(grey: Grey, period: float, depth: float, angle: float = 4.0, drift: float = 0.0) -> Grey:
    """The picture as a screen shows it to a camera: dark lines between its pixels, in linear light, then JPEG."""
    down, across = np.mgrid[: grey.shape[0], : grey.shape[1]].astype(np.float32)
    cosine, sine = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    stretch = 1 + drift * across / grey.shape[1]
    lines = [
        np.mod((across * cosine + down * sine) / period * stretch, 1) < 1 / 3,
        np.mod((down * cosine - across * sine) / period, 1) < 1 / 3,
    ]
    light = (grey / 255.0) ** 2.2 * (1 - depth * (lines[0] | lines[1]))
    soft = cv2.GaussianBlur(light.astype(np.float32), (0, 0), 0.8)
    noise = np.random.default_rng(1).normal(0, 1.2, soft.shape)
    return coded(np.clip(255 * soft ** (1 / 2.2) + noise, 0, 255).astype(np.uint8))


def coded(grey: Grey, quality: int = 85) -> Grey:
    out = io.BytesIO()
    Image.fromarray(grey).save(out, "JPEG", quality=quality)
    return np.asarray(Image.open(out), dtype=np.uint8)


def codes(picture: Picture, view: View) -> list[str]:
    return [each.code for each in screen.noticed(picture, view)]


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: f"{path.parts[-3]}-{path.stem}")
def test_no_demonstration_photo_looks_like_a_screen(path: str) -> None:
    """Chequer plate, labels, printed codes and the card's own tags repeat too."""
    with open(path, "rb") as source:  # noqa: PTH123 - a parameter shown by its name
        assert screen.screen_peak(read(source.read(), "photo").grey) < screen.PEAK * 0.75


@pytest.mark.parametrize("period", [2.5, 3.3, 4.7, 6.1, 9.3])
@pytest.mark.parametrize("depth", [0.2, 0.5])
def test_a_grid_all_over_the_picture_is_told(period: float, depth: float) -> None:
    assert screen.screen_peak(on_screen(card()[0], period, depth)) > screen.PEAK


def test_a_screen_held_askew_is_told() -> None:
    """The grid then grows finer across the picture by some percent."""
    assert screen.screen_peak(on_screen(card()[0], 5.2, 0.4, drift=0.05)) > screen.PEAK


def test_a_grid_in_a_part_of_the_picture_is_not() -> None:
    """A perforated plate or a woven mat beside the card."""
    grey = card()[0].copy()
    grey[:500] = on_screen(grey, 4.7, 0.5)[:500]
    assert screen.screen_peak(grey) < screen.PEAK


@pytest.mark.parametrize("quality", [30, 60, 95])
def test_the_blocks_of_jpeg_are_no_screen(quality: int) -> None:
    assert screen.screen_peak(coded(card()[0], quality)) < screen.PEAK


@pytest.mark.parametrize("shape", [(1200, 1600), (200, 4000)])
def test_where_nothing_is_to_be_seen_nothing_is_told(shape: tuple[int, int]) -> None:
    assert screen.screen_peak(np.full(shape, 90, dtype=np.uint8)) == 0.0


def test_a_grid_is_noticed_by_code() -> None:
    _, view = card()
    assert codes(replace(PLAIN, grey=on_screen(card()[0], 4.7, 0.5)), view) == ["photo-of-screen"]
    assert codes(replace(PLAIN, grey=card()[0]), view) == []


def test_lost_light_on_the_card_is_told() -> None:
    grey, view = card()
    glare = grey.copy()
    spot = view.corners[4].mean(axis=0).astype(int)
    cv2.circle(glare, (int(spot[0]), int(spot[1])), 130, 255, -1)
    share, _ = screen.exposure(glare, view)
    assert share > screen.exposure(grey, view)[0]
    found = [each for each in screen.noticed(replace(PLAIN, grey=glare), view) if each.code == "card-clipped"]
    assert [each.parameters["found"] for each in found] == [f"{100 * share:.0f}"]


def test_light_lost_beside_the_card_is_not() -> None:
    grey, view = card()
    window = grey.copy()
    window[:150] = 255
    assert codes(replace(PLAIN, grey=window), view) == []


def test_a_dark_card_is_told() -> None:
    grey = seen(above(8.0), Laid(), light=0.04)
    assert "card-dark" in codes(replace(PLAIN, grey=grey), card()[1])


def scan(light: float = 0.9, size: tuple[int, int] = (1600, 1200)) -> tuple[Picture, View]:
    """What a scanning program leaves: no camera, no perspective."""
    grey = seen(above(0.0, size=size), Laid(), light=light)
    picture = Picture(grey, None, None, camera=False, cropped=False)
    return picture, hook.see(grey, None)


def test_a_program_that_scans_is_told_by_its_name() -> None:
    grey, view = card()
    assert codes(replace(PLAIN, grey=grey, software="Pocket Scan 4"), view) == ["photo-scan-mode"]
    assert codes(replace(PLAIN, grey=grey, software="Phone 17.2"), view) == []


@pytest.mark.parametrize(("light", "size"), [(1.6, (1600, 1200)), (0.9, (1697, 1200)), (0.9, (1600, 1450))])
def test_a_straightened_and_whitened_picture_is_told(light: float, size: tuple[int, int]) -> None:
    assert "photo-scan-mode" in codes(*scan(light, size))


def test_a_stripped_photo_from_exactly_above_is_not() -> None:
    assert codes(*scan()) == []


def test_a_stripped_photo_with_perspective_is_not() -> None:
    grey, view = card()
    odd = grey[:, : int(1200 * 297 / 210 - 300)]
    assert "photo-scan-mode" not in codes(replace(PLAIN, grey=odd, camera=False), view)


def test_a_cropped_photo_is_told() -> None:
    grey, view = card()
    assert codes(replace(PLAIN, grey=grey, cropped=True), view) == ["photo-cropped"]
