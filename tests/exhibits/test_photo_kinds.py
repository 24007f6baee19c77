"""Every way in which a JPEG or PNG can be stored is read, refused clearly, or found damaged; never a traceback."""

import struct
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from evidence.errors import InputError, Problem
from evidence.exhibits import call
from evidence.exhibits.reading import read
from evidence.model.exhibit import Item
from tests.exhibits.files import deep, exif, film, gradient, interlaced, jpeg, noise, png, png_chunk, told

WHERE = "photos/E001.jpg"
CAMERA = exif({0x010F: "Acme", 0x0112: 6}, {0x9003: "2026:03:04 10:40:07"}, position=True)
GRAIN = noise((96, 72))


def item(data: bytes) -> Item:
    return read(data, WHERE, "E001", reader=call).item


def code(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read(data, WHERE, "E001", reader=call)
    (problem,) = caught.value.problems
    assert told(problem)
    return problem.code


def late_exif() -> bytes:
    """A PNG whose camera data stand behind its pixels."""
    plain = png(gradient((64, 48)))
    return plain[:-12] + png_chunk(b"eXIf", CAMERA.removeprefix(b"Exif\0\0")) + plain[-12:]


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_png_mode_is_read(mode: str) -> None:
    """Palettes, grey, deep grey and alpha."""
    picture = Image.new("I;16", (20, 10), 30_000) if mode == "I;16" else gradient((20, 10)).convert(mode)

    assert item(png(picture)).photo


@pytest.mark.parametrize("data", [interlaced(), deep(), png(GRAIN, transparency=(1, 2, 3))])
def test_other_pngs_are_read(data: bytes) -> None:
    """Interlaced, deep, and with one transparent colour."""
    found = item(data)

    assert (found.media_type, found.photo is not None) == ("image/png", True)


def test_camera_data_behind_the_pixels_of_a_png() -> None:
    """They count wherever they stand, for every reader that takes photos."""
    for name in ("photo", "print-key", "print-other"):
        fields: Any = call(name, late_exif(), WHERE).value
        assert fields["photo"]["taken"] == "2026-03-04T10:40:07"
        assert (fields["photo"]["width"], fields["photo"]["orientation"]) == (48, 6)


@pytest.mark.parametrize(
    "options",
    [
        {},
        {"progressive": True},
        {"restart_marker_blocks": 2},
        {"subsampling": 0},
        {"subsampling": 1},
        {"optimize": True},
    ],
)
@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_every_ordinary_jpeg_is_read(mode: str, options: dict[str, Any]) -> None:
    """Baseline and progressive, with restarts, with full colour resolution, grey and of four inks."""
    kept = {} if mode == "L" and "subsampling" in options else options
    found = item(jpeg(GRAIN.convert(mode), exif=CAMERA, **kept))

    assert found.photo
    assert (found.photo.width, found.photo.height, found.photo.trailing_bytes) == (72, 96, 0)


@pytest.mark.parametrize(
    ("frame", "coding"),
    [
        (0xC3, "lossless"),
        (0xC5, "lossless"),
        (0xC9, "arithmetic"),
        (0xCA, "arithmetic"),
        (0xCB, "arithmetic"),
    ],
)
def test_codings_that_few_programs_open_are_refused(frame: int, coding: str) -> None:
    """Some builds of the picture library decode them; the answer is the same everywhere (ITU-T T.81, table B.1)."""
    data = bytearray(jpeg(GRAIN))
    data[data.index(b"\xff\xc0") + 1] = frame

    with pytest.raises(InputError) as caught:
        item(bytes(data))
    (problem,) = caught.value.problems
    assert (problem.code, problem.parameters) == ("exhibit-jpeg-coding", {"found": coding})
    assert coding in told(problem)


def test_deep_jpeg_is_refused() -> None:
    """Twelve bits a sample are no camera's JPEG."""
    data = bytearray(jpeg(GRAIN))
    data[data.index(b"\xff\xc0") + 4] = 12

    assert code(bytes(data)) == "exhibit-jpeg-coding"


@pytest.mark.parametrize("make", [jpeg, png])
@pytest.mark.parametrize("tenth", range(10))
def test_every_tenth_of_a_photo_is_damaged(make: Callable[..., bytes], tenth: int) -> None:
    """A file cut off anywhere is refused."""
    data = make(GRAIN, exif=CAMERA)

    assert code(data[: len(data) * tenth // 10]) in ("exhibit-empty", "exhibit-truncated", "exhibit-damaged")


@pytest.mark.parametrize("make", [jpeg, png])
def test_a_changed_byte_in_any_marker_is_a_reading_or_a_code(make: Callable[..., bytes]) -> None:
    """One byte off, in each of the first thousand places."""
    data = make(gradient((16, 12)), exif=CAMERA)
    outcomes: set[str] = set()
    for at in range(min(len(data), 1000)):
        changed = bytearray(data)
        changed[at] ^= 0xFF
        try:
            outcomes.add(item(bytes(changed)).kind)
        except InputError as error:
            outcomes |= {problem.code for problem in error.problems if told(problem)}

    assert {"photo", "exhibit-damaged"} <= outcomes


@pytest.mark.parametrize("sides", [(65_535, 65_535), (0, 0), (60_001, 1000)])
def test_a_jpeg_of_an_impossible_size(sides: tuple[int, int]) -> None:
    """A promise of gigapixels, or of nothing, is refused."""
    data = bytearray(jpeg())
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", *sides)

    assert code(bytes(data)) in ("exhibit-too-many-pixels", "exhibit-damaged")


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(
        [
            jpeg(gradient((32, 24)), exif=CAMERA) + jpeg(gradient((16, 12))) + film(),
            jpeg(gradient((32, 24)), progressive=True) + film(),
            jpeg(gradient((32, 24)).convert("CMYK")),
            png(gradient((32, 24)), exif=CAMERA),
            late_exif(),
            interlaced(),
        ]
    ),
    st.lists(st.tuples(st.integers(0, 100_000), st.binary(max_size=4)), max_size=8),
    st.integers(0, 100_000),
)
def test_any_change_ends_in_a_reading_or_a_code(
    data: bytes, changes: list[tuple[int, bytes]], kept: int
) -> None:
    """Damage, insertions and cuts anywhere, in parts behind the picture too."""
    changed = bytearray(data)
    for at, put in changes:
        changed[at % len(data) : at % len(data) + 1] = put
    problems: tuple[Problem, ...] = ()
    kind = "photo"
    try:
        kind = item(bytes(changed[: kept % (2 * len(data))])).kind
    except InputError as error:
        problems = error.problems

    assert all(told(problem) for problem in problems)
    assert kind in ("photo", "table")  # what lost its first bytes may be text
