"""Field types that read text: quantities, counts, yes/no, dates, intervals, references, and values not yet known.

Every scalar of a YAML file arrives as text; the type of the field converts it and gives the typed text back when
the model is written, so a record keeps what somebody wrote.
"""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, TypeVar

from pydantic import Discriminator, Field, PlainSerializer, PlainValidator, Tag, WithJsonSchema
from pydantic_core import PydanticCustomError

from evidence.model import times
from evidence.model._base import ID_PATTERN, MAX_LIST, SLUG_PATTERN, Id, Model, refuse
from evidence.model.names import FieldWord
from evidence.quantity import Dimension, Quantity, QuantityError, parse

MAX_MONTHS = 600  # of an interval; nothing in a workshop is checked once in fifty years
VALUE_TAG = "<value>"
STATE_TAG = "<state>"
VIN_PATTERN = r"[A-HJ-NPR-Z0-9]{17}"  # 49 CFR 565 / ISO 3779: no I, O or Q
NONCE_PATTERN = r"[a-z0-9]{6,16}"
_PER_MILLE = r"(1000|[0-9]{1,3}(\.[0-9])?)"
FRAME_PATTERN = rf"{_PER_MILLE}(, ?{_PER_MILLE}){{7}}"
_SECOND = r"-?[0-9]{1,4}(\.[0-9]{1,9})?"
SECONDS_PATTERN = rf"{_SECOND} {_SECOND}"
CROP_PATTERN = r"(100|[1-9]?[0-9])( (100|[1-9]?[0-9])){3}"
PACK_PATTERN = rf"{SLUG_PATTERN}@[1-9][0-9]{{0,5}}"

_Corner = tuple[Decimal, Decimal]


def _reader(
    read: Callable[[str], Any], write: Callable[[Any], str], pattern: str | None = None
) -> tuple[Any, ...]:
    def validate(value: Any) -> Any:
        if not isinstance(value, str):
            raise refuse("text-expected", found=type(value).__name__)
        return read(value)

    schema: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 120}
    if pattern:
        schema = {"type": "string", "pattern": rf"^{pattern}(?!\n)$"}
    return PlainValidator(validate), PlainSerializer(write, return_type=str), WithJsonSchema(schema)


def read_quantity(text: str, dimension: Dimension) -> Quantity:
    """Quantity of the dimension, or a validation error that carries the Problem code."""
    try:
        return parse(text, dimension)
    except QuantityError as error:
        raise refuse(error.code, **error.parameters) from error


def _quantity(dimension: Dimension) -> tuple[Any, ...]:
    return _reader(lambda text: read_quantity(text, dimension), lambda quantity: str(quantity.text))


def read_interval(text: str) -> times.Interval:
    """Interval, or a validation error that carries the Problem code."""
    try:
        return times.parse_interval(text)
    except times.TimeTextError as error:
        raise _no_time(error, "time-unreadable", text) from error


def read_day(text: str) -> date:
    """Day, or a validation error that carries the Problem code."""
    try:
        return times.parse_date(text)
    except times.TimeTextError as error:
        raise _no_time(error, "date-unreadable", text) from error


def _no_time(error: times.TimeTextError, code: str, text: str) -> PydanticCustomError:
    """The more exact reason where there is one."""
    if error.code == "day-unknown" or (error.code and code == "time-unreadable"):
        return refuse(error.code, **error.parameters)
    return refuse(code, found=text[:40])


def _offset(text: str) -> str:
    try:
        times.parse_offset(text)
    except times.TimeTextError as error:
        raise refuse("offset-unreadable", found=text[:40]) from error
    return text


def _count(text: str) -> int:
    if re.fullmatch(r"0|[1-9][0-9]{0,5}", text, re.ASCII) is None:
        raise refuse("count-unreadable", found=text[:40])
    return int(text)


def _months(text: str) -> int:
    months = _count(text)
    if not 1 <= months <= MAX_MONTHS:
        raise refuse("months-out-of-range", found=text[:40], limit=str(MAX_MONTHS))
    return months


def _flag(text: str) -> bool:
    if text not in ("yes", "no"):
        raise refuse("yes-no-expected", found=text[:40])
    return text == "yes"


