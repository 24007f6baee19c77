"""HEIC photos: read with the extra, named without it, in every step that meets one."""

import importlib.util
import io
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from evidence import jsondoc, picture
from evidence.cli import add as add_command
from evidence.errors import ExitCode, InputError, MissingToolError, Problem
from evidence.examining import read_or_say_why
from evidence.exhibits import _layout, call, photo
from evidence.exhibits._upright import upright
from evidence.exhibits.reading import read
from evidence.guard import Guard
from evidence.model.exhibit import Item
from evidence.model.names import Role
from evidence.recompute import _read_on_one_side
from tests.conftest import AT, Run
from tests.exhibits.files import box, exif, film, gradient, told

WHERE = "photos/E001.heic"
CAMERA = {0x010F: "Acme", 0x0110: "Acme Pocket 3", 0x0131: "Firmware 1.2"}
TAKEN = {0x9003: "2026:03:04 10:40:07", 0x9011: "+01:00", 0xA405: 26}
HEADER = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
needs_extra = pytest.mark.skipif(
    importlib.util.find_spec("pillow_heif") is None, reason="the extra that reads HEIC is not installed"
)


def heic(*pictures: Image.Image, **options: Any) -> bytes:
    """An HEIC file; its pictures are coded by the library that also reads them."""
    from pillow_heif import from_pillow  # noqa: PLC0415 - an extra

    file = from_pillow(pictures[0] if pictures else gradient((64, 48)))
    for each in pictures[1:]:
        file.add_from_pillow(each)
    out = io.BytesIO()
    file.save(out, quality=90, **options)
    return out.getvalue()


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> Iterator[Guard]:
    """A guard without the extra, and a process without it."""
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with Guard(without=("pillow_heif",)) as guard:
        yield guard


def answered(data: bytes) -> dict[str, Any]:
    value: dict[str, Any] = photo.answer(data, WHERE).value
    return value


@needs_extra
def test_claims_are_those_of_any_photo() -> None:
    """Camera data come through; the kind is known by content."""
    data = heic(exif=exif(CAMERA, TAKEN, position=True))
    item = read(data, WHERE, "E001", reader=call).item

    assert (item.kind, item.media_type, item.warnings) == ("photo", "image/heic", ())
    assert item.photo
    fields = item.photo.document()
    assert {
        name: fields[name] for name in ("width", "height", "taken", "taken_offset", "camera", "software")
    } == {
        "width": 64,
        "height": 48,
        "taken": "2026-03-04T10:40:07",
        "taken_offset": "+01:00",
        "camera": "Acme Pocket 3",
        "software": "Firmware 1.2",
    }
    assert (item.photo.has_position, item.photo.focal_35mm, item.photo.pictures) == (True, 26, 1)


@needs_extra
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turn_is_applied_once(orientation: int) -> None:
    """The file's own turn is applied by the decoder; the same turn in the camera data is not applied again."""
    data = heic(exif=exif({0x0112: orientation}))  # its writer writes the turn into both places
    fields = answered(data)["photo"]
    printed = Image.open(io.BytesIO(picture.redacted(data)))
    # computed independently with Pillow's own turn of the same picture
    expected = upright(gradient((64, 48)), orientation)

    assert fields["orientation"] == 1
    assert (fields["width"], fields["height"]) == printed.size == expected.size
    for x, y in ((4, 4), (printed.width - 5, 4), (4, printed.height - 5)):
        ours, theirs = printed.getpixel((x, y)), expected.getpixel((x, y))
        assert isinstance(ours, tuple)
        assert isinstance(theirs, tuple)
        assert list(ours) == pytest.approx(list(theirs), abs=40)


@needs_extra
def test_the_primary_picture_of_several_counts() -> None:
    """A file of several names its primary one; the others are told."""
    data = heic(gradient((64, 48)), gradient((80, 60)), primary_index=1)
    value = answered(data)

    assert (value["photo"]["width"], value["photo"]["pictures"]) == (80, 2)
    assert value["warnings"] == ["photo-several-pictures"]


@needs_extra
@pytest.mark.parametrize(
    ("tail", "left", "warnings"),
    [
        (b"", 0, []),
        (b"x" * 31, 31, []),
        (box(b"mpvd", film()), 0, ["photo-with-video"]),
        (b"trailer " + film(), 8, ["photo-with-video"]),
    ],
)
def test_what_hangs_behind(tail: bytes, left: int, warnings: list[str]) -> None:
    """Films are told, in a box of their own or appended."""
    value = answered(heic(exif=exif(CAMERA)) + tail)

    assert (value["photo"]["trailing_bytes"], value["warnings"]) == (left, warnings)


@pytest.mark.parametrize(("handler", "moving"), [(b"pict", False), (b"vide", True), (b"soun", True)])
def test_a_burst_of_stills_is_no_film(handler: bytes, moving: bool) -> None:  # noqa: FBT001 - a column
    """The tracks of one file say what they hold (from memory of ISO/IEC 14496-12, handler types)."""
    data = HEADER + box(b"moov", box(b"hdlr", bytes(8) + handler + bytes(13)))

    assert _layout.heif_layout(data).film == moving


