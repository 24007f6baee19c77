"""The issuer's own declaration of conformity, its fields after ISO/IEC 17050-1, filled from the record.

The items are those of the standard as a public news page and memory have them; no wording is taken from it. The page
is the issuer's to sign in ink. Until it can be signed it says what is missing and prints neither statement nor place
to sign.
"""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    bullets,
    column,
    facts,
    heading,
    joined,
    link,
    mono,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    signatures,
    signing,
    strong,
    table,
)
from evidence.dossier._covered import argued
from evidence.dossier._declaring import NOTHING, OPEN, Listed, Standing, conceded, standing
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._titles import clause_title, requirement_title
from evidence.dossier._vehicle import model_and_serial
from evidence.dossier._words import Teller, text
from evidence.judge.concessions import limits_of
from evidence.model.finding import Finding
from evidence.model.names import Group, Role
from evidence.model.record import Concession, Document, Position

_SUPPORTING = (
    Role.TYPE_TEST_REPORT,
    Role.TYPE_TEST_CERTIFICATE,
    Role.FLOOR_TEST_REPORT,
    Role.CALIBRATION_CERTIFICATE,
    Role.QUALIFICATION,
    Role.DECLARATION,
)
_LIMITS = ("limit-vehicle", "limit-clauses", "limit-change")


def build(source: DossierInput, say: Say) -> Data:
    """The declaration with a place to sign, or why there is none yet."""
    tell, index = Teller(source, say), Index.of(source)
    page = _Page(source, standing(source), index, tell)
    return section(
        "declaration", tell("title-declaration"), page.withheld() if page.state.missing else page.whole()
    )


