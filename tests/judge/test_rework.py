"""A redone step reopens what depends on it, in its own thread and nowhere else; what is done anew counts again."""

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.judge import Case, judge
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from evidence.register.demand import Demands
from tests.judge.builders import (
    ILLEGIBLE,
    POSITION,
    TO_COME,
    ask,
    asking,
    case,
    cycles,
    demand,
    digest,
    document,
    entry,
    intake,
    paper,
    photo,
    profile,
    record,
    screws,
    step,
    table,
    value,
)

MANUAL: list[dict[str, Any]] = [
    {"id": "drill"},
    {"id": "clean", "after": ["drill"], "screws": "floor"},
    {"id": "tighten", "after": ["clean"], "screws": "floor", "yields": ["torque"]},
    {"id": "mark", "after": ["tighten"], "screws": "floor", "yields": ["witness-marks"]},
    {"id": "measure", "after": ["tighten"], "yields": ["hook-position"]},
    {
        "id": "test",
        "after": ["mark", "measure"],
        "yields": ["load-unload-empty", "test-channel", "cycle-log"],
    },
    {"id": "hand-over", "yields": ["overview"]},
]
ORDER = ["drill", "clean", "tighten", "mark", "measure", "test", "hand-over"]
HOUR = {name: 8 + number for number, name in enumerate(ORDER)}
PROFILE = profile(MANUAL)
PLACES = {"p1": ("g1", "g2"), "p2": ("g3",)}
OF_GROUP = ("clean", "tighten", "mark")

FIRST_DAY = 4


def at(name: str, day: int) -> str:
    return f"2026-03-{day:02}T{HOUR[name]:02}:00"


def marks(group: str, day: int) -> str:
    return f"E{group}{day}"


def whole_steps(day: int) -> list[dict[str, Any]]:
    made = []
    for place, groups in PLACES.items():
        for name in ORDER:
            for group in groups if name in OF_GROUP else [None]:
                bound = {"screws": group} if group else {}
                identity = f"{name}-{group or place}-{day}"
                again = {"redo_of": f"{name}-{group or place}-{FIRST_DAY}"} if day != FIRST_DAY else {}
                made.append(step(identity, name, at(name, day), **{"subject": place, **bound, **again}))
    return made


def evidence(day: int) -> dict[str, list[dict[str, Any]]]:
    """Values, cycles and files of all places, taken with the steps of a day."""
    slots = [entry(marks(group, day), "witness-marks", group, f"photos/{group}{day}.jpg") for group in GROUPS]
    for place in PLACES:
        slots += [
            entry(f"EH{place}{day}", "hook-position", place, f"photos/h{place}{day}.jpg"),
            entry(f"EL{place}{day}", "cycle-log", place, f"documents/l{place}{day}.pdf"),
            entry(f"EC{place}{day}", "test-channel", place, f"tests/c{place}{day}.csv"),
        ]
    return {
        "characteristics": [value(f"v{p}{day}", subject=p, at=at("measure", day)) for p in PLACES],
        "cycles": [cycles(f"n{p}{day}", subject=p, at=at("test", day)) for p in PLACES],
        "exhibits": slots,
    }


GROUPS = tuple(group for groups in PLACES.values() for group in groups)
POSITIONS = [{**POSITION, "id": place} for place in PLACES]


def torqued(day: int) -> list[dict[str, Any]]:
    return [
        screws(group, subject=place, at=at("tighten", day)) for place, own in PLACES.items() for group in own
    ]


def items(day: int) -> dict[str, Any]:
    found: dict[str, Any] = {
        marks(group, day): photo(marks(group, day), f"2026-03-{day:02}T11:30:00", "+01:00")
        for group in GROUPS
    }
    for place in PLACES:
        found[f"EH{place}{day}"] = photo(f"EH{place}{day}", f"2026-03-{day:02}T12:30:00")
        found[f"EL{place}{day}"] = paper(f"EL{place}{day}")
        found[f"EC{place}{day}"] = table(f"EC{place}{day}", time="s", a="g")
    return found


