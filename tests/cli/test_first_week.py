"""What somebody meets who has never used the commands: near words, refusals that can be acted on, nothing told twice."""

import re
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from evidence import jobs
from evidence.phrases.en import HINTS
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, snap, ticket

PROFILE = DEMO / "job" / "profile.yaml"
REPORT = DEMO / "job" / "documents" / "E009.pdf"


@pytest.fixture
def started(run: Run, tmp_path: Path) -> Path:
    """One vehicle as ``start`` makes it, with the ids and numbers that ``job_folder`` exchanges."""
    folder = tmp_path / "base"
    given = ["--pack", "en-1789-2020@1", "--build", "BW-1", "--vin", "0BW2231TARN000001", "--at", AT]
    assert run("start", folder, "--profile", PROFILE, *given).exit_code == 0
    return folder


@pytest.fixture
def shop(started: Path, tmp_path: Path) -> Path:
    """A folder with the jobs AMB-0001 and AMB-0002."""
    for number in (1, 2):
        job_folder(started, tmp_path / "jobs", number)
    return tmp_path / "jobs"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("hook", "Is hook-position meant?"),
        ("Hook Position", "Is hook-position meant?"),
        ("overveiw", "Is overview meant?"),
        ("label", "there is no 'label'. There are: "),  # several begin like that
        ("selfie", "there is no 'selfie'. There are: "),
    ],
)
def test_a_role_that_is_near_is_named(run: Run, job: Path, typed: str, told: str) -> None:
    outcome = run("add", job, REPORT, "--as", typed)

    assert outcome.exit_code == 2
    assert told in outcome.stderr


def test_a_missing_reason_is_answered_with_the_reasons(run: Run, job: Path) -> None:
    outcome = run("move", job, "E002", "--as", "other-photo")

    assert outcome.exit_code == 2
    assert "'--reason'. It is one of: wrong-vehicle, " in outcome.stderr


@pytest.mark.parametrize("typed", ["0", "7", "two", "\u0662", ""])
def test_a_number_of_places_that_cannot_be_is_refused_in_words(run: Run, tmp_path: Path, typed: str) -> None:
    outcome = run("start", tmp_path / "X", "--profile", PROFILE, "--build", "B", "--positions", typed)

    assert outcome.exit_code == 2
    assert "is no whole number from 1 to 6." in outcome.stderr
    assert not (tmp_path / "X").exists()


def test_no_hint_has_a_field_that_nobody_fills() -> None:
    """A hint has no parameters: a field in it would be printed with its braces."""
    assert [code for code, text in HINTS.items() if re.search(r"\{[a-z_]+\}", text)] == []


def test_the_same_number_beside_names_the_command_that_prints_again(run: Run, job: Path) -> None:
    folder = job.parent / "AMB-7"

    outcome = run("start", folder, "--profile", PROFILE, "--build", "BW-2231", "--at", AT)

    assert f"correct the number in {folder}/job.yaml" in outcome.stderr
    assert f"sillmark start {folder} --reprint" in outcome.stderr
    assert run("start", folder, "--reprint", "--at", AT).exit_code == 0


def test_what_the_card_asks_for_has_its_line_in_the_record(started: Path) -> None:
    text = (started / "job.yaml").read_text(encoding="utf-8")

    for asked in (
        "tested_with:",
        "delivered_with:",
        "# lot:",
        'range_low: "… mm"',
        "calibrated: …, interval",
    ):
        assert asked in text, asked
    assert "statement: manual-handed-over, subject: vehicle" in text
    assert "`redo_of`" in text


