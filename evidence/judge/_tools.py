"""What a tool cannot have done: a torque outside the range that it is made for."""

from evidence.judge._evidence import Stop, unreadable
from evidence.judge._uncertainty import in_range, instrument_of
from evidence.model.finding import Parameter
from evidence.model.record import Instrument, JobRecord
from evidence.quantity import Quantity

_OPEN = "\u2013"


def range_stop(entry: str, torque: Quantity, tool: str, record: JobRecord) -> Stop | None:
    """Why a torque was not measured by the tool it was tightened with, or None; a range that is not stated holds all.

    Args:
        entry: the screw.
        torque: as recorded.
        tool: id of the instrument.
        record: for the instrument.
    """
    instrument = instrument_of(tool, record)
    if instrument is None or in_range(torque, instrument):
        return None
    low, high = (_end(instrument, text) for text in (instrument.range_low, instrument.range_high))
    return unreadable(
        "outside-tool-range", entry=entry, value=torque.json(), instrument=tool, low=low, high=high
    )


def _end(instrument: Instrument, text: str | None) -> Parameter:
    end = instrument.quantity(text)
    return end.json() if end is not None else _OPEN
