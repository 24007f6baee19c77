"""Sled runs on paper: every number with its unit, uncertainty, demand or claim and doubt, and the curves they come from."""

import re
from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.model.finding import Reason
from evidence.model.names import ChannelUse, Mark
from evidence.model.pack import Confirmation
from evidence.model.result import LabResult
from evidence.phrases.dossier_pulses_en import PULSES_PAGE
from evidence.register.demand import Demand, Demands
from tests.dossier import builders, sled
from tests.dossier.test_build import parts
from tests.dossier.test_hook_position import speak, words
from tests.lab.demo import SAE_RUNS

PEAK = {"quantity": "test.peak-acceleration", "direction": "frontal", "low": "10 g", "high": "12 g",
        "processing": {"cfc": "60", "zero": "-0.05 0"}}  # fmt: skip
REACH = {"quantity": "test.excursion", "direction": "frontal", "high": "50 mm"}
CHEST = {"quantity": "test.clip-3ms", "direction": "frontal", "high": "20 g", "channel": "occupant",
         "processing": {"cfc": "180", "kind": "cumulative"}}  # fmt: skip
MANUAL = (sled.demand(PEAK, "peak"), sled.demand(REACH, "reach"), sled.demand(CHEST, "chest"))
EUROPEAN = replace(sled.EUROPEAN, demands=MANUAL, channels={51: {"uncertainty": "2 %"}})
OF_THE_RECORD = "S0SLED000000ACX0"
NUMBER = r"(\u2212?[0-9.]+)"


@pytest.fixture(scope="module")
def american() -> DossierInput:
    """Three directions against the sample corridors of shipped packs, with claims of a report."""
    return sled.source(sled.AMERICAN)


@pytest.fixture(scope="module")
def european() -> DossierInput:
    """Three directions, of which a manual asks three numbers."""
    return sled.source(EUROPEAN)


def section(given: DossierInput) -> Data:
    return next(one for one in build(given, speak)["sections"] if one["id"] == "pulses")


def plots(given: DossierInput) -> list[Data]:
    return [part for part in parts(section(given)) if part.get("kind") == "plot"]


def of_test(given: DossierInput, test: str, *, quantity: str) -> list[LabResult]:
    return [one for one in given.manifest.results if (one.test, one.quantity) == (test, quantity)]


def with_results(given: DossierInput, *results: LabResult) -> DossierInput:
    return replace(given, manifest=given.manifest.model_copy(update={"results": results}))


def with_demand(given: DossierInput, old: str, new: Demand) -> DossierInput:
    asked = tuple(new if one.requirement == old else one for one in given.demands.criteria)
    return replace(given, demands=Demands(asked, given.demands.clauses))


def test_directions_follow_one_another_for_each_place() -> None:
    runs = tuple(SAE_RUNS.values())
    given = sled.source(replace(sled.AMERICAN, runs={"p2": runs, "p1": runs}))
    heads = [
        part["text"]
        for part in section(given)["blocks"]
        if part.get("kind") == "heading" and part["level"] == 2
    ]

    assert heads == [
        "Frontal impact of a sample: test t54, filed for position p1", "Side impact of a sample: test t55, filed for position p1", "Rear impact of a sample: test t56, filed for position p1",
        "Frontal impact of a sample: test t51, filed for position p2", "Side impact of a sample: test t52, filed for position p2", "Rear impact of a sample: test t53, filed for position p2",
    ]  # fmt: skip
    assert len(plots(given)) == 6


def test_what_was_recorded_stands_above_the_numbers(european: DossierInput) -> None:
    said = words(section(european))

    for expected in (
        f"channel {OF_THE_RECORD}; recorded unfiltered; signs as recorded ; uncertainty 2 % of the value (95 %)",
        f"channel {OF_THE_RECORD}; recorded unfiltered; all signs turned, as the record says ; no uncertainty stated",
        "SAE J1733", "255 kg", "pulse/1", "2024-05-28",
    ):  # fmt: skip
        assert expected in said


def test_numbers_stand_with_unit_uncertainty_time_limit_and_way(european: DossierInput) -> None:
    said = words(section(european))

    for expected in (
        r"Peak acceleration \u221210\.6\d g ± 0\.21 g at 0\.0\d+ s",
        r"10 g to 12 g CFC 60 in the form of SAE J211-1; mean from \u22120\.05 s to 0 s taken away first",
        r"3 ms clip \u221212\.\d+ g from 0\.0\d+ s to 0\.0\d+ s no uncertainty stated",
        r"at most 20 g CFC 180 in the form of SAE J211-1; all stretches at or above it together last 3 ms",
        r"Excursion 42\.0\d mm ± 0\.84 mm from 0 s to 0\.0\d+ s",
        r"at most 50 mm as recorded, no filter applied; furthest from where it was at time nought",
    ):
        assert re.search(expected, said), expected


