"""Type-test evidence: each report with its edition and where it is, and field by field how far it reaches this vehicle."""

import re
from collections.abc import Iterator
from datetime import date

from evidence.dossier._blocks import (
    Block,
    Inline,
    bullets,
    column,
    facts,
    heading,
    joined,
    link,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._claims import stated_as
from evidence.dossier._covered import Covered, covered
from evidence.dossier._held import place
from evidence.dossier._index import Index, argument_anchor, covered_anchor, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._titles import requirement_title
from evidence.dossier._words import Teller, capital, text
from evidence.model.names import ClaimName, Outcome, Role
from evidence.model.record import Argument, Document
from evidence.register.editions import State, in_force

_ROLES = frozenset({Role.TYPE_TEST_REPORT, Role.TYPE_TEST_CERTIFICATE, Role.FLOOR_TEST_REPORT})
_PAST = {State.SUPERSEDED: "superseded", State.WITHDRAWN: "withdrawn", State.UNCERTAIN: "uncertain"}


def build(source: DossierInput, say: Say) -> Data:
    """A head and a table for each report, what no report answers, and the arguments that were recorded."""
    page = _Page(source, Teller(source, say))
    return section("coverage", page.tell("title-coverage"), list(page.blocks()))


class _Page:
    """The blocks of the section."""

    def __init__(self, source: DossierInput, tell: Teller) -> None:
        self.tell = tell
        self._source = source
        self._index = Index.of(source)
        self._rows = covered(source, self._index)
        self._anchored: set[int] = set()  # findings whose first row the matrix leads to

    def blocks(self) -> Iterator[Block]:
        """Reports in the order of the record, then what is missing, then the arguments."""
        reports = [
            each for each in self._source.record.documents if each.role in _ROLES or each.id in self._rows
        ]
        unanswered = list(self._unanswered())
        if not (reports or unanswered):
            return
        yield paragraph(text(self.tell("coverage-lead")), "muted")
        for report in reports:
            yield heading(f"{capital(self.tell.word(report.role))} {report.id}")
            yield facts(list(self._head(report)))
            rows = self._rows.get(report.id, [])
            if rows:
                yield table(self._heads(), [self._row(report, each) for each in rows])
            else:
                yield paragraph(text(self.tell("coverage-not-asked")), "muted")
        if unanswered:
            yield heading(self.tell("coverage-unanswered"))
            yield bullets(unanswered)
        yield from self._arguments()

    # ── heads ───────────────────────────────────────────────────────────────────────────────────────────────

    def _head(self, report: Document) -> Iterator[tuple[str, Inline]]:
        tell = self.tell
        yield tell("coverage-issuer"), text(report.issuer or tell("coverage-nobody"))
        yield tell("coverage-reference"), text(report.reference or tell("coverage-nobody"))
        yield tell("coverage-issued"), text(tell.stated(report.issued))
        yield tell("coverage-edition"), self._edition(report)
        yield tell("coverage-about"), text(tell.subject(report.subject))
        yield tell("coverage-where"), place(report, self._source, self._index, tell)

    def _edition(self, report: Document) -> Inline:
        """What standard it names, with a word where the register knows a later edition; never an outcome."""
        spans = stated_as(report, ClaimName.TEST_STANDARD, self._source, self.tell)
        if not spans:
            return [muted(self.tell("coverage-not-stated"))]
        for label in self._labels(report):
            spans += [new_line(), strong(label[0]), muted(f" {label[1]}")]
        return spans

    def _labels(self, report: Document) -> Iterator[tuple[str, str]]:
        editions, day = self._source.editions, date.fromisoformat(self._source.manifest.as_of)
        if editions is None:
            return
        named = (each.value for each in report.claims if each.name == ClaimName.TEST_STANDARD)
        pieces = [
            piece.strip() for each in named if isinstance(each, str) for piece in re.split(r"[;,]", each)
        ]
        for piece in dict.fromkeys(pieces):
            edition = editions.named(piece)
            if edition is None:
                continue
            answer = in_force(editions, edition.designation, day)
            state = next(each.state for each in answer.states if each.edition.id == edition.id)
            # an edition whose own first day is not known is none that may have been replaced
            if state in _PAST and (state != State.UNCERTAIN or edition.superseded_by is not None):
                later = ", ".join(one.edition for one in answer.in_force)
                known = {"day": str(day), "edition": edition.edition, "known": str(editions.known_as_of)}
                code = "coverage-past-to" if later and state == State.SUPERSEDED else "coverage-past"
                yield self.tell(f"coverage-{_PAST[state]}"), self.tell(code, later=later, **known)

    # ── the table ───────────────────────────────────────────────────────────────────────────────────────────

    def _heads(self) -> list[Data]:
        tell = self.tell
        return [
            column(tell("coverage-head-field"), mm=27),
            column(tell("coverage-head-report")),
            column(tell("coverage-head-vehicle")),
            column(tell("coverage-head-answer"), mm=31),
            column(tell("coverage-head-argument"), mm=27),
            column(tell("coverage-head-finding"), mm=15),
        ]

    def _row(self, report: Document, each: Covered) -> Data:
        tell = self.tell
        says = stated_as(report, each.field.claim, self._source, tell)
        new = [number for number in each.numbers if number not in self._anchored]
        self._anchored.update(new)
        findings = [[link(finding_anchor(number), finding_label(number))] for number in each.numbers]
        cells = [
            text(capital(tell.word(each.field.claim))),
            [*says, plain(" "), link(f"document-{report.id}", report.id)] if says else self._nothing(),
            self._has(each),
            [*tell.outcome(each.outcome), new_line(), *self._answer(each)],
            self._argument(each),
            joined(findings, ", "),
        ]
        return row(cells, [covered_anchor(number) for number in new])

    def _nothing(self) -> Inline:
        return [muted(self.tell("coverage-not-stated"))]

    def _has(self, each: Covered) -> Inline:
        tell, field = self.tell, each.field
        if field.how == "one-of":
            return [muted(tell("coverage-asked") + " "), plain(", ".join(field.values)), *self._places(each)]
        if field.how == "stated":
            return [muted(tell("coverage-any")), *self._places(each)]
        words = [*each.has.values, *(tell.word(state) for state in each.has.states)]
        bounded = field.how in ("at-least", "at-most") and bool(each.has.values)
        how = [muted(f"{tell(f'coverage-{field.how}')} ")] if bounded else []
        return [*how, plain(", ".join(words)), *self._places(each)]

    def _places(self, each: Covered) -> Inline:
        """Which places a row is about, where the vehicle has several."""
        if len(self._source.record.positions) == 1:
            return []
        return [new_line(), muted(", ".join(map(self.tell.subject, each.subjects)))]

    def _answer(self, each: Covered) -> Inline:
        spans: Inline = [plain(self.tell(f"coverage-answer-{each.answer}"))]
        return [*spans, new_line(), muted(self.tell("coverage-only"))] if each.only_compared else spans

    def _argument(self, each: Covered) -> Inline:
        found = next((one for one in self._source.record.arguments if one.id == each.argument), None)
        if found is None:
            return []
        counts = "coverage-counts" if each.answer == "argued" else "coverage-told"
        spans: Inline = [link(argument_anchor(found.id), found.id), new_line()]
        spans += [plain(self.tell.person(found.by)), new_line(), plain(self.tell.stated(found.at))]
        return [*spans, new_line(), muted(self.tell(counts))]

    # ── what is left ────────────────────────────────────────────────────────────────────────────────────────

    def _unanswered(self) -> Iterator[Inline]:
        for number, finding in enumerate(self._index.findings):
            if finding.type == "covers" and not finding.parts and finding.outcome != Outcome.NOT_APPLICABLE:
                title = requirement_title(finding, self._index, self.tell)
                told = self.tell.reason(finding.reason)
                yield [link(finding_anchor(number), finding_label(number)), plain(f" {title}: "), muted(told)]

    def _arguments(self) -> Iterator[Block]:
        tell, found = self.tell, self._source.record.arguments
        if not found:
            return
        yield heading(tell("coverage-arguments"))
        yield paragraph(text(tell("coverage-arguments-lead")), "muted")
        heads = [
            column(tell("coverage-head-argument"), mm=20),
            column(tell("coverage-head-for")),
            column(tell("head-when-who"), mm=48),
            column(tell("coverage-head-words"), mm=44),
        ]
        yield table(heads, [self._argued(each) for each in found])

    def _argued(self, each: Argument) -> Data:
        tell = self.tell
        about = tell("coverage-for", field=tell.word(each.claim), subject=tell.subject(each.subject))
        cells = [
            [strong(each.id)],
            [plain(capital(about) + ", "), *self._index.links((each.paper,))],
            [plain(tell.stated(each.at)), new_line(), muted(tell.person(each.by))],
            joined(list(self._words(each)), ", ") or [muted(tell("coverage-no-words"))],
        ]
        return row(cells, [argument_anchor(each.id)])

    def _words(self, each: Argument) -> Iterator[Inline]:
        if each.exhibit is not None:
            yield self._index.links((each.exhibit,))
        if each.note is not None:
            notes = () if self._source.people is None else self._source.people.notes
            printed = any(note.id == each.note for note in notes)
            words = self.tell("coverage-note", id=each.note)
            yield [link(f"note-{each.note}", words, page=True) if printed else muted(words)]
