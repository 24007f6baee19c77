"""A file that somebody deleted by hand goes back to the place where the record has it."""

from pathlib import Path

import pytest

from evidence import files, jobs, restoring
from tests.cli.test_sort_and_move import entries, log
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, snap, ticket


@pytest.fixture
def lost(run: Run, tmp_path: Path) -> tuple[Path, Path]:
    """A folder of jobs in which the file of E019 of AMB-0001 was deleted, and the phone that still has it."""
    base = tmp_path / "base"
    profile = DEMO / "job" / "profile.yaml"
    given = ["--build", "BW-1", "--vin", "0BW2231TARN000001", "--at", AT]
    assert run("start", base, "--profile", profile, "--pack", "en-1789-2020@1", *given).exit_code == 0
    folder = job_folder(base, tmp_path / "jobs", 1)
    photo = snap(tmp_path / "phone" / "IMG_1.jpg", 1, [ticket(1)], DAY)
    assert run("add", tmp_path / "phone", "--sort", tmp_path / "jobs", "--at", AT).exit_code == 0
    (exhibit,) = entries(folder)
    (folder / f"photos/{exhibit}.jpg").unlink()
    return folder, photo


def test_add_puts_it_back_and_says_so(run: Run, lost: tuple[Path, Path]) -> None:
    folder, photo = lost
    before, lines, record = entries(folder), log(folder), (folder / "job.yaml").read_bytes()
    (exhibit,) = before

    outcome = run("add", folder, photo, "--as", "other-photo", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert f"The file of {exhibit} was missing and is back at its place." in outcome.stdout
    assert (folder / f"photos/{exhibit}.jpg").read_bytes() == photo.read_bytes()
    assert (entries(folder), log(folder), (folder / "job.yaml").read_bytes()) == (before, lines, record)
    again = run("add", folder, photo, "--as", "other-photo", "--at", AT)
    assert "filed as " in again.stderr
    assert again.exit_code == 2


def test_for_another_role_it_is_put_back_and_filed(run: Run, lost: tuple[Path, Path]) -> None:
    folder, photo = lost
    (exhibit,) = entries(folder)

    outcome = run("add", folder, photo, "--as", "label-system", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert f"The file of {exhibit} was missing" in outcome.stdout
    assert sorted(role for role, _ in entries(folder).values()) == ["label-system", "other-photo"]
    assert jobs.missing(folder, jobs.load(folder).record) == ()


def test_what_is_refused_puts_nothing_back(run: Run, lost: tuple[Path, Path]) -> None:
    folder, photo = lost

    outcome = run("add", folder, photo, "--as", "other-photo", "--for", "p9")

    assert outcome.exit_code == 2
    assert len(jobs.missing(folder, jobs.load(folder).record)) == 1


def test_sorting_puts_it_back_where_it_was(run: Run, lost: tuple[Path, Path]) -> None:
    folder, photo = lost
    before, lines = entries(folder), log(folder)
    (exhibit,) = before

    outcome = run("add", photo.parent, "--sort", folder.parent, "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert f"AMB-0001: the file of {exhibit} was missing and is back, from IMG_1.jpg." in outcome.stdout
    assert (folder / f"photos/{exhibit}.jpg").read_bytes() == photo.read_bytes()
    assert (entries(folder), log(folder)) == (before, lines)
    assert "was missing" not in run("add", photo.parent, "--sort", folder.parent, "--at", AT).stdout


def test_other_bytes_are_another_file(run: Run, lost: tuple[Path, Path], tmp_path: Path) -> None:
    folder, _ = lost
    other = snap(tmp_path / "other.jpg", 2, [ticket(1)], DAY)

    outcome = run("add", folder, other, "--as", "other-photo", "--for", "p1", "--at", AT)

    assert "was missing" not in outcome.output
    assert len(jobs.missing(folder, jobs.load(folder).record)) == 1


def test_what_the_log_does_not_know_is_not_known_again(lost: tuple[Path, Path]) -> None:
    folder, photo = lost
    (folder / "intake.jsonl").write_text("", encoding="utf-8")
    job = jobs.load(folder)

    assert restoring.gone(job) == {}
    assert restoring.put_back(job, files.sha256_file(photo).sha256, photo.read_bytes) == ()
