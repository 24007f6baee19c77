"""Blur and clipping of a photo without any mark: known blur is found again, and every machine gives the same."""

import io
import math
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter

from evidence.exhibits import photo
from evidence.exhibits.clearness import (
    FEWEST,
    REACH,
    SHRUNK,
    WARN_BLACK,
    WARN_BLUR,
    WARN_WHITE,
    Clearness,
    clearness,
    edge_width,
)
from tests.exhibits.files import exif, gradient, jpeg, png

SIZE = (1280, 960)
CAMERA = {0x0110: "Acme Pocket 3"}


def boxes(size: tuple[int, int] = SIZE, *, dark: int = 70, bright: int = 190, finer: int = 4) -> Image.Image:
    """Slightly turned grey squares all over, each pixel the mean of those of a finer drawing, as a sensor sees it."""
    large = Image.new("L", (size[0] * finer, size[1] * finer), dark)
    draw = ImageDraw.Draw(large)
    side, turn = 60 * finer, math.radians(4)
    for left in range(side // 2, large.width, 2 * side):
        for top in range(side // 2, large.height, 2 * side):
            corners = [(0, 0), (side, 0), (side, side), (0, side)]
            draw.polygon(
                [
                    (
                        left + x * math.cos(turn) - y * math.sin(turn),
                        top + x * math.sin(turn) + y * math.cos(turn),
                    )
                    for x, y in corners
                ],
                fill=bright,
            )
    return large.reduce(finer)


def seen(picture: Image.Image) -> Clearness:
    return clearness(picture, picture.reduce(SHRUNK))


def edge(deviation: float, low: int = 60, high: int = 180) -> bytes:
    """A Gaussian edge in light, which is the square of the code; computed independently with the error function."""
    light = [
        low**2 + (high**2 - low**2) * (1 + math.erf((at - REACH - 0.3) / (deviation * math.sqrt(2)))) / 2
        for at in range(2 * REACH + 1)
    ]
    return bytes(round(math.sqrt(each)) for each in light)


@pytest.mark.parametrize("deviation", [1.0, 1.2, 1.5, 2.0, 3.0, 5.0])
def test_the_width_of_a_gaussian_edge_is_its_standard_deviation(deviation: float) -> None:
    for profile in (edge(deviation), edge(deviation)[::-1]):
        width = edge_width(profile)

        assert width is not None
        assert abs(width / 100 - deviation) < 0.06 + 0.03 * deviation


def test_a_step_from_one_pixel_to_the_next_by_hand() -> None:
    """By hand: from a tenth to nine tenths of one pixel is 0.8, and 0.8 / 2.563 is 0.31."""
    assert edge_width(bytes([60] * REACH + [180] * (REACH + 1))) == 31


@pytest.mark.parametrize(
    "profile",
    [
        bytes([90] * (2 * REACH + 1)),
        bytes([90] * REACH + [137] * (REACH + 1)),  # one short of the least change
        bytes(90 + 2 * (at % 3) for at in range(2 * REACH + 1)),
    ],
)
def test_a_weak_edge_says_nothing(profile: bytes) -> None:
    assert edge_width(profile) is None


@pytest.mark.parametrize(
    ("radius", "low", "high"), [(0, 25, 75), (1.2, 105, 155), (2, 175, 235), (4, 350, 470)]
)
def test_a_known_blur_is_found_again(radius: float, low: int, high: int) -> None:
    """Computed independently with Pillow, whose radius is the standard deviation, near enough."""
    blur = seen(boxes().filter(ImageFilter.GaussianBlur(radius))).blur

    assert blur is not None
    assert low <= blur <= high


def test_saving_noise_and_turning_change_little() -> None:
    sharp = boxes()
    noisy = Image.blend(sharp, Image.effect_noise(SIZE, 60), 0.06)
    saved = Image.open(io.BytesIO(jpeg(sharp, quality=80)))

    for each in (noisy, saved.convert("L"), sharp.transpose(Image.Transpose.ROTATE_90)):
        assert 25 <= (seen(each).blur or 0) <= 85


def test_a_hand_that_moved_sideways_shows() -> None:
    """Edges along the movement stay sharp, so the softer of the two directions counts."""
    moved = boxes().filter(ImageFilter.BoxBlur((5, 0)))

    assert (seen(moved).blur or 0) > WARN_BLUR
    assert (seen(moved.transpose(Image.Transpose.ROTATE_90)).blur or 0) > WARN_BLUR


@pytest.mark.parametrize("size", [(1, 1), (7, 3), (30, 2000), (96, 96), (1280, 960)])
def test_a_plain_picture_of_any_size_says_nothing_of_blur(size: tuple[int, int]) -> None:
    assert seen(Image.new("L", size, 120)) == Clearness(None, 0, 0)


def test_few_edges_say_nothing() -> None:
    picture = Image.new("L", SIZE, 70)
    ImageDraw.Draw(picture).rectangle((600, 300, 700, 330), fill=190)

    assert FEWEST > 2
    assert seen(picture).blur is None


@pytest.mark.parametrize(
    ("share", "code", "field"), [(25, 255, "white"), (50, 0, "black"), (10, 254, "none")]
)
def test_shares_of_white_and_black_are_counted(share: int, code: int, field: str) -> None:
    picture = Image.new("L", (400, 400), 120)
    picture.paste(code, (0, 0, 400, 4 * share))
    found = seen(picture)

    assert (found.white, found.black) == (
        share * 100 if field == "white" else 0,
        share * 100 if field == "black" else 0,
    )


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (Clearness(WARN_BLUR, WARN_WHITE, WARN_BLACK), []),
        (Clearness(WARN_BLUR + 1, 0, 0), ["photo-unsharp"]),
        (Clearness(None, WARN_WHITE + 1, 0), ["photo-clipped"]),
        (Clearness(40, 0, WARN_BLACK + 1), ["photo-clipped"]),
    ],
)
def test_beyond_the_limits_a_person_should_look(found: Clearness, expected: list[str]) -> None:
    assert found.warnings() == expected


def test_numbers_are_written_with_two_decimals() -> None:
    assert Clearness(105, 7, 10_000).fields() == {"blur": "1.05", "white": "0.07", "black": "100.00"}
    assert Clearness(None, 0, 0).fields() == {"white": "0.00", "black": "0.00"}


def described(data: bytes) -> tuple[dict[str, Any], list[str]]:
    value: Any = photo.answer(data, "E001.jpg").value
    return value["photo"], value["warnings"]


@pytest.mark.parametrize("write", [jpeg, png])
def test_a_blurred_washed_out_photo_is_told_by_its_reader(write: Any) -> None:
    picture = boxes().filter(ImageFilter.GaussianBlur(3))
    picture.paste(255, (0, 0, 1280, 240))
    fields, warnings = described(write(picture, exif=exif(CAMERA)))

    assert float(fields["blur"]) > 2.5
    assert 24 <= float(fields["white"]) <= 25
    assert warnings == ["photo-clipped", "photo-unsharp"]


def test_the_reader_reads_full_size_whichever_way_the_camera_was_held() -> None:
    """An eighth of the size would hide the blur."""
    blurred = boxes().filter(ImageFilter.GaussianBlur(2))
    one, other = (described(jpeg(blurred, exif=exif(CAMERA | {0x0112: turn})))[0] for turn in (1, 6))

    assert one["blur"] == other["blur"]
    assert 1.7 < float(one["blur"]) < 2.4
    assert (one["width"], other["width"]) == SIZE


def test_small_plain_pictures_have_no_blur() -> None:
    fields, warnings = described(jpeg(gradient()))

    assert "blur" not in fields
    assert warnings == []
