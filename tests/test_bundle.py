"""Bundles on disk: layout, determinism, and what other programs say of them."""

import shutil
import stat
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from evidence import bundle
from evidence.errors import InputError, UsageError
from evidence.seal import layout, salt
from tests.seal import factory, recipe
from tests.seal.conftest import copied, sealed

__all__ = ["copied", "sealed"]


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def write(target: Path, **changes: object) -> bundle.Written:
    request = replace(factory.REQUEST, **changes)  # type: ignore[arg-type]
    return bundle.write_bundle(target, dict(factory.payload()), request, factory.SIGNER.sign)


def test_layout(sealed: Path) -> None:
    assert set(contents(sealed)) == {
        *factory.payload(),
        *factory.TAGS,
        layout.TAG_SUMS_PATH,
        layout.SIGNATURE_PATH,
    }
    assert tuple(factory.TAGS) == layout.TAG_PATHS


def test_files_are_for_reading_only(sealed: Path) -> None:
    modes = {stat.S_IMODE(path.stat().st_mode) for path in sealed.rglob("*") if path.is_file()}
    assert modes == {0o444}


def test_tag_files_to_the_letter(sealed: Path) -> None:
    assert (sealed / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    payload = factory.payload()
    nonce = salt.nonce("bag-info.txt", (sealed / "manifest-sha256.txt").read_bytes(), factory.SEED)
    assert (sealed / "bag-info.txt").read_text() == (
        "Bag-Software-Agent: sillmark 0.1.0\n"
        "Bagging-Date: 2026-03-20\n"
        f"Payload-Oxum: {sum(map(len, payload.values()))}.{len(payload)}\n"
        f"Nonce: {nonce}\n"
    )
    personal = [line[66:] for line in (sealed / "seal/leaves-personal.sha256").read_text().splitlines()]
    assert personal == sorted(factory.PERSONAL)


def test_seed_is_not_in_the_bundle(sealed: Path) -> None:
    everything = b"".join(contents(sealed).values())
    assert factory.SEED not in everything
    assert factory.SEED.hex().encode() not in everything


def test_same_input_gives_same_bytes(sealed: Path, tmp_path: Path) -> None:
    again = write(tmp_path / "again")
    assert contents(again.path) == contents(sealed)
    assert again.tagmanifest == factory.sha((sealed / layout.TAG_SUMS_PATH).read_bytes())


@pytest.mark.parametrize(
    ("changes", "differing"),
    [
        ({"seed": bytes(32)}, {"bag-info.txt"}),
        ({"issued": "2026-03-21T16:05:00+01:00"}, {"bag-info.txt", "seal/seal.json"}),
        ({"issued_from": "clock"}, {"seal/seal.json"}),
    ],
)
def test_what_a_change_touches(
    sealed: Path, tmp_path: Path, changes: dict[str, object], differing: set[str]
) -> None:
    one, other = contents(sealed), contents(write(tmp_path / "other", **changes).path)
    always = {layout.TAG_SUMS_PATH, layout.SIGNATURE_PATH}
    assert {path for path in one if one[path] != other[path]} == differing | always


def test_existing_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bag").mkdir()
    with pytest.raises(UsageError, match="bag: bundle-exists") as caught:
        write(tmp_path / "bag")
    assert caught.value.exit_code == 2
    assert names_in(tmp_path / "bag") == []


def test_files_are_copied_from_paths(sealed: Path, tmp_path: Path) -> None:
    content: dict[str, bytes | Path] = dict(factory.payload())
    source = tmp_path / "photo.jpg"
    source.write_bytes(factory.payload()["data/files/E001.jpg"])
    content["data/files/E001.jpg"] = source
    expected = {"data/files/E001.jpg": factory.sha(source.read_bytes())}
    target = tmp_path / "bag"
    bundle.write_bundle(target, content, factory.REQUEST, factory.SIGNER.sign, expected)
    assert contents(target) == contents(sealed)


def test_source_changed_since_it_was_read(tmp_path: Path) -> None:
    content: dict[str, bytes | Path] = dict(factory.payload())
    source = tmp_path / "photo.jpg"
    source.write_bytes(b"changed")
    content["data/files/E001.jpg"] = source
    with pytest.raises(InputError, match=r"photo\.jpg: source-changed"):
        bundle.write_bundle(
            tmp_path / "out" / "bag",
            content,
            factory.REQUEST,
            factory.SIGNER.sign,
            {"data/files/E001.jpg": "0" * 64},
        )
    assert not (tmp_path / "out").exists()


def test_missing_source_publishes_nothing(tmp_path: Path) -> None:
    content: dict[str, bytes | Path] = {**factory.payload(), "data/files/E001.jpg": tmp_path / "no.jpg"}
    with pytest.raises(InputError, match=r"no\.jpg: file-absent"):
        bundle.write_bundle(tmp_path / "bag", content, factory.REQUEST, factory.SIGNER.sign)
    assert not (tmp_path / "bag").exists()


def test_view_of_nothing(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no: bundle-missing"):
        bundle.open_view(tmp_path / "no")


def test_bundle_verifies_where_it_may_only_be_read(copied: Path) -> None:
    for path in (copied, *copied.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    assert factory.ask(copied).exit_code == 0
    for path in (copied, *copied.rglob("*")):
        path.chmod(0o755)


@contextmanager
def bag_of(folder: Path) -> Iterator[object]:
    bagit = pytest.importorskip("bagit", reason="the bagit package is not installed")
    yield bagit.Bag(str(folder))


def test_bagit_package_accepts_it(sealed: Path) -> None:
    """Source: computed independently with bagit."""
    with bag_of(sealed) as bag:
        assert bag.is_valid(fast=False)  # type: ignore[attr-defined]
        assert bag.version_info == (1, 0)  # type: ignore[attr-defined]


def test_bagit_package_refuses_a_changed_one(copied: Path) -> None:
    (copied / "data/files/E001.jpg").write_bytes(b"x")
    with bag_of(copied) as bag:
        assert not bag.is_valid(fast=False)  # type: ignore[attr-defined]


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not installed")
@pytest.mark.parametrize("name", ["manifest-sha256.txt", "tagmanifest-sha256.txt"])
def test_sha256sum_passes(sealed: Path, name: str) -> None:
    done = subprocess.run(
        ["sha256sum", "-c", "--strict", "--quiet", name], cwd=sealed, capture_output=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl is not installed")
def test_openssl_verifies_the_signature(sealed: Path) -> None:
    command = ["openssl", "dgst", "-sha256", "-verify", "seal/key.pem", "-signature"]
    done = subprocess.run(
        [*command, layout.SIGNATURE_PATH, layout.TAG_SUMS_PATH], cwd=sealed, capture_output=True, check=False
    )
    assert (done.returncode, done.stdout) == (0, b"Verified OK\n")


def test_recipe_is_the_same_for_every_vehicle(sealed: Path) -> None:
    """Of the bundle it names the key's id and nothing else."""
    text = (sealed / "VERIFY.txt").read_text(encoding="ascii")
    assert text.encode() == bundle.recipe(factory.SIGNER.public.pem)
    other = bundle.recipe(factory.STRANGER.public.pem).decode()
    assert text.replace(factory.SIGNER.public.id, factory.STRANGER.public.id) == other
    assert len(recipe.lines(text)) == 16


@pytest.mark.skipif(bool(recipe.MISSING), reason=recipe.REASON)
def test_recipe_holds_with_another_shell(sealed: Path) -> None:
    shell = shutil.which("dash")
    if shell is None:
        pytest.skip("dash is not installed")
    for line in recipe.lines((sealed / "VERIFY.txt").read_text()):
        done = subprocess.run([shell, "-c", line.command], cwd=sealed, capture_output=True, check=False)
        assert recipe._kept(line, (done.stdout + done.stderr).decode(), factory.SIGNER.public.id)