def _fullmatch(pattern: str, code: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if re.fullmatch(pattern, text, re.ASCII) is None:
            raise refuse(code, found=text[:60])
        return text

    return read


def _frame(text: str) -> str:
    if re.fullmatch(FRAME_PATTERN, text, re.ASCII) is None:
        raise refuse("frame-malformed", found=text[:60])
    numbers = [Decimal(part) for part in text.split(",")]
    corners = list(zip(numbers[::2], numbers[1::2], strict=True))
    # the way round turns to the same side at each corner
    turns = [_turn(corners[index - 2], corners[index - 1], corners[index]) for index in range(4)]
    if not (min(turns) > 0 or max(turns) < 0):
        raise refuse("frame-crossed", found=text[:60])
    return text


def _seconds(text: str) -> str:
    parts = text.split(" ") if re.fullmatch(SECONDS_PATTERN, text, re.ASCII) else ()
    if not parts or Decimal(parts[0]) >= Decimal(parts[1]):
        raise refuse("seconds-malformed", found=text[:40])
    return text


def _turn(before: _Corner, at: _Corner, after: _Corner) -> Decimal:
    """Positive where the way turns clockwise at a corner of a picture, negative the other way, 0 straight on."""
    return (at[0] - before[0]) * (after[1] - at[1]) - (at[1] - before[1]) * (after[0] - at[0])


def _crop(text: str) -> str:
    parts = text.split(" ") if re.fullmatch(CROP_PATTERN, text, re.ASCII) else ()
    if not parts or int(parts[0]) >= int(parts[2]) or int(parts[1]) >= int(parts[3]):
        raise refuse("crop-malformed", found=text[:40])
    return text


Length = Annotated[Quantity, *_quantity(Dimension.LENGTH)]
Mass = Annotated[Quantity, *_quantity(Dimension.MASS)]
Torque = Annotated[Quantity, *_quantity(Dimension.TORQUE)]
Duration = Annotated[Quantity, *_quantity(Dimension.TIME)]
Ratio = Annotated[Quantity, *_quantity(Dimension.RATIO)]
Acceleration = Annotated[Quantity, *_quantity(Dimension.ACCELERATION)]
Number = Annotated[Quantity, *_quantity(Dimension.COUNT)]
"""A decimal without a unit, such as a nut factor."""
Count = Annotated[int, *_reader(_count, str, r"(0|[1-9][0-9]{0,5})")]
Months = Annotated[int, *_reader(_months, str, r"[1-9][0-9]{0,2}")]
Flag = Annotated[bool, *_reader(_flag, lambda flag: "yes" if flag else "no", r"(yes|no)")]
Day = Annotated[date, *_reader(read_day, date.isoformat, r"[0-9]{4}-[0-9]{2}-[0-9]{2}")]
When = Annotated[times.Interval, *_reader(read_interval, lambda interval: str(interval.text))]
UtcOffset = Annotated[str, *_reader(_offset, str, r"(Z|[+\-](0[0-9]|1[0-4]):[0-5][0-9])")]
Vin = Annotated[str, *_reader(_fullmatch(VIN_PATTERN, "vin-malformed"), str, VIN_PATTERN)]
PackRef = Annotated[str, *_reader(_fullmatch(PACK_PATTERN, "pack-reference-malformed"), str, PACK_PATTERN)]
ProfileRef = Annotated[
    str,
    *_reader(
        _fullmatch(rf"{SLUG_PATTERN}@{ID_PATTERN}", "profile-reference-malformed"),
        str,
        rf"{SLUG_PATTERN}@{ID_PATTERN}",
    ),
]
JobPath = Annotated[
    str,
    *_reader(
        _fullmatch(r"(photos|documents|tests)/[A-Za-z0-9][A-Za-z0-9._-]{0,60}", "job-path-malformed"),
        str,
        r"(photos|documents|tests)/[A-Za-z0-9][A-Za-z0-9._-]{0,60}",
    ),
]
Nonce = Annotated[str, *_reader(_fullmatch(NONCE_PATTERN, "nonce-malformed"), str, NONCE_PATTERN)]
Crop = Annotated[str, *_reader(_crop, str, CROP_PATTERN)]
Seconds = Annotated[str, *_reader(_seconds, str, SECONDS_PATTERN)]
"""Begin and end in seconds, decimals with a point: ``-0.05 0``."""
Frame = Annotated[str, *_reader(_frame, str, FRAME_PATTERN)]
"""Four corners ``x1,y1,...,x4,y4``, one after the other around, in per mille of the upright picture's sides."""
Subject = Id
"""``vehicle`` or the id of a position, screw group, instrument, person or document."""


class FieldState(Model):
    """Why a field holds no value, from whom it will come and by when."""

    state: FieldWord
    from_: Id | None = Field(default=None, alias="from")
    by: Day | None = None


def _tag(value: Any) -> str:
    return STATE_TAG if isinstance(value, dict | FieldState) else VALUE_TAG


T = TypeVar("T")
Stated = Annotated[Annotated[T, Tag(VALUE_TAG)] | Annotated[FieldState, Tag(STATE_TAG)], Discriminator(_tag)]
"""A value, or a FieldState that says why there is none; told apart by shape so that errors name one place."""
Many = Annotated[tuple[T, ...], Field(max_length=MAX_LIST)]
"""Any number of entries up to the cap."""
Some = Annotated[tuple[T, ...], Field(min_length=1, max_length=MAX_LIST)]
"""At least one entry."""
