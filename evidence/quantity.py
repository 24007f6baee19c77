"""Values with units: read from text, kept as typed, compared as exact fractions.

The table of units is closed and its factors are exact, so no conversion ever rounds. The dimension comes from
the field that holds the value, which is how ``g`` is a gram in one place and standard gravity in another.
"""

import re
from dataclasses import dataclass
from decimal import Decimal, localcontext
from enum import StrEnum
from fractions import Fraction

MAX_TEXT = 40  # characters; longer text is no measured value
SHOWN = 20  # characters of too long a text in a message
MAX_DECIMALS = 30  # digits printed for an exact decimal


class Dimension(StrEnum):
    """What kind of quantity a field holds; base units are SI, except degree and percent."""

    LENGTH = "length"
    MASS = "mass"
    TIME = "time"
    ACCELERATION = "acceleration"
    SPEED = "speed"
    FORCE = "force"
    TORQUE = "torque"
    ANGLE = "angle"
    RATIO = "ratio"
    VOLTAGE = "voltage"
    TEMPERATURE = "temperature"
    COUNT = "count"


@dataclass(frozen=True)
class Unit:
    """A unit of the closed table: symbol as printed, dimension, exact factor to the base unit."""

    symbol: str
    dimension: Dimension
    factor: Fraction


_INCH = Fraction(254, 10000)
_FOOT = 12 * _INCH
_POUND = Fraction(45359237, 100_000_000)
GRAVITY = Fraction(980665, 100000)  # m/s^2, exact by definition
_POUND_FORCE = _POUND * GRAVITY
_MILE = 5280 * _FOOT

_D = Dimension
# (symbol printed, dimension, factor, other spellings); all factors exact by definition of the units. Spellings in
# capitals, MMT, SEC, KPH, NWT, NWM and G'S are those of a public crash-test database's exports, from memory of its guide;
# m/(s*s) is how ISO/TS 13499 sets write it (published: example headers of public test houses)
_TABLE: tuple[tuple[str, Dimension, Fraction, tuple[str, ...]], ...] = (
    ("mm", _D.LENGTH, Fraction(1, 1000), ("MMT",)),
    ("cm", _D.LENGTH, Fraction(1, 100), ()),
    ("m", _D.LENGTH, Fraction(1), ()),
    ("in", _D.LENGTH, _INCH, ("inch", "inches", '"', "in.")),
    ("ft", _D.LENGTH, _FOOT, ("feet",)),
    ("g", _D.MASS, Fraction(1, 1000), ()),
    ("kg", _D.MASS, Fraction(1), ()),
    ("lb", _D.MASS, _POUND, ("lbs",)),
    ("ms", _D.TIME, Fraction(1, 1000), ("msec",)),
    ("s", _D.TIME, Fraction(1), ("sec", "SEC")),
    ("min", _D.TIME, Fraction(60), ()),
    ("h", _D.TIME, Fraction(3600), ()),
    ("d", _D.TIME, Fraction(86400), ("day", "days")),
    ("m/s²", _D.ACCELERATION, Fraction(1), ("m/s2", "m/s^2", "m/s**2", "m/(s*s)", "m/s/s", "m/sec^2")),
    ("g", _D.ACCELERATION, GRAVITY, ("G", "G'S", "g's", "gn", "g_n")),
    ("m/s", _D.SPEED, Fraction(1), ("m/sec",)),
    ("km/h", _D.SPEED, Fraction(10, 36), ("kph", "KPH")),
    ("mph", _D.SPEED, _MILE / 3600, ()),
    ("N", _D.FORCE, Fraction(1), ("NWT",)),
    ("kN", _D.FORCE, Fraction(1000), ()),
    ("lbf", _D.FORCE, _POUND_FORCE, ()),
    ("N·m", _D.TORQUE, Fraction(1), ("Nm", "N.m", "N*m", "N m", "NWM")),
    ("kN·m", _D.TORQUE, Fraction(1000), ("kNm", "kN.m", "kN*m", "kN m")),
    ("lbf·ft", _D.TORQUE, _POUND_FORCE * _FOOT, ("ft-lb", "lbf-ft", "lbf.ft", "ft·lbf", "ft-lbf", "lb-ft")),
    ("lbf·in", _D.TORQUE, _POUND_FORCE * _INCH, ("in-lb", "lbf-in", "lbf.in", "in·lbf", "in-lbf", "lb-in")),
    ("°", _D.ANGLE, Fraction(1), ("deg",)),
    ("%", _D.RATIO, Fraction(1, 100), ()),
    ("V", _D.VOLTAGE, Fraction(1), ()),
    ("mV", _D.VOLTAGE, Fraction(1, 1000), ()),
    ("K", _D.TEMPERATURE, Fraction(1), ()),
    ("", _D.COUNT, Fraction(1), ()),
)

UNITS: dict[tuple[str, Dimension], Unit] = {
    (spelling, dimension): Unit(symbol, dimension, factor)
    for symbol, dimension, factor, others in _TABLE
    for spelling in (symbol, *others)
}

