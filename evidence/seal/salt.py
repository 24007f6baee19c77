"""Salts and nonce: short values stay unguessable from their digests, and still come out the same every time."""

import hashlib
import hmac
from collections.abc import Mapping
from typing import Any

from evidence import jsondoc

SEED_BYTES = 32
SALT_DIGITS = 32  # hexadecimal digits, 128 bits


def salted(path: str, document: Mapping[str, Any], seed: bytes) -> dict[str, Any]:
    """The document with its ``salt``; a salt that it already carries is replaced.

    Args:
        path: where the file will lie in the bundle.
        document: JSON values.
        seed: the job's 32 secret bytes.
    """
    bare = {key: value for key, value in document.items() if key != "salt"}
    return {**bare, "salt": salt(path, bare, seed)}


def salt(path: str, document: Mapping[str, Any], seed: bytes) -> str:
    """HMAC-SHA256 over the path, a zero byte and the raw SHA-256 of the document's canonical form."""
    return _digits(seed, path, hashlib.sha256(jsondoc.canonical(dict(document))).digest())


def nonce(path: str, content: bytes, seed: bytes) -> str:
    """The same for a file that is no JSON: it hides what else stands in the file."""
    return _digits(seed, path, hashlib.sha256(content).digest())


def _digits(seed: bytes, path: str, digest: bytes) -> str:
    if len(seed) != SEED_BYTES:
        raise ValueError(f"the seed has {len(seed)} bytes, not {SEED_BYTES}")
    return hmac.new(seed, path.encode("utf-8") + b"\x00" + digest, hashlib.sha256).hexdigest()[:SALT_DIGITS]
