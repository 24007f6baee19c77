"""The second page of the sheet for the vehicle's folder: what is open, what is excepted, how to verify.

The sheet has two pages and no others, so links into the dossier become plain words.
"""

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._declaring import conceded
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._sides import side
from evidence.dossier._titles import requirement_title
from evidence.dossier._verify_steps import verify_steps
from evidence.dossier._words import Teller, text
from evidence.judge.concessions import limits_of
from evidence.model.finding import Finding
from evidence.model.names import Closes
from evidence.model.record import Concession

MAX_OPEN = 14  # rows of the page; the dossier has them all
MAX_CONTRADICTIONS = 5  # of these, while findings wait behind them
MAX_EXCEPTIONS = 6


def build(source: DossierInput, say: Say) -> Data:
    """One page; what has no room on it is counted."""
    tell, index = Teller(source, say), Index.of(source)
    blocks = [
        *_open(source, index, tell),
        *_exceptions(source, index, tell),
        heading(tell("title-verifying")),
        paragraph(text(tell("sheet-verify"))),
        verify_steps(source, tell),
        paragraph([strong(tell("verify-meaning")), plain(" " + tell("sealing-time"))], "note"),
    ]
    return {**section("sheet", tell("title-sheet"), blocks, listed=False), "one_page": True}


def unlinked(page: Data) -> Data:
    """The same page with every link as the words it shows."""
    return {key: _unlinked(value) for key, value in page.items()}


def _unlinked(value: object) -> object:
    if isinstance(value, list):
        return [_unlinked(each) for each in value]
    if not isinstance(value, dict):
        return value
    return plain(str(value["t"])) if "to" in value else unlinked(value)


def _open(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    """Counts by who closes them, then the points, contradictions first and then the worst."""
    if source.manifest.state == "complete":
        return [heading(tell("title-open")), paragraph(text(tell("open-none")))]
    findings = [finding for _, finding in index.open_findings()]
    rows = [
        row([[strong(tell("contradiction"))], _contradiction(number, index, tell), []])
        for number, _ in index.open_contradictions()
    ]
    counted = [(closes, sum(finding.closes == closes for finding in findings)) for closes in Closes]
    who = ", ".join(tell("sheet-count", n=str(n), who=tell.word(closes)) for closes, n in counted if n)
    heads = [
        column(tell("head-outcome"), mm=27),
        column(tell("head-open-point")),
        column(tell("head-closes"), mm=32),
    ]
    shown = [
        *rows[: max(MAX_CONTRADICTIONS, MAX_OPEN - len(findings))],
        *(row(_point(each, index, tell)) for each in findings),
    ]
    blocks = [heading(tell.count("missing-open", source.manifest.open)), table(heads, shown[:MAX_OPEN])]
    if who:
        blocks.insert(1, paragraph(text(tell("sheet-closes", who=who)), "muted"))
    more = len(rows) + len(findings) - len(shown[:MAX_OPEN])
    return [*blocks, paragraph(text(tell.count("front-more", more)), "muted")] if more > 0 else blocks


def _point(finding: Finding, index: Index, tell: Teller) -> list[Inline]:
    subject = muted(" " + tell("on-subject", subject=tell.subject(finding.subject)))
    return [
        tell.outcome(finding.outcome),
        [plain(requirement_title(finding, index, tell)), subject],
        text(tell.word(finding.closes)),
    ]


def _contradiction(number: int, index: Index, tell: Teller) -> Inline:
    entry = index.contradictions[number]
    sides = f" {tell('against')} ".join(" ".join(side(place, tell)) for place in entry.between)
    return [plain(tell.word(entry.rule, "contradiction")), new_line(), muted(sides)]


def _exceptions(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    found = conceded(source)
    if not found:
        return [heading(tell("exceptions-heading")), paragraph(text(tell("exceptions-none")))]
    heads = [
        column(tell("head-reference"), mm=34),
        column(tell("head-requirement")),
        column(tell("head-valid"), mm=52),
    ]
    rows = [row(_exception(finding, entry, index, tell)) for finding, entry in found]
    blocks = [heading(tell("exceptions-heading")), table(heads, rows[:MAX_EXCEPTIONS])]
    more = len(rows) - MAX_EXCEPTIONS
    return (
        [*blocks, paragraph(text(tell.count("front-more-exceptions", more)), "muted")] if more > 0 else blocks
    )


def _exception(finding: Finding, entry: Concession, index: Index, tell: Teller) -> list[Inline]:
    limits = limits_of(entry)
    terms = [tell("within-conceded", limits=limits)] if limits else []
    terms.append(tell("until", day=str(entry.until)) if entry.until else tell("without-end"))
    return [
        [strong(entry.reference), new_line(), muted(tell.word(entry.authority))],
        [
            plain(requirement_title(finding, index, tell)),
            muted(" " + tell("on-subject", subject=tell.subject(finding.subject))),
        ],
        text(", ".join(terms)),
    ]
