"""Missing evidence never counts: whatever is taken away from a vehicle that meets everything, nothing gets better."""

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.judge import Case, judge
from evidence.model.names import Outcome
from evidence.register.demand import Demands
from tests.judge.builders import (
    PEOPLE,
    POSITION,
    TOOLS,
    asking,
    case,
    cycles,
    demand,
    document,
    entry,
    paper,
    photo,
    record,
    screws,
    step,
    table,
    value,
)

PEOPLE_QUALIFIED: list[dict[str, Any]] = [
    {**PEOPLE[0], "qualifications": [{"what": "latch-course", "from": "2025-01-01", "until": "2026-12-31"}]},
    *PEOPLE[1:],
]
PARTS: dict[str, list[dict[str, Any]]] = {
    "people": PEOPLE_QUALIFIED,
    "positions": [POSITION],
    "instruments": TOOLS,
    "characteristics": [value()],
    "screws": [screws()],
    "steps": [
        step("s1", "clean", "2026-03-04T09:00"),
        step("s2", "tighten", "2026-03-04T10:00"),
    ],
    "cycles": [cycles()],
    "statements": [
        {
            "id": "t1",
            "statement": "functional-test-done",
            "subject": "p1",
            "by": "w2",
            "at": "2026-03-04T16:00",
        }
    ],
    "documents": [
        document(
            "d1", "type-test-report", "E2", result="passed", system_model="Heron 2", peak_deceleration="12 g"
        ),
        document("d2", "data-sheet", use_by="2026-12-31"),
    ],
    "exhibits": [
        entry("E1", "overview", file="photos/E1.jpg"),
        entry("E2", "type-test-report"),
        entry("E3", "test-channel", file="tests/E3.csv"),
    ],
}
ITEMS = {"E1": photo("E1"), "E2": paper("E2"), "E3": table("E3", time="s", a="g")}
TABLES = {"E3": (("0", "0.05", "0.1"), ("0", "12", "0"))}
CRITERIA = [
    asking("present"),
    asking("complete"),
    asking("within"),
    asking("within", id="torque", subject="screws", quantity="screws.torque", low="24 N·m", high="26 N·m"),
    asking(
        "within",
        id="peak",
        quantity="document.peak-deceleration",
        low="10 g",
        high=None,
        decision="simple",
        evidence_from=["type-test-report"],
    ),
    asking("inside", upper=[{"x": "0", "y": "15"}, {"x": "0.1", "y": "15"}]),
    asking("matches"),
    asking("matches", id="pair", fact="position.stretcher-delivered-with", allowed=["Heron Carrier"]),
    asking("counted"),
    asking("counted", id="screw-count", subject="screws", count="screws", at_least="2"),
    asking("valid_on", subject="instrument"),
    asking(
        "valid_on",
        id="course",
        subject="person",
        what="qualification",
        qualification="latch-course",
        function="fitter",
    ),
    asking("valid_on", id="lot", subject="screws", what="lot"),
    asking("valid_on", id="sheet", what="document", evidence_from=["data-sheet"]),
    asking("ordered"),
    asking("covers", evidence_from=["type-test-report"]),
    asking("attested"),
]
DEMANDS = Demands(tuple(demand(criterion) for criterion in CRITERIA), ())
BETTER_THAN_OPEN = frozenset({Outcome.MET, Outcome.NOT_APPLICABLE})
Path = tuple[str | int, ...]


def whole() -> dict[str, Any]:
    return copy.deepcopy(PARTS)


def the_case(parts: dict[str, Any], items: dict[str, Any] | None = None) -> Case:
    kept = ITEMS if items is None else items
    return case(record(**parts), items=kept, tables=TABLES, demands=DEMANDS)


def test_the_whole_vehicle_meets_everything() -> None:
    found = judge(the_case(whole()))

    assert {one.outcome for one in found.findings} == {Outcome.MET}
    assert found.contradictions == ()


