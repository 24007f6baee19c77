"""Calibration by months and cycles, what a certificate is, and the range of a torque tool."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from evidence.judge import Case
from evidence.judge._certificates import Kind, kinds_named
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from tests.judge.builders import (
    ILLEGIBLE,
    ask,
    asking,
    case,
    demand,
    document,
    entry,
    paper,
    record,
    screws,
    step,
)

BEST_LAST = [Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.UNDECIDED, Outcome.MET]


def tool(**changes: Any) -> dict[str, Any]:
    return {
        "id": "i2",
        "kind": "torque-wrench",
        "serial": "T-9",
        "calibrated": "2024-03-01",
        "interval_months": "12",
        **changes,
    }


def reading(at: str, count: int) -> dict[str, str]:
    return {"at": at, "count": str(count)}


def used(*days: str, as_of: Any = None, parts: dict[str, Any] | None = None, **changes: Any) -> Case:
    steps = [step(f"s{number}", "tighten", day, **{"with": ["i2"]}) for number, day in enumerate(days, 1)]
    fields = {"as_of": as_of} if as_of else {}
    return case(record(instruments=[tool(**changes)], steps=steps, **(parts or {})), **fields)


def limited(cycles: int | None = 5000, **changes: Any) -> dict[str, Any]:
    asked = {"cycles": str(cycles)} if cycles is not None else {}
    return asking("valid_on", subject="instrument", **asked, **changes)


def last_part(found: Finding) -> tuple[str, str]:
    part = found.parts[-1]
    return part.outcome.value, part.reason.code


# Hand torque tools are recalibrated after 5 000 cycles or 12 months, whichever comes first; both last values still count.
# from memory of ISO 6789
@pytest.mark.parametrize(
    ("day", "count", "outcome"),
    [
        ("2025-03-01", 5000, "met"),
        ("2025-03-02", 5000, "not met"),
        ("2025-03-01", 5001, "not met"),
        ("2025-03-02", 5001, "not met"),
    ],
)
def test_five_thousand_cycles_or_twelve_months(day: str, count: int, outcome: str) -> None:
    at = f"{day}T10:00"
    found = ask(limited(), used(at, counter=[reading(at, count)]))

    assert found.outcome == outcome
    assert [part.name for part in found.parts] == ["i2.s1", "i2.s1.cycles"]


@pytest.mark.parametrize(
    ("readings", "outcome", "code"),
    [
        ([("2024-06-02", 5000)], "met", "tool-cycles-within"),
        ([("2024-06-02", 5001)], "undecided", "tool-cycles-undecided"),
        ([("2024-05-31", 5000)], "undecided", "tool-cycles-undecided"),
        ([("2024-05-31", 5001)], "not met", "tool-cycles-exceeded"),
        ([("2024-05-31", 4000), ("2024-06-02", 4200)], "met", "tool-cycles-within"),
        ([("2024-05-31", 4000), ("2024-06-02", 5200)], "undecided", "tool-cycles-undecided"),
        # one past the limit before the use settles it, whatever a later one says
        ([("2024-05-31", 5200), ("2024-06-02", 10)], "not met", "tool-cycles-exceeded"),
        # of that day, but of no minute: it may be of before the use or of after it
        ([("2024-06-01", 4000)], "undecided", "tool-cycles-undecided"),
        ([("2024-06-01 am", 4000)], "undecided", "tool-cycles-undecided"),
        ([("2024-06-01 after 10:01", 4000)], "met", "tool-cycles-within"),
        ([("2024-06-01T10:00", 4000)], "met", "tool-cycles-within"),
        ([("2024-06-01T09:59", 5001)], "not met", "tool-cycles-exceeded"),
        # 09:30 at +00:00 is 10:30 of this workshop
        ([("2024-06-01T09:30+00:00", 4000)], "met", "tool-cycles-within"),
        ([], "not shown", "tool-cycles-not-recorded"),
        # counted since the calibration before this one
        ([("2024-02-01", 9000)], "not shown", "tool-cycles-not-recorded"),
        # taken after the day that is judged
        ([("2026-03-21", 4000)], "not shown", "tool-cycles-not-recorded"),
    ],
)
def test_a_count_holds_for_a_use_by_the_worst_case(
    readings: list[tuple[str, int]], outcome: str, code: str
) -> None:
    found = ask(limited(), used("2024-06-01T10:00", counter=[reading(*one) for one in readings]))

    assert last_part(found) == (outcome, code)
    assert found.outcome == outcome


def test_cycles_are_looked_at_only_where_they_are_asked() -> None:
    over = used("2024-06-01T10:00", counter=[reading("2024-05-31", 9000)])

    assert ask(limited(None), over).outcome == Outcome.MET
    assert ask(limited(), over).outcome == Outcome.NOT_MET


def test_every_use_has_its_own_count() -> None:
    found = ask(limited(), used("2024-05-01", "2024-07-01", counter=[reading("2024-06-01", 5000)]))

    assert [(part.name, part.outcome) for part in found.parts if part.name.endswith("cycles")] == [
        ("i2.s1.cycles", "met"),
        ("i2.s2.cycles", "undecided"),
    ]
    assert found.reason.parameters["part"] == "i2.s2.cycles"


def test_before_the_calibration_the_counter_counted_from_another_one() -> None:
    found = ask(limited(), used("2024-02-01", counter=[reading("2024-05-01", 9000)]))

    assert (found.outcome, found.reason.code) == ("not shown", "calibration-after-use")


def test_on_the_day_judged_no_count_can_hold() -> None:
    """A reading after that day is not known yet, so nothing could ever meet it."""
    with pytest.raises(ValidationError, match="cycles-without-use"):
        demand(limited(event="as-of"))

    release = {"release": {"at": "2026-03-10T10:00", "by": "w2"}}
    counted = used(counter=[reading("2026-03-11", 100)], calibrated="2026-03-01", parts=release)
    assert ask(limited(event="release"), counted).outcome == Outcome.MET


def test_a_count_known_only_later_is_not_known() -> None:
    the_record = used("2024-06-01T10:00", counter=[reading("2024-06-02", 10)]).record
    found = ask(limited(), case(the_record, known_on=date(2024, 6, 1)))

    assert last_part(found) == ("not shown", "tool-cycles-not-recorded")


def test_a_number_of_common_practice_is_compared_and_not_judged() -> None:
    counted = used("2024-06-01T10:00", counter=[reading("2024-05-31", 9000)], interval_months="24")
    found = ask(limited(mark="practice"), counted)

    assert (found.outcome, found.reason.code) == ("not shown", "practice-compared")


TIMES = st.sampled_from(
    ["2024-05-01", "2024-06-01", "2024-06-01T10:00", "2024-06-01 pm", "2024-06-02", "2025-02-01"]
)
COUNTS = st.integers(0, 60)


@given(
    st.lists(st.tuples(TIMES, COUNTS), max_size=4), st.integers(1, 50), st.integers(0, 3), st.integers(1, 20)
)
@settings(max_examples=120, deadline=None, derandomize=True)
def test_more_cycles_never_make_it_better(
    readings: list[tuple[str, int]], limit: int, which: int, more: int
) -> None:
    raised = [(at, count + more if number == which else count) for number, (at, count) in enumerate(readings)]

    def outcome(counts: list[tuple[str, int]], most: int) -> int:
        found = ask(limited(most), used("2024-06-01T10:00", counter=[reading(*one) for one in counts]))
        return BEST_LAST.index(found.outcome)

    assert outcome(raised, limit) <= outcome(readings, limit)
    assert outcome(readings, limit + more) >= outcome(readings, limit)


@given(
    st.dates(min_value=date(2024, 1, 1), max_value=date(2026, 3, 20)), st.integers(1, 24), st.integers(1, 12)
)
@settings(max_examples=120, deadline=None, derandomize=True)
def test_a_longer_validity_never_makes_it_worse(day: date, months: int, longer: int) -> None:
    def outcome(interval: int) -> int:
        return BEST_LAST.index(
            ask(limited(None), used(day.isoformat(), interval_months=str(interval))).outcome
        )

    assert outcome(months + longer) >= outcome(months)


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        # part 1 is about design and the maker's declaration, part 2 about calibration: from memory of ISO 6789:2017
        ("ISO 6789-1:2017", {Kind.DECLARATION}),
        ("EN ISO 6789-1", {Kind.DECLARATION}),
        ("DIN EN ISO 6789\u20131:2017-07", {Kind.DECLARATION}),
        ("iso6789-1", {Kind.DECLARATION}),
        ("Part 1 declaration", {Kind.DECLARATION}),
        ("ISO 6789 Part 1", {Kind.DECLARATION}),
        ("declaration of conformance", {Kind.DECLARATION}),
        ("Declaration of  Conformity", {Kind.DECLARATION}),
        ("ISO 6789-2", {Kind.TOOL_CALIBRATION}),
        ("EN ISO 6789-2:2017", {Kind.TOOL_CALIBRATION}),
        ("ISO 6789 pt. 2", {Kind.TOOL_CALIBRATION}),
        ("ISO/IEC 17025:2017", {Kind.ACCREDITED}),
        ("DIN EN ISO/IEC 17025", {Kind.ACCREDITED}),
        ("ISO 6789-2, accredited to ISO/IEC 17025", {Kind.TOOL_CALIBRATION, Kind.ACCREDITED}),
        ("declaration of conformity to ISO 6789-2", {Kind.DECLARATION, Kind.TOOL_CALIBRATION}),
        ("ISO 6789:2003", set()),
        ("ISO 6789:1992", set()),
        ("not ISO 6789-2", set()),
        ("part 17", set()),
        ("works certificate", set()),
    ],
)
def test_what_a_paper_says_it_is(text: str, kinds: set[Kind]) -> None:
    assert kinds_named(text) == kinds


def certified(
    *kinds: Any, named: bool = False, instrument: dict[str, Any] | None = None, **criterion: Any
) -> Finding:
    papers = [
        document(
            f"d{number}",
            "calibration-certificate",
            subject="i2",
            **({"certificate_kind": kind} if kind else {}),
        )
        for number, kind in enumerate(kinds, 1)
    ]
    changes = {**(instrument or {}), **({"certificate": "d1"} if named else {})}
    return ask(limited(None, **criterion), used("2024-06-01", parts={"documents": papers}, **changes))


@pytest.mark.parametrize("named", [False, True])
@pytest.mark.parametrize("evidence_from", [[], ["calibration-certificate"]])
@pytest.mark.parametrize(
    ("kinds", "outcome"),
    [
        (["ISO 6789-1:2017"], "not shown"),
        (["Part 1 declaration"], "not shown"),
        (["ISO 6789-1", "declaration of conformance"], "not shown"),
        ([["ISO 6789-1", "ISO 6789-2"]], "met"),
        (["ISO 6789-2"], "met"),
        (["EN ISO 6789-2:2017"], "met"),
        (["ISO/IEC 17025"], "met"),
        (["works certificate"], "met"),
        ([None], "met"),
        ([ILLEGIBLE], "met"),
        (["ISO 6789-1", "ISO 6789-2"], "met"),
        (["ISO 6789-1", None], "met"),
    ],
)
def test_a_makers_declaration_is_no_calibration(
    kinds: list[Any], outcome: str, evidence_from: list[str], *, named: bool
) -> None:
    found = certified(*kinds, named=named, evidence_from=evidence_from)

    assert found.outcome == outcome
    if outcome == "not shown":
        assert found.reason.code == "declaration-not-calibration"
        assert found.reason.parameters["documents"] == tuple(f"d{n}" for n in range(1, len(kinds) + 1))
        assert "d1" in found.documents


def test_only_torque_tools_have_such_declarations() -> None:
    assert certified("ISO 6789-1", instrument={"kind": "caliper"}).outcome == Outcome.MET


@pytest.mark.parametrize(
    ("stated", "outcome"),
    [
        ("ISO 6789-2", "met"),
        ("EN ISO 6789-2:2017", "met"),
        ("DIN EN ISO/IEC 17025:2018", "met"),
        ("ISO 6789-2 and ISO/IEC 17025", "met"),
        ("ISO 6789-1", "not met"),
        ("ISO 6789-1 and ISO 6789-2", "not met"),
        ("declaration of conformity to ISO 6789-2", "not met"),
        ("not ISO 6789-2", "not met"),
        ("works certificate", "not met"),
    ],
)
def test_the_usual_writings_of_a_kind_match(stated: str, outcome: str) -> None:
    criterion = asking(
        "matches",
        fact="document.certificate-kind",
        allowed=["ISO 6789-2", "ISO/IEC 17025"],
        evidence_from=["calibration-certificate"],
    )
    the_record = record(
        documents=[document("d1", "calibration-certificate", "E1", certificate_kind=stated)],
        exhibits=[entry("E1", "calibration-certificate")],
    )

    assert ask(criterion, case(the_record, items={"E1": paper("E1")})).outcome == outcome


def tightened(torque: str, decision: str = "guarded", **changes: Any) -> Finding:
    criterion = asking(
        "within",
        subject="screws",
        quantity="screws.torque",
        low="8 N·m",
        high="60 N·m",
        decision=decision,
    )
    tools = [tool(deviation="4 %", **changes)]
    return ask(criterion, case(record(instruments=tools, screws=[screws(count="1", torques=[torque])])))


RANGE = {"range_low": "10 N·m", "range_high": "50 N·m"}


# the range of a hand torque tool begins at the lowest value marked on it: from memory of ISO 6789
@pytest.mark.parametrize("decision", ["guarded", "simple"])
@pytest.mark.parametrize(
    ("torque", "range_", "outcome"),
    [
        ("10 N·m", RANGE, "met"),
        ("50 N·m", RANGE, "met"),
        ("9.9 N·m", RANGE, "undecided"),
        ("50.1 N·m", RANGE, "undecided"),
        ("20 lbf·ft", RANGE, "met"),
        ("40 lbf·ft", RANGE, "undecided"),
        ("70 N·m", RANGE, "undecided"),
        ("9 N·m", {"range_low": "10 N·m"}, "undecided"),
        ("55 N·m", {"range_low": "10 N·m"}, "met"),
        ("9 N·m", {"range_high": "50 N·m"}, "met"),
        ("9 N·m", {}, "met"),
    ],
)
def test_a_torque_outside_its_tools_range_was_not_measured_by_it(
    torque: str, range_: dict[str, str], outcome: str, decision: str
) -> None:
    found = tightened(torque, decision, **range_)

    assert found.outcome == outcome
    if outcome == "undecided":
        assert found.reason.code == "outside-tool-range"
        shown = found.reason.parameters
        assert (shown["instrument"], shown["entry"]) == ("i2", "g1.1")


def test_the_range_is_told_with_both_ends() -> None:
    shown = tightened("9 N·m", **RANGE).reason.parameters
    half = tightened("9 N·m", range_low="10 N·m").reason.parameters

    assert (shown["low"], shown["high"]) == (
        {"value": "10", "unit": "N·m"},
        {"value": "50", "unit": "N·m"},
    )
    assert half["high"] == "\u2013"
