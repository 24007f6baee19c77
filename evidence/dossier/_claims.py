"""Claims of documents on paper: the value, where its text mentions it or who read it, and pictures of those pages."""

from collections.abc import Iterator

from evidence.dossier._annexed import picture_anchor, told
from evidence.dossier._blocks import Block, Inline, heading, link, muted, new_line, paragraph, plain
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller, text
from evidence.mentions import telling
from evidence.model._text import FieldState
from evidence.model.exhibit import Item
from evidence.model.manifest import ManifestMention
from evidence.model.names import ClaimName
from evidence.model.pages import numbers, picture_name
from evidence.model.record import Claim, Document

MAX_RUNS = 4  # runs of pages that one claim lists; a number may stand on every page
PERSONAL = frozenset({ClaimName.WITNESS, ClaimName.SIGNATURE})
"""Claims that name people, left out of a redacted copy."""


def stated_as(document: Document, name: ClaimName, source: DossierInput, tell: Teller) -> Inline:
    """Every value that a document gives of one claim, one a line, with its page; nothing where it gives none."""
    found = _mentions(document, source)
    spans: Inline = []
    for number, claim in enumerate(document.claims, start=1):
        if claim.name == name:
            spans += [new_line()] if spans else []
            spans += [plain(value(claim, source, tell))]
            spans += _where(claim, document, found.get(number), source, tell)
    return spans


def _mentions(document: Document, source: DossierInput) -> dict[int, ManifestMention]:
    """What the text of a document mentions, by the number of the claim."""
    return {mention.number: mention for mention in source.manifest.mentions if mention.paper == document.id}


def claims(document: Document, source: DossierInput, tell: Teller) -> Inline:
    """Every claim of a document, one a line."""
    found = _mentions(document, source)
    spans: Inline = []
    for number, claim in enumerate(document.claims, start=1):
        spans += [new_line()] if spans else []
        spans += [muted(tell.word(claim.name) + ": "), plain(value(claim, source, tell))]
        spans += _where(claim, document, found.get(number), source, tell)
    return spans or text(tell("none"))


def page_pictures(source: DossierInput, tell: Teller) -> list[Block]:
    """The pages that somebody read, each once, with what was read there; or what became of the pictures."""
    if source.redacted:
        return []
    pages = {
        (document.exhibit, claim.page): None
        for document in source.record.documents
        for claim in document.claims
        if document.exhibit is not None and claim.page is not None and claim.read_by is not None
    }
    blocks = [
        _card(exhibit, page, source, tell)
        for exhibit, page in sorted(pages)
        if picture_name(exhibit, page) in source.shown_pages
    ]
    if source.left_out_pages:
        blocks.append(paragraph(text(tell.count("pages-left-out", len(source.left_out_pages))), "note"))
    lead = [heading(tell("pages-heading")), paragraph(text(tell("pages-lead")), "muted")]
    return [*lead, *blocks] if blocks else []


def value(claim: Claim, source: DossierInput, tell: Teller) -> str:
    """The value of a claim as this copy prints it; what names people is left out of a redacted one."""
    hidden = source.redacted and claim.name in PERSONAL
    return tell("withheld") if hidden else tell.stated(claim.quantity or claim.value)


def _where(
    claim: Claim,
    document: Document,
    mention: ManifestMention | None,
    source: DossierInput,
    tell: Teller,
) -> Inline:
    """Where the value stands, on whose word."""
    page = "" if claim.page is None else str(claim.page)
    if claim.read_by is not None:
        return _read(claim, document, source, tell)
    item = source.items.get(document.exhibit or "")
    if isinstance(claim.value, FieldState) or item is None:
        return [muted(", " + tell("page", n=page))] if page else []
    if _unread(item, claim.page):
        words = [tell("page", n=page)] if page else []
        said = ", ".join([*words, tell("claim-unread")])
    else:
        said = ("" if mention is None else _mentioned(claim, mention, tell)) or (
            page and tell("page", n=page)
        )
    return [muted(", "), told(said, document, claim.page, source)] if said else []


def _unread(item: Item, page: int | None) -> bool:
    return item.photo is not None or (item.pdf is not None and not item.pdf.reads(page))


def _mentioned(claim: Claim, mention: ManifestMention, tell: Teller) -> str:
    """What the text says; nothing where its silence means nothing."""
    pages = numbers(mention.pages)
    runs = mention.pages.split()
    listed = ", ".join(runs[:MAX_RUNS]) + (" \u2026" if len(runs) > MAX_RUNS else "")
    if claim.page is not None and claim.page in pages:
        return tell("claim-mentioned", pages=str(claim.page))
    if not pages:
        there = "" if claim.page is None else tell("page", n=str(claim.page)) + ", "
        return there + tell("claim-not-found") if telling(claim) else ""
    if claim.page is None:
        return tell("claim-mentioned", pages=listed)
    return tell("claim-elsewhere", n=str(claim.page), pages=listed)


def _read(claim: Claim, document: Document, source: DossierInput, tell: Teller) -> Inline:
    reader, page = tell.person(str(claim.read_by)), str(claim.page)
    words = told(tell("claim-read", who=reader, n=page), document, claim.page, source)
    if document.exhibit is None or claim.page is None:
        return [muted(", "), words]
    name = picture_name(document.exhibit, claim.page)
    if name in source.shown_pages:
        return [muted(", "), words, plain(" "), link(picture_anchor(name), tell("claim-picture"), page=True)]
    why = "redacted" if source.redacted else "left-out" if name in source.left_out_pages else "failed"
    return [muted(", "), words, muted("; " + tell(f"claim-picture-{why}"))]


def _card(exhibit: str, page: int, source: DossierInput, tell: Teller) -> Block:
    name = picture_name(exhibit, page)
    read = list(_read_there(exhibit, page, source))
    listed = "; ".join(f"{tell.word(claim.name)}: {value(claim, source, tell)}" for claim in read)
    return {
        "kind": "page",
        "anchors": [picture_anchor(name)],
        "picture": name,
        "alt": tell("page-alt", id=exhibit, n=str(page), claims=listed),
        "title": tell("page-title", id=exhibit, n=str(page)),
        "rows": [
            {
                "label": tell.word(claim.name),
                "value": [
                    plain(value(claim, source, tell)),
                    muted(", " + tell("claim-read", who=tell.person(str(claim.read_by)), n=str(page))),
                ],
            }
            for claim in read
        ],
    }


def _read_there(exhibit: str, page: int, source: DossierInput) -> Iterator[Claim]:
    for document in source.record.documents:
        if document.exhibit == exhibit:
            yield from (each for each in document.claims if each.read_by is not None and each.page == page)
