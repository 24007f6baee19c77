"""Keys: made on first use, pinned where made, readable by their owner alone."""

import json
import os
import shutil
import stat
import subprocess
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from evidence import keys
from evidence.errors import InputError, UsageError

OPENSSL = shutil.which("openssl")
needs_openssl = pytest.mark.skipif(OPENSSL is None, reason="openssl is not installed")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


def test_first_use_makes_and_pins_a_key(home: Path) -> None:
    key = keys.load_or_create(home)
    path = home / "keys" / f"{key.public.id}.pem"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert stat.S_IMODE((home / "keys").stat().st_mode) == 0o700
    assert [entry.key for entry in keys.own_trust(home).keys] == [key.public.id]
    assert keys.load_or_create(home).public == key.public
    assert keys.list_keys(home) == (keys.KeyInfo(key.public.id, True, keys.entry_of(key.public)),)  # noqa: FBT003


def test_trust_file_has_every_field(home: Path) -> None:
    key = keys.load_or_create(home)
    document = json.loads((home / "trust.json").read_text())
    assert document == {
        "format": "sillmark-trust/0",
        "keys": [
            {
                "key": key.public.id,
                "pem": key.public.pem.decode(),
                "algorithm": "ecdsa-p256-sha256",
                "valid_from": None,
                "valid_until": None,
                "revoked": None,
                "successor": None,
            }
        ],
    }


def test_signature_is_deterministic(home: Path) -> None:
    key = keys.load_or_create(home)
    assert key.sign(b"data") == keys.load(home, key.public.id).sign(b"data")
    assert key.sign(b"data") != key.sign(b"date")


def test_deterministic_signature_of_the_published_key() -> None:
    """Published: RFC 6979, A.2.5, Deterministic Usage of DSA and ECDSA, 2013: P-256, SHA-256, message "sample"."""
    secret = int("C9AFA9D845BA75166B5C215767B1D6934E50C3DB36E89B127B8A622B120F6721", 16)
    # derived() adds one to what it is given
    signing = keys.derived((secret - 1).to_bytes(32, "big"))
    r = "EFD48B2AACB6A8FD1140DD9CD45E81D69D2C877B56AAF991C34D0EA84EAF3716"
    s = "F7CB1C942D657C41D436C7A1B6E29F65F3E900DBB9AFF4064DC4AB2F843ACDA8"
    mark = signing.sign(b"sample")
    assert mark.hex().upper() == f"3046022100{r}022100{s}"


def test_derived_key_needs_32_bytes() -> None:
    with pytest.raises(ValueError, match="31 bytes, not 32"):
        keys.derived(bytes(31))
    assert keys.derived(bytes(32)).public.id != keys.derived(b"\xff" * 32).public.id


@needs_openssl
def test_openssl_gives_the_same_id_and_verifies(home: Path, tmp_path: Path) -> None:
    key = keys.load_or_create(home)
    (tmp_path / "key.pem").write_bytes(key.public.pem)
    (tmp_path / "data").write_bytes(b"data")
    (tmp_path / "sig").write_bytes(key.sign(b"data"))
    command = "openssl pkey -pubin -in key.pem -outform DER | sha256sum"
    printed = subprocess.run(["bash", "-c", command], cwd=tmp_path, capture_output=True, check=True).stdout
    assert printed.split()[0].decode() == key.public.id
    verified = subprocess.run(
        ["openssl", "dgst", "-sha256", "-verify", "key.pem", "-signature", "sig", "data"],
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )
    assert verified.stdout == b"Verified OK\n"


def add_key(home: Path, private: object | None = None, *, name: str | None = None) -> str:
    made = private or ec.generate_private_key(ec.SECP256R1())
    pem = made.private_bytes(  # type: ignore[attr-defined]
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    folder = home / "keys"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "new.pem"
    path.write_bytes(pem)
    path.chmod(0o600)
    target = name or keys._signing(made, "new").public.id
    path.rename(folder / f"{target}.pem")
    return target


def test_several_keys_must_be_chosen_from(home: Path) -> None:
    first, second = keys.load_or_create(home).public.id, add_key(home)
    with pytest.raises(UsageError, match="keys: key-ambiguous"):
        keys.load_or_create(home)
    assert keys.load_or_create(home, first).public.id == first
    assert keys.load_or_create(home, second[:16]).public.id == second
    with pytest.raises(UsageError, match="keys: key-unknown"):
        keys.load_or_create(home, "zz")


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620])
def test_key_that_others_can_read_is_refused(home: Path, mode: int) -> None:
    key = keys.load_or_create(home).public.id
    (home / "keys" / f"{key}.pem").chmod(mode)
    with pytest.raises(InputError, match="key-permissions") as caught:
        keys.load_or_create(home)
    assert caught.value.problems[0].parameters == {"found": f"{mode:04o}"}


