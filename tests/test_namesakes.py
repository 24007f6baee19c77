"""Jobs that call themselves alike, a folder of jobs, and a job without names: told, not refused."""

import shutil
from pathlib import Path

import pytest

from evidence import namesakes
from evidence.jobs import load
from evidence.model.record import Vehicle
from tests.conftest import AT, DEMO, Run

PROFILE = DEMO / "job" / "profile.yaml"


def test_two_folders_with_one_id_are_told(run: Run, job: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(job, tmp_path / "copy"))

    outcome = run("check", job, copy)

    assert f"{copy} and {job} are both the job AMB-0417." in outcome.stderr
    assert f"{copy} and {job} have the same build number, BW-2231." in outcome.stderr
    assert "have the same VIN" in outcome.stderr


def test_one_folder_named_twice_and_two_vehicles_are_not(run: Run, job: Path, faulty_job: Path) -> None:
    outcome = run("check", job, faulty_job, job)

    assert "the same" not in outcome.stderr
    assert "both the job" not in outcome.stderr


def test_start_names_the_job_beside_that_has_the_number(run: Run, job: Path) -> None:
    outcome = run("start", job.parent / "A6", "--profile", PROFILE, "--build", "bw-2231", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert f"{job} has the build number bw-2231 already." in outcome.stderr


def test_start_of_another_vehicle_says_nothing(run: Run, job: Path) -> None:
    outcome = run("start", job.parent / "A6", "--profile", PROFILE, "--build", "BW-22310", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert outcome.stderr == ""


def test_a_vin_beside_counts_and_what_cannot_be_read_is_passed_over(job: Path) -> None:
    record = load(job).record
    (job.parent / "broken").mkdir()
    (job.parent / "broken" / "job.yaml").write_text("build: BW-2231: x", encoding="utf-8")

    found = namesakes.siblings(job.parent / "A7", Vehicle(vin=record.vehicle.vin))

    assert [each.code for each in found] == ["same-vin-beside"]
    assert found[0].parameters["other"] == str(job)


@pytest.mark.parametrize("command", [["check"], ["add", "photo.jpg", "--as", "overview"]])
def test_a_folder_of_jobs_is_named_as_such(run: Run, job: Path, command: list[str]) -> None:
    """Code "folder-of-jobs", for every command that takes a job."""
    outcome = run(command[0], job.parent, *command[1:])

    assert outcome.exit_code == 3
    assert f"{job.parent}: This folder holds jobs (job) and is none itself." in outcome.stderr
    assert "as in jobs/AMB-0417" in outcome.stderr


def test_check_and_assemble_say_that_no_name_is_known(run: Run, job: Path, tmp_path: Path) -> None:
    (job / "people.yaml").unlink()
    record = (job / "job.yaml").read_text(encoding="utf-8")
    (job / "job.yaml").write_text(record.replace(", note: n1", ""), encoding="utf-8")

    checked, assembled = run("check", job), run("assemble", job, "-o", tmp_path / "out", "--at", AT)

    to_know = checked.stdout[checked.stdout.index("To know") :]
    assert "people.yaml is not there, so nobody's name is known (w1, " in to_know
    assert "people.yaml is not there" in assembled.stderr
    assert assembled.exit_code in (0, 1)


def test_with_names_nothing_is_said(run: Run, job: Path) -> None:
    assert "people.yaml" not in run("check", job).output
