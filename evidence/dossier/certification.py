"""Certification letter and verification data report of KKK-A-1822E, field by field, where that specification binds.

The fields are those of its public-domain text (clauses 4.3.5 and 4.3.6) as the pack lists them; each is filled with what
the papers say, as somebody transcribed it. What no paper says is named as not stated.
"""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    link,
    muted,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._claims import PERSONAL
from evidence.dossier._index import Index, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, capital, text
from evidence.model._text import FieldState
from evidence.model.criterion import Complete
from evidence.model.names import ClaimName
from evidence.model.record import Claim, Document
from evidence.register.demand import Demand

PACK = "kkk-a-1822e@"
LETTER, REPORT = "4.3.5", "4.3.6"


def build(source: DossierInput, say: Say) -> Data:
    """One table for the letter and one for the report; nothing where the specification binds no vehicle of this sort."""
    tell, index = Teller(source, say), Index.of(source)
    blocks: list[Block] = []
    for clause in (LETTER, REPORT):
        for demand in _asked(source, clause):
            blocks += _sheet(demand, source, index, tell)
    if blocks:
        blocks.insert(0, paragraph(text(tell("certification-lead")), "muted"))
    return section("certification", tell("title-certification"), blocks)


def _asked(source: DossierInput, clause: str) -> list[Demand]:
    return [
        demand
        for demand in source.demands.criteria
        if demand.source.startswith(PACK)
        and demand.clause == clause
        and isinstance(demand.criterion, Complete)
    ]


def _sheet(demand: Demand, source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    """The fields of each paper of this sort that the record has; of none at all, every field is empty."""
    criterion = demand.criterion
    if not isinstance(criterion, Complete):
        return []
    papers = [paper for paper in source.record.documents if paper.role in criterion.evidence_from]
    title = tell("certification-heading", title=tell.title(demand.title), clause=demand.clause)
    blocks: list[Block] = [heading(title), paragraph(_judged(demand, index, tell))]
    if not papers:
        blocks.append(paragraph([strong(tell("certification-none"))]))
        blocks.append(_fields(criterion.fields, None, source, tell))
    for paper in papers:
        blocks += [
            paragraph(_which(paper, index, tell)),
            _fields(criterion.fields, paper, source, tell),
        ]
    return blocks


def _judged(demand: Demand, index: Index, tell: Teller) -> Inline:
    spans: Inline = []
    for number, finding in enumerate(index.findings):
        if finding.requirement == demand.requirement:
            label = link(finding_anchor(number), tell("row", label=finding_label(number)), page=True)
            spans += [*tell.outcome(finding.outcome), plain(" "), label]
    return spans or text(tell("certification-unjudged"))


def _which(paper: Document, index: Index, tell: Teller) -> Inline:
    named = [
        each
        for each in (paper.issuer, paper.reference and tell("reference", reference=paper.reference))
        if each
    ]
    held = [muted(" " + tell("held-by", who=paper.held.by))] if paper.held is not None else []
    spans: Inline = [strong(capital(tell.subject(paper.id)))]
    return [*spans, plain(" " + ", ".join(named) + " "), *index.links((paper.id,)), *held]


def _fields(names: Sequence[ClaimName], paper: Document | None, source: DossierInput, tell: Teller) -> Block:
    heads = [column(tell("head-field"), mm=62), column(tell("head-stated"))]
    said = {name: None if paper is None else paper.claim(name) for name in names}
    return table(
        heads, [row([text(capital(tell.word(name))), _said(said[name], source, tell)]) for name in names]
    )


def _said(claim: Claim | None, source: DossierInput, tell: Teller) -> Inline:
    """What a paper says, with its page; or that it says nothing of the sort."""
    if claim is None:
        return [strong(tell("not-stated"))]
    if source.redacted and claim.name in PERSONAL:
        return text(tell("withheld"))
    page = [muted(", " + tell("page", n=str(claim.page)))] if claim.page is not None else []
    if isinstance(claim.value, FieldState):
        return [strong(tell.stated(claim.value)), *page]
    return [plain(tell.stated(claim.quantity or claim.value)), *page]
