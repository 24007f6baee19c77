"""Figures of a finished dossier as its language writes them: what is data, not a sentence, has had none of that yet."""

import re
from typing import Any

from evidence.dossier._input import Data
from evidence.phrases import DEFAULT_LANGUAGE, figures, number
from evidence.quantity import UNITS

_KEYS = frozenset({"anchors", "chip", "id", "kind", "name", "svg", "to"})
"""Of values that a program reads."""
_UNIT = "|".join(sorted({re.escape(unit.symbol) for unit in UNITS.values() if unit.symbol}))
_GAP = re.compile(rf"(?<=[0-9]) (?=(?:{_UNIT})(?![^\W\d_]))|(?<=±) (?=[0-9])")
_LETTERS = re.compile(r"(?<=>)[^<>]+(?=</text>)")


def written(value: Any, language: str) -> Any:
    """The same shape with every text that is nothing but figures in the form of the language.

    Text that somebody typed in a language of their own, and what is compared letter by letter, stays.
    """
    if language == DEFAULT_LANGUAGE:
        return value
    if isinstance(value, list):
        return [written(each, language) for each in value]
    if isinstance(value, str):
        return figures(value, language)
    return _object(value, language) if isinstance(value, dict) else value


def _object(value: Data, language: str) -> Data:
    if "lang" in value or value.get("s") == "mono":
        return value
    return {key: each if key in _KEYS else written(each, language) for key, each in value.items()}


def unbroken(value: Any) -> Any:
    """The same shape with numbers that stay on a line with their unit, and signs with what follows them."""
    if isinstance(value, list):
        return [unbroken(each) for each in value]
    if isinstance(value, str):
        return _GAP.sub("\u00a0", value)
    if not isinstance(value, dict) or "lang" in value or value.get("s") == "mono":
        return value
    return {key: each if key in _KEYS else unbroken(each) for key, each in value.items()}


def drawn(svg: str, language: str) -> str:
    """A drawing with its numbers, which stand alone in it, in the form of the language."""
    if language == DEFAULT_LANGUAGE:
        return svg
    return _LETTERS.sub(lambda found: number(figures(found[0], language), language), svg)
