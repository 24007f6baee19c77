"""``check`` over many jobs: grid and punch list, on screen and as sheets to print."""

import json
from pathlib import Path

import pypdf
import pytest

from tests.conftest import Run


def test_several_jobs_give_a_grid_and_one_list(run: Run, job: Path, faulty_job: Path) -> None:
    outcome = run("check", job, faulty_job)

    assert outcome.exit_code == 1
    lines = outcome.stdout.splitlines()
    assert lines[0].startswith("2 vehicles, as of 2026-03-06")
    row = next(line for line in lines if line.startswith("  AMB-0417 p1"))
    assert row.split()[2:] == ["ok"] * 12
    assert "  [ ] AMB-0520 p2: Hook position from the sill (not met)" in lines
    grid = lines[: lines.index("For the fitter")]
    assert max(map(len, grid)) <= 80


def test_each_prints_the_whole_of_every_job(run: Run, job: Path, faulty_job: Path) -> None:
    outcome = run("check", job, faulty_job, "--each")

    assert "Nothing open." in outcome.stdout
    assert "27 open" in outcome.stdout or " open\n" in outcome.stdout
    assert "vehicles, as of" not in outcome.stdout


def test_one_job_by_person_gives_the_list_too(run: Run, faulty_job: Path) -> None:
    outcome = run("check", faulty_job, "--by", "person")

    assert outcome.stdout.startswith("1 vehicle, as of")
    assert "For the maker" in outcome.stdout


def test_a_job_that_cannot_be_read_is_named_and_the_others_are_listed(
    run: Run, job: Path, faulty_job: Path
) -> None:
    (job / "job.yaml").write_text("format: sillmark-job/0\n", encoding="utf-8")

    outcome = run("check", job, faulty_job)

    assert outcome.exit_code == 3
    assert f"Not in these lists, because they could not be read: {job}" in outcome.stdout
    assert "AMB-0520 p1" in outcome.stdout


def test_json_stays_one_line_for_each_job(run: Run, job: Path, faulty_job: Path) -> None:
    lines = run("check", job, faulty_job, "--json").stdout.splitlines()

    assert [json.loads(line)["job"] for line in lines] == ["AMB-0417", "AMB-0520"]


@pytest.mark.parametrize(("by", "head"), [("trade", "For the fitter"), ("person", "For the maker")])
def test_the_sheets_hold_grid_and_lists(
    run: Run, job: Path, faulty_job: Path, tmp_path: Path, by: str, head: str
) -> None:
    target = tmp_path / "monday.pdf"

    outcome = run("check", job, faulty_job, "--by", by, "--sheets", target)

    assert outcome.exit_code == 1
    assert str(target) in outcome.stderr
    pages = [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(target).pages]
    assert "Where each vehicle stands" in pages[0]
    assert "AMB-0417 p1" in pages[0]
    assert any(page_text.find(head) >= 0 for page_text in pages[1:])
    for line in outcome.stdout.splitlines():
        if line.startswith("  [ ] "):
            where = line[6:].split(":")[0]
            assert any(where in page_text for page_text in pages[1:]), where


def test_sheets_of_one_finished_vehicle_say_so(run: Run, job: Path, tmp_path: Path) -> None:
    target = tmp_path / "s.pdf"

    outcome = run("check", job, "--sheets", target)

    assert outcome.exit_code == 0
    assert "Nothing open." in pypdf.PdfReader(target).pages[-1].extract_text()


def test_sheets_into_a_folder_that_is_not_there(run: Run, job: Path, tmp_path: Path) -> None:
    outcome = run("check", job, "--sheets", tmp_path / "none" / "s.pdf")

    assert outcome.exit_code == 3
    assert "none" in outcome.stderr
    assert "Traceback" not in outcome.output
