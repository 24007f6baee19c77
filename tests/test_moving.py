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


def test_a_framed_window_leaves_its_frame_behind(run: Run, job: Path) -> None:
    """The demonstration's photo has a frame and a neutral patch; a photo of something else has neither."""
    before = (job / "job.yaml").read_text(encoding="utf-8")
    framed = next(line for line in before.splitlines() if "372,404,496" in line)

    outcome = run("move", job, "E005", "--as", "other-photo", "--reason", "role-given", "--at", AT)

    assert outcome.exit_code == 0, outcome.stderr
    assert "was taken out: frame, neutral. The job's log keeps it." in outcome.stdout
    after = (job / "job.yaml").read_text(encoding="utf-8")
    assert framed not in after
    assert len(after.splitlines()) >= len(before.splitlines()) - 1
    line = log(job)[-1]
    assert (line["event"], line["id"]) == ("change", "E005")
    assert line["recorded"].startswith("frame: 372,404,496,415,491,467,362,455; neutral: {")
    assert run("check", job).exit_code in {0, 1}


def test_a_window_photo_of_the_other_state_keeps_its_frame(run: Run, job: Path) -> None:
    before = (job / "job.yaml").read_text(encoding="utf-8")
    outcome = run("move", job, "E005", "--as", "lock-window-open", "--reason", "wrong-role", "--at", AT)
    assert outcome.exit_code == 0, outcome.stderr
    assert "taken out" not in outcome.stdout
    after = (job / "job.yaml").read_text(encoding="utf-8")
    assert after.count("frame:") == before.count("frame:")
    assert "recorded" not in log(job)[-1]