def test_a_corridor_gives_its_margin_and_side_and_the_rear_is_told_to_be_turned(
    american: DossierInput,
) -> None:
    said = words(section(american))

    assert re.search(
        rf"Worst margin to the corridor {NUMBER} g inside; nearest to the upper line at 0\.0205 s", said
    )
    assert "no shift in time; all signs turned, as the record says" in said


def test_a_margin_below_nought_is_told_as_outside(american: DossierInput) -> None:
    found = of_test(american, "t52", quantity="corridor")[0].model_copy(update={"value": "-1.25"})
    given = with_results(american, found)

    assert "\u22121.25 g outside; beyond the upper line" in words(section(given))
    assert "worst margin 1.25 g, outside; beyond the upper line" in plots(given)[1]["alt"].replace(
        "\u00a0", " "
    )


def test_an_uncertainty_of_nought_is_one_that_is_stated(american: DossierInput) -> None:
    found = of_test(american, "t52", quantity="corridor")[0]
    nought = found.model_copy(update={"expanded_uncertainty": "0"})
    channels = words(section(with_results(american))).count("no uncertainty stated")

    assert words(section(with_results(american, found))).count("no uncertainty stated") == channels + 1
    assert words(section(with_results(american, nought))).count("no uncertainty stated") == channels


def test_claims_stand_beside_the_numbers_and_agree_or_differ(american: DossierInput) -> None:
    said = words(section(american)).replace("\u00a0", " ")

    # computed independently: half of 0.1 mph and 2 % of the 15.2 mph that the generator was given, 0.05 + 0.304
    assert re.search(
        r"says 15\.2 mph \(p\. 2\) for: velocity change, side\. Recomputed: 15\.\d+ mph\. Agrees: "
        r"0\.\d+ mph apart; up to 0\.354\d? mph counts as agreement \(half of the claim's last digit, and 2 %",
        said,
    )
    assert re.search(
        r"says 9\.6 mph \(p\. 2\) for: velocity change, rear\. Recomputed: 10\.1\d? mph\. Differs: 0\.5\d? mph apart",
        said,
    )


def test_a_stated_uncertainty_is_named_as_what_may_lie_between(european: DossierInput) -> None:
    assert "the uncertainty that the record states)" in words(section(european))


def test_doubts_and_notices_are_told_with_the_numbers_that_they_are_of() -> None:
    said = words(section(sled.source(sled.FAULTY)))

    assert "Left open: the number is in doubt." in said
    assert "recorded with a filter that is not named" in said
    assert (
        "Undecided because of this: The source had filtered the channel already, and it was filtered once more: "
        "a verdict stays undecided. Ask the laboratory for the unfiltered channel. Of: Peak acceleration."
        in said
    )
    # the particulars of a contradiction in the file are not stored, so its kind is told
    assert "The extreme value in the header is not that of the samples." in said
    assert "--cfc" not in said


@pytest.mark.parametrize(
    ("reason", "expected"),
    [
        (Reason(code="figure-record-short"), "does not span the whole time of what is asked"),
        (Reason(code="channel-uneven"), "Its times are not evenly spaced."),
        (Reason(code="no-such-reason"), "no-such-reason"),
        (Reason(code="channel-not-found", parameters={"channel": "X", "found": ("A", "B")}), "A, B"),
    ],
)
def test_what_was_not_computed_says_why(american: DossierInput, reason: Reason, expected: str) -> None:
    bare = {
        "state": "not-computed",
        "value": None,
        "unit": None,
        "begin_s": None,
        "end_s": None,
        "bound": None,
    }
    found = of_test(american, "t52", quantity="corridor")[0].model_copy(update={**bare, "reason": reason})
    given = with_results(american, found)
    said = words(section(given))

    assert "not computed the reason stands below" in said
    assert "Undecided because of this: " in said
    assert expected in said
    assert "no margin was computed" in plots(given)[1]["alt"]


def test_a_claim_without_number_has_nothing_beside_it(american: DossierInput) -> None:
    bare = {"state": "not-computed", "value": None, "unit": None, "begin_s": None, "end_s": None}
    reason = Reason(code="figure-record-short")
    found = [
        one.model_copy(update={**bare, "reason": reason})
        for one in of_test(american, "t52", quantity="velocity-change")
    ]

    assert "Recomputed: not computed. Nothing to compare it with." in words(
        section(with_results(american, *found))
    )


def test_the_drawing_says_what_it_shows(american: DossierInput) -> None:
    frontal, side, rear = (one["alt"].replace("\u00a0", " ") for one in plots(american))

    assert re.search(
        rf"^Pulse, channel S0SLED000000ACY0, CFC 60 in the form of SAE J211-1, signs as recorded: greatest value "
        rf"\u221222\.\d+ g at {NUMBER} ms\.",
        side,
    )
    assert re.search(rf"Velocity change: \u221215\.2 mph from 0 ms to {NUMBER} ms\.", side)
    assert re.search(
        rf"Corridor of SAE J2956 \(2011-06\): worst margin {NUMBER} g, inside; nearest to the upper line, at {NUMBER} ms\.",
        side,
    )
    assert "all signs turned, as the record says" in rear
    assert "Corridor" not in frontal