_MINUS = "\u2212"  # the true minus sign, which word processors put in place of the hyphen
_SIGN = rf"[+\-{_MINUS}]?"
_MIXED = r"(?:(?P<units>[0-9]+) )?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
_NUMBER = rf"(?P<sign>{_SIGN})(?:{_MIXED}|(?P<whole>[0-9]+)(?:[.,](?P<part>[0-9]+))?)"
_DECIMAL = re.compile(rf"{_SIGN}[0-9]+(?:[.,][0-9]+)?", re.ASCII)
_TEXT = re.compile(rf"{_NUMBER}(?P<gap> ?)(?P<unit>[^0-9\s.,].*)?", re.ASCII)


class QuantityError(ValueError):
    """Text that is no quantity of the demanded dimension; ``code`` and ``parameters`` say why."""

    def __init__(self, code: str, **parameters: str) -> None:
        self.code = code
        self.parameters = parameters
        super().__init__(code)


@dataclass(frozen=True)
class Quantity:
    """A value with its unit.

    Attributes:
        value: exact value in ``unit``.
        unit: unit of the closed table.
        text: the text as somebody typed it.
    """

    value: Fraction
    unit: Unit
    text: str

    @property
    def base(self) -> Fraction:
        """Exact value in the base unit of the dimension."""
        return self.value * self.unit.factor

    @property
    def number(self) -> str:
        """The number with the decimals that were typed, point as decimal mark; a mixed number as exact decimal."""
        typed = _DECIMAL.match(self.text.strip())
        if typed is None or "/" in self.text:
            return decimal_text(self.value)
        return typed[0].replace(",", ".").replace(_MINUS, "-").lstrip("+")

    def json(self) -> dict[str, str]:
        """``{"value": decimal string, "unit": symbol}`` as every document carries it."""
        return {"unit": self.unit.symbol, "value": self.number}

    def __str__(self) -> str:
        return f"{self.number} {self.unit.symbol}".rstrip()


def parse(text: str, dimension: Dimension) -> Quantity:
    """Read a quantity such as ``120,0 mm``, ``4 3/8 in`` or ``18 ft-lb``.

    Args:
        text: what somebody typed; a comma is a decimal comma.
        dimension: what the field holds.

    Raises:
        QuantityError: too long, no number, no unit, a unit of another dimension, or a comma that may be a
            thousands mark.
    """
    if len(text) > MAX_TEXT:
        raise QuantityError(
            "quantity-too-long", found=f"{text[:SHOWN]}\u2026", length=str(len(text)), limit=str(MAX_TEXT)
        )
    match = _TEXT.fullmatch(text.strip())
    if match is None:
        raise QuantityError("quantity-unreadable", found=text[:MAX_TEXT], dimension=dimension.value)
    value = _value(match, text)
    unit = _unit((match["unit"] or "").strip(), dimension, text)
    return Quantity(value, unit, text)


def _value(match: re.Match[str], text: str) -> Fraction:
    sign = -1 if match["sign"] in ("-", _MINUS) else 1
    if match["top"] is not None:
        return sign * _mixed(match, text)
    whole, part = match["whole"], match["part"]
    if f",{part}" in match[0] and part is not None and len(part) == 3 and whole.strip("0"):  # noqa: PLR2004 - a thousands group
        raise QuantityError(
            "quantity-comma-ambiguous", found=text, decimal=f"{whole}.{part}", grouped=whole + part
        )
    return sign * Fraction(f"{whole}.{part or 0}")


def _mixed(match: re.Match[str], text: str) -> Fraction:
    bottom = int(match["bottom"])
    # a denominator that is no power of two has no exact decimal, and no rule is divided that way
    if bottom == 0 or bottom & (bottom - 1):
        raise QuantityError("quantity-fraction", found=text)
    return Fraction(int(match["units"] or 0)) + Fraction(int(match["top"]), bottom)


def _unit(spelling: str, dimension: Dimension, text: str) -> Unit:
    unit = UNITS.get((spelling, dimension))
    if unit is not None:
        return unit
    expected = ", ".join(
        sorted({known.symbol for known in UNITS.values() if known.dimension == dimension} - {""})
    )
    if not spelling:
        raise QuantityError("quantity-unit-missing", found=text, expected=expected)
    raise QuantityError("quantity-unit", found=spelling, expected=expected or "no unit")


def decimal_text(value: Fraction) -> str:
    """Exact decimal text of a fraction whose denominator divides a power of ten, else 30 significant digits."""
    with localcontext() as context:
        context.prec = MAX_DECIMALS
        number = Decimal(value.numerator) / Decimal(value.denominator)
    return f"{number:f}"


def converted(number: str, unit: str, wanted: str, decimals: int = 2) -> str | None:
    """A decimal of one unit in another of the same dimension, rounded half to even; None where they do not fit.

    Args:
        number: decimal text as our documents carry it.
        unit: symbol that the number has.
        wanted: symbol that it is to have.
        decimals: digits behind the point.
    """
    for dimension in Dimension:
        source, target = UNITS.get((unit, dimension)), UNITS.get((wanted, dimension))
        if source and target:
            value = read_decimal(number) * source.factor / target.factor
            return f"{decimal_text(round(value, decimals))}"
    return None


def read_decimal(text: str) -> Fraction:
    """Exact fraction of a decimal string as our own documents carry it (point, optional minus)."""
    if re.fullmatch(r"-?[0-9]{1,40}(\.[0-9]{1,40})?", text, re.ASCII) is None:
        raise QuantityError("quantity-unreadable", found=text[:MAX_TEXT], dimension="decimal")
    return Fraction(text)
