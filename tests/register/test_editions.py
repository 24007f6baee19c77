"""Edition look-ups against published dates, and how well an answer is known."""

from datetime import date
from pathlib import Path

import pytest

from evidence.model.names import Mark
from evidence.phrases.record_en import RECORD
from evidence.register.editions import EditionAnswer, State, in_force, read_editions
from tests.record import support

TEXT = (Path(__file__).resolve().parents[2] / "evidence" / "register" / "editions.yaml").read_text(
    encoding="utf-8"
)
EDITIONS = read_editions(TEXT.encode())


def _on(
    designation: str, day: str, jurisdiction: str | None = None, today: str | None = None
) -> EditionAnswer:
    asked = date.fromisoformat(today) if today else None
    return in_force(EDITIONS, designation, date.fromisoformat(day), jurisdiction, asked)


def _states(answer: EditionAnswer) -> dict[str, State]:
    return {entry.edition.id: entry.state for entry in answer.states}


def test_first_edition_of_the_litter_test_has_no_rear_impact() -> None:
    """published: news page of SAE International, 2014 (frontal and side); front matter of J3027, 2016 (rear added)."""
    first, second = EDITIONS.named("SAE J3027_201407"), EDITIONS.named("sae j3027 (2016-11)")

    assert first is not None
    assert second is not None
    assert first.covers == ("frontal", "side")
    assert second.covers == ("frontal", "side", "rear")


@pytest.mark.parametrize(
    ("day", "edition"), [("2015-06-30", "kkk-a-1822f"), ("2015-07-01", "kkk-a-1822f-cn8")]
)
def test_change_notice_eight_holds_from_its_day(day: str, edition: str) -> None:
    """published: change notice 8 to KKK-A-1822F, effective 2015-07-01, trade press and NIOSH slides, 2015."""
    assert [found.id for found in _on("KKK-A-1822", day, "us").in_force] == [edition]


def test_belgian_withdrawal_of_the_2020_edition() -> None:
    """published: catalogue of the Belgian standards body, withdrawal of EN 1789:2020 on 2023-12-14."""
    before, on = _on("EN 1789", "2023-12-13", "be"), _on("EN 1789", "2023-12-14", "be")

    assert [found.id for found in before.in_force] == ["en-1789-2020"]
    assert _states(on)["en-1789-2020"] == State.WITHDRAWN
    # of the amendment only the month is published: in December nobody can say
    assert _states(on)["en-1789-2020-a1"] == State.UNCERTAIN
    assert on.notes == ("date-uncertain",)
    assert [found.id for found in _on("EN 1789", "2024-01-01", "be").in_force] == ["en-1789-2020-a1"]


def test_withdrawal_in_another_country_is_only_a_note() -> None:
    answer = _on("EN 1789", "2024-01-05", "gb")

    assert _states(answer)["en-1789-2020"] == State.SUPERSEDED
    assert answer.notes == ("withdrawal-elsewhere",)


@pytest.mark.parametrize(("day", "years"), [("2024-10-14", "5"), ("2024-10-15", "10")])
def test_retention_of_records_doubles(day: str, years: str) -> None:
    """published: Federal Register document 2024-18112, five to ten years from 2024-10-15."""
    (found,) = _on("49 CFR 576", day, "us").in_force

    assert (found.clauses[0].value, found.clauses[0].unit) == (years, "years")


def test_clauses_of_the_2020_edition_are_marked_apart() -> None:
    """Numbers 4.4.11 and 5.3, published: page of the UK vehicle certification agency; 10 g is only secondary."""
    edition = EDITIONS.named("EN 1789:2020")

    assert edition is not None
    assert {clause.no: clause.mark for clause in edition.clauses} == {
        "4.4.11": Mark.PUBLISHED,
        "5.3": Mark.SECONDARY,
    }


def test_day_inside_a_month_that_is_known_no_better_is_uncertain() -> None:
    answer = _on("SAE J3027", "2016-11-14")

    assert answer.in_force == ()
    assert _states(answer)["j3027-2014"] == State.UNCERTAIN
    assert "date-uncertain" in answer.notes
    assert [found.id for found in _on("SAE J3027", "2016-11-30").in_force] == ["j3027-2016"]


