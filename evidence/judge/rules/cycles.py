"""Rules on repeated checks: a log that says something else, and an end that moved more than the recorded play."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import contradiction
from evidence.judge._rework import current, of_cycles, reopened
from evidence.judge._rounding import beyond
from evidence.judge._scope import lineage
from evidence.judge._uncertainty import of_characteristic
from evidence.judge.case import Case
from evidence.model.exhibit import Column
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Severity
from evidence.model.record import Characteristic, Cycles
from evidence.model.work import EndReading
from evidence.quantity import Quantity, read_decimal

GOOD = frozenset({"ok", "good", "pass", "passed", "without fault", "no fault", "faultless", "in order"})
"""Headings of a column that has 1 for a cycle without fault and 0 for one with a fault."""
BAD = frozenset({"fault", "faults", "fail", "failed", "failure", "not ok", "nok"})
"""Headings of a column that has it the other way round."""


def log_differs(case: Case) -> Iterator[Contradiction]:
    """A table of cycles, one row each, has another number of rows or faults than the entries that name it."""
    logs = sorted({one.log for one in case.record.cycles if one.log is not None})
    for log in logs:
        item = case.items.get(log)
        if item is None or item.table is None or exhibit_stop(log, case) is not None:
            continue  # of a scan nothing is compared
        entries = [one for one in case.record.cycles if one.log == log]
        yield from _rows(log, item.table.rows, entries)
        faults = _faults(log, item.table.columns, case)
        if isinstance(faults, str):
            yield _unread(log, entries, faults)
        elif item.table.rows == sum(one.done for one in entries):
            yield from _counted(log, faults, entries)


def _rows(log: str, rows: int, entries: Sequence[Cycles]) -> Iterator[Contradiction]:
    done = sum(one.done for one in entries)
    if rows != done:
        yield _differs("cycle-log-differs", log, entries, (str(rows), str(done)))


def _counted(log: str, faults: int, entries: Sequence[Cycles]) -> Iterator[Contradiction]:
    recorded = sum(one.done - one.without_fault for one in entries)
    if faults != recorded:
        yield _differs("cycle-log-faults-differ", log, entries, (str(faults), str(recorded)))


def _differs(code: str, log: str, entries: Sequence[Cycles], both: tuple[str, str]) -> Contradiction:
    what = "rows" if code == "cycle-log-differs" else "faults"
    field = "done" if code == "cycle-log-differs" else "faults"
    names = tuple(one.id for one in entries)
    return contradiction(
        ContradictionRule.CYCLE_LOG_DIFFERS,
        names[0],
        (Place(where=f"{log}.{what}", value=both[0]), Place(where=f"{names[0]}.{field}", value=both[1])),
        exhibits=(log,),
        code=code,
        exhibit=log,
        entries=names,
        found=both[0],
        recorded=both[1],
    )


def _unread(log: str, entries: Sequence[Cycles], columns: str) -> Contradiction:
    names = tuple(one.id for one in entries)
    return contradiction(
        ContradictionRule.CYCLE_LOG_DIFFERS,
        names[0],
        (Place(where=f"{log}.columns", value=columns), Place(where=f"{names[0]}.log", value=log)),
        severity=Severity.NOTICE,
        exhibits=(log,),
        code="cycle-log-unread",
        exhibit=log,
        entries=names,
        columns=columns,
    )


def _faults(log: str, columns: Sequence[Column], case: Case) -> int | str:
    """Number of rows with a fault, or the headings where no column, or more than one reading of them, says so."""
    found: set[int] = set()
    for column, values in zip(columns, case.tables.get(log, ()), strict=False):
        words = " ".join(column.name.casefold().replace("_", " ").replace("-", " ").split())
        if column.kind is not None or column.unit is not None or words not in GOOD | BAD:
            continue
        numbers = [read_decimal(value) for value in values]
        if any(number not in (0, 1) for number in numbers):
            return _headings(columns)
        ones = int(sum(numbers, Fraction(0)))
        found.add(ones if words in BAD else len(numbers) - ones)
    return found.pop() if len(found) == 1 else _headings(columns)


def _headings(columns: Sequence[Column]) -> str:
    return ", ".join(column.name for column in columns)[:100]


def end_reading_beyond(case: Case) -> Iterator[Contradiction]:
    """One end moved more than the play that is recorded for that way, beyond rounding and uncertainty."""
    for cycles in sorted(case.record.cycles, key=lambda one: one.id):
        if reopened(of_cycles(cycles), cycles.subject, case) is not None:
            continue  # what is out of date contradicts nothing
        for way in sorted({reading.way for reading in cycles.ends}):
            readings = [one for one in cycles.ends if one.way == way and isinstance(one.play, Quantity)]
            recorded = _recorded(f"play-{way}", cycles.subject, case)
            if readings and recorded is not None:
                yield from _beyond(cycles, max(readings, key=_play), recorded, case)


def _play(reading: EndReading) -> Fraction:
    return reading.play.base if isinstance(reading.play, Quantity) else Fraction(-1)


def _recorded(name: str, subject: str, case: Case) -> Characteristic | None:
    """The largest value that is recorded for the place; None where none is, or one of them is not known."""
    line = lineage(subject, case.record)
    found = [one for one in case.record.characteristics if one.name == name and one.subject in line]
    counting = current(found, subject, case)
    known = [(one.quantity.base, one.id, one) for one in counting if one.quantity is not None]
    return max(known)[2] if known and len(known) == len(counting) else None


def _beyond(
    cycles: Cycles, reading: EndReading, recorded: Characteristic, case: Case
) -> Iterator[Contradiction]:
    value, play = recorded.quantity, reading.play
    if value is None or not isinstance(play, Quantity):
        return
    spread = of_characteristic(recorded, case.record).expanded
    if not beyond(play, value, Fraction(0) if spread is None else spread.base):
        return
    yield contradiction(
        ContradictionRule.END_READING_BEYOND,
        cycles.id,
        (
            Place(where=f"{recorded.id}.value", value=value.text),
            Place(where=f"{cycles.id}.ends.{reading.end}.{reading.way}", value=play.text),
        ),
        entry=recorded.id,
        use=cycles.id,
        end=reading.end,
        found=play.json(),
        recorded=value.json(),
    )
