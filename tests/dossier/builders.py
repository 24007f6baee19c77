"""Plausible dossier inputs of two invented vehicles, with pictures, documents and a catalogue to say things."""

import io
from collections.abc import Mapping
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

from PIL import Image, ImageDraw
from pypdf import PdfWriter

from evidence.dossier import Data, DossierInput, Say, build, paper_for
from evidence.jsondoc import canonical, digest
from evidence.model.exhibit import Item
from evidence.model.manifest import Manifest
from evidence.model.names import Outcome
from evidence.model.people import People
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.phrases import shown
from evidence.phrases.dossier_en import DOSSIER
from tests.dossier import records
from tests.dossier.judged import (
    CONTRADICTIONS,
    OPEN_SLOTS,
    demands_for,
    finished_findings,
    open_findings,
)

ISSUED = datetime(2026, 3, 5, 10, 0, tzinfo=UTC)
KEY_ID = sha256(b"key").hexdigest()
_REASONS = {
    "within-limits": "{value} lies within {low} and {high}.",
    "outside-limits": "{value} lies outside {low} to {high}.",
    "uncertainty-spans-limit": "{value} with its uncertainty of {expanded_uncertainty} spans the limit {limit}.",
    "limit-not-confirmed": "The demand is {mark}; {compared} was compared, but the limit is not confirmed.",
    "evidence-there": "Evidence is there: {found}.",
    "missing-evidence": "Nothing of the kind {roles} was filed for {subject}.",
    "fact-illegible": "The fact {fact} of {subject} cannot be read.",
    "serial-differs": "The record has {recorded}, document {document} has {claimed}.",
    "photo-outside-work": "Photo {exhibit} claims {taken}; the work was between {first_day} and {last_day}.",
    "hostile": "{text}",
}


def say(code: str, parameters: Mapping[str, object]) -> str:
    """A sentence of the dossier's catalogue, or of the few reasons used here."""
    fields = {name: shown(value) for name, value in parameters.items()}
    return (DOSSIER.get(code) or _REASONS[code]).format_map(fields)


PEOPLE: Mapping[str, Any] = {
    "format": "sillmark-people/0",
    "people": [
        {"id": "w1", "name": "Ada Fitter", "badge": "0012"},
        {"id": "w2", "name": "Bo Éclair-Łukasz"},
        {"id": "w3", "name": "Cleo Signs"},
    ],
    "plate": "TV-AM 417",
    "notes": [
        {
            "id": "n1",
            "about": "s2p1",
            "language": "de",
            "text": "Zweite Schraube nachgezogen, danach neu gesichert.",
        }
    ],
    "file_names": [{"id": "E001", "name": "IMG_2044 (hook).jpg"}],
}


def photo_bytes(seed: int, size: tuple[int, int] = (800, 600)) -> bytes:
    """A JPEG that shows something: a floor, a plate, a hook."""
    picture = Image.new("RGB", size, (150, 152 + seed % 40, 150))
    draw = ImageDraw.Draw(picture)
    width, height = size
    for line in range(0, width, 40):
        draw.line((line, 0, line - 200, height), fill=(138, 140, 140), width=3)
    draw.rectangle((width * 0.2, height * 0.55, width * 0.8, height * 0.7), fill=(90, 94, 98))
    draw.ellipse((width * 0.45, height * 0.35, width * 0.6, height * 0.6), outline=(30, 60, 140), width=18)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=80)
    return out.getvalue()


def document_bytes(pages: int) -> bytes:
    """A PDF of blank pages."""
    writer = PdfWriter()
    for _ in range(pages):
        writer.add_blank_page(595, 842)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


CSV = b"screw;torque N.m\n1;42.0\n2;41.5\n"


CODES = (
    "sillmark:AMB-0417:p1:7k4q2m",
    "sillmark-clock:AMB-0417:5t9d3w",
    "VIN 0BW2231TARN000417",
    "VIN 0BW2231TARN000417 BUILD BW-2231",
    "SN 0012",
    "HERON 2 SN 0012",
    "(01)09506000134352(21)0012",
    "BW-2231",
)
"""One code of each sort that the photo log has words for."""


