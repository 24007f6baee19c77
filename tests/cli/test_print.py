"""``print``: copies from the bundle alone, marked on every page; nothing from a bundle that is not whole."""

import ast
import inspect
import io
import json
import re
import shutil
from pathlib import Path
from types import ModuleType

import pytest
from pypdf import PdfReader

from evidence import copying, jsondoc, printing
from evidence.errors import ExitCode, InputError, IntegrityError
from evidence.guard import Guard
from tests.conftest import AT, ISSUED, Run

A4, LETTER = (595.28, 841.89), (612.0, 792.0)  # points; published: ISO 216, 2007; from memory of ANSI Y14.1
MARK = "Copy printed 2026-03-06 16:00; the sealed dossier is in the bundle"


def pages(pdf: bytes) -> list[str]:
    """What an independent reader finds on each page: pypdf."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def copied_pdf(sealed_with_faults: Path) -> bytes:
    """A copy of the dossier of the vehicle with faults."""
    with Guard() as guard:
        order = copying.CopyOrder(ISSUED)
        return copying.copy_of(copying.open_sealed(sealed_with_faults), order, guard.run)


@pytest.fixture
def changed(sealed: Path, tmp_path: Path) -> Path:
    """A bundle that can be tampered with."""
    target = Path(shutil.copytree(sealed, tmp_path / "AMB-0417" / "0000-build"))
    for path in target.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    return target


def test_a_copy_says_what_the_sealed_dossier_says_and_that_it_is_a_copy(
    copied_pdf: bytes, sealed_with_faults: Path
) -> None:
    copy, dossier = pages(copied_pdf), pages((sealed_with_faults / "data" / "dossier.en.pdf").read_bytes())

    assert all(MARK in page for page in copy)
    assert not any("Copy printed" in page for page in dossier)
    assert [page.replace(MARK, "").strip() for page in copy] == dossier


def test_a_copy_carries_the_same_attachments(copied_pdf: bytes, sealed_with_faults: Path) -> None:
    sealed_pdf = (sealed_with_faults / "data" / "dossier.en.pdf").read_bytes()
    one, other = (PdfReader(io.BytesIO(pdf)).attachments for pdf in (copied_pdf, sealed_pdf))

    assert one == other
    assert one["manifest.json"] == [(sealed_with_faults / "data" / "manifest.json").read_bytes()]


@pytest.mark.parametrize(
    ("options", "size"), [((), A4), (("--paper", "a4"), A4), (("--paper", "letter", "--lang", "en"), LETTER)]
)
def test_a_sheet_has_two_pages_of_the_paper_in_the_printer(
    run: Run, sealed: Path, tmp_path: Path, options: tuple[str, ...], size: tuple[float, float]
) -> None:
    target = tmp_path / "sheet.pdf"
    result = run("print", sealed, "--sheet", "-o", target, "--at", AT, *options)

    assert result.exit_code == ExitCode.CLEAR, result.output
    assert result.stdout == f"Copy of the dossier of AMB-0417: {target}\n"
    assert "Whose key sealed it was not asked" in result.stderr
    found = PdfReader(io.BytesIO(target.read_bytes())).pages
    assert len(found) == 2
    assert (float(found[0].mediabox.width), float(found[0].mediabox.height)) == pytest.approx(size, abs=0.1)
    front, second = pages(target.read_bytes())
    manifest = json.loads((sealed / "data" / "manifest.json").read_bytes())
    assert "Vehicle BW-2231" in front
    assert manifest["vehicle"]["vin"] in front
    assert "openssl dgst" in second


def test_the_sheet_names_the_file_after_the_job_where_no_name_is_given(
    run: Run, sealed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run("print", sealed, "--sheet", "--at", AT).stdout.endswith(": AMB-0417-sheet.pdf\n")
    assert (tmp_path / "AMB-0417-sheet.pdf").read_bytes().startswith(b"%PDF-")


def test_the_folder_of_one_vehicle_is_named_as_well_as_its_bundle(
    run: Run, sealed: Path, tmp_path: Path
) -> None:
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    for bundle, target in ((sealed, one), (sealed.parent, other)):
        assert run("print", bundle, "--sheet", "-o", target, "--at", AT).exit_code == ExitCode.CLEAR

    assert one.read_bytes() == other.read_bytes()


def test_several_bundles_are_not_chosen_from(run: Run, changed: Path, tmp_path: Path) -> None:
    shutil.copytree(changed, changed.parent / "0001-inspection")
    result = run("print", changed.parent, "-o", tmp_path / "copy.pdf")

    assert result.exit_code == ExitCode.USAGE
    assert "several bundles of one vehicle: 0000-build, 0001-inspection" in result.stderr  # bundle-several


def test_a_changed_bundle_prints_nothing(run: Run, changed: Path, tmp_path: Path) -> None:
    shutil.copy(changed / "data/files/E004.jpg", changed / "data/files/E005.jpg")
    result = run("print", changed, "-o", tmp_path / "copy.pdf")

    assert result.exit_code == ExitCode.NOT_VERIFIED
    assert result.stdout == ""
    assert "DIGEST_MISMATCH" in result.stderr
    assert "Nothing was printed" in result.stderr  # copy-not-verified
    assert not (tmp_path / "copy.pdf").exists()


def test_a_file_that_changes_after_verifying_is_not_printed(changed: Path) -> None:
    sealed = copying.open_sealed(changed)
    (changed / "data/inputs/profile.yaml").write_bytes(b"format: other\n")

    with pytest.raises(IntegrityError, match="changed-while-read"):
        copying.source_of(sealed, copying.CopyOrder(ISSUED, sheet=True), Guard().run)


def test_a_signed_bundle_whose_parts_do_not_fit_is_refused_in_words(changed: Path) -> None:
    path, sums = changed / "data/manifest.json", changed / "manifest-sha256.txt"
    before = path.read_bytes()
    manifest = jsondoc.decode(before, "manifest")
    photo = next(each for each in manifest["exhibits"] if each["kind"] == "photo")
    photo["redacted"] = photo["redacted_sha256"] = None
    after = jsondoc.canonical(manifest)
    path.write_bytes(after)
    listed = sums.read_bytes().replace(jsondoc.digest(before).encode(), jsondoc.digest(after).encode())
    sums.write_bytes(listed)

    with Guard() as guard, pytest.raises(InputError, match="copy-impossible"):
        copying.copy_of(copying.open_sealed(changed), copying.CopyOrder(ISSUED), guard.run)


def test_what_is_no_bundle_is_told(run: Run, tmp_path: Path) -> None:
    assert run("print", tmp_path).exit_code == ExitCode.NOT_VERIFIED
    assert run("print", tmp_path / "nothing").exit_code == ExitCode.UNREADABLE


def test_a_file_that_is_there_stays(run: Run, sealed: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy.pdf"
    target.write_bytes(b"somebody's")
    result = run("print", sealed, "-o", target)

    assert result.exit_code == ExitCode.USAGE
    assert f"{target}: A file with this name is there already." in result.stderr
    assert target.read_bytes() == b"somebody's"


@pytest.mark.parametrize("options", [("--paper", "a3"), ("--lang", "xx")])
def test_words_that_are_not_offered_are_refused(run: Run, sealed: Path, options: tuple[str, ...]) -> None:
    result = run("print", sealed, *options)

    assert result.exit_code == ExitCode.USAGE
    assert re.search(r"there is no '(a3|xx)'", result.stderr)


@pytest.mark.usefixtures("afresh")
def test_the_same_command_twice_gives_the_same_bytes(
    run: Run, sealed_with_faults: Path, tmp_path: Path
) -> None:
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    for target in (one, other):
        run("print", sealed_with_faults, "--sheet", "-o", target, "--at", AT)

    assert one.read_bytes() == other.read_bytes()


def test_a_copy_is_made_from_everything_that_the_sealed_dossier_is_made_from() -> None:
    def given(module: ModuleType) -> set[str]:
        calls = [
            node for node in ast.walk(ast.parse(inspect.getsource(module))) if isinstance(node, ast.Call)
        ]
        (call,) = (each for each in calls if ast.unparse(each.func) == "dossier.DossierInput")
        return {str(keyword.arg) for keyword in call.keywords}

    # a whole bundle has its people, so a copy is never the redacted one
    assert given(copying) == given(printing) - {"redacted"} | {"copied"}


def test_people_stand_in_a_copy_as_in_the_sealed_dossier(sealed: Path) -> None:
    people = copying.people_of(copying.open_sealed(sealed))

    assert people is not None
    assert people.plate == "TV 417"
    assert {person.id for person in people.people} >= {"w1", "w3"}
    assert [note.id for note in people.notes] == ["n1"]
