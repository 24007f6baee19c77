"""What a file of measured channels shows, and the entry of the record that says which test it is of."""

import json
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from evidence.errors import InputError, Problem, printable
from evidence.exhibits._channel import Channel, ChannelSet
from evidence.exhibits._channel_item import seconds
from evidence.exhibits._mme_code import read_code
from evidence.exhibits.reading import channel_set
from evidence.filing import Added
from evidence.model.names import ChannelUse, LabDirection, LabKind, Role
from evidence.model.record import JobRecord
from evidence.phrases import knows, say
from evidence.quantity import Dimension
from evidence.record.edit import next_id

ROLES = frozenset({Role.TEST_CHANNEL, Role.PULL_LOG})
MAX_CHANNELS = 12  # told and offered for the record; a screen has no more lines to spare
MAX_FILES = 3  # named of those that were left out
_DIGITS = 6  # significant ones of a value
_PLAIN = re.compile(r"[A-Za-z0-9]+", re.ASCII)  # every scalar of a record is read as text
# from memory of ISO/TS 13499: main locations stand in places 3 to 6 of a channel code
_CARRIER, _BODY = frozenset({"SLED", "VEHC"}), frozenset({"HEAD", "NECK", "CHST", "THSP", "PELV"})
_USES = {
    Dimension.ACCELERATION: "<pulse or occupant>",
    Dimension.FORCE: "force",
    Dimension.LENGTH: "<excursion or displacement>",
}


def channels_of(added: Added) -> ChannelSet | None:
    """The channels of what was filed; None where it is not filed as such, or no channels over time stand in it."""
    if added.reading is None or added.entry.role not in ROLES:
        return None
    try:
        return channel_set(added.reading)
    except InputError:  # a table of something else over something else is evidence too
        return None


def problems_of(added: Added, found: ChannelSet) -> tuple[Problem, ...]:
    """What is wrong with the channels, at the place where whoever added them finds it; a table has its own rows."""
    if added.item.table is None:
        return found.problems
    place = str(added.source)
    return tuple(Problem(each.code, place, each.pointer, each.parameters) for each in found.problems)


def told(added: Added, found: ChannelSet) -> Iterator[str]:
    """Lines on a set: how much, how fast, from where to where each channel goes, what was left out of a folder."""
    count = {"count": str(len(found.channels)), "title": printable(found.title)}
    words = "shows-columns" if added.item.table else "shows-set" if found.title else "shows-set-nameless"
    yield say(words if len(found.channels) != 1 else f"{words}-one", count)
    rates = list(dict.fromkeys(_sampling(one) for one in found.channels))
    yield from rates[:MAX_CHANNELS]
    shown = found.channels[:MAX_CHANNELS]
    width = max(len(_name(found, one)) for one in shown)
    for place, one in enumerate(shown, 1):
        yield f"  {_line(place, _name(found, one).ljust(width), one)}"
    file = {"file": printable(str(added.source))}
    if len(found.channels) > len(shown):
        more = {**file, "count": str(len(found.channels) - len(shown))}
        yield f"  {say('shows-channels-more', more)}"
    else:
        yield say("shows-set-raw", file)
    if added.left_out:
        yield _left_out(added.left_out)


def doubted(found: ChannelSet) -> str:
    """That a set with faults is filed, and on which of its channels nothing is judged."""
    names = [_name(found, one) for one in found.channels if one.doubts]
    return say("shows-set-faulty", {"channels": names}) if names else say("shows-set-incomplete")


def _sampling(one: Channel) -> str:
    end = one.start_s + (len(one.values) - 1) * one.interval_s
    times = {"interval": seconds(one.interval_s), "begin": seconds(one.start_s), "end": seconds(end)}
    return say("shows-sampling", {"samples": str(len(one.values)), **times})


def _line(place: int, name: str, one: Channel) -> str:
    least, greatest = min(one.values), max(one.values)
    far = greatest if abs(greatest) >= abs(least) else least
    at = one.start_s + one.values.index(far) * one.interval_s
    values = {"least": f"{least:.{_DIGITS}g}", "greatest": f"{greatest:.{_DIGITS}g}", "unit": one.unit}
    recorded = f"dossier-recorded-{one.recorded}"
    how = say(recorded) if knows(recorded) else say("dossier-recorded-class", {"cfc": one.recorded})
    told_at = seconds(Fraction(round(at, 6)))
    return printable(
        say("shows-channel", {"place": str(place), "name": name, **values, "at": told_at, "recorded": how})
    )


