"""Clauses, routes and concessions."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from evidence.judge import judge
from evidence.model.finding import Judgement
from evidence.model.names import Group, Outcome
from evidence.model.record import JobRecord
from evidence.register.demand import Demands
from tests.judge.builders import (
    ILLEGIBLE,
    PARTIES,
    POSITION,
    asking,
    case,
    clause,
    demand,
    document,
    entry,
    paper,
    photo,
    record,
    screws,
    step,
    value,
)

NAMES = {"met": "overview", "undecided": "screws", "not shown": "charging"}


def criterion(name: str, outcome: str, **changes: Any) -> dict[str, Any]:
    """A criterion of that id which comes to that outcome in the case of ``judged``."""
    if outcome == "not met":
        return asking("matches", allowed=["other"], **{**changes, "id": name})
    if outcome == "not applicable":
        return asking("valid_on", what="concession", event="as-of", **{**changes, "id": name})
    return asking("present", evidence_from=[NAMES[outcome]], **{**changes, "id": name})


FILES = [
    entry("E1", "overview", "vehicle"),
    entry("E2", "screws", "vehicle", ILLEGIBLE),
    entry("E3", "concession", "vehicle"),
]


def judged(
    outcomes: Mapping[str, str],
    rule: Mapping[str, Any],
    *,
    route: str | None = None,
    group: Group = Group.STANDARD,
    the_record: JobRecord | None = None,
    as_of: date = date(2026, 3, 20),
) -> Judgement:
    demands = tuple(demand(criterion(name, outcome), group=group) for name, outcome in outcomes.items())
    rules = (clause(rule, route=route),)
    return judge(
        case(
            the_record or record(exhibits=FILES),
            items={"E1": photo("E1"), "E3": paper("E3")},
            demands=Demands(demands, rules),
            as_of=as_of,
        )
    )


@pytest.mark.parametrize("outcome", ["met", "not met", "not shown", "undecided", "not applicable"])
def test_a_clause_of_one_criterion_is_that_criterion(outcome: str) -> None:
    (found,) = judged({"a": outcome}, {"all": ["a"]}).clauses

    assert (found.outcome, found.subject, found.route) == (outcome, "p1", None)


@pytest.mark.parametrize(
    ("one", "other", "taken", "outcome"),
    [
        ("met", "not met", "static", "met"),
        ("not met", "met", "dynamic", "met"),
        ("undecided", "not shown", "static", "undecided"),
        ("not shown", "undecided", "dynamic", "undecided"),
        ("not met", "not shown", "dynamic", "not shown"),
        ("not shown", "not met", "static", "not shown"),
        ("not met", "not applicable", "static", "not met"),
        ("not applicable", "not applicable", "dynamic", "not applicable"),
        ("met", "met", "dynamic", "met"),
        ("not met", "not met", "dynamic", "not met"),
    ],
)
def test_the_best_route_is_taken(one: str, other: str, taken: str, outcome: str) -> None:
    rule = {"routes": {"static": ["a"], "dynamic": ["b"]}}
    found = judged({"a": one, "b": other}, rule)

    assert (found.clauses[0].outcome, found.clauses[0].route) == (outcome, taken)


def test_the_route_named_in_the_record_is_taken_even_where_the_other_is_better() -> None:
    rule = {"routes": {"static": ["a"], "dynamic": ["b"]}}
    found = judged({"a": "not met", "b": "met"}, rule, route="static")

    assert (found.clauses[0].outcome, found.clauses[0].route) == ("not met", "static")
    assert [(one.outcome, one.reason.code) for one in found.findings] == [
        ("not met", "fact-differs"),
        ("not applicable", "route-not-taken"),
    ]


def test_a_failed_criterion_of_a_route_not_taken_stays_visible() -> None:
    found = judged({"a": "not met", "b": "met"}, {"routes": {"static": ["a"], "dynamic": ["b"]}})
    failed = found.findings[0]

    assert (failed.outcome, failed.reason.code, failed.rests_on) == ("not applicable", "route-not-taken", ())
    assert failed.reason.parameters == {
        "compared": "not met",
        "compared_code": "fact-differs",
        "taken": ("dynamic",),
    }
    assert not failed.open


def test_what_every_route_needs_is_joined_to_the_route_taken() -> None:
    rule = {"all": ["c"], "routes": {"static": ["a", "b"], "dynamic": ["b"]}}
    found = judged({"a": "not met", "b": "met", "c": "not shown"}, rule)

    assert (found.clauses[0].outcome, found.clauses[0].route) == ("not shown", "dynamic")
    assert [one.outcome for one in found.findings] == ["not applicable", "met", "not shown"]


def test_a_criterion_that_the_rule_does_not_name_counts_all_the_same() -> None:
    (found,) = judged({"a": "met", "b": "not met"}, {"all": ["a"]}).clauses

    assert found.outcome == Outcome.NOT_MET


def test_a_rule_that_names_what_nobody_asked_shows_nothing() -> None:
    assert judged({"a": "met"}, {"all": ["a", "gone"]}).clauses[0].outcome == Outcome.NOT_SHOWN
    empty = {"routes": {"static": ["a"], "dynamic": ["gone"]}}
    assert judged({"a": "not met"}, empty).clauses[0].route == "dynamic"


TWO = [POSITION, {**POSITION, "id": "p2", "system": {"model": "other", "serial": "2"}}]


def test_each_position_takes_its_own_route() -> None:
    the_record = record(positions=TWO, exhibits=[entry("E1", "overview", "p1")])
    rule = {"routes": {"photo": ["a"], "model": ["b"]}}
    found = judged({"a": "met", "b": "not met"}, rule, the_record=the_record)

    assert [(one.subject, one.route, one.outcome) for one in found.clauses] == [
        ("p1", "photo", "met"),
        ("p2", "model", "met"),
    ]
    assert {one.key[0][-1] + one.subject: one.outcome for one in found.findings} == {
        "ap1": "met",
        "ap2": "not applicable",
        "bp1": "not applicable",
        "bp2": "met",
    }


def of_kinds(**kinds: str) -> Judgement:
    demands = tuple(
        demand(asking("present", id=name, subject=kind, evidence_from=["overview"]))
        for name, kind in kinds.items()
    )
    the_record = record(
        positions=TWO,
        screws=[screws()],
        exhibits=[entry("E1", "overview", "p1"), entry("E2", "overview", "vehicle")],
    )
    the_case = case(
        the_record,
        items={"E1": photo("E1"), "E2": photo("E2")},
        demands=Demands(demands, (clause({"all": list(kinds)}),)),
    )
    return judge(the_case)


@pytest.mark.parametrize(
    ("kinds", "expected"),
    [
        ({"a": "vehicle"}, ["vehicle"]),
        ({"a": "vehicle", "b": "position"}, ["p1", "p2"]),
        ({"a": "position", "b": "screws"}, ["p1", "p2"]),
        ({"a": "screws"}, ["g1"]),
        ({"a": "screws", "b": "instrument"}, ["vehicle"]),
        ({"a": "position", "b": "instrument"}, ["vehicle"]),
        ({"a": "document"}, ["vehicle"]),
    ],
)
def test_a_clause_speaks_of_the_things_it_asks(kinds: dict[str, str], expected: list[str]) -> None:
    assert [one.subject for one in of_kinds(**kinds).clauses] == expected


def test_a_clause_about_unlike_things_joins_them_all() -> None:
    (found,) = of_kinds(a="position", b="instrument").clauses

    assert found.outcome == Outcome.NOT_SHOWN  # no photo of a tool


def test_tools_of_different_kinds_do_not_answer_for_each_other() -> None:
    criteria = [
        asking("valid_on", id="wrench", subject="instrument", kinds=["torque-wrench"]),
        asking("valid_on", id="caliper", subject="instrument", kinds=["caliper"]),
    ]
    demands = Demands(tuple(demand(one) for one in criteria), (clause({"all": ["wrench", "caliper"]}),))
    found = judge(case(record(characteristics=[value()], screws=[screws()]), demands=demands))

    assert [(one.subject, one.outcome) for one in found.clauses] == [("i1", "met"), ("i2", "met")]


def granted(**changes: Any) -> dict[str, Any]:
    return {
        "id": "c1",
        "kind": "concession",
        "requirement": "en@1/1/a",
        "subject": "p1",
        "authority": "agency",
        "reference": "C-1",
        "by": "w2",
        "at": "2026-03-10",
        **changes,
    }


def conceded(
    *concessions: dict[str, Any],
    group: Group = Group.STANDARD,
    outcome: str = "not met",
    as_of: str = "2026-03-20",
    **parts: Any,
) -> str | None:
    the_record = record(exhibits=[*FILES, *parts.pop("files", [])], concessions=list(concessions), **parts)
    found = judged(
        {"a": outcome}, {"all": ["a"]}, group=group, the_record=the_record, as_of=date.fromisoformat(as_of)
    )
    (finding,) = found.findings
    assert finding.outcome == outcome  # a concession never changes it
    assert finding.open == (outcome != "met" and finding.concession is None)
    return finding.concession


@pytest.mark.parametrize("outcome", ["not met", "not shown", "undecided"])
def test_a_concession_covers_what_is_open(outcome: str) -> None:
    assert conceded(granted(), outcome=outcome) == "c1"


@pytest.mark.parametrize(
    ("changes", "as_of", "covered"),
    [
        ({}, "2026-03-10", True),
        ({}, "2026-03-09", False),
        ({"until": "2026-03-20"}, "2026-03-20", True),
        ({"until": "2026-03-19"}, "2026-03-20", False),
        ({"subject": "vehicle"}, "2026-03-20", True),
        ({"subject": "p2"}, "2026-03-20", False),
        ({"requirement": "en@1/1/b"}, "2026-03-20", False),
        ({"exhibit": "E9"}, "2026-03-20", False),
        ({"exhibit": "E3"}, "2026-03-20", True),
        ({"exhibit": "E1"}, "2026-03-20", False),  # a photo of the work grants nothing
        ({"exhibit": "E2"}, "2026-03-20", False),
    ],
)
def test_when_a_concession_binds(changes: dict[str, str], as_of: str, *, covered: bool) -> None:
    assert (conceded(granted(**changes), as_of=as_of) == "c1") == covered


def test_what_is_met_needs_no_concession() -> None:
    assert conceded(granted(), outcome="met") is None


MAKERS = ["stretcher-maker", "system-maker"]


@pytest.mark.parametrize("authority", [party["function"] for party in PARTIES])
@pytest.mark.parametrize(
    ("group", "entitled"),
    [
        (Group.STANDARD, ["agency"]),
        (Group.PROFILE, MAKERS),
        (Group.PRACTICE, ["agency", *MAKERS]),
    ],
)
def test_who_may_concede_what(group: Group, entitled: list[str], authority: str) -> None:
    the_record = record(exhibits=FILES, concessions=[granted(authority=authority)])
    (finding,) = judged({"a": "not met"}, {"all": ["a"]}, group=group, the_record=the_record).findings

    assert (finding.concession == "c1") == (authority in entitled)


def test_an_authority_must_be_a_party_of_the_vehicle() -> None:
    builder = [party for party in PARTIES if party["function"] != "agency"]

    assert conceded(granted(), parties=builder) is None
    assert conceded(granted(), parties=[]) is None


@pytest.mark.parametrize(
    ("at", "work", "covered"),
    [
        ("2026-03-03", ["2026-03-04"], True),
        ("2026-03-04", ["2026-03-04"], False),
        ("2026-03-03", ["2026-03-02", "2026-03-04"], False),
        ("2026-03-03", [{"state": "unknown"}, "2026-03-04"], False),
        ("2026-03-03", [], False),
    ],
)
def test_a_deviation_permit_is_older_than_the_work(at: str, work: list[Any], *, covered: bool) -> None:
    steps = [step(f"s{number}", "clean", day) for number, day in enumerate(work)]

    assert (conceded(granted(kind="deviation-permit", at=at), steps=steps) == "c1") == covered


def test_the_first_binding_concession_by_id_is_named() -> None:
    assert conceded(granted(id="c2"), granted(id="c1", until="2026-03-11"), granted(id="c3")) == "c2"


def test_a_concession_not_known_on_the_day_does_not_bind() -> None:
    demands = Demands((demand(criterion("a", "not met")),), ())
    the_record = record(concessions=[granted()])

    (before,) = judge(case(the_record, demands=demands, known_on=date(2026, 3, 9))).findings
    (after,) = judge(case(the_record, demands=demands, known_on=date(2026, 3, 10))).findings
    assert (before.concession, after.concession) == (None, "c1")


def test_a_document_is_a_subject_too() -> None:
    the_record = record(
        documents=[document("d1", "type-test-report", "E1", result="x")],
        exhibits=[entry("E1", "type-test-report")],
    )
    demands = Demands((demand(asking("complete", subject="document")),), ())
    (found,) = judge(case(the_record, items={"E1": paper("E1")}, demands=demands)).findings

    assert (found.subject, found.outcome) == ("d1", "met")
