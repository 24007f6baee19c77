"""How alike two pictures are, told from 256 bits each that survive saving again, scaling and a change of brightness.

A picture is shrunk to 17 by 16 greys; each bit says whether a point is brighter than its right neighbour. Near
copies are a matter for a check and for a fleet, so the bits stand in the item and never in the manifest.
"""

from itertools import pairwise

from PIL import Image

SIDE = 16  # bits in each direction
ALIKE = 46
"""Bits of 256 up to which two pictures of one vehicle are taken for copies of one.

Measured on twenty rendered photos: saved again, scaled or brightened at most 23, cropped by 3 % at most 40; different
photos of one vehicle at least 80. The same view of two alike vehicles came to 28, so between vehicles it is a hint.
"""
SAVED_AGAIN = 12
"""Bits up to which one picture is certainly another one saved again: half of such copies came within 4, all within 22."""
FLAT = 16  # bits; with fewer set, or fewer not set, a picture is one plain area that says nothing


def is_flat(one: str) -> bool:
    """Whether a picture is one plain area, so that its likeness says nothing; 64 hexadecimal digits."""
    return not FLAT <= int(one, 16).bit_count() <= len(one) * 4 - FLAT


def likeness(grey: Image.Image) -> str:
    """The 256 bits of a picture as 64 hexadecimal digits, row by row.

    Args:
        grey: upright, mode ``L``; an eighth of a photo's size is enough and gives the same bits in every run.
    """
    small = grey.resize((SIDE + 1, SIDE), Image.Resampling.BOX)
    greys = small.tobytes()
    bits = 0
    for row in range(SIDE):
        line = greys[row * (SIDE + 1) : (row + 1) * (SIDE + 1)]
        for left, right in pairwise(line):
            bits = bits << 1 | (left > right)
    return f"{bits:064x}"


def likeness_distance(one: str, other: str) -> int:
    """In how many of 256 bits two pictures differ; copies stay within ``ALIKE``, other pictures lie near 128.

    Args:
        one: 64 hexadecimal digits of ``likeness``.
        other: the same of another picture.
    """
    return (int(one, 16) ^ int(other, 16)).bit_count()