def _item(entry: Data, content: bytes) -> Item:
    part: Data = {
        "kind": "table",
        "media_type": "text/csv",
        "table": {"columns": [{"name": "torque", "unit": "N·m"}], "rows": 4},
    }
    if entry["file"].endswith(".jpg"):
        photo = {
            "width": 4000,
            "height": 3000,
            "taken": "2026-03-04T10:42:10",
            "taken_offset": "+01:00",
            "camera": "Demo Phone 5",
            "codes": [
                {"symbology": "qr", "text": text, "corners": [100, 100, 200, 100, 200, 200, 100, 200]}
                for text in CODES
            ],
        }
        part = {"kind": "photo", "media_type": "image/jpeg", "photo": photo}
    elif entry["file"].endswith(".pdf"):
        part = {
            "kind": "document",
            "media_type": "application/pdf",
            "document": {"pages": 12, "has_text": True},
        }
    common = {
        "format": "sillmark-item/0",
        "id": entry["id"],
        "sha256": digest(content),
        "bytes": len(content),
    }
    return Item.read({**common, **part})


def contents(record: Data) -> dict[str, bytes]:
    """Bytes of every evidence file of a record."""
    made = {}
    for number, entry in enumerate(record["exhibits"]):
        suffix = entry["file"].rsplit(".", 1)[-1]
        made[entry["id"]] = {"jpg": photo_bytes(number), "pdf": document_bytes(2)}.get(suffix, CSV)
    return made


def manifest_for(record: Data, findings: list[Data], contradictions: list[Data], packs: list[Data]) -> Data:
    """A manifest document around findings; state and counts follow from them."""
    files = contents(record)
    settled = ("met", "not applicable")
    is_open = [
        f
        for f in findings
        if f["outcome"] not in settled and not f.get("concession") and f["group"] != "practice"
    ]
    count = len(is_open) + sum(1 for c in contradictions if c["severity"] == "contradiction")
    counted = [entry["outcome"] for entry in findings if entry["group"] != "practice"]
    vehicle = {name: value for name, value in record["vehicle"].items() if isinstance(value, str)}
    return {
        "format": "sillmark-manifest/0",
        "tool": "sillmark 0.1.0",
        "judge": 1,
        "job": record["id"],
        "as_of": "2026-03-20",
        "state": "open" if count else "complete",
        "summary": {outcome.value: counted.count(outcome.value) for outcome in Outcome},
        "open": count,
        "vehicle": vehicle,
        "parties": [
            {key: party[key] for key in ("function", "name", "address") if key in party}
            for party in record["parties"]
        ],
        "positions": [_position(entry) for entry in record["positions"]],
        "bases": [
            {key: basis[key] for key in ("standard", "packs", "stated_by")} for basis in record["bases"]
        ],
        "packs": packs,
        "profile": {
            "reference": "heron-2@C",
            "manual": "AP-2207",
            "maker": "Alder Point Handling",
            "sha256": digest(b"profile"),
            "invented": True,
        },
        "people": [{"id": person["id"], "functions": person["functions"]} for person in record["people"]],
        "release": record["release"],
        "record_sha256": digest(b"record"),
        "findings": findings,
        "clauses": _clauses(findings),
        "contradictions": contradictions,
        "concessions": [entry["id"] for entry in record.get("concessions", [])],
        "exhibits": [_exhibit(entry, files[entry["id"]]) for entry in record["exhibits"]],
        "open_exhibits": [] if count == 0 else OPEN_SLOTS,
        "documents": [
            {
                key: entry[key]
                for key in ("id", "role", "subject", "exhibit", "issuer", "reference", "issued")
                if key in entry
            }
            | ({"held_by": entry["held"]["by"]} if "held" in entry else {})
            for entry in record["documents"]
        ],
    }


def _clauses(findings: list[Data]) -> list[Data]:
    keys = {
        (f["requirement"].split("/")[0], f["clause"], f["subject"]): f["outcome"] for f in reversed(findings)
    }
    return [
        {"pack": pack, "clause": clause, "subject": subject, "outcome": outcome}
        for (pack, clause, subject), outcome in sorted(keys.items())
        if not pack.startswith("profile")
    ]


