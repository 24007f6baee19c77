"""Criteria on tests: which tests answer, what stops them, and what papers claim against what channels give."""

from datetime import date
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge._agreement import agreements
from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction, Finding
from evidence.model.names import ContradictionRule, Outcome, RestsOn, Severity
from tests import labcases as lab
from tests.judge import builders
from tests.judge.builders import document, entry, intake, paper
from tests.labcases import J2956_LOWER, J2956_UPPER, channel, lab_test, within

SIDE = lab.trapezoid(-22.5, 0.012, 0.032, 0.044)
SLED = lab.reading(lab.table({"sled unfiltered [g]": SIDE}, end=0.1))
REAR_SLED = lab.reading(lab.table({"sled unfiltered [g]": lambda time: SIDE(time) / 2}, end=0.1), "E2")
PEAK = within("peak-acceleration", low="20 g")


def one(found: Case) -> Finding:
    (finding,) = lab.judged(found)
    return finding


def asked(criterion: dict[str, Any], *tests: dict[str, Any], **parts: Any) -> Finding:
    return one(lab.case([criterion], [SLED], tests, **parts))


def test_a_finding_names_its_test_its_file_and_its_number() -> None:
    found = asked(PEAK, lab_test())

    assert (found.outcome, found.reason.code, found.rests_on) == (
        "met",
        "at-least-minimum",
        (RestsOn.MEASURED,),
    )
    assert (found.exhibits, found.records, found.documents) == (("E1",), ("t1",), ())
    assert found.measurement == "t1/en@1/1/ask-within"
    assert found.reason.parameters["value"] == {"unit": "g", "value": "22.5"}


@pytest.mark.parametrize(
    ("low", "decision", "uncertainty", "outcome", "code"),
    [
        ("22.5 g", "simple", None, "met", "at-least-minimum"),  # the limit itself is inside
        ("22.500001 g", "simple", None, "not met", "test-under-minimum"),
        ("22 g", "guarded", None, "undecided", "test-uncertainty-unknown"),
        # by hand: U is 2 % of 22.5 g, 0.45 g
        ("22.05 g", "guarded", "2 %", "met", "at-least-minimum"),
        ("22.06 g", "guarded", "2 %", "undecided", "test-uncertainty-spans-limit"),
        ("22.95 g", "guarded", "2 %", "undecided", "test-uncertainty-spans-limit"),
        ("22.96 g", "guarded", "2 %", "not met", "test-under-minimum"),
    ],
)
def test_both_decision_rules(
    low: str, decision: str, uncertainty: str | None, outcome: str, code: str
) -> None:
    stated = {"uncertainty": uncertainty} if uncertainty else {}
    criterion = within("peak-acceleration", low=low, decision=decision)
    found = asked(criterion, lab_test(channels=[channel(**stated)]))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_limits_above_and_on_both_sides_have_words_of_their_own() -> None:
    above = asked(within("peak-acceleration", high="20 g"), lab_test())
    between = asked(within("peak-acceleration", low="10 g", high="20 g"), lab_test())

    assert [found.reason.code for found in (above, between)] == ["test-over-maximum", "test-outside-limits"]
    assert above.reason.parameters["test"] == "t1"


@pytest.mark.parametrize(
    ("tests", "criterion", "code", "there"),
    [
        ([], PEAK, "test-not-recorded", ("\u2013",)),
        ([lab_test(direction="rear")], PEAK, "test-not-recorded", ("t1",)),
        ([lab_test(kind="static-pull")], PEAK, "test-not-recorded", ("\u2013",)),
        ([lab_test()], within("peak-force", low="10 kN"), "pull-not-recorded", ("\u2013",)),
        (
            [lab_test(kind="static-pull", direction="up")],
            within("peak-force", low="10 kN"),
            "pull-not-recorded",
            ("t1",),
        ),
    ],
)
def test_no_test_of_the_direction(
    tests: list[dict[str, Any]], criterion: dict[str, Any], code: str, there: tuple[str, ...]
) -> None:
    found = asked(criterion, *tests)

    assert (found.outcome, found.reason.code, found.rests_on) == (Outcome.NOT_SHOWN, code, ())
    assert (found.reason.parameters["found"], found.reason.parameters["direction"]) == (there, "side")