def evidence_paths() -> Iterator[Path]:
    """Every entry, and every optional field inside one, that could be left out or not known yet."""
    for section, entries in PARTS.items():
        if section in ("people", "positions"):
            continue  # a record has at least one of each; their fields follow
        yield from ((section, index) for index in range(len(entries)))
    yield from (("documents", 0, "claims", index) for index in range(3))
    yield ("documents", 1, "claims", 0)
    yield ("people", 0, "qualifications", 0)
    yield ("positions", 0, "stretchers", "delivered_with", 0)
    yield from (("screws", 0, "torques", index) for index in range(2))
    yield from (
        ("instruments", index, field) for index in (0, 1) for field in ("calibrated", "interval_months")
    )
    yield from (
        (("instruments", 0, "uncertainty"), ("instruments", 1, "deviation"))[index] for index in (0, 1)
    )
    yield ("screws", 0, "locker")
    yield ("screws", 0, "locker", "use_by")


PATHS = sorted(evidence_paths(), key=str)


def without(paths: set[Path]) -> dict[str, Any]:
    parts = whole()
    # from the back, so that the places of what is still to go do not move
    for path in sorted(paths, key=lambda one: [str(key).rjust(4, "0") for key in one], reverse=True):
        node: Any = parts
        for step_down in path[:-1]:
            key: Any = step_down
            node = node[key] if isinstance(node, list) else node.get(key, {})
        last: Any = path[-1]
        if isinstance(node, list):
            del node[last]
        else:
            node.pop(last, None)
    return parts


@pytest.mark.parametrize("path", PATHS, ids=str)
def test_taking_one_piece_away_opens_something(path: Path) -> None:
    found = judge(the_case(without({path})))

    assert [one for one in found.findings if one.outcome not in BETTER_THAN_OPEN]
    assert not [one for one in found.findings if one.outcome == Outcome.NOT_APPLICABLE]


@given(st.sets(st.sampled_from(PATHS), max_size=12))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_taking_anything_away_never_leaves_a_finding_that_rests_on_it(paths: set[Path]) -> None:
    before = {one.requirement: one for one in judge(the_case(whole())).findings if one.subject != "i2"}
    parts = without(paths)
    left = {entry["id"] for entries in parts.values() for entry in entries} | {"vehicle"}
    found = judge(the_case(parts))

    for one in found.findings:
        assert one.outcome != Outcome.NOT_APPLICABLE
        if one.outcome == Outcome.MET:
            assert {*one.records, *one.documents, *one.exhibits} <= left
            assert one.rests_on
        assert one.requirement in before


@given(st.sets(st.sampled_from(sorted(ITEMS))))
@settings(max_examples=10, deadline=None, derandomize=True)
def test_a_file_that_is_gone_is_never_met(gone: set[str]) -> None:
    items = {name: item for name, item in ITEMS.items() if name not in gone}
    found = judge(the_case(whole(), items))

    for one in found.findings:
        assert (one.outcome == Outcome.MET) == gone.isdisjoint(one.exhibits)


@pytest.mark.parametrize("state", ["to come", "unknown", "not fitted", "illegible"])
@pytest.mark.parametrize(
    "path",
    [
        ("characteristics", 0, "value"),
        ("characteristics", 0, "at"),
        ("screws", 0, "torques", 0),
        ("screws", 0, "locker", "use_by"),
        ("screws", 0, "locker", "applied"),
        ("steps", 0, "at"),
        ("instruments", 0, "calibrated"),
        ("documents", 0, "claims", 0, "value"),
        ("exhibits", 0, "file"),
    ],
    ids=str,
)
def test_a_state_in_place_of_a_value_is_undecided_if_illegible_and_not_shown_else(
    path: Path, state: str
) -> None:
    parts = whole()
    node: Any = parts
    for key in path[:-1]:
        node = node[key]
    node[path[-1]] = {"state": state}
    expected = Outcome.UNDECIDED if state == "illegible" else Outcome.NOT_SHOWN
    opened = {one.outcome for one in judge(the_case(parts)).findings} - {Outcome.MET}

    assert opened == {expected}
