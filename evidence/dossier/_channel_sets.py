"""Sets of measured channels among the evidence files: what was recorded how, and what in the files contradicts."""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    mono,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    strong,
    table,
)
from evidence.dossier._input import Data, DossierInput
from evidence.dossier._words import Teller, text
from evidence.model.exhibit import ChannelEntry, Channels
from evidence.phrases import knows

MAX_ROWS = 40  # channels printed of one set; the item's file has all of them


def content(channels: Channels, tell: Teller) -> str:
    """What the list of files says of a set."""
    return tell.count("content-set", len(channels.channels))


def sets(source: DossierInput, tell: Teller) -> list[Block]:
    """One table for each set of channels, by file; nothing where there is none."""
    found = [
        (exhibit.id, item.channels)
        for exhibit in source.manifest.exhibits
        if (item := source.items.get(exhibit.id)) is not None and item.channels is not None
    ]
    if not found:
        return []
    blocks: list[Block] = [heading(tell("sets-heading")), paragraph(text(tell("sets-lead")), "muted")]
    for exhibit, channels in found:
        blocks += _set(exhibit, channels, tell)
    return blocks


def _set(exhibit: str, channels: Channels, tell: Teller) -> list[Block]:
    heads = [
        column(tell("head-set-channel", id=exhibit), mm=44),
        column(tell("head-set-samples"), mm=40),
        column(tell("head-set-recorded"), mm=42),
        column(tell("head-set-doubts")),
    ]
    shown = channels.channels[:MAX_ROWS]
    alike: dict[tuple[object, ...], list[ChannelEntry]] = {}
    for each in shown:
        same = (each.samples, each.start_s, each.interval_s, each.recorded, each.axes, each.doubts)
        alike.setdefault(same, []).append(each)
    blocks: list[Block] = [table(heads, [_row(group, tell) for group in alike.values()])]
    more = len(channels.channels) - len(shown)
    notes = [tell.count("set-more", more)] if more else []
    doubted = {code for each in shown for code in each.doubts}
    if others := [code for code in channels.problems if code not in doubted]:
        notes.append(tell("set-problems", reasons=_reasons(others, tell)))
    return [*blocks, *(paragraph(text(note)) for note in notes)]


def _row(group: Sequence[ChannelEntry], tell: Teller) -> Data:
    """Channels of one set that were recorded alike, and of which the same is wrong."""
    entry = group[0]
    names: Inline = []
    for each in group:
        names += [*([new_line()] if names else []), *_name(each, tell)]
    samples: Inline = [
        plain(tell("set-samples", count=str(entry.samples), start=entry.start_s)),
        new_line(),
        muted(tell("set-sampling", interval=entry.interval_s)),
    ]
    axes = _axes(entry.axes, tell) if entry.axes else tell("set-no-axes")
    how: Inline = [plain(_recorded(entry, tell)), new_line(), muted(axes)]
    doubts: Inline = text(tell("set-no-doubts"))
    if entry.doubts:
        doubts = [strong(_reasons(entry.doubts, tell))]
    return row([names, samples, how, doubts], [])


def _name(entry: ChannelEntry, tell: Teller) -> Inline:
    name = plain(tell("set-place", place=entry.name)) if entry.name.isdigit() else mono(entry.name)
    return [name, plain(f" {entry.unit}") if entry.unit else muted(" " + tell("set-no-unit"))]


def _recorded(entry: ChannelEntry, tell: Teller) -> str:
    own = f"recorded-{entry.recorded}"
    return tell(own) if knows(f"dossier-{own}") else tell("recorded-class", cfc=entry.recorded)


def _axes(named: str, tell: Teller) -> str:
    """Which axes a file names: a standard by its designation, anything else as it stands there."""
    own = f"set-axes-{named.replace(' ', '-')}"
    return tell(own) if knows(f"dossier-{own}") else tell("set-axes", axes=named)


def _reasons(codes: Sequence[str], tell: Teller) -> str:
    """What contradicts in words; a code that this version does not know as it stands."""
    causes = (f"cause-{code}" for code in codes)
    told = [tell.notice(cause) if knows(cause) else cause.removeprefix("cause-") for cause in causes]
    return "; ".join(told)
