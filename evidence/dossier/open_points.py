"""Open points by who can close each, contradictions with both of their values, and granted exceptions."""

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
    table,
)
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._loose import ends_of, place, why
from evidence.dossier._sides import side
from evidence.dossier._titles import requirement_title
from evidence.dossier._words import Teller, capital, text
from evidence.judge.concessions import limits_of
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Finding
from evidence.model.manifest import ManifestSlot
from evidence.model.names import Closes, Severity
from evidence.model.record import Concession


def build(source: DossierInput, say: Say) -> Data:
    """Points grouped by who closes them; then contradictions, notices and exceptions."""
    tell, index = Teller(source, say), Index.of(source)
    blocks: list[Block] = []
    if source.manifest.state == "complete":
        blocks.append(paragraph(text(tell("open-none"))))
    for closes in Closes:
        points = [(n, finding) for n, finding in index.open_findings() if finding.closes == closes]
        if points:
            blocks.append(heading(tell.count("open-group", len(points), who=tell.word(closes))))
            blocks += [_point(number, finding, index, tell) for number, finding in points]
    blocks += _empty_slots(source, tell)
    blocks += _not_known(source, tell)
    blocks += _contradictions(index, tell)
    blocks += _exceptions(source, tell)
    return section("open", tell("title-open"), blocks)


def _empty_slots(source: DossierInput, tell: Teller) -> list[Block]:
    slots = source.manifest.open_exhibits
    if not slots:
        return []
    heads = [
        column(tell("head-file"), mm=20),
        column(tell("head-shows")),
        column(tell("head-subject"), mm=44),
        column(tell("head-state"), mm=54),
    ]
    stated = {entry.id: entry.file for entry in source.record.exhibits}
    rows = [
        row(
            [
                text(slot.id),
                text(tell.word(slot.role)),
                text(tell.subject(slot.subject)),
                text(_why_empty(slot, stated.get(slot.id), tell)),
            ],
            [f"item-{slot.id}"],
        )
        for slot in slots
    ]
    lead = paragraph(text(tell("slots-lead")), "muted")
    return [heading(tell("slots-heading")), lead, table(heads, rows)]


def _why_empty(slot: ManifestSlot, stated: object, tell: Teller) -> str:
    if isinstance(stated, FieldState):
        return tell.stated(stated)
    return tell.word(slot.state, "slot" if slot.state == "missing" else "field-word")


def _not_known(source: DossierInput, tell: Teller) -> list[Block]:
    ends = ends_of(source)
    if not ends:
        return []
    heads = [column(tell("head-field")), column(tell("head-state"))]
    rows = [row([text(capital(place(end, tell))), text(why(end, source, tell))]) for end in ends]
    return [
        heading(tell("loose-heading")),
        paragraph(text(tell("loose-lead")), "muted"),
        table(heads, rows),
    ]


def _point(number: int, finding: Finding, index: Index, tell: Teller) -> Block:
    evidence = index.links((*finding.exhibits, *finding.documents, *finding.records))
    return {
        "kind": "point",
        "anchors": [],
        "chip": tell.outcome(finding.outcome),
        "title": [
            link(finding_anchor(number), requirement_title(finding, index, tell)),
            muted(" " + tell("on-subject", subject=tell.subject(finding.subject))),
        ],
        "detail": text(tell.reason(finding.reason)),
        "foot": [
            link(finding_anchor(number), tell("row", label=finding_label(number)), page=True),
            *([plain("  ·  "), muted(tell("evidence") + " "), *evidence] if evidence else []),
        ],
    }


def _contradictions(index: Index, tell: Teller) -> list[Block]:
    blocks: list[Block] = []
    for severity in Severity:
        entries = [(n, entry) for n, entry in enumerate(index.contradictions) if entry.severity == severity]
        if entries:
            blocks.append(heading(_contradictions_heading(severity, entries, tell)))
            blocks.append(paragraph(text(tell(f"{severity}-lead")), "muted"))
            blocks += [_disagreement(number, entry, index, tell) for number, entry in entries]
    return blocks


def _contradictions_heading(
    severity: Severity, entries: list[tuple[int, Contradiction]], tell: Teller
) -> str:
    """How many are open and who clears them up, so that the headings of this section add up to the open points."""
    unanswered = sum(entry.open for _, entry in entries)
    if severity == Severity.NOTICE or not unanswered:
        return tell(f"{severity}-heading")
    return tell.count("contradiction-open", unanswered)


def _disagreement(number: int, entry: Contradiction, index: Index, tell: Teller) -> Block:
    sides = [
        {"where": text(where if where == place.where else capital(where)), "value": text(value)}
        for place, (where, value) in ((place, side(place, tell)) for place in entry.between)
    ]
    answer = tell("answered", who=tell.person(entry.answered_by)) if entry.answered_by else tell("unanswered")
    foot: Inline = [muted(answer if entry.severity == Severity.CONTRADICTION else tell("notice-foot"))]
    if entry.exhibits:
        foot += [plain("  ·  "), muted(tell("evidence") + " "), *index.links(entry.exhibits)]
    return {
        "kind": "contradiction",
        "anchors": [contradiction_anchor(number)],
        "title": text(tell.word(entry.rule, "contradiction")),
        "detail": text(tell.reason(entry.reason)),
        "sides": sides,
        "foot": foot,
        "open": entry.open,
    }


def _exceptions(source: DossierInput, tell: Teller) -> list[Block]:
    concessions = source.record.concessions
    if not concessions:
        return []
    heads = [
        column(tell("head-reference"), mm=32),
        column(tell("head-requirement")),
        column(tell("head-granted-by"), mm=40),
        column(tell("head-valid"), mm=34),
    ]
    rows = [row(_exception(entry, tell), [f"record-{entry.id}"]) for entry in concessions]
    lead = paragraph(text(tell("exceptions-lead")), "muted")
    return [heading(tell("exceptions-heading")), lead, table(heads, rows)]


def _exception(entry: Concession, tell: Teller) -> list[Inline]:
    granted = f"{tell.word(entry.authority)}, {tell.person(entry.by)}"
    until = tell("until", day=str(entry.until)) if entry.until else tell("without-end")
    limits = limits_of(entry)
    asked: Inline = [
        plain(entry.requirement),
        muted(" " + tell("on-subject", subject=tell.subject(entry.subject))),
    ]
    if limits:
        asked.append(plain(" " + tell("within-conceded", limits=limits)))
    return [
        [plain(entry.reference), muted(" " + tell.word(entry.kind, "concession"))],
        asked,
        text(granted),
        text(f"{tell.time(str(entry.at))} {until}"),
    ]
