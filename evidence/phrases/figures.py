"""Days, times and values with their units as a language writes them.

Our own data have one form everywhere: ISO days, a decimal point. This turns a text that is nothing but such figures into
the form of a language and leaves every other text alone, so an id, a clause or a sentence is never changed. Thousands get
no mark: a German reader would take one for the decimal mark of an English page, and the other way round.
"""

import re
from datetime import date
from functools import lru_cache

from evidence.quantity import UNITS

_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_CLOCK = r"[ T][0-9]{2}:[0-9]{2}(?::[0-9]{2})?(?:Z|[ \u00a0]?[+\-\u2212][0-9]{2}:[0-9]{2})?"
_NUMBER = r"[+\-\u2212]?[0-9]+(?:\.[0-9]+)?"
_MIXED = r"[0-9]+[ \u00a0][0-9]+/[0-9]+|[0-9]+/[0-9]+"
_MORE_UNITS = ("MiB", "KiB", "MB", "kB", "Hz", "kHz", "px", "B")
_SYMBOLS = {*(unit.symbol for unit in UNITS.values() if unit.symbol), *_MORE_UNITS}
_UNIT = "|".join(map(re.escape, sorted(_SYMBOLS, key=lambda symbol: (-len(symbol), symbol))))
_MEASURE = rf"(?:{_MIXED}|{_NUMBER})[ \u00a0]?(?:{_UNIT})(?![^\W\d_])"
_BETWEEN = r"[ \u00a0]*(?:±|\u2013|\u00d7|,|;|/|\(|\)|…|=|<|>|≤|≥|·|:)?[ \u00a0]*"
_FIGURES = re.compile(rf"{_BETWEEN}(?:(?:{_DAY}(?:{_CLOCK})?|{_MEASURE}|{_NUMBER}){_BETWEEN})+")
_SURE = re.compile(rf"\b{_DAY}|{_MEASURE}")
"""What only a figure has: a bare number may be the number of a clause."""
_A_DAY = re.compile(rf"(?<![0-9\-]){_DAY}(?![0-9\-])")
_JOINT = re.compile(r"(?<=[0-9])T(?=[0-9])")
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")
_DECIMAL = re.compile(r"[<>≤≥±~]?[ \u00a0]?[+\-\u2212]?[0-9]+\.[0-9]+", re.ASCII)


def figures(text: str, language: str) -> str:
    """A text of days, times and values with units in the form of a language; any other text as it is.

    Args:
        text: for example ``2026-05-12 14:00``, ``120.1 mm`` or ``119.8 mm ± 0.25 mm``.
        language: two letters.
    """
    if language == "en" or not any(map(str.isdigit, text)):
        return text
    if _FIGURES.fullmatch(text) is None or _SURE.search(text) is None:
        return text
    # the T that joins a day to its clock is for machines
    return day(_POINT.sub(_decimal_mark(language), _JOINT.sub(" ", text)), language)


def day(text: str, language: str) -> str:
    """A text with the ISO days in it as the language writes them; what is no day of the calendar stays."""
    return text if language == "en" else _A_DAY.sub(lambda found: _written(found[0], language), text)


def number(text: str, language: str) -> str:
    """A bare decimal number with the decimal mark of the language; any other text as it is."""
    if language == "en" or _DECIMAL.fullmatch(text) is None:
        return text
    return text.replace(".", _decimal_mark(language))


def short_day(of: date, language: str) -> str:
    """A day without its year: ``05-12`` in our own form, ``12.05.`` in German."""
    if language == "en":
        return of.strftime("%m-%d")
    from babel.dates import format_skeleton  # noqa: PLC0415 - not needed for English

    return str(format_skeleton("MMdd", of, locale=language))


def _written(iso: str, language: str) -> str:
    from babel.dates import format_skeleton  # noqa: PLC0415 - not needed for English

    try:
        return str(format_skeleton("yMMdd", date.fromisoformat(iso), locale=language))
    except ValueError:
        return iso


@lru_cache
def _decimal_mark(language: str) -> str:
    from babel.numbers import get_decimal_symbol  # noqa: PLC0415 - not needed for English

    return str(get_decimal_symbol(language))
