"""The files of one ISO/TS 13499 set as a test house writes them, from channels of numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from evidence.exhibits._archive import packed

LABORATORY = "Millrace Test House"
_NEWLINE = "\r\n"
_KEY = 28  # columns of a key


@dataclass(frozen=True)
class LabChannel:
    """One channel to be written.

    Attributes:
        name: what the laboratory calls it.
        code: its sixteen characters.
        unit: as the file spells it.
        values: already rounded to ``decimals``.
        decimals: digits behind the point.
        header: keys that differ from what follows from the values; None leaves one out.
    """

    name: str
    code: str
    unit: str
    values: Sequence[float]
    decimals: int
    header: Mapping[str, str | None] = field(default_factory=dict)


@dataclass(frozen=True)
class Recording:
    """What holds for every channel of a set.

    Attributes:
        number: of the test; names its files.
        title, day: of the test.
        hertz: samples in a second.
        before: samples before the impact, which is at nought.
    """

    number: str
    title: str
    day: str
    hertz: int
    before: int


def set_files(recording: Recording, channels: Sequence[LabChannel]) -> list[tuple[str, bytes]]:
    """Path and content of every file, sorted by path."""
    name = recording.number
    files = [
        (f"{name}/{name}.mme", _header(recording)),
        (f"{name}/Channel/{name}.chn", _listing(channels)),
        *(
            (f"{name}/Channel/{name}.{at:03d}", _channel(recording, one))
            for at, one in enumerate(channels, 1)
        ),
    ]
    return sorted(files)


def set_zip(recording: Recording, channels: Sequence[LabChannel]) -> bytes:
    """The same as one zip, not compressed: what a library's version compresses to may differ."""
    return packed(set_files(recording, channels))


def _lines(fields: Mapping[str, str | None]) -> list[str]:
    return [f"{key:<{_KEY}}:{value}" for key, value in fields.items() if value is not None]


def _bytes(lines: Sequence[str]) -> bytes:
    return (_NEWLINE.join(lines) + _NEWLINE).encode("ascii")


def _header(recording: Recording) -> bytes:
    return _bytes(
        _lines(
            {
                "Data format edition number": "1.6",
                "Laboratory name": LABORATORY,
                "Laboratory test ref. number": recording.number,
                "Customer name": "Alder Point Handling",
                "Title": recording.title,
                "Type of the test": "Sled",
                "Date of the test": recording.day,
                "Number of test objects": "1",
            }
        )
    )


def _listing(channels: Sequence[LabChannel]) -> bytes:
    fields: dict[str, str | None] = {
        "Instrumentation standard": "SAE J211",
        "Number of channels": str(len(channels)),
    }
    fields |= {f"Name of channel {at:03d}": f"{one.code} / {one.name}" for at, one in enumerate(channels, 1)}
    return _bytes(_lines(fields))


def _channel(recording: Recording, one: LabChannel) -> bytes:
    great, small = max(one.values), min(one.values)
    fields: dict[str, str | None] = {
        "Test object number": "1",
        "Name of the channel": one.name,
        "Channel code": one.code,
        "Direction": one.code[14],
        "Dimension": one.code[12:14],
        "Channel frequency class": "unfiltered",
        "Pre-filter type": "4000",
        "Reference channel": "implicit",
        "Reference system": "SAE J1733",
        "Unit": one.unit,
        "Sampling interval": _second(recording, 1),
        "Time of first sample": _second(recording, -recording.before),
        "Number of samples": str(len(one.values)),
        "First global maximum value": f"{great:.{one.decimals}f}",
        "Time of maximum value": _second(recording, one.values.index(great) - recording.before),
        "First global minimum value": f"{small:.{one.decimals}f}",
        "Time of minimum value": _second(recording, one.values.index(small) - recording.before),
    }
    fields |= one.header
    return _bytes([*_lines(fields), *(f"{value:.{one.decimals}f}" for value in one.values)])


def _second(recording: Recording, samples: int) -> str:
    """A number of sampling intervals in seconds; whole hundred-thousandths, so no float decides a digit."""
    whole, part = divmod(abs(samples) * 100_000 // recording.hertz, 100_000)
    return f"{'-' if samples < 0 else ''}{whole}.{part:05d}"
