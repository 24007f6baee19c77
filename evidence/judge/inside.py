"""Type ``inside``: a channel of numbers stays inside a corridor at every sample that the corridor spans.

Of a test's channel the worst margin was computed before, see ``labtests``; it decides as it is. Of a table's columns it
is computed here.

The channel is taken as straight between its samples, so the corridor's own break points are looked at as well: a
channel of few samples cannot step over a corner. Exact fractions throughout.
"""

from collections.abc import Sequence
from fractions import Fraction

from evidence.judge._base import Look, Verdict, asked, decide, met_if, verdict
from evidence.judge._corridor import Margin, Points, spans, worst
from evidence.judge._evidence import Stop, Used, missing, unreadable
from evidence.judge._lab import lab_looks, with_result
from evidence.judge._rework import pieces
from evidence.judge._scope import fold
from evidence.judge.case import Case
from evidence.model.criterion import CorridorPoint, Inside
from evidence.model.exhibit import Column
from evidence.model.finding import Finding, Parameter
from evidence.model.names import Outcome, RestsOn, Role
from evidence.model.result import LabResult
from evidence.quantity import UNITS, Dimension, decimal_text, read_decimal
from evidence.register.demand import Demand

_MARGIN_STEP = Fraction(1, 1_000_000)  # printed step of a margin, rounded towards the worse side


def judge(demand: Demand, subject: str, case: Case) -> Finding:
    """Compare each table of numbers with the corridor; the worst margin and its place are in the reason."""
    criterion = asked(demand, Inside)
    if criterion.direction is None:
        return decide(demand, subject, case, lambda: _looks(criterion, subject, case))
    finding = decide(demand, subject, case, lambda: lab_looks(demand, subject, case, _margin))
    return with_result(finding, demand, case)


def _margin(result: LabResult) -> Verdict:
    """The worst margin of a test's channel; on the line is inside."""
    value, unit = result.value or "", result.unit or ""
    shown: dict[str, Parameter] = {
        "exhibit": result.exhibit,
        "test": result.test,
        "margin": {"unit": unit, "value": value},
        "at": {"unit": "s", "value": result.begin_s or ""},
        **({"bound": result.bound} if result.bound else {}),
    }
    if result.expanded_uncertainty is not None:
        shown["expanded_uncertainty"] = {"unit": unit, "value": result.expanded_uncertainty}
    return met_if(read_decimal(value) >= 0, "inside-corridor", "outside-corridor", **shown)


def _looks(criterion: Inside, subject: str, case: Case) -> Sequence[Look]:
    roles = criterion.evidence_from or (Role.TEST_CHANNEL,)
    found = [piece for piece in pieces(roles, subject, case) if not _is_of_a_test(criterion, piece.id, case)]
    if not found:
        return [Look(Used(), missing(roles, subject))]
    several = len(found) > 1
    return [
        Look(piece.used, piece.stop, name=piece.id)
        if piece.stop
        else _look(criterion, piece.id, case, several=several)
        for piece in found
    ]


def _is_of_a_test(criterion: Inside, exhibit: str, case: Case) -> bool:
    """Whether a file is a set of channels, or of a recorded test and without the columns that are asked here.

    Both share their role with plain tables and show nothing of what those show. A table with the columns stays, so
    that nobody takes a bad one out of sight by calling it a test.
    """
    item = case.items.get(exhibit)
    if item is None or item.channels is not None:
        return item is not None
    headings = {fold(column.name) for column in item.table.columns} if item.table else set()
    asked_for = {fold(criterion.x or ""), fold(criterion.y or "")}
    return any(test.exhibit == exhibit for test in case.record.tests) and not asked_for <= headings


def _look(criterion: Inside, exhibit: str, case: Case, *, several: bool) -> Look:
    name = exhibit if several else ""
    used = Used(frozenset({RestsOn.MEASURED}), exhibits=frozenset({exhibit}))
    channel = _channel(criterion, exhibit, case)
    if isinstance(channel, Stop):
        return Look(used, channel, name=name)
    corridors = [_polyline(points) for points in (criterion.upper, criterion.lower) if points]
    if criterion.limit == "held" and not all(spans(channel, corridor) for corridor in corridors):
        stop = Stop(
            Outcome.NOT_SHOWN, verdict(Outcome.NOT_SHOWN, "channel-too-short", exhibit=exhibit).reason
        )
        return Look(used, stop, name=name)
    return Look(used, compare=lambda: _compare(criterion, channel, exhibit), name=name)


def _channel(criterion: Inside, exhibit: str, case: Case) -> Points | Stop:
    item = case.items.get(exhibit)
    if item is None or item.table is None or exhibit not in case.tables:
        return unreadable("not-a-table", exhibit=exhibit)
    columns = []
    for name, unit in ((criterion.x or "", criterion.x_unit), (criterion.y or "", criterion.y_unit)):
        column = _column(name, unit, item.table.columns, exhibit)
        if isinstance(column, Stop):
            return column
        index, factor = column
        columns.append([read_decimal(text) * factor for text in case.tables[exhibit][index]])
    return sorted(zip(columns[0], columns[1], strict=True))


def _column(name: str, unit: str, columns: Sequence[Column], exhibit: str) -> tuple[int, Fraction] | Stop:
    found = [
        index
        for index, column in enumerate(columns)
        if column.kind is None and fold(column.name) == fold(name)
    ]
    if len(found) != 1:
        return unreadable("column-missing", exhibit=exhibit, column=name)
    heading = columns[found[0]].unit
    if heading is None:
        return unreadable("column-unit-missing", exhibit=exhibit, column=name, expected=unit)
    factor = conversion(heading, unit)
    if factor is None:
        return unreadable("column-unit", exhibit=exhibit, column=name, found=heading, expected=unit)
    return found[0], factor


def conversion(found: str, wanted: str) -> Fraction | None:
    """Exact factor from one unit to another of the same dimension; None where there is none.

    ``g`` is a mass and an acceleration: the other unit decides which.
    """
    if found == wanted:
        return Fraction(1)
    shared = [one for one in Dimension if (found, one) in UNITS and (wanted, one) in UNITS]
    if not shared:
        return None
    return UNITS[found, shared[0]].factor / UNITS[wanted, shared[0]].factor


def _polyline(points: Sequence[CorridorPoint]) -> Points:
    return [(read_decimal(point.x), read_decimal(point.y)) for point in points]


def _compare(criterion: Inside, channel: Points, exhibit: str) -> Verdict:
    upper, lower = _polyline(criterion.upper), _polyline(criterion.lower)
    if any(line != sorted(line, key=lambda point: point[0]) for line in (upper, lower)):
        return verdict(Outcome.UNDECIDED, "corridor-unordered")
    margin = worst(channel, upper, lower)
    shown: dict[str, Parameter] = {
        "exhibit": exhibit,
        "margin": {"unit": criterion.y_unit, "value": _rounded_down(margin)},
        "at": {"unit": criterion.x_unit, "value": decimal_text(margin.x)},
    }
    if margin.value >= 0:
        return verdict(Outcome.MET, "inside-corridor", **shown)
    return verdict(Outcome.NOT_MET, "outside-corridor", **shown)


def _rounded_down(margin: Margin) -> str:
    steps = margin.value // _MARGIN_STEP  # floor: a margin just below zero never prints as zero
    return decimal_text(steps * _MARGIN_STEP)