def test_a_test_without_a_channel_of_the_use_leaves_the_answer_to_the_others() -> None:
    pulse, other = lab_test(), lab_test("t2", channels=[channel(use="occupant")])

    assert asked(PEAK, other).reason.code == "test-channel-not-named"
    assert asked(PEAK, pulse, other).reason.code == "at-least-minimum"
    assert asked(within("peak-acceleration", low="20 g", channel="occupant"), pulse, other).records == ("t2",)


def test_several_tests_are_parts_and_all_must_be_met() -> None:
    found = one(lab.case([PEAK], [SLED, REAR_SLED], [lab_test(), lab_test("t2", exhibit="E2")]))

    assert [(part.name, part.outcome) for part in found.parts] == [("t1", "met"), ("t2", "not met")]
    assert (found.outcome, found.measurement) == (Outcome.NOT_MET, None)


def test_a_test_of_the_vehicle_is_of_all_places_and_one_of_another_place_of_none() -> None:
    places = [builders.POSITION, {**builders.POSITION, "id": "p2"}]
    of_all = lab.case([PEAK], [SLED], [lab_test(subject="vehicle")], positions=places)
    of_one = lab.case([PEAK], [SLED], [lab_test(subject="p2")], positions=places)

    assert [each.outcome for each in lab.judged(of_all)] == ["met", "met"]
    assert [each.reason.code for each in lab.judged(of_one)] == ["test-not-recorded", "at-least-minimum"]


def test_only_files_of_a_role_that_the_demand_takes_answer() -> None:
    assert asked({**PEAK, "evidence_from": ["test-channel"]}, lab_test()).outcome == Outcome.MET
    assert asked({**PEAK, "evidence_from": ["pull-log"]}, lab_test()).reason.code == "test-not-recorded"
    assert asked({**PEAK, "evidence_from": ["type-test-report"]}, lab_test()).outcome == Outcome.MET


NOT_FILED = entry("E9", "test-channel", file={"state": "to come"})


@pytest.mark.parametrize(
    ("changes", "outcome", "code"),
    [
        ({"changed": frozenset({"E1"})}, "undecided", "file-changed"),
        ({"known_on": date(2026, 1, 1)}, "not shown", "not-yet-known"),
        ({"tests": [lab_test(exhibit="E9")], "exhibits": [NOT_FILED]}, "not shown", "evidence-open"),
        ({"tests": [lab_test(at="2026-03-21")]}, "not shown", "document-later"),
        ({"tests": [lab_test(at="2026-03-20")]}, "met", "at-least-minimum"),
        ({"tests": [lab_test(channels=[channel("cabin")])]}, "undecided", "channel-not-found"),
        (
            {
                "tests": [lab_test(exhibit="E8")],
                "exhibits": [entry("E8", "test-channel")],
                "items": {"E8": paper("E8")},
            },
            "undecided",
            "exhibit-wrong-kind",
        ),
    ],
)
def test_what_stops_a_test(changes: dict[str, Any], outcome: str, code: str) -> None:
    parts = dict(changes)
    found = asked(PEAK, *parts.pop("tests", [lab_test()]), **parts)

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_a_file_that_was_withdrawn_shows_nothing() -> None:
    lines = [
        {"event": event, "id": "E1", "sha256": SLED.item.sha256, "at": "2026-03-05T08:00+01:00"}
        for event in ("add", "withdraw")
    ]

    assert asked(PEAK, lab_test(), intake=intake(*lines)).reason.code == "file-withdrawn"


