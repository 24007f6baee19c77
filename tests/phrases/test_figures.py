"""Figures by language: only what is nothing but figures changes, and it says the same.

Forms of days and the decimal mark: published: Unicode CLDR, German and French locale data, as the Babel package carries it.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.phrases import figures, number, say, short_day


@pytest.mark.parametrize(
    ("text", "german", "french"),
    [
        ("2026-05-12", "12.05.2026", "12/05/2026"),
        ("2026-05-12 14:00", "12.05.2026 14:00", "12/05/2026 14:00"),
        ("2026-05-12 14:00:09+02:00", "12.05.2026 14:00:09+02:00", "12/05/2026 14:00:09+02:00"),
        ("120.1 mm", "120,1 mm", "120,1 mm"),
        ("120.1\u00a0mm", "120,1\u00a0mm", "120,1\u00a0mm"),
        ("119.80 mm ± 0.25 mm", "119,80 mm ± 0,25 mm", "119,80 mm ± 0,25 mm"),
        ("5 lbf·ft \u2013 40.5 lbf·ft", "5 lbf·ft \u2013 40,5 lbf·ft", "5 lbf·ft \u2013 40,5 lbf·ft"),
        ("119.9 mm, 120.0 mm", "119,9 mm, 120,0 mm", "119,9 mm, 120,0 mm"),
        ("4 7/8 in (123.83 mm)", "4 7/8 in (123,83 mm)", "4 7/8 in (123,83 mm)"),
        ("8 \u00d7 15.4 lbf·ft", "8 \u00d7 15,4 lbf·ft", "8 \u00d7 15,4 lbf·ft"),
        ("\u221210.6 g", "\u221210,6 g", "\u221210,6 g"),
        ("26000 N", "26000 N", "26000 N"),
    ],
)
def test_figures_are_written_as_the_language_writes_them(text: str, german: str, french: str) -> None:
    assert figures(text, "de") == german
    assert figures(text, "fr") == french
    assert figures(text, "en") == text


@pytest.mark.parametrize(
    "text",
    [
        "7.2",  # a section of a manual
        "4.3.5",
        "10.9",  # a property class
        "M8 10.9",
        "EN 1789:2020+A1:2023",
        "MTH-2015-03-11",
        "heron-2@C",
        "2026-13-40",
        "0.1.0",
        "Reading of 120.1 mm by hand",
        "IMG 2026-05-12.jpg",
        "",
    ],
)
def test_an_id_a_clause_and_a_sentence_stay(text: str) -> None:
    assert figures(text, "de") == text


@given(st.text(alphabet="0123456789.-,:/ ±\u00d7mgkNstolbf·()%", max_size=30))
def test_no_digit_is_lost_and_no_other_text_is_touched(text: str) -> None:
    """Putting points back gives the text again wherever there is no day in it."""
    changed = figures(text, "de")

    assert sorted(filter(str.isdigit, changed)) == sorted(filter(str.isdigit, text))
    if changed != text and text.count("-") < 2:
        assert changed.replace(",", ".") == text.replace(",", ".")


@given(st.dates(min_value=date(1900, 1, 1), max_value=date(2200, 12, 31)))
def test_a_day_keeps_its_day_month_and_year(day: date) -> None:
    assert figures(str(day), "de") == f"{day.day:02}.{day.month:02}.{day.year}"
    assert figures(str(day), "fr") == f"{day.day:02}/{day.month:02}/{day.year}"
    assert (short_day(day, "de"), short_day(day, "fr"), short_day(day, "en")) == (
        f"{day.day:02}.{day.month:02}.",
        f"{day.day:02}/{day.month:02}",
        f"{day.month:02}-{day.day:02}",
    )


@pytest.mark.parametrize(
    ("text", "german"),
    [("0.14", "0,14"), ("\u221210.6", "\u221210,6"), ("<0.01", "<0,01"), ("4.3.5", "4.3.5"), ("p1", "p1")],
)
def test_a_bare_number_has_the_decimal_mark_of_the_language(text: str, german: str) -> None:
    assert number(text, "de") == german
    assert number(text, "en") == text


def test_a_sentence_has_its_values_in_the_form_of_its_language_and_a_clause_keeps_its_points() -> None:
    limits = {"low": {"value": "118.0", "unit": "mm"}, "high": {"value": "122.0", "unit": "mm"}}
    told = say("within-limits", {"value": {"value": "120.3", "unit": "mm"}, **limits}, "de")

    assert "120,3 mm" in told
    assert "118,0 mm" in told
    assert "10.9" in say(
        "fact-differs", {"fact": "screws.property-class", "found": "8.8", "expected": "10.9"}, "de"
    )
