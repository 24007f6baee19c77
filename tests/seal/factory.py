"""A small whole bundle for tests, and a forger that signs whatever it is given.

The forger writes every list with its own few lines, so that it can also write what the strict writers refuse.
"""

import hashlib
import io
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
from pydantic import ValidationError

from evidence import bundle, jsondoc, keys
from evidence.errors import InputError, Problem
from evidence.model._base import Model
from evidence.model.exhibit import Item
from evidence.model.intake import Intake
from evidence.model.person import Person
from evidence.model.seal import Seal
from evidence.model.trust import TRUST_FORMAT, Trust
from evidence.seal.bag import BagView, Helpers, Question
from evidence.seal.salt import salted
from evidence.seal.sign import SealRequest
from evidence.seal.verify import VerifyReport, verify

SEED = bytes(range(32))
SIGNER = keys.derived(hashlib.sha256(b"sillmark test signer").digest())
STRANGER = keys.derived(hashlib.sha256(b"sillmark test stranger").digest())
TODAY = date(2026, 4, 1)
REQUEST = SealRequest(
    public_pem=SIGNER.public.pem,
    seed=SEED,
    issued="2026-03-20T16:05:00+01:00",
    issued_from="option",
    judge=1,
    tool="sillmark 0.1.0",
)
TRUST = Trust(format=TRUST_FORMAT, keys=(keys.entry_of(SIGNER.public),))

# by hand from the rule in words: people, and what has a redacted copy beside it
PERSONAL = frozenset(
    {
        "data/people/w1.json",
        "data/people/n1.json",
        "data/files/E001.jpg",
        "data/files/E002.pdf",
        "data/files/E004.jpg",
        "data/dossier.en.pdf",
    }
)
TAGS = (
    "VERIFY.txt",
    "bag-info.txt",
    "bagit.txt",
    "manifest-sha256.txt",
    "seal/key.pem",
    "seal/leaves-evidence.sha256",
    "seal/leaves-personal.sha256",
    "seal/seal.json",
)


def sha(content: bytes) -> str:
    """SHA-256 as hexadecimal digits."""
    return hashlib.sha256(content).hexdigest()