CRITERIA = [
    asking("within"),
    asking("within", id="torque", subject="screws", quantity="screws.torque", low="24 N·m", high="26 N·m"),
    asking("present", evidence_from=["hook-position"]),
    asking("present", id="marks", subject="screws", evidence_from=["witness-marks"]),
    asking("present", id="log", evidence_from=["cycle-log"]),
    asking("counted"),
    asking("counted", id="screw-count", subject="screws", count="screws", at_least="2"),
    asking("matches", subject="screws", fact="screws.thread", allowed=["M8"]),
    asking("matches", id="same", subject="screws", fact="screws.lot", allowed=[], equals="screws.locker-lot"),
    asking("inside", upper=[{"x": "0", "y": "15"}, {"x": "0.1", "y": "15"}]),
    asking("ordered", subject="position", steps=ORDER[:-1]),
]
DEMANDS = Demands(tuple(demand(criterion) for criterion in CRITERIA), ())


def filed(name: str, when: str) -> dict[str, str]:
    return {"event": "add", "id": name, "sha256": digest(name), "at": when}


def the_case(parts: dict[str, Any], files: dict[str, Any]) -> Case:
    lots = [{**group, "lot": "A7"} for group in parts["screws"]]
    return case(
        record(**{"positions": POSITIONS, **parts, "screws": lots}),
        profile=PROFILE,
        demands=DEMANDS,
        items=files,
        tables={name: (("0", "0.05", "0.1"), ("0", "12", "0")) for name in files if name.startswith("EC")},
        intake=intake(*(filed(name, f"2026-03-{name[-1]:0>2}T20:00+01:00") for name in sorted(files))),
    )


def once() -> dict[str, Any]:
    return {"steps": whole_steps(FIRST_DAY), "screws": torqued(FIRST_DAY), **evidence(FIRST_DAY)}


def judged(parts: dict[str, Any], files: dict[str, Any] | None = None) -> dict[tuple[str, str], Finding]:
    found = judge(the_case(parts, items(FIRST_DAY) if files is None else files))
    return {one.key: one for one in found.findings}


def redone(parts: dict[str, Any], identity: str, when: str) -> dict[str, Any]:
    changed = copy.deepcopy(parts)
    first = next(one for one in changed["steps"] if one["id"] == identity)
    changed["steps"].append({**first, "id": "again", "at": when, "redo_of": identity})
    return changed


def opened(parts: dict[str, Any]) -> set[tuple[str, str]]:
    """Criterion and subject of what is not met."""
    return {
        (key[0].rsplit("/", 1)[1], key[1]) for key, one in judged(parts).items() if one.outcome != Outcome.MET
    }


def test_a_vehicle_done_once_meets_everything() -> None:
    assert opened(once()) == set()


OF_TEST = {("ask-counted", "p1"), ("log", "p1"), ("ask-inside", "p1")}
OF_MEASURE = {("ask-within", "p1"), ("ask-present", "p1")}
OF_TORQUE = {(name, "g1") for name in ("torque", "screw-count", "ask-matches", "same")}


@pytest.mark.parametrize(
    ("identity", "reopens"),
    [
        ("hand-over-p1-4", set()),
        ("test-p1-4", OF_TEST),
        ("measure-p1-4", OF_MEASURE | OF_TEST),
        ("mark-g1-4", {("marks", "g1")} | OF_TEST),
        ("clean-g1-4", OF_TORQUE | {("marks", "g1")} | OF_MEASURE | OF_TEST),
        ("drill-p2-4", {
            *((name, "g3") for name in ("torque", "screw-count", "ask-matches", "same", "marks")),
            *((name, "p2") for name in ("ask-counted", "log", "ask-inside", "ask-within", "ask-present")),
        }),
    ],
)  # fmt: skip
def test_a_redo_reopens_exactly_what_needs_it(identity: str, reopens: set[tuple[str, str]]) -> None:
    found = opened(redone(once(), identity, "2026-03-08T10:00"))

    # the order of the steps opens too where a later step is now older than the redone one
    assert found - {("ask-ordered", "p1"), ("ask-ordered", "p2")} == reopens


