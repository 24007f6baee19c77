"""Boxes of ISO media files, films and HEIC pictures alike (ISO/IEC 14496-12), walked without reading into them."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

_HEAD = 8  # bytes: size and name
_LONG_HEAD = 16  # where the size stands in 64 bits behind the name
MAX_BOXES = 1000  # walked from one start; a film in fragments has a few hundred
_LONG, _TO_THE_END = 1, 0  # sizes with a meaning of their own
_TOP_LEVEL = frozenset(
    {
        b"ftyp", b"styp", b"pdin", b"meta", b"mdat", b"free", b"skip", b"wide", b"uuid", b"udta", b"moov", b"moof",
        b"mfra", b"sidx", b"emsg", b"mpvd",
    }
)  # fmt: skip
"""Names that stand at the top; anything else is no box, whatever its four letters spell."""
_MOVING = frozenset({b"moov", b"moof", b"mdat"})
_HANDLER = re.compile(rb"hdlr.{8}(?:vide|soun)", re.DOTALL)
"""A track of a film or of its sound; bursts of stills and animated pictures have tracks of another kind."""
FILM_START = re.compile(rb"\0\0[\0\x01].ftyp[ -~]{4}", re.DOTALL)
"""How a film begins: a small box that names its brand."""


@dataclass(frozen=True)
class Boxes:
    """What a chain of boxes holds.

    Attributes:
        end: offset just after the last box; None where that box promises more bytes than there are.
        names: names of the boxes, first to last.
    """

    end: int | None
    names: tuple[bytes, ...]

    @property
    def moving(self) -> bool:
        """Whether they are what a film consists of."""
        return not _MOVING.isdisjoint(self.names)


def chain(data: bytes, at: int) -> Boxes:
    """The boxes that follow each other from an offset on, as far as they are boxes."""
    names: list[bytes] = []
    for name, after in islice(_boxes(data, at), MAX_BOXES):
        names.append(name)
        if after > len(data):
            return Boxes(None, tuple(names))
        at = after
    return Boxes(at, tuple(names))


def film_within(data: bytes, boxes: Boxes) -> bool:
    """Whether a file of still pictures holds a film among its boxes."""
    return b"mpvd" in boxes.names or (b"moov" in boxes.names and _HANDLER.search(data) is not None)


def _boxes(data: bytes, at: int) -> Iterator[tuple[bytes, int]]:
    while len(data) - at >= _HEAD and (name := data[at + 4 : at + _HEAD]) in _TOP_LEVEL:
        size, least = int.from_bytes(data[at : at + 4]), _HEAD
        if size == _LONG:
            size, least = int.from_bytes(data[at + _HEAD : at + _LONG_HEAD]), _LONG_HEAD
        elif size == _TO_THE_END:
            size = len(data) - at
        if size < least:
            return
        at += size
        yield name, at
