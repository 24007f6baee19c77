"""Likeness: copies of a photo stay near it, other photos far from it, and the bits are the same in every run."""

import io
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import pytest
from PIL import Image, ImageEnhance

from evidence.exhibits import photo
from evidence.exhibits.likeness import ALIKE, likeness, likeness_distance
from tests.exhibits.files import exif, jpeg, png

DEMO = Path(__file__).resolve().parents[2] / "demo_bundle"
PHOTOS = sorted(DEMO.glob("job*/photos/*.jpg"))
ORIENTATION = 0x0112


def bits(data: bytes) -> str:
    value = photo.answer(data, "E001.jpg").value
    assert isinstance(value, dict)
    described = value["photo"]
    assert isinstance(described, dict)
    return str(described["likeness"])


def saved(picture: Image.Image, quality: int = 90) -> bytes:
    out = io.BytesIO()
    picture.convert("RGB").save(out, "JPEG", quality=quality)
    return out.getvalue()


def cropped(picture: Image.Image, share: float) -> Image.Image:
    """The picture without a share of its width and height, cut off all around."""
    across, down = round(picture.width * share / 2), round(picture.height * share / 2)
    return picture.crop((across, down, picture.width - across, picture.height - down))


def scaled(picture: Image.Image, side: int) -> Image.Image:
    small = picture.copy()
    small.thumbnail((side, side))
    return small


def test_a_hand_worked_picture() -> None:
    """Computed by hand: greys that fall from left to right make every bit 1, greys that rise every bit 0."""
    falling = Image.frombytes("L", (17, 16), bytes(range(170, 0, -10)) * 16)
    rising = Image.frombytes("L", (17, 16), bytes(range(0, 170, 10)) * 16)
    one_step = Image.frombytes("L", (17, 16), (bytes([9]) + bytes(16)) + bytes(17) * 15)

    assert likeness(falling) == "f" * 64
    assert likeness(rising) == "0" * 64
    assert likeness(one_step) == "8" + "0" * 63
    assert likeness_distance("f" * 64, "0" * 64) == 256
    assert likeness_distance(likeness(one_step), "0" * 64) == 1
    assert likeness_distance("a5" * 32, "a5" * 32) == 0


@pytest.mark.parametrize("way", ["turned", "as PNG"])
def test_a_photo_stored_otherwise_is_the_same(way: str) -> None:
    picture = Image.open(PHOTOS[0]).convert("RGB")
    if way == "turned":
        stored = jpeg(picture.transpose(Image.Transpose.ROTATE_90), exif=exif({ORIENTATION: 6}))
    else:
        stored = png(picture)

    assert likeness_distance(bits(PHOTOS[0].read_bytes()), bits(stored)) <= ALIKE / 2


COPIES: dict[str, Callable[[Image.Image], bytes]] = {
    "saved again": lambda picture: saved(picture, 60),
    "sent by messenger": lambda picture: saved(scaled(picture, 1280), 70),
    "a quarter of its size": lambda picture: saved(scaled(picture, 640), 85),
    "brighter": lambda picture: saved(ImageEnhance.Brightness(picture).enhance(1.2)),
    "darker": lambda picture: saved(ImageEnhance.Brightness(picture).enhance(0.8)),
    "cropped by 1 %": lambda picture: saved(cropped(picture, 0.01)),
}


@pytest.mark.parametrize("way", list(COPIES))
@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: f"{path.parts[-3]}-{path.stem}")
def test_copies_are_alike(path: Path, way: str) -> None:
    picture = Image.open(path)
    picture.draft("RGB", (2000, 2000))
    turned = picture.getexif().get(ORIENTATION, 1)
    copy = COPIES[way](picture.transpose(Image.Transpose.ROTATE_270) if turned == 6 else picture)

    assert likeness_distance(bits(path.read_bytes()), bits(copy)) <= ALIKE


@pytest.mark.parametrize("folder", ["job", "job-with-faults"])
def test_different_photos_of_one_job_are_not(folder: str) -> None:
    hashes = [(path.stem, bits(path.read_bytes())) for path in PHOTOS if path.parts[-3] == folder]
    near = [
        (one, other)
        for (one, first), (other, second) in combinations(hashes, 2)
        if likeness_distance(first, second) <= ALIKE
    ]

    assert len(hashes) > 7
    assert near == []


def test_the_bits_are_the_same_in_every_run() -> None:
    """JPEG decoding and box scaling use whole numbers, so versions of the picture library agree."""
    data = jpeg(Image.linear_gradient("L").resize((320, 240)).convert("RGB"), quality=95)

    assert bits(data) == bits(data) == bits(data + b"\0\0")
