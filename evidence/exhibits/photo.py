"""Photos: what a JPEG, PNG or HEIC file is and what its camera claims, after every pixel was decoded once.

Runs in the guard's child. The functions that open a picture are shared with ``picture``.
"""

import re
import struct
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from io import BytesIO
from typing import Any

from PIL import Image, UnidentifiedImageError

from evidence.exhibits import _layout, sniff
from evidence.exhibits._answer import Answer, refuse
from evidence.exhibits._base import claimed, given
from evidence.exhibits._heif import heif_image
from evidence.exhibits._upright import grey, upright
from evidence.exhibits.clearness import SHRUNK, clearness
from evidence.exhibits.likeness import likeness
from evidence.model.exhibit import MAX_PICTURES, OFFSET_PATTERN, Photo

MAX_BYTES = 40 * 1024 * 1024  # of one photo
MAX_PIXELS = 60_000_000  # of one photo; large phone sensors give 50 million
MAX_EXIF = 256 * 1024  # bytes; the JPEG segment holds 64 KiB, PNG has no bound of its own
MAX_FOCAL_MM = 10_000
MAX_OFFSET_MINUTES = 14 * 60  # farthest offset in use
COPY_SIDES = range(320, 2049)  # longer side in pixels of what messengers send on; common practice, no source

# EXIF tags (CIPA DC-008), main directory, then the camera's own, then position
ORIENTATION, MAKE, MODEL, SOFTWARE = 0x0112, 0x010F, 0x0110, 0x0131
EXIF_DIRECTORY, POSITION_DIRECTORY = 0x8769, 0x8825
TAKEN, TAKEN_OFFSET, FOCAL_LENGTH, FOCAL_35MM = 0x9003, 0x9011, 0x920A, 0xA405
LATITUDE, LONGITUDE = 2, 4

_TAKEN = re.compile(r"([0-9]{4}):([0-9]{2}):([0-9]{2}) ([0-9]{2}:[0-9]{2}:[0-9]{2})", re.ASCII)
_OFFSET = re.compile(OFFSET_PATTERN, re.ASCII)
# what Pillow's tag and picture readers raise on bytes that are not what they promise
_DAMAGE = (
    ArithmeticError, AttributeError, EOFError, LookupError, OSError, RuntimeError, SyntaxError, TypeError, ValueError,
    struct.error,
)  # fmt: skip


@dataclass(frozen=True)
class Tags:
    """The EXIF directories that matter, as tag number to value; empty where a photo has none."""

    main: Mapping[int, Any]
    camera: Mapping[int, Any]
    position: Mapping[int, Any]
    readable: bool = True


def answer(data: bytes, where: str) -> Answer:
    """Read a photo: ``{"photo": {...}, "warnings": [...]}``.

    Args:
        data: the whole file.
        where: name for messages.

    Raises:
        InputError: with code exhibit-too-large, exhibit-too-many-pixels, exhibit-truncated, exhibit-jpeg-coding or
            exhibit-damaged.
        MissingToolError: heic-extra-missing.
    """
    with opened(data, where) as image:
        layout = layout_of(data)
        if layout.end is None:
            refuse("exhibit-truncated", where, found=str(len(data)))
        width, height = image.size
        draft(image, "L", image.size)  # greys alone, at a third of the cost of all colours
        with decoding(where):
            image.load()
        tags = tags_of(image)
        packet = image.info.get("xmp", b"")
        pictures = _pictures(image, layout)
        noticed = [] if tags.readable else ["photo-exif-unreadable"]
        noticed += _of_the_file(layout, pictures)
        if not image.info.get("exif") and not packet:
            noticed += _of_its_origin(data, layout, max(width, height))
        turned = orientation(tags, noticed)
        with decoding(where):
            whole = grey(image, 1)
            small = whole.reduce(SHRUNK)
            alike, clear = likeness(upright(small, turned)), clearness(whole, small)
        noticed += clear.warnings()
    if turned > 4:  # noqa: PLR2004 - 5 to 8 exchange the sides
        width, height = height, width
    claims = _claims(tags, noticed) | {"has_position": _has_position(tags, packet)}
    sizes = {
        "width": width,
        "height": height,
        "orientation": turned,
        "trailing_bytes": layout.unknown,
        "pictures": pictures,
        "likeness": alike,
        **clear.fields(),
    }
    photo = Photo.read(sizes | claims)
    return Answer({"photo": photo.document(), "warnings": sorted(noticed)})


