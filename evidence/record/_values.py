"""Values that have the right form and must not be sealed: words that stand for a missing value, and personal values."""

from collections.abc import Iterator

from evidence.errors import Problem
from evidence.model.people import People
from evidence.record._syntax import MAX_SHOWN
from evidence.record._walk import ANY, Pattern, everything, matching
from evidence.record.personal import Personal, folded
from evidence.record.reader import JobText, PeopleText
from evidence.record.yamltext import YamlText

_OF_THE_RECORD: tuple[Pattern, ...] = (
    *(("vehicle", field) for field in ("build", "module_serial", "type", "fleet_number")),
    *(("parties", ANY, field) for field in ("name", "address")),
    *(("declaration", field) for field in ("id", "place")),
    ("bases", ANY, "standard"),
    *(("positions", ANY, "system", field) for field in ("model", "variant", "serial", "lot")),
    *(
        ("positions", ANY, "stretchers", which, ANY, field)
        for which in ("tested_with", "delivered_with")
        for field in ("model", "serial")
    ),
    ("positions", ANY, "stretchers", "approved_models", ANY),
    ("instruments", ANY, "serial"),
    *(("screws", ANY, field) for field in ("thread", "property_class", "lot")),
    *(("screws", ANY, "locker", field) for field in ("product", "lot")),
    *(("documents", ANY, field) for field in ("issuer", "reference")),
    *(("documents", ANY, "held", field) for field in ("by", "reference")),
    ("concessions", ANY, "reference"),
)
_OF_PEOPLE: tuple[Pattern, ...] = (
    *(("people", ANY, field) for field in ("name", "badge")),
    ("plate",),
    ("site",),
)
_PLACEHOLDERS = frozenset(
    (
        "tbd",
        "t b d",
        "tba",
        "tbc",
        "todo",
        "n/a",
        "n a",
        "unknown",
        "to come",
        "illegible",
        "not known",
        "not known yet",
    )
) | {"to be stated", "to be confirmed", "to be announced", "to be done", "to follow", "name of the fitter"}
"""Folded, as ``folded`` does; what holds no letter and no digit stands for nothing anyway."""
_ORGANISATION: Pattern = ("parties", ANY, "name")
_PUBLIC: tuple[Pattern, ...] = (_ORGANISATION, ("parties", ANY, "address"), ("declaration", "place"))
"""Where an organisation says who and where it is, which may be where the work was done."""


def placeholders(job: JobText, people: PeopleText | None) -> Iterator[Problem]:
    """Values such as ``TBD``, ``-`` or ``…``, which would be read as a serial, a name or a standard."""
    yield from _placeholders(job.source, _OF_THE_RECORD)
    if people is not None:
        yield from _placeholders(people.source, _OF_PEOPLE)


def _placeholders(source: YamlText, patterns: tuple[Pattern, ...]) -> Iterator[Problem]:
    for pattern in patterns:
        for path, found in matching(source.data, pattern):
            if isinstance(found, str) and _is_placeholder(found):
                yield source.problem("placeholder-value", path, found=found[:MAX_SHOWN])


def _is_placeholder(text: str) -> bool:
    return not any(character.isalnum() for character in text) or folded(text) in _PLACEHOLDERS


def personal_values(job: JobText, people: People) -> Iterator[Problem]:
    """Texts of the record that hold a person's name, the registration plate or the site."""
    personal = Personal.of(people)
    public = {path: pattern for pattern in _PUBLIC for path, _ in matching(job.source.data, pattern)}
    for path, value in everything(job.source.data):
        kind = personal.within(value) if isinstance(value, str) else None
        if kind is not None and not _is_public(kind, value, public.get(path), personal):
            yield job.source.problem("personal-value-in-record", path, kind=kind)


def _is_public(kind: str, value: str, pattern: Pattern | None, personal: Personal) -> bool:
    """A company may bear its owner's name and lie where the work was done."""
    if kind == "name":
        return pattern == _ORGANISATION and folded(value) not in personal.names
    return kind == "site" and pattern is not None
