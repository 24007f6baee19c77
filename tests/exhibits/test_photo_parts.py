"""What else lies in a photo's file: further pictures, films and bytes of no kind; and what a bare photo looks like."""

import io
import struct
from typing import Any

import pytest
from PIL import Image

from evidence import picture
from evidence.exhibits import photo
from tests.exhibits.files import box, exif, film, gradient, jpeg, noise, png

WHERE = "photos/E001.jpg"
CAMERA = exif({0x010F: "Acme", 0x0110: "Acme Pocket 3"}, {0x9003: "2026:03:04 10:40:07"})


def parts(data: bytes) -> tuple[int, int, list[str]]:
    """Pictures, bytes of no kind, and warnings."""
    value: dict[str, Any] = photo.answer(data, WHERE).value
    return value["photo"]["pictures"], value["photo"]["trailing_bytes"], value["warnings"]


def several(*further: Image.Image) -> bytes:
    """A file of several pictures as phones and stereo cameras write it, by another writer."""
    out = io.BytesIO()
    gradient((160, 120)).save(out, "MPO", save_all=True, append_images=list(further), exif=CAMERA)
    return out.getvalue()


def still(**options: Any) -> bytes:
    return jpeg(gradient((160, 120)), exif=CAMERA, **options)


@pytest.mark.parametrize("further", [1, 2, 5])
def test_further_pictures_are_counted_and_not_suspected(further: int) -> None:
    """The first picture is the photo, the others are told, and nothing is left over."""
    data = several(*(gradient((80, 60)) for _ in range(further)))

    assert parts(data) == (further + 1, 0, ["photo-several-pictures"])
    fields: dict[str, Any] = photo.answer(data, WHERE).value["photo"]
    assert (fields["width"], fields["height"]) == (160, 120)


def test_bytes_behind_several_pictures_are_counted() -> None:
    """Only what belongs to no picture is left over."""
    assert parts(several(gradient((80, 60))) + b"x" * 77) == (2, 77, ["photo-several-pictures"])


@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"restart_marker_rows": 1}])
def test_gain_map_behind_a_picture(options: dict[str, Any]) -> None:
    """A grey map for bright screens hangs directly behind the picture, without an index."""
    gain = jpeg(gradient((40, 30)).convert("L"))

    assert parts(still(**options) + gain) == (2, 0, ["photo-several-pictures"])


@pytest.mark.parametrize(("padding", "left"), [(b"\0" * 500, 0), (b"\0" * 499 + b"x", 500)])
def test_padding_between_pictures(padding: bytes, left: int) -> None:
    """Zeros up to the next picture are padding; anything else is of no kind."""
    assert parts(still() + padding + jpeg()) == (2, left, ["photo-several-pictures"])


def test_zeros_at_the_end_are_no_padding() -> None:
    """Nothing follows that they could pad to."""
    assert parts(still() + bytes(64)) == (1, 64, [])


@pytest.mark.parametrize("trailer", [b"", b"trailer of a phone"])
@pytest.mark.parametrize("lead", [b"", b"\x00\x00\x30\x0a\x10\x00\x00\x00MotionPhoto_Data"])
def test_film_behind_a_picture(lead: bytes, trailer: bytes) -> None:
    """The film of a moving photo is recognised by its own boxes; what a phone writes around it is of no kind."""
    data = still() + lead + film() + trailer

    assert parts(data) == (1, len(lead) + len(trailer), ["photo-with-video"])


def test_picture_and_film_together() -> None:
    """A gain map and then a film, as phones write both."""
    data = still() + jpeg(gradient((40, 30)).convert("L")) + film()

    assert parts(data) == (2, 0, ["photo-several-pictures", "photo-with-video"])


def test_a_film_that_is_cut_off_is_a_film() -> None:
    """Half a film may hold a voice as well."""
    assert parts(still() + film()[:-20]) == (1, 0, ["photo-with-video"])


@pytest.mark.parametrize(
    "tail",
    [
        box(b"ftyp", b"mp42\0\0\0\0"),  # a start, and nothing that moves
        b"\xff\xd8\xff\xe0" + b"x" * 60,
        jpeg()[:-2],
        b"\xff\xd8\xff\xd9",
        struct.pack(">I", 5000) + b"moov" + bytes(40),
    ],
)
def test_what_only_begins_like_a_part_is_none(tail: bytes) -> None:
    """Without its own structure to the end it is left over."""
    assert parts(still() + tail) == (1, len(tail), [])


@pytest.mark.parametrize("start", [b"\xff\xd8\xff", box(b"ftyp", b"mp42\0\0\0\0")])
def test_many_false_starts_end_soon(start: bytes) -> None:
    """Starts without end do not make the reader slow; what lies behind the cap is left over."""
    tail = start * 200_000

    assert parts(still() + tail) == (1, len(tail), [])


@pytest.mark.parametrize("data", [several(gradient((80, 60))), still() + film()])
def test_the_redacted_picture_holds_neither(data: bytes) -> None:
    """Further pictures and films are in the original alone."""
    printed = picture.redacted(data)

    assert b"ftyp" not in printed
    assert printed.count(b"\xff\xd8\xff") == 1
    assert Image.open(io.BytesIO(printed)).size == (160, 120)


@pytest.mark.parametrize("longer", [320, 1280, 1600, 2048])
def test_small_photo_without_camera_data_looks_like_a_copy(longer: int) -> None:
    """Messengers take the camera data out and make photos smaller (common practice, no source)."""
    assert parts(jpeg(gradient((longer, 240))))[2] == ["photo-messenger-copy"]
    assert parts(jpeg(gradient((240, longer))))[2] == ["photo-messenger-copy"]


@pytest.mark.parametrize(
    "data",
    [
        jpeg(gradient((2049, 240))),
        jpeg(gradient((319, 240))),
        jpeg(gradient((1280, 960)), exif=CAMERA),
        jpeg(gradient((1280, 960)), exif=exif({0x0112: 1})),
        jpeg(gradient((1280, 960)), xmp=b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/>"),
        jpeg(Image.new("CMYK", (1280, 960), (90, 80, 70, 60))),  # written without a JFIF header
    ],
)
def test_nothing_is_said_where_it_is_not_plain(data: bytes) -> None:
    """A large photo, one with any camera data, or one of another writer is not called a copy."""
    assert parts(data)[2] == []


def test_png_without_camera_data_looks_like_a_screenshot() -> None:
    """Cameras write no PNG; one with camera data is left alone."""
    assert parts(png(noise((40, 30))))[2] == ["photo-looks-like-screenshot"]
    assert parts(png(noise((40, 30)), exif=CAMERA))[2] == []
