"""Which characters a font can print, and what happens to those it cannot.

A character without a glyph stops typesetting, and invisible ones can turn a line around or hide in a serial.
Source of the table layouts: OpenType specification, chapter ``cmap``, formats 4 and 12.
"""

import struct
import unicodedata
from collections.abc import Iterable, Iterator

from evidence.dossier._input import Data
from evidence.errors import InputError, Problem

REPLACEMENT = "\ufffd"
MAX_GROUPS = 20_000  # stretches of one font; large ones have a few thousand
_SPACES = frozenset("\n ")
_DROPPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_LAST = 0x10FFFF
# (platform, encoding) of tables that speak Unicode, the fuller ones first
_WANTED = ((3, 10), (0, 6), (0, 4), (3, 1), (0, 3))


def coverage(font: bytes) -> frozenset[int]:
    """Code points for which a TrueType font has a glyph.

    Raises:
        ValueError: no table of format 4 or 12 that speaks Unicode.
    """
    cmap = _table(font, b"cmap")
    (count,) = struct.unpack_from(">H", cmap, 2)
    places = {
        (platform, encoding): offset
        for platform, encoding, offset in (struct.unpack_from(">HHI", cmap, 4 + 8 * n) for n in range(count))
    }
    for wanted in _WANTED:
        if wanted in places:
            part = cmap[places[wanted] :]
            (layout,) = struct.unpack_from(">H", part, 0)
            if layout in _READERS:
                return frozenset(_READERS[layout](part))
    raise ValueError("the font has no Unicode character map of format 4 or 12")


def printable(value: object, covered: frozenset[int]) -> object:
    """JSON with every text made printable: characters without a glyph replaced, invisible ones left out."""
    if isinstance(value, str):
        return printable_text(value, covered)
    if isinstance(value, list):
        return [printable(entry, covered) for entry in value]
    if isinstance(value, dict):
        return {key: printable(entry, covered) for key, entry in value.items()}
    return value


def printable_text(text: str, covered: frozenset[int]) -> str:
    """One text made printable.

    Control and format characters (direction overrides, zero-width spaces) go; a character without a glyph becomes
    U+FFFD; line ends and spaces stay.
    """
    if text.isascii() and text.isprintable():
        return text
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\t", " "))
    # a drawing is long and has few letters
    return composed.translate({ord(character): _one(character, covered) for character in set(composed)})


def _one(character: str, covered: frozenset[int]) -> str:
    if character in _SPACES or ord(character) in covered:
        # some fonts map soft hyphen or direction marks to an empty glyph
        return "" if unicodedata.category(character) in _DROPPED and character not in _SPACES else character
    return "" if unicodedata.category(character) in ("Cc", "Cf", "Zl", "Zp") else REPLACEMENT


def check_names(entries: Iterable[Data], covered: frozenset[int]) -> None:
    """Make sure that no letter of a name that must print would be lost.

    Args:
        entries: ``id`` and ``text`` of each.
        covered: what the fonts can print.

    Raises:
        InputError: name-cannot-print, with the person's id and the characters.
    """
    problems = [
        Problem("name-cannot-print", "people.yaml", "", {"person": str(entry["id"]), "found": _points(lost)})
        for entry in entries
        if (lost := _lost(str(entry["text"]), covered))
    ]
    if problems:
        raise InputError(problems)


def _lost(name: str, covered: frozenset[int]) -> list[str]:
    composed = unicodedata.normalize("NFC", name)
    return sorted({letter for letter in composed if _one(letter, covered) != letter})


def _points(characters: Iterable[str]) -> str:
    return ", ".join(f"U+{ord(character):04X}" for character in characters)


def _table(font: bytes, tag: bytes) -> bytes:
    (count,) = struct.unpack_from(">H", font, 4)
    for number in range(count):
        name, _, offset, length = struct.unpack_from(">4sIII", font, 12 + 16 * number)
        if name == tag:
            return font[offset : offset + length]
    raise ValueError(f"the font has no table {tag.decode()}")


def _format_12(part: bytes) -> Iterator[int]:
    (groups,) = struct.unpack_from(">I", part, 12)
    for number in range(min(groups, MAX_GROUPS)):
        first, last, glyph = struct.unpack_from(">III", part, 16 + 12 * number)
        for point in range(first, min(last, _LAST) + 1):
            if glyph + point - first:
                yield point


def _format_4(part: bytes) -> Iterator[int]:
    (double,) = struct.unpack_from(">H", part, 6)
    segments = double // 2
    ends, starts = 14, 16 + double
    for number in range(segments):
        (last,) = struct.unpack_from(">H", part, ends + 2 * number)
        (first,) = struct.unpack_from(">H", part, starts + 2 * number)
        (delta,) = struct.unpack_from(">h", part, starts + double + 2 * number)
        place = starts + 2 * double + 2 * number
        (reach,) = struct.unpack_from(">H", part, place)
        for point in range(first, last + 1):
            if point != 0xFFFF and _glyph_4(part, point - first, (point, delta, place, reach)):  # noqa: PLR2004 - the end mark
                yield point


def _glyph_4(part: bytes, step: int, segment: tuple[int, int, int, int]) -> int:
    point, delta, place, reach = segment
    if reach == 0:
        return (point + delta) & 0xFFFF
    (glyph,) = struct.unpack_from(">H", part, place + reach + 2 * step)
    return (glyph + delta) & 0xFFFF if glyph else 0


_READERS = {4: _format_4, 12: _format_12}
