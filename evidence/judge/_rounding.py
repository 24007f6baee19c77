"""How finely something was written down: two numbers agree where rounding alone can make them differ."""

import re
from fractions import Fraction

from evidence.quantity import Quantity

_FRACTION = re.compile(r"/\s*([0-9]+)")
_DECIMALS = re.compile(r"[0-9][.,]([0-9]+)")


def last_place(value: Quantity) -> Fraction:
    """What one step of the last digit is worth, in the base unit: 0.1 N·m of ``24.3 N·m``, 1/8 in of ``4 3/8 in``."""
    return _step(value.text) * value.unit.factor


def _step(text: str) -> Fraction:
    """One step of the last digit of a number's text, in its own unit."""
    fraction = _FRACTION.search(text)
    if fraction is not None:
        return Fraction(1, int(fraction[1]))
    decimals = _DECIMALS.search(text)
    return Fraction(1, 10 ** len(decimals[1])) if decimals else Fraction(1)


def beyond(value: Quantity, limit: Quantity, spread: Fraction = Fraction(0)) -> bool:
    """Whether a value is certainly more than another, whatever was rounded away from both.

    Args:
        value: the one that may be more.
        limit: the one that it is compared with.
        spread: expanded uncertainty of either or both, in the base unit.
    """
    return value.base - limit.base > (last_place(value) + last_place(limit)) / 2 + spread
