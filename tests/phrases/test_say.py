"""Parameters read as words: quantities with units, entries of closed lists, values in the unit of their limit."""

import pytest

from evidence.errors import Problem
from evidence.model import names
from evidence.phrases import hint, knows, say, tell
from evidence.phrases.en import SENTENCES
from evidence.quantity import converted

LOW, HIGH = {"value": "118.0", "unit": "mm"}, {"value": "122.0", "unit": "mm"}


def test_a_value_in_another_unit_is_also_said_in_the_limits() -> None:
    """Source: published: 1 in = 25.4 mm exactly (definition of the inch), so 4.875 in = 123.825 mm."""
    text = say("outside-limits", {"value": {"value": "4.875", "unit": "in"}, "low": LOW, "high": HIGH})

    assert text.startswith("4.875 in (123.82 mm) lies outside 118.0 mm to 122.0 mm.")


def test_a_value_in_the_limits_unit_stands_alone() -> None:
    text = say("within-limits", {"value": {"value": "120.3", "unit": "mm"}, "low": LOW, "high": HIGH})

    assert text == "120.3 mm lies between 118.0 mm and 122.0 mm."


@pytest.mark.parametrize(
    ("number", "unit", "wanted", "expected"),
    [
        ("4.875", "in", "mm", "123.82"),
        (
            "18",
            "lbf·ft",
            "N·m",
            "24.4",
        ),  # computed independently with 1 lbf = 4.4482216152605 N, 1 ft = 0.3048 m
        ("10", "g", "m/s²", "98.07"),  # published: g = 9.80665 m/s2 by definition
        ("1", "mm", "kg", None),
    ],
)
def test_conversion(number: str, unit: str, wanted: str, expected: str | None) -> None:
    assert converted(number, unit, wanted) == expected


def test_entries_of_closed_lists_are_said_in_words() -> None:
    text = say("fact-matches", {"fact": "position.stretcher-tested-with", "found": ("Heron Carrier",)})

    assert text == "the stretcher it was tested with is Heron Carrier, as it should be."


def test_north_american_words_can_be_put_in() -> None:
    text = say(
        "fact-matches", {"fact": "position.stretcher-tested-with", "found": ("X",), "stretcher": "cot"}
    )

    assert text.startswith("the cot it was tested with")


@pytest.mark.parametrize("fact", list(names.Fact))
def test_every_fact_has_words(fact: names.Fact) -> None:
    assert knows(f"dossier-word-fact-{fact.value}")


@pytest.mark.parametrize("claim", list(names.ClaimName))
def test_every_claim_has_words(claim: names.ClaimName) -> None:
    assert knows(f"dossier-word-claim-name-{claim.value}")


def test_another_language_falls_back_to_english_entry_by_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys  # noqa: PLC0415
    from types import ModuleType  # noqa: PLC0415

    catalogue = ModuleType("evidence.phrases.xx")
    catalogue.SENTENCES = {"no-keys": "(xx)"}  # type: ignore[attr-defined]
    catalogue.HINTS = {}  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "evidence.phrases.xx", catalogue)

    assert say("no-keys", {}, "xx") == "(xx)"
    assert say("key-pinned", {}, "xx") == SENTENCES["key-pinned"]


def test_a_problem_is_told_with_place_and_what_to_do() -> None:
    text = tell(Problem("job-missing", "jobs/X"))

    assert text == f"jobs/X: {SENTENCES['job-missing']}\n    {hint('job-missing')}"