def test_limits_are_marked_on_the_side_of_the_peak(european: DossierInput) -> None:
    pulse, others = (one for one in plots(european)[:2])

    assert (
        pulse["alt"]
        .replace("\u00a0", " ")
        .endswith("Limits: at least 10 g: peak acceleration, at most 12 g: peak acceleration.")
    )
    assert "Limits: at most 20 g: 3 ms clip." in others["alt"].replace("\u00a0", " ")
    drawn = build(european, speak)["svg"]
    lines = {
        name: re.findall(r'd="M70 ([\d.]+)H704"[^>]*dasharray="7 4"', svg) for name, svg in drawn.items()
    }
    assert [len(lines[each["svg"]]) for each in (pulse, others)] == [2, 2]
    assert "Dashed across: limits." in words(pulse["caption"])


def test_other_channels_are_drawn_only_where_a_number_uses_them(european: DossierInput) -> None:
    said = [one["alt"] for one in plots(european)]

    assert len(said) == 4
    assert "Occupant, channel 11CHST0000H3ACX0" in said[1]
    assert "Excursion, channel 20STCR000000DSX0" in said[1]
    assert not any("Excursion" in one for one in (said[0], *said[2:]))


def test_the_drawing_says_where_its_corridor_comes_from(american: DossierInput) -> None:
    said = words(section(american))

    assert said.count("sample points from a secondary source") == 2
    assert "they decide nothing until somebody has confirmed them from the standard itself" in said
    assert (
        "Frontal pulse inside its corridor (SAE J2917 (2016-08)): the break points of this corridor are not held here"
        in said
    )


@pytest.mark.parametrize(
    ("mark", "invented", "expected"),
    [
        (Mark.CONFIRMED, False, "points confirmed from SAE J2956, June 2011, page 7"),
        (Mark.CONFIRMED, True, "points invented for a demonstration; they are of no standard"),
        (Mark.MEMORY, False, "points from memory"),
        (Mark.PRACTICE, False, "common practice"),
        (Mark.COMPUTED, False, "computed points"),
        (Mark.PUBLISHED, False, "published points"),
    ],
)
def test_every_mark_of_a_corridor_is_told(
    american: DossierInput,
    mark: Mark,
    invented: bool,  # noqa: FBT001
    expected: str,
) -> None:
    name = "sae-j2956-2011@1/pulse/corridor"
    old = next(one for one in american.demands.criteria if one.requirement == name)
    read = Confirmation.read({"confirms": name, "edition": "SAE J2956, June 2011", "page": "7", "by": "w1"})
    new = replace(
        old,
        criterion=old.criterion.model_copy(update={"mark": mark}),
        invented=invented,
        confirmation=read if mark == Mark.CONFIRMED else None,
    )

    assert expected in words(section(with_demand(american, name, new)))


def test_a_second_corridor_is_told_beside_the_drawn_one(american: DossierInput) -> None:
    first = next(
        one for one in american.demands.criteria if one.requirement == "sae-j2956-2011@1/pulse/corridor"
    )
    other = replace(
        first, requirement="sae-x@1/pulse/corridor", source="sae-x@1", standard=None, title={"en": "Ours"}
    )
    found = of_test(american, "t52", quantity="corridor")[0]
    second = found.model_copy(update={"asked": other.requirement, "id": f"t52/{other.requirement}"})
    asked = Demands((*american.demands.criteria, other), american.demands.clauses)
    finding = next(one for one in american.manifest.findings if one.requirement == first.requirement)
    manifest = american.manifest.model_copy(
        update={
            "results": (*american.manifest.results, second),
            "findings": (
                *american.manifest.findings,
                finding.model_copy(update={"requirement": other.requirement}),
            ),
        }
    )

    said = words(section(replace(american, demands=asked, manifest=manifest)))
    assert (
        "Side pulse inside its corridor (Ours): its margin stands in the table; the drawing shows another corridor."
        in said
    )


