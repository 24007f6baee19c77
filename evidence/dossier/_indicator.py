"""What a photo of a lock window shows, in one line of its card; the figures stand on the lock window's own page."""

from evidence.dossier._blocks import Inline, link
from evidence.dossier._input import DossierInput
from evidence.dossier._windows import photographed, window_anchor
from evidence.dossier._words import Teller
from evidence.model.manifest import ManifestExhibit


def indicator(exhibit: ManifestExhibit, source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    """One row with the colour and where more is told, or only where; none for a photo of something else."""
    window = photographed(exhibit, source)
    if not window:
        return []
    states = [
        each.reading.state for each in source.manifest.windows if each.reading.exhibits[0] == exhibit.id
    ]
    label = "photo-indicator" if states else "photo-told"
    words = (
        tell(f"photo-indicator-{states[0]}")
        if states
        else tell("photo-window-of", subject=tell.subject(window))
    )
    return [(tell(label), [link(window_anchor(window), words, page=True)])]
