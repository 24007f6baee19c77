"""Attachments of a PDF that is written as plainly as our typesetter writes it, at a tenth of the library's cost.

Plain is: one table of objects, no later change, every object on its own, keys and names of files in plain ASCII without
escapes. What is written in any other way, or looks damaged, is left to the library, which also says what is wrong.
"""

import re
import zlib
from collections.abc import Iterator
from typing import Any

MAX_BYTES = 64 * 1024 * 1024  # of one attachment; the library has a limit of its own for larger ones
MAX_DEPTH = 12  # dictionaries and lists inside each other
_TAIL = 64  # bytes at the end in which the table's place must stand

_END = re.compile(rb"startxref\s+(\d{1,10})\s+%%EOF\s*\Z")
_TABLE = re.compile(rb"xref\s+0 (\d{1,7})\r?\n")
_ENTRY = re.compile(rb"(\d{10}) 00000 n(?:\r\n| \n)")
_STREAM = re.compile(rb"\s*stream\r?\n")
_STREAM_END = re.compile(rb"\r?\n?endstream\s+endobj")
_OBJECT_END = re.compile(rb"\s*endobj")
_SHOWN = re.compile(rb"[ -'*-\[\]-~]+")
_KEY = re.compile(r"[A-Za-z]+")
_TOKEN = re.compile(
    rb"[\0\t\n\f\r ]*(?:(?P<opens><<|\[)|(?P<closes>>>|\])|\((?P<text>(?:[^()\\]|\\.)*+)\)|<(?P<hex>[0-9A-Fa-f\s]*)>"
    rb"|/(?P<name>[^\0\t\n\f\r ()<>\[\]{}/%]+)|(?P<number>\d{1,7}) 0 R\b|(?P<other>[-+.\d]+|true|false|null))",
    re.DOTALL,
)


class NotPlainError(Exception):
    """This PDF is for the library."""


class _Name(str):
    __slots__ = ()


class _Reference(int):
    pass


def attached(data: bytes) -> tuple[tuple[str, bytes], ...]:
    """Name and bytes of every attachment, in the order of the PDF's own list.

    Raises:
        NotPlainError: written otherwise, or damaged.
    """
    file = _File(data)
    names = file.held(file.root.get("Names", {}))
    if not isinstance(names, dict):
        raise NotPlainError
    listed = file.held(names.get("EmbeddedFiles", {"Names": []}))
    if not isinstance(listed, dict) or listed.keys() != {"Names"} or not isinstance(listed["Names"], list):
        raise NotPlainError
    return tuple(_one(file, name, place) for name, place in _pairs(listed["Names"]))


def _one(file: "_File", name: Any, place: Any) -> tuple[str, bytes]:
    described = file.held(place)
    if not isinstance(place, _Reference) or not isinstance(described, dict):
        raise NotPlainError
    embedded = described.get("EF")
    # where two names or two contents are given, programs may disagree about which is shown
    same = isinstance(name, bytes) and name == described.get("F") == described.get("UF")
    if not same or not isinstance(embedded, dict) or not embedded.keys() <= {"F", "UF"}:
        raise NotPlainError
    content = embedded.get("F")
    if content != embedded.get("UF", content) or _SHOWN.fullmatch(name) is None:
        raise NotPlainError
    return name.decode("ascii"), file.stream(content)


class _File:
    """A plain PDF: where its objects lie, and its catalogue."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        end = _END.search(data, max(0, len(data) - _TAIL))
        table = _TABLE.match(data, int(end[1])) if end else None
        if end is None or table is None or not data.startswith(b"%PDF-1."):
            raise NotPlainError
        self._first, self._count = table.end(), int(table[1])
        begin = self._first + 20 * self._count
        if not data.startswith(b"trailer", begin):
            raise NotPlainError
        trailer, past = _value(data, begin + len(b"trailer"))
        if data[past : end.start()].strip() or not isinstance(trailer, dict):
            raise NotPlainError
        if not trailer.keys() <= {"Size", "Root", "Info", "ID"}:
            raise NotPlainError
        self.root: dict[str, Any] = self.held(trailer.get("Root"))
        if not isinstance(self.root, dict):
            raise NotPlainError

    def held(self, value: Any) -> Any:
        """The value itself, or what it refers to."""
        if not isinstance(value, _Reference):
            return value
        found, past = _value(self._data, self._place(value))
        if _OBJECT_END.match(self._data, past) is None:
            raise NotPlainError
        return found

    def stream(self, reference: Any) -> bytes:
        """What a stream holds."""
        if not isinstance(reference, _Reference):
            raise NotPlainError
        described, past = _value(self._data, self._place(reference))
        begin = _STREAM.match(self._data, past)
        if begin is None or not isinstance(described, dict):
            raise NotPlainError
        if not described.keys() <= {"Length", "Type", "Filter", "Subtype", "Params"}:
            raise NotPlainError
        length, packed = described.get("Length"), described.get("Filter")
        past = begin.end() + (int(length) if isinstance(length, bytes) and length.isdigit() else 0)
        if _STREAM_END.match(self._data, past) is None or packed not in (None, "FlateDecode"):
            raise NotPlainError
        content = self._data[begin.end() : past]
        return _inflated(content) if packed else content

    def _place(self, number: int) -> int:
        entry = _ENTRY.match(self._data, self._first + 20 * number)
        if entry is None or not 0 < number < self._count:
            raise NotPlainError
        head = b"%d 0 obj" % number
        if not self._data.startswith(head, int(entry[1])):
            raise NotPlainError
        return int(entry[1]) + len(head)


def _inflated(packed: bytes) -> bytes:
    unpacker = zlib.decompressobj()
    try:
        content = unpacker.decompress(packed, MAX_BYTES)
    except zlib.error as error:
        raise NotPlainError from error
    if not unpacker.eof or unpacker.unused_data:
        raise NotPlainError
    return content


def _value(data: bytes, at: int) -> tuple[Any, int]:
    """One value and where it ends: dictionary, list, name, reference, or bytes for everything else."""
    opened: list[tuple[bytes, list[Any]]] = []
    while True:
        token = _TOKEN.match(data, at)
        if token is None or len(opened) > MAX_DEPTH:
            raise NotPlainError
        at = token.end()
        if token["opens"]:
            opened.append((token["opens"], []))
            continue
        value = _closed(opened, token["closes"]) if token["closes"] else _single(token)
        if not opened:
            return value, at
        opened[-1][1].append(value)


def _closed(opened: list[tuple[bytes, list[Any]]], closes: bytes) -> Any:
    opens, items = opened.pop() if opened else (b"", [])
    if opens == b"[" and closes == b"]":
        return items
    made = dict(_pairs(items))
    keys = [key for key in made if isinstance(key, _Name) and _KEY.fullmatch(key)]
    if (
        opens != b"<<" or closes != b">>" or 2 * len(keys) != len(items)
    ):  # a key twice, or written with escapes
        raise NotPlainError
    return made


def _single(token: "re.Match[bytes]") -> Any:
    if token["number"] is not None:
        return _Reference(token["number"])
    if token["name"] is not None:
        return _Name(token["name"].decode("latin-1"))
    return next(each for each in (token["text"], token["hex"], token["other"]) if each is not None)


def _pairs(items: list[Any]) -> Iterator[tuple[Any, Any]]:
    if len(items) % 2:
        raise NotPlainError
    return zip(items[::2], items[1::2], strict=True)
