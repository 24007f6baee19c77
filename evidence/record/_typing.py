"""What typing from paper must mean: rows of a work card, clocks, and key fields that were typed a second time."""

from collections.abc import Iterator, Mapping
from datetime import timedelta

from evidence.errors import Problem
from evidence.jsondoc import pointer
from evidence.model._text import FieldState
from evidence.model.names import Role
from evidence.model.record import Retyped
from evidence.quantity import QuantityError, parse
from evidence.record._walk import ANY, Pattern, matching, twice
from evidence.record.reader import JobText
from evidence.record.typed import FIELDS, KeyField, key_fields
from evidence.record.yamltext import Path

CLOCK_SHOWS = timedelta(minutes=1)  # at most: a clock that shows no seconds
CARD_ROWS: tuple[Pattern, ...] = (
    ("positions", ANY, "system", "card_row"),
    ("steps", ANY, "card_row"),
    ("screws", ANY, "card_row"),
    ("characteristics", ANY, "card_row"),
    ("cycles", ANY, "card_row"),
    ("audits", ANY, "card_row"),
)


def typing_problems(job: JobText, kinds: Mapping[str, str]) -> Iterator[Problem]:
    """Rows that no card can have, tickets that stand twice, clocks that nobody read, second typings of nothing.

    Args:
        job: the record.
        kinds: id to what it names.
    """
    yield from _card_rows(job)
    yield from twice(job.source, matching(job.source.data, ("tickets", ANY, "subject")), "ticket-twice")
    yield from _clocks(job)
    fields = {(field.of, field.field): field for field in key_fields(job.record)}
    for index, entry in enumerate(job.record.retyped):
        yield from _retyped(job, index, entry, fields, kinds)


def _card_rows(job: JobText) -> Iterator[Problem]:
    roles = {entry.id: entry.role for entry in job.record.exhibits}
    for pattern in CARD_ROWS:
        for path, row in matching(job.source.data, pattern):
            role = roles.get(row["exhibit"])
            if role is not None and role != Role.WORK_CARD:
                found = f"{row['exhibit']} ({role.value})"
                yield job.source.problem("card-row-of-other-role", (*path, "exhibit"), found=found)
            for name in ("page", "row"):
                if row[name] == "0":
                    yield job.source.problem("card-row-from-one", (*path, name), found=row[name])


def _clocks(job: JobText) -> Iterator[Problem]:
    """What a clock shows is a time of day, and stands on a photo of its ticket, once for each photo."""
    yield from twice(job.source, matching(job.source.data, ("clocks", ANY, "exhibit")), "clock-read-twice")
    roles = {entry.id: entry.role for entry in job.record.exhibits}
    for index, reading in enumerate(job.record.clocks):
        path: Path = ("clocks", index)
        role = roles.get(reading.exhibit)
        if role is not None and role != Role.CLOCK_TICKET:
            yield job.source.problem(
                "exhibit-role-differs",
                (*path, "exhibit"),
                found=reading.exhibit,
                role=role.value,
                expected=Role.CLOCK_TICKET.value,
            )
        if reading.shown.end - reading.shown.start > CLOCK_SHOWS:
            yield job.source.problem("clock-time-vague", (*path, "shown"), found=reading.shown.text)


def _retyped(
    job: JobText,
    index: int,
    entry: Retyped,
    fields: Mapping[tuple[str, str], KeyField],
    kinds: Mapping[str, str],
) -> Iterator[Problem]:
    path: Path = ("retyped", index)
    kind = kinds.get(entry.of)
    if kind not in FIELDS:
        return  # an id that is unknown or of another kind is told with all references
    if entry.field not in FIELDS[kind]:
        expected = ", ".join(FIELDS[kind])
        yield job.source.problem(
            "retyped-field-unknown", (*path, "field"), found=entry.field, kind=kind, expected=expected
        )
        return
    field = fields.get((entry.of, entry.field))
    if field is None or all(isinstance(value, FieldState) for value in field.values):
        yield job.source.problem("retyped-of-nothing", (*path, "of"), found=entry.of, field=entry.field)
        return
    if len(entry.values) != len(field.values):
        found, expected = str(len(entry.values)), str(len(field.values))
        yield job.source.problem("retyped-count", (*path, "values"), found=found, expected=expected)
    yield from _units(job, (*path, "values"), entry, field)


def _units(job: JobText, path: Path, entry: Retyped, field: KeyField) -> Iterator[Problem]:
    """Values that are no quantities, and so cannot be compared with the first typing."""
    if field.dimension is None:
        return
    for index, value in enumerate(entry.values):
        try:
            parse(value, field.dimension)
        except QuantityError as error:
            yield Problem(
                error.code,
                job.source.where((*path, index)),
                pointer((*path, index)),
                error.parameters,
            )
