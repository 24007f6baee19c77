"""A change of role that was killed between log and record is logged once; one that is wanted twice is logged twice."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from evidence import files
from evidence.cli import cli
from tests.cli.test_sort_and_move import Killed, killing, log
from tests.conftest import AT, Run

LATER = "2026-03-06T16:30+01:00"


def change(job: Path, role: str, at: str) -> list[str]:
    return ["move", str(job), "E002", "--as", role, "--reason", "role-given", "--at", at]


def test_a_killed_change_is_logged_once(run: Run, job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = log(job)
    with monkeypatch.context() as patch:
        patch.setattr(
            files, "write_file", killing(1, files.write_file)
        )  # the log is written, the record is not
        with pytest.raises(Killed):
            CliRunner().invoke(cli, change(job, "other-photo", AT), catch_exceptions=False)
    assert [line["event"] for line in log(job)[len(before) :]] == ["change"]

    outcome = run(*change(job, "other-photo", LATER))

    assert outcome.exit_code == 0, outcome.output
    assert [(line["event"], line["at"]) for line in log(job)[len(before) :]] == [("change", AT)]


def test_there_and_back_again_is_logged_each_time(run: Run, job: Path) -> None:
    before = len(log(job))

    for role in ("other-photo", "overview", "other-photo"):
        outcome = run(*change(job, role, AT))
        assert outcome.exit_code == 0, outcome.output

    assert [line["event"] for line in log(job)[before:]] == ["change"] * 3


def test_a_framed_window_keeps_its_role_until_the_frame_is_gone(run: Run, job: Path) -> None:
    """Code "move-framed": a record that the next command could not read is never written."""
    before = (job / "job.yaml").read_bytes()

    outcome = run("move", job, "E005", "--as", "other-photo", "--reason", "role-given", "--at", AT)

    assert outcome.exit_code == 2
    assert "Delete frame, neutral and reads" in outcome.stderr
    assert (job / "job.yaml").read_bytes() == before
