"""Attacks by somebody who holds the pinned key: everything is signed, so only meaning and form can give it away."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from tests.broken.attacks import E1, Attack
from tests.seal.factory import PERSONAL, Forge, noise, payload, pdf, sha

W1 = "data/people/w1.json"
SUMS = "manifest-sha256.txt"
SEAL = "seal/seal.json"
EVIDENCE = "seal/leaves-evidence.sha256"


def _forged(make: Callable[[], Forge]) -> Callable[[Path], object]:
    return lambda folder: make().write(folder)


def _with(path: str, content: bytes, **more: Any) -> Callable[[Path], object]:
    return _forged(lambda: Forge(payload={**payload(), path: content}, **more))


def _without(path: str) -> Callable[[Path], object]:
    return _forged(lambda: Forge(payload={p: content for p, content in payload().items() if p != path}))


def _listed(path: str) -> Callable[[Path], object]:
    """A signed list that names a path which no bundle may use; the file itself is not in the folder."""

    def make() -> Forge:
        forge = Forge()
        digests = {p: sha(content) for p, content in forge.payload.items()}
        return replace(forge, listed={**digests, path: sha(b"x")})

    return _forged(make)


def _sums(edit: Callable[[bytes], bytes]) -> Callable[[Path], object]:
    return _forged(lambda: Forge(edit_sums=edit))


def _tag_sums(edit: Callable[[bytes], bytes]) -> Callable[[Path], object]:
    return _forged(lambda: Forge(edit_tag_sums=edit))


def _seal(**changes: Any) -> Callable[[Path], object]:
    return _forged(lambda: Forge(edit_seal=lambda seal: {**seal, **changes}))


def _upper(sums: bytes) -> bytes:
    return b"".join(line[:64].upper() + line[64:] for line in sums.splitlines(keepends=True))


def _person(text: bytes) -> bytes:
    """The person's file with one more field, as raw text."""
    return payload()[W1][:-1] + b',"zz":' + text + b"}"


def _without_line(path: str) -> Callable[[bytes], bytes]:
    return lambda lines: b"".join(
        line for line in lines.splitlines(keepends=True) if not line.endswith(f"  {path}\n".encode())
    )


def _bad_digest(lines: bytes) -> bytes:
    first, rest = lines.split(b"\n", 1)
    return b"0" * 64 + first[64:] + b"\n" + rest


PATHS: tuple[Attack, ...] = tuple(
    Attack(f"signed path: {name}", _listed(path), code, where, words)
    for name, path, code, where, words in (
        ("parent", "data/../../x", "PATH_NOT_ALLOWED", "data/../../x", "leads out of the folder"),
        ("absolute", "/etc/hostname", "PATH_NOT_ALLOWED", "/etc/hostname", "root of the disk"),
        ("backslash", "data\\files\\x", "PATH_NOT_ALLOWED", r"data\\files\\x", "a backslash"),
        ("drive letter", "C:/data/x", "PATH_NOT_ALLOWED", "C:/data/x", "a drive letter"),
        ("case", "data/files/e001.JPG", "PATH_COLLISION", "data/files/e001.JPG", E1),
        ("non-ASCII", "data/\u00e9.jpg", "PATH_NOT_ALLOWED", r"data/\xe9.jpg", "outside the allowed"),
        ("Unicode form", "data/e\u0301.jpg", "PATH_NOT_ALLOWED", r"data/e\u0301.jpg", "Unicode form"),
        ("hidden", "data/.x", "PATH_NOT_ALLOWED", "data/.x", "hidden"),
        ("NUL byte", "data/a\0b", "MANIFEST_SYNTAX", f"{SUMS}:1", r"data/a\x00b"),
        ("device", "data/nul.txt", "PATH_NOT_ALLOWED", "data/nul.txt", "device"),
        ("trailing dot", "data/x.", "PATH_NOT_ALLOWED", "data/x.", "ends with a dot"),
        ("space", "data/a b", "PATH_NOT_ALLOWED", "data/a b", "outside the allowed"),
        ("empty part", "data//x", "PATH_NOT_ALLOWED", "data//x", "an empty part"),
        ("outside the payload", "bagit.txt", "PATH_NOT_ALLOWED", "bagit.txt", "outside data/"),
        ("too long", "data/" + "x" * 200, "PATH_NOT_ALLOWED", "data/" + "x" * 195, "too long"),
    )
)

