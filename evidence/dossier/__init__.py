"""The dossier as data: one file per section, one tuple as the page order, no page layout and no drawing here."""

from collections.abc import Callable

from evidence.dossier import (
    cautions,
    contents,
    documents,
    front,
    glossary,
    hook_position,
    installation,
    lock_window,
    matrix,
    notes,
    open_points,
    photo_quality,
    photos,
    register,
    verifying,
)
from evidence.dossier._document import assemble
from evidence.dossier._input import Data, DossierInput, Paper, Say, paper_for

SECTIONS: tuple[Callable[[DossierInput, Say], Data], ...] = (
    front.build,
    contents.build,
    open_points.build,
    matrix.build,
    installation.build,
    hook_position.build,
    lock_window.build,
    photos.build,
    photo_quality.build,
    documents.build,
    notes.build,
    verifying.build,
    cautions.build,
    register.build,
    glossary.build,
)
"""The page order."""

__all__ = ["SECTIONS", "Data", "DossierInput", "Paper", "Say", "build", "paper_for"]


def build(source: DossierInput, say: Say) -> Data:
    """The whole dossier as one JSON object, ready for typesetting.

    Args:
        source: the checked manifest and what it stands on.
        say: code and parameters to sentence, in ``source.language``.

    Returns:
        ``language``, ``paper``, ``title``, running ``header`` and ``footer``, ``palette``, ``nothing`` (what an empty cell shows), ``sections`` in page
        order, ``svg`` (name to drawing), ``pictures`` (exhibit ids whose picture is printed), ``attachments``
        (name, relationship, media type, description) and ``must_print`` (texts in which no letter may be lost).
    """
    return assemble(source, say, [make(source, say) for make in SECTIONS])
