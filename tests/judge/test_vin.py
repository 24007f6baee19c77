"""The check digit against examples from outside."""

import pytest

from evidence.judge.vin import check_digit, has_check_digit


@pytest.mark.parametrize(
    "vin",
    [
        "1M8GDM9AXKP042788",  # published: worked example of the 49 CFR 565 calculation, sum 351, remainder 10
        "1G4AH59H45G118341",  # published: 49 CFR 565, sample calculation of the earlier text, sum 411, remainder 4
        "1J9RP1A36A1644345",  # published: NHTSA outline of vehicle identification numbers, sum 314, remainder 6
        "11111111111111111",  # computed independently with 89 mod 11 = 1, the sum of the weights
    ],
)
def test_published_numbers_hold(vin: str) -> None:
    assert has_check_digit(vin)


@pytest.mark.parametrize("position", [place for place in range(17) if place != 8])
def test_one_wrong_digit_is_seen(position: int) -> None:
    vin = "1M8GDM9AXKP042788"
    other = "5" if vin[position] not in "5ENV" else "6"  # those letters count five themselves

    assert not has_check_digit(vin[:position] + other + vin[position + 1 :])


def test_the_digit_expected() -> None:
    assert check_digit("1M8GDM9A0KP042788") == "X"


@pytest.mark.parametrize(
    "vin", ["", "1M8GDM9AXKP04278", "1M8GDM9AXKP0427888", "IM8GDM9AXKP042788", "1m8gdm9axkp042788"]
)
def test_what_is_no_vin(vin: str) -> None:
    with pytest.raises(ValueError, match=vin or "^$"):
        check_digit(vin)
