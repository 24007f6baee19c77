"""The table of contents; the page numbers are known only where the pages are made."""

from evidence.dossier._blocks import paragraph, section
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.phrases import DEFAULT_LANGUAGE


def build(source: DossierInput, say: Say) -> Data:
    """A title and the mark that the list of headings stands here."""
    tell = Teller(source, say)
    translated = [paragraph(text(tell("translated")), "note")] if source.language != DEFAULT_LANGUAGE else []
    blocks = [paragraph(text(tell("contents-signs")), "muted"), *translated, {"kind": "outline"}]
    return section("contents", tell("title-contents"), blocks, listed=False)
