"""Where the text of a document mentions what somebody transcribed from it; told, and never proof of anything.

A value is looked for as people write it: case, spacing, soft hyphens and ligatures do not count, dates come in many
shapes, numbers with point or comma. A value that is found may still mean something else, and one that is not found
may stand in a drawing, so neither decides a finding.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from evidence.model.names import CLAIM_DATES, ClaimName
from evidence.model.record import Claim, Document, JobRecord
from evidence.model.times import parse_date
from evidence.quantity import UNITS, Quantity

IDENTIFIERS = frozenset(
    {
        ClaimName.SAMPLE_SERIAL,
        ClaimName.SYSTEM_SERIAL,
        ClaimName.STRETCHER_SERIAL,
        ClaimName.INSTRUMENT_SERIAL,
        ClaimName.LOT,
        ClaimName.UDI,
    }
)
"""Claims that a paper can only write letter by letter."""

_NAMES = frozenset(
    {
        ClaimName.TEST_STANDARD,
        ClaimName.SYSTEM_MODEL,
        ClaimName.STRETCHER_MODEL,
        ClaimName.SAMPLE_NAME,
        ClaimName.TESTED_FOR,
    }
)
_MONTHS = (
    "january jan januar janvier janv enero ene januari gennaio gen",
    "february feb februar février févr febrero februari febbraio",
    "march mar märz mrz mars marzo maart",
    "april apr avril avr abril abr aprile",
    "may mai mayo mei maggio mag maj",
    "june jun juni juin junio giugno giu",
    "july jul juli juillet juil julio luglio lug",
    "august aug août agosto ago augustus augusti",
    "september sep sept septembre septiembre settembre set",
    "october oct oktober okt octobre octubre ottobre ott",
    "november nov novembre noviembre novembre",
    "december dec dezember dez décembre déc diciembre dic dicembre",
)
"""Names and short forms of the months in seven languages, folded before they are compared."""
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2015\u2212"), "-")
_QUOTES = {
    ord("\u2018"): "'",
    ord("\u2019"): "'",
    ord("\u201c"): '"',
    ord("\u201d"): '"',
    0x2032: "'",
    0x2033: '"',
}
_GAP = r"\s*"
_FRACTION = re.compile(r"[0-9]/[0-9]")
_BESIDE = 30  # characters between the day and the year of one date
_PLAIN_DIGITS = 3  # digits of a number that is telling even where its unit stands elsewhere, as in a table


@dataclass(frozen=True)
class Mention:
    """What the text of a document says of one claim.

    Attributes:
        document: id of the document.
        number: place of the claim in the document's list, from 1.
        claim: its name.
        pages: pages that mention the value, ascending.
        absent: whether the page that the claim names certainly does not write the value in its text.
        telling: whether it is worth telling where nothing is found.
    """

    document: str
    number: int
    claim: ClaimName
    pages: tuple[int, ...]
    absent: bool
    telling: bool


def look_up(documents: Iterable[Document], texts: Mapping[str, tuple[str, ...]]) -> tuple[Mention, ...]:
    """Look every transcribed value up in the text of its document, by document and claim.

    Args:
        documents: documents with their claims.
        texts: exhibit id to the text of each page; documents without any text are not looked into.
    """
    found: list[Mention] = []
    for document in sorted(documents, key=lambda one: one.id):
        pages = texts.get(document.exhibit or "", ())
        if any(page.strip() for page in pages):
            folded = [_folded(page) for page in pages]
            found += [
                _mention(document, number, claim, folded)
                for number, claim in enumerate(document.claims, start=1)
                if isinstance(claim.value, str)
            ]
    return tuple(found)


def of_record(record: JobRecord, texts: Mapping[str, tuple[str, ...]]) -> tuple[Mention, ...]:
    """``look_up`` for every document of a record."""
    return look_up(record.documents, texts)


def certain(name: ClaimName, quantity: Quantity | None) -> bool:
    """Whether a value of this name has few enough spellings for its absence to mean something."""
    return name in IDENTIFIERS or name in CLAIM_DATES or quantity is not None


def telling(claim: Claim) -> bool:
    """Whether it says something where a paper does not write the value: names do, words like "signed" do not."""
    return claim.name in _NAMES or certain(claim.name, claim.quantity)


def _mention(document: Document, number: int, claim: Claim, pages: list[str]) -> Mention:
    value = str(claim.value)
    pattern = _pattern(claim.name, value, claim.quantity)
    holding = tuple(place for place, page in enumerate(pages, start=1) if pattern.search(page))
    named = claim.page
    absent = (
        named is not None
        and 1 <= named <= len(pages)
        and certain(claim.name, claim.quantity)
        and bool(pages[named - 1].strip())
        and named not in holding
        and not _perhaps(claim, pages[named - 1])
    )
    return Mention(document.id, number, claim.name, holding, absent, telling(claim))


def _folded(text: str) -> str:
    """Text with ligatures opened, marks taken off, one kind of dash and quote, in small letters."""
    # a hyphen at the end of a line may belong to the word or not, so the pattern lets a gap stand behind it
    opened = unicodedata.normalize("NFKD", text.replace("\u00ad", ""))
    plain = "".join(one for one in opened if not unicodedata.combining(one))
    return " ".join(plain.translate(_DASHES | _QUOTES).casefold().split())


def _pattern(name: ClaimName, value: str, quantity: Quantity | None) -> re.Pattern[str]:
    if name in CLAIM_DATES:
        return _any(_dates(parse_date(value)))
    if quantity is not None and not _FRACTION.search(value):
        return _any(_quantities(quantity))
    return _any([_spaced(value)])


def _any(choices: Iterable[str]) -> re.Pattern[str]:
    return re.compile("|".join(f"(?:{choice})" for choice in choices))


def _spaced(value: str) -> str:
    """The value with any spacing, not as part of a longer word or number."""
    letters = [one for one in _folded(value) if not one.isspace()]
    return (
        _bounded(_GAP.join(re.escape(one) for one in letters), letters[0], letters[-1])
        if letters
        else r"(?!)"
    )


def _bounded(pattern: str, first: str, last: str) -> str:
    before = r"(?<![0-9])" if first.isdigit() else r"(?<![^\W0-9_])" if first.isalpha() else ""
    after = r"(?![0-9])" if last.isdigit() else r"(?![^\W0-9_])" if last.isalpha() else ""
    return f"{before}{pattern}{after}"


def _dates(day: date) -> list[str]:
    year, month, number = f"{day.year:04d}", str(day.month), str(day.day)
    either = f"(?:{year}|{year[2:]})"
    numeric_day, numeric_month = f"0?{number}", f"0?{month}"
    mark = rf"{_GAP}[-./]{_GAP}"
    name = _month(day.month)
    shapes = [
        rf"{year}{mark}{numeric_month}{mark}{numeric_day}",
        rf"{year}{day.month:02d}{day.day:02d}",
        rf"{numeric_day}{mark}{numeric_month}{mark}{either}",
        rf"{numeric_month}{mark}{numeric_day}{mark}{either}",
        rf"{numeric_day}(?:\.|st|nd|rd|th|er)?[\s.-]*(?:de\s+|of\s+)?{name}\.?,?[\s-]*(?:de\s+)?{either}",
        rf"{name}\.?\s*{numeric_day}(?:st|nd|rd|th)?,?\s*{year}",
        rf"{year}\s*[-,]?\s*{name}\.?\s*-?{numeric_day}",
    ]
    return [rf"(?<![0-9]){shape}(?![0-9])" for shape in shapes]


@lru_cache(maxsize=12)
def _month(number: int) -> str:
    names = sorted({_folded(one) for one in _MONTHS[number - 1].split()}, key=lambda one: (-len(one), one))
    return f"(?:{'|'.join(names)})"


def _quantities(quantity: Quantity) -> list[str]:
    number = _number(quantity.number)
    spellings = sorted(
        {_folded(spelling) for (spelling, _), unit in UNITS.items() if unit == quantity.unit and spelling}
    )
    units = "|".join(_GAP.join(re.escape(one) for one in unit if not one.isspace()) for unit in spellings)
    shapes = [rf"{number}{_GAP}(?:{units})(?![^\W0-9_])"] if units else []
    digits = sum(one.isdigit() for one in quantity.number)
    if not units or digits >= _PLAIN_DIGITS or "." in quantity.number:
        shapes.append(number)
    return shapes


def _number(text: str) -> str:
    """A decimal with point or comma, more zeros behind, and marks between its thousands."""
    whole, _, part = text.lstrip("-").partition(".")
    whole = whole.lstrip("0") or "0"
    groups = re.findall(r"[0-9]{1,3}", whole[::-1])
    grouped = r"[\s.,']?".join(group[::-1] for group in reversed(groups))
    part = part.rstrip("0")
    decimals = rf"[.,]{part}0*" if part else r"(?:[.,]0+)?"
    return rf"(?<![0-9])(?<![0-9][.,])0*{grouped}{decimals}(?![0-9])(?![.,][0-9])"


def _perhaps(claim: Claim, page: str) -> bool:
    """Whether a page may write the value after all, in a shape that is looked for no further."""
    value = str(claim.value)
    if claim.name in CLAIM_DATES:
        day = parse_date(value)
        number, year = (
            rf"(?<![0-9])0?{day.day}(?![0-9])",
            rf"(?:{day.year}|(?<![0-9]){day.year % 100:02d}(?![0-9]))",
        )
        gap = rf"[^0-9]{{1,{_BESIDE}}}(?:[0-9]{{1,2}}[^0-9]{{1,5}})?"
        return re.search(rf"{number}{gap}{year}|{year}{gap}{number}", page) is not None
    if claim.quantity is not None:
        # the number alone, or one that the page writes in another unit, is left to whoever reads the paper
        return (
            _FRACTION.search(value) is not None or re.search(_number(claim.quantity.number), page) is not None
        )
    return _letters(value) in _letters(page)


def _letters(text: str) -> str:
    return "".join(one for one in _folded(text) if one.isalnum())