def _position(entry: Data) -> Data:
    serial = entry["system"]["serial"]
    made = {
        "id": entry["id"],
        "system_model": entry["system"]["model"],
        "loading": entry["loading"],
        "orientation": entry["orientation"],
        "stretchers_tested_with": ["Heron Carrier"],
        "stretchers_delivered_with": ["Heron Carrier"],
    }
    return made | ({"system_serial": serial} if isinstance(serial, str) else {})


def _exhibit(entry: Data, content: bytes) -> Data:
    suffix = entry["file"].rsplit(".", 1)[-1]
    kind, media_type = {"jpg": ("photo", "image/jpeg"), "pdf": ("document", "application/pdf")}.get(
        suffix, ("table", "text/csv")
    )
    twin = {"photo": "redacted.jpg", "document": "redacted.json"}.get(kind)
    made = {
        "id": entry["id"],
        "role": entry["role"],
        "subject": entry["subject"],
        "kind": kind,
        "media_type": media_type,
        "file": f"files/{entry['id']}.{suffix}",
        "sha256": digest(content),
        "bytes": len(content),
        "item": f"items/{entry['id']}.json",
    }
    twinned = {"redacted": f"derived/{entry['id']}.{twin}", "redacted_sha256": digest(b"twin")}
    return made | (twinned if twin else {})


def pack(reference: str, kind: str, region: str, *, invented: bool = False) -> Data:
    """A pack as the manifest lists it."""
    return {
        "reference": reference,
        "kind": kind,
        "region": region,
        "sha256": digest(reference.encode()),
        "known_as_of": "2026-01-15",
        "review_by": "2026-12-31",
        "invented": invented,
    }


EUROPEAN_PACKS = [
    pack("en-1789-2020@1", "standard", "europe"),
    pack("demo-confirmed@1", "confirmation", "europe", invented=True),
    pack("practice@1", "practice", "international"),
]
AMERICAN_PACKS = [
    pack("sae-j3027@1", "standard", "north-america"),
    pack("practice@1", "practice", "international"),
]


def source_from(
    record: Data, manifest: Data, people: Mapping[str, Any] | None = PEOPLE, *, redacted: bool = False
) -> DossierInput:
    """A dossier input of decoded documents."""
    read = Manifest.read({key: value for key, value in manifest.items() if value is not None})
    given = JobRecord.read({key: value for key, value in record.items() if value is not None})
    files = contents(record)
    return DossierInput(
        manifest=read,
        manifest_digest=digest(manifest_bytes(read)),
        key_id=KEY_ID,
        record=given,
        profile=Profile.read(records.PROFILE),
        people=None if people is None or redacted else People.read(dict(people)),
        items={entry["id"]: _item(entry, files[entry["id"]]) for entry in record["exhibits"]},
        demands=demands_for(manifest["findings"]),
        redacted=redacted,
        paper=paper_for(read),
    )


def manifest_bytes(manifest: Manifest) -> bytes:
    """The manifest as the bundle stores it."""
    return canonical(manifest.document())


def finished(**options: Any) -> DossierInput:
    """The European vehicle, nothing open."""
    record = records.finished_record()
    return source_from(record, manifest_for(record, finished_findings(), [], EUROPEAN_PACKS), **options)


def open_(**options: Any) -> DossierInput:
    """The North American vehicle with open points, two positions and a concession."""
    record = records.open_record()
    return source_from(
        record, manifest_for(record, open_findings(), CONTRADICTIONS, AMERICAN_PACKS), **options
    )


def ready(source: DossierInput, speak: Say = say) -> tuple[Data, dict[str, bytes], dict[str, bytes]]:
    """Data, pictures and attachments of a dossier, ready for typesetting."""
    data = build(source, speak)
    pictures = {name: photo_bytes(number) for number, name in enumerate(data["pictures"])}
    attachments = {
        entry["name"]: document_bytes(2) if entry["name"].endswith(".pdf") else b"{}"
        for entry in data["attachments"]
    }
    attachments["manifest.json"] = manifest_bytes(source.manifest)
    return data, pictures, attachments
