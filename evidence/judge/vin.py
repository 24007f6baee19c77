"""The check digit of a vehicle identification number.

Source: 49 CFR 565.15(c), published as law; ISO 3779 leaves it to the regions, and only North America demands it.
"""

LENGTH = 17
CHECK_POSITION = 8  # ninth character, counted from zero
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_LETTERS = {
    letter: value
    for letters, start in (("ABCDEFGH", 1), ("JKLMN", 1), ("P", 7), ("R", 9), ("STUVWXYZ", 2))
    for value, letter in enumerate(letters, start=start)
}
_VALUES = {**{str(digit): digit for digit in range(10)}, **_LETTERS}


def check_digit(vin: str) -> str:
    """The ninth character that the other sixteen demand: ``0`` to ``9`` or ``X``.

    Raises:
        ValueError: not 17 characters, or a character that no number may hold.
    """
    if len(vin) != LENGTH or not set(vin) <= set(_VALUES):
        raise ValueError(vin)
    total = sum(weight * _VALUES[character] for weight, character in zip(_WEIGHTS, vin, strict=True))
    return "X" if total % 11 == 10 else str(total % 11)  # noqa: PLR2004 - ten has no digit of its own


def has_check_digit(vin: str) -> bool:
    """Whether the ninth character is the one that the others demand."""
    return vin[CHECK_POSITION] == check_digit(vin)
