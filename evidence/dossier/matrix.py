"""The requirement matrix: every requirement with its outcome, what that rests on, and where the evidence is."""

from evidence.dossier._blocks import (
    Block,
    Inline,
    heading,
    joined,
    link,
    muted,
    paragraph,
    plain,
    section,
    strong,
)
from evidence.dossier._by_place import by_place
from evidence.dossier._disputed import of_finding
from evidence.dossier._held import remark
from evidence.dossier._index import (
    Index,
    covered_anchor,
    finding_anchor,
    finding_label,
    measured_anchor,
    pull_anchor,
    pulse_anchor,
)
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._order import natural, pack_of, pack_order
from evidence.dossier._parts import Told, told_parts
from evidence.dossier._readings import limit_bar
from evidence.dossier._titles import clause_title, criterion_of, requirement_title
from evidence.dossier._windows import window_anchor, window_of
from evidence.dossier._words import Teller, capital, text
from evidence.model.finding import Finding
from evidence.model.names import Group, LabKind, Outcome
from evidence.model.record import LabTest

_HEADS = ("requirement", "subject", "outcome", "rests-on", "mark", "evidence")
MAX_KEPT = 700  # characters of a row that is kept on one page; a longer one breaks between its parts
MAX_PARTS = 8  # parts listed in a row that is kept on one page
MIN_TORN = 4  # parts of the longest row that never breaks between them
MAX_PIECE = 1400  # characters of a piece that is kept on one page

_Numbered = list[tuple[int, Finding]]


def build(source: DossierInput, say: Say) -> Data:
    """One table per basis, then the maker's manual, then common practice, which is not counted."""
    tell, index = Teller(source, say), Index.of(source)
    blocks: list[Block] = [paragraph(text(tell("matrix-lead")), "muted")]
    for title, lead, findings in _tables(source, index, tell):
        blocks.append(heading(title))
        if lead:
            blocks.append(paragraph(text(lead), "muted"))
        blocks.append(_matrix(findings, source, index, tell))
    blocks += by_place(source, index, tell)
    # where nothing is open there is little before it; what is signed in ink stands on a page of its own
    return section("matrix", tell("title-matrix"), blocks, flows=source.manifest.state == "complete")


def _tables(source: DossierInput, index: Index, tell: Teller) -> list[tuple[str, str, _Numbered]]:
    numbered = list(enumerate(index.findings))
    standards = [(n, finding) for n, finding in numbered if finding.group == Group.STANDARD]
    tables = [
        (_basis_title(pack, source, tell), "", [(n, each) for n, each in standards if pack_of(each) == pack])
        for pack in pack_order(source)
    ]
    profile = source.manifest.profile
    manual = tell("matrix-profile", reference=profile.reference, manual=profile.manual, maker=profile.maker)
    for group, title, lead in (
        (Group.PROFILE, manual, ""),
        (Group.PRACTICE, tell("matrix-practice"), tell("matrix-practice-lead")),
    ):
        if rows := [(n, finding) for n, finding in numbered if finding.group == group]:
            tables.append((title, lead, rows))
    return tables


def _basis_title(pack: str, source: DossierInput, tell: Teller) -> str:
    own = next((each.standard for each in source.manifest.packs if each.reference == pack), None)
    standard = own or next((basis.standard for basis in source.manifest.bases if pack in basis.packs), "")
    return tell("matrix-basis", standard=standard, pack=pack) if standard else pack


def _matrix(findings: _Numbered, source: DossierInput, index: Index, tell: Teller) -> Block:
    clauses: dict[str, _Numbered] = {}
    for number, finding in findings:
        clauses.setdefault(finding.clause, []).append((number, finding))
    return {
        "kind": "matrix",
        "heads": [tell(f"head-{name}") for name in _HEADS],
        "clauses": [
            {
                "title": _clause_title(clause, rows[0][1], index, tell),
                "outcomes": _clause_outcomes(rows[0][1], source, tell),
                "rows": [_row(number, finding, source, index, tell) for number, finding in rows],
            }
            for clause, rows in clauses.items()
        ],
    }


def _clause_title(clause: str, finding: Finding, index: Index, tell: Teller) -> Inline:
    # a section of the manual has no title of its own, and that of its first demand says nothing of the others
    if finding.group == Group.PROFILE:
        return [strong(tell("matrix-section", section=clause))]
    title = clause_title(finding, index, tell)
    if not title or clause[0].isdecimal():
        return [strong(clause), plain("  " + title)]
    told = tell.slug(clause) in title.lower()
    return [strong(capital(title)), *([] if told else [muted("  " + clause)])]


def _clause_outcomes(finding: Finding, source: DossierInput, tell: Teller) -> Inline:
    pack, spans = pack_of(finding), []
    for entry in source.manifest.clauses:
        if (entry.pack, entry.clause) == (pack, finding.clause):
            spans.append(muted(tell.subject(entry.subject).replace(" ", "\u00a0") + "\u00a0"))
            spans += tell.outcome(entry.outcome)
            spans.append(
                muted(" " + tell("route", route=tell.slug(entry.route)) + " " if entry.route else " ")
            )
    return spans


