"""Packs by reference, and what they hold by requirement id."""

from collections.abc import Iterable, Iterator, Mapping

from evidence.errors import InputError, Problem
from evidence.model.criterion import Criterion
from evidence.model.pack import Clause, Pack
from evidence.record.reader import PackText
from evidence.register._references import (
    PackReference,
    RequirementId,
    parse_reference,
    parse_requirement,
)

__all__ = [
    "PackReference",
    "RequirementId",
    "by_reference",
    "criteria_of",
    "parse_reference",
    "parse_requirement",
]


def by_reference(packs: Iterable[PackText]) -> dict[str, PackText]:
    """Packs by ``id@version``, sorted.

    Raises:
        InputError: pack-twice, where two files call themselves by one reference.
    """
    found: dict[str, PackText] = {}
    problems = []
    for entry in packs:
        reference = entry.pack.reference
        if reference in found:
            first = found[reference].source.name
            problems.append(entry.source.problem("pack-twice", ("id",), found=reference, first=first))
        found.setdefault(reference, entry)
    if problems:
        raise InputError(sorted(problems, key=Problem.order))
    return dict(sorted(found.items()))


def criteria_of(packs: Mapping[str, Pack]) -> Iterator[tuple[RequirementId, Clause, Criterion]]:
    """Every criterion of every pack with its requirement id and clause, in pack order."""
    for reference, pack in packs.items():
        for clause in pack.clauses:
            for criterion in clause.criteria:
                yield RequirementId(reference, clause.no, criterion.id), clause, criterion
