"""``verify`` on whole bundles of the demonstration, as a stranger and as a friend."""

import json
import shutil
from pathlib import Path

import pytest

from tests.conftest import DEMO, Run


@pytest.fixture
def copied(sealed: Path, tmp_path: Path) -> Path:
    target = Path(shutil.copytree(sealed, tmp_path / "0000-build"))
    for path in target.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    return target


def test_a_pinned_key_gives_exit_0(run: Run, sealed: Path, trust_file: Path) -> None:
    outcome = run("verify", sealed, "--trust", trust_file, "--recompute")

    assert outcome.exit_code == 0, outcome.output


def test_an_unknown_signer_is_never_valid(run: Run, sealed: Path) -> None:
    outcome = run("verify", sealed)

    assert outcome.exit_code == 4
    assert "UNTRUSTED" in outcome.stdout


def test_integrity_only_leaves_trust_out(run: Run, sealed: Path) -> None:
    assert run("verify", sealed, "--integrity-only").exit_code == 0


def test_open_findings_never_change_the_exit_code(
    run: Run, sealed_with_faults: Path, trust_file: Path
) -> None:
    outcome = run("verify", sealed_with_faults, "--trust", trust_file, "--recompute")

    assert outcome.exit_code == 0, outcome.output
    manifest = json.loads((sealed_with_faults / "data" / "manifest.json").read_bytes())
    before, _ = outcome.stdout.splitlines()[-2:]
    assert (
        before
        == f"Its manifest says: {manifest['open']} open points when it was sealed; its dossier lists them."
    )


def test_a_bundle_without_open_points_says_so_only_while_it_is_whole(
    run: Run, copied: Path, trust_file: Path
) -> None:
    words = "Its manifest says: nothing open when it was sealed."
    assert words in run("verify", copied, "--trust", trust_file).stdout

    (copied / "data" / "manifest.json").write_bytes(b"{}")

    assert "Its manifest says" not in run("verify", copied, "--trust", trust_file).stdout


def test_the_whole_id_of_an_unknown_key_stands_once(run: Run, sealed: Path) -> None:
    text = run("verify", sealed).stdout

    (line,) = (line for line in text.splitlines() if line.startswith("Key "))
    assert text.count(line.removeprefix("Key ")) == 1
    assert f"whose key {line.removeprefix('Key ')[:12]}… is" in text


def test_a_swapped_photo_is_named(run: Run, copied: Path, trust_file: Path) -> None:
    shutil.copy(copied / "data/files/E004.jpg", copied / "data/files/E005.jpg")

    outcome = run("verify", copied, "--trust", trust_file)

    assert outcome.exit_code == 4
    assert "DIGEST_MISMATCH" in outcome.stdout
    assert "data/files/E005.jpg" in outcome.stdout


def test_json_has_every_step_and_one_bottom_line(run: Run, sealed: Path, trust_file: Path) -> None:
    answer = json.loads(run("verify", sealed, "--trust", trust_file, "--json").stdout)

    assert answer["format"] == "sillmark-verdict/0"
    assert [step["n"] for step in answer["steps"]] == list(range(1, 12))
    assert (answer["bottom_line"], answer["exit"]) == ("VALID", 0)


def test_a_folder_that_is_no_bundle_exits_4(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    assert run("verify", tmp_path / "empty", "--integrity-only").exit_code == 4


def test_a_missing_folder_exits_3(run: Run, tmp_path: Path) -> None:
    assert run("verify", tmp_path / "nowhere", "--integrity-only").exit_code == 3


def test_the_committed_bundle_verifies_with_its_own_trust_file(run: Run) -> None:
    outcome = run("verify", DEMO / "expected/AMB-0417", "--trust", DEMO / "trust.json", "--recompute")

    assert outcome.exit_code == 0, outcome.output
