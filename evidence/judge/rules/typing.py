"""Rules on typing: key fields that two people typed differently, and pages of a card that its scan has not."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule
from evidence.model.record import CardRow, JobRecord, Retyped
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


def card_page_beyond(case: Case) -> Iterator[Contradiction]:
    """Entries were typed from a page that the scan of the card does not have; photos of single pages have no count."""
    pages: dict[tuple[str, int], list[str]] = {}
    for entry, row in _rows(case.record):
        pages.setdefault((row.exhibit, row.page), []).append(entry)
    for (exhibit, page), entries in sorted(pages.items()):
        item = case.items.get(exhibit)
        count = item.pdf.pages if item is not None and item.pdf is not None else page
        if page > count:
            yield contradiction(
                ContradictionRule.CARD_PAGE_BEYOND,
                exhibit,
                (
                    Place(where=f"{entries[0]}.card_row.page", value=str(page)),
                    Place(where=f"{exhibit}.pages", value=str(count)),
                ),
                exhibits=(exhibit,),
                exhibit=exhibit,
                entries=tuple(entries),
                page=str(page),
                pages=str(count),
            )


def _rows(record: JobRecord) -> Iterator[tuple[str, CardRow]]:
    """Every entry that names a row of a card, in the order of the record."""
    named: tuple[tuple[str, CardRow | None], ...] = (
        *((position.id, position.system.card_row) for position in record.positions),
        *((step.id, step.card_row) for step in record.steps),
        *((group.id, group.card_row) for group in record.screws),
        *((entry.id, entry.card_row) for entry in record.characteristics),
        *((cycles.id, cycles.card_row) for cycles in record.cycles),
        *((audit.id, audit.card_row) for audit in record.audits),
    )
    for entry, row in named:
        if row is not None:
            yield entry, row


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
