"""The message catalogues: whole, current, with the fields of the English, and English where they say nothing."""

import re
from string import Formatter

import pytest

from evidence.phrases import catalogues as spoken
from evidence.phrases import hint, say
from evidence.phrases.catalogues import ADVICE, LANGUAGES, TRANSLATED, contexts, hints, sentences
from tests import catalogues

every_language = pytest.mark.parametrize("language", TRANSLATED)
WORDS = re.compile(r"\b[a-z]{3,}\b")
FIELD = re.compile(r"\{\w+\}")
QUOTED = re.compile(r"`[^`]*`")


def forget() -> None:
    """Read the catalogues anew."""
    for kept in (spoken._translated, spoken.sentences, spoken.hints):
        kept.cache_clear()


def fields(text: str) -> set[str]:
    """Names of the fields of a text."""
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


@every_language
def test_a_catalogue_is_what_regenerating_gives(language: str) -> None:
    assert catalogues.path_of(language).read_bytes() == catalogues.text_of(catalogues.brought_up(language))


@every_language
def test_every_text_that_a_dossier_can_print_is_translated(language: str) -> None:
    said, advised = sentences(language), hints(language)
    lacking = [
        context
        for context in contexts()
        if context.removesuffix(ADVICE) not in (advised if context.endswith(ADVICE) else said)
    ]

    assert lacking == []


@every_language
def test_a_translation_has_the_fields_the_commands_and_the_end_of_the_english(language: str) -> None:
    wrong = []
    for message in catalogues.catalogue(language):
        if not message.id:
            continue
        english, text = str(message.id), str(message.string)
        same = (
            fields(english) == fields(text)
            and english.endswith(".") == text.endswith(".")
            and all(quoted in text for quoted in QUOTED.findall(english))
            and english.count("\n") == text.count("\n")
            and (english[:1].isspace(), english[-1:].isspace()) == (text[:1].isspace(), text[-1:].isspace())
        )
        wrong += [] if same else [message.context]

    assert wrong == []


@every_language
def test_a_language_is_one(language: str) -> None:
    """No sentence of some length stays English; names of channels, units and fields may."""
    same = [
        context
        for context, english in contexts().items()
        if len(WORDS.findall(FIELD.sub("", english))) > 3 and _said(context, language) == english
    ]

    assert same == []


def _said(context: str, language: str) -> str:
    table = hints(language) if context.endswith(ADVICE) else sentences(language)
    return table[context.removesuffix(ADVICE)]


def test_what_is_not_translated_is_said_in_english() -> None:
    code = min(set(sentences("en")) - set(sentences("de")))

    given = dict.fromkeys(fields(sentences("en")[code]), "x")

    german, english = (say(code, given, language) for language in ("de", "en"))

    assert german == english


def test_a_translation_of_an_older_english_is_not_said(monkeypatch: pytest.MonkeyPatch) -> None:
    current = contexts()
    code = "evidence-there"
    monkeypatch.setattr(spoken, "contexts", lambda: {**current, code: current[code] + " Now."})
    forget()
    try:
        assert code not in spoken.sentences("de")
        assert hint("exhibit-empty", "de") != hint("exhibit-empty", "en")
    finally:
        forget()


def test_english_is_the_first_language() -> None:
    assert LANGUAGES[0] == "en"
    assert set(LANGUAGES) == {"en", *TRANSLATED}
    assert sentences("en")["dossier-title-contents"] == "Contents"


def test_a_changed_english_text_keeps_its_translation_as_fuzzy(monkeypatch: pytest.MonkeyPatch) -> None:
    code = "dossier-title-contents"
    monkeypatch.setattr(catalogues, "contexts", lambda: {**contexts(), code: "Table of contents"})

    message = catalogues.brought_up("de").get("Table of contents", context=code)

    assert message is not None
    assert message.fuzzy
    assert message.string == sentences("de")[code]
