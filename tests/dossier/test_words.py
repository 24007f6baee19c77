"""Words around data: times that are known in part, steps by their title, made-up words, in each language."""

from dataclasses import replace

import pytest

from evidence.dossier._words import Teller
from evidence.phrases import say
from tests.dossier import builders


def teller(language: str) -> Teller:
    """The words of a dossier in a language."""
    source = replace(builders.open_(), language=language)
    return Teller(source, lambda code, given: say(code, given, language))


@pytest.mark.parametrize(
    ("text", "english", "german"),
    [
        ("2026-03-04", "2026-03-04", "04.03.2026"),
        ("2026-03-04T10:40", "2026-03-04 10:40", "04.03.2026 10:40"),
        ("2026-03-04 am", "2026-03-04 am", "04.03.2026 vormittags"),
        ("2026-03-04 pm", "2026-03-04 pm", "04.03.2026 nachmittags"),
        ("2026-03-04 before 14:00", "2026-03-04 before 14:00", "04.03.2026 vor 14:00"),
        ("2026-03-04 after 14:00", "2026-03-04 after 14:00", "04.03.2026 nach 14:00"),
        ("after lunch", "after lunch", "after lunch"),
    ],
)
def test_a_time_is_written_as_it_is_known(text: str, english: str, german: str) -> None:
    assert teller("en").time(text) == english
    assert teller("de").time(text) == german


def test_a_word_of_our_packs_is_translated_and_one_that_a_profile_made_up_stays() -> None:
    assert teller("de").slug("manual-handed-over") == "Handbuch \u00fcbergeben"
    assert teller("en").slug("manual-handed-over") == "manual handed over"
    assert teller("de").slug("hook-wear") == "hook wear"


def test_german_nouns_keep_their_capital_inside_a_sentence() -> None:
    assert teller("de").inside("Position") == "Position"
    assert teller("fr").inside("Position") == "position"
    assert teller("en").inside("VIN") == "VIN"


def test_bare_numbers() -> None:
    assert teller("fr").number("4.57") == "4,57"
    assert teller("en").number("4.57") == "4.57"