LISTS: tuple[Attack, ...] = (
    Attack(
        "signed CRLF",
        _sums(lambda s: s.replace(b"\n", b"\r\n")),
        "MANIFEST_SYNTAX",
        f"{SUMS}:1",
        "rules for a list",
    ),
    Attack("signed upper-case digests", _sums(_upper), "MANIFEST_SYNTAX", f"{SUMS}:1", "rules for a list"),
    Attack(
        "signed single space",
        _sums(lambda s: s.replace(b"  ", b" ")),
        "MANIFEST_SYNTAX",
        f"{SUMS}:1",
        "rules for a list",
    ),
    Attack(
        "signed binary mark",
        _sums(lambda s: s.replace(b"  ", b" *")),
        "MANIFEST_SYNTAX",
        f"{SUMS}:1",
        "rules for a list",
    ),
    Attack(
        "signed without final line feed",
        _sums(lambda s: s[:-1]),
        "MANIFEST_SYNTAX",
        f"{SUMS}:20",
        "no line feed",
    ),
    Attack(
        "signed in another order",
        _sums(lambda s: b"".join(reversed(s.splitlines(keepends=True)))),
        "MANIFEST_SYNTAX",
        f"{SUMS}:2",
        "rules for a list",
    ),
    Attack(
        "signed line twice",
        _sums(lambda s: s + s.splitlines(keepends=True)[-1]),
        "MANIFEST_SYNTAX",
        f"{SUMS}:21",
        W1,
    ),
    Attack("signed empty list", _sums(lambda _: b""), "MANIFEST_SYNTAX", SUMS, "the list is empty"),
    Attack(
        "signed list of lists with CRLF",
        _tag_sums(lambda s: s.replace(b"\n", b"\r\n")),
        "MANIFEST_SYNTAX",
        "tagmanifest-sha256.txt:1",
        "rules for a list",
    ),
    Attack(
        "signed list without the seal",
        _tag_sums(_without_line(SEAL)),
        "MANIFEST_SYNTAX",
        "tagmanifest-sha256.txt",
        SEAL,
    ),
    Attack(
        "signed files to fetch",
        _forged(lambda: Forge(extra_tags={"fetch.txt": b"http://localhost/x 1 data/x\n"})),
        "EXTRA_FILE",
        "fetch.txt",
        "does not name it",
    ),
    Attack(
        "signed second, weaker list",
        _forged(lambda: Forge(extra_tags={"manifest-md5.txt": b""})),
        "EXTRA_FILE",
        "manifest-md5.txt",
        "does not name it",
    ),
    Attack(
        "signed personal dossier without its redacted copy",
        _without("data/dossier.en.redacted.pdf"),
        "LEAF_SET_WRONG",
        "data/dossier.en.pdf",
        "wrong one",
        recipe=False,
    ),
)

