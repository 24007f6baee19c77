"""What a zero check shows, and when a card is out of check or expired."""

from datetime import date
from fractions import Fraction

import pytest

from evidence.gauge.zero import Doubt, doubts, zero
from evidence.model.work import Instrument, ZeroCheck
from evidence.phrases import say

GOOD = {
    "at": "2026-03-01",
    "known": "120.00 mm",
    "known_uncertainty": "0.03 mm",
    "reading": "120.2 mm",
    "uncertainty": "0.4 mm",
}
USED = date(2026, 3, 4)


def card(*checks: dict[str, str], **fields: object) -> Instrument:
    return Instrument.read(
        {
            "id": "i3",
            "kind": "gauge-card",
            "serial": "GC-007",
            "use_until": "2027-02-02",
            "zero": list(checks),
            **fields,
        }
    )


def codes(found: tuple[Doubt, ...]) -> list[str]:
    for doubt in found:
        assert say(doubt.code, doubt.parameters)
    return [doubt.code for doubt in found]


def test_error_and_its_uncertainty() -> None:
    shown = zero(ZeroCheck.read(GOOD))

    assert shown.error == Fraction(1, 5)
    # by hand: the root of (0.4 / 1.96)^2 + (0.03 / 1.96)^2
    assert shown.standard == pytest.approx(0.2047, abs=5e-5)


def test_lengths_may_stand_in_different_units() -> None:
    # published: NIST SP 811, 2008, Gaithersburg: an inch is 25.4 mm exactly
    check = ZeroCheck.read({"at": "2026-03-01", "known": "4 3/4 in", "reading": "120.55 mm"})

    assert zero(check).error == Fraction(-1, 10)
    assert zero(check).standard is None


def test_a_card_in_check_leaves_no_doubt() -> None:
    assert doubts(card(GOOD), USED) == ()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"reading": "120.51 mm"}, "gauge-zero-off"),
        ({"reading": "119.49 mm"}, "gauge-zero-off"),
        ({"uncertainty": "0.6 mm"}, "gauge-zero-unsure"),
        ({"known_uncertainty": "0.6 mm"}, "gauge-zero-unsure"),
        ({"at": "2026-03-05"}, "gauge-not-checked"),
        ({"at": "2026-02-03"}, "gauge-check-old"),
    ],
)
def test_each_doubt_alone(change: dict[str, str], code: str) -> None:
    assert codes(doubts(card({**GOOD, **change}), USED)) == [code]


@pytest.mark.parametrize("left_out", ["uncertainty", "known_uncertainty"])
def test_a_check_without_its_uncertainty_shows_nothing(left_out: str) -> None:
    check = {name: value for name, value in GOOD.items() if name != left_out}

    assert codes(doubts(card(check), USED)) == ["gauge-zero-uncertainty-not-stated"]


def test_the_limit_itself_is_still_good() -> None:
    assert doubts(card({**GOOD, "reading": "120.5 mm"}), USED) == ()


def test_a_check_holds_a_month_or_as_long_as_the_record_says() -> None:
    last_day, day_after = date(2026, 4, 1), date(2026, 4, 2)

    assert doubts(card(GOOD), last_day) == ()
    assert codes(doubts(card(GOOD), day_after)) == ["gauge-check-old"]
    assert doubts(card(GOOD, interval_months="2"), day_after) == ()


def test_the_last_day_of_use_counts() -> None:
    checked = {**GOOD, "at": "2027-02-01"}

    assert doubts(card(checked), date(2027, 2, 2)) == ()
    assert codes(doubts(card(checked), date(2027, 2, 3))) == ["gauge-expired"]


def test_a_card_that_does_not_say_until_when_it_may_be_used() -> None:
    assert codes(doubts(card(GOOD, use_until=None), USED)) == ["gauge-expiry-not-recorded"]


def test_the_last_check_before_the_use_counts_and_none_after_it() -> None:
    old_and_off = {**GOOD, "at": "2026-02-10", "reading": "123 mm"}
    later_and_off = {**GOOD, "at": "2026-03-05", "reading": "123 mm"}

    assert doubts(card(old_and_off, GOOD, later_and_off), USED) == ()


def test_of_two_checks_on_one_day_both_count() -> None:
    assert codes(doubts(card(GOOD, {**GOOD, "reading": "123 mm"}), USED)) == ["gauge-zero-off"]


def test_several_doubts_are_all_told() -> None:
    found = doubts(card({**GOOD, "reading": "123 mm"}), date(2027, 6, 1))

    assert codes(found) == ["gauge-expired", "gauge-check-old", "gauge-zero-off"]


def test_another_instrument_is_no_card() -> None:
    caliper = Instrument.read({"id": "i1", "kind": "caliper", "serial": "C-1"})

    with pytest.raises(ValueError, match="caliper"):
        doubts(caliper, USED)