def test_what_is_not_computed_is_undecided_with_its_cause() -> None:
    heads = lab.reading(lab.table({"sled unfiltered [N]": SIDE}, end=0.1))
    found = one(lab.case([PEAK], [heads], [lab_test()]))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "result-not-computed")
    assert (found.reason.parameters["cause"], found.measurement) == ("figure-unit", "t1/en@1/1/ask-within")


def test_two_channels_of_one_name_are_undecided() -> None:
    rows = b"".join(b"0.%04d,1,2\n" % at for at in range(40))
    twice = lab.reading(b"time [s],sled [g],SLED [g]\n" + rows)
    found = one(lab.case([PEAK], [twice], [lab_test(channels=[channel("sled")])]))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "channel-several")


def test_a_number_in_doubt_decides_nothing_though_it_is_far_from_the_limit() -> None:
    undeclared = lab.reading(lab.table({"sled [g]": SIDE}, end=0.1))
    criterion = within("peak-acceleration", low="1 g", processing={"cfc": "60"})
    found = one(lab.case([criterion], [undeclared], [lab_test(channels=[channel("sled")])]))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "result-doubtful")
    assert found.reason.parameters["cause"] == "pulse-filter-undeclared"


def test_a_number_that_is_not_there_decides_nothing() -> None:
    full = lab.case([PEAK], [SLED], [lab_test()])
    bare = builders.case(full.record, items=full.items, demands=full.demands)

    assert (one(bare).outcome, one(bare).reason.code) == (Outcome.UNDECIDED, "result-absent")


def test_a_corridor_out_of_order_is_undecided_and_one_that_is_too_long_not_shown() -> None:
    backwards = lab.corridor((("0.05", "-30"), ("0", "-30")), ())
    long = lab.corridor((("0", "-30"), ("1", "-30")), ())

    assert (asked(backwards, lab_test()).outcome, asked(backwards, lab_test()).reason.code) == (
        Outcome.UNDECIDED,
        "corridor-unordered",
    )
    assert asked(long, lab_test()).reason.code == "channel-too-short"


def test_a_secondary_limit_is_compared_and_decides_nothing() -> None:
    found = asked(lab.corridor(J2956_LOWER, J2956_UPPER, mark="secondary"), lab_test())

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "limit-not-confirmed")
    assert (found.reason.parameters["compared"], found.reason.parameters["bound"]) == ("met", "lower")


@pytest.mark.parametrize(
    ("kind", "quantity", "code"),
    [("static-pull", "peak-force", "reopened"), ("dynamic", "peak-acceleration", "at-least-minimum")],
)
def test_a_redo_reopens_a_pull_on_the_vehicle_and_no_test_of_the_type(
    kind: str, quantity: str, code: str
) -> None:
    steps: list[dict[str, Any]] = [
        {"id": "tighten"},
        {"id": "pull", "after": ["tighten"], "yields": ["test-channel"]},
    ]
    done = [
        builders.step("s1", "tighten", "2026-03-04T10:00"),
        builders.step("s2", "tighten", "2026-03-06T10:00", redo_of="s1"),
    ]
    data = lab.reading(
        lab.table({"sled unfiltered [g]": SIDE, "pull [kN]": lambda time: max(time, 0.0)}, end=0.1)
    )
    names = {"static-pull": channel("pull", use="force"), "dynamic": channel()}
    criterion = within(quantity, low="1 N" if kind == "static-pull" else "1 g")
    test = lab_test(kind=kind, at="2026-03-04", channels=[names[kind]])
    full = lab.case([criterion], [data], [test], steps=done)
    found = builders.case(
        full.record,
        items=full.items,
        demands=full.demands,
        results=full.results,
        profile=builders.profile(steps),
    )

    assert one(found).reason.code == code


def test_a_tests_own_file_is_no_table_of_the_fitting() -> None:
    line = [{"x": "0", "y": "1"}, {"x": "0.1", "y": "1"}]
    demand = builders.asking("inside", x="time", y="travel", upper=line)

    assert asked(demand, lab_test()).reason.code == "missing-test-channel"
    assert asked(demand).reason.code == "not-a-table"
    assert asked({**demand, "y": "sled unfiltered"}, lab_test()).reason.code != "missing-test-channel"


