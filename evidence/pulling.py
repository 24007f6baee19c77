"""The course of a static pull as a dossier draws it: its columns as the record names and turns them."""

from collections.abc import Mapping
from dataclasses import dataclass

from evidence.errors import InputError
from evidence.exhibits._base import Reading
from evidence.exhibits.pull_log import PullColumn, PullLog
from evidence.labbench import Bench
from evidence.measure import pull
from evidence.model.names import ChannelUse, LabKind
from evidence.model.record import JobRecord, LabTest
from evidence.quantity import Dimension


@dataclass(frozen=True)
class Course:
    """What a log gives to draw.

    Attributes:
        pull: its values, turned where the record says ``reversed``.
        unit: of the force.
        travel_unit: of the displacement; empty where there is none.
    """

    pull: pull.Pull
    unit: str
    travel_unit: str = ""


def courses(record: JobRecord, readings: Mapping[str, Reading]) -> dict[str, Course]:
    """The course of every static pull of a job whose log can be drawn, by id of the test.

    Args:
        record: its tests.
        readings: files as read; a log is a table, or a set of channels.
    """
    bench = Bench(readings)
    found: dict[str, Course] = {}
    for test in record.tests:
        if test.kind != LabKind.STATIC_PULL or test.exhibit not in readings:
            continue
        try:
            made = course(test, bench.log(test))
        except InputError:
            continue  # the results of the test say why
        if made is not None:
            found[test.id] = made
    return found


def course(test: LabTest, log: PullLog) -> Course | None:
    """The course of one test; None where the log holds no force under the name that the record gives."""
    force = _column(test, ChannelUse.FORCE, log, Dimension.FORCE)
    travel = _column(test, ChannelUse.DISPLACEMENT, log, Dimension.LENGTH)
    if force is None:
        return None
    made = pull.of_columns(force[0].values, log.times_s, None if travel is None else travel[0].values)
    turned = pull.turned(made, force=force[1], travel=travel is not None and travel[1])
    return Course(turned, force[0].unit, "" if travel is None else travel[0].unit)


def _column(
    test: LabTest, use: ChannelUse, log: PullLog, dimension: Dimension
) -> tuple[PullColumn, bool] | None:
    """A column of a use, and whether it points the other way."""
    channel = next((channel for channel in test.channels if channel.use == use), None)
    column = None if channel is None else log.column(channel.name)
    if channel is None or column is None or column.dimension != dimension:
        return None
    return column, channel.sign == "reversed"
