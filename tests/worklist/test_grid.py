"""The grid: one row a place, one column a step, every open point in exactly the columns that it concerns."""

from pathlib import Path

from evidence.worklist.grid import LEFT, Cell, _gives, grids
from tests.judge import builders
from tests.worklist.conftest import Judge


def test_a_vehicle_with_nothing_open_is_done_in_every_column(judge: Judge, job: Path) -> None:
    (grid,) = grids([judge(job)])

    (row,) = grid.rows
    assert (row.job, row.place) == ("AMB-0417", "p1")
    assert set(row.cells) == {Cell("done")}
    assert len(grid.columns) == len(grid.titles) + len(LEFT) == len(row.cells)


def test_each_place_has_a_row_and_the_vehicle_one_for_what_concerns_it_whole(
    judge: Judge, faulty_job: Path
) -> None:
    (grid,) = grids([judge(faulty_job)])

    assert [row.place for row in grid.rows] == ["p1", "p2", "vehicle"]
    whole = dict(zip(grid.columns, grid.rows[2].cells, strict=True))
    assert whole["drill"] == Cell("none")
    assert whole["papers"].state == "open"


def test_a_step_that_nobody_recorded_is_not_done(judge: Judge, job: Path) -> None:
    text = (job / "job.yaml").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if "step: hook-check," in line)

    (grid,) = grids([judge(job, (line + "\n", ""))])

    cells = dict(zip(grid.columns, grid.rows[0].cells, strict=True))
    assert cells["hook-check"].state == "not-done"
    assert cells["drill"].state == "done"


def test_a_late_dry_test_opens_the_step_that_came_too_early(judge: Judge, faulty_job: Path) -> None:
    text = (faulty_job / "job.yaml").read_text(encoding="utf-8")
    redone = next(line for line in text.splitlines() if "redo_of: s8" in line)

    (grid,) = grids([judge(faulty_job, (redone + "\n", ""))])

    cells = dict(zip(grid.columns, grid.rows[0].cells, strict=True))
    assert cells["strip-and-clean"] == Cell("open", 1)
    assert cells["drill"] == Cell("done")


def test_work_done_again_asks_for_what_rests_on_it(judge: Judge, job: Path) -> None:
    text = (job / "job.yaml").read_text(encoding="utf-8")
    redone = next(line for line in text.splitlines() if "step: strip-and-clean," in line)
    again = redone.split(", card_row")[0].replace("{id: s", "{id: s9") + ", redo_of: ID}"
    identity = redone.split("id: ")[1].split(",")[0]
    start = again.index("at: ")
    end = again.index(",", start)
    again = (again[:start] + "at: 2026-03-06T08:00" + again[end:]).replace("ID", identity)

    (grid,) = grids([judge(job, (redone + "\n", f"{redone}\n{again}\n"))])

    cells = dict(zip(grid.columns, grid.rows[0].cells, strict=True))
    assert cells["locker-and-torque"].state == "again"
    assert cells["drill"].state == "done"


def test_each_manual_has_a_grid_of_its_own(judge: Judge, job: Path, faulty_job: Path) -> None:
    profile = faulty_job / "profile.yaml"
    text = profile.read_text(encoding="utf-8").replace("revision: C", "revision: D")
    profile.write_text(text, encoding="utf-8")

    found = grids([judge(job), judge(faulty_job, ("profile: heron-2@C", "profile: heron-2@D"))])

    assert [grid.profile for grid in found] == ["heron-2@C", "heron-2@D"]


def test_every_open_finding_is_counted_somewhere(judge: Judge, faulty_job: Path) -> None:
    vehicle = judge(faulty_job)

    (grid,) = grids([vehicle])

    still_open = sum(finding.open for finding in vehicle.check.findings)
    counted = sum(cell.count for row in grid.rows for cell in row.cells)
    left = sum(
        dict(zip(grid.columns, row.cells, strict=True))[column].count for row in grid.rows for column in LEFT
    )
    assert counted >= left > 0
    assert counted + sum(cell.state == "open" for row in grid.rows for cell in row.cells) >= still_open


def test_a_word_that_two_steps_give_counts_at_each() -> None:
    """Each screw group may have its own step that gives the torque."""
    profile = builders.profile(
        [
            {"id": "tighten-floor", "screws": "floor", "yields": ["torque"]},
            {"id": "tighten-wall", "screws": "wall", "yields": ["torque", "screws"]},
        ]
    )

    assert _gives(profile) == {"torque": ["tighten-floor", "tighten-wall"], "screws": ["tighten-wall"]}
