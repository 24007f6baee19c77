"""The sentences of each language: English from its tables, the others from the message catalogues beside them.

A catalogue is a PO file with one message for each code: the code is its context, the English sentence its id. A message
whose English has changed since it was translated, or that nobody has translated, is said in English.
"""

from collections.abc import Mapping
from functools import lru_cache
from importlib import import_module
from importlib.resources import files
from io import BytesIO
from types import ModuleType

DEFAULT_LANGUAGE = "en"
TRANSLATED = ("de", "fr")
LANGUAGES = (DEFAULT_LANGUAGE, *TRANSLATED)
ADVICE = "#do"
"""What the context of a code's advice ends in."""


@lru_cache
def sentences(language: str) -> Mapping[str, str]:
    """Code to sentence; codes that the language lacks are missing.

    Raises:
        FileNotFoundError: there is no catalogue of this language.
    """
    if language != DEFAULT_LANGUAGE:
        return _translated(language)[0]
    known: Mapping[str, str] = _english().SENTENCES
    return known


@lru_cache
def hints(language: str) -> Mapping[str, str]:
    """Code to advice, likewise."""
    if language != DEFAULT_LANGUAGE:
        return _translated(language)[1]
    known: Mapping[str, str] = _english().HINTS
    return known


def contexts() -> dict[str, str]:
    """What there is to translate: every text that a dossier can print, by the context that its message has."""
    en = _english()
    said = {code: en.SENTENCES[code] for code in en.PRINTED}
    advised = {f"{code}{ADVICE}": en.HINTS[code] for code in en.PRINTED if en.HINTS.get(code)}
    return dict(sorted((said | advised).items()))


def _english() -> ModuleType:
    # 50 ms: a command that says nothing of it, such as --help, does without
    return import_module("evidence.phrases.en")


@lru_cache
def _translated(language: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    from babel.messages.pofile import read_po  # noqa: PLC0415 - 30 ms that an English dossier need not pay

    source = files("evidence.phrases").joinpath(f"{language}.po").read_bytes()
    current = contexts()
    said: dict[str, str] = {}
    advised: dict[str, str] = {}
    for message in read_po(BytesIO(source), locale=language):
        context = str(message.context)
        if not message.id or not message.string or message.fuzzy or current.get(context) != message.id:
            continue
        table = advised if context.endswith(ADVICE) else said
        table[context.removesuffix(ADVICE)] = str(message.string)
    return said, advised
