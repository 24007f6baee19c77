"""Where things lie in a bag, and how large they may be."""

from dataclasses import dataclass

from evidence.model.seal import SEAL_PATH

PAYLOAD = "data/"
BAGIT_PATH = "bagit.txt"
BAG_INFO_PATH = "bag-info.txt"
RECIPE_PATH = "VERIFY.txt"
KEY_PATH = "seal/key.pem"
EVIDENCE_PATH = "seal/leaves-evidence.sha256"
PERSONAL_PATH = "seal/leaves-personal.sha256"
SUMS_PATH = "manifest-sha256.txt"
TAG_SUMS_PATH = "tagmanifest-sha256.txt"
SIGNATURE_PATH = "tagmanifest-sha256.txt.sig"
MANIFEST_PATH = "data/manifest.json"

TAG_PATHS: tuple[str, ...] = (
    RECIPE_PATH,
    BAG_INFO_PATH,
    BAGIT_PATH,
    SUMS_PATH,
    KEY_PATH,
    EVIDENCE_PATH,
    PERSONAL_PATH,
    SEAL_PATH,
)
"""Exactly the files that tagmanifest-sha256.txt lists, sorted by bytes."""

BAGIT_TEXT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"  # RFC 8493, section 2.1.1

MAX_FILES = 20_000  # files of one bag; a large vehicle has about two hundred
MAX_BAG_BYTES = 16 * 1024**3  # bytes of one bag
MAX_FILE_BYTES = 1024**3  # bytes of one payload file
MAX_TAG_BYTES = 4 * 1024**2  # bytes of one tag file
MAX_SIGNATURE_BYTES = (
    4096  # bytes; ours needs at most 72, but one of another algorithm is to be called invalid, not large
)
MAX_DOSSIER_BYTES = 512 * 1024**2  # bytes of one PDF that is opened to look at its attachment

_DOCUMENT_KINDS: tuple[tuple[str, str], ...] = (
    (SEAL_PATH, "seal"),
    (MANIFEST_PATH, "manifest"),
    ("data/inputs/record.json", "record"),
    ("data/inputs/intake.json", "intake"),
    ("data/people/", "person"),
    ("data/items/", "item"),
    ("data/derived/", "stub"),
)


@dataclass(frozen=True)
class FileDigest:
    """SHA-256 of a file as 64 lower-case hexadecimal digits, and its size in bytes."""

    sha256: str
    size: int


def document_kind(path: str) -> str:
    """Which schema a JSON file of the bag must meet; ``other`` where this version knows none."""
    for prefix, kind in _DOCUMENT_KINDS:
        if path == prefix or (prefix.endswith("/") and path.startswith(prefix)):
            return kind
    return "other"


def is_own_json(path: str) -> bool:
    """Whether a file is JSON written by this tool; evidence under data/files/ is kept as it came."""
    return path.endswith(".json") and not path.startswith("data/files/")


def is_dossier(path: str) -> bool:
    """Whether a file is a dossier, whole or redacted, in any language."""
    return path.startswith("data/dossier.") and path.endswith(".pdf")
