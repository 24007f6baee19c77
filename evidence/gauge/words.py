"""The squares of the card's tags, from the code words of AprilTag family 36h11.

Source of words and bit places: E. Olson and others, AprilTag library, file ``tag36h11.c`` (family 36h11, 587 codes, at
least 11 bits apart), University of Michigan. A word's highest bit comes first and a set bit is white. The bits run
over one triangle of the square, then over the same triangle turned by a quarter three times.

The detector that reads the card counts corners from a tag that stands upside down in the family's own pictures. What it
calls upper left must be printed at the upper left, so every square is turned by half here.
"""

from typing import Final

from evidence.gauge import geometry

WORDS: Final[dict[int, int]] = {
    0: 0xD7E00984B,
    1: 0xDDA664CA7,
    2: 0xDC4A1C821,
    3: 0xE17B470E9,
    4: 0xEF91D01B1,
    5: 0xF429CDD73,
    6: 0x05DA29225,
    7: 0x1106CBA43,
    8: 0x223BED79D,
    9: 0x21F51213C,
    10: 0x33EB19CA6,
    11: 0x3F76EB0F8,
    501: 0x291E99DE0,
}
BITS: Final = 36
_LAST: Final = geometry.MODULES - 1
_TRIANGLE: Final = ((1, 1), (2, 1), (3, 1), (4, 1), (5, 1), (2, 2), (3, 2), (4, 2), (3, 3))  # column, row
_HALF_TURN: Final = tuple((_LAST - column, _LAST - row) for column, row in _TRIANGLE)

Modules = tuple[tuple[bool, ...], ...]


def modules(tag: int) -> Modules:
    """Rows of eight modules from the top, each True where it is white; the outer ring is black.

    Raises:
        ValueError: no tag of card or slider.
    """
    if tag not in WORDS:
        raise ValueError(tag)
    white = {place for number, place in enumerate(_places()) if WORDS[tag] >> (BITS - 1 - number) & 1}
    return tuple(
        tuple((column, row) in white for column in range(geometry.MODULES)) for row in range(geometry.MODULES)
    )


def _places() -> list[tuple[int, int]]:
    """Column and row of each bit."""
    places, part = [], list(_HALF_TURN)
    for _ in range(4):
        places += part
        part = [(_LAST - row, column) for column, row in part]
    return places
