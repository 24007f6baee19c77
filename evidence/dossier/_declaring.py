"""What a vehicle's record gives for a declaration of conformity, and what still withholds it.

The declaration is the issuer's own; nothing here states conformity. While a point is open, or a field that
ISO/IEC 17050-1 asks for is empty, or no listed standard can be declared, the page prints neither statement nor place
to sign.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from evidence.dossier._input import DossierInput
from evidence.dossier._order import natural, pack_of
from evidence.judge._permission import GRANTS
from evidence.model.finding import Finding
from evidence.model.names import DECIDING_MARKS, Function, Group, Outcome, PartyFunction
from evidence.model.record import Concession, Party, Person

OPEN, NO_NUMBER, NOTHING = "open", "declaration", "standards"
"""Reasons that are no single field: points are open, the record has no declaration, no standard can be declared."""
UNCONFIRMED, NOT_ENTITLED, NOT_JUDGED, STILL_OPEN = "unconfirmed", "not-entitled", "not-judged", "open"
"""Why one standard is not declared."""


@dataclass(frozen=True)
class Listed:
    """One standard, or the maker's manual, as the declaration would list it.

    Attributes:
        name: designation; empty for the maker's manual.
        findings: judged requirements of it that bind this vehicle.
        why_not: one of the module's reasons; empty where it can be declared.
        concerned: numbers of the clauses that the reason is about.
    """

    name: str
    findings: tuple[Finding, ...]
    why_not: str = ""
    concerned: tuple[str, ...] = ()

    @property
    def clauses(self) -> tuple[str, ...]:
        """Numbers of its clauses, counted upwards."""
        return _clauses(self.findings)

    @property
    def concessions(self) -> tuple[str, ...]:
        """Ids of the concessions that its findings stand on."""
        return tuple(sorted({one.concession for one in self.findings if one.concession is not None}))


@dataclass(frozen=True)
class Standing:
    """How far the declaration of one vehicle is.

    Attributes:
        issuer: whose declaration it is; None where the record names neither a builder nor a fitting company.
        signatory: who is to sign; None where the record does not say.
        listed: standards in the order of the bases, then the maker's manual.
        missing: what withholds it, in the order in which it is told; empty where it can be signed.
    """

    issuer: Party | None
    signatory: Person | None
    listed: tuple[Listed, ...]
    missing: tuple[str, ...]

    @property
    def declared(self) -> tuple[Listed, ...]:
        """What the declaration lists."""
        return tuple(entry for entry in self.listed if not entry.why_not)


def standing(source: DossierInput) -> Standing:
    """What the record gives, and what withholds the declaration."""
    signatory = _signatory(source)
    issuer = issuer_of(source, signatory)
    listed = _listed(source)
    return Standing(issuer, signatory, listed, tuple(_missing(source, issuer, signatory, listed)))


def issuer_of(source: DossierInput, signatory: Person | None) -> Party | None:
    """Whom the signatory works for, else the builder, else the fitting company."""
    record = source.record
    own = signatory.party if signatory is not None else None
    named = next((party for party in record.parties if own is not None and party.id == own), None)
    return named or record.party(PartyFunction.BUILDER) or record.party(PartyFunction.FITTING_COMPANY)


def conceded(source: DossierInput) -> list[tuple[Finding, Concession]]:
    """Findings that stand on a concession, in the order of the manifest; common practice is no part of it."""
    known = {entry.id: entry for entry in source.record.concessions}
    return [
        (finding, known[finding.concession])
        for finding in source.manifest.findings
        if finding.concession in known and finding.group != Group.PRACTICE
    ]


def _signatory(source: DossierInput) -> Person | None:
    """Who the declaration names, else the one person recorded as signatory."""
    people = source.record.people
    if source.record.declaration is not None:
        return next((person for person in people if person.id == source.record.declaration.by), None)
    able = [person for person in people if Function.SIGNATORY in person.functions]
    return able[0] if len(able) == 1 else None


def _missing(
    source: DossierInput, issuer: Party | None, signatory: Person | None, listed: Sequence[Listed]
) -> list[str]:
    checks = (
        (OPEN, source.manifest.state == "open"),
        (NO_NUMBER, source.record.declaration is None),
        ("issuer", issuer is None),
        ("issuer-address", issuer is not None and not issuer.address),
        ("vin", source.manifest.vehicle.vin is None),
        ("function", signatory is not None and Function.SIGNATORY not in signatory.functions),
        # while points are open they are the reason, and named already
        (
            NOTHING,
            source.manifest.state != "open" and all(entry.why_not or not entry.name for entry in listed),
        ),
    )
    return [code for code, missing in checks if missing]


def _listed(source: DossierInput) -> tuple[Listed, ...]:
    standards: dict[str, list[Finding]] = {}
    for basis in source.manifest.bases:
        found = _of_packs(basis.packs, source)
        for name, findings in (found or {basis.standard: []}).items():
            standards.setdefault(name, []).extend(findings)
    manual = [finding for finding in source.manifest.findings if finding.group == Group.PROFILE]
    return tuple(
        _entry(name, findings, source)
        for name, findings in [*standards.items(), ("", manual)]
        if name or findings
    )


def _of_packs(packs: Sequence[str], source: DossierInput) -> dict[str, list[Finding]]:
    """Designation to findings, in the order of the packs; packs of common practice hold no standard."""
    names = {
        pack.reference: pack.standard or pack.reference
        for pack in source.manifest.packs
        if pack.kind == "standard"
    }
    found: dict[str, list[Finding]] = {}
    for reference in packs:
        if reference in names:
            own = [one for one in source.manifest.findings if pack_of(one) == reference]
            found.setdefault(names[reference], []).extend(own)
    return found


def _entry(name: str, findings: Sequence[Finding], source: DossierInput) -> Listed:
    binding = tuple(one for one in findings if one.outcome != Outcome.NOT_APPLICABLE)
    if not binding:
        return Listed(name, binding, NOT_JUDGED)
    authorities = {entry.id: entry.authority for entry in source.record.concessions}
    faults = {
        STILL_OPEN: [one for one in binding if one.open],
        # an exception excuses a departure from a limit; it does not make a limit known that nobody read
        UNCONFIRMED: [one for one in binding if one.mark not in DECIDING_MARKS],
        NOT_ENTITLED: [
            one
            for one in binding
            if one.concession is not None and authorities.get(one.concession) not in GRANTS[one.group]
        ],
    }
    for why, concerned in faults.items():
        if concerned:
            return Listed(name, binding, why, _clauses(concerned))
    return Listed(name, binding)


def _clauses(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(sorted({finding.clause for finding in findings}, key=natural))
