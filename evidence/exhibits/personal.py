"""Claims of evidence files that hold a personal value of the job, such as a phone that carries its owner's name."""

from evidence.errors import Problem
from evidence.model.exhibit import Item
from evidence.model.people import People
from evidence.record.personal import Personal

LEFT_OUT = "personal-claim-left-out"
_CLAIMS = ("camera", "software")


def personal_claims(item: Item, people: People) -> tuple[str, ...]:
    """Which claims of a file hold a personal value: ``camera``, ``software``, ``column 2``; never the value itself.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
    """
    personal = Personal.of(people)
    claims = [(name, getattr(item.photo, name)) for name in _CLAIMS] if item.photo else []
    columns = item.table.columns if item.table else ()
    claims += [(f"column {number}", column.name) for number, column in enumerate(columns, start=1)]
    return tuple(name for name, value in claims if value is not None and personal.within(value))


def without_personal(item: Item, people: People) -> Item:
    """The item without camera and software where one of them holds a personal value; else the item itself.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
    """
    return anonymous(item) if set(personal_claims(item, people)) & set(_CLAIMS) else item


def anonymous(item: Item) -> Item:
    """The item of a photo without camera and software, and with the warning that says so; idempotent."""
    if item.photo is None:
        return item
    photo = item.photo.model_copy(update=dict.fromkeys(_CLAIMS))
    warnings = tuple(sorted({*item.warnings, LEFT_OUT}))
    return item.model_copy(update={"photo": photo, "warnings": warnings})


def personal_headings(item: Item, people: People, where: str) -> tuple[Problem, ...]:
    """A problem for each column of a table whose heading holds a personal value.

    Args:
        item: what was read from the file.
        people: people.yaml of the job.
        where: name of the file for messages, ``tests/E006.csv``.
    """
    return tuple(
        Problem("personal-heading", f"{where}:1", "", {"column": claim.removeprefix("column ")})
        for claim in personal_claims(item, people)
        if claim not in _CLAIMS
    )