# ── papers ──────────────────────────────────────────────────────────────────────────────────────────────────


def told(
    claims: dict[str, Any], *tests: dict[str, Any], rule: str = "claim-against-channel", **parts: Any
) -> list[Contradiction]:
    papers = [document("d1", "type-test-report", **claims)]
    own = tests or (lab_test(document="d1", at="2026-02-10", mass="230 kg"),)
    found = lab.case([], parts.pop("readings", [SLED]), own, documents=papers, **parts)
    return [each for each in contradictions(found) if each.rule == ContradictionRule(rule)]


@pytest.mark.parametrize(
    ("claimed", "uncertainty", "differs"),
    [
        # by hand: recomputed 15.7945 mph; half of the last digit and 2 % of it (0.3159) are allowed
        ("15.8 mph", None, False),
        ("15.43 mph", None, True),
        ("15.48 mph", None, False),
        ("16.2 mph", None, True),
        ("16 mph", None, False),  # half a mile per hour more
        ("17 mph", None, True),
        ("7.06 m/s", None, False),
        ("25.4 km/h", None, False),
        # by hand: 0.5 % are 0.0790 mph
        ("15.9 mph", "0.5 %", False),
        ("16.0 mph", "0.5 %", True),
        ("-15.8 mph", None, False),  # papers write sizes, a sign is no contradiction
    ],
)
def test_a_claimed_velocity_change_against_its_channel(
    claimed: str,
    uncertainty: str | None,
    differs: bool,  # noqa: FBT001 - the question
) -> None:
    stated = {"uncertainty": uncertainty} if uncertainty else {}
    test = lab_test(document="d1", channels=[channel(**stated)])
    found = told({"velocity_change_side": claimed}, test)

    assert bool(found) == differs
    if found:
        code = "claim-against-channel" if uncertainty else "claim-against-channel-practice"
        assert (found[0].reason.code, found[0].severity) == (code, Severity.CONTRADICTION)
        assert found[0].reason.parameters["recomputed"] == {
            "unit": "mph",
            "value": "15.7945" if uncertainty else "15.7945329",
        }


def test_a_claim_that_says_no_direction_is_told_only_unless_the_paper_names_the_one() -> None:
    (silent,) = told({"velocity_change": "31 mph"})
    (named,) = told({"velocity_change": "31 mph", "directions": "side"})
    (several,) = told({"velocity_change": "31 mph", "directions": "frontal, side"})

    assert [each.severity for each in (silent, named, several)] == ["notice", "contradiction", "notice"]
    assert silent.between[0].where == "d1.velocity-change"
    assert silent.between[1].where == "t1.velocity-change"


def test_a_claim_is_told_only_where_no_test_of_its_paper_bears_it_out() -> None:
    tests = [lab_test(document="d1"), lab_test("t2", document="d1", direction="rear", exhibit="E2")]
    both: dict[str, Any] = {"readings": [SLED, REAR_SLED]}

    assert told({"velocity_change": "15.8 mph"}, *tests, **both) == []
    assert told({"velocity_change": "7.9 mph"}, *tests, **both) == []
    assert len(told({"velocity_change": "31 mph"}, *tests, **both)) == 1
    # with one of them in doubt, nobody knows
    tests[1]["channels"] = [channel("cabin")]
    assert told({"velocity_change": "31 mph"}, *tests, **both) == []


