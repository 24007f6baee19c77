"""Clauses: what the criteria of one clause add up to, and which of its named routes was taken.

The route named in the record counts, else the best of met > undecided > not shown > not met. The criteria of the
other routes are then not applicable; what they had come to stays in the reason and in the parts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from evidence.judge._base import all_of
from evidence.judge._scope import VEHICLE, lineage
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.model.finding import ClauseOutcome, Finding
from evidence.model.names import Outcome, SubjectKind
from evidence.register.demand import Demand, DemandedClause

_BEST_FIRST = (Outcome.MET, Outcome.UNDECIDED, Outcome.NOT_SHOWN, Outcome.NOT_MET, Outcome.NOT_APPLICABLE)


@dataclass(frozen=True)
class Joined:
    """A clause judged: one outcome per subject, and the findings with the routes not taken set aside."""

    outcomes: tuple[ClauseOutcome, ...]
    findings: tuple[Finding, ...]


def join(
    clause: DemandedClause, demands: Sequence[Demand], findings: Sequence[Finding], case: Case
) -> Joined:
    """Join a clause's findings by its rule.

    Args:
        clause: the clause with its rule.
        demands: the demands of that clause.
        findings: every finding of those demands.
        case: for what belongs to what.
    """
    names = {demand.requirement: demand.criterion.id for demand in demands}
    judged = {names[finding.requirement] for finding in findings}
    taken: dict[str, str | None] = {}
    outcomes = []
    for subject in _subjects(demands, findings, case):
        own = [
            one for one in findings if subject in lineage(one.subject, case.record) or one.subject == VEHICLE
        ]
        by_name: dict[str, list[Outcome]] = {}
        for finding in own:
            by_name.setdefault(names[finding.requirement], []).append(finding.outcome)
        route = _route(clause, by_name)
        taken[subject] = route
        always = [name for name in _always(clause, names.values()) if name in by_name or name not in judged]
        outcome = all_of(_outcomes([*always, *_criteria(clause, route)], by_name))
        outcomes.append(
            ClauseOutcome(
                pack=clause.source, clause=clause.clause, subject=subject, outcome=outcome, route=route
            )
        )
    return Joined(tuple(outcomes), tuple(_set_aside(clause, one, names, taken, case) for one in findings))


def _subjects(demands: Sequence[Demand], findings: Sequence[Finding], case: Case) -> tuple[str, ...]:
    """Each position where the clause asks of positions, and likewise; the vehicle where it asks of unlike things."""
    kinds = {demand.criterion.subject for demand in demands} - {SubjectKind.VEHICLE}
    if SubjectKind.POSITION in kinds:
        kinds -= {SubjectKind.SCREWS}  # screws belong to a position and count there
        positions = tuple(sorted(position.id for position in case.record.positions))
        return positions if len(kinds) == 1 else (VEHICLE,)
    own = tuple(sorted({finding.subject for finding in findings} - {VEHICLE}))
    return own if len(kinds) == 1 and own else (VEHICLE,)


def _route(clause: DemandedClause, by_name: Mapping[str, Sequence[Outcome]]) -> str | None:
    routes = clause.rule.routes
    if not routes:
        return None
    if clause.chosen_route in routes:
        return clause.chosen_route

    def rank(route: str) -> tuple[int, str]:
        # by name where two are equal: a file's own order does not survive canonical JSON
        return _BEST_FIRST.index(all_of(_outcomes(routes[route], by_name))), route

    return min(routes, key=rank)


def _outcomes(names: Sequence[str], by_name: Mapping[str, Sequence[Outcome]]) -> list[Outcome]:
    # a criterion that was asked of nothing here has shown nothing
    return [outcome for name in names for outcome in by_name.get(name, (Outcome.NOT_SHOWN,))]


def _criteria(clause: DemandedClause, route: str | None) -> tuple[str, ...]:
    return tuple(clause.rule.routes[route]) if route is not None else ()


def _always(clause: DemandedClause, names: Iterable[str]) -> tuple[str, ...]:
    """What every route needs: the rule's list, and whatever the rule does not name at all."""
    of_routes = {name for route in clause.rule.routes.values() for name in route}
    return tuple(dict.fromkeys([*clause.rule.all, *sorted(set(names) - of_routes)]))


def _set_aside(
    clause: DemandedClause,
    finding: Finding,
    names: Mapping[str, str],
    taken: Mapping[str, str | None],
    case: Case,
) -> Finding:
    name = names[finding.requirement]
    of_routes = {one for route in clause.rule.routes.values() for one in route}
    if name in clause.rule.all or name not in of_routes:
        return finding
    line = lineage(finding.subject, case.record)
    chosen = {
        route for subject, route in taken.items() if route and (subject in line or finding.subject == VEHICLE)
    }
    if any(name in clause.rule.routes[route] for route in chosen):
        return finding
    reason = because(
        "route-not-taken",
        taken=tuple(sorted(chosen)),
        compared=finding.outcome.value,
        compared_code=finding.reason.code,
    )
    return finding.model_copy(
        update={"outcome": Outcome.NOT_APPLICABLE, "reason": reason, "rests_on": (), "expires": None}
    )
