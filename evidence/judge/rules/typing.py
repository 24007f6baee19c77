"""Rule on typing: a key field that two people typed differently from the same paper."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule
from evidence.model.record import Retyped
from evidence.quantity import Quantity, QuantityError, parse
from evidence.record.typed import KeyField, key_fields


def typed_twice_differs(case: Case) -> Iterator[Contradiction]:
    """The second typing says something else; quantities are compared as such, everything else letter by letter."""
    fields = {(field.of, field.field): field for field in key_fields(case.record)}
    for entry in case.record.retyped:
        field = fields.get((entry.of, entry.field))
        differing = _differing(field, entry) if field is not None else []
        if field is not None and differing:
            first = ", ".join(one for one, _ in differing)
            second = ", ".join(other for _, other in differing)
            yield contradiction(
                ContradictionRule.TYPED_TWICE_DIFFERS,
                entry.of,
                (Place(where=field.place, value=first), Place(where=f"retyped.{field.place}", value=second)),
                exhibits=(field.card_row.exhibit,) if field.card_row else (),
                subject=entry.of,
                place=field.place,
                first=first,
                second=second,
                by=entry.by,
            )


def _differing(field: KeyField, entry: Retyped) -> list[tuple[str, str]]:
    """Both sides of each value that differs, with its number where there are several."""
    pairs = list(zip(field.values, entry.values, strict=False))
    told = []
    for number, (first, second) in enumerate(pairs, start=1):
        mark = f"{number}: " if len(field.values) > 1 else ""
        if not isinstance(first, FieldState) and not _same(first, second, field):
            told.append((f"{mark}{first}", f"{mark}{second}"))
    return told


def _same(first: str | Quantity, second: str, field: KeyField) -> bool:
    if isinstance(first, str) or field.dimension is None:
        return first == second
    try:
        return first.base == parse(second, field.dimension).base
    except QuantityError:
        return False
