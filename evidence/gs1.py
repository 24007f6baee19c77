"""GS1 element strings: what a code of the GS1 system says, as application identifiers and their values.

Source: GS1 General Specifications (GS1 AISBL): the table of application identifiers, the list of those with a
predefined length, the check digit, the character set of values, and how dates are written and given a century.
Web addresses that carry the same identifiers (GS1 Digital Link) are taken apart and never opened.
"""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

SEPARATOR = "\x1d"  # how FNC1 between two values arrives as text
SYMBOLOGY_PREFIXES = ("]C1", "]d2", "]Q3", "]e0", "]J1")
"""What scanners put in front of a GS1-128, Data Matrix, QR, DataBar or DotCode symbol that holds GS1 data."""
REFERENCE_YEAR = 2026
"""Year from which two digits get their century; fixed, so that a code reads the same on every day."""
MAX_TEXT = 2000  # characters; the largest symbol in use holds fewer

_X = r"""[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]"""  # the 82 characters that values may hold
_DATE, _ANY30, _ANY20 = r"[0-9]{6}", _X + "{1,30}", _X + "{1,20}"
_VALUES: dict[str, str] = {
    "00": r"[0-9]{18}",
    **dict.fromkeys(("01", "02"), r"[0-9]{14}"),
    **dict.fromkeys(("10", "21", "22", "243", "254", "420", "8012"), _ANY20),
    **dict.fromkeys(("11", "12", "13", "15", "16", "17"), _DATE),
    "20": r"[0-9]{2}",
    "235": _X + "{1,28}",
    **dict.fromkeys(("240", "241", "250", "251", "400", "401", "403", "8004", "90"), _ANY30),
    "242": r"[0-9]{1,6}",
    "253": r"[0-9]{13}" + _X + "{0,17}",
    **dict.fromkeys(("30", "37"), r"[0-9]{1,8}"),
    **{f"{measure}{point}": r"[0-9]{6}" for measure in range(310, 370) for point in range(6)},
    "402": r"[0-9]{17}",
    **{str(location): r"[0-9]{13}" for location in range(410, 418)},
    "421": r"[0-9]{3}" + _X + "{1,9}",
    "422": r"[0-9]{3}",
    "7003": r"[0-9]{10}",
    "8003": r"0[0-9]{13}" + _X + "{0,16}",
    "8005": r"[0-9]{6}",
    "8008": r"[0-9]{8}(?:[0-9]{2}){0,2}",
    **dict.fromkeys(("8017", "8018"), r"[0-9]{18}"),
    "8020": _X + "{1,25}",
    **{str(company): _X + "{1,90}" for company in range(91, 100)},
}
"""Application identifier to the form of its value."""
_PREDEFINED = {
    "00": 18, "01": 14, "02": 14, "03": 14, "04": 16, "20": 2, "41": 14,
    **{str(dated): 6 for dated in range(11, 20)},
    **{str(measured): 8 for measured in range(31, 37)},
}  # fmt: skip
"""First two digits of an identifier to the number of characters that follow these two, where no separator is needed.

For 31 to 36 and 41 the rest of a longer identifier counts among them."""
_CHECKED = {
    **dict.fromkeys(("00", "01", "02", "402", "8017", "8018"), slice(None)),
    **{str(location): slice(None) for location in range(410, 418)},
    "253": slice(13),
    "8003": slice(1, 14),
}
"""Identifier to the part of its value that ends with a check digit."""
_DATED = frozenset({"11", "12", "13", "15", "16", "17"})
_BRACKETED = re.compile(r"\(([0-9]{2,4})\)")
_LINK = re.compile(r"https?://[^/?#\s]{1,253}(/[^?#\s]*)(?:\?([^#\s]*))?(?:#\S*)?", re.ASCII | re.IGNORECASE)
_PRIMARY = ("01", "8003", "8004", "8018", "8017", "00", "414", "417", "253", "402")
_GTIN_LENGTHS = (8, 12, 13, 14)


class Gs1Error(ValueError):
    """A text that is meant as GS1 data and is not.

    Attributes:
        reason: text-too-long, identifier-unknown, value-malformed, value-short, check-digit, date-impossible,
            repeated-differently or empty.
        position: index of the character where it goes wrong.
    """

    def __init__(self, reason: str, position: int) -> None:
        super().__init__(f"{reason} at character {position + 1}")
        self.reason = reason
        self.position = position


@dataclass(frozen=True)
class Element:
    """One application identifier with its value, and where in the text its value begins."""

    identifier: str
    value: str
    position: int


def check_digit(digits: str) -> str:
    """The digit that belongs behind these, counted modulo 10 with weights 3 and 1 from the right.

    Source: GS1 General Specifications, standard check digit calculations for GS1 data structures.
    """
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(digits)))
    return str(-total % 10)


def is_gtin(text: str) -> bool:
    """Whether a text is a trade item number of 8, 12, 13 or 14 digits whose check digit fits."""
    digits = len(text) in _GTIN_LENGTHS and text.isascii() and text.isdigit()
    return digits and check_digit(text[:-1]) == text[-1]


