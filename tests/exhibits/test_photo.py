"""Photos: sizes and camera claims, checked against exiftool; damaged and hostile ones end in a code."""

import json
import struct
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL.TiffImagePlugin import IFDRational

from evidence import exhibits
from evidence.errors import InputError, Problem
from evidence.exhibits import photo, reading
from tests.exhibits.files import exif, jpeg, noise, png, png_chunk, png_header, told

WHERE = "photos/E001.jpg"
ELSEWHERE = ("codes", "codes_left_out", "likeness", "blur", "white", "black")
CAMERA = {0x010F: "Acme", 0x0110: "Acme Pocket 3", 0x0131: "Firmware 1.2"}
TAKEN = {
    0x9003: "2026:03:04 10:40:07", 0x9011: "+01:00", 0x920A: IFDRational(425, 100), 0xA405: 26,
    0xA430: "Some Owner", 0xA431: "SER-123456",
}  # fmt: skip


def read(data: bytes) -> dict[str, Any]:
    """What a photo says of itself; codes and likeness have tests of their own."""
    fields: dict[str, Any] = photo.answer(data, WHERE).value["photo"]
    return {name: value for name, value in fields.items() if name not in ELSEWHERE}


def noticed(data: bytes) -> list[str]:
    warnings: list[str] = photo.answer(data, WHERE).value["warnings"]
    return warnings


