"""Checks of confirmation packs against the packs that they confirm."""

from collections.abc import Iterator, Mapping

from pydantic import ValidationError

from evidence.errors import Problem
from evidence.model.criterion import Criterion
from evidence.model.pack import Confirmation, Pack
from evidence.record.reader import PackText
from evidence.record.yamltext import Path
from evidence.register._confirmed import confirmed, fits, replaced, taken_away


def check_confirmations(
    entry: PackText, packs: Mapping[str, Pack], *, complete: bool = True
) -> tuple[Problem, ...]:
    """What is wrong between a confirmation pack and the packs it names, sorted.

    Args:
        entry: the confirmation pack.
        packs: every pack the job can use, by reference.
        complete: whether every pack that the job names was found; while one is missing, a confirmation of a pack
            that is not there may be of that one, and nothing is said of it.

    Returns:
        Problems confirmation-unknown, confirmation-twice, confirmation-without-number, confirmation-does-not-fit,
        or those of a limit that cannot be read, each at its place in the confirmation pack.
    """
    known = {
        f"{reference}/{clause.no}/{criterion.id}": criterion
        for reference, pack in packs.items()
        for clause in pack.clauses
        for criterion in clause.criteria
    }
    problems: list[Problem] = []
    seen: dict[str, Path] = {}
    for index, confirmation in enumerate(entry.pack.confirmations):
        path: Path = ("confirmations", index)
        criterion = known.get(confirmation.confirms)
        if criterion is None and not complete and confirmation.confirms.partition("/")[0] not in packs:
            continue
        if criterion is None:
            found = confirmation.confirms
            problems.append(entry.source.problem("confirmation-unknown", (*path, "confirms"), found=found))
            continue
        if confirmation.confirms in seen:
            first = entry.source.where(seen[confirmation.confirms])
            at = (*path, "confirms")
            found = confirmation.confirms
            problems.append(entry.source.problem("confirmation-twice", at, found=found, first=first))
        seen.setdefault(confirmation.confirms, (*path, "confirms"))
        problems.extend(_misfits(entry, path, criterion, confirmation))
    return tuple(sorted(problems, key=Problem.order))


def _misfits(
    entry: PackText, path: Path, criterion: Criterion, confirmation: Confirmation
) -> Iterator[Problem]:
    changes = replaced(confirmation.replaces)
    if criterion.limit == "not-held" and not changes:
        yield entry.source.problem("confirmation-without-number", path, found=confirmation.confirms)
    wrong = [field for field in changes if not fits(criterion, field)]
    for field in wrong:
        at = (*path, "replaces", field)
        yield entry.source.problem(
            "confirmation-does-not-fit", at, key=True, found=field, type=criterion.type
        )
    away = taken_away(confirmation.replaces)
    strays = [(index, field) for index, field in enumerate(away) if not fits(criterion, field)]
    for index, field in strays:
        at = (*path, "replaces", "without", index)
        yield entry.source.problem("confirmation-does-not-fit", at, found=field, type=criterion.type)
    both = [(index, field) for index, field in enumerate(away) if field in changes]
    for index, field in both:
        at = (*path, "replaces", "without", index)
        yield entry.source.problem("confirmation-given-and-not", at, found=field)
    if wrong or strays or both:
        return
    try:
        confirmed(criterion, confirmation, invented=False)
    except ValidationError as error:
        for fault in error.errors():
            yield _unreadable(entry, path, fault.get("ctx") or {})


def _unreadable(entry: PackText, path: Path, context: dict[str, object]) -> Problem:
    at, parameters = context.get("at", ()), context.get("parameters", {})
    field = at if isinstance(at, tuple) else ()
    texts = parameters if isinstance(parameters, dict) else {}
    return entry.source.problem(str(context.get("code")), (*path, "replaces", *field), **texts)
