"""Other programs look at whole bundles of the demonstration and agree."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.conftest import TEST_KEY
from tests.seal import recipe

BUNDLES = ["sealed", "sealed_with_faults"]


@pytest.fixture(params=BUNDLES)
def bag(request: pytest.FixtureRequest) -> Path:
    folder: Path = request.getfixturevalue(request.param)
    return folder


def needs(program: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(program) is None, reason=f"{program} is not installed")


def said(folder: Path, *command: str) -> str:
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, check=False, env={**os.environ, "LC_ALL": "C"}
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_bagit_package_accepts_it(bag: Path) -> None:
    """Source: computed independently with bagit."""
    bagit = pytest.importorskip("bagit", reason="the bagit package is not installed")

    bagit.Bag(str(bag)).validate()


@needs("sha256sum")
@pytest.mark.parametrize("name", ["manifest-sha256.txt", "tagmanifest-sha256.txt"])
def test_sha256sum_accepts_every_line(bag: Path, name: str) -> None:
    """Source: computed independently with coreutils."""
    assert "FAILED" not in said(bag, "sha256sum", "-c", "--strict", name)


@needs("openssl")
def test_openssl_accepts_the_signature(bag: Path) -> None:
    """Source: computed independently with openssl."""
    text = said(
        bag,
        "openssl",
        "dgst",
        "-sha256",
        "-verify",
        "seal/key.pem",
        "-signature",
        "tagmanifest-sha256.txt.sig",
        "tagmanifest-sha256.txt",
    )

    assert text.strip() == "Verified OK"


@pytest.mark.skipif(bool(recipe.MISSING), reason=recipe.REASON)
def test_the_recipe_as_typed_finds_nothing(bag: Path) -> None:
    text = (bag / "VERIFY.txt").read_text(encoding="ascii")

    assert recipe.first_failure(bag, text, TEST_KEY.public.id) is None


@needs("qpdf")
@pytest.mark.parametrize("name", ["dossier.en.pdf", "dossier.en.redacted.pdf"])
def test_qpdf_finds_no_fault_in_the_dossier(bag: Path, name: str) -> None:
    """Source: computed independently with qpdf."""
    assert "No syntax or stream encoding errors found" in said(bag / "data", "qpdf", "--check", name)


@needs("pdfdetach")
def test_the_attached_manifest_is_the_bundles(bag: Path, tmp_path: Path) -> None:
    """Source: computed independently with poppler."""
    said(
        bag, "pdfdetach", "-savefile", "manifest.json", "-o", str(tmp_path / "m.json"), "data/dossier.en.pdf"
    )

    assert (tmp_path / "m.json").read_bytes() == (bag / "data" / "manifest.json").read_bytes()


@needs("pdftotext")
def test_the_redacted_dossier_names_nobody(bag: Path, tmp_path: Path) -> None:
    names = ("Edda Quill", "Tomas Varley", "Ines Harrow", "Per Lindgate", "TV 417", "TV 520", "IMG_2026")
    for source in ("dossier.en.pdf", "dossier.en.redacted.pdf"):
        said(bag / "data", "pdftotext", source, str(tmp_path / f"{source}.txt"))
    whole = (tmp_path / "dossier.en.pdf.txt").read_text(encoding="utf-8")
    redacted = (tmp_path / "dossier.en.redacted.pdf.txt").read_text(encoding="utf-8")

    assert "Edda Quill" in whole
    assert [name for name in names if name in redacted] == []


def test_a_redacted_reader_finds_no_personal_value_in_evidence_leaves(bag: Path) -> None:
    """What a disclosure shows in any case must not name anybody."""
    lines = (bag / "seal/leaves-evidence.sha256").read_text(encoding="ascii").splitlines()
    shown = b"".join((bag / line.split("  ")[1]).read_bytes() for line in lines)

    assert len(lines) > 20
    assert [
        name for name in (b"Edda Quill", b"Tomas Varley", b"Ines Harrow", b"DEMO-0001") if name in shown
    ] == []
