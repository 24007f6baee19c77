"""What was known on a day: later work, later words and later papers are not looked at."""

import json
from datetime import date
from pathlib import Path

import pytest

from evidence.judge.known import known_by
from evidence.model.record import JobRecord
from evidence.record.reader import read_job
from tests.conftest import DEMO, Run


@pytest.fixture(scope="module")
def record() -> JobRecord:
    return read_job((DEMO / "job" / "job.yaml").read_bytes()).record


def test_without_a_day_everything_is_known(record: JobRecord) -> None:
    assert known_by(record, None) is record


def test_entries_of_later_work_are_left_out(record: JobRecord) -> None:
    known = known_by(record, date(2026, 3, 4))

    assert {step.id for step in known.steps} == {f"s{number}" for number in (*range(1, 10), 11)}
    assert [value.id for value in known.characteristics] == ["v1"]
    assert (known.cycles, known.release, known.declaration) == ((), None, None)


def test_before_any_work_nothing_typed_counts(run: Run, job: Path) -> None:
    """Even where the files had been logged long before."""
    log = (job / "intake.jsonl").read_text(encoding="utf-8").replace("2026-03-06T14:00", "2026-02-01T14:00")
    (job / "intake.jsonl").write_text(log, encoding="utf-8")

    document = json.loads(run("check", "--json", "--known-on", "2026-03-01", job).stdout)

    recorded = [each for each in document["findings"] if each["rests_on"] == ["recorded"]]
    typed = [each["requirement"] for each in recorded if each["outcome"] == "met" and not each["exhibits"]]
    assert [name for name in typed if "screw" not in name and "approved" not in name] == []
    values = {each["requirement"].rsplit("/", 1)[1]: each["outcome"] for each in document["findings"]}
    assert values["hook-position"] == "not shown"
    assert values["cycles-empty"] == "not shown"
    assert values["step-order"] == "not shown"