@pytest.mark.parametrize(
    "parts",
    [
        {"changed": frozenset({"E1"})},
        {"known_on": date(2026, 1, 1)},
        {"claims": {"velocity_change_side": ["31 mph", "32 mph"]}},
        {"claims": {"velocity_change_side": {"state": "illegible"}}},
        {"test": {"document": None}},
        {"test": {"direction": "rear"}},
        {"test": {"axes": "iso-6487", "channels": [channel("cabin")]}},
    ],
)
def test_what_is_not_certain_is_no_contradiction(parts: dict[str, Any]) -> None:
    changes = dict(parts)
    claims = changes.pop("claims", {"velocity_change_side": "31 mph"})
    test = {**lab_test(document="d1"), **changes.pop("test", {})}

    assert told(claims, test, **changes) == []
    assert len(told({"velocity_change_side": "31 mph"}, lab_test(document="d1"))) == 1


def test_a_claimed_peak_agrees_where_some_class_gives_it() -> None:
    found = [told({"peak_deceleration": f"{peak} g", "directions": "side"}) for peak in (22.5, 22.7, 25.1)]

    assert [len(each) for each in found] == [0, 0, 1]


def test_agreement_shows_both_ways() -> None:
    papers = [
        document(
            "d1",
            "type-test-report",
            velocity_change_side="15.8 mph",
            peak_deceleration="31 g",
            patient_excursion="10 in",
        )
    ]
    undeclared = lab.reading(lab.table({"head [m]": SIDE}, end=0.1), "E2")
    tests = [
        lab_test(document="d1"),
        lab_test("t2", document="d1", exhibit="E2", channels=[channel("head", use="excursion")]),
        lab_test("t3", document="d1", channels=[channel("none", use="excursion")]),
    ]
    found = lab.case([], [SLED, undeclared], tests, documents=papers)
    told_ = [(each.claim, each.test, each.state) for each in agreements(found.record, found.results)]

    assert told_ == [
        ("velocity-change-side", "t1", "agrees"),
        ("peak-deceleration", "t1", "differs"),
        ("patient-excursion", "t2", "differs"),
        ("patient-excursion", "t3", "not-computed"),
    ]


@pytest.mark.parametrize(
    ("claimed", "at", "fires"),
    [
        ("2026-02-10", "2026-02-10", False),
        ("2026-02-11", "2026-02-10", True),
        ("2026-02-11", "2026-02-10T14:00", True),
        (["2026-02-11", "2026-02-10"], "2026-02-10", False),
        ("2026-02-11", {"state": "unknown"}, False),
        ("2026-02-11", None, False),
        ({"state": "illegible"}, "2026-02-10", False),
    ],
)
def test_the_day_of_a_test_against_its_paper(claimed: Any, at: Any, fires: bool) -> None:  # noqa: FBT001 - the question
    test = lab_test(document="d1", **({"at": at} if at else {}))
    found = told({"test_date": claimed}, test, rule="test-date-differs")

    assert [each.reason.code for each in found] == (["test-date-differs"] if fires else [])


@pytest.mark.parametrize(
    ("claimed", "mass", "fires"),
    [
        ("230 kg", "230 kg", False),
        ("230.4 kg", "230 kg", False),  # within the digits of both
        ("231 kg", "230 kg", False),  # half a kilogram each
        ("232 kg", "230 kg", True),
        (
            "507 lb",
            "230 kg",
            False,
        ),  # 1 lb = 0.45359237 kg exactly. published: NIST SP 811, 2008, Gaithersburg
        ("520 lb", "230 kg", True),
        (["250 kg", "230 kg"], "230 kg", False),
        ("250 kg", None, False),
    ],
)
def test_the_mass_of_a_test_against_its_paper(claimed: Any, mass: str | None, fires: bool) -> None:  # noqa: FBT001 - the question
    test = lab_test(document="d1", **({"mass": mass} if mass else {}))
    found = told({"test_mass": claimed}, test, rule="test-mass-differs")

    assert [each.reason.code for each in found] == (["test-mass-differs"] if fires else [])


def test_a_changed_number_is_another_contradiction() -> None:
    first, second = (told({"velocity_change_side": text})[0].id for text in ("31 mph", "32 mph"))

    assert first != second
    assert first.startswith("claim-against-channel:d1:")