STEP_IDS = [one["id"] for one in whole_steps(FIRST_DAY)]
WHENS = st.sampled_from(["2026-03-03", "2026-03-04", "2026-03-04 pm", "2026-03-04T13:00", "2026-03-08T10:00"])


@given(st.lists(st.tuples(st.sampled_from([one for one in STEP_IDS if "-g1-" in one]), WHENS), max_size=3))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_redoing_one_group_never_touches_another_group_or_position(redos: list[tuple[str, str]]) -> None:
    parts = once()
    for number, (identity, when) in enumerate(redos):
        parts = redone(parts, identity, when)
        parts["steps"][-1]["id"] = f"again{number}"
    before, after = judged(once()), judged(parts)

    for key, finding in before.items():
        if key[1] in ("g2", "g3", "p2"):
            assert after[key] == finding
        if key[1] in ("g1", "p1") and after[key].outcome == Outcome.MET:
            assert finding.outcome == Outcome.MET


@given(st.sets(st.sampled_from(STEP_IDS), min_size=1))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_redoing_and_then_repeating_everything_gives_the_outcomes_of_before(chosen: set[str]) -> None:
    parts, again = once(), evidence(9)
    parts["steps"] += [
        {**one, "id": f"{one['id']}-x", "at": "2026-03-08T10:00", "redo_of": one["id"]}
        for one in whole_steps(FIRST_DAY)
        if one["id"] in chosen
    ]
    latest = {one["redo_of"]: one["id"] for one in parts["steps"] if "redo_of" in one}
    parts["steps"] += [
        {**one, "redo_of": latest.get(one["redo_of"], one["redo_of"])} for one in whole_steps(9)
    ]
    parts["screws"] = torqued(9)
    for section, entries in again.items():
        parts[section] = parts[section] + entries
    found = judged(parts, {**items(FIRST_DAY), **items(9)})

    assert {key: one.outcome for key, one in found.items()} == {
        key: one.outcome for key, one in judged(once()).items()
    }


HOOK = {"steps": [step("s1", "tighten", "2026-03-04T09:00"), step("s2", "measure", "2026-03-04T10:40")]}


def again(when: Any, **changes: Any) -> dict[str, Any]:
    """Values of a place at which the torques were tightened again."""
    redo = step("s3", "tighten", when, redo_of="s1", **changes)
    return {**HOOK, "steps": [*HOOK["steps"], redo]}


@pytest.mark.parametrize(
    ("when", "outcome", "code"),
    [
        ("2026-03-04T10:00", "met", "within-limits"),
        ("2026-03-04T10:40", "undecided", "reopened-undecided"),
        ("2026-03-04", "undecided", "reopened-undecided"),
        (TO_COME, "undecided", "reopened-undecided"),
        (ILLEGIBLE, "undecided", "reopened-undecided"),
        ("2026-03-04T10:41", "not shown", "reopened"),
        ("2026-03-04T09:41Z", "not shown", "reopened"),
        ("2026-03-05", "not shown", "reopened"),
    ],
)
def test_a_value_by_the_time_of_the_redo(when: Any, outcome: str, code: str) -> None:
    parts = {**again(when), "characteristics": [value()]}
    found = ask(asking("within"), case(record(**parts), profile=PROFILE))

    assert (found.outcome, found.reason.code) == (outcome, code)
    if code.startswith("reopened"):
        assert found.reason.parameters == {"redone": "tighten", "step": "v1"}
        assert found.rests_on == () or outcome == "undecided"


def test_rows_of_one_work_card_decide_between_a_value_and_a_redo() -> None:
    def answer(row: int) -> Outcome:
        card = {"exhibit": "E1", "page": "1"}
        parts = again("2026-03-04", card_row={**card, "row": "7"})
        values = [value(at="2026-03-04", card_row={**card, "row": str(row)})]
        files = {"exhibits": [entry("E1", "work-card", "vehicle")], "characteristics": values}
        the_record = record(**parts, **files)
        return ask(asking("within"), case(the_record, items={"E1": paper("E1")}, profile=PROFILE)).outcome

    assert [answer(6), answer(7), answer(8)] == [Outcome.NOT_SHOWN, Outcome.UNDECIDED, Outcome.MET]


