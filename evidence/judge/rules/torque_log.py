"""Rule on torque logs: the table that a tool or a person wrote does not hold the torques of the record.

A log has one row for each tightening and one column with a unit of torque. It may hold more rows than the record has
torques, because screws are tightened in passes; it may not hold fewer, nor lack a torque that is recorded.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from evidence.judge._identity import contradiction
from evidence.judge._rework import TORQUE, pieces
from evidence.judge._rounding import last_place
from evidence.judge._scope import related, screws_of
from evidence.judge.case import Case
from evidence.model.exhibit import Column, Table
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Role, Severity
from evidence.model.record import Screws
from evidence.quantity import UNITS, Dimension, Quantity, read_decimal

FOUND = frozenset({"torque", "found", "actual", "measured", "final", "peak", "reached"})
"""Words of the heading that tells what was reached, where another column has what was wanted."""


def differs(case: Case) -> Iterator[Contradiction]:
    """For each screw group that has logs of its own: too few rows, or a recorded torque that no row has."""
    for group in sorted(case.record.screws, key=lambda one: one.id):
        if _redone(group, case):
            continue  # which tightening a log is of, nobody can say
        logs = [
            (one.id, case.items[one.id].table)
            for one in pieces((Role.TORQUE_LOG,), group.id, case)
            if one.stop is None and one.id in case.items and _only(group, one.id, case)
        ]
        tables = [(name, table) for name, table in logs if table is not None]
        if tables and len(tables) == len(logs):
            yield from _compare(group, tables, case)


def _redone(group: Screws, case: Case) -> bool:
    torque_steps = {step.id for step in case.profile.steps if TORQUE in step.yields}
    return any(
        step.redo_of is not None
        and step.step in torque_steps
        and related(step.screws or step.subject, group.id, case.record)
        for step in case.record.steps
    )


def _only(group: Screws, exhibit: str, case: Case) -> bool:
    """Whether a log can be of no other group."""
    entry = next(one for one in case.record.exhibits if one.id == exhibit)
    return [one.id for one in screws_of(entry.subject, case.record)] == [group.id]


def _compare(group: Screws, tables: Sequence[tuple[str, Table]], case: Case) -> Iterator[Contradiction]:
    rows: list[_Rows] = []
    for name, table in tables:
        column = _column(table.columns)
        if column is None or name not in case.tables:
            yield _unread(group, name, table.columns)
            return
        rows.append(_logged(case.tables[name][column], table.columns[column].unit))
    audits = [one.torques for one in case.record.audits if one.screws == group.id]
    recorded = _known(group.torques)
    if not recorded or any(not _missing(_known(torques), rows) for torques in audits if _known(torques)):
        return  # it may be the log of an audit
    names = tuple(name for name, _ in tables)
    count = sum(len(log.steps) for log in rows)
    if count < len(recorded):
        yield _differs(group, names, "torque-log-too-short", str(count), str(len(recorded)))
    elif missing := _missing(recorded, rows):
        yield _differs(group, names, "torque-log-differs", _values(tables, case), missing[0].text)


def _column(columns: Sequence[Column]) -> int | None:
    """The one column of torques; of several, the one that says what was reached."""
    torques = [
        at
        for at, column in enumerate(columns)
        if column.kind is None and column.unit is not None and (column.unit, Dimension.TORQUE) in UNITS
    ]
    if len(torques) > 1:
        torques = [at for at in torques if FOUND & set(columns[at].name.casefold().replace("_", " ").split())]
    return torques[0] if len(torques) == 1 else None


def _logged(values: Sequence[str], unit: str | None) -> "_Rows":
    """The numbers of a log; programs drop zeros, so the finest one tells how they were rounded."""
    decimals = max(len(value.partition(".")[2]) for value in values)
    steps = sorted(int(Decimal(value).scaleb(decimals)) for value in values)
    return _Rows(steps, UNITS[unit or "", Dimension.TORQUE].factor / 10**decimals)


def _missing(recorded: Sequence[Quantity], logs: Sequence["_Rows"]) -> list[Quantity]:
    """Recorded torques for which no row is left, each row taken for one of them."""
    left = [_Rows(list(log.steps), log.worth) for log in logs]
    missing = []
    for torque in sorted(recorded, key=lambda one: one.base + last_place(one) / 2):
        half = last_place(torque) / 2
        found = [
            (log.worth * log.steps[at], log, at)
            for log in left
            if (at := log.within(torque.base, half)) is not None
        ]
        if found:
            _, log, at = min(found, key=lambda one: one[0])
            del log.steps[at]
        else:
            missing.append(torque)
    return missing


@dataclass(frozen=True)
class _Rows:
    """The torques of a log, counted in steps of its last digit, from the least on.

    Attributes:
        steps: how many steps each torque has.
        worth: of one step in the base unit.
    """

    steps: list[int]
    worth: Fraction

    def within(self, value: Fraction, half: Fraction) -> int | None:
        """Place of the least row that may be the value, half a step being rounded away from either."""
        least = ceil((value - half) / self.worth - Fraction(1, 2))
        most = (value + half) / self.worth + Fraction(1, 2)
        place = bisect_left(self.steps, least)
        return place if place < len(self.steps) and self.steps[place] <= most else None


def _values(tables: Sequence[tuple[str, Table]], case: Case) -> str:
    """Least and greatest of the logs, as they have them."""
    found = []
    for name, table in tables:
        column = _column(table.columns)
        if column is not None:
            unit = table.columns[column].unit or ""
            factor = UNITS[unit, Dimension.TORQUE].factor
            ends = (end(case.tables[name][column], key=Decimal) for end in (min, max))
            found += [(read_decimal(text) * factor, f"{text} {unit}") for text in ends]
    least, most = min(found)[1], max(found)[1]
    return least if least == most else f"{least} \u2013 {most}"


def _differs(group: Screws, logs: tuple[str, ...], code: str, found: str, recorded: str) -> Contradiction:
    what = "rows" if code == "torque-log-too-short" else "torques"
    return contradiction(
        ContradictionRule.TORQUE_LOG_DIFFERS,
        group.id,
        (
            Place(where=f"{logs[0]}.{what}", value=found),
            Place(where=f"{group.id}.torques", value=recorded),
        ),
        exhibits=logs,
        code=code,
        screws=group.id,
        logs=logs,
        found=found,
        recorded=recorded,
    )


def _unread(group: Screws, log: str, columns: Sequence[Column]) -> Contradiction:
    headings = ", ".join(f"{one.name} [{one.unit}]" if one.unit else one.name for one in columns)[:100]
    return contradiction(
        ContradictionRule.TORQUE_LOG_DIFFERS,
        group.id,
        (Place(where=f"{log}.columns", value=headings), Place(where=f"{group.id}.torques", value=log)),
        severity=Severity.NOTICE,
        exhibits=(log,),
        code="torque-log-unread",
        screws=group.id,
        exhibit=log,
        columns=headings,
    )


def _known(torques: Sequence[object]) -> list[Quantity]:
    return [torque for torque in torques if isinstance(torque, Quantity)]
