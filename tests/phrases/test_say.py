"""Parameters read as words: quantities with units, entries of closed lists, values in the unit of their limit."""

import pytest

from evidence import phrases
from evidence.errors import Problem
from evidence.model import names
from evidence.phrases import hint, knows, measuring_en, path_in_words, say, shown, tell
from evidence.phrases.en import SENTENCES
from evidence.phrases.exhibits_en import EXHIBITS
from evidence.phrases.measure_en import MEASURE
from evidence.phrases.record_en import RECORD
from evidence.phrases.verdicts_en import DETAILS
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

    assert text == "The stretcher it was tested with: Heron Carrier, as it should be."


def test_north_american_words_can_be_put_in() -> None:
    text = say(
        "fact-matches", {"fact": "position.stretcher-tested-with", "found": ("X",), "stretcher": "cot"}
    )

    assert text.startswith("The cot it was tested with")


@pytest.mark.parametrize("fact", list(names.Fact))
def test_every_fact_has_words(fact: names.Fact) -> None:
    assert knows(f"dossier-word-fact-{fact.value}")


@pytest.mark.parametrize("claim", list(names.ClaimName))
def test_every_claim_has_words(claim: names.ClaimName) -> None:
    assert knows(f"dossier-word-claim-name-{claim.value}")


def test_another_language_falls_back_to_english_entry_by_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    lists = {"en": SENTENCES, "xx": {"no-keys": "(xx)"}}
    monkeypatch.setattr(phrases, "sentences", lists.__getitem__)

    assert say("no-keys", {}, "xx") == "(xx)"
    assert say("key-pinned", {}, "xx") == SENTENCES["key-pinned"]


def test_a_problem_is_told_with_place_and_what_to_do() -> None:
    text = tell(Problem("job-missing", "jobs/X"))

    assert text == f"jobs/X: {SENTENCES['job-missing']}\n    {hint('job-missing')}"


def test_words_inside_a_sentence_begin_small() -> None:
    value = say("value-not-recorded", {"quantity": "hook-position", "subject": "p1"})
    cycles = say("cycles-not-recorded", {"kind": "legs-clear", "subject": "p1"})

    assert value.startswith("No value of hook position is recorded for p1.")
    assert cycles.startswith("No count is recorded for p1: legs drop and fold clear.")


def test_one_file_is_told_as_one() -> None:
    assert say("evidence-there", {"found": "1"}) == "1 file is there and readable."
    assert say("evidence-there", {"found": "11"}) == "11 files are there and readable."


def test_the_word_of_a_profile_is_told_as_a_step_with_spaces() -> None:
    told = say("out-of-order", {"before": "dry-fit", "after": "strip-and-clean"})

    assert told.startswith("Step strip and clean was done before step dry fit, which must come first.")
    assert "Do step strip and clean again" in told


def test_an_id_of_letters_alone_is_not_changed_at_the_beginning_of_a_sentence() -> None:
    dates = {"last_day": "2026-04-30", "day": "2026-05-11"}

    assert say("expired-on-day", {**dates, "entry": "caliper"}).startswith("caliper was valid until")
    assert say("expired-on-day", {**dates, "entry": "the lot (g1)"}).startswith("The lot (g1) was valid")


def test_a_path_through_the_data_stands_only_where_no_line_is_known() -> None:
    def told(where: str) -> str:
        return tell(Problem("id-reserved", where, "/retyped/0/by", {"found": "vehicle"}))

    assert told("job.yaml:12:3").startswith("job.yaml:12:3: 'vehicle'")
    assert told("manifest.json").startswith("manifest.json (retyped, entry 1, by): 'vehicle'")


@pytest.mark.parametrize("name", ["9" * 5000, "\u00b2", "\u0663"])
def test_a_name_of_odd_digits_in_untrusted_data_is_no_place(name: str) -> None:
    assert path_in_words(f"/keys/0/{name}") == f"keys, entry 1, {name}"


def test_a_file_that_cannot_be_opened_says_why_in_words() -> None:
    """Also where the sentence of the cause needs more than is known; a cell that cannot be read is said as such."""
    damaged = say("exhibit-unreadable", {"exhibits": ("E009",), "cause": "pdf-damaged"})
    too_many = say("exhibit-unreadable", {"exhibits": ("E009",), "cause": "pdf-too-many-pages"})

    assert damaged.startswith("The file of E009 cannot be read (the PDF is damaged or is none).")
    assert "(the PDF has more pages than are read)" in too_many
    blank = say("exhibit-unreadable", {"exhibits": ("E009",), "cause": "table-cell-blank"})
    assert "(a cell is blank)" in blank