@contextmanager
def opened(data: bytes, where: str) -> Iterator[Image.Image]:
    """Open a JPEG, PNG or HEIC file, its header read and its size within the caps, no pixel decoded.

    Raises:
        InputError: with code exhibit-too-large, exhibit-too-many-pixels, exhibit-jpeg-coding or exhibit-damaged.
        MissingToolError: heic-extra-missing.
    """
    if len(data) > MAX_BYTES:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(MAX_BYTES))
    layout = layout_of(data)
    pixels = (layout.width or 0) * (layout.height or 0)
    if pixels > MAX_PIXELS:
        refuse("exhibit-too-many-pixels", where, found=str(pixels), limit=str(MAX_PIXELS))
    if layout.coding:
        # some builds of the picture library decode it and others do not: the answer must not depend on that
        refuse("exhibit-jpeg-coding", where, found=layout.coding)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library warns where our own caps and checks decide
        with decoding(where):
            image = _image(data, where)
        with image:
            if image.width * image.height > MAX_PIXELS:
                refuse(
                    "exhibit-too-many-pixels",
                    where,
                    found=str(image.width * image.height),
                    limit=str(MAX_PIXELS),
                )
            yield image


@contextmanager
def decoding(where: str) -> Iterator[None]:
    """Turn what the picture library raises into our own codes.

    Raises:
        InputError: with code exhibit-truncated, exhibit-too-many-pixels or exhibit-damaged.
    """
    try:
        yield
    except Image.DecompressionBombError:
        refuse("exhibit-too-many-pixels", where, found="more", limit=str(MAX_PIXELS))
    except UnidentifiedImageError:
        refuse("exhibit-damaged", where, found="header")
    except _DAMAGE as error:
        short = "truncated" in str(error) or isinstance(error, EOFError)
        refuse("exhibit-truncated" if short else "exhibit-damaged", where, found=type(error).__name__)


def _image(data: bytes, where: str) -> Image.Image:
    if sniff.is_heic(data):
        return heif_image(data, where)
    return Image.open(BytesIO(data), formats=("JPEG", "PNG"))


def draft(image: Image.Image, mode: str, size: tuple[int, int]) -> None:
    """Have a JPEG decoded smaller, never below ``size``; other decoders would hand out a preview instead."""
    if image.format in ("JPEG", "MPO"):
        image.draft(mode, size)


def layout_of(data: bytes) -> _layout.Layout:
    """Size, end and further parts of a photo's file by its own markers."""
    if sniff.is_heic(data):
        return _layout.heif_layout(data)
    return _layout.png_layout(data) if data.startswith(b"\x89PNG") else _layout.jpeg_layout(data)


def _pictures(image: Image.Image, layout: _layout.Layout) -> int:
    """Pictures in the file; an HEIC file lists its own, behind a JPEG they are found."""
    listed = getattr(image, "n_frames", 1) if image.format == "HEIF" else 1
    return min(listed + layout.further_pictures, MAX_PICTURES)


def _of_the_file(layout: _layout.Layout, pictures: int) -> list[str]:
    """What else lies in the file."""
    several = ["photo-several-pictures"] if pictures > 1 else []
    return several + (["photo-with-video"] if layout.film else [])


def _of_its_origin(data: bytes, layout: _layout.Layout, longer: int) -> list[str]:
    """What a photo without any camera data looks like; cameras write some, copies and screenshots do not."""
    if data.startswith(b"\x89PNG"):
        return ["photo-looks-like-screenshot"]
    return ["photo-messenger-copy"] if layout.jfif and longer in COPY_SIDES else []