def noise(name: str, size: int) -> bytes:
    """Bytes that stand for a picture: different for each name, the same every time."""
    block = hashlib.sha256(name.encode()).digest()
    return (block * (size // len(block) + 1))[:size]


@cache
def pdf(attachment: bytes | None, name: str = "manifest.json", title: str = "Dossier") -> bytes:
    """A one-page PDF, with a file attached unless there is none."""
    writer = pypdf.PdfWriter()
    writer.add_blank_page(width=595, height=842)
    writer.add_metadata({"/Title": title})
    if attachment is not None:
        writer.add_attachment(name, attachment)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def attached(content: bytes) -> Mapping[str, bytes]:
    """Attachments of a PDF by name."""
    try:
        pairs = [
            (name, data)
            for name, contents in pypdf.PdfReader(io.BytesIO(content)).attachments.items()
            for data in contents
        ]
    except pypdf.errors.PyPdfError as error:
        raise InputError.one("pdf-unreadable", "dossier") from error
    if len({name for name, _ in pairs}) != len(pairs):
        raise InputError.one("pdf-attachment-twice", "dossier")
    return dict(pairs)


_MODELS: dict[str, type[Model]] = {"seal": Seal, "person": Person, "intake": Intake, "item": Item}


def check(kind: str, document: Any) -> tuple[Problem, ...]:
    """Schema check by the models that belong to a seal; other kinds must at least be objects."""
    model = _MODELS.get(kind)
    if model is None:
        return () if isinstance(document, dict) else (Problem("schema-mismatch", kind, "", {"rule": "type"}),)
    try:
        model.read(document)
    except ValidationError as error:
        return tuple(
            Problem("schema-mismatch", kind, jsondoc.pointer(each["loc"]), {"rule": each["type"]})
            for each in error.errors()
        )
    return ()


def item(name: str, kind: str, content: bytes) -> bytes:
    """An item file as the bundle holds it."""
    media = {"photo": "image/jpeg", "document": "application/pdf", "table": "text/csv"}[kind]
    parts: dict[str, Any] = {
        "photo": {"width": 4000, "height": 3000},
        "document": {"pages": 2, "has_text": True},
        "table": {"columns": [{"name": "t", "unit": "s"}], "rows": 3},
    }
    document = {
        "bytes": len(content),
        "format": "sillmark-item/0",
        "id": name,
        "kind": kind,
        "media_type": media,
        "sha256": sha(content),
        kind: parts[kind],
    }
    return jsondoc.canonical(salted(f"data/items/{name}.json", document, SEED))


def manifest(findings: int = 3) -> bytes:
    """A manifest with as many findings as asked for, shaped like a real one."""
    rows = [
        {
            "exhibits": ["E001"],
            "outcome": "met",
            "reason": {
                "code": "within-limits",
                "parameters": {
                    "low": {"unit": "mm", "value": "118.0"},
                    "value": {"unit": "mm", "value": "120.3"},
                },
            },
            "requirement": f"profile.heron-2@C/7.{n}/hook-position",
            "rests_on": ["recorded"],
            "subject": "p1",
        }
        for n in range(findings)
    ]
    return jsondoc.canonical(
        {"findings": rows, "format": "sillmark-manifest/0", "job": "AMB-0417", "judge": 1}
    )


def payload(findings: int = 3) -> dict[str, bytes]:
    """The ``data/`` files of a small bundle: two photos, a document with a stub, a test table, two people."""
    data = manifest(findings)
    originals = {
        "E001.jpg": noise("E001", 5000),
        "E002.pdf": pdf(None, title="Report"),
        "E003.csv": b"t [s],force [N]\n0.0,0\n0.1,2250\n0.2,12\n",
        "E004.jpg": noise("E004", 4000),
    }
    kinds = {"E001.jpg": "photo", "E002.pdf": "document", "E003.csv": "table", "E004.jpg": "photo"}
    people = {
        "w1": {"badge": "0012", "format": "sillmark-person/0", "id": "w1", "name": "Fitter One"},
        "n1": {
            "about": "p1",
            "format": "sillmark-person/0",
            "id": "n1",
            "language": "en",
            "text": "Sill is bent.",
        },
    }
    files = {
        "data/manifest.json": data,
        "data/dossier.en.pdf": pdf(data),
        "data/dossier.en.redacted.pdf": pdf(data, title="Redacted"),
        "data/inputs/record.json": jsondoc.canonical({"format": "sillmark-record/0", "id": "AMB-0417"}),
        "data/inputs/profile.yaml": b"format: sillmark-profile/0\nid: heron-2\n",
        "data/inputs/packs/en-1789-2020.yaml": b"format: sillmark-pack/0\nid: en-1789-2020\n",
        "data/inputs/intake.json": jsondoc.canonical(
            {
                "entries": [
                    {"at": "2026-03-04T10:41+01:00", "event": "add", "id": name[:4], "sha256": sha(content)}
                    for name, content in originals.items()
                ],
                "format": "sillmark-intake/0",
            }
        ),
        "data/derived/E001.redacted.jpg": noise("E001 redacted", 2000),
        "data/derived/E002.redacted.json": jsondoc.canonical({"format": "sillmark-stub/0", "pages": 2}),
        "data/derived/E004.redacted.jpg": noise("E004 redacted", 1900),
    }
    files |= {f"data/files/{name}": content for name, content in originals.items()}
    files |= {f"data/items/{n[:4]}.json": item(n[:4], kinds[n], content) for n, content in originals.items()}
    for name, person in people.items():
        path = f"data/people/{name}.json"
        files[path] = jsondoc.canonical(salted(path, person, SEED))
    return files


def helpers(recompute: Callable[[BagView], Iterable[Problem]] | None = None) -> Helpers:
    """What a verification needs, from the libraries directly."""
    return Helpers(attached=attached, check=check, recompute=recompute)


def ask(
    folder: Path,
    *,
    trust: Trust | None = TRUST,
    as_of: date = TODAY,
    integrity_only: bool = False,
    recompute: Callable[[BagView], Iterable[Problem]] | None = None,
) -> VerifyReport:
    """Verify the bundle in a folder."""
    question = Question(trust=trust, as_of=as_of, judge=1, integrity_only=integrity_only)
    return verify(bundle.open_view(folder), question, helpers(recompute))


def sum_lines(digests: Mapping[str, str]) -> bytes:
    """A sum list, whatever the paths are."""
    return b"".join(
        f"{digests[path]}  {path}\n".encode() for path in sorted(digests, key=lambda p: p.encode())
    )


def _same(content: Any) -> Any:
    return content


@dataclass
class Forge:
    """Signs a bag with anything changed on the way; every ``edit_*`` gets the honest bytes or values.

    Attributes:
        payload: ``data/`` files as they will lie on the disk.
        listed: what the payload list says; the real digests where None.
        personal: paths that the personal list names.
        extra_tags: further files outside ``data/`` that the signed list names.
    """

    payload: dict[str, bytes] = field(default_factory=payload)
    listed: dict[str, str] | None = None
    personal: frozenset[str] = PERSONAL
    extra_tags: dict[str, bytes] = field(default_factory=dict)
    edit_sums: Callable[[bytes], bytes] = _same
    edit_evidence: Callable[[bytes], bytes] = _same
    edit_personal: Callable[[bytes], bytes] = _same
    edit_seal: Callable[[dict[str, Any]], dict[str, Any]] = _same
    edit_bag_info: Callable[[bytes], bytes] = _same
    edit_tag_sums: Callable[[bytes], bytes] = _same
    bagit: bytes = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    public_pem: bytes = SIGNER.public.pem
    sign: Callable[[bytes], bytes] = SIGNER.sign

    def files(self) -> dict[str, bytes]:
        """Every file of the bag."""
        digests = self.listed or {path: sha(content) for path, content in self.payload.items()}
        evidence = self.edit_evidence(sum_lines({p: d for p, d in digests.items() if p not in self.personal}))
        personal = self.edit_personal(sum_lines({p: d for p, d in digests.items() if p in self.personal}))
        octets = sum(map(len, self.payload.values()))
        info = (
            f"Bag-Software-Agent: x 1\nBagging-Date: 2026-03-20\nPayload-Oxum: {octets}.{len(self.payload)}\n"
        )
        tags = {
            "VERIFY.txt": bundle.recipe(SIGNER.public.pem),
            "bag-info.txt": self.edit_bag_info(info.encode()),
            "bagit.txt": self.bagit,
            "manifest-sha256.txt": self.edit_sums(sum_lines(digests)),
            "seal/key.pem": self.public_pem,
            "seal/leaves-evidence.sha256": evidence,
            "seal/leaves-personal.sha256": personal,
            "seal/seal.json": _canonical(self.edit_seal(self._seal(evidence, personal))),
            **self.extra_tags,
        }
        signed = self.edit_tag_sums(sum_lines({path: sha(content) for path, content in tags.items()}))
        marks = {"tagmanifest-sha256.txt": signed, "tagmanifest-sha256.txt.sig": self.sign(signed)}
        return {**self.payload, **tags, **marks}

    def _seal(self, evidence: bytes, personal: bytes) -> dict[str, Any]:
        return {
            "chain": None,
            "evidence": {"count": evidence.count(b"\n"), "sha256": sha(evidence)},
            "format": "sillmark-seal/0",
            "function": None,
            "issued": "2026-03-20T16:05:00+01:00",
            "issued_from": "option",
            "judge": 1,
            "key": SIGNER.public.id,
            "kind": "build",
            "manifest": sha(self.payload["data/manifest.json"]),
            "personal": {"count": personal.count(b"\n"), "sha256": sha(personal)},
            "prev": None,
            "reason": None,
            "scheme": "bagit-sha256-ecdsa-p256",
            "sequence": 0,
            "supersedes": [],
            "tool": "sillmark 0.1.0",
        }

    def write(self, folder: Path) -> Path:
        """Write the bag; names that the system cannot store are left out of the disk, not of the lists."""
        for path, content in self.files().items():
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        return folder


def _canonical(document: dict[str, Any]) -> bytes:
    return json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