def day(text: str, year: int = REFERENCE_YEAR) -> date:
    """A date as GS1 writes it, ``YYMMDD``; day 00 stands for the last day of the month.

    Args:
        text: six digits.
        year: four digits; the century is the one that brings the date nearest to it.

    Raises:
        ValueError: no such day.
    """
    own = int(text[:2])
    century = year - year % 100
    difference = own - year % 100
    if difference > 50:  # noqa: PLR2004 - differences of 51 to 99 belong to the century before
        century -= 100
    elif difference < -49:  # noqa: PLR2004 - and of -99 to -50 to the one after
        century += 100
    month, number = int(text[2:4]), int(text[4:6])
    if number == 0 and 1 <= month <= 12:  # noqa: PLR2004 - months
        number = monthrange(century + own, month)[1]
    return date(century + own, month, number)


def is_marked(text: str) -> bool:
    """Whether a text says itself that it is meant as GS1 data: by prefix, separator or bracketed identifiers."""
    return text.startswith(SYMBOLOGY_PREFIXES) or SEPARATOR in text or _BRACKETED.match(text) is not None


def elements(text: str) -> tuple[Element, ...]:
    """The elements of a text that is marked as GS1 data, in its order, every value checked.

    Args:
        text: ``]d2`` or another prefix and the data with separators, the data alone, or ``(01)...(21)...``.

    Raises:
        Gs1Error: the first thing that is wrong.
    """
    if len(text) > MAX_TEXT:
        raise Gs1Error("text-too-long", MAX_TEXT)
    prefix = next((len(each) for each in SYMBOLOGY_PREFIXES if text.startswith(each)), 0)
    bracketed = _BRACKETED.match(text, prefix) is not None
    return _checked(_bracketed(text, prefix) if bracketed else _separated(text, prefix))


def link_elements(text: str) -> tuple[Element, ...]:
    """The elements that a web address carries in its path and query; empty where it carries none.

    Raises:
        Gs1Error: it names an identifier, and the value is wrong.
    """
    match = _LINK.fullmatch(text) if len(text) <= MAX_TEXT else None
    if match is None:
        return ()
    steps = match[1].split("/")[1:]
    places = [
        match.start(1) + 1 + sum(len(step) + 1 for step in steps[:index]) for index in range(len(steps))
    ]
    first = next((index for index, step in enumerate(steps[:-1]) if step in _PRIMARY), None)
    if first is None:
        return ()
    pairs = [(steps[index], steps[index + 1], places[index + 1]) for index in range(first, len(steps) - 1, 2)]
    for part in (match[2] or "").split("&"):
        name, _, value = part.partition("=")
        if name in _VALUES:
            pairs.append((name, value, match.start(2)))
    return _checked(_linked(pairs))


def bracketed(parts: tuple[Element, ...]) -> str:
    """The elements with brackets around their identifiers, as they are printed under a symbol."""
    return "".join(f"({part.identifier}){part.value}" for part in parts)


def _linked(pairs: list[tuple[str, str, int]]) -> Iterator[Element]:
    for identifier, written, position in pairs:
        value = re.sub(r"%([0-9A-Fa-f]{2})", lambda match: chr(int(match[1], 16)), written)
        if identifier == "01" and len(value) in _GTIN_LENGTHS:
            value = value.zfill(14)  # links may give the shorter forms
        yield Element(identifier, value, position)


def _bracketed(text: str, start: int) -> Iterator[Element]:
    found = list(_BRACKETED.finditer(text, start))
    for match, following in zip(found, [*found[1:], None], strict=True):
        end = following.start() if following else len(text)
        yield Element(match[1], text[match.end() : end].removesuffix(SEPARATOR).strip(), match.end())


def _separated(text: str, start: int) -> Iterator[Element]:
    position = start
    while position < len(text):
        if text[position] == SEPARATOR:  # one may stand first, and behind values that need none
            position += 1
            continue
        identifier = _identifier(text, position)
        end = _end(text, position)
        begin = position + len(identifier)
        yield Element(identifier, text[begin:end], begin)
        position = end


def _identifier(text: str, position: int) -> str:
    for length in (2, 3, 4):
        if (identifier := text[position : position + length]) in _VALUES:
            return identifier
    raise Gs1Error("identifier-unknown", position)


def _end(text: str, position: int) -> int:
    length = _PREDEFINED.get(text[position : position + 2])
    if length is not None:
        end = position + 2 + length
        if end > len(text):
            raise Gs1Error("value-short", len(text))
        return end
    separator = text.find(SEPARATOR, position)
    return len(text) if separator < 0 else separator


def _checked(parts: Iterator[Element]) -> tuple[Element, ...]:
    seen: dict[str, str] = {}
    kept: list[Element] = []
    for part in parts:
        _check(part)
        if seen.setdefault(part.identifier, part.value) != part.value:
            raise Gs1Error("repeated-differently", part.position)
        kept.append(part)
    if not kept:
        raise Gs1Error("empty", 0)
    return tuple(kept)


def _check(part: Element) -> None:
    form = _VALUES.get(part.identifier)
    if form is None:
        raise Gs1Error("identifier-unknown", part.position)
    if re.fullmatch(form, part.value, re.ASCII) is None:
        raise Gs1Error("value-malformed", part.position)
    covered = _CHECKED.get(part.identifier)
    if covered is not None:
        digits = part.value[covered]
        if check_digit(digits[:-1]) != digits[-1]:
            raise Gs1Error("check-digit", part.position + len(digits) - 1)
    if part.identifier in _DATED:
        try:
            day(part.value)
        except ValueError as error:
            raise Gs1Error("date-impossible", part.position) from error