def test_every_drawing_shows_one_corridor(american: DossierInput) -> None:
    pulse = american.pulses["t52"][0]
    others = tuple(
        replace(
            pulse, channel=pulse.channel.model_copy(update={"use": use, "name": use.value}), corridor=corridor
        )
        for use, corridor in (
            (ChannelUse.EXCURSION, ""),
            (ChannelUse.OCCUPANT, pulse.corridor),
            (ChannelUse.DISPLACEMENT, "sae-j3044-2014@1/pulse/corridor"),
        )
    )
    found = plots(replace(american, pulses={"t52": (pulse, *others)}))

    assert [re.findall(r"channel (\w+),", each["alt"]) for each in found] == [
        ["S0SLED000000ACY0"],
        ["occupant", "excursion"],
        ["displacement"],
    ]
    sources = [re.findall(r"Corridor of (SAE J\d+)", words(each["caption"])) for each in found]
    assert sources == [["SAE J2956"], ["SAE J2956"], ["SAE J3044"]]


def test_numbers_lead_to_findings_file_and_paper_and_findings_lead_back(american: DossierInput) -> None:
    page = section(american)
    to = {part["to"] for part in parts(page) if "to" in part}
    matrix = next(one for one in build(american, speak)["sections"] if one["id"] == "matrix")

    assert {"item-E051", "item-E053", "document-d1"} <= to
    assert len([name for name in to if name.startswith("finding-")]) == 5
    assert {"pulse-t51", "pulse-t52", "pulse-t53"} <= {
        name for part in parts(page) for name in part.get("anchors", [])
    }
    assert {"pulse-t51", "pulse-t52", "pulse-t53"} <= {part["to"] for part in parts(matrix) if "to" in part}


def test_without_numbers_or_curve_the_page_says_which(american: DossierInput) -> None:
    said = words(section(replace(with_results(american), pulses={})))

    assert said.count("Nothing asks for a number of this test") == 3
    assert said.count("The pulse is not drawn") == 3


def test_axes_that_nobody_names_are_told_to_be_assumed() -> None:
    tests = {51: {"axes": None}}
    given = with_results(sled.source(replace(sled.AMERICAN, tests=tests)))

    assert "none named; SAE J1733 is assumed: x forward, y to the right, z down" in words(section(given))


def test_a_job_without_sled_runs_has_no_such_section() -> None:
    assert "pulses" not in [one["id"] for one in build(builders.finished(), speak)["sections"]]


def test_every_word_of_the_page_is_said(american: DossierInput, european: DossierInput) -> None:
    heard: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        heard.add(code)
        return speak(code, parameters)

    asked = (
        {**PEAK, "processing": {"cfc": "60", "form": "iso6487"}},
        {**CHEST, "processing": {"kind": "continuous"}},
        {"quantity": "test.time-above", "direction": "frontal", "low": "10 ms", "processing": {"kind": "cumulative", "level": "9 g"}},
        {"quantity": "test.time-above", "direction": "frontal", "low": "11 ms", "processing": {"kind": "continuous", "level": "9 g"}},
        {"quantity": "test.velocity-change", "direction": "frontal", "low": "8 m/s", "processing": {"span": "0 0.1"}},
    )  # fmt: skip
    others = tuple(sled.demand(fields, f"other-{at}") for at, fields in enumerate(asked))
    for given in (
        european,
        american,
        sled.source(sled.FAULTY),
        sled.source(replace(EUROPEAN, demands=others)),
    ):
        build(given, listen)
    # each is in a test of its own above, or names a way in which no sled run loads
    rare = {
        "pulse-direction-up", "pulse-direction-down", "pulse-corridor-out", "pulse-side-none", "pulse-why-below",
        "pulse-not-computed", "pulse-uncomputed", "pulse-not-drawn", "pulse-corridor-not-drawn", "pulse-mark-memory",
        "pulse-mark-practice", "pulse-mark-confirmed", "pulse-mark-published", "pulse-mark-computed", "pulse-mark-invented",
        "pulse-other-run", "pulse-other-axis", "pulse-axes-assumed", "pulse-caption-open", "pulse-alt-corridor",
    }  # fmt: skip
    assert {code for code in PULSES_PAGE if f"dossier-{code}" not in heard} <= rare


def test_a_claim_that_names_no_run_is_left_to_the_run_that_fits_it() -> None:
    """One velocity change for three runs of which only the frontal one has it."""
    claims = ({"name": "velocity-change", "value": "31 mph", "page": "2"},)
    said = words(section(sled.source(replace(sled.AMERICAN, claims=claims)))).replace("\u00a0", " ")

    assert said.count("The paper does not say of which run; run t51 agrees.") == 2
    assert len(re.findall(r"for: velocity change\. Recomputed: [0-9.]+ mph\. Agrees:", said)) == 1
    assert not re.findall(r"for: velocity change\. Recomputed: [0-9.]+ mph\. Differs:", said)


def test_a_claim_that_fits_no_run_differs_from_each() -> None:
    claims = ({"name": "velocity-change", "value": "40 mph", "page": "2"},)
    said = words(section(sled.source(replace(sled.AMERICAN, claims=claims)))).replace("\u00a0", " ")

    assert len(re.findall(r"for: velocity change\. Recomputed: [0-9.]+ mph\. Differs:", said)) == 3
