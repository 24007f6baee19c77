"""Figures of the finished pages: numbers stay with their unit, what is compared by letter stays as it is."""

import pytest

from evidence.dossier._written import drawn, unbroken, written

NARROW = "\u00a0"


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("120.3 mm ± 0.10 mm", f"120.3{NARROW}mm ±{NARROW}0.10{NARROW}mm"),
        ("2 % of the value", f"2{NARROW}% of the value"),
        ("8 \u00d7 24 N·m", f"8 \u00d7 24{NARROW}N·m"),
        ("3 sheets, 5 minutes", "3 sheets, 5 minutes"),
        ("page 3 in the manual", f"page 3{NARROW}in the manual"),
    ],
)
def test_a_number_stays_on_a_line_with_its_unit(text: str, kept: str) -> None:
    assert unbroken({"t": text, "to": text})["t"] == kept
    assert unbroken({"t": text, "to": text})["to"] == text
    assert unbroken([{"t": text, "s": "mono"}]) == [{"t": text, "s": "mono"}]


def test_data_of_another_language_are_left_as_they_are() -> None:
    told = [{"t": "120.3 mm"}, {"t": "120.3 mm", "lang": "fr"}, {"t": "120.3 mm", "s": "mono"}]

    assert written(told, "de") == [{"t": "120,3 mm"}, *told[1:]]
    assert written(told, "en") == told


def test_a_drawing_has_its_numbers_in_the_language() -> None:
    assert drawn("<text>0.5</text><text>4.3.5</text>", "de") == "<text>0,5</text><text>4.3.5</text>"
    assert drawn("<text>0.5</text>", "en") == "<text>0.5</text>"
