"""Confirmations against the packs that they confirm, each fault at its place."""

from typing import Any

import pytest

from evidence.model.criterion import Criterion
from evidence.phrases.record_en import RECORD
from evidence.register._confirmed import confirmed
from evidence.register.confirm import check_confirmations
from evidence.register.packs import criteria_of
from tests.record import support

CHANGES = [
    ("confirmation-unknown", "sample@1/5.3/test-deceleration", "§sample@1/5.3/test-speed"),
    ("confirmation-does-not-fit", "replaces: {low: 10.4 g}", "replaces: {§at_least: 3}"),
    ("quantity-unit", "replaces: {low: 10.4 g}", "replaces: {low: §10.4 mm}"),
    ("quantity-unit-missing", "replaces: {low: 10.4 g}", "replaces: {low: §10.4}"),
    ("quantity-comma-ambiguous", "replaces: {low: 10.4 g}", 'replaces: {low: §"10,400 g"}'),
]


@pytest.mark.parametrize(("code", "old", "new"), CHANGES)
def test_fault_stands_at_its_place_in_the_confirmation(code: str, old: str, new: str) -> None:
    text, place = support.changed(support.base("confirmation.yaml"), old, new)
    packs = {"sample@1": support.pack(support.base("pack.yaml")).pack}

    problems = check_confirmations(support.pack(text, "packs/own.yaml"), packs)

    assert [(p.code, p.where) for p in problems] == [(code, f"packs/own.yaml:{place}")]
    assert RECORD[code][0].format_map(dict(problems[0].parameters))


def test_number_that_no_pack_holds_must_be_given() -> None:
    pack = support.base("pack.yaml").replace("        low: 10 g\n", "        limit: not-held\n")
    text, place = support.changed(support.base("confirmation.yaml"), "    replaces: {low: 10.4 g}\n", "")
    packs = {"sample@1": support.pack(pack).pack}

    problems = check_confirmations(support.pack(text, "packs/own.yaml"), packs)

    assert place
    assert [(p.code, p.where) for p in problems] == [("confirmation-without-number", "packs/own.yaml:10:5")]


def test_second_confirmation_of_one_criterion_is_refused() -> None:
    entry = support.base("confirmation.yaml").partition("confirmations:\n")[2]
    text, place = support.marked(
        support.base("confirmation.yaml") + entry.replace("confirms: ", "confirms: §")
    )
    packs = {"sample@1": support.pack(support.base("pack.yaml")).pack}

    problems = check_confirmations(support.pack(text, "packs/own.yaml"), packs)

    assert [(p.code, p.where) for p in problems] == [("confirmation-twice", f"packs/own.yaml:{place}")]
    assert problems[0].parameters["first"] == "packs/own.yaml:10:15"


def test_sound_confirmation_has_no_problem() -> None:
    packs = {"sample@1": support.pack(support.base("pack.yaml")).pack}

    assert check_confirmations(support.pack(support.base("confirmation.yaml")), packs) == ()


def test_confirmation_of_a_pack_that_is_missing_is_not_told_beside_the_missing_pack() -> None:
    entry = support.pack(support.base("confirmation.yaml"), "packs/own.yaml")

    assert [p.code for p in check_confirmations(entry, {})] == ["confirmation-unknown"]
    assert check_confirmations(entry, {}, complete=False) == ()


def test_unknown_criterion_of_a_pack_that_is_there_is_told_also_while_another_is_missing() -> None:
    text = support.base("confirmation.yaml").replace("test-deceleration", "test-speed")
    packs = {"sample@1": support.pack(support.base("pack.yaml")).pack}

    problems = check_confirmations(support.pack(text, "packs/own.yaml"), packs, complete=False)

    assert [p.code for p in problems] == ["confirmation-unknown"]


def _confirmed(criterion: Criterion, replaces: str) -> dict[str, Any]:
    """The criterion as a confirmation with these replacements leaves it."""
    text = support.base("confirmation.yaml").replace("{low: 10.4 g}", replaces)
    confirmation = support.pack(text).pack.confirmations[0]
    return confirmed(criterion, confirmation, invented=False).document()


