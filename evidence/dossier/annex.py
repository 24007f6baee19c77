"""The annex: papers that other people wrote, page 1 and the pages that claims name as pictures, originals attached."""

from collections import defaultdict
from collections.abc import Collection, Iterable

from evidence.dossier._annexed import paper_anchor, picture_anchor, plan, shown
from evidence.dossier._blocks import (
    Block,
    Inline,
    heading,
    joined,
    link,
    mono,
    muted,
    paragraph,
    plain,
    section,
)
from evidence.dossier._claims import value
from evidence.dossier._document import attachment_name
from evidence.dossier._index import Index, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, capital, text
from evidence.model.criterion import Complete, Covers, Criterion, Matches, Within
from evidence.model.manifest import ManifestExhibit
from evidence.model.names import ROLE_KINDS, ClaimName
from evidence.model.pages import annex_name, picture_name, written
from evidence.model.record import Claim, Document
from evidence.pageplan import MAX_ANNEXED, MAX_ANNEXED_EACH, OWN_PAPERS, Paper

MAX_FINDINGS = 6  # that one claim lists beside its page; the paper's own row has more


def build(source: DossierInput, say: Say) -> Data:
    """Paper by paper: what it is, which pages are cited by which claims, and their pictures."""
    tell, index = Teller(source, say), Index.of(source)
    planned = plan(source)
    exhibits = [exhibit for exhibit in source.manifest.exhibits if _belongs(exhibit)]
    if not exhibits:
        return section("annex", tell("title-annex"), [])
    blocks: list[Block] = [
        paragraph(text(tell("annex-lead-redacted" if source.redacted else "annex-lead")), "muted"),
        paragraph(text(_counted(planned.values(), source, tell))),
    ]
    if elsewhere := [one.id for one in source.record.documents if one.held is not None]:
        told = tell.count("annex-elsewhere", len(elsewhere)) + " "
        blocks.append(paragraph([plain(told), *index.links(elsewhere)]))
    for exhibit in exhibits:
        blocks += _paper(exhibit, planned.get(exhibit.id), source, index, tell)
    _first(blocks)["leads"] = True
    return section("annex", tell("title-annex"), blocks)


def _first(blocks: list[Block]) -> Block:
    """The block that shares its page with what is said of all papers."""
    return next(block for block in blocks if block["kind"] == "annexed")


def _belongs(exhibit: ManifestExhibit) -> bool:
    """Whether a file is a paper of somebody else's, or was meant to be one."""
    of_paper = "document" in ROLE_KINDS[exhibit.role] and exhibit.kind in ("document", "photo", "unreadable")
    return of_paper and exhibit.role not in OWN_PAPERS


def _counted(papers: Collection[Paper], source: DossierInput, tell: Teller) -> str:
    """How many pages are shown and how many are not, in numbers."""
    there = sum(len(shown(paper, source)) for paper in papers)
    whole = sum(len(paper.whole) for paper in papers)
    left = sum(len(_left_out(paper, source)) for paper in papers)
    words = [tell.count("annex-shown", there, papers=str(len(papers)))]
    if whole:
        words.append(tell.count("annex-whole", whole))
    if left:
        words.append(tell.count("annex-left-out", left, each=str(MAX_ANNEXED_EACH), all=str(MAX_ANNEXED)))
    return " ".join(words)


def _left_out(paper: Paper, source: DossierInput) -> tuple[int, ...]:
    """Cited pages for which there is no room; where a paper has no redacted copy, that is what is said of it."""
    return () if source.redacted and not paper.drawn else paper.left_out


def _paper(
    exhibit: ManifestExhibit, paper: Paper | None, source: DossierInput, index: Index, tell: Teller
) -> list[Block]:
    documents = [one for one in source.record.documents if one.exhibit == exhibit.id]
    role = tell.word(documents[0].role if documents else exhibit.role)
    title = tell("annex-title", id=exhibit.id, role=role)
    facts = _facts(exhibit, documents, paper, source, index, tell)
    pages = () if paper is None else shown(paper, source)
    blocks: list[Block] = [heading(title, anchor=paper_anchor(exhibit.id))]
    blocks += [
        _page(exhibit, number, (documents, facts if place == 0 else []), source, index, tell)
        for place, number in enumerate(pages)
    ]
    return blocks if pages else [*blocks, _card(facts)]


def _card(facts: list[Data]) -> Block:
    """A paper of which no page is shown."""
    return {"kind": "annexed", "leads": False, "anchors": [], "facts": facts, "picture": None, "claims": []}


def _page(
    exhibit: ManifestExhibit,
    number: int,
    told: tuple[list[Document], list[Data]],
    source: DossierInput,
    index: Index,
    tell: Teller,
) -> Block:
    documents, facts = told
    role = tell.word(documents[0].role if documents else exhibit.role)
    item = source.items[exhibit.id]
    pages = item.pdf.pages if item.pdf is not None else number
    alt = "annex-alt-redacted" if source.redacted else "annex-alt"
    attached = attachment_name(exhibit, redacted=source.redacted)
    name = annex_name(exhibit.id, number, redacted=source.redacted)
    return {
        "kind": "annexed",
        "leads": False,
        "anchors": [picture_anchor(name)],
        "facts": facts,
        "picture": name,
        "alt": tell(alt, n=str(number), id=exhibit.id, role=role, name=attached),
        "title": tell("annex-page", id=exhibit.id, n=str(number), pages=str(pages)),
        "claims_title": tell("annex-claims"),
        "claims": _claims(documents, number, source, index, tell),
    }


