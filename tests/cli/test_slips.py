"""Slips of the hand: a misspelt folder, a capital letter, a table without units, bundles into a job."""

from pathlib import Path

import pytest

from evidence.sorting import near_roles
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, snap, ticket


def test_a_misspelt_role_folder_is_told_with_the_role_that_is_near(run: Run, tmp_path: Path) -> None:
    base = tmp_path / "base"
    given = ["--pack", "en-1789-2020@1", "--build", "BW-1", "--vin", "0BW2231TARN000001", "--at", AT]
    assert run("start", base, "--profile", DEMO / "job" / "profile.yaml", *given).exit_code == 0
    job_folder(base, tmp_path / "jobs", 1)
    snap(tmp_path / "phone" / "hook-positoin" / "1.jpg", 1, [ticket(1)], DAY)

    outcome = run("add", tmp_path / "phone", "--sort", tmp_path / "jobs", "--at", AT)

    assert "The folder hook-positoin names no role; hook-position is near." in outcome.stdout


@pytest.mark.parametrize(
    ("folder", "role"),
    [("hook-positoin", "hook-position"), ("Hook Position", "hook-position"), ("overveiw", "overview"),
     ("work_card", "work-card"), ("screw", "screws")],
)  # fmt: skip
def test_slips_are_near(folder: str, role: str) -> None:
    assert near_roles([f"DCIM/{folder}/1.jpg"], {}) == {folder: role}


@pytest.mark.parametrize(
    "folder", ["100DEMO", "DCIM", "hook-position", "Phone of Kit", "screenshots", "AMB-0001"]
)
def test_other_names_are_not(folder: str) -> None:
    assert near_roles([f"{folder}/1.jpg"], {}) == {}


def test_a_capital_letter_is_answered_with_the_ids_there_are(run: Run, job: Path) -> None:
    """Code "subject-unknown"."""
    photo = snap(job.parent / "new.jpg", 9)

    outcome = run("add", job, photo, "--as", "other-photo", "--for", "P1")

    assert outcome.exit_code == 2
    assert "The record has no entry P1; there are: vehicle, p1, " in outcome.stderr
    assert f"{job / 'job.yaml'}: " in outcome.stderr
    assert "small and capital letters" in outcome.stderr


@pytest.mark.parametrize(("head", "told"), [("screw;torque", True), ("screw;torque [N·m]", False)])
def test_a_table_without_any_unit_is_told(run: Run, job: Path, head: str, *, told: bool) -> None:
    table = job.parent / "torque.csv"
    table.write_text(f"{head}\n1;24\n2;25\n", encoding="utf-8")

    outcome = run("add", job, table, "--as", "torque-log", "--for", "g1", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert ("No heading of it gives a unit" in outcome.stdout) == told


@pytest.mark.parametrize("below", ["", "bundles"])
def test_bundles_do_not_go_into_a_job(run: Run, job: Path, below: str) -> None:
    """Code "out-in-job"."""
    before = sorted(job.rglob("*"))

    outcome = run("assemble", job, "-o", job / below, "--at", AT)

    assert outcome.exit_code == 2
    assert f"lies in, the job folder {job}" in outcome.stderr
    assert sorted(job.rglob("*")) == before


def test_a_bundle_that_is_there_and_open_points_are_both_told(
    run: Run, faulty_job: Path, tmp_path: Path
) -> None:
    """Codes "bundle-exists" and "open-points"."""
    (tmp_path / "out" / "AMB-0520" / "0000-build").mkdir(parents=True)

    outcome = run("assemble", faulty_job, "-o", tmp_path / "out", "--require-complete", "--at", AT)

    assert outcome.exit_code == 2
    assert "This bundle is there already" in outcome.stderr
    assert "; so no bundle was made." in outcome.stderr
