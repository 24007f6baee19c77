"""Qualification of whoever worked: several spells, gaps between them, and whose paper it is."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.judge import Case
from evidence.model.names import Outcome
from tests.judge.builders import TO_COME, ask, asking, case, document, entry, paper, record, step

QUALIFIED = asking(
    "valid_on", subject="person", what="qualification", qualification="latch-course", function="fitter"
)
BEST_LAST = [Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.UNDECIDED, Outcome.MET]


def held(from_: str, until: str | None = None, **changes: Any) -> dict[str, Any]:
    return {"what": "latch-course", "from": from_, **({"until": until} if until else {}), **changes}


def fitter(*spells: dict[str, Any], day: str = "2026-03-04", items: Any = None, **parts: Any) -> Case:
    people = [
        {"id": "w1", "functions": ["fitter"], "qualifications": list(spells)},
        {"id": "w2", "functions": ["fitter"]},
        {"id": "w3", "functions": ["signatory"]},
    ]
    return case(record(people=people, steps=[step("s1", "clean", day)], **parts), items=items or {})


TWO = (held("2025-01-01", "2025-06-30"), held("2026-01-01", "2026-12-31"))


@pytest.mark.parametrize(
    ("day", "outcome", "code", "expires"),
    [
        ("2024-12-31", "not met", "not-yet-valid-on-day", None),
        ("2025-01-01", "met", "valid-on-day", "2025-06-30"),
        ("2025-06-30", "met", "valid-on-day", "2025-06-30"),
        ("2025-07-01", "not met", "expired-on-day", "2025-06-30"),
        ("2025-12-31", "not met", "expired-on-day", "2025-06-30"),
        ("2026-01-01", "met", "valid-on-day", "2026-12-31"),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_a_gap_between_two_spells_is_no_qualification(
    day: str, outcome: str, code: str, expires: str | None, *, turned: bool
) -> None:
    found = ask(QUALIFIED, fitter(*(reversed(TWO) if turned else TWO), day=day))

    assert (found.outcome, found.reason.code, found.expires) == (outcome, code, expires)


def test_another_qualification_does_not_fill_the_gap() -> None:
    other = held("2025-01-01", what="welding")

    assert ask(QUALIFIED, fitter(*TWO, other, day="2025-08-01")).outcome == Outcome.NOT_MET
    assert ask({**QUALIFIED, "qualification": None}, fitter(*TWO, other, day="2025-08-01")).outcome == "met"


def filed(subject: str, *, listed: str | None = None) -> Case:
    papers = [document("d1", "qualification", "E1", subject=listed)] if listed else []
    return fitter(
        held("2025-01-01", exhibit="E1"),
        exhibits=[entry("E1", "qualification", subject)],
        documents=papers,
        items={"E1": paper("E1")},
    )


@pytest.mark.parametrize(
    ("subject", "listed", "outcome"),
    [
        ("w1", None, "met"),
        ("w2", None, "not shown"),
        ("vehicle", None, "met"),
        ("vehicle", "w2", "not shown"),
        ("vehicle", "vehicle", "met"),
        ("w2", "w1", "met"),  # the paper in it is this person's
    ],
)
def test_the_paper_of_another_person_shows_nothing(subject: str, listed: str | None, outcome: str) -> None:
    found = ask(QUALIFIED, filed(subject, listed=listed))

    assert found.outcome == outcome
    if outcome == "not shown":
        assert found.reason.code == "qualification-of-another"
        assert found.reason.parameters["found"] == ("w2",)


def test_a_spell_whose_paper_is_missing_is_not_shown_rather_than_run_out() -> None:
    open_slot = [entry("E1", "qualification", "w1", TO_COME)]
    old, new = held("2025-01-01", "2025-12-31"), held("2026-01-01", exhibit="E1")

    during = ask(QUALIFIED, fitter(old, new, exhibits=open_slot))
    after = ask(QUALIFIED, fitter(old, held("2026-04-01", exhibit="E1"), exhibits=open_slot))
    assert (during.outcome, during.reason.code) == ("not shown", "evidence-open")
    assert (after.outcome, after.reason.code) == ("not met", "expired-on-day")


@pytest.mark.parametrize(
    ("slots", "outcome", "code"),
    [
        ([], "not shown", "missing-qualification"),
        ([entry("E1", "qualification", "w2")], "not shown", "missing-qualification"),
        ([entry("E1", "qualification", "w1")], "met", "valid-on-day"),
        ([entry("E1", "qualification", "w1", TO_COME)], "not shown", "evidence-open"),
    ],
)
def test_where_a_paper_is_asked_for_it_must_be_there(
    slots: list[dict[str, Any]], outcome: str, code: str
) -> None:
    asked = {**QUALIFIED, "evidence_from": ["qualification"]}
    found = ask(asked, fitter(held("2025-01-01"), exhibits=slots, items={"E1": paper("E1")}))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert ask(QUALIFIED, fitter(held("2025-01-01"), exhibits=slots)).outcome == Outcome.MET


DAYS = st.dates(min_value=date(2025, 1, 1), max_value=date(2026, 3, 1))


@given(st.lists(st.tuples(DAYS, st.integers(0, 200)), min_size=1, max_size=3), DAYS, st.integers(1, 200))
@settings(max_examples=120, deadline=None, derandomize=True)
def test_a_longer_spell_never_makes_it_worse(spells: list[tuple[date, int]], day: date, longer: int) -> None:
    def outcome(more: int) -> int:
        all_held = [
            held(
                begin.isoformat(),
                (begin + timedelta(days=length + (more if number == 0 else 0))).isoformat(),
            )
            for number, (begin, length) in enumerate(spells)
        ]
        return BEST_LAST.index(ask(QUALIFIED, fitter(*all_held, day=day.isoformat())).outcome)

    assert outcome(longer) >= outcome(0)
