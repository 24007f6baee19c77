"""Rules on torques: audits, equal readings, torque after cure, and logs against the record."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge._rounding import beyond, last_place
from evidence.judge._scope import subjects
from evidence.judge.contradictions import contradictions
from evidence.judge.known import known_by
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.naming import Naming
from evidence.phrases import say
from evidence.quantity import Dimension, parse
from tests.judge.builders import (
    ILLEGIBLE,
    TO_COME,
    TOOLS,
    asking,
    case,
    demand,
    digest,
    entry,
    paper,
    profile,
    record,
    screws,
    step,
)

STEPS = (
    {"id": "clean"},
    {"id": "tighten", "after": ["clean"], "yields": ["torque"]},
    {"id": "test", "after": ["tighten"]},
)
INDICATING = {**TOOLS[1], "id": "i3", "serial": "T-10", "indicating": "yes", "range_low": "10 N·m"}


def audit(name: str = "u1", **changes: Any) -> dict[str, Any]:
    return {
        "id": name,
        "screws": "g1",
        "torques": ["20 N·m", "20 N·m"],
        "instrument": "i2",
        "by": "w2",
        "at": "2026-03-10",
        **changes,
    }


def of(rule: str, the_case: Case) -> list[Contradiction]:
    found = [one for one in contradictions(the_case) if one.rule == rule]
    for one in found:
        assert say(one.reason.code, one.reason.parameters)
    return found


def checked(*audits: Mapping[str, Any], groups: Sequence[Mapping[str, Any]] = (), **parts: Any) -> Case:
    the_record = record(
        audits=list(audits),
        screws=list(groups) or [screws()],
        instruments=[*TOOLS, INDICATING],
        **parts,
    )
    return case(the_record, profile=profile(STEPS))


@pytest.mark.parametrize(
    ("changes", "fires"),
    [
        ({"moved": "yes"}, True),
        ({"moved": "no"}, False),
        ({}, False),
        ({"moved": "yes", "at": "2026-03-04"}, False),
        ({"moved": "yes", "at": "2026-03-04T11:30"}, True),
        # the group was tightened again since
        ({"moved": "yes", "at": "2026-03-03"}, False),
        ({"moved": "yes", "at": TO_COME}, False),
    ],
)
def test_audit_moved(changes: dict[str, Any], *, fires: bool) -> None:
    found = of("audit-moved", checked(audit(**changes)))

    assert bool(found) == fires
    if fires:
        assert found[0].severity == Severity.CONTRADICTION
        assert found[0].reason.parameters["screws"] == "g1"


def test_an_audit_is_known_from_its_day_on() -> None:
    late = case(record(audits=[audit(moved="yes")], screws=[screws()]))
    before = [one.rule for one in _known_on(late, "2026-03-09")]

    assert "audit-moved" in [one.rule for one in _known_on(late, "2026-03-10")]
    assert "audit-moved" not in before


def _known_on(the_case: Case, day: str) -> tuple[Contradiction, ...]:
    when = date.fromisoformat(day)
    return contradictions(replace(the_case, record=known_by(the_case.record, when)))


@pytest.mark.parametrize(
    ("torques", "fires"),
    [(["20 N·m"], False), (["10 N·m"], False), (["9.9 N·m"], True), ([TO_COME], False)],
)
def test_audit_outside_the_range_of_its_tool(torques: list[Any], *, fires: bool) -> None:
    found = of("audit-outside-range", checked(audit(instrument="i3", torques=torques)))

    assert bool(found) == fires
    if fires:
        parameters = found[0].reason.parameters
        assert (parameters["low"], parameters["high"]) == ({"unit": "N·m", "value": "10"}, "\u2013")
        assert found[0].severity == Severity.NOTICE


def test_an_audit_with_a_tool_out_of_date() -> None:
    """Published: ISO 6789:2003, intervals of hand torque tools; twelve months from 2025-06-01 end on 2026-06-01."""
    assert of("calibration-expired-on-work", checked(audit(at="2026-06-01"))) == []
    (found,) = of("calibration-expired-on-work", checked(audit(at="2026-06-02")))

    assert found.between[1].where == "u1.at"


def test_a_tool_that_only_an_audit_used_is_asked_for_its_calibration() -> None:
    criterion = demand(asking("valid_on", subject="instrument", kinds=["torque-wrench"])).criterion

    assert subjects(criterion, checked().record) == ("i2",)
    assert subjects(criterion, checked(audit(instrument="i3")).record) == ("i2", "i3")


def test_what_an_audit_is_called() -> None:
    assert Naming(checked(audit()).record).call("u1") == "audit (u1)"


def test_an_audit_after_release_breaks_no_release() -> None:
    released = checked(audit(at="2027-03-04"), release={"at": "2026-03-06", "by": "w3"})

    assert of("release-before-last-work", released) == []


def four(*torques: Any, instrument: str = "i3", count: str = "") -> dict[str, Any]:
    return screws(torques=list(torques), count=count or str(len(torques)), instrument=instrument)


@pytest.mark.parametrize(
    ("group", "fires"),
    [
        (four(*["24.3 N·m"] * 4), True),
        (four(*["24,3 N·m"] * 8), True),
        (four(*["24.3 N·m"] * 3), False),
        # a clicking tool, and one of which nobody said what it does
        (four(*["24.3 N·m"] * 4, instrument="i2"), False),
        # 1 N·m of 24 N·m is more than a hand varies, 1 N·m of 120 N·m is not
        (four(*["24 N·m"] * 4), False),
        (four(*["120 N·m"] * 4), True),
        (four(*["24.3 N·m"] * 3, "24.4 N·m"), False),
        (four(*["24.3 N·m"] * 4, "24 N·m"), False),
        (four(*["24.3 N·m"] * 4, ILLEGIBLE), False),
    ],
)
def test_torques_identical(group: dict[str, Any], *, fires: bool) -> None:
    found = of("torques-identical", checked(groups=[group]))

    assert bool(found) == fires
    assert all(one.severity == Severity.NOTICE for one in found)


def test_identical_torques_of_an_audit() -> None:
    group = screws(count="4", torques=["25 N·m"] * 4)
    (found,) = of(
        "torques-identical", checked(audit(torques=["20.5 N·m"] * 4, instrument="i3"), groups=[group])
    )

    assert found.reason.parameters["entry"] == "u1"


REDONE = [
    step("s1", "clean", "2026-03-04T10:30", screws="g1"),
    step("s2", "tighten", "2026-03-04T11:00", screws="g1"),
    step("s3", "tighten", "2026-03-04T15:00", screws="g1", redo_of="s2"),
]


@pytest.mark.parametrize(
    ("changes", "fires"),
    [
        ({}, True),
        # new thread-locker is recorded
        ({"locker": {"product": "L", "lot": "A7", "applied": "2026-03-04T14:55"}}, False),
        ({"locker": {"product": "L", "lot": "A7", "applied": "2026-03-04"}}, False),
        ({"locker": {"product": "L", "lot": "A7", "applied": TO_COME}}, False),
        ({"locker": None}, False),
    ],
)
def test_retorqued_after_cure(changes: dict[str, Any], *, fires: bool) -> None:
    group = {key: value for key, value in screws(**changes).items() if value is not None}
    found = of("retorqued-after-cure", checked(groups=[group], steps=REDONE))

    assert bool(found) == fires
    if fires:
        assert found[0].severity == Severity.NOTICE
        assert found[0].reason.code == "retorqued-after-cure"
        assert found[0].reason.parameters["redone"] == "2026-03-04T15:00"


@pytest.mark.parametrize(
    ("steps", "fires"),
    [
        ([*REDONE, step("s4", "clean", "2026-03-04T14:00", screws="g1", redo_of="s1")], False),
        ([*REDONE, step("s4", "clean", "2026-03-04T14:00", screws="g1")], False),
        ([*REDONE, step("s4", "clean", TO_COME, screws="g1")], False),
        # within the hour the thread-locker may still have been wet
        ([*REDONE[:2], {**REDONE[2], "at": "2026-03-04T11:50"}], False),
        ([*REDONE[:2], {**REDONE[2], "at": "2026-03-04"}], False),
        # found to belong to the group by its place
        ([{k: v for k, v in one.items() if k != "screws"} for one in REDONE], True),
        ([REDONE[0], REDONE[1], {**REDONE[2], "redo_of": "s2", "at": TO_COME}], False),
    ],
)
def test_what_makes_a_redo_certain(steps: list[dict[str, Any]], *, fires: bool) -> None:
    assert bool(of("retorqued-after-cure", checked(steps=steps))) == fires


def test_a_redo_of_one_of_two_groups_concerns_it_alone() -> None:
    groups = [screws("g1"), screws("g2")]
    (found,) = of("retorqued-after-cure", checked(groups=groups, steps=REDONE))
    loose = [{key: value for key, value in one.items() if key != "screws"} for one in REDONE]

    assert found.reason.parameters["screws"] == "g1"
    assert of("retorqued-after-cure", checked(groups=groups, steps=loose)) == []


@pytest.mark.parametrize(
    ("torques", "at", "fires"),
    [
        (["20 N·m"], "2026-03-10", False),
        (["25 N·m"], "2026-03-10", False),
        # both tools may deviate by 4 %: 25 + 1 + 1.08 = 27.08
        (["27 N·m"], "2026-03-10", False),
        (["28 N·m"], "2026-03-10", False),
        (["29 N·m"], "2026-03-10", True),
        (["29 N·m"], "2026-03-04T11:30", False),
        (["29 N·m"], "2026-03-04", False),
        ([ILLEGIBLE], "2026-03-10", False),
    ],
)
def test_audited_above_torque(torques: list[Any], at: str, *, fires: bool) -> None:
    found = of("retorqued-after-cure", checked(audit(torques=torques, at=at)))

    assert bool(found) == fires
    if fires:
        assert found[0].reason.code == "audited-above-torque"


def test_an_audit_of_a_group_of_which_one_torque_is_not_known() -> None:
    group = screws(torques=["25 N·m", ILLEGIBLE])

    assert of("retorqued-after-cure", checked(audit(torques=["40 N·m"]), groups=[group])) == []


def logged(
    columns: Mapping[str, str],
    values: Mapping[str, Sequence[str]],
    *,
    group: Mapping[str, Any] | None = None,
    subject: str = "g1",
    **parts: Any,
) -> Case:
    """A case with one torque log; a unit of ``text`` makes a column of words."""
    the_record = record(
        screws=parts.pop("screws", [group or screws()]),
        exhibits=[entry("E7", "torque-log", subject, file="tests/E7.csv")],
        **parts,
    )
    rows = max(map(len, values.values()))
    found = [
        {"name": name, **({"kind": "text"} if unit == "text" else {"unit": unit} if unit else {})}
        for name, unit in columns.items()
    ]
    item = Item.read(
        {
            "id": "E7",
            "kind": "table",
            "media_type": "text/csv",
            "sha256": digest("E7"),
            "bytes": 10,
            "table": {"columns": found, "rows": rows},
        }
    )
    tables = {"E7": tuple(tuple(values.get(name, ("",))) for name in columns)}
    return case(the_record, profile=profile(STEPS), items={"E7": item}, tables=tables)


TORQUE = {"screw": "", "torque": "N·m"}


@pytest.mark.parametrize(
    ("recorded", "log", "code"),
    [
        (["25 N·m", "25 N·m"], ["25.1", "24.9"], None),
        (["25.1 N·m", "24.9 N·m"], ["24.9", "25.1"], None),
        # passes: more rows than torques
        (["25 N·m", "25 N·m"], ["12", "12.1", "25.1", "25.2"], None),
        (["25 N·m", "26 N·m"], ["25.1", "25.2"], "torque-log-differs"),
        # one row cannot stand for two screws
        (["25.0 N·m", "25.0 N·m"], ["25.0", "12.0"], "torque-log-differs"),
        (["25.0 N·m", "25.0 N·m"], ["25.0"], "torque-log-too-short"),
        (["25 N·m", ILLEGIBLE], ["25.0"], None),
        # 25.5 rounds to 26 and, as some do it, to 25
        (["25 N·m", "26 N·m"], ["25.5", "25.5"], None),
        # 18.4 lbf·ft is 24.95 N·m by definition of the units
        (["18.4 lbf·ft", "18.4 lbf·ft"], ["24.9", "25.0"], None),
        (["18.4 lbf·ft", "18.4 lbf·ft"], ["24.9", "26.0"], "torque-log-differs"),
    ],
)
def test_torque_log(recorded: list[Any], log: list[str], code: str | None) -> None:
    numbers = [str(number) for number in range(1, len(log) + 1)]
    found = of(
        "torque-log-differs",
        logged(TORQUE, {"screw": numbers, "torque": log}, group=screws(torques=recorded)),
    )

    assert [one.reason.code for one in found] == ([code] if code else [])
    assert all(one.severity == Severity.CONTRADICTION and one.exhibits == ("E7",) for one in found)


@pytest.mark.parametrize(
    ("columns", "read"),
    [
        ({"target": "N·m", "actual": "N·m"}, True),
        ({"wanted": "N·m", "Final_torque": "N·m"}, True),
        ({"torque": ""}, False),
        ({"torque": "N"}, False),
        ({"actual": "N·m", "final": "N·m"}, False),
    ],
)
def test_which_column_is_the_torque(columns: dict[str, str], *, read: bool) -> None:
    """A layout that is not read is told, and passes for nothing."""
    values = {name: ["31", "31"] for name in columns}
    (found,) = of("torque-log-differs", logged(columns, values))

    assert found.reason.code == ("torque-log-differs" if read else "torque-log-unread")
    assert found.severity == (Severity.CONTRADICTION if read else Severity.NOTICE)


@pytest.mark.parametrize(
    "parts",
    [
        # the log of an audit
        {"audits": [audit(torques=["31 N·m", "30 N·m"])]},
        # which of two tightenings it is of, nobody can say
        {"steps": REDONE},
        # of two groups at the place, it may be of either
        {"subject": "p1", "screws": [screws("g1"), screws("g2")]},
        {"group": screws(torques=[TO_COME, TO_COME])},
    ],
)
def test_a_log_that_may_be_of_something_else(parts: dict[str, Any]) -> None:
    values = {"screw": ["1", "2"], "torque": ["30", "31"]}

    assert of("torque-log-differs", logged(TORQUE, values, **parts)) == []


def test_a_log_of_the_place_with_one_group() -> None:
    values = {"screw": ["1", "2"], "torque": ["30", "31"]}

    assert len(of("torque-log-differs", logged(TORQUE, values, subject="p1"))) == 1


def test_a_scanned_log_is_not_compared() -> None:
    the_record = record(screws=[screws()], exhibits=[entry("E7", "torque-log", "g1")])

    assert of("torque-log-differs", case(the_record, items={"E7": paper("E7")})) == []


@pytest.mark.parametrize(
    ("text", "step"),
    [("24.30 N·m", "1/100"), ("24,3 N·m", "1/10"), ("24 N·m", "1"), ("2 kN·m", "1000")],
)
def test_last_place(text: str, step: str) -> None:
    assert last_place(parse(text, Dimension.TORQUE)) == Fraction(step)


def test_last_place_of_a_fraction() -> None:
    """Published: definition of the inch, 25.4 mm exactly."""
    assert last_place(parse("4 3/8 in", Dimension.LENGTH)) == Fraction(254, 10000) / 8


def test_beyond_counts_what_was_rounded_away() -> None:
    value, limit = parse("1.3 mm", Dimension.LENGTH), parse("1.2 mm", Dimension.LENGTH)

    assert not beyond(value, limit)
    assert beyond(parse("1.4 mm", Dimension.LENGTH), limit)
    assert not beyond(parse("1.4 mm", Dimension.LENGTH), limit, Fraction(1, 10000))