def code(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        photo.answer(data, WHERE)
    (problem,) = caught.value.problems
    assert problem.where == WHERE
    assert told(problem)
    return problem.code


def with_camera(camera: dict[int, Any], main: dict[int, Any] | None = None) -> bytes:
    return jpeg(exif=exif(main, camera))


def test_claims_of_a_camera() -> None:
    """Every field that is kept comes through exactly."""
    data = jpeg(exif=exif(CAMERA | {0x0112: 6}, TAKEN, position=True))

    assert read(data) == {
        "width": 48,
        "height": 64,
        "orientation": 6,
        "taken": "2026-03-04T10:40:07",
        "taken_offset": "+01:00",
        "camera": "Acme Pocket 3",
        "focal_length_mm": "4.25",
        "focal_35mm": 26,
        "software": "Firmware 1.2",
        "has_position": True,
        "trailing_bytes": 0,
        "pictures": 1,
    }
    assert noticed(data) == []


def test_owner_serial_and_position_are_not_kept() -> None:
    """What could name a person or a place is nowhere in the answer."""
    data = jpeg(exif=exif(CAMERA, TAKEN, position=True))
    text = json.dumps(photo.answer(data, WHERE).value)

    assert "Owner" not in text
    assert "123456" not in text
    assert "54" not in text


def test_photo_without_camera_data() -> None:
    """A photo that claims nothing is read, and one as small as this is no copy of a photo either."""
    assert read(jpeg()) == {
        "width": 64,
        "height": 48,
        "orientation": 1,
        "has_position": False,
        "trailing_bytes": 0,
        "pictures": 1,
    }
    assert noticed(jpeg()) == []


def test_png_carries_the_same_claims() -> None:
    """EXIF in a PNG is read like that in a JPEG."""
    data = png(exif=exif(CAMERA | {0x0112: 6}, TAKEN))

    assert read(jpeg(exif=exif(CAMERA | {0x0112: 6}, TAKEN))) == read(data)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_orientations_exchange_sides(orientation: int) -> None:
    """Width and height are those of the upright picture."""
    fields = read(jpeg(exif=exif({0x0112: orientation})))

    # from memory of CIPA DC-008, tag Orientation: 5 to 8 lie on their side
    expected = (48, 64) if orientation >= 5 else (64, 48)
    assert (*expected, orientation) == (fields["width"], fields["height"], fields["orientation"])


@pytest.mark.parametrize("stored", [0, 9, 65535])
def test_impossible_orientation_is_upright_with_a_warning(stored: int) -> None:
    """A camera that does not know is no reason to refuse its photo."""
    data = jpeg(exif=exif({0x0112: stored}))

    assert (read(data)["orientation"], noticed(data)) == (1, ["photo-orientation-unknown"])


@pytest.mark.parametrize(
    "stored",
    ["2026-03-04 10:40:07", "2026:13:04 10:40:07", "2026:02:30 10:40:07", "0000:00:00 00:00:00", "2026:03:04 24:00:00",
     "2026:03:04 10:40", "yesterday", "2026:03:04 10:40:07Z", "\uff12\uff1026:03:04 10:40:07"],
)  # fmt: skip
def test_malformed_time_is_absent_with_a_warning(stored: str) -> None:
    """Half a time is no time."""
    data = with_camera({0x9003: stored.encode("utf-8")})

    assert "taken" not in read(data)
    assert noticed(data) == ["photo-time-malformed"]


@pytest.mark.parametrize("stored", ["    :  :     :  :  ", ""])
def test_blank_time_is_absent_without_a_warning(stored: str) -> None:
    """Blanks between colons are how a camera without a clock says unknown (from memory of CIPA DC-008)."""
    data = with_camera({0x9003: stored})

    assert "taken" not in read(data)
    assert noticed(data) == []


def test_other_times_do_not_stand_in() -> None:
    """The time of the last change, which editing moves, is not taken for the time of the photo."""
    assert "taken" not in read(
        jpeg(exif=exif({0x0132: "2026:03:04 10:40:07"}, {0x9004: "2026:03:04 10:40:07"}))
    )


@pytest.mark.parametrize("stored", ["+1:00", "Z", "+15:00", "+01:60", "01:00"])
def test_malformed_offset_is_absent_with_a_warning(stored: str) -> None:
    """An offset is a sign, hours up to 14 and minutes."""
    data = with_camera({0x9003: "2026:03:04 10:40:07", 0x9011: stored})

    assert "taken_offset" not in read(data)
    assert noticed(data) == ["photo-offset-malformed"]


@pytest.mark.parametrize(
    ("top", "bottom", "shown"),
    [
        (425, 100, "4.25"),
        (5, 1, "5"),
        (1, 3, "0.3333"),
        (5960464, 1000000, "5.9605"),
        (24, 10, "2.4"),
        (100, 1, "100"),
    ],
)
def test_focal_length_is_an_exact_decimal(top: int, bottom: int, shown: str) -> None:
    """Four decimals at most, no float on the way, no zeros at the end."""
    assert shown == read(with_camera({0x920A: IFDRational(top, bottom)}))["focal_length_mm"]


@pytest.mark.parametrize(("top", "bottom"), [(0, 1), (0, 0), (4, 0), (20000, 1)])
def test_impossible_focal_length_is_absent_with_a_warning(top: int, bottom: int) -> None:
    """Nothing over nothing is no length."""
    data = with_camera({0x920A: IFDRational(top, bottom)})

    assert "focal_length_mm" not in read(data)
    assert noticed(data) == ["photo-focal-malformed"]


def test_focal_length_of_another_type_is_absent_with_a_warning() -> None:
    """Text where a number belongs is passed over."""
    data = with_camera({0x920A: "long", 0xA405: 60000})

    assert noticed(data) == ["photo-focal-malformed"] * 2
    assert not {"focal_length_mm", "focal_35mm"} & set(read(data))


def test_camera_name_is_one_printable_line() -> None:
    """Control characters, direction marks and length are taken out of what a file claims."""
    data = jpeg(exif=exif({0x010F: "Acme\x07\r\nLtd \u202e", 0x0110: "P" * 300}))
    name = read(data)["camera"]

    assert name.startswith("Acme Ltd ")
    assert len(name) == 90
    assert name.isprintable()


def test_position_in_a_packet_counts() -> None:
    """A position may also stand in XMP."""
    packet = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf exif:GPSLatitude="54,30N"/></x:xmpmeta>'

    assert read(jpeg(xmp=packet))["has_position"]


def test_garbage_exif_is_left_out_with_a_warning() -> None:
    """Damaged camera data do not cost the photo."""
    data = jpeg(exif=b"Exif\0\0MM\0*\xff\xff\xff\xffgarbage")

    assert (read(data)["width"], noticed(data)) == (64, ["photo-exif-unreadable"])


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200), st.sampled_from([b"MM\0*\0\0\0\x08", b"II*\0\x08\0\0\0", b""]))
def test_no_exif_stops_a_photo(tail: bytes, head: bytes) -> None:
    """Whatever stands in the camera data, the picture is read."""
    assert read(jpeg(exif=b"Exif\0\0" + head + tail))["orientation"] in range(1, 9)


