"""Sets of measured channels as ISO/TS 13499 lays them out: ``.mme``, ``.chn`` and one file ``.001`` … per channel.

Reading is generous where laboratories differ in habit: line ends, encodings, how keys are spelt, keys that are not
there, where in the folder a file lies. It is strict where two places of the set contradict: each contradiction is a
Problem with file and line, and no verdict can rest on its channel. From memory of ISO/TS 13499 and from published
example headers.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from evidence.errors import InputError, Problem
from evidence.exhibits import _archive
from evidence.exhibits._answer import Answer, quoted, refuse
from evidence.exhibits._archive import Files
from evidence.exhibits._channel import Channel, ChannelSet, set_answer
from evidence.exhibits._mme_channel import ChannelFile, channel_of, check_file, is_reference
from evidence.exhibits._mme_parts import is_numbered, is_part, suffix
from evidence.exhibits._mme_text import TextFile, read_text

MAX_CHANNELS = 999
NO_TEST_HEADER = "mme-header-missing"
NO_LIST = "mme-list-missing"

_TITLE = ("title", "laboratorytestreferencenumber", "customertestreferencenumber", "typeofthetest")
_LISTED = re.compile(r"nameofchannel0*([1-9][0-9]{0,3})", re.ASCII)


@dataclass
class _Parts:
    """The files of one test by what they are; channel files by their number."""

    header: TextFile | None
    listing: TextFile | None
    channels: dict[int, TextFile]


def answer(data: bytes, where: str) -> Answer:
    """Read a zipped set; see ``_channel.set_answer``.

    Raises:
        InputError: as ``parse``.
    """
    return set_answer(parse(data, where))


def parse(data: bytes, where: str) -> ChannelSet:
    """Read a zipped set without unpacking it to anywhere.

    Args:
        data: the whole archive.
        where: name for messages; a problem in a line is at ``where/path:line``.

    Raises:
        InputError: as ``_archive.members`` and ``read``.
    """
    return read(_archive.members(data, where, is_part), where)


def read(files: Files, where: str) -> ChannelSet:
    """Read the files of one set.

    Args:
        files: path and content; those that are no part of a set are passed over.
        where: name of the set for messages.

    Returns:
        The channels whose numbers can be read, and every problem found.

    Raises:
        InputError: mme-absent where no file is part of a set, mme-several-tests, mme-too-many-channels, or every
            problem where no channel is left.
    """
    parts = _parts(sorted((name, data) for name, data in files if is_part(name)), where)
    listed = _check_list(parts)
    if parts.header is None and parts.listing is None and not any(f.entries for f in parts.channels.values()):
        refuse("mme-absent", where)
    named = {number: ChannelFile(number, text) for number, text in sorted(parts.channels.items())}
    for number, one in named.items():
        check_file(one, listed.get(number))
    references = [one for one in named.values() if is_reference(one)]
    channels = [
        channel
        for one in named.values()
        if one not in references and (channel := channel_of(one, references)) is not None
    ]
    texts = [text for text in (parts.header, parts.listing, *parts.channels.values()) if text is not None]
    problems = [problem for text in texts for problem in text.problems]
    problems += _mixed(channels)
    if not channels:
        raise InputError(problems or [Problem("mme-no-channels", where)])
    title = parts.header.value(*_TITLE) if parts.header is not None else None
    found = tuple(sorted(problems, key=Problem.order))
    return ChannelSet(tuple(channels), found, _notices(parts), title or "")


def _parts(files: Files, where: str) -> _Parts:
    if not files:
        refuse("mme-absent", where)
    headers = [name for name, _ in files if name.casefold().endswith(".mme")]
    lists = [name for name, _ in files if name.casefold().endswith(".chn")]
    numbered = {name: int(suffix(name)[1:]) for name, _ in files if is_numbered(name)}
    if len(headers) > 1 or len(lists) > 1 or len(set(numbered.values())) != len(numbered):
        several = headers if len(headers) > 1 else lists if len(lists) > 1 else _doubled(numbered)
        refuse("mme-several-tests", where, found=quoted(", ".join(several)))
    if len(numbered) > MAX_CHANNELS:
        refuse("mme-too-many-channels", where, found=str(len(numbered)), limit=str(MAX_CHANNELS))
    texts = {name: read_text(data, f"{where}/{name}", samples=name in numbered) for name, data in files}
    return _Parts(
        texts[headers[0]] if headers else None,
        texts[lists[0]] if lists else None,
        {number: texts[name] for name, number in numbered.items()},
    )


def _doubled(numbered: dict[str, int]) -> list[str]:
    numbers = list(numbered.values())
    return [name for name, number in numbered.items() if numbers.count(number) > 1]


def _check_list(parts: _Parts) -> dict[int, str]:
    """What the list of channels says of each number; its contradictions with the files are noted in it."""
    listing = parts.listing
    if listing is None:
        return {}
    listed = {
        int(match[1]): entry for key, entry in listing.entries.items() if (match := _LISTED.fullmatch(key))
    }
    count = listing.value("numberofchannels")
    if count is not None and listed and count != str(len(listed)):
        listing.wrong("mme-list-count", "numberofchannels", found=count, expected=str(len(listed)))
    for number, entry in listed.items():
        if number not in parts.channels:
            listing.wrong(
                "mme-channel-missing",
                f"nameofchannel{number:03d}",
                f"nameofchannel{number}",
                number=f"{number:03d}",
                found=entry.value,
            )
    if listed:
        for number, text in parts.channels.items():
            if number not in listed:
                text.wrong("mme-channel-unlisted", number=f"{number:03d}")
    return {number: entry.value for number, entry in listed.items()}


def _mixed(channels: Sequence[Channel]) -> list[Problem]:
    """One problem for each channel that is sampled otherwise than the most, or than the first of two equal shares."""
    intervals = [channel.interval_s for channel in channels]
    if len(set(intervals)) <= 1:
        return []
    usual = max(intervals, key=lambda one: (intervals.count(one), -intervals.index(one)))
    return [
        Problem(
            "mme-mixed-sampling",
            channel.where,
            "",
            {"found": str(float(channel.interval_s)), "expected": str(float(usual))},
        )
        for channel in channels
        if channel.interval_s != usual
    ]


def _notices(parts: _Parts) -> tuple[str, ...]:
    noticed = {NO_TEST_HEADER} if parts.header is None else set()
    noticed |= {NO_LIST} if parts.listing is None else set()
    for text in (parts.header, parts.listing):
        noticed |= text.notices if text is not None else set()
    return tuple(sorted(noticed))
