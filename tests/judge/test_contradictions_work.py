"""Contradictions about the work as a whole: released too early, other screws than the manual's, answers to nothing."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.model.profile import Profile
from tests.judge.builders import POSITION, TO_COME, case, cycles, profile, record, screws, step, value

BAD_VIN = "1M8GDM9A0KP042788"


def of(rule: str, the_case: Case) -> list[Contradiction]:
    return [one for one in contradictions(the_case) if one.rule == rule]


def released(at: str | None, **parts: Any) -> list[Contradiction]:
    release = {"release": {"at": at, "by": "w3"}} if at else {}
    return of("release-before-last-work", case(record(**release, **parts)))


@pytest.mark.parametrize(
    ("at", "work", "fires"),
    [
        ("2026-03-03", "2026-03-04T15:00", True),
        ("2026-03-04T14:59", "2026-03-04T15:00", True),
        ("2026-03-04T15:00", "2026-03-04T15:00", False),
        ("2026-03-04 before 15:00", "2026-03-04T15:00", True),
        ("2026-03-04 before 15:01", "2026-03-04T15:00", False),
        ("2026-03-04", "2026-03-04T15:00", False),
        ("2026-03-04T08:00", "2026-03-04", False),
        ("2026-03-04 am", "2026-03-04 pm", True),
        # 13:30 at +00:00 is 14:30 of this workshop
        ("2026-03-04T13:30+00:00", "2026-03-04T14:00", False),
        ("2026-03-05", "2026-03-04T15:00", False),
        ("2026-03-03", TO_COME, False),
        (None, "2026-03-04T15:00", False),
    ],
)
def test_release_before_last_work(at: str | None, work: Any, *, fires: bool) -> None:
    found = released(at, cycles=[cycles(at=work)])

    assert bool(found) == fires
    if fires:
        assert found[0].reason.parameters == {"released": at, "entry": "n1.at", "done": work}
        assert found[0].open


@pytest.mark.parametrize(
    ("section", "entry", "place"),
    [
        ("steps", step("s1", "clean", "2026-03-04T15:00"), "s1.at"),
        ("screws", screws(at="2026-03-04T15:00"), "g1.at"),
        ("characteristics", value(at="2026-03-04T15:00"), "v1.at"),
    ],
)
def test_every_kind_of_work_counts(section: str, entry: dict[str, Any], place: str) -> None:
    (found,) = released("2026-03-03", **{section: [entry]})

    assert found.between[1].where == place


def test_the_latest_work_stands_for_all() -> None:
    done = [step("s1", "clean", "2026-03-06"), step("s2", "tighten", "2026-03-05")]
    (found,) = released("2026-03-03", steps=done)

    assert found.between[1].where == "s1.at"


def manual(**changes: Any) -> Profile:
    own = {"group": "floor", "thread": "M8", "property_class": "10.9", "head": "countersunk", "count": "2"}
    text = profile().document() | {"screws": [{**own, "page": "12", **changes}]}
    return Profile.read(text)


def differing(*groups: dict[str, Any], **fields: Any) -> list[tuple[Any, ...]]:
    the_profile = fields.pop("profile", manual())
    found = of("screws-differ-from-manual", case(record(screws=list(groups), **fields), profile=the_profile))
    assert all(one.severity == Severity.CONTRADICTION for one in found)
    shown = [one.reason.parameters for one in found]
    return [(one["subject"], one["fact"], one["recorded"], one["expected"]) for one in shown]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, []),
        ({"head": "countersunk"}, []),
        ({"thread": "m 8"}, []),
        ({"thread": "M8\u00d71.25"}, []),
        ({"thread": "M8-6g"}, []),
        ({"property_class": "10,9"}, []),
        ({"group": "roof", "thread": "M6"}, []),
        ({"thread": "M80"}, [("g1", "screws.thread", "M80", "M8")]),
        ({"thread": "M10"}, [("g1", "screws.thread", "M10", "M8")]),
        ({"property_class": "8.8"}, [("g1", "screws.property-class", "8.8", "10.9")]),
        ({"head": "pan"}, [("g1", "screws.head", "pan", "countersunk")]),
        ({"count": "1"}, [("g1", "screws.count", "1", "2")]),
        ({"count": "3"}, [("g1", "screws.count", "3", "2")]),
    ],
)
def test_screws_differ_from_manual(changes: dict[str, Any], expected: list[tuple[str, ...]]) -> None:
    assert differing(screws(**changes)) == expected


def test_each_difference_is_told_with_both_places() -> None:
    found = of(
        "screws-differ-from-manual",
        case(record(screws=[screws(thread="M10", count="6")]), profile=manual()),
    )

    assert sorted((one.between[0].where, one.between[1].where) for one in found) == [
        ("heron-2@C.screws.floor.count", "g1.count"),
        ("heron-2@C.screws.floor.thread", "g1.thread"),
    ]


def test_a_pitch_that_both_name_must_agree() -> None:
    fine = manual(thread="M8x1")

    assert differing(screws(thread="M8 x 1"), profile=fine) == []
    assert differing(screws(thread="M8x1.25"), profile=fine) == [("g1", "screws.thread", "M8x1.25", "M8x1")]
    assert differing(screws(thread="M8"), profile=fine) == []


def test_a_manual_without_a_head_asks_for_none() -> None:
    bare = manual().document()
    bare["screws"] = [{key: one for key, one in bare["screws"][0].items() if key != "head"}]

    assert differing(screws(head="pan"), profile=Profile.read(bare)) == []


@pytest.mark.parametrize(("counts", "fires"), [(("1", "1"), False), (("2", "2"), False), (("0", "1"), True)])
def test_a_group_recorded_in_parts_differs_only_where_too_few(
    counts: tuple[str, str], *, fires: bool
) -> None:
    groups = [screws(f"g{number}", count=count) for number, count in enumerate(counts, start=1)]

    assert bool(differing(*groups)) == fires


def test_a_group_on_a_vehicle_of_two_places_may_be_of_both() -> None:
    two = [POSITION, {**POSITION, "id": "p2"}]

    assert differing(screws(count="4", subject="vehicle"), positions=two) == []
    assert len(differing(screws(count="1", subject="vehicle"), positions=two)) == 1
    assert len(differing(screws(count="4", subject="vehicle"))) == 1


def answering(*identities: str, vin: str = BAD_VIN) -> list[Contradiction]:
    answers = [{"contradiction": one, "by": "w2", "at": "2026-03-09"} for one in identities]
    return list(contradictions(case(record(vehicle={"vin": vin}, answers=answers))))


def test_an_answer_that_fits_is_told_as_nothing() -> None:
    (open_one,) = answering()

    assert [one.rule.value for one in answering(open_one.id)] == ["vin-check-digit"]


def test_an_answer_without_contradiction_is_told_with_what_is_open() -> None:
    (open_one,) = answering()
    notice, unanswered = answering("vin-check-digit:vehicle:00000000")

    assert (notice.rule, notice.severity, notice.open) == (
        "answer-without-contradiction",
        Severity.NOTICE,
        False,
    )
    assert notice.reason.parameters == {
        "answer": "vin-check-digit:vehicle:00000000",
        "by": "w2",
        "open": (open_one.id,),
    }
    assert unanswered.answered_by is None


@pytest.mark.parametrize(
    "identity", ["vin-check-digit:p1:00000000", "serial-differs:vehicle:00000000", "the vin is right", ":"]
)
def test_an_answer_to_something_else_names_nothing_open(identity: str) -> None:
    notice = answering(identity)[0]

    assert notice.rule == "answer-without-contradiction"
    assert notice.reason.parameters["open"] == ("\u2013",)


def test_a_contradiction_that_another_answer_closed_is_not_named() -> None:
    (open_one,) = answering()
    notice = answering(open_one.id, "vin-check-digit:vehicle:00000000")[0]

    assert notice.reason.parameters["open"] == ("\u2013",)


def test_an_answer_outlives_what_was_corrected_and_is_told() -> None:
    (open_one,) = answering()
    # published: worked example of the 49 CFR 565 calculation, sum 351, remainder 10
    left = answering(open_one.id, vin="1M8GDM9AXKP042788")

    assert [one.rule.value for one in left] == ["answer-without-contradiction"]


def test_answers_to_nothing_do_not_breed() -> None:
    notice = answering("nothing")[0]

    assert [one.id for one in answering("nothing", notice.id) if one.id.startswith("answer")] == [notice.id]
