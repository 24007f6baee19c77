"""A set of channels as the bundle describes it: nothing that a laboratory typed freely, because names stand there."""

from collections.abc import Sequence
from fractions import Fraction

from evidence.exhibits._base import claimed
from evidence.exhibits._channel import DEFAULT_AXES, Channel, ChannelSet
from evidence.exhibits._mme_code import read_code
from evidence.jsondoc import Json
from evidence.model.exhibit import MAX_UNIT, MAX_WARNINGS

DECIMALS = 15  # behind the point of a time in seconds


def fields_of(found: ChannelSet) -> dict[str, Json]:
    """Fields of ``Item.channels``; codes beyond what an item holds are cut, and the reader's child is not trusted."""
    return {
        "channels": [_entry(channel, place) for place, channel in enumerate(found.channels, 1)],
        "problems": [*_few({problem.code for problem in found.problems})],
    }


def warnings_of(found: ChannelSet) -> set[str]:
    """Codes of what was assumed or passed over in the set or in any of its channels."""
    noticed = {code for channel in found.channels for code in channel.notices} | set(found.notices)
    return set(_few(noticed)[: MAX_WARNINGS - 1])  # one place is left for the ending of the file's name


def stored_name(channel: Channel, place: int) -> str:
    """Name of a channel in an item: its code of sixteen characters, else its place in the set, counted from 1."""
    code = read_code(channel.name)
    return code.text if code else str(place)


def _entry(channel: Channel, place: int) -> dict[str, Json]:
    axes = None if channel.axes == DEFAULT_AXES else claimed(channel.axes)
    unit = (claimed(channel.unit) or "")[:MAX_UNIT].rstrip()
    return {
        "name": stored_name(channel, place),
        **({"unit": unit} if unit else {}),
        "samples": len(channel.values),
        "interval_s": seconds(channel.interval_s),
        "start_s": seconds(channel.start_s),
        "recorded": channel.recorded,
        **({"axes": axes} if axes else {}),
        "doubts": [*_few(channel.doubts)],
    }


def seconds(value: Fraction) -> str:
    """A time in seconds as a decimal without zeros at its end, rounded to ``DECIMALS`` where it is longer."""
    scaled = round(value * 10**DECIMALS)
    whole, part = divmod(abs(scaled), 10**DECIMALS)
    text = f"{whole}.{part:0{DECIMALS}d}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text


def _few(codes: Sequence[str] | set[str]) -> list[str]:
    return sorted(set(codes))[:MAX_WARNINGS]
