"""Where a JPEG or PNG says its picture ends and how large it is, read without decoding anything."""

import re
from dataclasses import dataclass

_PNG_SIGNATURE = 8  # bytes
_PNG_OVERHEAD = 12  # bytes of a chunk beside its data: length, type, CRC
_LENGTH = 2  # bytes of a JPEG segment's length field
_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
_STANDALONE = (0x01, *range(0xD0, 0xD8))  # markers without a length: TEM and the restarts
_FRAMES = tuple(code for code in range(0xC0, 0xD0) if code not in (0xC4, 0xC8, 0xCC))  # SOF0 to SOF15
# inside entropy-coded data FF is followed by 00 or a restart; anything else is the next segment
_NEXT_MARKER = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")


@dataclass(frozen=True)
class Layout:
    """Size in pixels as the header says, and the offset just after the picture; None where that is missing."""

    width: int | None
    height: int | None
    end: int | None


def jpeg_layout(data: bytes) -> Layout:
    """Layout of the first picture in a JPEG file (ITU-T T.81 annex B); ``end`` is None without an end marker."""
    size: tuple[int | None, int | None] = (None, None)
    at = _LENGTH  # after SOI
    while (marker := _marker(data, at)) is not None:
        code, at = marker
        if code == _EOI:
            return Layout(*size, at)
        if code in _STANDALONE:
            continue
        length = int.from_bytes(data[at : at + _LENGTH])
        if code in _FRAMES and size == (None, None) and len(data) >= at + 7:
            size = int.from_bytes(data[at + 5 : at + 7]), int.from_bytes(data[at + 3 : at + 5])
        at += max(length, _LENGTH)
        if code == _SOS:
            found = _NEXT_MARKER.search(data, at)
            at = found.start() if found else len(data)
    return Layout(*size, None)


def _marker(data: bytes, at: int) -> tuple[int, int] | None:
    # a marker is FF, any number of fill bytes FF, and its code
    if at >= len(data) or data[at] != 0xFF:  # noqa: PLR2004
        return None
    while at < len(data) and data[at] == 0xFF:  # noqa: PLR2004
        at += 1
    return (data[at], at + 1) if at < len(data) else None


def png_layout(data: bytes) -> Layout:
    """Layout of a PNG file (W3C PNG, section 5); ``end`` is None without an IEND chunk."""
    width = height = None
    if data[12:16] == b"IHDR" and len(data) >= 24:  # noqa: PLR2004 - through the height field
        width, height = int.from_bytes(data[16:20]), int.from_bytes(data[20:24])
    at = _PNG_SIGNATURE
    while at + _PNG_OVERHEAD <= len(data):
        after = at + _PNG_OVERHEAD + int.from_bytes(data[at : at + 4])
        if data[at + 4 : at + 8] == b"IEND":
            return Layout(width, height, min(after, len(data)))
        at = after
    return Layout(width, height, None)
