"""``ordered``: order and gaps by the worst case, work-card rows, screw groups as threads, and redoing."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.names import Outcome, RestsOn
from tests.judge.builders import (
    ILLEGIBLE,
    POSITION,
    TO_COME,
    ask,
    asking,
    broken,
    case,
    entry,
    paper,
    profile,
    record,
    screws,
    step,
)

CLEAN_THEN_TIGHTEN = asking("ordered")


def done(*steps: dict[str, Any], **fields: Any) -> Case:
    return case(record(steps=list(steps), **fields.pop("parts", {})), **fields)


@pytest.mark.parametrize(
    ("first", "second", "outcome", "code"),
    [
        ("2026-03-04T10:00", "2026-03-04T10:01", "met", "in-order"),  # that minute ends where the next begins
        ("2026-03-04T10:00", "2026-03-04T10:00", "undecided", "order-undecided"),
        ("2026-03-04T10:01", "2026-03-04T10:00", "not met", "out-of-order"),
        ("2026-03-04 am", "2026-03-04 pm", "met", "in-order"),
        ("2026-03-04 am", "2026-03-04", "undecided", "order-undecided"),
        ("2026-03-04 before 14:00", "2026-03-04 after 14:00", "met", "in-order"),
        ("2026-03-04 before 14:01", "2026-03-04 after 14:00", "undecided", "order-undecided"),
        ("2026-03-05", "2026-03-04", "not met", "out-of-order"),
        ("2026-03-04T10:00+01:00", "2026-03-04T09:30Z", "met", "in-order"),
        ("2026-03-04T10:00", "2026-03-04T09:30Z", "met", "in-order"),  # the record's offset is +01:00
        ("2026-03-04T10:00Z", "2026-03-04T10:30", "not met", "out-of-order"),
        (TO_COME, "2026-03-04", "not shown", "time-open"),
        ("2026-03-04", ILLEGIBLE, "undecided", "time-illegible"),
    ],
)
def test_two_times_by_the_worst_case(first: Any, second: Any, outcome: str, code: str) -> None:
    found = ask(CLEAN_THEN_TIGHTEN, done(step("s1", "clean", first), step("s2", "tighten", second)))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.records == ("s1", "s2")


def test_the_clock_change_is_in_the_records_offsets() -> None:
    offsets = [{"from": "2026-01-01", "offset": "+01:00"}, {"from": "2026-03-29", "offset": "+02:00"}]
    steps = [step("s1", "clean", "2026-03-29T09:00"), step("s2", "tighten", "2026-03-29T07:30Z")]

    assert ask(CLEAN_THEN_TIGHTEN, done(*steps, parts={"offsets": offsets})).outcome == Outcome.MET
    assert ask(CLEAN_THEN_TIGHTEN, done(*steps)).outcome == Outcome.NOT_MET


def test_a_step_that_is_not_recorded() -> None:
    found = ask(CLEAN_THEN_TIGHTEN, done(step("s1", "clean", "2026-03-04")))

    assert (found.outcome, found.reason.code, found.rests_on) == ("not shown", "step-not-recorded", ())
    assert found.reason.parameters["step"] == "tighten"


def row(number: int, page: int = 1, exhibit: str = "E1") -> dict[str, str]:
    return {"exhibit": exhibit, "page": str(page), "row": str(number)}


@pytest.mark.parametrize(
    ("rows", "outcome"),
    [
        ((row(3), row(4)), "met"),
        ((row(9), row(1, page=2)), "met"),
        ((row(4), row(3)), "not met"),
        ((row(3), row(3)), "undecided"),
        ((row(3), row(4, exhibit="E2")), "undecided"),
        ((row(3), None), "undecided"),
    ],
)
@pytest.mark.parametrize("when", ["2026-03-04", ILLEGIBLE], ids=["same day", "illegible"])
def test_rows_of_one_card_decide_where_times_do_not(rows: tuple[Any, Any], outcome: str, when: Any) -> None:
    steps = [
        step("s1", "clean", when, **({"card_row": rows[0]} if rows[0] else {})),
        step("s2", "tighten", when, **({"card_row": rows[1]} if rows[1] else {})),
    ]
    cards = [entry("E1", "work-card", "vehicle"), entry("E2", "work-card", "vehicle")]
    items = {"E1": paper("E1"), "E2": paper("E2")}

    assert ask(CLEAN_THEN_TIGHTEN, done(*steps, parts={"exhibits": cards}, items=items)).outcome == outcome


def test_rows_of_a_card_that_cannot_be_read_decide_nothing() -> None:
    steps = [
        step("s1", "clean", "2026-03-04", card_row=row(1)),
        step("s2", "tighten", "2026-03-04", card_row=row(2)),
    ]
    cards = {"exhibits": [entry("E1", "work-card", "vehicle")]}

    assert (
        ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=cards, items={"E1": broken("E1")})).outcome
        == Outcome.UNDECIDED
    )
    assert ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=cards)).outcome == Outcome.UNDECIDED


def test_a_certain_time_goes_before_the_rows() -> None:
    steps = [
        step("s1", "clean", "2026-03-05", card_row=row(1)),
        step("s2", "tighten", "2026-03-04", card_row=row(2)),
    ]
    cards = {"exhibits": [entry("E1", "work-card", "vehicle")]}

    assert (
        ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=cards, items={"E1": paper("E1")})).outcome
        == Outcome.NOT_MET
    )


def redo(name: str, what: str, at: str, of: str) -> dict[str, Any]:
    return step(name, what, at, redo_of=of)


FIRST_PASS = (step("s1", "clean", "2026-03-04T10:00"), step("s2", "tighten", "2026-03-04T11:00"))


def test_a_redo_reopens_the_step_after_it() -> None:
    found = ask(CLEAN_THEN_TIGHTEN, done(*FIRST_PASS, redo("s3", "clean", "2026-03-04T12:00", "s1")))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "reopened")
    assert found.reason.parameters["step"] == "tighten"


def test_a_redo_closes_again_what_it_reopened() -> None:
    again = (redo("s3", "clean", "2026-03-04T12:00", "s1"), redo("s4", "tighten", "2026-03-04T13:00", "s2"))

    assert ask(CLEAN_THEN_TIGHTEN, done(*FIRST_PASS, *again)).outcome == Outcome.MET


def test_the_latest_redo_counts() -> None:
    again = (redo("s3", "tighten", "2026-03-04T09:00", "s2"), redo("s4", "tighten", "2026-03-04T13:00", "s3"))

    assert ask(CLEAN_THEN_TIGHTEN, done(*FIRST_PASS, again[0])).outcome == Outcome.NOT_MET
    assert ask(CLEAN_THEN_TIGHTEN, done(*FIRST_PASS, *again)).outcome == Outcome.MET


DEPENDENT = profile(
    [
        {"id": "plate"},
        {"id": "clean", "after": ["plate"]},
        {"id": "tighten", "after": ["clean"]},
    ]
)


def test_a_redo_of_a_step_that_the_manual_puts_first_reopens_too() -> None:
    plate = step("s0", "plate", "2026-03-04T09:00")
    lifted = redo("s9", "plate", "2026-03-04T12:00", "s0")
    found = ask(CLEAN_THEN_TIGHTEN, done(plate, *FIRST_PASS, lifted, profile=DEPENDENT))

    assert ask(CLEAN_THEN_TIGHTEN, done(plate, *FIRST_PASS, profile=DEPENDENT)).outcome == Outcome.MET
    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "reopened")
    assert [part.outcome for part in found.parts] == ["met", "not shown", "not shown"]


def test_a_redo_on_an_unclear_time_leaves_the_later_step_undecided() -> None:
    found = ask(CLEAN_THEN_TIGHTEN, done(*FIRST_PASS, redo("s3", "clean", "2026-03-04", "s1")))

    assert found.outcome == Outcome.UNDECIDED


def cure(at_least: str = "24 h") -> dict[str, Any]:
    return asking("ordered", steps=[], gaps=[{"before": "tighten", "after": "test", "at_least": at_least}])


@pytest.mark.parametrize(
    ("first", "second", "outcome", "code"),
    [
        ("2026-03-04T10:00", "2026-03-05T10:01", "met", "gap-long-enough"),
        ("2026-03-04T10:00", "2026-03-05T10:00", "undecided", "gap-undecided"),
        ("2026-03-04T10:00", "2026-03-05T09:59", "not met", "gap-too-short"),
        ("2026-03-04", "2026-03-05", "undecided", "gap-undecided"),
        ("2026-03-04", "2026-03-06", "met", "gap-long-enough"),
        (
            "2026-03-04",
            "2026-03-04",
            "not met",
            "gap-too-short",
        ),  # at most 24 h lie between, never the whole of it
        (TO_COME, "2026-03-06", "not shown", "time-open"),
        ("2026-03-04", ILLEGIBLE, "undecided", "time-illegible"),
    ],
)
def test_a_gap_by_the_worst_case(first: Any, second: Any, outcome: str, code: str) -> None:
    found = ask(cure(), done(step("s1", "tighten", first), step("s2", "test", second)))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_a_gap_needs_both_steps_and_a_redo_opens_it_again() -> None:
    one, other = step("s1", "tighten", "2026-03-04T10:00"), step("s2", "test", "2026-03-06T10:00")

    assert ask(cure(), done(one)).reason.code == "step-not-recorded"
    again = redo("s3", "tighten", "2026-03-07T10:00", "s1")
    assert ask(cure(), done(one, other, again)).reason.code == "reopened"


GROUPS = {"screws": [screws("g1"), screws("g2")]}


def test_each_screw_group_is_a_thread_of_its_own() -> None:
    interleaved = [
        step("s1", "clean", "2026-03-04T09:00", screws="g1"),
        step("s2", "tighten", "2026-03-04T10:00", screws="g1"),
        step("s3", "clean", "2026-03-04T11:00", screws="g2"),
        step("s4", "tighten", "2026-03-04T12:00", subject="g2"),
    ]
    found = ask(CLEAN_THEN_TIGHTEN, done(*interleaved, parts=GROUPS))

    assert found.outcome == Outcome.MET
    assert [part.name for part in found.parts] == ["g1/s1/s2", "g2/s3/s4"]
    assert found.rests_on == (RestsOn.RECORDED,)


def test_a_step_done_to_one_group_is_missing_for_the_other() -> None:
    steps = [
        step("s1", "clean", "2026-03-04T09:00"),
        step("s2", "tighten", "2026-03-04T10:00", screws="g1"),
        step("s3", "mark", "2026-03-04T11:00", screws="g2"),
    ]
    found = ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=GROUPS))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "step-not-recorded")
    assert found.reason.parameters["subject"] == "g2"


def test_one_screw_group_alone() -> None:
    steps = [
        step("s1", "clean", "2026-03-04T09:00", screws="g1"),
        step("s2", "tighten", "2026-03-04T10:00", screws="g1"),
    ]
    criterion = asking("ordered", subject="screws")

    assert ask(criterion, done(*steps, parts={"screws": [screws()]})).outcome == Outcome.MET


def test_a_step_of_the_manuals_other_group_is_not_asked_of_this_one() -> None:
    manual = profile([{"id": "clean"}, {"id": "tighten", "screws": "floor"}])
    steps = [step("s1", "clean", "2026-03-04T09:00"), step("s2", "tighten", "2026-03-04T10:00", screws="g1")]
    parts = {"screws": [screws("g1"), screws("g2", group="charger")]}
    elsewhere = {"screws": [screws("g1", group="charger")]}

    assert ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=parts, profile=manual)).outcome == Outcome.MET
    assert (
        ask(CLEAN_THEN_TIGHTEN, done(*steps, parts=elsewhere, profile=manual)).reason.code
        == "step-not-recorded"
    )


def test_the_vehicle_asks_every_position() -> None:
    steps = [step("s1", "clean", "2026-03-04T09:00"), step("s2", "tighten", "2026-03-04T10:00")]
    two = {"positions": [POSITION, {**POSITION, "id": "p2"}]}
    criterion = asking("ordered", subject="vehicle")

    assert ask(criterion, done(*steps)).outcome == Outcome.MET
    assert ask(criterion, done(*steps, parts=two)).reason.parameters["subject"] == "p2"