def test_answers_carry_how_old_the_register_is() -> None:
    late = _on("SAE J3027", "2027-06-01", today="2027-06-01")
    now = _on("SAE J3027", "2026-10-01", today="2026-11-20")

    assert late.notes == ("after-known-as-of", "review-overdue")
    assert now.notes == ()
    assert (now.known_as_of, now.review_by) == (date(2026, 11, 1), date(2027, 5, 1))


def test_unknown_family_and_foreign_law_give_no_edition() -> None:
    assert _on("ISO 9999", "2026-01-01").notes == ("edition-unknown",)
    assert _on("KKK-A-1822", "2016-01-01", "de").notes == ("edition-unknown",)
    assert EDITIONS.named("EN 1789:1999") is None


def test_every_entry_has_mark_and_source_and_no_address() -> None:
    for edition in EDITIONS.editions:
        assert edition.mark in {Mark.PUBLISHED, Mark.SECONDARY, Mark.MEMORY}, edition.id
        assert len(edition.source) > 10, edition.id
    assert "http" not in TEXT


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("id-duplicate", "  - id: en-1789-2007-a1\n", "  - id: §en-1789-2007\n"),
        ("edition-unknown", "superseded_by: en-1789-2020-a1", "superseded_by: §en-1789-2031"),
        ("edition-date-unreadable", "published: 2014-09\n", "published: §Sept 2014\n"),
        ("edition-date-unreadable", "published: 2014-09\n", "published: §2014-13\n"),
        ("field-misspelt", "    vehicle_types: [A1, A2, B, C]\n    cited_by: [Eng", "    §vehicle_type: [A1, A2, B, C]\n    cited_by: [Eng"),
    ],
)  # fmt: skip
def test_fault_of_the_register_stands_at_its_place(code: str, old: str, new: str) -> None:
    text, place = support.changed(TEXT, old, new)

    problems = support.problems(lambda: read_editions(text.encode()))

    assert (code, f"editions.yaml:{place}") in [(problem.code, problem.where) for problem in problems]
    assert all(RECORD[problem.code][0].format_map(dict(problem.parameters)) for problem in problems)


@pytest.mark.parametrize(
    ("text", "identity"),
    [
        ("SAE J2917 (2016-08)", "j2917-2016"),
        ("J2956_201106", "j2956-2011"),
        ("SAE J3044 (2014-06)", "j3044-2014"),
        ("J3102_202206", "j3102-2022"),
        ("EN 1865-5:2012", "en-1865-5-2012"),
        ("KKK-A-1822F with change notice 8", "kkk-a-1822f-cn8"),
        ("KKK-A-1822F with change notice 10", "kkk-a-1822f-cn10"),
    ],
)
def test_editions_that_packs_and_reports_name_are_held_with_their_marks(text: str, identity: str) -> None:
    found = EDITIONS.named(text)

    assert found is not None
    assert found.id == identity
    assert found.mark in (Mark.PUBLISHED, Mark.SECONDARY, Mark.MEMORY)
    assert all(clause.mark in Mark and len(clause.source) > 8 for clause in found.clauses)


def test_support_of_the_stretcher_is_known_from_its_approval() -> None:
    """published: front matter of a national adoption of EN 1865-5:2012, approved by CEN on 2012-05-10."""
    before, on = _on("EN 1865-5", "2012-05-09"), _on("EN 1865-5", "2012-05-10")

    assert _states(before)["en-1865-5-2012"] == State.NOT_YET
    assert [found.id for found in on.in_force] == ["en-1865-5-2012"]
    # its numbers come from a trade page: whoever quotes them must see that
    assert {clause.mark for clause in on.in_force[0].clauses} == {Mark.SECONDARY}


def test_reaffirmed_frontal_pulse_is_known_from_a_test_house_only() -> None:
    entry = next(state for state in _on("SAE J2917", "2023-01-01").states if state.edition.id == "j2917-2022")

    assert (entry.state, entry.mark) == (State.IN_FORCE, Mark.SECONDARY)