def _criterion(reference: str, wanted: str) -> Criterion:
    packs = {reference: support.shipped()[reference].pack}
    return next(criterion for _, _, criterion in criteria_of(packs) if criterion.id == wanted)


def test_a_limit_that_the_own_copy_does_not_give_is_taken_away() -> None:
    criterion = _criterion("sae-j2956-2011@1", "velocity-change")

    found = _confirmed(criterion, "{low: 13 mph, without: [high]}")

    assert (found["low"], found.get("high"), found["mark"]) == ("13 mph", None, "confirmed")


def test_a_confirmed_list_takes_the_place_of_the_packs() -> None:
    found = _confirmed(_criterion("en-1789-2020@1", "report-complete"), "{fields: [result, signature]}")

    assert (found["fields"], found["mark"]) == (["result", "signature"], "confirmed")


def test_confirmed_rows_of_coverage_keep_how_the_pack_compares_them() -> None:
    criterion = _criterion("en-1789-2020@1", "test-covers-fitting")

    found = _confirmed(criterion, "{fields: [floor, test-mass, test-place]}")

    assert found["fields"] == [
        {"claim": "floor", "fact": "position.floor", "how": "same", "values": []},
        {"claim": "test-mass", "fact": "position.carried-mass", "how": "at-least", "values": []},
        {"claim": "test-place", "how": "stated", "values": []},
    ]
    assert found["argued_by"] == ["laboratory"]


def test_confirmed_directions_keep_the_other_spellings_of_each() -> None:
    criterion = _criterion("en-1789-2020@1", "directions-tested")

    found = _confirmed(criterion, "{allowed: [Rear, rearward, upward]}")

    assert [row["values"] for row in found["fields"]] == [["rearward", "rear"], ["upward"]]
    assert {(row["claim"], row["how"]) for row in found["fields"]} == {("directions", "one-of")}


def test_corridor_without_one_of_its_lines() -> None:
    criterion = _criterion("sae-j3044-2014@1", "corridor")

    found = _confirmed(criterion, '{upper: [{x: "0", y: "1"}, {x: "1", y: "1"}], without: [lower]}')

    assert (len(found["upper"]), found["lower"]) == (2, [])


@pytest.mark.parametrize("reference", ["sae-j2917-2016@1", "sae-j2956-2011@1", "sae-j3044-2014@1"])
def test_a_confirmed_pulse_keeps_the_tests_that_it_asks_and_how(reference: str) -> None:
    corridor = _criterion(reference, "corridor")
    change = _criterion(reference, "velocity-change-recomputed")

    line = _confirmed(corridor, '{upper: [{x: "0", y: "1"}, {x: "1", y: "1"}]}')
    limits = _confirmed(change, "{low: 9 mph, high: 11 mph}")

    assert (line["mark"], line["limit"], limits["mark"]) == ("confirmed", "held", "confirmed")
    assert (limits["low"], limits["high"]) == ("9 mph", "11 mph")
    for found, own in ((line, corridor.document()), (limits, change.document())):
        kept = ("direction", "channel", "quantity", "processing", "decision", "evidence_from")
        assert {name: found.get(name) for name in kept} == {name: own.get(name) for name in kept}


@pytest.mark.parametrize(
    ("code", "new"),
    [
        ("confirmation-does-not-fit", "replaces: {low: 10 g, without: [§upper]}"),
        ("confirmation-given-and-not", "replaces: {low: 10 g, without: [§low]}"),
        ("criterion-without-limit", "replaces: §{without: [low, high]}"),
        ("confirmation-does-not-fit", "replaces: {§fields: [result]}"),
    ],
)
def test_what_is_taken_away_must_be_there_to_take(code: str, new: str) -> None:
    text, place = support.changed(support.base("confirmation.yaml"), "replaces: {low: 10.4 g}", new)
    packs = {"sample@1": support.pack(support.base("pack.yaml")).pack}

    problems = check_confirmations(support.pack(text, "packs/own.yaml"), packs)

    assert [(p.code, p.where) for p in problems] == [(code, f"packs/own.yaml:{place}")]
    assert RECORD[code][0].format_map(dict(problems[0].parameters))