def tags_of(image: Image.Image) -> Tags:
    """EXIF tags of an open picture; a PNG's stand only after its pixels were decoded."""
    stored = image.info.get("exif", b"")
    nothing = Tags({}, {}, {}, readable=not stored)
    if not isinstance(stored, bytes) or not stored or len(stored) > MAX_EXIF:
        return nothing
    exif = Image.Exif()
    try:
        exif.load(stored)
        # values are decoded when first asked for, so ask here, where damage is expected
        main = dict(exif.items())
        tags = Tags(main, dict(exif.get_ifd(EXIF_DIRECTORY)), dict(exif.get_ifd(POSITION_DIRECTORY)))
    except _DAMAGE:
        return nothing
    return tags if main else nothing  # a block without one tag points outside itself


def orientation(tags: Tags, noticed: list[str] | None = None) -> int:
    """EXIF orientation 1 to 8; 1 with a warning where the tag holds anything else."""
    stored = tags.main.get(ORIENTATION, 1)
    if isinstance(stored, int) and 1 <= stored <= 8:  # noqa: PLR2004 - the eight ways to hold a camera
        return stored
    if noticed is not None:
        noticed.append("photo-orientation-unknown")
    return 1


def _claims(tags: Tags, noticed: list[str]) -> dict[str, Any]:
    return given(
        {
            "taken": _taken(tags.camera.get(TAKEN), noticed),
            "taken_offset": _offset(tags.camera.get(TAKEN_OFFSET), noticed),
            "camera": _camera(tags),
            "focal_length_mm": _focal_length(tags.camera.get(FOCAL_LENGTH), noticed),
            "focal_35mm": _focal_35mm(tags.camera.get(FOCAL_35MM), noticed),
            "software": claimed(tags.main.get(SOFTWARE)),
        }
    )


def _text(value: object) -> str:
    return value.rstrip("\0 ") if isinstance(value, str) else "?"


def _taken(value: object, noticed: list[str]) -> str | None:
    if value is None or not _text(value).replace(":", "").strip():
        return None  # absent, or blank as the standard writes an unknown time
    match = _TAKEN.fullmatch(_text(value))
    text = f"{match[1]}-{match[2]}-{match[3]}T{match[4]}" if match else ""
    try:
        datetime.fromisoformat(text)
    except ValueError:
        noticed.append("photo-time-malformed")
        return None
    return text


def _offset(value: object, noticed: list[str]) -> str | None:
    if value is None or not _text(value).replace(":", "").strip():
        return None
    text = _text(value)
    if _OFFSET.fullmatch(text) is None or int(text[4:]) >= 60 or _minutes(text) > MAX_OFFSET_MINUTES:  # noqa: PLR2004
        noticed.append("photo-offset-malformed")
        return None
    return text


def _minutes(offset: str) -> int:
    return int(offset[1:3]) * 60 + int(offset[4:])


def _camera(tags: Tags) -> str | None:
    make, model = claimed(tags.main.get(MAKE)), claimed(tags.main.get(MODEL))
    if make and model and not model.lower().startswith(make.lower()):
        return claimed(f"{make} {model}")
    return model or make


def _focal_length(value: object, noticed: list[str]) -> str | None:
    if value is None:
        return None
    try:
        length = _exact(value)
    except _DAMAGE:
        length = Fraction(0)
    if not Fraction(1, 100) <= length < MAX_FOCAL_MM:
        noticed.append("photo-focal-malformed")
        return None
    rounded = (Decimal(length.numerator) / Decimal(length.denominator)).quantize(
        Decimal("0.0001"), ROUND_HALF_EVEN
    )
    return f"{rounded:f}".rstrip("0").rstrip(".")


def _exact(value: Any) -> Fraction:
    # the two integers of the file and never their float: 425/100 is 4.25; a zero denominator raises
    return Fraction(value) if isinstance(value, float) else Fraction(value.numerator, value.denominator)


def _focal_35mm(value: object, noticed: list[str]) -> int | None:
    if value is None or value == 0:
        return None  # zero is how the standard writes unknown
    if isinstance(value, int) and 0 < value < MAX_FOCAL_MM:
        return value
    noticed.append("photo-focal-malformed")
    return None


def _has_position(tags: Tags, packet: object) -> bool:
    if LATITUDE in tags.position or LONGITUDE in tags.position:
        return True
    return isinstance(packet, bytes) and b"GPSLatitude" in packet
