"""What a person is asked who confirms a demand from their own copy, and what they answered.

The questions name the limit and its kind, never the value that the pack holds: who sees a number first reads it again
instead of reading the standard.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from pydantic import ValidationError

from evidence.errors import InputError, Problem
from evidence.model.criterion import (
    Complete,
    CorridorPoint,
    Counted,
    Covers,
    Criterion,
    Inside,
    Matches,
    ValidOn,
    Within,
)
from evidence.model.names import DECIDING_MARKS, ClaimName, Mark
from evidence.model.pack import Replacement
from evidence.quantity import Dimension, QuantityError, parse, read_decimal
from evidence.register._confirmed import stated_claim, taken_away

Field = Literal["low", "high", "at_least", "months", "allowed", "fields", "upper", "lower"]
NONE = "none"
"""Typed where the user's copy gives no such limit."""
END = "end"
"""Typed after the last entry of a list."""
MAX_ENTRIES = 60  # of one list; the longest field list of a pack has nineteen
MAX_TEXT = 90  # characters of one entry, as a line of a pack
_COUNT = re.compile(r"0|[1-9][0-9]{0,5}", re.ASCII)
_WHERE = "entry"


@dataclass(frozen=True)
class Question:
    """One thing to type.

    Attributes:
        field: what it replaces.
        of: quantity, count or claim that it is about, as the pack names it.
        dimension: of a quantity.
        units: of the two numbers of a point.
        optional: whether the user's copy may give none.
    """

    field: Field
    of: str
    dimension: Dimension | None = None
    units: tuple[str, str] = ("", "")
    optional: bool = False

    @property
    def several(self) -> bool:
        """Whether a list is asked for, entry by entry."""
        return self.field in ("allowed", "fields", "upper", "lower")


@dataclass(frozen=True)
class Compared:
    """One typed limit beside the pack's."""

    field: Field
    typed: str
    held: str
    agrees: bool


def questions(criterion: Criterion) -> tuple[Question, ...]:
    """What has to be typed to confirm a criterion; empty where it holds neither number nor list."""
    if isinstance(criterion, Within):
        quantity, dimension = criterion.quantity, criterion.dimension
        return (
            Question("low", quantity, dimension, optional=True),
            Question("high", quantity, dimension, optional=True),
        )
    if isinstance(criterion, Inside):
        units = (criterion.x_unit, criterion.y_unit)
        named = criterion.y or criterion.channel.value
        return (
            Question("upper", named, units=units, optional=True),
            Question("lower", named, units=units, optional=True),
        )
    if isinstance(criterion, Covers):
        return _of_coverage(criterion)
    single = _single(criterion)
    return (single,) if single else ()


def _single(criterion: Criterion) -> Question | None:
    if isinstance(criterion, Counted):
        return Question("at_least", str(criterion.count))
    if isinstance(criterion, ValidOn) and criterion.months is not None:
        return Question("months", criterion.what)
    if isinstance(criterion, Complete):
        return Question("fields", criterion.type)
    return (
        Question("allowed", criterion.fact) if isinstance(criterion, Matches) and criterion.allowed else None
    )


def _of_coverage(criterion: Covers) -> tuple[Question, ...]:
    asked = []
    if any(row.how != "one-of" for row in criterion.fields):
        asked.append(Question("fields", criterion.type))
    claim = stated_claim(criterion)
    return (*asked, Question("allowed", f"document.{claim}")) if claim else tuple(asked)


def needs_confirming(criterion: Criterion) -> bool:
    """Whether nothing can rest on the demand before somebody has read it in their own copy."""
    undecided = criterion.mark not in DECIDING_MARKS and criterion.mark != Mark.PRACTICE
    return undecided or criterion.limit == "not-held"