@needs_extra
def test_printed_as_jpeg_without_metadata() -> None:
    """The twin is a plain JPEG, whatever the original is; a preview inside never stands in for it."""
    data = heic(gradient((640, 480)), exif=exif(CAMERA, TAKEN, position=True), thumbnails=[64])
    printed = picture.scaled(data, 100)

    assert printed.startswith(b"\xff\xd8\xff")
    assert b"Acme" in data
    assert b"Acme" not in printed
    assert Image.open(io.BytesIO(printed)).size == (100, 75)


@needs_extra
@pytest.mark.parametrize("tenth", range(10))
def test_every_tenth_is_damaged(tenth: int) -> None:
    """A file cut off anywhere is refused with a code."""
    data = heic(gradient((200, 150)))
    with pytest.raises(InputError) as caught:
        read(data[: len(data) * tenth // 10], WHERE, "E001", reader=call)

    assert caught.value.problems[0].code in ("exhibit-empty", "exhibit-truncated", "exhibit-damaged")


@needs_extra
def test_header_alone_is_no_photo() -> None:
    """The first box of a kind does not make one."""
    with pytest.raises(InputError, match="exhibit-damaged"):
        photo.answer(HEADER, WHERE)


@needs_extra
@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(12, 100_000), st.integers(0, 255)), max_size=6))
def test_changed_bytes_end_in_a_reading_or_a_code(changes: list[tuple[int, int]]) -> None:
    """Damage anywhere behind the first box."""
    data = bytearray(heic())
    for at, value in changes:
        data[12 + at % (len(data) - 12)] = value
    problems: tuple[Problem, ...] = ()
    try:
        read(bytes(data), WHERE, "E001", reader=call)
    except InputError as error:
        problems = error.problems

    assert all(told(problem) for problem in problems)


@needs_extra
def test_the_guards_child_reads_it(tmp_path: Path) -> None:
    """The decoder works within the child's limits, at a phone's size."""
    data = heic(gradient((4032, 3024)))
    (tmp_path / "a.heic").write_bytes(data)
    with Guard() as guard:
        item = read(data, WHERE, "E001", reader=guard.run, photo="print-key").item

    assert item.photo
    assert (item.photo.width, item.photo.height) == (4032, 3024)


def test_without_the_extra_it_is_named(bare: Guard) -> None:
    """In this process and out of the guard's child the same error, which says what to install."""
    for reader in (call, bare.run):
        with pytest.raises(MissingToolError) as caught:
            read(HEADER, WHERE, "E001", reader=reader)
        (problem,) = caught.value.problems
        assert (problem.code, problem.where) == ("heic-extra-missing", WHERE)
        assert told(problem)


def test_add_ends_with_its_own_exit_code(
    job: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is filed, and the exit code says that something is to be installed."""
    monkeypatch.setattr(add_command, "Guard", partial(Guard, without=("pillow_heif",)))
    (tmp_path / "IMG_1.HEIC").write_bytes(HEADER)
    before = (job / "job.yaml").read_bytes()
    result = run("add", job, tmp_path / "IMG_1.HEIC", "--as", "overview", "--at", AT)

    assert result.exit_code == ExitCode.TOOL_MISSING
    assert "sillmark[heic]" in result.stderr
    assert (job / "job.yaml").read_bytes() == before


def test_check_and_assemble_go_on_without_it(bare: Guard) -> None:
    """The file is there, nothing rests on it, and the item says why."""
    item = read_or_say_why(HEADER, WHERE, ("E001", Role.OVERVIEW), bare.run).item

    assert (item.kind, item.media_type) == ("unreadable", "image/heic")
    assert item.unreadable
    assert item.unreadable.code == "heic-extra-missing"


def unread() -> Item:
    fields = {
        "sha256": jsondoc.digest(HEADER),
        "bytes": len(HEADER),
        "media_type": "image/heic",
        "id": "E001",
    }
    return Item.read({**fields, "kind": "unreadable", "unreadable": {"code": "heic-extra-missing"}})


def as_photo(**changed: Any) -> Item:
    fields = unread().document() | {"kind": "photo", "photo": {"width": 4, "height": 3}} | changed
    del fields["unreadable"]
    return Item.read(fields)


@pytest.mark.parametrize(
    ("stored", "found", "said"),
    [
        (unread(), unread(), ""),
        (as_photo(), as_photo(), ""),
        (as_photo(), unread(), "recompute-extra-missing"),
        (unread(), as_photo(), "recompute-sealed-unread"),
        (as_photo(sha256="0" * 64), unread(), ""),
        (as_photo(media_type="image/jpeg"), unread(), ""),
    ],
)
def test_recompute_tells_a_missing_extra_from_a_difference(stored: Item, found: Item, said: str) -> None:
    """What one side could not read is neither the same nor different, as long as it is the same file."""
    assert _read_on_one_side(stored, found) == said
