"""Rules on repeated checks: logs of cycles against the record, and play at both ends against the recorded play."""

from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.phrases import say
from tests.judge.builders import (
    TO_COME,
    case,
    cycles,
    digest,
    entry,
    intake,
    paper,
    profile,
    record,
    step,
    value,
)


def of(rule: str, the_case: Case) -> list[Contradiction]:
    found = [one for one in contradictions(the_case) if one.rule == rule]
    for one in found:
        assert say(one.reason.code, one.reason.parameters)
    return found


def logged(
    columns: Mapping[str, str],
    values: Mapping[str, Sequence[str]],
    *entries: Mapping[str, Any],
    **fields: Any,
) -> Case:
    """Cycles that name a table of a row for each cycle; a unit of ``text`` makes a column of words."""
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
    the_record = record(
        cycles=list(entries) or [cycles(done="3", without_fault="3", log="E7")],
        exhibits=[entry("E7", "cycle-log", file="tests/E7.csv")],
    )
    tables = {"E7": tuple(tuple(values.get(name, ("",))) for name in columns)}
    return case(the_record, items={"E7": item}, tables=tables, **fields)


CYCLE = {"cycle": "", "ok": ""}


def rows(*good: str) -> dict[str, list[str]]:
    return {"cycle": [str(number) for number in range(1, len(good) + 1)], "ok": list(good)}


@pytest.mark.parametrize(
    ("log", "recorded", "codes"),
    [
        (rows("1", "1", "1"), ("3", "3"), []),
        (rows("1", "0", "1"), ("3", "2"), []),
        (rows("1", "0", "1"), ("3", "3"), ["cycle-log-faults-differ"]),
        (rows("1", "1", "1"), ("3", "2"), ["cycle-log-faults-differ"]),
        (rows("1", "1"), ("3", "3"), ["cycle-log-differs"]),
        # a cycle with a fault that the record leaves out
        (rows("1", "0", "1", "1"), ("3", "3"), ["cycle-log-differs"]),
    ],
)
def test_cycle_log(log: dict[str, list[str]], recorded: tuple[str, str], codes: list[str]) -> None:
    found = of("cycle-log-differs", logged(CYCLE, log, cycles("n1", *recorded, log="E7")))

    assert [one.reason.code for one in found] == codes
    assert all(one.severity == Severity.CONTRADICTION and one.exhibits == ("E7",) for one in found)


@pytest.mark.parametrize(
    ("columns", "read"),
    [
        ({"ok": ""}, True),
        ({"Without_fault": ""}, True),
        ({"PASS": ""}, True),
        ({"ok": "", "good": ""}, True),
        ({"result": ""}, False),
        ({"ok": "text"}, False),
        ({"ok": "s"}, False),
        ({"ok": "", "fault": ""}, False),
    ],
)
def test_which_column_says_whether_a_cycle_was_good(columns: dict[str, str], *, read: bool) -> None:
    """A layout that is not read is told, and passes for nothing."""
    values = {name: [""] if unit == "text" else ["1", "1", "0"] for name, unit in columns.items()}
    found = of("cycle-log-differs", logged({"no": "", **columns}, {"no": ["1", "2", "3"], **values}))

    assert [one.reason.code for one in found] == (
        ["cycle-log-faults-differ"] if read else ["cycle-log-unread"]
    )
    assert found[0].severity == (Severity.CONTRADICTION if read else Severity.NOTICE)


def test_a_column_of_faults_has_it_the_other_way_round() -> None:
    assert of("cycle-log-differs", logged({"fault": ""}, {"fault": ["0", "0", "0"]})) == []
    both = {"ok": ["1", "1", "1"], "faults": ["0", "0", "0"]}
    assert of("cycle-log-differs", logged({"ok": "", "faults": ""}, both)) == []


def test_a_column_of_more_than_yes_and_no_is_not_read() -> None:
    (found,) = of("cycle-log-differs", logged(CYCLE, rows("1", "2", "1")))

    assert found.reason.code == "cycle-log-unread"


