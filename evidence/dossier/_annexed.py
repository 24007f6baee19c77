"""Where pages of papers stand: in the annex, or beside what a person read there."""

from evidence.dossier._blocks import Span, link, muted
from evidence.dossier._input import DossierInput
from evidence.model.pages import annex_name
from evidence.model.record import Document
from evidence.pageplan import Paper, papers

_COPY = ".redacted.pdf"  # ending of a redacted copy that the workshop supplied; a stub has another


def picture_anchor(name: str) -> str:
    """Anchor of the picture of a page."""
    return f"page-{name}"


def paper_anchor(exhibit: str) -> str:
    """Anchor of a paper's part of the annex."""
    return f"annex-{exhibit}"


def plan(source: DossierInput) -> dict[str, Paper]:
    """Exhibit id to the pages that the annex of this dossier has room for."""
    copies = [one.id for one in source.manifest.exhibits if one.redacted and one.redacted.endswith(_COPY)]
    found = papers(source.record, source.items, copies if source.redacted else None)
    return {paper.exhibit: paper for paper in found}


def shown(paper: Paper, source: DossierInput) -> tuple[int, ...]:
    """The pages of a paper of which there is a picture."""
    return tuple(
        page
        for page in paper.drawn
        if annex_name(paper.exhibit, page, redacted=source.redacted) in source.shown_pages
    )


def told(words: str, document: Document, page: int | None, source: DossierInput) -> Span:
    """Words about a page, which lead to its picture in the annex where there is one."""
    if document.exhibit is None or page is None:
        return muted(words)
    name = annex_name(document.exhibit, page, redacted=source.redacted)
    return link(picture_anchor(name), words) if name in source.shown_pages else muted(words)
