"""The dossier as data: one file per section, one tuple as the page order, no page layout and no drawing here."""

from collections.abc import Callable

from evidence.dossier import _sheet as second_page
from evidence.dossier import (
    anchorage,
    annex,
    cautions,
    certification,
    contents,
    coverage,
    declaration,
    delivery,
    documents,
    front,
    functional_tests,
    glossary,
    hook_position,
    installation,
    lock_window,
    matrix,
    notes,
    open_points,
    photo_quality,
    photos,
    pull_test,
    pulses,
    register,
    screws,
    timeline,
    verifying,
)
from evidence.dossier._document import assemble, for_the_folder
from evidence.dossier._input import Data, DossierInput, Paper, Say, paper_for

SECTIONS: tuple[Callable[[DossierInput, Say], Data], ...] = (
    front.build,
    contents.build,
    declaration.build,
    open_points.build,
    matrix.build,
    installation.build,
    timeline.build,
    screws.build,
    hook_position.build,
    lock_window.build,
    functional_tests.build,
    coverage.build,
    pulses.build,
    pull_test.build,
    anchorage.build,
    photos.build,
    photo_quality.build,
    documents.build,
    notes.build,
    certification.build,
    delivery.build,
    annex.build,
    verifying.build,
    cautions.build,
    register.build,
    glossary.build,
)
"""The page order."""

__all__ = ["SECTIONS", "Data", "DossierInput", "Paper", "Say", "build", "paper_for", "sheet"]


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


def sheet(source: DossierInput, say: Say) -> Data:
    """Two pages for the vehicle's folder, in the form that ``build`` gives: the front sheet, and what is open.

    Nothing is attached but the manifest, and no link leaves the two pages.
    """
    pages = [front.build(source, say), second_page.build(source, say)]
    return for_the_folder(source, say, pages)