def test_one_log_of_several_entries() -> None:
    entries = [cycles("n1", "2", "2", log="E7"), cycles("n2", "1", "0", kind="charging", log="E7")]

    assert of("cycle-log-differs", logged(CYCLE, rows("1", "1", "0"), *entries)) == []
    (found,) = of("cycle-log-differs", logged(CYCLE, rows("1", "1", "1"), *entries))
    assert found.reason.parameters["entries"] == ("n1", "n2")


def test_a_scan_and_a_withdrawn_log_are_not_compared() -> None:
    entries = [cycles(done="3", without_fault="3", log="E7")]
    scanned = record(cycles=entries, exhibits=[entry("E7", "cycle-log")])
    gone = intake(
        {"event": "add", "id": "E7", "sha256": digest("E7"), "at": "2026-03-05T08:00+01:00"},
        {
            "event": "withdraw",
            "id": "E7",
            "sha256": digest("E7"),
            "at": "2026-03-06T08:00+01:00",
            "reason": "x",
        },
    )

    assert of("cycle-log-differs", case(scanned, items={"E7": paper("E7")})) == []
    assert of("cycle-log-differs", logged(CYCLE, rows("1", "1"), intake=gone)) == []


def ends(*plays: Any, way: str = "lengthwise", **changes: Any) -> dict[str, Any]:
    found = [
        {"end": end, "way": way, "play": play} for end, play in zip(("head", "foot"), plays, strict=False)
    ]
    return cycles(kind="both-ends", ends=found, **changes)


def play(text: Any = "1.2 mm", name: str = "v1", **changes: Any) -> dict[str, Any]:
    return {**value(name, text, at="2026-03-04T14:30"), "name": "play-lengthwise", **changes}


@pytest.mark.parametrize(
    ("reading", "values", "fires"),
    [
        (ends("1.2 mm", "1.0 mm"), [play()], False),
        # the caliper's 0.2 mm and half a step of each
        (ends("1.5 mm"), [play()], False),
        (ends("1.6 mm"), [play()], True),
        (ends("1.0 mm", "3.1 mm"), [play()], True),
        (ends("1 mm", "1/8 in"), [play()], True),
        (ends("3.1 mm", way="crosswise"), [play()], False),
        (ends("3.1 mm"), [play(), play("3.0 mm", "v2")], False),
        (ends("3.1 mm"), [play(), play(TO_COME, "v2")], False),
        (ends(TO_COME), [play()], False),
        (ends("3.1 mm"), [], False),
    ],
)
def test_end_reading_beyond(reading: dict[str, Any], values: list[dict[str, Any]], *, fires: bool) -> None:
    found = of("end-reading-beyond", case(record(cycles=[reading], characteristics=values)))

    assert bool(found) == fires
    assert all(one.severity == Severity.CONTRADICTION for one in found)


def test_the_larger_of_both_ends_is_named() -> None:
    (found,) = of(
        "end-reading-beyond",
        case(record(cycles=[ends("2.0 mm", "3.1 mm")], characteristics=[play()])),
    )

    assert (found.reason.parameters["end"], found.between[1].where) == ("foot", "n1.ends.foot.lengthwise")


def test_readings_that_a_redo_reopened_contradict_nothing() -> None:
    steps: list[dict[str, Any]] = [
        {"id": "tighten"},
        {"id": "try", "after": ["tighten"], "yields": ["both-ends", "play-lengthwise"]},
    ]
    done = [
        step("s1", "tighten", "2026-03-04T11:00"),
        step("s2", "tighten", "2026-03-04T16:00", redo_of="s1"),
    ]
    stale = record(cycles=[ends("3.1 mm")], characteristics=[play(at="2026-03-04T17:00")], steps=done)
    fresh = record(
        cycles=[ends("3.1 mm", at="2026-03-04T17:30")],
        characteristics=[play(at="2026-03-04T17:00")],
        steps=done,
    )

    assert of("end-reading-beyond", case(stale, profile=profile(steps))) == []
    assert len(of("end-reading-beyond", case(fresh, profile=profile(steps)))) == 1
