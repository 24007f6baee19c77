"""Signing keys and pinned keys of one user, in the folder that the command line names.

``keys/<id>.pem`` holds private keys (PKCS #8, readable by their owner alone), ``trust.json`` the pinned public ones.
A key is made on first use and pinned where it was made.
"""

import os
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from evidence import files, jsondoc
from evidence.errors import InputError, Problem, UsageError
from evidence.model.trust import ALGORITHM, TRUST_FORMAT, Trust, TrustedKey
from evidence.seal.public_key import MAX_PEM, PublicKey, read_public_key

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

KEYS = "keys"
TRUST = "trust.json"
MAX_TRUST = 4 * 1024 * 1024  # bytes; a thousand pinned keys need about half a megabyte
_P256_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551  # FIPS 186-4, D.1.2.3


@dataclass(frozen=True)
class SigningKey:
    """A key that can sign.

    Attributes:
        public: its public half.
        sign: bytes to an ECDSA signature in DER; the same bytes give the same signature (RFC 6979).
    """

    public: PublicKey
    sign: Callable[[bytes], bytes]


@dataclass(frozen=True)
class KeyInfo:
    """A key as ``key list`` shows it.

    Attributes:
        id: SHA-256 of the public key's DER.
        private: whether the private half is here.
        pinned: its entry in the trust file, or none.
    """

    id: str
    private: bool
    pinned: TrustedKey | None


def load_or_create(home: Path, key: str | None = None) -> SigningKey:
    """The signing key: the one asked for, else the only one, else a new one that is pinned at once.

    Args:
        home: the user's folder; made where missing.
        key: id, or its first digits.

    Raises:
        UsageError: key-unknown, or key-ambiguous where several fit.
        InputError: the key file cannot be read, or others can read it too (key-permissions).
    """
    folder = home / KEYS
    _make_private(home)
    _make_private(folder)
    with files.exclusive(home / ".lock"):
        ids = [name for name in private_ids(home) if name.startswith(key or "")]
        if not ids and key is None:
            return _create(home)
    return load(home, _the_one(ids, folder, str(key)))


def load(home: Path, key: str) -> SigningKey:
    """Read the private key of an id.

    Raises:
        InputError: file-absent, key-permissions, key-malformed, key-not-p256 or key-other-id.
    """
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415 - 60 ms that most commands never need

    path = home / KEYS / f"{key}.pem"
    content = files.read_capped(path, MAX_PEM)
    if os.name == "posix" and stat.S_IMODE(path.stat().st_mode) & 0o077:
        raise InputError.one("key-permissions", str(path), found=f"{stat.S_IMODE(path.stat().st_mode):04o}")
    try:
        private = serialization.load_pem_private_key(content, password=None)
    except (ValueError, TypeError) as error:
        raise InputError.one("key-malformed", str(path), reason="not-a-private-key") from error
    signing = _signing(private, str(path))
    if signing.public.id != key:
        raise InputError.one("key-other-id", str(path), found=signing.public.id, expected=key)
    return signing


def derived(secret: bytes) -> SigningKey:
    """The key that follows from 32 bytes: for a demonstration whose key is public, never for real work.

    Args:
        secret: 32 bytes.
    """
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    if len(secret) != 32:  # noqa: PLR2004 - said in the docstring
        raise ValueError(f"{len(secret)} bytes, not 32")
    scalar = int.from_bytes(secret, "big") % (_P256_ORDER - 1) + 1
    return _signing(ec.derive_private_key(scalar, ec.SECP256R1()), "derived key")


def private_ids(home: Path) -> tuple[str, ...]:
    """Ids of the keys whose private half is here, sorted."""
    folder = home / KEYS
    if not files.is_folder(folder):
        return ()
    names = (path.removesuffix(".pem") for path in files.list_tree(folder).sizes if path.endswith(".pem"))
    return tuple(sorted(name for name in names if len(name) == 64))  # noqa: PLR2004 - digits of SHA-256


def list_keys(home: Path) -> tuple[KeyInfo, ...]:
    """All keys that are here or pinned, by id."""
    private, pinned = set(private_ids(home)), {entry.key: entry for entry in own_trust(home).keys}
    return tuple(KeyInfo(key, key in private, pinned.get(key)) for key in sorted(private | set(pinned)))


