"""Numbers as people and programs write them: decimal mark and marks between thousands, decided once for a table.

Where two readings are possible the table is refused, because a wrong guess moves a number by a factor of a thousand.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from evidence.errors import Problem

MAX_EXPONENT = 19  # a power of ten above it is no measured value, and keeps 40 digits on each side enough

_SIGN = r"[+\-\u2212]?"  # plus, hyphen, minus sign
_NUMBER = re.compile(
    rf"(?P<sign>{_SIGN})(?P<whole>[0-9]{{0,20}})(?:[.,](?P<part>[0-9]{{1,20}}))?(?:[eE](?P<power>[+\-]?[0-9]{{1,2}}))?",
    re.ASCII,
)
# no-break space, its two thin sisters, two apostrophes; an ordinary space may also stand between two numbers
_QUIET = "\u00a0\u2009\u202f'\u2019"
_GROUPED = re.compile(
    rf"(?P<sign>{_SIGN})(?P<whole>[1-9][0-9]{{0,2}}(?P<mark>[.,{_QUIET}])[0-9]{{3}}(?:(?P=mark)[0-9]{{3}}){{0,5}})"
    r"(?:(?!(?P=mark))(?P<decimal>[.,])(?P<part>[0-9]{1,20}))?",
    re.ASCII,
)
_LIKE_GROUPED = re.compile(rf"{_SIGN}[0-9]{{1,3}}(?:[., {_QUIET}][0-9]{{3}})+(?:[.,][0-9]+)?", re.ASCII)
_NOT_A_NUMBER = re.compile(
    r"[+\-]?(?:nan|inf|infinity|#n/a|n/a|na|null|none|#num!|#div/0!)", re.ASCII | re.IGNORECASE
)
_FORMULA_START = ("=", "@")
_ISO_DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_ISO_TIME = r"[0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]{1,9})?)?(?:Z|[+\-][0-9]{2}:?[0-9]{2})?"
_ISO = re.compile(rf"{_ISO_DATE}(?:[T ]{_ISO_TIME})?|{_ISO_TIME}", re.ASCII)
_LIKE_DATE = re.compile(
    r"(?:[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}|[0-9]{1,2}([-/.])[0-9]{1,2}\1(?:[0-9]{4}|[0-9]{2})|[0-9]{1,2}/[0-9]{1,2}"
    r"|[0-9]{1,2}-[0-9]{1,2})(?:[T ].*)?"
    r"|[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]+)?)?(?: ?[APap][Mm])?",
    re.ASCII,
)
_MONTH_NAMED = re.compile(
    r"(?:[0-9]{1,2}[.\-/ ]{1,2})?(?P<month>[^\W\d_]{3,9})\.?[.\-/ ]{1,2}[0-9]{1,4}(?:,? [0-9]{2,4})?"
    r"|[0-9]{1,2}[.\-/ ]{1,2}(?P<late>[^\W\d_]{3,9})\.?"
)
_MONTHS = frozenset(
    [
        "jan",
        "feb",
        "mar",
        "apr",
        "may",
        "jun",
        "jul",
        "aug",
        "sep",
        "oct",
        "nov",
        "dec",
        "mär",
        "mrz",
        "mai",
        "okt",
        "dez",
        "fév",
        "avr",
        "jui",
        "aoû",
        "déc",
    ]
)


# most cells of most files; looked at first, because a long log has hundreds of thousands
_USUAL = re.compile(r"-?[0-9]{1,20}(?:[.,][0-9]{1,20})?", re.ASCII)
_EITHER_WAY = re.compile(r"-?[0-9]{1,3}[.,][0-9]{3}", re.ASCII)
_UNGROUPED = re.compile(r"-?[0-9]{1,20}[.,](?:[0-9]{1,2}|[0-9]{4,20})", re.ASCII)


@dataclass(frozen=True)
class Marks:
    """How the numbers of a table are written.

    Attributes:
        thousands: the mark between thousands; empty where no number has one.
    """

    thousands: str = ""


def is_number(cell: str) -> bool:
    """Whether a cell is a number, whichever marks it has."""
    if _USUAL.fullmatch(cell):
        return True
    if _GROUPED.fullmatch(cell):
        return True
    match = _NUMBER.fullmatch(cell)
    if match is None or not (match["whole"] or match["part"]):
        return False
    return abs(int(match["power"] or 0)) <= MAX_EXPONENT


def is_iso(cell: str) -> bool:
    """Whether a cell is a date, a time of day, or both, in the order of ISO 8601."""
    return _ISO.fullmatch(cell) is not None


def is_named_date(cell: str) -> bool:
    """Whether a cell is a date with the name of its month, as spreadsheets export what they took for one: 3-Dec."""
    named = _MONTH_NAMED.fullmatch(cell) if len(cell) <= 40 else None  # noqa: PLR2004 - no date is that long
    return named is not None and (named["month"] or named["late"])[:3].lower() in _MONTHS


def is_rounded(cell: str) -> bool:
    """Whether a cell is a number with a point or comma and a power of ten, as spreadsheets cut long ones: 1.23E+11."""
    match = _NUMBER.fullmatch(cell)
    return match is not None and match["part"] is not None and match["power"] is not None


def is_like_date(cell: str) -> bool:
    """Whether a cell looks like a date or a time of day in any of the usual orders."""
    if len(cell) > 40:  # noqa: PLR2004 - no date is that long
        return False
    return is_named_date(cell) or is_iso(cell) or _LIKE_DATE.fullmatch(cell) is not None


def fault(cell: str) -> str:
    """Code of what is wrong with a cell that is no number."""
    if not cell:
        return "table-cell-blank"
    if _NOT_A_NUMBER.fullmatch(cell):
        return "table-cell-not-finite"
    if cell.startswith(_FORMULA_START):
        return "table-cell-formula"
    if is_like_date(cell):
        return "table-cell-date"
    return "table-cell-grouped" if _LIKE_GROUPED.fullmatch(cell) else "table-cell-number"


def usual(columns: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...] | None:
    """Columns of numbers as decimal strings, where each cell is of the usual sort and all have the same decimal mark.

    None where a cell needs a closer look: what ``fault``, ``Evidence`` and ``plain`` say is the same, only slower.
    """
    marks = set()
    for cells in columns:
        if not all(map(_USUAL.fullmatch, cells)) or any(map(_EITHER_WAY.fullmatch, cells)):
            return None
        text = "".join(cells)
        marks |= {mark for mark in ".," if mark in text}
    if len(marks) > 1:
        return None
    return tuple(tuple(cell.replace(",", ".") for cell in cells) for cells in columns)


class Evidence:
    """What the numbers of a table say about their marks; each finding with the first cell that shows it."""

    def __init__(self) -> None:
        self._decimal: dict[str, tuple[str, str]] = {}  # mark to place and cell
        self._thousands: dict[str, tuple[str, str]] = {}
        self._either: dict[str, tuple[str, str]] = {}  # 1,234 and 1.234: nothing but a count of three digits

    def see(self, place: str, cells: Iterable[str]) -> None:
        """Take in number cells of one place."""
        for cell in cells:
            if cell.isdigit():
                continue
            if _UNGROUPED.fullmatch(cell):
                self._decimal.setdefault("." if "." in cell else ",", (place, cell))
                continue
            grouped = _GROUPED.fullmatch(cell)
            if grouped is None:
                for mark in ".,":
                    if mark in cell:
                        self._decimal.setdefault(mark, (place, cell))
                continue
            mark, decimal = grouped["mark"], grouped["decimal"]
            once = grouped["whole"].count(mark) == 1
            if mark in ".," and once and decimal is None:
                self._either.setdefault(mark, (place, cell))
                continue
            self._thousands.setdefault(mark, (place, cell))
            if decimal is not None:
                self._decimal.setdefault(decimal, (place, cell))

    def marks(self) -> Marks | Problem:
        """How the numbers are written, or why nobody can tell."""
        thousands = sorted(self._thousands)
        if len(thousands) > 1:
            (_, other), (place, found) = sorted(self._thousands.values())[:2]
            return Problem("table-thousands-mixed", place, "", {"found": found, "other": other})
        mark = thousands[0] if thousands else ""
        points = self._decimal.get(".") or (None if mark == "." else self._either.get("."))
        commas = self._decimal.get(",") or (None if mark == "," else self._either.get(","))
        if points and commas:
            return _mixed(points, commas)
        if mark and mark in self._decimal:
            return _mixed(self._decimal[mark], self._thousands[mark])
        if mark != "," and "," not in self._decimal and "," in self._either:
            place, cell = self._either[","]
            readings = {"decimal": cell.replace(",", "."), "grouped": cell.replace(",", "")}
            return Problem("table-comma-ambiguous", place, "", {"found": cell, **readings})
        return Marks(mark)


def _mixed(points: tuple[str, str], commas: tuple[str, str]) -> Problem:
    place, found = points
    other_place, other = commas
    at = other_place.rpartition(":")[2]
    return Problem("table-decimal-mixed", place, "", {"found": found, "other": other, "line": at})


def plain(cell: str, marks: Marks) -> str:
    """A number cell as a decimal string: point as mark, no exponent, ``-`` only as a sign."""
    if not marks.thousands and _USUAL.fullmatch(cell):
        return cell.replace(",", ".")
    if marks.thousands:
        cell = _without_groups(cell, marks.thousands)
    match = _NUMBER.fullmatch(cell)
    if match is None:
        raise ValueError(cell)  # every cell was checked before
    sign = "-" if match["sign"] in ("-", "\u2212") else ""
    digits = (match["whole"] or "0") + (f".{match['part']}" if match["part"] else "")
    # a Decimal made from text is exact whatever its length; arithmetic on it would round to 28 digits
    return sign + (f"{Decimal(digits + 'E' + match['power']):f}" if match["power"] else digits)


def _without_groups(cell: str, mark: str) -> str:
    grouped = _GROUPED.fullmatch(cell)
    return cell.replace(mark, "") if grouped and grouped["mark"] == mark else cell
