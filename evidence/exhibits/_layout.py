"""Where a photo's own markers say that it ends, how large it is and what else its file holds; nothing is decoded.

Phones and cameras append to a picture: further pictures (a second view, a preview, a gain map for bright screens), or
the film of a moving photo. These parts are recognised by their own structure; what belongs to none of them is counted.
"""

import re
from dataclasses import dataclass, replace

from evidence.exhibits import _boxes

_PNG_SIGNATURE = 8  # bytes
_PNG_OVERHEAD = 12  # bytes of a chunk beside its data: length, type, CRC
_LENGTH = 2  # bytes of a JPEG segment's length field
_SOI, _EOI, _SOS, _APP0 = 0xD8, 0xD9, 0xDA, 0xE0
_STANDALONE = (0x01, *range(0xD0, 0xD8))  # markers without a length: TEM and the restarts
_FRAMES = tuple(code for code in range(0xC0, 0xD0) if code not in (0xC4, 0xC8, 0xCC))  # SOF0 to SOF15
_ORDINARY_FRAMES = (0xC0, 0xC1, 0xC2)  # baseline, extended and progressive, all with Huffman coding
_ARITHMETIC_FRAMES = (0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF)
_SAMPLE_BITS = 8
# inside entropy-coded data FF is followed by 00 or a restart; anything else is the next segment
_NEXT_MARKER = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")
_PICTURE_START = re.compile(rb"\xff\xd8\xff")
MAX_CANDIDATES = 64  # places behind a picture that are tried as the start of a part


@dataclass(frozen=True)
class Layout:
    """What a photo's file holds.

    Attributes:
        width: pixels as the header says; None where it is missing.
        height: likewise.
        end: offset just after the picture, of an HEIC file after its boxes; None where the end is missing.
        coding: of a JPEG, what few programs decode: ``arithmetic``, ``lossless`` or ``12 bit``; else empty.
        jfif: whether a JPEG begins with a JFIF header.
        further_pictures: complete JPEG pictures behind the first.
        film: whether a film lies in the file.
        unknown: bytes behind the picture that belong to no part; zeros between parts are padding.
    """

    width: int | None
    height: int | None
    end: int | None
    coding: str = ""
    jfif: bool = False
    further_pictures: int = 0
    film: bool = False
    unknown: int = 0


def jpeg_layout(data: bytes) -> Layout:
    """Layout of a JPEG file (ITU-T T.81 annex B) and of what hangs behind its first picture."""
    first = _jpeg_picture(data, 0)
    return first if first.end is None else _with_parts(first, data, first.end)


def png_layout(data: bytes) -> Layout:
    """Layout of a PNG file (W3C PNG, section 5); ``end`` is None without an IEND chunk."""
    width = height = None
    if data[12:16] == b"IHDR" and len(data) >= 24:  # noqa: PLR2004 - through the height field
        width, height = int.from_bytes(data[16:20]), int.from_bytes(data[20:24])
    at = _PNG_SIGNATURE
    while at + _PNG_OVERHEAD <= len(data):
        after = at + _PNG_OVERHEAD + int.from_bytes(data[at : at + 4])
        if data[at + 4 : at + 8] == b"IEND":
            end = min(after, len(data))
            return Layout(width, height, end, unknown=len(data) - end)
        at = after
    return Layout(width, height, None)


def heif_layout(data: bytes) -> Layout:
    """Layout of an HEIC file by its boxes; its size in pixels is left to the decoder, which reads it first."""
    boxes = _boxes.chain(data, 0)
    if boxes.end is None:
        return Layout(None, None, None)
    return _with_parts(Layout(None, None, boxes.end, film=_boxes.film_within(data, boxes)), data, boxes.end)


def _jpeg_picture(data: bytes, start: int) -> Layout:
    found = Layout(None, None, None)
    at = start + _LENGTH  # after SOI
    while (marker := _marker(data, at)) is not None:
        code, at = marker
        if code == _EOI:
            return replace(found, end=at)
        if code in _STANDALONE:
            continue
        if code == _SOI:
            break  # a picture never begins inside another one's segments
        length = int.from_bytes(data[at : at + _LENGTH])
        if code in _FRAMES and found.width is None and len(data) >= at + 7:
            found = _with_frame(found, code, data[at : at + 7])
        if code == _APP0 and data[at + 2 : at + 7] == b"JFIF\0":
            found = replace(found, jfif=True)
        at += max(length, _LENGTH)
        if code == _SOS:
            following = _NEXT_MARKER.search(data, at)
            at = following.start() if following else len(data)
    return found


def _with_frame(found: Layout, code: int, head: bytes) -> Layout:
    # length, sample precision, height, width
    coding = ""
    if code in _ARITHMETIC_FRAMES:
        coding = "arithmetic"
    elif code not in _ORDINARY_FRAMES:
        coding = "lossless"
    elif head[2] != _SAMPLE_BITS:
        coding = f"{head[2]} bit"
    return replace(found, width=int.from_bytes(head[5:7]), height=int.from_bytes(head[3:5]), coding=coding)


def _marker(data: bytes, at: int) -> tuple[int, int] | None:
    # a marker is FF, any number of fill bytes FF, and its code
    if at >= len(data) or data[at] != 0xFF:  # noqa: PLR2004
        return None
    while at < len(data) and data[at] == 0xFF:  # noqa: PLR2004
        at += 1
    return (data[at], at + 1) if at < len(data) else None


def _with_parts(first: Layout, data: bytes, end: int) -> Layout:
    """The layout with what follows the picture; each place that looks like a start is tried, up to a cap."""
    pictures, film, unknown, at = 0, first.film, 0, end
    for start, is_film in _candidates(data, end):
        if start < at:
            continue  # inside a part that was recognised
        after = _film_end(data, start) if is_film else _picture_end(data, start)
        if after is None:
            continue
        gap = data[at:start]
        unknown += len(gap) if gap.strip(b"\0") else 0
        pictures, film, at = pictures + (not is_film), film or is_film, after
    return replace(first, further_pictures=pictures, film=film, unknown=unknown + len(data) - at)


def _candidates(data: bytes, at: int) -> list[tuple[int, bool]]:
    starts = [
        (match.start(), pattern is _boxes.FILM_START)
        for pattern in (_PICTURE_START, _boxes.FILM_START)
        for match, _ in zip(pattern.finditer(data, at), range(MAX_CANDIDATES), strict=False)
    ]
    return sorted(starts)


def _picture_end(data: bytes, start: int) -> int | None:
    picture = _jpeg_picture(data, start)
    return picture.end if picture.width else None


def _film_end(data: bytes, start: int) -> int | None:
    boxes = _boxes.chain(data, start)
    if not boxes.moving:
        return None
    return len(data) if boxes.end is None else boxes.end
