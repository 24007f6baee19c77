"""Rule on transcribed claims: the text of the page that a claim names does not write its value."""

from collections.abc import Iterator

from evidence.judge._evidence import document_stop
from evidence.judge._identity import contradiction
from evidence.judge.case import Case
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Severity
from evidence.model.pages import numbers, written
from evidence.model.record import Claim, Document

CUT = "pdf-text-incomplete"


def not_on_page(case: Case) -> Iterator[Contradiction]:
    """An identifier, date or quantity is not in the text of its page, and that text is all that the page shows.

    A page with a picture, text that a scanner guessed or text that was cut off may write it all the same, and a
    claim that a person read there is that person's word.
    """
    absent = {(one.document, one.number): one for one in case.mentions if one.absent}
    for document in case.record.documents:
        item = case.items.get(document.exhibit or "")
        if item is None or document_stop(document, case) is not None:
            continue
        for number, claim in enumerate(document.claims, start=1):
            mention = absent.get((document.id, number))
            if mention is not None and claim.read_by is None and _plain_text(item, claim.page):
                yield _differs(document, claim, mention.pages)


def _plain_text(item: Item, page: int | None) -> bool:
    pdf = item.pdf
    if pdf is None or page is None or CUT in item.warnings or not pdf.reads(page):
        return False
    return pdf.pages_pictured is not None and page not in numbers(pdf.pages_pictured)


def _differs(document: Document, claim: Claim, pages: tuple[int, ...]) -> Contradiction:
    value, page = str(claim.value), str(claim.page)
    return contradiction(
        ContradictionRule.CLAIM_NOT_ON_PAGE,
        document.id,
        (
            Place(where=f"{document.id}.{claim.name.value}", value=value),
            Place(where=f"{document.exhibit}.page-{page}", value=f"p. {page}"),
        ),
        severity=Severity.NOTICE,
        exhibits=(document.exhibit,) if document.exhibit else (),
        code="claim-on-other-page" if pages else None,
        document=document.id,
        claim=claim.name.value,
        value=value,
        page=page,
        found=written(pages),
    )