def test_key_file_of_another_key_or_algorithm(home: Path) -> None:
    wrong = add_key(home, name="0" * 64)
    with pytest.raises(InputError, match="key-other-id"):
        keys.load(home, wrong)
    other = add_key(home, ec.generate_private_key(ec.SECP384R1()), name="1" * 64)
    with pytest.raises(InputError, match="key-not-p256"):
        keys.load(home, other)
    (home / "keys" / f"{'2' * 64}.pem").touch(mode=0o600)
    with pytest.raises(InputError, match="key-malformed"):
        keys.load(home, "2" * 64)


def test_linked_key_is_refused(home: Path, tmp_path: Path) -> None:
    key = keys.load_or_create(home).public.id
    path = home / "keys" / f"{key}.pem"
    path.rename(tmp_path / "elsewhere.pem")
    path.symlink_to(tmp_path / "elsewhere.pem")
    with pytest.raises(InputError, match="file-symlink"):
        keys.load(home, key)


def test_pin_and_unpin(home: Path) -> None:
    stranger = keys.derived(b"s" * 32).public
    entry = keys.pin(home, stranger.pem, "stranger.pem")
    assert keys.pin(home, stranger.pem, "stranger.pem") == entry
    assert keys.own_trust(home).keys == (entry,)
    assert keys.export_public(home, stranger.id) == stranger.pem
    keys.unpin(home, stranger.id)
    assert keys.own_trust(home).keys == ()
    with pytest.raises(UsageError, match=r"trust\.json: key-unknown"):
        keys.unpin(home, stranger.id)
    with pytest.raises(UsageError, match="key-unknown"):
        keys.export_public(home, stranger.id)
    with pytest.raises(InputError, match=r"stranger\.pem: key-malformed"):
        keys.pin(home, b"none", "stranger.pem")


def test_own_key_is_exported_as_public_half(home: Path) -> None:
    key = keys.load_or_create(home).public
    keys.unpin(home, key.id)
    assert keys.export_public(home, key.id) == key.pem
    assert b"PRIVATE" not in keys.export_public(home, key.id)


def trust_text(**changes: object) -> bytes:
    entry = {**keys.entry_of(keys.derived(b"s" * 32).public).document(nulls=True), **changes}
    return json.dumps({"format": "sillmark-trust/0", "keys": [entry]}).encode()


@pytest.mark.parametrize(
    ("content", "code", "pointer"),
    [
        (trust_text(key="0" * 64), "key-other-id", "/keys/0"),
        (trust_text(algorithm="rsa"), "trust-schema", "/keys/0/algorithm"),
        (trust_text(valid_until="2026-02-30"), "trust-schema", "/keys/0/valid_until"),
        (trust_text(valid_until="2026-02-28\n"), "trust-schema", "/keys/0/valid_until"),
        (trust_text(more=1), "trust-schema", "/keys/0/more"),
        (trust_text(pem="none"), "key-malformed", ""),
        (b'{"format":"sillmark-trust/9","keys":[]}', "trust-schema", "/format"),
        (b'{"format":"sillmark-trust/0","keys":[],"keys":[]}', "json-duplicate-key", ""),
        (b"{", "json-malformed", ""),
    ],
)
def test_trust_file_that_cannot_be_read(tmp_path: Path, content: bytes, code: str, pointer: str) -> None:
    path = tmp_path / "trust.json"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        keys.read_trust(path)
    assert [(each.code, each.pointer) for each in caught.value.problems] == [(code, pointer)]
    assert caught.value.problems[0].where == str(path)


def test_home_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(InputError, match="file-unwritable"):
        keys.load_or_create(tmp_path / "file" / "home")
