"""The sixteen characters of an ISO/TS 13499 channel code, and what each says.

Place 13 and 14 name the physical dimension, 15 the direction, 16 the filter. Letters A to D are published with
example sets of public test houses; P, S and ? are from memory of ISO/TS 13499.
"""

import re
from dataclasses import dataclass

from evidence.exhibits._channel import Recorded
from evidence.quantity import Dimension

CODE_LENGTH = 16
FILTERS: dict[str, Recorded] = {
    "0": "unfiltered",
    "A": "1000",
    "B": "600",
    "C": "180",
    "D": "60",
    "P": "pre-filtered",
    "S": "special",
}
# from memory of ISO/TS 13499: AC acceleration, VE velocity, DS displacement, DC distance, FO force, MO moment, AN angle,
# TI time, VO voltage
DIMENSIONS: dict[str, Dimension] = {
    "AC": Dimension.ACCELERATION,
    "VE": Dimension.SPEED,
    "DS": Dimension.LENGTH,
    "DC": Dimension.LENGTH,
    "FO": Dimension.FORCE,
    "MO": Dimension.TORQUE,
    "AN": Dimension.ANGLE,
    "TI": Dimension.TIME,
    "VO": Dimension.VOLTAGE,
}
_CODE = re.compile(r"[0-9A-Z?]{16}", re.ASCII)
_CLASS = re.compile(r"(?:CFC)?[ _:-]?(60|180|600|1000)(?:[.,]0+)?(?: ?Hz)?", re.ASCII | re.IGNORECASE)
_IN_HEADING = re.compile(r"\bCFC[ _-]?(60|180|600|1000)\b", re.ASCII | re.IGNORECASE)
_UNFILTERED = re.compile(r"\b(?:unfiltered|no filter|not filtered)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Code:
    """What a channel code says; None where it leaves it open or a letter is not known."""

    text: str
    quantity: str
    dimension: Dimension | None
    direction: str
    filter: Recorded | None


def read_code(text: str) -> Code | None:
    """The code, capitals or not; None where the text is none."""
    code = text.strip().upper()
    if not _CODE.fullmatch(code):
        return None
    quantity = code[12:14]
    return Code(code, quantity, DIMENSIONS.get(quantity), code[14], FILTERS.get(code[15]))


def stated_filter(text: str) -> Recorded | None:
    """What the header key of the frequency class says: ``1000``, ``CFC_180``, ``C``, ``unfiltered``."""
    found = _CLASS.fullmatch(text.strip())
    if found:
        return _class(found[1])
    if text.strip() in ("A", "B", "C", "D"):
        return FILTERS[text.strip()]
    return "unfiltered" if text.strip() == "0" or _UNFILTERED.search(text) else None


def filter_of_heading(name: str) -> Recorded:
    """What the heading of a table's column says: a channel code, ``CFC 60`` or ``unfiltered``; else undeclared."""
    code = read_code(name)
    if code:
        return code.filter or "undeclared"
    found = _IN_HEADING.search(name.replace("_", " "))
    if found:
        return _class(found[1])
    return "unfiltered" if _UNFILTERED.search(name.replace("_", " ")) else "undeclared"


def _class(number: str) -> Recorded:
    return next(letter for letter in FILTERS.values() if letter == number)
