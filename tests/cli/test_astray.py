"""A photo with the ticket of another vehicle or place: told while filing and moving, with the command that mends it."""

from pathlib import Path

import pytest

from evidence import jobs
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, snap

PROFILE = DEMO / "job" / "profile.yaml"


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """Two jobs of two places each: A2 and A3."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    for name in ("A2", "A3"):
        given = ["--profile", PROFILE, "--build", f"BW-{name}", "--positions", "2", "--at", AT]
        assert run("start", folder / name, *given).exit_code == 0
    return folder


def photo(folder: Path, shop: Path, job: str, *places: str) -> Path:
    """A photo with the tickets of these places of a job in view."""
    nonces = {each.subject: each.nonce for each in jobs.load(shop / job).record.tickets}
    return snap(folder / "photo.jpg", 1, [f"sillmark:{job}:{each}:{nonces[each]}" for each in places], DAY)


def test_the_ticket_of_another_vehicle(run: Run, shop: Path, tmp_path: Path) -> None:
    source = photo(tmp_path, shop, "A3", "p1")

    outcome = run("add", shop / "A2", source, "--as", "lock-window-open", "--for", "p1", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    (entry,) = jobs.load(shop / "A2").filed()
    command = f"move {shop / 'A2'} {entry.id} --to {shop / 'A3'} --reason wrong-vehicle"
    assert f"{entry.id} shows the ticket of A3, and this is A2." in outcome.stderr
    assert f"sillmark {command}." in outcome.stderr
    moved = run(*command.split(), "--at", AT)
    assert moved.exit_code == 0, moved.output
    assert "ticket" not in moved.stderr


def test_the_ticket_of_another_place(run: Run, shop: Path, tmp_path: Path) -> None:
    source = photo(tmp_path, shop, "A2", "p2")

    outcome = run("add", shop / "A2", source, "--as", "hook-position", "--for", "p1", "--at", AT)

    (entry,) = jobs.load(shop / "A2").filed()
    command = f"move {shop / 'A2'} {entry.id} --for p2 --reason wrong-position"
    assert f"{entry.id} shows the ticket of p2, and it is filed for p1." in outcome.stderr
    assert f"sillmark {command}." in outcome.stderr
    assert run(*command.split(), "--at", AT).stderr == ""
    back = run("move", shop / "A2", entry.id, "--for", "p1", "--reason", "other", "--at", AT)
    assert f"{entry.id} shows the ticket of p2, and it is filed for p1." in back.stderr


@pytest.mark.parametrize("places", [["p1"], ["p1", "p2"], ["vehicle"]])
def test_the_right_ticket_or_that_of_the_vehicle_is_not_told(
    run: Run, shop: Path, tmp_path: Path, places: list[str]
) -> None:
    source = photo(tmp_path, shop, "A2", *places)

    outcome = run("add", shop / "A2", source, "--as", "hook-position", "--for", "p1", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert outcome.stderr == ""
