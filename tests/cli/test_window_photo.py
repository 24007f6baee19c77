"""A photo of a lock window as it is filed: what to write beside it, and what a person's word needs."""

from pathlib import Path

from tests.conftest import AT, DEMO, Run

LINE = "  - {id: E005, role: lock-window-locked, subject: p1, file: photos/E005.jpg, by: w2,"


def test_add_says_which_line_marks_the_window(run: Run, job: Path, tmp_path: Path) -> None:
    source = tmp_path / "window.jpg"
    source.write_bytes((DEMO / "job-with-faults" / "photos" / "E006.jpg").read_bytes())
    outcome = run("add", job, source, "--as", "lock-window-locked", "--for", "p1", "--at", AT)

    assert outcome.exit_code == 0
    assert (
        'frame: "x1,y1, x2,y2, x3,y3, x4,y4", neutral: {grey: "x1,y1, x2,y2, x3,y3, x4,y4"}' in outcome.output
    )
    assert "reads: locked" in outcome.output


def test_the_line_copied_without_numbers_is_told(run: Run, job: Path) -> None:
    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(
        text.replace("372,404,496,415,491,467,362,455", "x1,y1, x2,y2, x3,y3, x4,y4"), encoding="utf-8"
    )
    outcome = run("check", job)

    assert outcome.exit_code != 0
    assert "is not four corners." in outcome.output


def test_check_reads_the_windows_and_remembers_that_it_did(run: Run, job: Path) -> None:
    log = job / "intake.jsonl"
    lines = log.read_text(encoding="utf-8").splitlines(keepends=True)
    before = "".join(line for line in lines if '"measure"' not in line)
    log.write_text(before, encoding="utf-8")
    outcome = run("check", job)
    added = log.read_text(encoding="utf-8").removeprefix(before)

    assert outcome.exit_code == 0
    measured = [line for line in added.splitlines() if '"measure"' in line]
    assert [sum(f'"{exhibit}"' in line for line in measured) for exhibit in ("E004", "E005")] == [1, 1]
    assert run("check", job).exit_code == 0
    assert log.read_text(encoding="utf-8") == before + added


def test_a_person_against_the_photo_keeps_the_job_open(run: Run, job: Path) -> None:
    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    assert LINE in text
    record.write_text(text.replace(LINE, f"{LINE} reads: open,"), encoding="utf-8")
    outcome = run("check", job)

    assert outcome.exit_code == 1
    assert "E005 as open; the photo shows the locked colour." in outcome.output