def read_entry(question: Question, text: str) -> Any:
    """One typed line as the pack would hold it; a point of a corridor as ``{"x", "y"}``.

    Raises:
        InputError: the code of what is wrong with it.
    """
    typed = text.strip()
    if not typed:
        raise _refused("typed-empty")
    if len(typed) > MAX_TEXT:
        raise _refused("typed-too-long", limit=str(MAX_TEXT))
    if question.dimension is not None:
        try:
            return parse(typed, question.dimension).text
        except QuantityError as error:
            raise _refused(error.code, **error.parameters) from error
    if question.field in ("at_least", "months"):
        if _COUNT.fullmatch(typed) is None:
            raise _refused("count-unreadable", found=typed[:40])
        return typed
    if question.field in ("upper", "lower"):
        return _point(typed)
    if question.field == "fields" and typed not in set(ClaimName):
        raise _refused("typed-no-claim", found=typed[:40])
    if not typed.isprintable():
        raise _refused("text-control-character", found=typed.encode("unicode_escape").decode()[:60])
    return typed


def _point(text: str) -> dict[str, str]:
    parts = [part.replace("\u2212", "-").replace(",", ".") for part in re.split(r"[\s;]+", text)]
    try:
        if len(parts) != 2:  # noqa: PLR2004 - x and y
            raise _refused("typed-no-point", found=text[:40])
        return CorridorPoint.read({"x": parts[0], "y": parts[1]}).document()
    except ValidationError as error:
        raise _refused("typed-no-point", found=text[:40]) from error


def complete(question: Question, entries: Sequence[Any]) -> None:
    """Check a whole list.

    Raises:
        InputError: typed-list-empty, or typed-points-unordered where a later point has the lesser x.
    """
    if not entries:
        raise _refused("typed-list-empty")
    if question.field in ("upper", "lower"):
        places = [read_decimal(point["x"]) for point in entries]
        if len(places) < 2 or places != sorted(places):  # noqa: PLR2004 - a line has two ends
            raise _refused("typed-points-unordered")


def same(question: Question, one: Any, other: Any) -> bool:
    """Whether two answers mean the same: quantities by value, lists of words in any order."""
    return bool(_meaning(question, one) == _meaning(question, other))


def _meaning(question: Question, answer: Any) -> Any:
    if answer is None:
        return None
    if question.dimension is not None:
        return parse(answer, question.dimension).base
    if question.field in ("upper", "lower"):
        return [(Fraction(point["x"]), Fraction(point["y"])) for point in answer]
    return {each.casefold() for each in answer} if question.several else int(answer)


def replacement(answers: Sequence[tuple[Question, Any]]) -> Replacement:
    """What was typed, as a confirmation holds it.

    Raises:
        InputError: typed-nothing, where the user's copy gives none of the limits.
    """
    given: dict[str, Any] = {question.field: answer for question, answer in answers if answer is not None}
    if not given:
        raise _refused("typed-nothing")
    without = [question.field for question, answer in answers if answer is None]
    return Replacement.read({**given, **({"without": without} if without else {})})


def compared(criterion: Criterion, given: Replacement) -> tuple[Compared, ...]:
    """Every typed limit beside the pack's own."""
    typed = given.document()
    found = []
    for question in questions(criterion):
        answer = None if question.field in taken_away(given) else typed.get(question.field)
        held = _held(criterion, question)
        agrees = _agrees(criterion, question, answer, held)
        found.append(Compared(question.field, _text(answer), _text(held), agrees))
    return tuple(found)


def _agrees(criterion: Criterion, question: Question, answer: Any, held: Any) -> bool:
    if isinstance(criterion, Covers) and question.field == "allowed":
        rows = [{each.casefold() for each in row.values} for row in criterion.fields if row.how == "one-of"]
        words = {each.casefold() for each in answer or ()}
        # a row lists spellings of one thing: each row is to be met by a typed word, each word by a row
        return all(row & words for row in rows) and words <= set().union(*rows)
    return same(question, answer, held)


def _held(criterion: Criterion, question: Question) -> Any:
    if criterion.limit == "not-held":
        return None
    if isinstance(criterion, Covers):
        listed = question.field == "allowed"
        rows = [row for row in criterion.fields if (row.how == "one-of") == listed]
        return [each for row in rows for each in (row.values if listed else (row.claim.value,))]
    return criterion.document().get(question.field) or None


def _text(answer: Any) -> str:
    if answer is None:
        return NONE
    if isinstance(answer, str):
        return answer
    return ", ".join(each if isinstance(each, str) else f"({each['x']} {each['y']})" for each in answer)


def _refused(code: str, **parameters: str) -> InputError:
    return InputError((Problem(code, _WHERE, "", parameters),))
