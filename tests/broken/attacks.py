"""Attacks on a sealed bundle: what is done, what the verifier must say, and whether the recipe sees it."""

import os
import shutil
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from evidence import jsondoc
from tests.seal.factory import SIGNER, STRANGER, TAGS, noise, sha, sum_lines

E1, E4 = "data/files/E001.jpg", "data/files/E004.jpg"
SIGNATURE = "tagmanifest-sha256.txt.sig"


@dataclass(frozen=True)
class Attack:
    """One row.

    Attributes:
        name: what was done.
        mutate: does it to a copied bundle, or writes a forged one into an empty folder.
        code: verdict that must be among those given.
        where: file that the verdict must name.
        words: part of the sentence.
        recipe: whether VERIFY.txt's recipe must see it.
    """

    name: str
    mutate: Callable[[Path], object]
    code: str
    where: str
    words: str
    recipe: bool = True


def _write(path: str, content: bytes) -> Callable[[Path], object]:
    def mutate(folder: Path) -> None:
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)

    return mutate


def _remove(*paths: str) -> Callable[[Path], object]:
    def mutate(folder: Path) -> None:
        for path in paths:
            (folder / path).unlink()

    return mutate


def _exchange(folder: Path) -> None:
    first, second = (folder / E1).read_bytes(), (folder / E4).read_bytes()
    (folder / E1).write_bytes(second)
    (folder / E4).write_bytes(first)


def _edit(path: str, old: bytes, new: bytes) -> Callable[[Path], object]:
    def mutate(folder: Path) -> None:
        content = (folder / path).read_bytes()
        assert old in content
        (folder / path).write_bytes(content.replace(old, new))

    return mutate


def resum(folder: Path) -> bytes:
    """Recompute every list and every digest that the seal states, as somebody without the key can."""
    digests = {
        str(path.relative_to(folder)): sha(path.read_bytes())
        for path in (folder / "data").rglob("*")
        if path.is_file()
    }
    (folder / "manifest-sha256.txt").write_bytes(sum_lines(digests))
    seal = jsondoc.decode((folder / "seal/seal.json").read_bytes(), "seal")
    for name in ("evidence", "personal"):
        path = folder / f"seal/leaves-{name}.sha256"
        listed = [line[66:] for line in path.read_text().splitlines()]
        path.write_bytes(sum_lines({each: digests[each] for each in listed if each in digests}))
        seal[name] = {"count": len(listed), "sha256": sha(path.read_bytes())}
    seal["manifest"] = digests["data/manifest.json"]
    (folder / "seal/seal.json").write_bytes(jsondoc.canonical(seal))
    signed = sum_lines({path: sha((folder / path).read_bytes()) for path in TAGS})
    (folder / "tagmanifest-sha256.txt").write_bytes(signed)
    return signed


def _edited_and_resummed(folder: Path) -> None:
    _write(E1, noise("another photo", 5000))(folder)
    resum(folder)


def _signed_by_stranger(folder: Path) -> None:
    _write(E1, noise("another photo", 5000))(folder)
    (folder / "seal/key.pem").write_bytes(STRANGER.public.pem)
    seal = folder / "seal/seal.json"
    seal.write_bytes(seal.read_bytes().replace(SIGNER.public.id.encode(), STRANGER.public.id.encode()))
    (folder / SIGNATURE).write_bytes(STRANGER.sign(resum(folder)))


def _wrong_key(folder: Path) -> None:
    (folder / SIGNATURE).write_bytes(STRANGER.sign((folder / "tagmanifest-sha256.txt").read_bytes()))


def _other_algorithm(make: Callable[[], tuple[bytes, Callable[[bytes], bytes]]]) -> Callable[[Path], object]:
    def mutate(folder: Path) -> None:
        pem, sign = make()
        (folder / "seal/key.pem").write_bytes(pem)
        (folder / SIGNATURE).write_bytes(sign(resum(folder)))

    return mutate


def _rsa() -> tuple[bytes, Callable[[bytes], bytes]]:
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import padding, rsa  # noqa: PLC0415

    key = rsa.generate_private_key(65537, 2048)
    return _pem(key), lambda data: key.sign(data, padding.PKCS1v15(), hashes.SHA256())


def _p384() -> tuple[bytes, Callable[[bytes], bytes]]:
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    key = ec.generate_private_key(ec.SECP384R1())
    return _pem(key), lambda data: key.sign(data, ec.ECDSA(hashes.SHA256()))


