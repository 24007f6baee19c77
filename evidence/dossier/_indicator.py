"""What a photo of a lock window shows, and what a person saw in it, as facts of its card."""

from evidence.dossier._blocks import Inline, plain
from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller, text
from evidence.model.measurement import Fractions, WindowReading


def indicator(exhibit: str, source: DossierInput, index: Index, tell: Teller) -> list[tuple[str, Inline]]:
    """Rows on the photo's own reading and on the person's; none for a photo of something else."""
    rows = [
        (tell("photo-indicator"), _reading(each.reading, index, tell))
        for each in source.manifest.windows
        if each.reading.exhibits[0] == exhibit
    ]
    return rows + [
        (tell("photo-read"), text(tell(f"photo-read-{entry.reads}", by=tell.person(entry.by))))
        for entry in source.record.exhibits
        if entry.id == exhibit and entry.reads is not None and entry.by is not None
    ]


def _reading(reading: WindowReading, index: Index, tell: Teller) -> Inline:
    shares = _percent(reading.fractions)
    parts = [tell.notice(f"window-{reading.state}", shares)]
    if reading.reason is not None:
        parts.append(tell.notice(reading.reason.code, reading.reason.parameters))
    if reading.fractions is not None:
        parts.append(tell("photo-indicator-shares", **shares))
    told = [plain(" ".join(parts))]
    if reading.open_exhibit is None:
        return told
    return [
        *told,
        plain(" " + tell("photo-indicator-held") + " "),
        *index.links((reading.open_exhibit,)),
        plain("."),
    ]


def _percent(shares: Fractions | None) -> dict[str, str]:
    """Whole percents by colour; nothing where the frame was not looked at."""
    if shares is None:
        return {}
    return {name: f"{float(share) * 100:.0f}" for name, share in shares.document().items()}
