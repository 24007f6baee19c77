"""From when thread-locker cures: neither before it was applied nor before the screws had their final torque."""

from dataclasses import dataclass

from evidence.judge._evidence import Stop, time_stop
from evidence.judge._steps import Thread
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.times import Interval


@dataclass(frozen=True)
class Begun:
    """Something that must be over before curing counts.

    Attributes:
        entry: id of the screw group.
        at: when, or why that is not known.
        stop: why that is not known.
    """

    entry: str
    at: Interval | FieldState
    stop: Stop | None


def begun(thread: Thread, case: Case) -> tuple[Begun, ...]:
    """Final torque and thread-locker of a thread's screw group; nothing where the thread is of no group."""
    group = next((one for one in case.record.screws if one.id == thread.name), None)
    if group is None:
        return ()
    times = [(group.id, group.at)]
    if group.locker is not None:
        times.append((f"{group.id}.locker", group.locker.applied))
    return tuple(Begun(group.id, at, time_stop(name, at)) for name, at in times)