JSON: tuple[Attack, ...] = tuple(
    Attack(f"signed JSON: {name}", _with(W1, content), code, W1, words, recipe=False)
    for name, content, code, words in (
        (
            "duplicate key",
            _person(b"1").replace(b'"zz"', b'"name"'),
            "JSON_DUPLICATE_KEY",
            "same field twice",
        ),
        ("depth 200 000", _person(b"[" * 200_000 + b"]" * 200_000), "TOO_DEEP", "deeper than any"),
        ("depth 200 000, never closed", b"[" * 200_000, "TOO_DEEP", "deeper than any"),
        ("2^53+1", _person(str(2**53 + 1).encode()), "NUMBER_NOT_ALLOWED", "9007199254740993"),
        ("5 000 digits", _person(b"9" * 5000), "NUMBER_NOT_ALLOWED", "99999"),
        ("NaN", _person(b"NaN"), "NUMBER_NOT_ALLOWED", "NaN"),
        ("float", _person(b"1.5"), "NUMBER_NOT_ALLOWED", "1.5"),
        ("exponent", _person(b"1e3"), "NUMBER_NOT_ALLOWED", "1e3"),
        ("byte order mark", b"\xef\xbb\xbf" + payload()[W1], "MALFORMED", "cannot be read"),
        ("lone surrogate", _person(rb'"\ud800"'), "MALFORMED", "no document of its format"),
        ("not UTF-8", _person(b'"\xff"'), "MALFORMED", "cannot be read"),
        ("over the cap", b" " * (16 * 1024 * 1024) + payload()[W1], "TOO_LARGE", "larger than anything"),
        ("spaces", json.dumps(json.loads(payload()[W1])).encode(), "NOT_CANONICAL", "canonical form"),
        ("final line feed", payload()[W1] + b"\n", "NOT_CANONICAL", "canonical form"),
        ("not NFC", _person('"e\u0301"'.encode()), "NOT_CANONICAL", "canonical form"),
        ("field unknown", _person(b"1"), "SCHEMA_MISMATCH", "field zz"),
    )
)

SEALS: tuple[Attack, ...] = (
    Attack(
        "another hash named",
        _seal(scheme="bagit-sha512-ecdsa-p256"),
        "UNSUPPORTED_SCHEME",
        SEAL,
        "sha512",
        recipe=False,
    ),
    Attack(
        "another signature named",
        _seal(scheme="bagit-sha256-none"),
        "UNSUPPORTED_SCHEME",
        SEAL,
        "sha256-none",
        recipe=False,
    ),
    Attack(
        "format of the future",
        _seal(format="sillmark-seal/9"),
        "UNSUPPORTED_SCHEME",
        SEAL,
        "sillmark-seal/0",
        recipe=False,
    ),
    Attack(
        "another manifest named",
        _seal(manifest="0" * 64),
        "LEAF_SET_WRONG",
        SEAL,
        "field manifest",
        recipe=False,
    ),
    Attack(
        "another key named", _seal(key="0" * 64), "LEAF_SET_WRONG", SEAL, "another key signed", recipe=False
    ),
    Attack(
        "other number of leaves",
        _seal(evidence={"count": 13, "sha256": "0" * 64}),
        "LEAF_SET_WRONG",
        SEAL,
        "number of lines",
        recipe=False,
    ),
    Attack(
        "seal without a time",
        _seal(issued="yesterday"),
        "SCHEMA_MISMATCH",
        SEAL,
        "field issued",
        recipe=False,
    ),
    Attack(
        "first bag names a predecessor",
        _seal(prev="0" * 64),
        "CHAIN_BROKEN",
        SEAL,
        "no predecessor",
        recipe=False,
    ),
    Attack(
        "first bag names a chain", _seal(chain="0" * 64), "CHAIN_BROKEN", SEAL, "no predecessor", recipe=False
    ),
    Attack("later bag alone", _seal(sequence=1), "CHAIN_BROKEN", SEAL, "later bundle", recipe=False),
    Attack(
        "another container version",
        _forged(lambda: Forge(bagit=b"BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n")),
        "MALFORMED",
        "bagit.txt",
        "agreed lines",
        recipe=False,
    ),
    Attack(
        "size in bag-info is wrong",
        _forged(lambda: Forge(edit_bag_info=lambda info: info.replace(b"Oxum: ", b"Oxum: 1"))),
        "MALFORMED",
        "bag-info.txt",
        "size or number",
        recipe=False,
    ),
)

CSV = "data/files/E003.csv"