def export_public(home: Path, key: str) -> bytes:
    """PEM of a public key that is here or pinned.

    Raises:
        UsageError: key-unknown.
    """
    if key in private_ids(home):
        return load(home, key).public.pem
    entry = own_trust(home).find(key)
    if entry is None:
        raise UsageError.one("key-unknown", str(home), found=key)
    return entry.pem.encode("ascii")


def own_trust(home: Path) -> Trust:
    """The user's own trust file; no keys where there is none yet."""
    path = home / TRUST
    return read_trust(path) if files.is_there(path) else Trust(format=TRUST_FORMAT, keys=())


def read_trust(path: Path) -> Trust:
    """Read a trust file, each key with the id that it really has.

    Raises:
        InputError: what the strict reader says, trust-schema, key-malformed, key-not-p256 or key-other-id.
    """
    document = jsondoc.decode(files.read_capped(path, MAX_TRUST), str(path))
    try:
        trust = Trust.read(document)
    except ValidationError as error:
        raise InputError(
            Problem("trust-schema", str(path), jsondoc.pointer(each["loc"]), {"rule": each["type"]})
            for each in error.errors(include_url=False, include_input=False)
        ) from error
    problems = [
        Problem("key-other-id", str(path), f"/keys/{index}", {"found": found, "expected": entry.key})
        for index, entry in enumerate(trust.keys)
        if (found := read_public_key(entry.pem.encode(), str(path)).id) != entry.key
    ]
    if problems:
        raise InputError(problems)
    return trust


def pin(home: Path, pem: bytes, where: str) -> TrustedKey:
    """Add a public key to the user's trust file; a key that is pinned stays as it is.

    Raises:
        InputError: key-malformed or key-not-p256.
    """
    public = read_public_key(pem, where)
    _make_private(home)
    with files.exclusive(home / ".lock"):
        return _pin(home, public)


def unpin(home: Path, key: str) -> str:
    """Take a key out of the user's trust file.

    Args:
        home: the user's folder.
        key: id, or its first digits.

    Returns:
        The whole id.

    Raises:
        UsageError: key-unknown, or key-ambiguous where several fit.
    """
    _make_private(home)
    with files.exclusive(home / ".lock"):
        trust = own_trust(home)
        found = _the_one(
            [entry.key for entry in trust.keys if key and entry.key.startswith(key)], home / TRUST, key
        )
        _write_trust(home, [entry for entry in trust.keys if entry.key != found])
    return found


def _the_one(ids: list[str], where: Path, asked: str) -> str:
    if not ids:
        raise UsageError.one("key-unknown", str(where), found=asked)
    if len(ids) > 1:
        raise UsageError.one("key-ambiguous", str(where), found=", ".join(name[:12] for name in ids))
    return ids[0]


def trust_bytes(entries: list[TrustedKey]) -> bytes:
    """A trust file of these keys, sorted by id: canonical JSON and a final newline."""
    keys = tuple(sorted(entries, key=lambda entry: entry.key))
    return jsondoc.canonical(Trust(format=TRUST_FORMAT, keys=keys).document()) + b"\n"


def entry_of(public: PublicKey) -> TrustedKey:
    """A trust entry without a term."""
    return TrustedKey(key=public.id, pem=public.pem.decode("ascii"), algorithm=ALGORITHM)


def _pin(home: Path, public: PublicKey) -> TrustedKey:
    trust = own_trust(home)
    entry = trust.find(public.id)
    if entry is None:
        entry = entry_of(public)
        _write_trust(home, [*trust.keys, entry])
    return entry


def _write_trust(home: Path, entries: list[TrustedKey]) -> None:
    files.write_file(home / TRUST, trust_bytes(entries), overwrite=True)


def _create(home: Path) -> SigningKey:
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    private = ec.generate_private_key(ec.SECP256R1())
    signing = _signing(private, "new key")
    content = private.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    files.write_file(home / KEYS / f"{signing.public.id}.pem", content, mode=0o600)
    _pin(home, signing.public)
    return signing


def _signing(private: object, where: str) -> SigningKey:
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    if not isinstance(private, ec.EllipticCurvePrivateKey):
        raise InputError.one("key-not-p256", where)
    public = private.public_key().public_bytes(
        serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    return SigningKey(read_public_key(public, where), lambda data: _sign(private, data))


def _sign(private: "EllipticCurvePrivateKey", data: bytes) -> bytes:
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    return private.sign(data, ec.ECDSA(hashes.SHA256(), deterministic_signing=True))


def _make_private(folder: Path) -> None:
    files.make_folder(folder, mode=0o700)
