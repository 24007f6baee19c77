"""Logs of static pulls: columns of force and travel, with or without times, at whatever moments they were written.

A hand gauge writes once a second, a rig writes when something changes; nothing here asks for even steps, because
nothing is filtered.
"""

from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from evidence.errors import InputError
from evidence.exhibits.channels import TIME_NAMES, Values, unit_of, with_time_unit
from evidence.model.exhibit import Column, Table
from evidence.quantity import UNITS, Dimension

NO_TIMES = "pull-no-times"
CLOCK_TIMES = "pull-clock-times"
REPEATED = "pull-times-repeat"
_ROWS = 2  # fewer are no course of anything


@dataclass(frozen=True)
class PullColumn:
    """One measured column.

    Attributes:
        name: its heading without the unit.
        unit: symbol of the unit table, else as the file spells it; empty where it names none.
        dimension: what it measures; None where the unit is missing or in no table.
        values: one double per row, in ``unit``.
    """

    name: str
    unit: str
    dimension: Dimension | None
    values: "array[float]"


@dataclass(frozen=True)
class PullLog:
    """A log as recorded; nothing in it was computed but the unit of the times.

    Attributes:
        columns: all but the times, in the order of the file.
        times_s: seconds, never decreasing; None where the log has none.
        tick_s: last digit of the printed times where several rows share one, else 0: nearer nobody knows them.
        where: name of the file for messages.
        notices: codes of what a reader should know, sorted.
    """

    columns: tuple[PullColumn, ...]
    times_s: "array[float] | None" = None
    tick_s: float = 0.0
    where: str = ""
    notices: tuple[str, ...] = ()

    def column(self, name: str) -> PullColumn | None:
        """The column of a heading, with or without its unit, else by its place from 1, the times not counted.

        None where there is no such column, or more than one.
        """
        wanted = name.casefold()
        same = [
            each
            for each in self.columns
            if wanted in (each.name.casefold(), f"{each.name} [{each.unit}]".casefold())
        ]
        if same:
            return same[0] if len(same) == 1 else None
        place = int(name) if name.isascii() and name.isdigit() and len(name) < 4 else 0  # noqa: PLR2004 - digits
        return self.columns[place - 1] if 1 <= place <= len(self.columns) else None


def of_table(table: Table, values: Values, where: str) -> PullLog:
    """The log in a table that was read.

    The times are the only column with a unit of time, or the first of several. A log without times keeps its forces
    and travels; a column of words or times of day is none of them.

    Args:
        table: its columns.
        values: one sequence of decimal strings per column.
        where: name of the file for messages.

    Raises:
        InputError: channel-time-unit, channel-one-sample, channel-none or pull-time-backwards.
    """
    columns = tuple(map(with_time_unit, table.columns))
    if table.rows < _ROWS:
        raise InputError.one("channel-one-sample", where, found=str(table.rows), expected=str(_ROWS))
    at = _time_column(columns, where)
    kept = [
        _column(column, values[index])
        for index, column in enumerate(columns)
        if column.kind is None and not _is_time(column)
    ]
    if not kept:
        raise InputError.one("channel-none", where)
    if at is None:
        clock = any(column.kind == "time" for column in columns)
        return PullLog(tuple(kept), where=where, notices=(CLOCK_TIMES if clock else NO_TIMES,))
    times, tick = _times(columns[at], values[at], where)
    return PullLog(tuple(kept), times, tick, where, (REPEATED,) if tick else ())


def _is_time(column: Column) -> bool:
    return (column.unit or "", Dimension.TIME) in UNITS and column.unit is not None


def _time_column(columns: Sequence[Column], where: str) -> int | None:
    numbers = [index for index, column in enumerate(columns) if column.kind is None]
    with_unit = [at for at in numbers if _is_time(columns[at])]
    if with_unit:
        return with_unit[0]
    named = [at for at in numbers if columns[at].name.casefold() in TIME_NAMES and columns[at].unit is None]
    if named:
        raise InputError.one("channel-time-unit", where, column=columns[named[0]].name)
    return None


def _times(column: Column, texts: Sequence[str], where: str) -> tuple["array[float]", float]:
    factor = float(UNITS[column.unit or "", Dimension.TIME].factor)
    printed = array("d", map(float, texts))
    shared = False
    for row, (earlier, later) in enumerate(pairwise(printed), start=2):
        if later < earlier:
            raise InputError.one(
                "pull-time-backwards", where, found=texts[row - 1], before=texts[row - 2], row=str(row)
            )
        shared = shared or later == earlier
    decimals = max(len(text.partition(".")[2]) for text in texts)
    tick = 10.0**-decimals * factor if shared else 0.0
    return (printed if factor == 1 else array("d", (time * factor for time in printed))), tick


def _column(column: Column, texts: Sequence[str]) -> PullColumn:
    unit, dimension = unit_of(column.unit or "", None)
    return PullColumn(column.name, unit, dimension, array("d", map(float, texts)))