class _Page:
    """The blocks of the page."""

    def __init__(self, source: DossierInput, state: Standing, index: Index, tell: Teller) -> None:
        self._source = source
        self.state = state
        self._index = index
        self._tell = tell

    def withheld(self) -> list[Block]:
        """What is missing, and what the record has already."""
        tell = self._tell
        blocks = [
            paragraph(
                [strong(tell("declaration-withheld")), plain(" " + tell("declaration-withheld-lead"))],
                "caution",
            ),
            heading(tell("declaration-missing"), listed=False),
            bullets([self._missing(code) for code in self.state.missing]),
        ]
        blocks += [heading(tell("declaration-so-far"), listed=False), facts(self._identity())]
        undeclared = [entry for entry in self.state.listed if entry.why_not]
        if undeclared:
            blocks += [heading(tell("declaration-not-listed"), listed=False), self._undeclared()]
        return blocks

    def whole(self) -> list[Block]:
        """Every field, the statement, the exceptions and the place to sign."""
        tell = self._tell
        blocks = [
            paragraph(text(tell("declaration-whose")), "muted"),
            facts(self._identity()[:-1]),  # who signs stands where the ink goes
            heading(tell("declaration-says"), listed=False),
            paragraph([strong(tell("declaration-statement", issuer=self._issuer()))]),
            heading(tell("declaration-listed"), listed=False),
            self._standards(),
        ]
        if any(entry.why_not for entry in self.state.listed):
            blocks += [heading(tell("declaration-not-listed"), listed=False), self._undeclared()]
        blocks += self._exceptions()
        blocks += [
            heading(tell("declaration-limits"), listed=False),
            bullets([text(words) for words in self._limits()]),
        ]
        if self._source.invented:
            blocks.append(paragraph([strong(tell("invented"))], "caution"))
        # the ink stands on the page of the statement; what it rests on may take another
        return [*blocks, self._place_to_sign(), *self._supporting()]

    def _missing(self, code: str) -> Inline:
        tell = self._tell
        if code == OPEN:
            return [link("section-open", tell.count("missing-open", self._source.manifest.open), page=True)]
        if code == NOTHING:
            return text(tell("missing-standards"))
        return text(tell(f"missing-{code}"))

    def _issuer(self) -> str:
        return self.state.issuer.name if self.state.issuer is not None else self._tell("not-stated")

    def _identity(self) -> list[tuple[str, Inline]]:
        """Number, issuer, object, date and place; what is not known says so."""
        tell, issuer, said = self._tell, self.state.issuer, self._source.record.declaration
        empty = text(tell("not-stated"))
        when = empty if said is None else text(f"{tell.time(said.at.text)}, {said.place}")
        address = issuer.address if issuer is not None else None
        return [
            (tell("declaration-number"), empty if said is None else [strong(said.id)]),
            (
                tell("declaration-issuer"),
                [strong(self._issuer()), new_line(), plain(address or tell("no-address"))],
            ),
            (tell("declaration-object"), self._object()),
            (
                tell("declaration-fitted"),
                joined([self._fitted(each) for each in self._source.record.positions], "\n"),
            ),
            (tell("declaration-dated"), when),
            (tell("declaration-signs"), text(self._who())),
        ]

    def _who(self) -> str:
        person = self.state.signatory
        return self._tell("not-stated") if person is None else self._tell.person(person.id)

    def _object(self) -> Inline:
        vehicle, stated, tell = self._source.manifest.vehicle, self._source.record.vehicle, self._tell
        parts = [
            (tell("front-vin"), tell.stated(stated.vin) if stated.vin else tell("not-stated")),
            (tell("front-build"), vehicle.build),
            (tell("front-module"), tell.stated(stated.module_serial) if stated.module_serial else None),
            (tell("front-type"), vehicle.type),
            (tell("front-fleet-number"), vehicle.fleet_number),
        ]
        named = [f"{label} {value}" for label, value in parts if value]
        return [strong(tell("declaration-what")), new_line(), plain(", ".join(named))]

    def _fitted(self, position: Position) -> Inline:
        tell, system = self._tell, position.system
        words = [
            f"{system.model}, {tell('serial', serial=tell.stated(system.serial))}",
            *([tell("lot", lot=tell.stated(system.lot))] if system.lot is not None else []),
        ]
        spans: Inline = [plain(f"{tell.subject(position.id)}: {', '.join(words)}")]
        for line in self._stretchers(position):
            spans += [new_line(), muted(line)]
        return spans

    def _stretchers(self, position: Position) -> list[str]:
        """What it is delivered with and, where that is another one, what it was tested with."""
        own, tell = position.stretchers.delivered_with, self._tell
        other = [each for each in position.stretchers.tested_with if each not in own]
        lines = [("delivered-with", own), ("tested-with", other)]
        return [f"{tell(code)} {', '.join(map(model_and_serial, each))}" for code, each in lines if each]

    def _standards(self) -> Block:
        """Every declared standard with its clauses, the options taken and the exceptions."""
        tell = self._tell
        heads = [
            column(tell("head-basis"), mm=52),
            column(tell("head-clauses")),
            column(tell("head-exceptions"), mm=44),
        ]
        rows = [
            row([self._named(entry), self._clauses(entry), self._except(entry)])
            for entry in self.state.declared
        ]
        return table(heads, rows)

    def _named(self, entry: Listed) -> Inline:
        if entry.name:
            return [strong(entry.name)]
        profile, tell = self._source.manifest.profile, self._tell
        line = tell("profile-line", reference=profile.reference, manual=profile.manual, maker=profile.maker)
        return [strong(tell("declaration-manual")), new_line(), plain(line)]

    def _clauses(self, entry: Listed) -> Inline:
        spans = text(self._numbers(entry.clauses, entry))
        for clause, route in self._routes(entry):
            spans += [
                new_line(),
                muted(self._tell("declaration-route", clause=clause, route=self._tell.slug(route))),
            ]
        return spans

    def _numbers(self, clauses: Sequence[str], entry: Listed) -> str:
        """Numbers of clauses; where the standard's are not known, what the clauses are called."""
        titles = {one.clause: clause_title(one, self._index, self._tell) for one in entry.findings}
        told = [
            each if each[0].isdecimal() else self._tell.inside(titles.get(each) or each) for each in clauses
        ]
        # a title may have a comma of its own
        return (", " if told == list(clauses) else "; ").join(told)

    def _routes(self, entry: Listed) -> list[tuple[str, str]]:
        """Clauses with a choice, and what was chosen; several where places differ."""
        packs = {finding.requirement.split("/", 1)[0] for finding in entry.findings}
        taken = [
            (outcome.clause, outcome.route)
            for outcome in self._source.manifest.clauses
            if outcome.pack in packs and outcome.route is not None and outcome.clause in entry.clauses
        ]
        return list(dict.fromkeys(taken))

    def _except(self, entry: Listed) -> Inline:
        if not entry.concessions:
            return text(self._tell("exceptions-none"))
        references = {each.id: each.reference for each in self._source.record.concessions}
        return joined(
            [[link(f"record-{each}", references.get(each, each), page=True)] for each in entry.concessions],
            ", ",
        )

    def _undeclared(self) -> Block:
        tell = self._tell
        heads = [
            column(tell("head-basis"), mm=52),
            column(tell("head-why-not")),
            column(tell("head-clauses"), mm=44),
        ]
        rows = [
            row(
                [
                    self._named(entry),
                    text(tell(f"why-not-{entry.why_not}")),
                    text(self._numbers(entry.concerned, entry)),
                ]
            )
            for entry in self.state.listed
            if entry.why_not
        ]
        return table(heads, rows)

    def _exceptions(self) -> list[Block]:
        """Each conceded requirement with who accepts it, under what reference, within what and how long."""
        tell = self._tell
        found = conceded(self._source)
        if not found:
            return []
        heads = [
            column(tell("head-requirement")),
            column(tell("head-reference"), mm=36),
            column(tell("head-granted-by"), mm=44),
            column(tell("head-terms"), mm=34),
        ]
        rows = [row(self._exception(finding, entry)) for finding, entry in found]
        return [heading(tell("exceptions-heading"), listed=False), table(heads, rows)]

    def _exception(self, finding: Finding, entry: Concession) -> list[Inline]:
        tell = self._tell
        basis = (
            tell("declaration-manual")
            if finding.group == Group.PROFILE
            else finding.requirement.split("/", 1)[0]
        )
        until = tell("until", day=str(entry.until)) if entry.until else tell("without-end")
        return [
            [
                plain(requirement_title(finding, self._index, tell)),
                muted(" " + tell("on-subject", subject=tell.subject(finding.subject))),
                new_line(),
                muted(f"{basis}, {finding.clause} "),
                *tell.outcome(finding.outcome),
            ],
            [
                link(f"record-{entry.id}", entry.reference, page=True),
                new_line(),
                muted(tell.word(entry.kind, "concession")),
            ],
            [plain(tell.word(entry.authority)), new_line(), muted(f"{tell.person(entry.by)}, {entry.at}")],
            [plain(limits_of(entry) or tell("declaration-no-limits")), new_line(), muted(until)],
        ]

    def _limits(self) -> list[str]:
        tell = self._tell
        ends = sorted({str(entry.until) for _, entry in conceded(self._source) if entry.until})
        return [
            *(tell(code) for code in _LIMITS),
            *([tell("limit-exceptions", day=ends[0])] if ends else []),
            tell("limit-as-of", day=self._source.manifest.as_of),
        ]

    def _supporting(self) -> list[Block]:
        """Reports, papers about tools and people, and where in the dossier each requirement is answered."""
        tell, covering = self._tell, argued(self._source, self._index)
        pages = [
            [link("section-matrix", tell("next-matrix"), page=True)],
            *([[link("section-coverage", tell("title-coverage"), page=True)]] if covering else []),
            [link("section-installation", tell("next-installation"), page=True)],
            [link("section-register", tell("title-register"), page=True)],
        ]
        papers = [self._papers(role) for role in _SUPPORTING]
        lines = [*(spans for spans in papers if spans), joined(pages, "  \u00b7  ")]
        return [heading(tell("declaration-supporting"), listed=False), bullets(lines)]

    def _papers(self, role: Role) -> Inline:
        """``Type test report: Millrace Test House, ref. MTH-24-118, d1``, all of one sort in a row; nothing of none."""
        found = [self._paper(each) for each in self._source.record.documents if each.role == role]
        return [plain(self._tell.word(role) + ": "), *joined(found, "; ")] if found else []

    def _paper(self, document: Document) -> Inline:
        tell = self._tell
        named = [document.issuer, document.reference and tell("reference", reference=document.reference)]
        words = "".join(f"{each}, " for each in named if each)
        held = (
            [muted(", " + tell.inside(tell("held-by", who=document.held.by)))]
            if document.held is not None
            else []
        )
        return [plain(words), *self._index.links((document.id,)), *held]

    def _place_to_sign(self) -> Block:
        tell, person, said = self._tell, self.state.signatory, self._source.record.declaration
        name = tell.name(person.id) if person is not None else ""
        functions = tell.functions(person.id) if person is not None else ""
        dated = f"{said.place}, {tell.time(said.at.text)}" if said is not None else ""
        rows = [
            (tell("sign-name"), text(name) if name else []),
            (tell("sign-function"), text(functions)),
            (tell("sign-for"), text(self._issuer())),
            (tell("sign-dated"), text(dated)),
        ]
        foot: Inline = [plain(tell("sign-binds") + " "), mono(self._source.manifest_digest)]
        return signatures(
            tell("sign-here"),
            [signing(tell("sign-issuer", number=said.id if said is not None else ""), rows, foot)],
        )