def _ed25519() -> tuple[bytes, Callable[[bytes], bytes]]:
    from cryptography.hazmat.primitives.asymmetric import ed25519  # noqa: PLC0415

    key = ed25519.Ed25519PrivateKey.generate()
    return _pem(key), key.sign


def _pem(key: object) -> bytes:
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415

    public = key.public_key()  # type: ignore[attr-defined]
    content: bytes = public.public_bytes(
        serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    return content


def _long_form(folder: Path) -> None:
    """The same two integers with the outer length in two bytes: BER, not DER."""
    mark = (folder / SIGNATURE).read_bytes()
    (folder / SIGNATURE).write_bytes(mark[:1] + b"\x81" + mark[1:])


def _link_out(folder: Path) -> None:
    outside = folder.parent / "outside.jpg"
    shutil.move(folder / E1, outside)
    (folder / E1).symlink_to(outside)


def _link_folder(folder: Path) -> None:
    outside = folder.parent / "outside-files"
    shutil.move(folder / "data/files", outside)
    (folder / "data/files").symlink_to(outside, target_is_directory=True)


def _link_inside(folder: Path) -> None:
    (folder / E4).unlink()
    (folder / E4).symlink_to("E001.jpg")


def _link_signature(folder: Path) -> None:
    outside = folder.parent / "elsewhere.sig"
    shutil.move(folder / SIGNATURE, outside)
    (folder / SIGNATURE).symlink_to(outside)


def _fifo(path: str) -> Callable[[Path], object]:
    def mutate(folder: Path) -> None:
        (folder / path).unlink(missing_ok=True)
        os.mkfifo(folder / path)

    return mutate


def _unicode_pair(folder: Path) -> None:
    for form in ("NFC", "NFD"):
        _write("data/files/" + unicodedata.normalize(form, "Größe.jpg"), b"x")(folder)


def _swell(path: str, size: int) -> Callable[[Path], object]:
    return lambda folder: os.truncate(folder / path, size)


PLAIN: tuple[Attack, ...] = (
    Attack("file swapped", _write(E1, b"another"), "DIGEST_MISMATCH", E1, "not the file that was sealed"),
    Attack("photos exchanged", _exchange, "DIGEST_MISMATCH", E4, "not the file that was sealed"),
    Attack(
        "manifest edited",
        _edit("data/manifest.json", b'"met"', b'"not met"'),
        "DIGEST_MISMATCH",
        "data/manifest.json",
        "changed or damaged",
    ),
    Attack(
        "one letter of the recipe changed",
        _edit("VERIFY.txt", b"nothing", b"Nothing"),
        "DIGEST_MISMATCH",
        "VERIFY.txt",
        "SHA-256",
    ),
    Attack(
        "seal edited",
        _edit("seal/seal.json", b"2026-03-20", b"2026-03-02"),
        "DIGEST_MISMATCH",
        "seal/seal.json",
        "SHA-256",
    ),
    Attack("every sum recomputed", _edited_and_resummed, "SIGNATURE_INVALID", SIGNATURE, "did not make it"),
    Attack("signed by a stranger", _signed_by_stranger, "UNKNOWN_KEY", "seal/key.pem", "not among the keys"),
    Attack("signature of another key", _wrong_key, "SIGNATURE_INVALID", SIGNATURE, "did not make it"),
    Attack("RSA key", _other_algorithm(_rsa), "SIGNATURE_INVALID", SIGNATURE, "another algorithm"),
    Attack("P-384 key", _other_algorithm(_p384), "SIGNATURE_INVALID", SIGNATURE, "another algorithm"),
    Attack("Ed25519 key", _other_algorithm(_ed25519), "SIGNATURE_INVALID", SIGNATURE, "another algorithm"),
    Attack("empty signature", _write(SIGNATURE, b""), "SIGNATURE_INVALID", SIGNATURE, "strict form"),
    Attack("signature of zeros", _write(SIGNATURE, bytes(71)), "SIGNATURE_INVALID", SIGNATURE, "strict form"),
    Attack("signature in BER", _long_form, "SIGNATURE_INVALID", SIGNATURE, "strict form"),
    Attack("huge signature", _write(SIGNATURE, bytes(5000)), "TOO_LARGE", SIGNATURE, "4096 bytes"),
    Attack("signature stripped", _remove(SIGNATURE), "SIGNATURE_MISSING", SIGNATURE, "nobody vouches"),
    Attack("photo removed", _remove(E1), "FILE_MISSING", E1, "not there"),
    Attack(
        "people withheld without a disclosure",
        _remove("data/people/w1.json"),
        "FILE_MISSING",
        "data/people/w1.json",
        "not there",
    ),
    Attack(
        "payload list removed",
        _remove("manifest-sha256.txt"),
        "FILE_MISSING",
        "manifest-sha256.txt",
        "not there",
    ),
    Attack(
        "signed list removed",
        _remove("tagmanifest-sha256.txt"),
        "FILE_MISSING",
        "tagmanifest-sha256.txt",
        "not there",
    ),
    Attack("key removed", _remove("seal/key.pem"), "FILE_MISSING", "seal/key.pem", "not there"),
    Attack(
        "bag declaration removed", _remove("bagit.txt"), "FILE_MISSING", "bagit.txt", "belongs to the bundle"
    ),
    Attack(
        "extra payload file",
        _write("data/files/E099.jpg", b"x"),
        "EXTRA_FILE",
        "data/files/E099.jpg",
        "does not name it",
    ),
    Attack("extra root file", _write("note.txt", b"x"), "EXTRA_FILE", "note.txt", "does not name it"),
    Attack(
        "files to fetch",
        _write("fetch.txt", b"http://localhost/x 1 data/x\n"),
        "EXTRA_FILE",
        "fetch.txt",
        "does not name it",
    ),
    Attack(
        "second, weaker list",
        _write("manifest-md5.txt", b"d41d8cd98f00b204e9800998ecf8427e  data/x\n"),
        "EXTRA_FILE",
        "manifest-md5.txt",
        "does not name it",
    ),
    Attack(
        "empty folder", lambda f: (f / "data/more").mkdir(), "EXTRA_FILE", "data/more/", "does not name it"
    ),
    Attack("link to a file outside", _link_out, "SYMLINK", E1, "is a link"),
    Attack("link to a file inside", _link_inside, "SYMLINK", E4, "is a link"),
    Attack("link to a folder", _link_folder, "SYMLINK", "data/files", "is a link"),
    Attack("signature as a link", _link_signature, "SYMLINK", SIGNATURE, "is a link"),
    Attack(
        "dangling link", lambda f: (f / "x").symlink_to("nowhere"), "SYMLINK", "x", "holds plain files only"
    ),
    Attack("FIFO in place of a photo", _fifo(E1), "NOT_REGULAR_FILE", E1, "neither a file nor a folder"),
    Attack(
        "FIFO in place of the signature", _fifo(SIGNATURE), "NOT_REGULAR_FILE", SIGNATURE, "plain files only"
    ),
    Attack(
        "name equal but for case",
        _write("data/files/e001.JPG", b"x"),
        "PATH_COLLISION",
        "data/files/e001.JPG",
        E1,
    ),
    Attack(
        "name in two Unicode forms",
        _unicode_pair,
        "PATH_COLLISION",
        r"data/files/Gr\xf6\xdfe.jpg",
        "becomes one file",
    ),
    Attack(
        "non-ASCII name",
        _write("data/files/Größe.jpg", b"x"),
        "PATH_NOT_ALLOWED",
        r"data/files/Gr\xf6\xdfe.jpg",
        "outside the allowed",
    ),
    Attack(
        "hidden file",
        _write("data/.hidden", b"x"),
        "PATH_NOT_ALLOWED",
        "data/.hidden",
        "it is hidden",
    ),
    Attack(
        "device name", _write("data/NUL.txt", b"x"), "PATH_NOT_ALLOWED", "data/NUL.txt", "keep for a device"
    ),
    Attack(
        "name with trailing dot",
        _write("data/E001.", b"x"),
        "PATH_NOT_ALLOWED",
        "data/E001.",
        "ends with a dot",
    ),
    Attack(
        "swollen seal", _swell("seal/seal.json", 5_000_000), "TOO_LARGE", "seal/seal.json", "5000000 bytes"
    ),
    Attack(
        "swollen photo", _swell(E1, 2 * 1024**3), "TOO_LARGE", E1, "1073741824 bytes", recipe=False
    ),  # the recipe would sum two gigabytes and find it; the test need not wait for that
)