def test_a_value_taken_anew_counts_and_the_old_one_no_longer_does() -> None:
    bad, good = value("v1", "131 mm"), value("v2", at="2026-03-05T12:00")
    first = case(record(**HOOK, characteristics=[bad, good]), profile=PROFILE)
    found = case(record(**again("2026-03-05T10:00"), characteristics=[bad, good]), profile=PROFILE)

    assert ask(asking("within"), first).outcome == Outcome.NOT_MET
    assert ask(asking("within"), found).outcome == Outcome.MET
    assert ask(asking("within"), found).records == ("i1", "v2")


def test_cycles_from_before_the_redo_are_not_added_up() -> None:
    old, new = cycles("n1", "8", "6"), cycles("n2", "8", "8", at="2026-03-06")
    found = case(record(**again("2026-03-05"), cycles=[old, new]), profile=PROFILE)

    assert ask(asking("counted", at_least="8"), found).outcome == Outcome.MET
    assert ask(asking("counted", at_least="10"), found).reason.parameters["found"] == "8"
    alone = case(record(**again("2026-03-05"), cycles=[old]), profile=PROFILE)
    assert ask(asking("counted", at_least="8"), alone).reason.code == "reopened"


def test_torques_written_down_with_the_redo_are_its_own() -> None:
    """The tightening was done again at three; the torques of three are those of the redo, not of the first go."""
    tighten = asking("within", subject="screws", quantity="screws.torque", low="24 N·m", high="26 N·m")

    def answer(first: str, group_at: str) -> str:
        steps = [
            step("s1", "tighten", first, screws="g1"),
            step("s2", "tighten", "2026-03-05T15:00", screws="g1", redo_of="s1"),
        ]
        the_case = case(record(steps=steps, screws=[screws(at=group_at)]), profile=PROFILE)
        return ask(tighten, the_case).outcome

    assert answer("2026-03-04T11:00", "2026-03-05T15:00") == "met"
    assert answer("2026-03-04", "2026-03-05") == "met"
    assert answer("2026-03-05", "2026-03-05T15:00") == "undecided"
    assert answer("2026-03-04T11:00", "2026-03-04T11:00") == "not shown"
    assert answer("2026-03-04T11:00", "2026-03-05T16:00") == "met"


def hook_photo(taken: str | None, offset: str | None = None, **more: Any) -> Finding:
    parts = {**again("2026-03-05T10:00"), "exhibits": [entry("E1", "hook-position", file="photos/E1.jpg")]}
    the_case = case(
        record(**parts),
        items={"E1": photo("E1", taken, offset)},
        profile=PROFILE,
        intake=more.get("log", intake()),
    )
    return ask(asking("present", evidence_from=["hook-position"]), the_case)


@pytest.mark.parametrize(
    ("taken", "offset", "outcome", "code"),
    [
        ("2026-03-05T09:49:00", None, "not shown", "reopened"),  # ten minutes for a clock nobody compared
        ("2026-03-05T09:51:00", None, "undecided", "reopened-undecided"),
        ("2026-03-05T10:11:00", None, "met", "evidence-there"),
        ("2026-03-05T09:59:59", "+01:00", "not shown", "reopened"),
        ("2026-03-05T10:01:00", "+01:00", "met", "evidence-there"),
        (None, None, "undecided", "reopened-undated"),
    ],
)
def test_a_photo_by_its_cameras_time(taken: str | None, offset: str | None, outcome: str, code: str) -> None:
    found = hook_photo(taken, offset)

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_no_file_is_younger_than_its_entry_in_the_intake_log() -> None:
    early = intake(filed("E1", "2026-03-05T09:59+01:00"))
    late = intake(filed("E1", "2026-03-05T10:00+01:00"))

    assert hook_photo(None, log=early).reason.code == "reopened"
    assert hook_photo("2026-03-05T10:30:00", log=early).reason.code == "reopened"
    assert hook_photo(None, log=late).reason.code == "reopened-undated"