LEAVES: tuple[Attack, ...] = (
    Attack(
        "leaf missing",
        _forged(lambda: Forge(edit_evidence=_without_line(CSV))),
        "LEAF_SET_WRONG",
        CSV,
        "neither list",
    ),
    Attack(
        "leaf added",
        _forged(lambda: Forge(edit_evidence=lambda s: s + b"0" * 64 + b"  data/zzz.json\n")),
        "LEAF_SET_WRONG",
        "data/zzz.json",
        "no file of the bundle",
    ),
    Attack(
        "leaf with another digest",
        _forged(lambda: Forge(edit_evidence=_bad_digest)),
        "LEAF_SET_WRONG",
        "data/derived/E001.redacted.jpg",
        "digest differs",
    ),
    Attack(
        "failed test listed as personal",
        _forged(lambda: Forge(personal=PERSONAL | {CSV})),
        "LEAF_SET_WRONG",
        CSV,
        "wrong one of the two",
        recipe=False,
    ),
    Attack(
        "failed test with a redacted copy",
        _with("data/derived/E003.redacted.json", b"{}", personal=PERSONAL | {CSV}),
        "LEAF_SET_WRONG",
        "data/derived/E003.redacted.json",
        "never has one",
        recipe=False,
    ),
    Attack(
        "picture of a page that nobody read",
        _with("data/derived/E002.page-1.jpg", b"x", personal=PERSONAL | {"data/derived/E002.page-1.jpg"}),
        "LEAF_SET_WRONG",
        "data/derived/E002.page-1.jpg",
        "page that somebody read",
        recipe=False,
    ),
    Attack(
        "photo listed as evidence",
        _forged(lambda: Forge(personal=PERSONAL - {E1})),
        "LEAF_SET_WRONG",
        E1,
        "wrong one of the two",
        recipe=False,
    ),
    Attack(
        "person listed as evidence",
        _forged(lambda: Forge(personal=PERSONAL - {W1})),
        "LEAF_SET_WRONG",
        W1,
        "wrong one of the two",
        recipe=False,
    ),
    Attack(
        "everything personal",
        _forged(lambda: Forge(personal=frozenset(payload()))),
        "LEAF_SET_WRONG",
        EVIDENCE,
        "the list is empty",
        recipe=False,
    ),
    Attack(
        "leaves in another order",
        _forged(lambda: Forge(edit_evidence=lambda s: b"".join(reversed(s.splitlines(keepends=True))))),
        "MANIFEST_SYNTAX",
        f"{EVIDENCE}:2",
        "rules for a list",
        recipe=False,
    ),
)

PDF = "data/dossier.en.pdf"

DOSSIERS: tuple[Attack, ...] = (
    Attack(
        "PDF with another manifest",
        _with(PDF, pdf(b'{"format":"sillmark-manifest/0"}')),
        "PDF_MANIFEST_DIFFERS",
        PDF,
        "other bytes",
    ),
    Attack(
        "PDF without manifest", _with(PDF, pdf(None)), "PDF_MANIFEST_DIFFERS", PDF, "no manifest is attached"
    ),
    Attack(
        "PDF with the manifest under another name",
        _with(PDF, pdf(payload()["data/manifest.json"], "other.json")),
        "PDF_MANIFEST_DIFFERS",
        PDF,
        "no manifest is attached",
    ),
    Attack(
        "PDF that is none",
        _with(PDF, noise("pdf", 3000)),
        "PDF_MANIFEST_DIFFERS",
        PDF,
        "it cannot be read as a PDF",
    ),
    Attack(
        "redacted PDF without manifest",
        _with("data/dossier.en.redacted.pdf", pdf(None)),
        "PDF_MANIFEST_DIFFERS",
        "data/dossier.en.redacted.pdf",
        "no manifest is attached",
    ),
    Attack(
        "no dossier at all",
        _forged(lambda: Forge(payload={p: c for p, c in payload().items() if "dossier" not in p})),
        "PDF_MANIFEST_DIFFERS",
        "data/dossier.*.pdf",
        "there is no dossier",
    ),
)

SIGNED: tuple[Attack, ...] = (*PATHS, *LISTS, *JSON, *SEALS, *LEAVES, *DOSSIERS)
