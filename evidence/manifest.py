"""Assemble the manifest from what was judged, and check that a manifest agrees with itself.

The manifest holds ids, codes, quantities and digests. It holds no sentence and no personal value, and never the
digest of the dossier, which prints the manifest's own.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from evidence.errors import Problem
from evidence.jsondoc import canonical, digest
from evidence.mentions import Mention
from evidence.model._text import FieldState
from evidence.model.exhibit import Item
from evidence.model.finding import Finding, Judgement
from evidence.model.manifest import (
    JUDGE,
    Manifest,
    ManifestBasis,
    ManifestDocument,
    ManifestExhibit,
    ManifestMeasurement,
    ManifestMention,
    ManifestPack,
    ManifestParty,
    ManifestPerson,
    ManifestPosition,
    ManifestProfile,
    ManifestRelease,
    ManifestSlot,
    ManifestVehicle,
    ManifestWindow,
)
from evidence.model.measurement import Measurement, WindowReading, measurement_id, window_id
from evidence.model.names import Group, Outcome
from evidence.model.pack import Pack
from evidence.model.pages import written
from evidence.model.profile import Profile
from evidence.model.record import RECORD_FORMAT, JobRecord, Position, StretcherRef
from evidence.model.result import LabResult

WHERE = "data/manifest.json"


@dataclass(frozen=True)
class FiledExhibit:
    """One evidence file as the bundle holds it.

    Attributes:
        item: what was read from it.
        path: path of the original below ``data/``.
        redacted: path of its redacted twin or stub below ``data/``, with that file's digest, or None.
    """

    item: Item
    path: str
    redacted: tuple[str, str] | None = None


@dataclass(frozen=True)
class Judged:
    """What one job's judging gives, with the inputs it rests on.

    Attributes:
        packs: packs used, in the order of the record.
        digests: SHA-256 of each pack's and the profile's stored bytes, by reference.
        filed: exhibit id to the file as the bundle holds it.
        mentions: where the texts of documents mention what they claim.
        measurements: what photos gave, by quantity and subject.
        windows: what photos of lock windows show, by exhibit.
        results: what was computed from channels of tests, by what asked for it and test.
    """

    record: JobRecord
    profile: Profile
    packs: tuple[Pack, ...]
    digests: Mapping[str, str]
    judgement: Judgement
    filed: Mapping[str, FiledExhibit]
    as_of: date
    known_on: date | None = None
    mentions: tuple[Mention, ...] = ()
    measurements: Mapping[tuple[str, str], Measurement] = field(default_factory=dict)
    windows: Mapping[str, WindowReading] = field(default_factory=dict)
    results: Mapping[tuple[str, str], LabResult] = field(default_factory=dict)


def record_bytes(record: JobRecord) -> bytes:
    """The normalised record as stored in ``data/inputs/record.json``."""
    return canonical({**record.document(), "format": RECORD_FORMAT})


def summary(findings: Iterable[Finding]) -> dict[Outcome, int]:
    """Number of findings per outcome; common practice is not counted."""
    counted = Counter(finding.outcome for finding in findings if finding.group != Group.PRACTICE)
    return {outcome: counted.get(outcome, 0) for outcome in Outcome}


def open_points(judgement: Judgement) -> int:
    """Number of open findings and unanswered contradictions."""
    findings = sum(finding.open for finding in judgement.findings)
    return findings + sum(contradiction.open for contradiction in judgement.contradictions)


def assemble(judged: Judged, tool: str) -> Manifest:
    """The manifest of one vehicle.

    Args:
        judged: what judging gave.
        tool: version of this program.
    """
    record, judgement = judged.record, judged.judgement
    still_open = open_points(judgement)
    return Manifest(
        format="sillmark-manifest/0",
        tool=tool,
        judge=JUDGE,
        job=record.id,
        as_of=judged.as_of.isoformat(),
        known_on=judged.known_on.isoformat() if judged.known_on else None,
        state="open" if still_open else "complete",
        summary=summary(judgement.findings),
        open=still_open,
        vehicle=_vehicle(record),
        parties=tuple(
            ManifestParty(function=party.function, name=party.name, address=party.address)
            for party in record.parties
        ),
        positions=tuple(_position(position) for position in record.positions),
        bases=tuple(
            ManifestBasis(standard=basis.standard, packs=basis.packs, stated_by=basis.stated_by)
            for basis in record.bases
        ),
        packs=tuple(_pack(pack, judged.digests[pack.reference]) for pack in judged.packs),
        profile=_profile(judged.profile, judged.digests[judged.profile.reference]),
        people=tuple(ManifestPerson(id=person.id, functions=person.functions) for person in record.people),
        release=ManifestRelease(at=record.release.at.text, by=record.release.by) if record.release else None,
        record_sha256=digest(record_bytes(record)),
        findings=judgement.findings,
        clauses=judgement.clauses,
        contradictions=judgement.contradictions,
        concessions=tuple(sorted(concession.id for concession in record.concessions)),
        exhibits=_exhibits(judged),
        open_exhibits=_slots(judged),
        documents=_documents(record),
        mentions=_mentions(judged),
        measurements=_measurements(judged),
        windows=_windows(judged),
        results=tuple(sorted(judged.results.values(), key=lambda each: each.id)),
    )


def _text(value: Any) -> str | None:
    return value if isinstance(value, str) else None


def _vehicle(record: JobRecord) -> ManifestVehicle:
    vehicle = record.vehicle
    return ManifestVehicle(
        build=vehicle.build,
        module_serial=_text(vehicle.module_serial),
        vin=_text(vehicle.vin),
        type=vehicle.type,
        drive_side=vehicle.drive_side,
        fleet_number=vehicle.fleet_number,
    )


def _position(position: Position) -> ManifestPosition:
    return ManifestPosition(
        id=position.id,
        system_model=position.system.model,
        system_serial=_text(position.system.serial),
        loading=position.loading,
        orientation=position.orientation,
        stretchers_tested_with=_stretchers(position.stretchers.tested_with),
        stretchers_approved=position.stretchers.approved_models,
        stretchers_delivered_with=_stretchers(position.stretchers.delivered_with),
    )


def _stretchers(references: Iterable[StretcherRef]) -> tuple[str, ...]:
    return tuple(
        f"{reference.model} {reference.serial}" if isinstance(reference.serial, str) else reference.model
        for reference in references
    )


def _pack(pack: Pack, sha256: str) -> ManifestPack:
    return ManifestPack(
        reference=pack.reference,
        standard=pack.standard.designation if pack.standard else None,
        kind=pack.kind,
        region=pack.region,
        sha256=sha256,
        known_as_of=pack.known_as_of.isoformat(),
        review_by=pack.review_by.isoformat(),
        invented=pack.invented == "yes",
    )


def _profile(profile: Profile, sha256: str) -> ManifestProfile:
    return ManifestProfile(
        reference=profile.reference,
        manual=profile.manual.id,
        maker=profile.manual.maker,
        sha256=sha256,
        invented=profile.manual.invented == "yes",
    )


def _exhibits(judged: Judged) -> tuple[ManifestExhibit, ...]:
    entries = {entry.id: entry for entry in judged.record.exhibits}
    return tuple(
        ManifestExhibit(
            id=exhibit_id,
            role=entries[exhibit_id].role,
            subject=entries[exhibit_id].subject,
            kind=filed.item.kind,
            media_type=filed.item.media_type,
            file=filed.path,
            sha256=filed.item.sha256,
            bytes=filed.item.bytes,
            item=f"items/{exhibit_id}.json",
            redacted=filed.redacted[0] if filed.redacted else None,
            redacted_sha256=filed.redacted[1] if filed.redacted else None,
        )
        for exhibit_id, filed in sorted(judged.filed.items())
    )


def _slots(judged: Judged) -> tuple[ManifestSlot, ...]:
    return tuple(
        ManifestSlot(
            id=entry.id,
            role=entry.role,
            subject=entry.subject,
            state=entry.file.state.value if isinstance(entry.file, FieldState) else "missing",
        )
        for entry in sorted(judged.record.exhibits, key=lambda entry: entry.id)
        if entry.id not in judged.filed
    )


def _documents(record: JobRecord) -> tuple[ManifestDocument, ...]:
    return tuple(
        ManifestDocument(
            id=document.id,
            role=document.role,
            subject=document.subject,
            exhibit=document.exhibit,
            issuer=document.issuer,
            reference=document.reference,
            issued=document.issued.isoformat() if isinstance(document.issued, date) else None,
            held_by=document.held.by if document.held else None,
        )
        for document in sorted(record.documents, key=lambda document: document.id)
    )


def _mentions(judged: Judged) -> tuple[ManifestMention, ...]:
    return tuple(
        ManifestMention(paper=each.document, number=each.number, claim=each.claim, pages=written(each.pages))
        for each in judged.mentions
    )


def _measurements(judged: Judged) -> tuple[ManifestMeasurement, ...]:
    return tuple(
        ManifestMeasurement(id=measurement_id(*key), quantity=key[0], subject=key[1], measurement=measurement)
        for key, measurement in sorted(judged.measurements.items())
    )


def _windows(judged: Judged) -> tuple[ManifestWindow, ...]:
    subjects = {entry.id: entry.subject for entry in judged.record.exhibits}
    return tuple(
        ManifestWindow(id=window_id(exhibit), subject=subjects[exhibit], reading=reading)
        for exhibit, reading in sorted(judged.windows.items())
    )


def inner_problems(manifest: Manifest) -> tuple[Problem, ...]:
    """Every way in which a manifest contradicts itself, sorted.

    1. Each (requirement, subject) stands once, each contradiction once.
    2. Exhibits and people that are named exist.
    3. The counts and the state follow from the findings.
    """
    problems = [*_repeated(manifest), *_dangling(manifest), *_miscounted(manifest)]
    return tuple(sorted(problems, key=Problem.order))


def _repeated(manifest: Manifest) -> list[Problem]:
    keys = Counter("\0".join(finding.key) for finding in manifest.findings)
    keys.update(contradiction.id for contradiction in manifest.contradictions)
    keys.update(window.id for window in manifest.windows)
    keys.update(result.id for result in manifest.results)
    return [
        Problem("manifest-repeated", WHERE, "/findings", {"found": key.replace("\0", " for ")})
        for key, count in keys.items()
        if count > 1
    ]


def _dangling(manifest: Manifest) -> list[Problem]:
    exhibits = {exhibit.id for exhibit in manifest.exhibits} | {slot.id for slot in manifest.open_exhibits}
    people = {person.id for person in manifest.people}
    named = [
        (f"/findings/{index}/exhibits", exhibit_id)
        for index, finding in enumerate(manifest.findings)
        for exhibit_id in finding.exhibits
        if exhibit_id not in exhibits
    ]
    named += [
        (f"/measurements/{index}/measurement/exhibits", exhibit_id)
        for index, measured in enumerate(manifest.measurements)
        for exhibit_id in measured.measurement.exhibits
        if exhibit_id not in exhibits
    ]
    named += [
        (f"/windows/{index}/reading/exhibits", exhibit_id)
        for index, window in enumerate(manifest.windows)
        for exhibit_id in window.reading.exhibits
        if exhibit_id not in exhibits
    ]
    named += [
        (f"/results/{index}/exhibit", result.exhibit)
        for index, result in enumerate(manifest.results)
        if result.exhibit not in exhibits
    ]
    measurements = {each.id for each in manifest.measurements} | {each.id for each in manifest.windows}
    measurements |= {each.id for each in manifest.results}
    named += [
        (f"/findings/{index}/measurement", finding.measurement)
        for index, finding in enumerate(manifest.findings)
        if finding.measurement is not None and finding.measurement not in measurements
    ]
    named += [
        (f"/bases/{index}/stated_by", basis.stated_by)
        for index, basis in enumerate(manifest.bases)
        if basis.stated_by not in people
    ]
    return [Problem("manifest-dangling", WHERE, pointer, {"found": found}) for pointer, found in named]


def _miscounted(manifest: Manifest) -> list[Problem]:
    judgement = Judgement(
        findings=manifest.findings, clauses=manifest.clauses, contradictions=manifest.contradictions
    )
    still_open = open_points(judgement)
    expected_state = "open" if still_open else "complete"
    checks = (
        ("/summary", dict(manifest.summary) == summary(manifest.findings)),
        ("/open", manifest.open == still_open),
        ("/state", manifest.state == expected_state),
    )
    return [
        Problem("manifest-miscounted", WHERE, pointer, {"expected": f"{still_open} open"})
        for pointer, holds in checks
        if not holds
    ]