def log_case(*steps: dict[str, Any], log: Any = None) -> Finding:
    the_case = case(
        record(steps=[*again("2026-03-05T10:00")["steps"], *steps], exhibits=[entry("E1", "cycle-log")]),
        items={"E1": paper("E1")},
        profile=PROFILE,
        intake=log or intake(),
    )
    return ask(asking("present", evidence_from=["cycle-log"]), the_case)


def test_a_log_has_the_time_of_its_step() -> None:
    first = step("s7", "test", "2026-03-04T15:00")
    second = step("s8", "test", "2026-03-05T15:00", redo_of="s7")
    added_before = intake(filed("E1", "2026-03-04T16:00+01:00"))

    assert log_case(first).reason.code == "reopened"
    assert log_case(first, second).outcome == Outcome.MET
    assert log_case(first, second, log=added_before).reason.code == "reopened"
    assert log_case().reason.code == "reopened-undated"


def test_a_log_that_was_filed_in_another_job_first_is_as_old_as_there() -> None:
    """Moved here after the redo, and filed in the wrong job before it: it cannot be of the redo."""
    steps = (
        step("s7", "test", "2026-03-04T15:00"),
        step("s8", "test", "2026-03-05T15:00", redo_of="s7"),
    )
    moved = {**filed("E1", "2026-03-06T08:00+01:00"), "event": "move-in", "job": "AMB-2", "other": "E4"}

    assert log_case(*steps, log=intake(moved)).outcome == Outcome.MET
    old = intake({**moved, "first": "2026-03-04T16:00+01:00"})
    assert log_case(*steps, log=old).reason.code == "reopened"


def test_a_paper_held_elsewhere_goes_by_its_step_too() -> None:
    parts = {**again("2026-03-05T10:00"), "documents": [document("d1", "cycle-log")]}
    parts["steps"] = [*parts["steps"], step("s7", "test", "2026-03-04T15:00")]
    found = ask(asking("present", evidence_from=["cycle-log"]), case(record(**parts), profile=PROFILE))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "reopened")


def test_a_photo_from_before_the_redo_supports_no_newer_value() -> None:
    parts = {
        **again("2026-03-05T10:00"),
        "characteristics": [value(at="2026-03-05T12:00")],
        "exhibits": [
            entry("E1", "hook-position", file="photos/E1.jpg"),
            entry("E2", "hook-position", file="photos/E2.jpg"),
        ],
    }
    files = {name: photo(name, f"2026-03-0{day}T12:00:00") for name, day in (("E1", 4), ("E2", 5))}
    the_case = case(record(**parts), items=files, profile=PROFILE, intake=intake())
    found = ask(asking("within", evidence_from=["hook-position"]), the_case)

    assert (found.outcome, found.exhibits) == (Outcome.MET, ("E2",))


def test_a_group_that_the_manual_names_otherwise_stays_untouched() -> None:
    """The redone step belongs to the manual's floor group; nobody wrote down which group it was done to."""
    manual = profile(
        [
            {"id": "clean", "screws": "floor"},
            {"id": "tighten-wall", "after": ["clean"], "screws": "wall", "yields": ["torque"]},
            {"id": "tighten-floor", "after": ["clean"], "screws": "floor", "yields": ["torque"]},
        ]
    )
    steps = [step("s1", "clean", "2026-03-04T09:00"), step("s2", "clean", "2026-03-05", redo_of="s1")]
    the_case = case(
        record(steps=steps, screws=[screws("g1"), screws("g2", group="wall")]),
        profile=manual,
        demands=Demands((demand(asking("counted", subject="screws", count="screws", at_least="2")),), ()),
    )

    assert {one.subject: one.outcome for one in judge(the_case).findings} == {
        "g1": Outcome.NOT_SHOWN,
        "g2": Outcome.MET,
    }


def test_an_order_that_a_redo_leaves_unclear_has_its_own_reason() -> None:
    steps = [
        step("s1", "clean", "2026-03-03"),
        step("s2", "tighten", "2026-03-04"),
        step("s3", "clean", "2026-03-04", redo_of="s1"),
    ]
    found = ask(asking("ordered"), case(record(steps=steps)))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "reopened-undecided")
