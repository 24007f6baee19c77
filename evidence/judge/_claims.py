"""Claims of documents: which of them count, and on whose word.

A program reads the text of a page. Where a page has none, being a scan or a photo, what stands on it is the word of
whoever read it, so a claim counts there only where the record says who did.
"""

from collections.abc import Iterable

from evidence.judge._evidence import (
    Stop,
    Used,
    claim_state_stop,
    claims_of,
    not_shown,
    unreadable,
    used_document,
)
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.exhibit import Item
from evidence.model.names import Outcome, RestsOn
from evidence.model.pages import written
from evidence.model.record import Claim, Document

NOBODY_READ = "claim-nobody-read"


def claim_stop(document: Document, name: str, case: Case) -> Stop | None:
    """Why a document gives not one value of a claim that can be used, or None."""
    claims = claims_of(document, name)
    if not claims:
        return not_shown("claim-not-stated", claim=name, document=document.id)
    stops = claim_stops(document, name, case)
    if len(stops) < len(claims):
        return None
    return next((stop for stop in stops if stop.outcome == Outcome.UNDECIDED), stops[0])


def claim_stops(document: Document, name: str, case: Case) -> tuple[Stop, ...]:
    """A stop for every claim of that name that cannot be used."""
    stops = (one_stop(claim, document, case) for claim in claims_of(document, name))
    return tuple(stop for stop in stops if stop is not None)


def usable(document: Document, name: str, case: Case) -> tuple[str, ...]:
    """Every value of a claim that can be used, as transcribed."""
    return tuple(
        claim.value
        for claim in claims_of(document, name)
        if isinstance(claim.value, str) and one_stop(claim, document, case) is None
    )


def one_stop(claim: Claim, document: Document, case: Case) -> Stop | None:
    """Why one claim cannot be used, or None: no value, a page that is not there, or a page that nobody read."""
    if isinstance(claim.value, FieldState):
        return claim_state_stop(claim.value, claim.name, document)
    item = _item(document, case)
    pages = _pages(item)
    if item is None or pages is None:
        return None
    if claim.page is not None and not 1 <= claim.page <= pages:
        found, there = str(claim.page), str(pages)
        return unreadable(
            "claim-page-beyond", claim=claim.name.value, document=document.id, page=found, pages=there
        )
    if _reads(item, claim.page) or claim.read_by is not None:
        return None
    page = written(range(1, pages + 1)) if claim.page is None else str(claim.page)
    return unreadable(NOBODY_READ, claim=claim.name.value, document=document.id, page=page)


def used_claims(document: Document, names: Iterable[str], case: Case) -> Used:
    """What claims of a document rest on: the document, and where nobody but a person can read it, that person's word."""
    item = _item(document, case)
    readers = {
        claim.read_by
        for name in names
        for claim in claims_of(document, name)
        if isinstance(claim.value, str)
        and claim.read_by is not None
        and _pages(item) is not None
        and not _reads(item, claim.page)
    }
    word = frozenset({RestsOn.STATEMENT}) if readers else frozenset()
    return used_document(document) | Used(word, records=frozenset(readers))


def _item(document: Document, case: Case) -> Item | None:
    return case.items.get(document.exhibit) if document.exhibit is not None else None


def _pages(item: Item | None) -> int | None:
    """Pages of what was filed; a photo of a paper is one; None where pages mean nothing."""
    if item is not None and item.pdf is not None:
        return item.pdf.pages
    return 1 if item is not None and item.photo is not None else None


def _reads(item: Item | None, page: int | None) -> bool:
    return item is not None and item.pdf is not None and item.pdf.reads(page)
