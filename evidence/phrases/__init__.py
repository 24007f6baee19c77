"""Codes and their parameters become words here, and nowhere else; one catalogue per language.

A catalogue is a table from code to text with named fields. What a catalogue lacks is said in English, so a new
language can grow entry by entry.
"""

from collections.abc import Mapping
from functools import lru_cache
from importlib import import_module

from evidence.errors import Problem

LANGUAGES = ("en",)
DEFAULT_LANGUAGE = "en"


def say(code: str, parameters: Mapping[str, object] | None = None, language: str = DEFAULT_LANGUAGE) -> str:
    """The sentence of a code with its parameters put in.

    Args:
        code: a code of findings, contradictions, problems, verdicts or page words.
        parameters: text, a quantity ``{"unit", "value"}``, or several texts.
        language: two-letter code.

    Raises:
        KeyError: no catalogue knows the code, or the sentence names a field that is not among the parameters.
    """
    template = _sentences(language).get(code) or _sentences(DEFAULT_LANGUAGE)[code]
    return template.format_map({name: shown(value) for name, value in (parameters or {}).items()})


def hint(code: str, language: str = DEFAULT_LANGUAGE) -> str:
    """What to do about a problem or verdict; empty where there is nothing to add."""
    return _hints(language).get(code) or _hints(DEFAULT_LANGUAGE).get(code, "")


def knows(code: str) -> bool:
    """Whether the English catalogue has the code."""
    return code in _sentences(DEFAULT_LANGUAGE)


def tell(problem: Problem, language: str = DEFAULT_LANGUAGE) -> str:
    """A problem as lines: place and sentence, then what to do."""
    place = problem.where + (f" ({problem.pointer})" if problem.pointer else "")
    lines = [f"{place}: {say(problem.code, problem.parameters, language)}"]
    if advice := hint(problem.code, language):
        lines.append(f"    {advice}")
    return "\n".join(lines)


def shown(value: object) -> str:
    """A parameter as text: a quantity with its unit, several texts with commas."""
    if isinstance(value, Mapping):
        return f"{value['value']} {value['unit']}".rstrip()
    if isinstance(value, list | tuple):
        return ", ".join(str(item) for item in value)
    return str(value)


@lru_cache
def _sentences(language: str) -> Mapping[str, str]:
    return import_module(f"evidence.phrases.{language}").SENTENCES  # type: ignore[no-any-return]


@lru_cache
def _hints(language: str) -> Mapping[str, str]:
    return import_module(f"evidence.phrases.{language}").HINTS  # type: ignore[no-any-return]