def _left_out(names: Sequence[str]) -> str:
    few = [printable(name) for name in names[:MAX_FILES]]
    if len(names) <= MAX_FILES:
        return say("shows-left-out", {"files": few})
    return say("shows-left-out-more", {"files": few, "count": str(len(names) - MAX_FILES)})


# ── the record's entry ──────────────────────────────────────────────────────────────────────────────────────


def entry_lines(record: JobRecord, added: Added, found: ChannelSet) -> list[str]:
    """What to write into job.yaml about the test; nothing where a test of the record names the file already."""
    entry, headings = added.entry, added.item.table is not None
    if any(test.exhibit == entry.id for test in record.tests):
        return []
    dimensions = {one.dimension for one in found.channels}
    kind = f"<{' or '.join(each.value for each in LabKind)}>"
    if Dimension.ACCELERATION in dimensions:
        kind = LabKind.DYNAMIC.value
    elif Dimension.FORCE in dimensions:
        kind = LabKind.STATIC_PULL.value
    *first, last = (each.value for each in LabDirection)
    lines = [
        f"  - id: {next_id(record, 't')}",
        f"    kind: {kind}",
        f"    subject: {entry.subject}",
        f"    direction: <{', '.join(first)} or {last}>",
        f"    exhibit: {entry.id}",
        "    channels:",
    ]
    offered, others = [], []
    for use, names in _by_use(found, kind, headings=headings).items():
        count = (
            2 if " or " in use else 1
        )  # a use stands once in a test; where two are possible, two channels may count
        offered += [f"      - {{use: {use}, name: {_yaml(name)}}}" for name in names[:count]]
        others += [_yaml(name) for name in names[count:]]
    offered = offered or [
        "      - {use: <pulse, occupant, excursion, force or displacement>, name: <channel>}"
    ]
    begun = [say("next-test-more")] if record.tests else [say("next-test"), "tests:"]
    shown = [*others[:MAX_CHANNELS], *(["..."] if len(others) > MAX_CHANNELS else [])]
    ended = [say("next-test-others", {"channels": shown})] if others else []
    return [*begun, *lines, *offered, *ended, say("next-test-paper")]


def _by_use(found: ChannelSet, kind: str, *, headings: bool) -> dict[str, list[str]]:
    """Names of channels that a test can have, by what they may be of; those in the direction of the sled first."""
    fitting = [one for one in found.channels if one.dimension in _USES and not one.doubts]
    ways = {_way(one) for one in fitting if _use(one, kind) == "pulse"}
    uses: dict[str, list[str]] = {}
    for one in sorted(fitting, key=lambda one: _way(one) not in ways):
        uses.setdefault(_use(one, kind), []).append(_wanted(found, one, headings=headings))
    return dict(sorted(uses.items(), key=lambda pair: list(ChannelUse).index(ChannelUse(_first(pair[0])))))


def _first(use: str) -> str:
    return use.strip("<>").split(" or ")[0]


def _way(one: Channel) -> str:
    """Direction by the channel code; empty where it has none."""
    code = read_code(one.name)
    return code.direction if code else ""


def _use(one: Channel, kind: str) -> str:
    code = read_code(one.name)
    place = code.text[2:6] if code else ""
    if kind == LabKind.STATIC_PULL and one.dimension == Dimension.LENGTH:
        return "displacement"
    if one.dimension == Dimension.ACCELERATION and place in _CARRIER | _BODY:
        return "pulse" if place in _CARRIER else "occupant"
    return _USES[one.dimension] if one.dimension else ""


def _wanted(found: ChannelSet, one: Channel, *, headings: bool) -> str:
    """The name for the record: what a laboratory typed freely may hold a name, and the record is printed for all."""
    name = _name(found, one)
    return name if headings or read_code(name) else _place(found, one)


def _name(found: ChannelSet, one: Channel) -> str:
    """Its code or heading, and where two channels share it, its place in the set, from 1."""
    same = [each for each in found.channels if each.name.casefold() == one.name.casefold()]
    return one.name if len(same) == 1 else _place(found, one)


def _place(found: ChannelSet, one: Channel) -> str:
    return str(next(at for at, each in enumerate(found.channels, 1) if each is one))


def _yaml(name: str) -> str:
    return name if _PLAIN.fullmatch(name) else json.dumps(name, ensure_ascii=False)
