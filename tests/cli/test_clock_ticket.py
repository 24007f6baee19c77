"""The clock ticket from the printed page to the record: filed, read by a person, and then worth something."""

from datetime import datetime
from pathlib import Path

from evidence import jobs
from tests.conftest import AT, DEMO, Run
from tests.phone import snap

UNREAD = "E012 shows the clock ticket. Read the clock in it and write down under clocks what it shows."


def test_a_photo_of_the_clock_is_filed_and_read(run: Run, tmp_path: Path) -> None:
    job = tmp_path / "A1"
    given = ["--profile", DEMO / "job" / "profile.yaml", "--build", "BW-A1", "--positions", "2", "--at", AT]
    assert run("start", job, *given).exit_code == 0
    nonce = jobs.load(job).record.tickets[0].nonce
    source = snap(tmp_path / "clock.jpg", 1, [f"sillmark-clock:A1:{nonce}"], datetime(2026, 3, 6, 8, 0))  # noqa: DTZ001

    outcome = run("add", job, source, "--as", "clock-ticket", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    (entry,) = jobs.load(job).filed()
    assert (entry.role, entry.subject) == ("clock-ticket", "vehicle")
    line = f"clocks: [{{exhibit: {entry.id}, shown: 2026-03-04T07:55:10, by: w1}}]"
    assert line in outcome.stdout
    assert UNREAD.replace("E012", entry.id) in run("check", job).stdout

    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    line = line.replace("2026-03-04T07:55:10", "2026-03-06T07:48:10")
    record.write_text(text.replace("\nexhibits:\n", f"\n{line}\n\nexhibits:\n"), encoding="utf-8")

    after = run("check", job)
    assert after.exit_code == 1, after.output
    assert "shows the clock ticket" not in after.stdout