def test_pointer_loops_in_exif_end() -> None:
    """A directory that names itself as the next one, and as its own part, is read once."""
    entry = struct.pack(">HHLL", 0x8769, 4, 1, 8)
    data = jpeg(exif=b"Exif\0\0MM\0*\0\0\0\x08" + struct.pack(">H", 1) + entry + struct.pack(">L", 8))

    assert read(data)["width"] == 64


def test_trailing_bytes_are_counted() -> None:
    """What hangs behind the picture, such as a film clip or a second picture, is counted."""
    assert read(jpeg() + b"\xff\xd9" + b"x" * 1232)["trailing_bytes"] == 1234
    assert read(png() + b"y" * 77)["trailing_bytes"] == 77


@pytest.mark.parametrize(
    "options", [{}, {"progressive": True}, {"restart_marker_rows": 1}, {"subsampling": 0}]
)
def test_end_of_picture_is_found_in_every_coding(options: dict[str, Any]) -> None:
    """Progressive scans and restart markers do not end a picture early."""
    grain = noise((160, 120))
    data = jpeg(grain, **options)

    assert read(data + b"end")["trailing_bytes"] == 3


@pytest.mark.parametrize("kept", [0.3, 0.6, 0.9, 0.999])
@pytest.mark.parametrize("options", [{}, {"progressive": True}])
def test_truncated_jpeg(kept: float, options: dict[str, Any]) -> None:
    """A photo whose end is missing is refused, however little is missing."""
    grain = noise((160, 120))
    data = jpeg(grain, **options)

    assert code(data[: int(len(data) * kept)]) == "exhibit-truncated"


def test_truncated_jpeg_that_loses_only_its_end_mark() -> None:
    """Two bytes less is already another file than the camera wrote."""
    assert code(jpeg()[:-2]) == "exhibit-truncated"


def test_truncated_png() -> None:
    """A PNG cut off anywhere is refused."""
    data = png(noise((160, 120)))

    assert {"exhibit-truncated"} == {code(data[: int(len(data) * kept)]) for kept in (0.3, 0.9, 0.9999)}


def test_png_bomb_is_refused_by_its_header() -> None:
    """A promise of gigapixels is refused before anything is decoded."""
    assert {"exhibit-too-many-pixels"} == {code(png_header(60_000, 60_000)), code(png_header(10_000, 6_001))}


def test_jpeg_bomb_is_refused_by_its_header() -> None:
    """The frame header of a JPEG counts as well."""
    data = bytearray(jpeg())
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", 65_000, 65_000)

    assert code(bytes(data)) == "exhibit-too-many-pixels"


def test_too_many_bytes() -> None:
    """A file above the cap is not even looked into."""
    assert code(jpeg() + bytes(photo.MAX_BYTES)) == "exhibit-too-large"


def test_text_bomb_in_a_png() -> None:
    """A compressed remark that inflates without end does not."""
    import zlib  # noqa: PLC0415

    data = png()
    remark = png_chunk(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(200_000_000), 9))

    assert code(data[:33] + remark + data[33:]) == "exhibit-damaged"


def test_wrong_check_sum_in_a_png() -> None:
    """A damaged chunk is damage."""
    data = bytearray(png())
    data[30] ^= 0xFF

    assert code(bytes(data)) == "exhibit-damaged"


@pytest.mark.parametrize(
    "data", [b"\xff\xd8\xff", b"\xff\xd8\xff\xd9", b"\xff\xd8\xff\xe0\xff\xff", b"\x89PNG\r\n\x1a\n"]
)
def test_header_alone_is_no_photo(data: bytes) -> None:
    """The first bytes of a kind do not make one."""
    assert code(data) in ("exhibit-damaged", "exhibit-truncated")


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), max_size=20),
    st.sampled_from([jpeg, png]),
)
def test_changed_bytes_end_in_a_reading_or_a_code(
    changes: list[tuple[int, int]], make: Callable[..., bytes]
) -> None:
    """Damage anywhere gives either a photo or an InputError, never anything else."""
    data = bytearray(make(exif=exif(CAMERA, TAKEN)))
    for at, value in changes:
        data[at % len(data)] = value
    problems: tuple[Problem, ...] = ()
    try:
        read(bytes(data))
    except InputError as error:
        problems = error.problems

    assert all(told(problem) for problem in problems)


def test_kind_is_reached_through_the_one_entrance() -> None:
    """A photo read as any evidence is a photo."""
    assert reading.read(jpeg(), WHERE, "E001", reader=exhibits.call).item.kind == "photo"
