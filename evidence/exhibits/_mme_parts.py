"""Which files are parts of an ISO/TS 13499 set, by their names alone, and whether a zip holds any."""

import posixpath
import re
from collections.abc import Iterator

MAX_LOOKED_AT = 20_000  # members of a zip whose names are looked at
_NUMBERED = re.compile(r"\.([0-9]{3,4})", re.ASCII)
_UNSEEN = ("__macosx", "._")
_ENTRY, _LOCAL, _END = b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06"
_ENTRY_BYTES, _LOCAL_BYTES, _END_BYTES = 46, 30, 22  # without what varies in length
_COMMENT = 65_535  # bytes of the comment that may follow the end of a zip


def suffix(name: str) -> str:
    """Ending of a path with its dot."""
    return posixpath.splitext(name)[1]


def is_numbered(name: str) -> bool:
    """Whether a path ends as a channel file does: ``.001``."""
    return _NUMBERED.fullmatch(suffix(name)) is not None


def is_part(name: str) -> bool:
    """Whether a file of that path belongs to the numbers of a set; films, photos and papers do not."""
    hidden = any(part.casefold().startswith(_UNSEEN) for part in name.split("/"))
    return not hidden and (suffix(name).casefold() in (".mme", ".chn") or is_numbered(name))


def holds_parts(data: bytes) -> bool:
    """Whether a zip has a member that is a part of a set; names alone are looked at, and nothing is unpacked.

    Names come from the directory at its end, so that an archive inside does not count. Where that is lost, as in a
    file that was cut off, the headers before the members give them, so that the reader can say what is wrong.
    """
    return any(is_part(name.replace("\\", "/")) for name in _names(data))


def _names(data: bytes) -> Iterator[str]:
    end = data.rfind(_END, max(0, len(data) - _COMMENT - _END_BYTES))
    at = end - int.from_bytes(data[end + 12 : end + 16], "little")
    if end < 0 or at < 0 or not data.startswith(_ENTRY, at):
        yield from _local_names(data)
        return
    for _ in range(MAX_LOOKED_AT):
        if not data.startswith(_ENTRY, at):
            return
        name, extra, comment = (
            int.from_bytes(data[at + place : at + place + 2], "little") for place in (28, 30, 32)
        )
        begin = at + _ENTRY_BYTES
        yield data[begin : begin + name].decode("cp437")
        at = begin + name + extra + comment


def _local_names(data: bytes) -> Iterator[str]:
    at = data.find(_LOCAL)
    for _ in range(MAX_LOOKED_AT):
        if at < 0:
            return
        begin = at + _LOCAL_BYTES
        length = int.from_bytes(data[at + 26 : at + 28], "little")
        yield data[begin : begin + length].decode("cp437")
        at = data.find(_LOCAL, begin)
