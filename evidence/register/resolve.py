"""Which demands bind a vehicle: the packs of its bases, with confirmations, then its fitting profile."""

from collections.abc import Iterator, Mapping

from evidence.errors import InputError, Problem
from evidence.jsondoc import pointer
from evidence.model.criterion import Criterion, Rule
from evidence.model.names import Fact, Group, Mark
from evidence.model.pack import Clause, Confirmation, Pack
from evidence.model.profile import Profile, ProfileItem
from evidence.model.record import JobRecord
from evidence.register._confirmed import confirmed
from evidence.register._references import PROFILE_PREFIX, RequirementId
from evidence.register.demand import Demand, DemandedClause, Demands

Confirmations = Mapping[str, tuple[Confirmation, bool]]
"""Requirement id to the confirmation and whether it was invented."""


def resolve(
    record: JobRecord, profile: Profile, packs: Mapping[str, Pack], where: str = "job.yaml"
) -> Demands:
    """Everything that is asked of a vehicle, in the order of its bases, then of its profile.

    Args:
        record: the job record, whose bases name packs.
        profile: the fitting profile that the record names.
        packs: packs by reference, confirmation packs among them; see ``confirm.check_confirmations``.
        where: name of the record for messages.

    Raises:
        InputError: pack-unknown or route-unknown, with the pointer of every such place.
    """
    problems = list(_unknown_packs(record, packs, where))
    problems += [
        Problem("route-unknown", where, pointer(path), found) for path, found in unknown_routes(record, packs)
    ]
    if problems:
        raise InputError(sorted(problems, key=Problem.order))
    named = _named(record)
    confirmations = _confirmations(packs[reference] for reference in named)
    routes = {
        (reference, choice.clause): choice.route
        for basis in record.bases
        for reference in basis.packs
        for choice in basis.routes
    }
    clauses: list[DemandedClause] = []
    criteria: list[Demand] = []
    for reference in named:
        for clause in packs[reference].clauses:
            chosen = routes.get((reference, clause.no))
            clauses.append(DemandedClause(reference, clause.no, clause.rule, clause.title, chosen))
            criteria.extend(_demands(packs[reference], clause, confirmations))
    return Demands((*criteria, *_profile_demands(profile)), (*clauses, *_profile_clauses(profile)))


def _named(record: JobRecord) -> tuple[str, ...]:
    """References in the order of the bases, each once."""
    return tuple(dict.fromkeys(reference for basis in record.bases for reference in basis.packs))


def _unknown_packs(record: JobRecord, packs: Mapping[str, Pack], where: str) -> Iterator[Problem]:
    known = ", ".join(sorted(packs)) or "none"
    for i, basis in enumerate(record.bases):
        for k, reference in enumerate(basis.packs):
            if reference not in packs:
                at = pointer(("bases", i, "packs", k))
                yield Problem("pack-unknown", where, at, {"found": reference, "expected": known})


def unknown_routes(
    record: JobRecord, packs: Mapping[str, Pack]
) -> Iterator[tuple[tuple[str | int, ...], dict[str, str]]]:
    """Choices of a route that no pack of their basis has: path in the record and what was found and expected."""
    for i, basis in enumerate(record.bases):
        routes = {
            (clause.no, route)
            for reference in basis.packs
            if reference in packs
            for clause in packs[reference].clauses
            for route in clause.rule.routes
        }
        for k, choice in enumerate(basis.routes):
            if (choice.clause, choice.route) not in routes:
                expected = ", ".join(f"{clause} {route}" for clause, route in sorted(routes)) or "none"
                found = {"found": f"{choice.clause} {choice.route}", "expected": expected}
                yield ("bases", i, "routes", k), found


def _confirmations(packs: Iterator[Pack]) -> Confirmations:
    return {
        confirmation.confirms: (confirmation, pack.invented == "yes")
        for pack in packs
        for confirmation in pack.confirmations
    }


def _demands(pack: Pack, clause: Clause, confirmations: Confirmations) -> Iterator[Demand]:
    group = Group.PRACTICE if pack.kind == "practice" else Group.STANDARD
    for criterion in clause.criteria:
        requirement = str(RequirementId(pack.reference, clause.no, criterion.id))
        confirmation, invented = confirmations.get(requirement, (None, False))
        if confirmation is not None:
            criterion = confirmed(criterion, confirmation, invented=invented)  # noqa: PLW2901 - the one that holds
        yield Demand(
            requirement=requirement,
            source=pack.reference,
            clause=clause.no,
            criterion=criterion,
            group=group,
            applies=_both(clause.applies, criterion.applies),
            title=clause.title,
            invented=invented,
            confirmation=confirmation,
            standard=pack.standard.designation if pack.standard else None,
        )


def _both(
    one: Mapping[Fact, tuple[str, ...]], other: Mapping[Fact, tuple[str, ...]]
) -> dict[Fact, tuple[str, ...]]:
    """Facts that both demand; where both name one, only values that satisfy both."""
    joined = {**one, **other}
    for fact in one.keys() & other.keys():
        joined[fact] = tuple(value for value in one[fact] if value in other[fact])
    return dict(sorted(joined.items()))


def _profile_demands(profile: Profile) -> Iterator[Demand]:
    invented = profile.manual.invented == "yes"
    source = f"{PROFILE_PREFIX}{profile.reference}"
    for item in profile.items:
        criterion = _profile_criterion(item, invented=invented)
        yield Demand(
            requirement=str(RequirementId(source, item.section, criterion.id)),
            source=source,
            clause=item.section,
            criterion=criterion,
            group=Group.PROFILE,
            applies=criterion.applies,
            title=_title(item),
            invented=criterion.mark == Mark.INVENTED,
        )


def _profile_criterion(item: ProfileItem, *, invented: bool) -> Criterion:
    """A demand with a page of the manual counts as confirmed: the user read it there."""
    if item.criterion.page is None:
        return item.criterion
    mark = Mark.INVENTED if invented else Mark.CONFIRMED
    return item.criterion.model_copy(update={"mark": mark})


def _title(item: ProfileItem) -> Mapping[str, str]:
    return item.criterion.title or {"en": item.criterion.id}


def _profile_clauses(profile: Profile) -> Iterator[DemandedClause]:
    """One clause for each section of the manual, which needs all of its items."""
    source = f"{PROFILE_PREFIX}{profile.reference}"
    for section in dict.fromkeys(item.section for item in profile.items):
        items = [item for item in profile.items if item.section == section]
        rule = Rule(all=tuple(item.criterion.id for item in items))
        yield DemandedClause(source, section, rule, _title(items[0]))