@pytest.mark.parametrize(
    "cause", ["personal-heading", *sorted(code for code in EXHIBITS if code.startswith("table-"))]
)
def test_why_a_table_cannot_be_read_is_told_in_words(cause: str) -> None:
    """The count of further problems is never the first of them, and the first is what is told."""
    told = say("exhibit-unreadable", {"exhibits": ("E018",), "cause": cause})

    assert (cause in told) == (cause == "table-more-problems")


def test_what_the_system_refused_is_said_in_words_with_its_code() -> None:
    known = Problem("system-refused", "job.yaml", "", {"reason": "ENOSPC"})
    other = Problem("system-refused", "job.yaml", "", {"reason": "ETXTBSY"})

    assert "(the disk is full; ENOSPC)" in tell(known)
    assert "(ETXTBSY)" in tell(other)


@pytest.mark.parametrize("cause", sorted({*measuring_en._CANNOT, *MEASURE}))
def test_why_a_photo_cannot_be_measured_is_told_in_words(cause: str) -> None:
    """Only the code of the cause is known there, so no figure may be missing in it."""
    for code in ("photo-unmeasurable", "window-not-read"):
        text = say(code, {"exhibits": ("E003",), "asked": "locked", "cause": cause})

        assert cause not in text
        assert "{" not in text


@pytest.mark.parametrize(
    "doubt",
    [
        "gauge-not-checked",
        "gauge-check-old",
        "gauge-expired",
        "gauge-expiry-not-recorded",
        "gauge-zero-off",
        "gauge-zero-unsure",
        "gauge-zero-uncertainty-not-stated",
    ],
)
def test_why_a_gauge_card_is_not_trusted_is_told_in_words(doubt: str) -> None:
    assert doubt not in say("photo-card-in-doubt", {"entry": "i9", "cause": doubt})


def test_kinds_of_instruments_and_parties_are_told_in_words() -> None:
    wrong = {"entry": "v1", "instrument": "i1", "found": "torque-wrench", "expected": ("caliper", "go-no-go")}
    conceded = {
        "concession": "c1",
        "authority": "agency",
        "expected": "stretcher-maker, system-maker",
        "requirement": "x",
    }

    assert "a torque wrench, which" in say("instrument-wrong-kind", wrong)
    assert say("instrument-wrong-kind", wrong).endswith("one of these: caliper, go/no-go gauge.")
    assert "the agency cannot concede x. Who can: stretcher maker, system maker." in say(
        "concession-wrong-authority", conceded
    )


def test_no_value_is_told_as_one() -> None:
    low, tool = {"value": "1", "unit": "N"}, {"entry": "g1", "value": "9 N", "instrument": "i2"}

    assert "the record said: nothing." in say("photo-told-first", {"exhibits": ("E003",), "recorded": ""})
    assert "(1 N to no upper end)" in say("outside-tool-range", {**tool, "low": low, "high": "\u2013"})


@pytest.mark.parametrize("reason", sorted(DETAILS))
def test_reasons_of_the_verifier_are_words_in_other_problems_too(reason: str) -> None:
    assert DETAILS[reason] in say("path-not-allowed", {"reason": reason})


@pytest.mark.parametrize("cause", ["shape", *sorted(code for code in RECORD if code.startswith("json-"))])
def test_why_a_sealed_bundle_cannot_be_read_is_told_in_words(cause: str) -> None:
    """Only the code is known there."""
    assert cause not in say("earlier-unreadable", {"cause": cause})


def test_rules_of_a_format_are_told_in_words() -> None:
    assert "a field is missing" in say("trust-schema", {"rule": "missing"})
    assert "(this value does not fit here)" in say("trust-schema", {"rule": "dependentRequired"})


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("10.1133373", "10.1133 mph"),
        ("-30.123456789", "-30.1235 mph"),
        ("0.000000001234567", "0.00000000123457 mph"),
        ("1234567.891", "1234567.891 mph"),
        ("120.3", "120.3 mph"),
        ("4.875", "4.875 mph"),
    ],
)
def test_a_computed_number_is_told_with_the_digits_that_people_read(value: str, told: str) -> None:
    assert shown({"unit": "mph", "value": value}) == told
