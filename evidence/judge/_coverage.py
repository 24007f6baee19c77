"""How one field of a report is held against the vehicle: by its text, by a list, or by the range that was tested."""

from collections.abc import Sequence
from fractions import Fraction

from evidence.judge._base import Verdict, verdict
from evidence.judge._evidence import Stop
from evidence.judge._same import entries, fits, meaning
from evidence.model.coverage import RANGES, CoveredField
from evidence.model.finding import Parameter
from evidence.model.names import ClaimName, Fact, Outcome
from evidence.quantity import parse

SCOPE = frozenset({ClaimName.TEST_STANDARD, ClaimName.AMENDMENT, ClaimName.DIRECTIONS})
"""What a report is about at all: to another edition, or in other directions, it says nothing here."""


def compare(
    field: CoveredField,
    document: str,
    found: tuple[str, ...],
    has: tuple[str, ...],
    unread: tuple[Stop, ...],
) -> Verdict:
    """Hold what the report states against what the vehicle has, or against what is asked.

    Args:
        field: how.
        document: id of the report.
        found: values that it states and that can be used.
        has: values of the vehicle.
        unread: why others of its values cannot be used.
    """
    expected = field.values if field.how == "one-of" else has
    shown: dict[str, Parameter] = {"claim": field.claim.value, "found": found, "expected": expected}
    if field.how in RANGES:
        return _in_range(field, found, has, unread, shown)
    if _fits(field, found, has):
        return verdict(Outcome.MET, "covered", claim=field.claim.value, found=found)
    if unread:  # what cannot be read might have been the value that fits
        return Verdict(unread[0].outcome, unread[0].reason)
    if field.claim in SCOPE:
        return verdict(Outcome.NOT_SHOWN, "outside-report", document=document, **shown)
    return verdict(Outcome.NOT_MET, "covers-other", **shown)


def _fits(field: CoveredField, found: tuple[str, ...], has: tuple[str, ...]) -> bool:
    if field.how == "stated":
        return True
    if field.how == "same" and field.dimension is not None:
        stated_values = _values(field, found)
        return all(one in stated_values for one in _values(field, has))
    means = meaning(field.claim.value, field.fact)
    stated = found if field.how == "same" else entries(found)
    wanted = field.values if field.how == "one-of" else has
    covered = [fits(one, stated, means) for one in wanted]
    # the maker's list is the vehicle's: the tested model must stand on it
    on_list = field.how == "listed" and field.fact == Fact.POSITION_APPROVED_MODELS
    return any(covered) if field.how == "one-of" or on_list else all(covered)


def _in_range(
    field: CoveredField,
    found: tuple[str, ...],
    has: tuple[str, ...],
    unread: tuple[Stop, ...],
    shown: dict[str, Parameter],
) -> Verdict:
    tested, needed = _values(field, found), _values(field, has)
    reached = [_reached(field.how, tested, one) for one in needed]
    if unread and not (field.how == "between" and all(reached)):
        # a value that cannot be read may lie on either side
        return Verdict(unread[0].outcome, unread[0].reason)
    if all(reached):
        if set(tested) == set(needed):
            return verdict(Outcome.MET, "covered", claim=field.claim.value, found=found)
        return verdict(Outcome.MET, "covered-within-range", **shown)
    if False in reached:
        return verdict(Outcome.NOT_MET, "covers-outside-range", **shown)
    return verdict(Outcome.UNDECIDED, "covered-by-some", **shown)


def _reached(how: str, tested: Sequence[Fraction], needed: Fraction) -> bool | None:
    """Whether every test reaches the vehicle's value; None where some do and nothing says which one counts here."""
    if how == "between":
        return min(tested) <= needed <= max(tested)
    each = [value >= needed if how == "at-least" else value <= needed for value in tested]
    return all(each) if all(each) or not any(each) else None


def _values(field: CoveredField, texts: tuple[str, ...]) -> list[Fraction]:
    dimension = field.dimension
    if dimension is None:  # the model admits no such field
        raise TypeError(field.claim)
    return [parse(text, dimension).base for text in texts]
