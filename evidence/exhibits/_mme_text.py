"""One text file of an ISO/TS 13499 set: lines ``key : value``, in channel files one sample per line below them.

Keys are compared by their letters and digits alone, because programs differ in capitals, dots, tabs and hyphens.
"""

import codecs
import re
from array import array
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from evidence.errors import Problem
from evidence.exhibits._answer import quoted
from evidence.exhibits._base import claimed
from evidence.exhibits._channel import MAX_SAMPLES

NO_VALUES = frozenset({"", "novalue", "nodata", "none", "-", "n/a", "unknown", "?"})
"""How a header says that it says nothing; ``NOVALUE`` is the format's own word."""
MAX_DECIMALS = 15  # a double has no more to give
MAX_HEADER = 2000  # lines of a header
ENCODING = "mme-encoding-guessed"
COMMA = "mme-decimal-comma"

_NUMBER = re.compile(r"[+\-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+\-]?[0-9]{1,3})?", re.ASCII)
_ONLY_NUMBERS = re.compile(r"[0-9eE+\-.,\n]*", re.ASCII)
_BLANKS = " \t\f\v\x1a"  # the last ends a text file of an age ago
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x19\x1b-\x1f\x7f]")


@dataclass(frozen=True)
class Entry:
    """The value of a header key, and the line it stands in, counted from 1."""

    value: str
    line: int


@dataclass
class TextFile:
    """A file of the set, read.

    Attributes:
        where: name for messages.
        entries: key, letters and digits only, to its first value; without those that say nothing.
        samples: of a channel file, in its own unit; None where one of them is no number.
        first_line: line of the first sample; 0 where there is none.
        decimals: digits that the samples have behind the point at most, by their power of ten.
        extremes: the greatest and the least sample as printed.
        problems: what is wrong, with its line.
        notices: codes of what was assumed.
    """

    where: str
    entries: Mapping[str, Entry] = field(default_factory=dict)
    samples: "array[float] | None" = None
    first_line: int = 0
    decimals: int = 0
    extremes: tuple[str, str] = ("", "")
    problems: list[Problem] = field(default_factory=list)
    notices: set[str] = field(default_factory=set)

    def value(self, *keys: str) -> str | None:
        """The value of the first of the keys that says something."""
        entry = self.entry(*keys)
        return entry.value if entry else None

    def entry(self, *keys: str) -> Entry | None:
        """The same with its line."""
        return next((self.entries[key] for key in keys if key in self.entries), None)

    def line(self, *keys: str) -> str:
        """Place of the first of the keys that is there, else of the file."""
        entry = self.entry(*keys)
        return f"{self.where}:{entry.line}" if entry else self.where

    def wrong(self, code: str, *keys: str, **parameters: str) -> None:
        """Note a problem at the line of a key."""
        self.problems.append(Problem(code, self.line(*keys), "", parameters))


def folded(key: str) -> str:
    """A key by its letters and digits."""
    return "".join(one for one in key.casefold() if one.isalnum())


def is_number(text: str) -> bool:
    """Whether a text is one number with a point or comma."""
    return _NUMBER.fullmatch(text) is not None


def read_text(data: bytes, where: str, *, samples: bool) -> TextFile:
    """Read a file of the set; whatever is wrong with it is among its problems.

    Args:
        data: the whole file: UTF-8, UTF-16 with its mark, or Windows-1252; any line ends.
        where: name for messages; a problem in a line is at ``where:line``.
        samples: whether samples stand below the header.
    """
    found = TextFile(where)
    text = _decoded(data, found)
    control = _CONTROL.search(text)
    if control:
        line = text.count("\n", 0, control.start()) + 1
        found.problems.append(Problem("mme-character", f"{where}:{line}", "", {"found": quoted(control[0])}))
        return found
    lines = text.split("\n")
    end = _header_end(lines) if samples else len(lines)
    found.entries = dict(_entries(lines[:end]))
    if samples:
        _read_samples(found, lines, end)
    return found


def _decoded(data: bytes, found: TextFile) -> str:
    try:
        utf16 = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
        text = data.decode("utf-16" if utf16 else "utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
        found.notices.add(ENCODING)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _header_end(lines: list[str]) -> int:
    """Index of the first line that is a sample: a number, or a word without a colon below at least one key."""
    for at, line in enumerate(lines[:MAX_HEADER]):
        bare = line.strip(_BLANKS)
        if bare and ":" not in bare and (is_number(bare) or bare.casefold() in ("novalue", "nan")):
            return at
    return min(len(lines), MAX_HEADER)


def _entries(lines: list[str]) -> Iterator[tuple[str, Entry]]:
    seen = set()
    for number, line in enumerate(lines, 1):
        name, colon, rest = line.partition(":")
        key, value = folded(name), claimed(rest) or ""
        if colon and key and key not in seen and value.casefold() not in NO_VALUES:
            seen.add(key)
            yield key, Entry(value, number)


def _read_samples(found: TextFile, lines: list[str], begin: int) -> None:
    rows = [line.strip(_BLANKS) for line in lines[begin:]]
    while rows and not rows[-1]:
        rows.pop()
    if not rows:
        found.problems.append(Problem("mme-no-samples", found.where))
        return
    if len(rows) > MAX_SAMPLES:
        found.problems.append(Problem("mme-too-many-samples", found.where, "", {"limit": str(MAX_SAMPLES)}))
        return
    found.first_line = begin + 1
    text = "\n".join(rows)
    # the slow look at every line names what is wrong; the quick one knows only that nothing is
    if not _ONLY_NUMBERS.fullmatch(text) or "" in rows or not _convert(found, rows, text):
        _name_fault(found, rows)


def _convert(found: TextFile, rows: list[str], text: str) -> bool:
    if "," in text:
        if "." in text:
            return False
        rows = text.replace(",", ".").split("\n")
        found.notices.add(COMMA)
    try:
        values = array("d", map(float, rows))
    except ValueError:
        return False
    greatest, least = max(values), min(values)
    if not _is_finite(greatest) or not _is_finite(least):
        return False
    found.samples = values
    found.extremes = rows[values.index(greatest)], rows[values.index(least)]
    found.decimals = min(_most_decimals(rows, text), MAX_DECIMALS)
    return True


def _is_finite(value: float) -> bool:
    return abs(value) < 1e30  # noqa: PLR2004 - beyond it nothing is measured


def _most_decimals(rows: list[str], text: str) -> int:
    if "e" in text or "E" in text:
        return max(map(_decimals, rows))
    # three times as fast, and most files have no powers
    return max(len(row.partition(".")[2]) for row in rows)


def _decimals(row: str) -> int:
    mantissa, _, power = row.replace("E", "e").partition("e")
    return len(mantissa.partition(".")[2]) - int(power or 0)


def _name_fault(found: TextFile, rows: list[str]) -> None:
    """The first line that is no sample, and what it is."""
    marks: set[str] = set()
    for at, row in enumerate(rows):
        place = f"{found.where}:{found.first_line + at}"
        if row.casefold() in NO_VALUES or row.casefold() == "nan":
            missing = sum(one.casefold() in NO_VALUES or one.casefold() == "nan" for one in rows)
            found.problems.append(Problem("mme-sample-missing", place, "", {"count": str(missing)}))
            return
        marks |= {mark for mark in ".," if mark in row}
        if not is_number(row) or len(marks) > 1 or not _is_finite(float(row.replace(",", "."))):
            found.problems.append(Problem("mme-sample", place, "", {"found": quoted(row)}))
            return
