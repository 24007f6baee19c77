"""What goes with the vehicle at hand-over, to be ticked in ink, and where builder and agency sign for it.

Items are common practice, no source. A square is never ticked by the program: beside it stands only where this dossier
has the evidence.
"""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    joined,
    link,
    mono,
    muted,
    paragraph,
    plain,
    row,
    section,
    signatures,
    signing,
    strong,
    table,
    tick,
)
from evidence.dossier._covered import argued
from evidence.dossier._declaring import Standing, conceded, standing
from evidence.dossier._index import SCHEDULE, Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.model.names import Function, PartyFunction, Role

_TESTS = (Role.TYPE_TEST_REPORT, Role.TYPE_TEST_CERTIFICATE)
_WITHOUT = ("handbooks", "weight", "electrical", "final-label", "recall", "training", "keys", "warranty")
"""Items that no dossier of this sort holds; they go with the vehicle on their own."""


def build(source: DossierInput, say: Say) -> Data:
    """The list to tick, then two places to sign and how the signed sheet is kept."""
    tell = Teller(source, say)
    state = standing(source)
    heads = [
        column(tell("head-tick"), mm=12),
        column(tell("head-item"), mm=78),
        column(tell("head-evidence")),
    ]
    given = _Given(source, state, Index.of(source), tell)
    blocks = [
        paragraph(text(tell("delivery-lead")), "muted"),
        heading(tell("delivery-papers"), listed=False),
        table(heads, [_line(name, found, tell) for name, found in given.papers()]),
        heading(tell("delivery-beside"), listed=False),
        table(heads, [_line(name, [], tell) for name in _beside(source)]),
        heading(tell("delivery-sign")),
        paragraph(text(tell("delivery-sign-lead")), "muted"),
        _places(source, state, tell),
        paragraph(text(tell("delivery-filed")), "note"),
    ]
    return section("delivery", tell("title-delivery"), blocks)


def _beside(source: DossierInput) -> Sequence[str]:
    return [*_WITHOUT, "incomplete-vehicle"] if source.north_american else _WITHOUT


def _line(name: str, found: Inline, tell: Teller) -> Data:
    where = found or [muted(tell("not-in-this-dossier"))]
    return row([[tick()], text(tell(f"delivery-{name}")), where])


class _Given:
    """Where this dossier holds each item, if it does."""

    def __init__(self, source: DossierInput, state: Standing, index: Index, tell: Teller) -> None:
        self._source = source
        self._state = state
        self._index = index
        self._tell = tell

    def papers(self) -> list[tuple[str, Inline]]:
        """Items with links to their evidence, in the order of the list."""
        record, tell = self._source.record, self._tell
        schedule = link(SCHEDULE, tell("in-this-dossier"), page=True)
        scheduled = [schedule] if self._source.profile.intervals else []
        seen = any(exhibit.kind == "photo" for exhibit in self._source.manifest.exhibits)
        torqued = [group.id for group in record.screws if group.torques]
        return [
            ("declaration", self._declaration()),
            ("tests", self._papers(_TESTS)),
            ("floor", self._papers((Role.FLOOR_TEST_REPORT,))),
            ("coverage", self._part("coverage") if argued(self._source, self._index) else []),
            ("installation", self._part("installation")),
            ("serials", self._part("installation")),
            ("torques", self._entries(torqued)),
            ("tools", self._papers((Role.CALIBRATION_CERTIFICATE,))),
            ("qualification", self._papers((Role.QUALIFICATION,))),
            ("photos", self._part("photos") if seen else []),
            ("schedule", scheduled),
            ("delivery-note", self._papers((Role.DELIVERY_NOTE,))),
            ("exceptions", self._exceptions()),
            ("open", self._open()),
            ("manifest", [*self._part("verifying"), plain("  "), muted(tell("delivery-attached"))]),
        ]

    def _part(self, name: str) -> Inline:
        return [link(f"section-{name}", self._tell("in-this-dossier"), page=True)]

    def _declaration(self) -> Inline:
        if self._state.missing:
            return [
                strong(self._tell("declaration-withheld")),
                plain(" "),
                link("section-declaration", self._tell("see"), page=True),
            ]
        return self._part("declaration")

    def _papers(self, roles: Sequence[Role]) -> Inline:
        """Documents of these roles and files filed under them; of what is held elsewhere, by whom."""
        record, tell = self._source.record, self._tell
        papers = [paper for paper in record.documents if paper.role in roles]
        own = [paper.id for paper in papers if paper.held is None]
        named = {paper.exhibit for paper in papers}
        own += [
            each.id for each in self._source.manifest.exhibits if each.role in roles and each.id not in named
        ]
        lines = [self._entries(own)] if own else []
        for paper in papers:
            if paper.held is not None:
                words = tell("delivery-held", who=paper.held.by)
                lines.append([muted(words + " "), *self._index.links((paper.id,))])
        return joined(lines, "; ")

    def _entries(self, names: Sequence[str]) -> Inline:
        known = [name for name in names if name in self._index.targets]
        return [plain(self._tell("in-this-dossier") + ": "), *self._index.links(known)] if known else []

    def _exceptions(self) -> Inline:
        found = sorted({entry.id: entry.reference for _, entry in conceded(self._source)}.items())
        if not found:
            return text(self._tell("exceptions-none"))
        return joined([[link(f"record-{name}", reference, page=True)] for name, reference in found], ", ")

    def _open(self) -> Inline:
        number = self._source.manifest.open
        if not number:
            return text(self._tell("open-none"))
        return [link("section-open", self._tell.count("missing-open", number), page=True)]


def _places(source: DossierInput, state: Standing, tell: Teller) -> Block:
    """Who hands over and who takes over, each beside the digest that the ink is bound to."""
    record = source.record
    officers = [person.id for person in record.people if Function.AGENCY_OFFICER in person.functions]
    agency = record.party(PartyFunction.AGENCY)
    issuer, giver = state.issuer, state.signatory
    sides = (
        (
            "delivery-hands",
            giver.id if giver is not None else None,
            issuer.name if issuer is not None else None,
        ),
        (
            "delivery-takes",
            officers[0] if len(officers) == 1 else None,
            agency.name if agency is not None else None,
        ),
    )
    foot: Inline = [plain(tell("sign-binds") + " "), mono(source.manifest_digest)]
    return signatures(
        tell("sign-here"), [signing(tell(code), _rows(who, party, tell), foot) for code, who, party in sides]
    )


def _rows(who: str | None, party: str | None, tell: Teller) -> list[tuple[str, Inline]]:
    """What is known is printed; what is not, and day and place, are written by hand."""
    name = tell.name(who) if who is not None else ""
    return [
        (tell("sign-for"), text(party) if party else []),
        (tell("sign-name"), text(name) if name else []),
        (tell("sign-function"), text(tell.functions(who)) if who is not None else []),
        (tell("sign-place"), []),
        (tell("sign-day"), []),
    ]
