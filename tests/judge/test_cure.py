"""Cure of thread-locker: from the last of step, final torque and application; what the data sheet asks beside it."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.names import Severity
from evidence.phrases import say
from evidence.register.demand import Demands
from tests.judge.builders import (
    ILLEGIBLE,
    TO_COME,
    ask,
    asking,
    case,
    demand,
    digest,
    document,
    entry,
    intake,
    paper,
    profile,
    record,
    screws,
    step,
)

STEPS: list[dict[str, Any]] = [{"id": "torque", "screws": "floor"}, {"id": "test", "after": ["torque"]}]
LOCKER = {"product": "L", "lot": "A7", "use_by": "2027-01-01"}


def cure(answers: str | None = "cure", at_least: str = "12 h") -> dict[str, Any]:
    gaps = [{"before": "torque", "after": "test", "at_least": at_least}]
    return asking("ordered", steps=[], gaps=gaps, **({"answers": answers} if answers else {}))


def cured(
    tightened: Any, applied: Any = None, stepped: Any = "2026-03-04T10:00", tested: str = "2026-03-04T22:30"
) -> Case:
    locker = {"locker": {**LOCKER, "applied": applied}} if applied else {"locker": None}
    return case(
        record(
            screws=[screws(at=tightened, **locker)],
            steps=[step("s1", "torque", stepped, screws="g1"), step("s2", "test", tested)],
        ),
        profile=profile(STEPS),
    )


@pytest.mark.parametrize(
    ("tightened", "applied", "outcome", "code"),
    [
        ("2026-03-04T10:00", "2026-03-04T09:50", "met", "gap-long-enough"),
        ("2026-03-04T10:00", None, "met", "gap-long-enough"),
        ("2026-03-04T10:29", "2026-03-04T09:50", "met", "gap-long-enough"),
        ("2026-03-04T10:30", "2026-03-04T09:50", "undecided", "gap-undecided"),
        ("2026-03-04T10:31", "2026-03-04T09:50", "not met", "gap-too-short"),
        ("2026-03-04T10:00", "2026-03-04T10:29", "met", "gap-long-enough"),
        ("2026-03-04T10:00", "2026-03-04T10:31", "not met", "gap-too-short"),
        # a day only: the screws may have had their torque at its end
        ("2026-03-04", "2026-03-04T09:50", "undecided", "gap-undecided"),
        ("2026-03-04 am", "2026-03-04T09:50", "undecided", "gap-undecided"),
        ("2026-03-04 before 10:20", "2026-03-04T09:50", "met", "gap-long-enough"),
        ("2026-03-04 after 11:00", "2026-03-04T09:50", "not met", "gap-too-short"),
        ("2026-03-05T08:00", "2026-03-04T09:50", "not met", "gap-too-short"),
        (TO_COME, "2026-03-04T09:50", "not shown", "time-open"),
        ("2026-03-04T10:00", ILLEGIBLE, "undecided", "time-illegible"),
    ],
)
def test_a_cure_counts_from_the_last_of_step_torque_and_application(
    tightened: Any, applied: Any, outcome: str, code: str
) -> None:
    found = ask(cure(), cured(tightened, applied))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.records == ("g1", "s1", "s2")


def test_another_gap_counts_from_its_step_alone() -> None:
    late = cured("2026-03-05T08:00", "2026-03-05T07:50")

    assert ask(cure(None), late).outcome == "met"
    assert ask(cure("step-order"), late).outcome == "met"
    assert ask(cure(), late).outcome == "not met"


def test_steps_without_a_screw_group_count_as_they_are_written() -> None:
    steps = [step("s1", "torque", "2026-03-04T10:00"), step("s2", "test", "2026-03-04T22:30")]

    assert ask(cure(), case(record(steps=steps), profile=profile(STEPS))).outcome == "met"


def told(
    stated: Any, asked: str = "12 h", role: str = "data-sheet", answers: str | None = "cure"
) -> list[Any]:
    the_record = record(screws=[screws()], documents=[document("d1", role, subject="g1", cure_time=stated)])
    demands = Demands((demand(cure(answers, asked)),), ())
    return [
        one for one in contradictions(case(the_record, demands=demands)) if one.rule == "cure-time-differs"
    ]


@pytest.mark.parametrize(
    ("stated", "asked", "fires"),
    [
        ("12 h", "12 h", False),
        ("6 h", "12 h", False),
        ("24 h", "12 h", True),
        ("1 d", "24 h", False),
        ("25 h", "1 d", True),
        (ILLEGIBLE, "12 h", False),
        ([ILLEGIBLE, "24 h"], "12 h", True),
    ],
)
def test_a_data_sheet_that_asks_for_more_is_told(stated: Any, asked: str, *, fires: bool) -> None:
    found = told(stated, asked)

    assert bool(found) == fires
    if fires:
        assert found[0].severity == Severity.NOTICE
        assert not found[0].open
        assert "d1" in say(found[0].reason.code, found[0].reason.parameters)


@pytest.mark.parametrize(
    ("sheet", "log", "fires"),
    [
        ({}, [], True),
        ({"issued": "2026-04-01"}, [], False),
        ({}, [{"event": "move-out", "job": "AMB-2", "other": "E9", "reason": "wrong-vehicle"}], False),
        ({}, [{"event": "withdraw", "reason": "wrong-file"}], False),
        ({"claims": [{"name": "cure-time", "value": "24 h", "page": "9"}]}, [], False),
    ],
)
def test_a_data_sheet_that_cannot_be_used_tells_nothing(
    sheet: dict[str, Any], log: list[dict[str, str]], *, fires: bool
) -> None:
    paper_there = {**document("d1", "data-sheet", "E1", "g1", cure_time="24 h"), **sheet}
    the_record = record(
        screws=[screws()], documents=[paper_there], exhibits=[entry("E1", "data-sheet", "g1")]
    )
    fields = {"id": "E1", "sha256": digest("E1"), "at": "2026-03-05T08:00+01:00"}
    lines = [{**fields, **line} for line in ({"event": "add"}, *log)]
    the_case = case(
        the_record,
        demands=Demands((demand(cure()),), ()),
        items={"E1": paper("E1")},
        intake=intake(*lines),
    )

    assert any(one.rule == "cure-time-differs" for one in contradictions(the_case)) == fires


def test_only_data_sheets_and_only_where_a_cure_is_asked() -> None:
    assert told("24 h", role="manual-extract") == []
    assert told("24 h", answers=None) == []


def test_the_manuals_time_is_what_is_judged() -> None:
    on_time = cured("2026-03-04T10:00", "2026-03-04T09:50")
    sheet = [document("d1", "data-sheet", subject="g1", cure_time="24 h")]
    with_sheet = case(
        on_time.record.model_copy(update={"documents": record(documents=sheet).documents}),
        profile=on_time.profile,
    )

    assert ask(cure(), with_sheet).outcome == "met"
