"""Loads of bolts by thread and property class, for the anchorage worksheet and for tightening.

Published: ISO 898-1, coarse threads, stress area, least tensile load and proof load, as repeated alike by two fastener
distributors' public tables each; the standard itself was not read. The table is used as it stands: its loads are
rounded, and its rounding is not that of stress times area.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

COUNTERSUNK = Fraction(8, 10)
"""Part of the table's loads that a countersunk head is taken to carry: its head is weaker than its thread.

Published for a sibling kind of screws of reduced loadability (public scope of its standard: marked with a zero before
the class); the table of ISO 10642 for its own was not read.
"""


@dataclass(frozen=True)
class Screw:
    """A bolt or screw with what its thread and class carry.

    Attributes:
        diameter_mm: nominal.
        area_mm2: stress area.
        proof_n: proof load; up to it nothing stretches for good.
        tensile_n: least tensile load; above it the bolt may break.
    """

    diameter_mm: Fraction
    area_mm2: Fraction
    proof_n: Fraction
    tensile_n: Fraction


Pairs = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]
_CLASSES = ("8.8", "10.9", "12.9")
# thread: diameter, stress area, then (proof, tensile) of each class
_TABLE: Mapping[str, tuple[int, str, Pairs]] = {
    "M5": (5, "14.2", ((8_230, 11_350), (11_800, 14_800), (13_800, 17_300))),
    "M6": (6, "20.1", ((11_600, 16_100), (16_700, 20_900), (19_500, 24_500))),
    "M8": (8, "36.6", ((21_200, 29_200), (30_400, 38_100), (35_500, 44_600))),
    "M10": (10, "58.0", ((33_700, 46_400), (48_100, 60_300), (56_300, 70_800))),
    "M12": (12, "84.3", ((48_900, 67_400), (70_000, 87_700), (81_800, 103_000))),
    "M14": (14, "115", ((66_700, 92_000), (95_500, 120_000), (112_000, 140_000))),
    "M16": (16, "157", ((91_000, 125_000), (130_000, 163_000), (152_000, 192_000))),
}


def screw(thread: str, property_class: str, *, countersunk: bool = False) -> Screw:
    """The bolt of a coarse thread and class, its loads reduced where its head is countersunk.

    Raises:
        KeyError: no such thread in the table.
        ValueError: no such class.
    """
    diameter, area, loads = _TABLE[thread]
    proof, tensile = loads[_CLASSES.index(property_class)]
    part = COUNTERSUNK if countersunk else Fraction(1)
    return Screw(Fraction(diameter), Fraction(area), proof * part, tensile * part)


_COARSE = {
    "M5": "0.8",
    "M6": "1",
    "M8": "1.25",
    "M10": "1.5",
    "M12": "1.75",
    "M14": "2",
    "M16": "2",
}
"""Coarse pitches in mm (from memory of ISO 261; those of M6 to M12 also stand in the tables named above)."""
_METRIC = re.compile(
    r"M(?P<size>[0-9]{1,2}(?:\.[0-9])?)(?:x(?P<pitch>[0-9](?:\.[0-9]{1,2})?))?(?:-[0-9a-z]+)?"
)
_INCH = re.compile(r"(?P<top>[0-9]{1,2})/(?P<bottom>[0-9]{1,2})-[0-9]{1,2}(?:un[a-z]{1,2})?")
_INCH_MM = Fraction(254, 10)  # definition


def table_thread(designation: str) -> str | None:
    """The thread of the table that a designation names: ``M8`` of ``M8 x 1,25``; None of a fine or unknown one."""
    match = _METRIC.fullmatch(_plain(designation))
    if match is None:
        return None
    name = f"M{match['size']}"
    pitch = _COARSE.get(name)
    return name if pitch is not None and match["pitch"] in (None, pitch) else None


def nominal_mm(designation: str) -> Fraction | None:
    """Nominal diameter of a thread as records name it, ``M8x1`` or ``1/4-20``; None where it says none."""
    plain = _plain(designation)
    if match := _METRIC.fullmatch(plain):
        return Fraction(match["size"])
    if (match := _INCH.fullmatch(plain.casefold())) and int(match["bottom"]):
        return Fraction(int(match["top"]), int(match["bottom"])) * _INCH_MM
    return None


def _plain(designation: str) -> str:
    text = "".join(designation.split()).replace(",", ".").replace("\u00d7", "x").replace("X", "x")
    return text[:1].upper() + text[1:]


def diameter_mm(thread: str) -> Fraction:
    """Nominal diameter of a thread of the table."""
    return Fraction(_TABLE[thread][0])
