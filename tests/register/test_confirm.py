"""Confirmations against the packs that they confirm, each fault at its place."""

import pytest

from evidence.phrases.record_en import RECORD
from evidence.register.confirm import check_confirmations
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