def test_a_qualification_belongs_to_a_person_where_the_profile_does_not_say(run: Run, started: Path) -> None:
    outcome = run("add", started, REPORT, "--as", "qualification", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "qualification of w1" in outcome.stdout


def test_a_table_without_units_names_the_item_to_take_out(run: Run, started: Path, tmp_path: Path) -> None:
    table = tmp_path / "force.csv"
    table.write_text("travel;force\n0;10\n10;50\n", encoding="utf-8")

    outcome = run("add", started, table, "--as", "test-channel", "--at", AT)

    slot = re.match(r"(E[0-9]+): test-channel of p1", outcome.stdout)
    assert slot is not None
    assert f"its line under `exhibits` in job.yaml ({slot[1]})" in outcome.stdout


def test_a_copy_in_another_folder_is_a_neighbour_at_once(run: Run, shop: Path, tmp_path: Path) -> None:
    """The copy that comes first by name hides the one in the phone's own folder, beside which a photo was taken."""
    phone = tmp_path / "dump"
    snap(phone / "phone1" / "1.jpg", 1, [ticket(1)], DAY)
    snap(phone / "phone1" / "2.jpg", 2, [], DAY + timedelta(minutes=1))
    snap(phone / "phone1" / "3.jpg", 3, [ticket(1)], DAY + timedelta(minutes=2))
    shutil.copy(phone / "phone1" / "1.jpg", phone / "1-copy.jpg")

    outcome = run("add", phone, "--sort", shop, "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "1 by time" in outcome.stdout
    assert "0 placed" in run("add", phone, "--sort", shop, "--at", AT).stdout


def test_two_copies_of_one_photo_are_not_two_neighbours(run: Run, shop: Path, tmp_path: Path) -> None:
    phone = tmp_path / "dump"
    snap(phone / "1.jpg", 1, [ticket(1)], DAY)
    snap(phone / "2.jpg", 2, [], DAY)
    shutil.copy(phone / "1.jpg", phone / "1 (1).jpg")

    outcome = run("add", phone, "--sort", shop, "--at", AT)

    assert "0 by time" in outcome.stdout
    assert "2.jpg: No ticket or label is read in it" in outcome.stdout


def test_a_slot_that_waits_again_names_what_it_waits_for_and_who_brings_it(
    run: Run, shop: Path, tmp_path: Path
) -> None:
    job = shop / "AMB-0001"
    run("add", job, snap(tmp_path / "1.jpg", 1, [ticket(1)], DAY), "--as", "hook-position", "--at", AT)
    slot = next(each.id for each in jobs.load(job).filed() if each.role == "hook-position")

    outcome = run("move", job, slot, "--to", shop / "AMB-0002", "--reason", "wrong-vehicle", "--at", AT)

    assert f"{job} waits for a file again: {slot}, hook-position of p1." in outcome.stdout
    record = jobs.load(job).record
    file = next(each.file for each in record.exhibits if each.id == slot)
    assert not isinstance(file, str)
    assert file.from_ in {person.id for person in record.people}


def test_of_several_items_what_was_moved_and_what_not_is_said(run: Run, job: Path) -> None:
    outcome = run("move", job, "E002", "E099", "--as", "other-photo", "--reason", "wrong-role", "--at", AT)

    assert outcome.exit_code == 2
    assert "E002 is now other-photo of p1." in outcome.stdout
    assert "1 of 2 moved. Not moved: E099." in outcome.stderr


def test_a_file_that_shows_the_same_already_is_one_too_many(run: Run, job: Path, tmp_path: Path) -> None:
    """Code "move-twin": to say that nothing is to be done would leave the wrong line in the record."""
    photo = snap(tmp_path / "1.jpg", 5)
    for role in ("overview", "other-photo"):
        assert run("add", job, photo, "--as", role, "--for", "p1", "--at", AT).exit_code == 0
    new = [each.id for each in jobs.load(job).filed()][-1]
    before = (job / "job.yaml").read_bytes()

    outcome = run("move", job, new, "--as", "overview", "--for", "p1", "--reason", "wrong-role", "--at", AT)

    assert outcome.exit_code == 2
    assert f"{new} has the same bytes as E0" in outcome.stderr
    assert "so one of the two is too many" in outcome.stderr
    assert (job / "job.yaml").read_bytes() == before


def test_one_photo_under_two_names_is_told_once_and_without_sums(
    run: Run, started: Path, tmp_path: Path
) -> None:
    photo = snap(tmp_path / "1.jpg", 5)
    for role in ("overview", "hook-position"):
        run("add", started, photo, "--as", role, "--for", "p1", "--at", AT)

    outcome = run("check", started)

    assert outcome.stdout.count("are the same file") == 1
    assert "looks like" not in outcome.stderr
    assert re.search(r"[0-9a-f]{8}…", outcome.stdout) is None


def test_steps_that_nobody_recorded_stand_in_one_sentence(run: Run, started: Path) -> None:
    outcome = run("check", started)

    assert "These steps are not recorded for p1: mark out, drill, deburr and seal" in outcome.stdout
    assert "- p1/drill" not in outcome.stdout