def _row(number: int, finding: Finding, source: DossierInput, index: Index, tell: Teller) -> Data:
    reason, told = _reason(finding, tell)
    remarks = (
        *_papers(number, finding, source, tell),
        of_finding(finding, source, index, tell),
        *_remarks(finding, source, index, tell),
    )
    said = joined([each for each in (reason, *remarks) if each], " ")
    return {
        "anchors": [finding_anchor(number)],
        "label": finding_label(number),
        "title": text(requirement_title(finding, index, tell)),
        "criterion": criterion_of(finding),
        "subject": text(tell.subject(finding.subject)),
        "outcome": tell.outcome(finding.outcome),
        "rests": [plain(", ".join(tell.word(entry) for entry in finding.rests_on))]
        if finding.rests_on
        else [],
        "mark": text(tell.word(finding.mark)),
        "evidence": index.links(
            each
            for group in (finding.exhibits, finding.documents, finding.records)
            for each in sorted(group, key=natural)
        ),
        "reason": said,
        "bar": limit_bar(finding, source, index, tell),
        **_pieces(said, told, tell),
    }


def _pieces(said: Inline, told: tuple[Told, ...], tell: Teller) -> Data:
    """The parts of a row, and which of them stand together on a page; a long row breaks between them."""
    parts = [{"chip": tell.outcome(each.outcome), "text": each.inline(tell)} for each in told]
    lengths = [_length(part["text"]) for part in parts]
    whole = _length(said) + sum(lengths)
    counts = [len(parts)]
    if len(parts) > MIN_TORN and (whole > MAX_KEPT or len(parts) > MAX_PARTS):
        # two parts follow the reason, and two end the row, so that no line of it stands alone on a page
        counts = [2, *[1] * (len(parts) - 4), 2]
    pieces, begin = [], 0
    for count in counts:
        length = sum(lengths[begin : begin + count]) + (0 if begin else _length(said))
        pieces.append({"parts": count, "keep": length <= MAX_PIECE})
        begin += count
    return {"parts": parts, "pieces": pieces}


def _length(inline: Inline) -> int:
    return sum(len(span.get("t", "")) for span in inline)


def _reason(finding: Finding, tell: Teller) -> tuple[Inline, tuple[Told, ...]]:
    """The finding's own reason and its parts; what both would say is said once."""
    reason, told = tell.reason(finding.reason), told_parts(finding, tell)
    if len(told) == 1 and (finding.reason.code == "all-parts-met" or told[0].sentence == reason):
        return (told[0].inline(tell) if len(finding.parts) > 1 else text(told[0].sentence)), ()
    return ([] if any(each.sentence == reason for each in told) else text(reason)), told


def _papers(number: int, finding: Finding, source: DossierInput, tell: Teller) -> list[Inline]:
    """Where a report's coverage stands field by field, and which of the papers used are not in this dossier."""
    compared = finding.type == "covers" and finding.parts and finding.outcome != Outcome.NOT_APPLICABLE
    fields = [[link(covered_anchor(number), tell("matrix-covered"), page=True)]] if compared else []
    papers = [each for each in source.record.documents if each.id in finding.documents]
    return [*fields, *filter(None, (remark(each, tell) for each in papers))]


def _test_anchor(test: LabTest) -> str:
    return pulse_anchor(test.id) if test.kind == LabKind.DYNAMIC else pull_anchor(test.id)


def _test_words(test: LabTest, tell: Teller) -> str:
    return tell(f"matrix-{test.kind}", direction=tell.word(test.direction), id=test.id)


def _remarks(finding: Finding, source: DossierInput, index: Index, tell: Teller) -> list[Inline]:
    remarks: list[Inline] = []
    tests = [test for test in source.record.tests if test.id in finding.records]
    if tests:
        places = [[link(_test_anchor(test), _test_words(test, tell), page=True)] for test in tests]
        remarks.append([muted(tell("matrix-computed") + " "), *joined(places, ", ")])
    elif finding.measurement is not None:
        words = tell("photo-measured-of", subject=tell.subject(finding.subject))
        place = link(measured_anchor(finding.subject), words, page=True)
        remarks.append([muted(tell("matrix-measured") + " "), place])
    if window := window_of(finding, source, index):
        words = tell("photo-window-of", subject=tell.subject(window))
        shown = link(window_anchor(window), words, page=True)
        remarks.append([muted(tell("matrix-window") + " "), shown])
    if finding.concession is not None:
        remarks.append([strong(tell("conceded") + " "), *index.links((finding.concession,))])
    if finding.expires is not None:
        remarks.append([muted(tell("expires", day=finding.expires))])
    if finding.open:
        remarks.append([muted(tell("to-close", who=tell.word(finding.closes)))])
    return remarks