def _claims(
    documents: Iterable[Document], number: int, source: DossierInput, index: Index, tell: Teller
) -> list[Inline]:
    """What is said to stand on a page: name, which leads to the paper's row, value, and who judges it."""
    told: list[Inline] = []
    for document in documents:
        for claim in document.claims:
            if claim.page != number:
                continue
            name = link(index.targets[document.id], capital(tell.word(claim.name)))
            judged = _judged(claim.name, document, index)
            told.append(
                [name, plain(": " + value(claim, source, tell)), *_crop(claim, document, source, tell)]
            )
            told[-1] += [plain(" "), *judged] if judged else []
    return told


def _crop(claim: Claim, document: Document, source: DossierInput, tell: Teller) -> Inline:
    """A link to the part of the page that a person read."""
    name = picture_name(str(document.exhibit), claim.page or 0)
    if claim.read_by is None or name not in source.shown_pages:
        return []
    return [muted(", "), link(picture_anchor(name), tell("annex-read"))]


def _judged(name: ClaimName, document: Document, index: Index) -> Inline:
    """Links to the findings that ask for this claim and use this paper."""
    numbers = [
        number
        for number in index.supported.get(index.targets[document.id], ())
        if name in _asked(index.demands[index.findings[number].requirement].criterion)
    ]
    spans = [[link(finding_anchor(number), finding_label(number))] for number in numbers[:MAX_FINDINGS]]
    rest = len(numbers) - MAX_FINDINGS
    return joined(spans, ", ") + ([plain(f" +{rest}")] if rest > 0 else [])


def _asked(criterion: Criterion) -> set[str]:
    """Names of the claims that a criterion asks for by name."""
    if isinstance(criterion, Complete):
        return {str(name) for name in criterion.fields}
    if isinstance(criterion, Covers):
        return {str(each.claim) for each in criterion.fields}
    named = [criterion.quantity] if isinstance(criterion, Within) else []
    named += [criterion.fact, criterion.equals or ""] if isinstance(criterion, Matches) else []
    return {name.removeprefix("document.") for name in named if name.startswith("document.")}


def _facts(
    exhibit: ManifestExhibit,
    documents: list[Document],
    paper: Paper | None,
    source: DossierInput,
    index: Index,
    tell: Teller,
) -> list[Data]:
    rows: list[tuple[str, Inline]] = [
        (tell("annex-entry"), _entry(document, index, tell)) for document in documents
    ]
    rows.append((tell("annex-digest"), [mono(exhibit.sha256)]))
    rows.append((tell("annex-pages"), _pages(exhibit, paper, source, index, tell)))
    if name := attachment_name(exhibit, redacted=source.redacted) if exhibit.kind == "document" else "":
        stub = name.endswith(".json")
        code = "annex-stub" if stub else "annex-copy" if source.redacted else "annex-original"
        rows.append((tell("annex-attached"), text(tell(code, name=name))))
    if used := _used(exhibit, documents, index):
        rows.append((tell("head-used-by"), used))
    return [{"label": label, "value": told} for label, told in rows]


def _entry(document: Document, index: Index, tell: Teller) -> Inline:
    parts = [document.issuer or ""]
    parts += [tell("reference", reference=document.reference)] if document.reference else []
    parts += [tell("issued", day=tell.stated(document.issued))] if document.issued is not None else []
    told = ", ".join(part for part in parts if part)
    return [*index.links((document.id,)), *([plain(", " + told)] if told else [])]


def _used(exhibit: ManifestExhibit, documents: Iterable[Document], index: Index) -> Inline:
    """Links to every finding that uses the file or what was transcribed from it."""
    numbers: dict[int, None] = defaultdict(lambda: None)
    for identifier in (exhibit.id, *(document.id for document in documents)):
        numbers |= dict.fromkeys(index.supported.get(index.targets[identifier], ()))
    spans = [[link(finding_anchor(number), finding_label(number))] for number in sorted(numbers)]
    return joined(spans, ", ")


def _pages(
    exhibit: ManifestExhibit, paper: Paper | None, source: DossierInput, index: Index, tell: Teller
) -> Inline:
    """Which pages are shown, which are not, and why."""
    if exhibit.kind == "photo":
        return [plain(tell("annex-photo") + " "), *index.links((exhibit.id,))]
    if paper is None:
        return text(tell("annex-unreadable", file=exhibit.file))
    if source.redacted and not paper.drawn:
        return text(tell.count("annex-not-redacted", paper.pages))
    there = shown(paper, source)
    failed = tuple(page for page in paper.drawn if page not in there)
    code = "annex-of" if there else "annex-none-of"
    spans = text(tell(code, pages=_listed(there), n=str(paper.pages)))
    if paper.whole:
        found = [
            [link(picture_anchor(picture_name(exhibit.id, page)), str(page), page=True)]
            if picture_name(exhibit.id, page) in source.shown_pages
            else [plain(str(page))]
            for page in paper.whole
        ]
        spans += [plain("; " + tell("annex-shown-whole") + " "), *joined(found, ", ")]
    if failed:
        spans.append(plain("; " + tell("annex-failed", pages=_listed(failed))))
    if left := _left_out(paper, source):
        spans.append(plain("; " + tell("annex-no-room", pages=_listed(left))))
    return spans


def _listed(pages: Iterable[int]) -> str:
    return ", ".join(written(pages).split())
