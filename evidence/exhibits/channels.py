"""Channels of a table: one column of times, the others measured at them."""

import re
from array import array
from collections.abc import Sequence
from fractions import Fraction

from evidence.errors import InputError, Problem
from evidence.exhibits._answer import Answer, quoted
from evidence.exhibits._channel import (
    DEFAULT_AXES,
    Channel,
    ChannelSet,
    Recorded,
    even_steps,
    set_answer,
    set_of_answer,
    unit_of,
)
from evidence.exhibits._mme_code import filter_of_heading, read_code
from evidence.model.exhibit import Column, Table
from evidence.quantity import UNITS, Dimension

__all__ = [
    "DEFAULT_AXES",
    "Answer",
    "Channel",
    "ChannelSet",
    "Recorded",
    "of_table",
    "set_answer",
    "set_of_answer",
    "unit_of",
]

TIME_NAMES = ("time", "t", "zeit", "temps")
_TIME_WITH_UNIT = re.compile(rf"(?:{'|'.join(TIME_NAMES)})[ _]?(?P<unit>s|sec|ms|msec)", re.IGNORECASE)

Values = Sequence[Sequence[str]]
"""One sequence of decimal strings per column, as a table's reading gives them."""


def of_table(table: Table, values: Values, where: str) -> ChannelSet:
    """The channels of a table that was read.

    The times are the only column with a unit of time, or the first of several. A column of words or dates is no
    channel. What a column was filtered with is undeclared unless its heading says it: ``CFC 60``, ``unfiltered``, or
    a channel code of sixteen characters.

    Args:
        table: its columns.
        values: one sequence of decimal strings per column.
        where: name of the file for messages.

    Raises:
        InputError: channel-no-time, channel-time-unit, channel-one-sample, channel-uneven or channel-none.
    """
    columns = tuple(map(with_time_unit, table.columns))
    at = _time_column(columns, where)
    start, interval = _timing(columns[at], values[at], where)
    channels = []
    problems = []
    for index, column in enumerate(columns):
        if index == at or column.kind is not None:
            continue
        channel = _channel(column, values[index], where, (start, interval))
        if channel.dimension == Dimension.TIME:
            continue  # a second clock
        if channel.dimension is None:
            problems.append(_unit_problem(column, where))
        channels.append(channel)
    if not channels:
        raise InputError.one("channel-none", where)
    return ChannelSet(tuple(channels), tuple(problems))


def with_time_unit(column: Column) -> Column:
    """The column, with the unit that programs without brackets write behind it: ``Time_ms``."""
    found = _TIME_WITH_UNIT.fullmatch(column.name)
    if column.unit is not None or column.kind is not None or found is None:
        return column
    return Column(name=column.name, unit=unit_of(found["unit"], Dimension.TIME)[0])


def _time_column(columns: Sequence[Column], where: str) -> int:
    numbers = [index for index, column in enumerate(columns) if column.kind is None]
    with_unit = [
        at for at in numbers if (columns[at].unit or "", Dimension.TIME) in UNITS and columns[at].unit
    ]
    if with_unit:
        return with_unit[0]
    named = [at for at in numbers if columns[at].name.casefold() in TIME_NAMES]
    if named and columns[named[0]].unit is None:
        raise InputError.one("channel-time-unit", where, column=columns[named[0]].name)
    raise InputError.one("channel-no-time", where, found=", ".join(column.name for column in columns)[:200])


def _timing(column: Column, texts: Sequence[str], where: str) -> tuple[Fraction, Fraction]:
    factor = UNITS[column.unit or "", Dimension.TIME].factor
    if len(texts) < 2:  # noqa: PLR2004 - an interval has two ends
        raise InputError.one("channel-one-sample", where, found=str(len(texts)), expected="2")
    decimals = max(len(text.partition(".")[2]) for text in texts)
    steps = even_steps(list(map(float, texts)), (Fraction(texts[0]), Fraction(texts[-1])), decimals)
    if isinstance(steps, int):
        raise InputError.one(
            "channel-uneven", where, found=texts[steps], before=texts[steps - 1], row=str(steps + 1)
        )
    return steps[0] * factor, steps[1] * factor


def _channel(column: Column, texts: Sequence[str], where: str, timing: tuple[Fraction, Fraction]) -> Channel:
    code = read_code(column.name)
    unit, dimension = unit_of(column.unit or "", code.dimension if code else None)
    return Channel(
        name=code.text if code else column.name,
        title="",
        unit=unit,
        dimension=dimension,
        start_s=timing[0],
        interval_s=timing[1],
        values=array("d", map(float, texts)),
        recorded=filter_of_heading(column.name),
        where=where,
    )


def _unit_problem(column: Column, where: str) -> Problem:
    if column.unit is None:
        return Problem("channel-unit-missing", where, "", {"column": column.name})
    return Problem("channel-unit-unknown", where, "", {"column": column.name, "found": quoted(column.unit)})
