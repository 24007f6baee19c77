"""``start`` and ``add``: a job folder from nothing, evidence filed, nothing lost when something is wrong."""

import json
import re
from pathlib import Path

import pytest
from PIL import Image

from tests.conftest import AT, DEMO, Run

PROFILE = DEMO / "job" / "profile.yaml"
PHOTO = DEMO / "job" / "photos" / "E006.jpg"
REPORT = DEMO / "job" / "documents" / "E009.pdf"


@pytest.fixture
def started(run: Run, tmp_path: Path) -> Path:
    folder = tmp_path / "AMB-0900"
    outcome = run(
        "start", folder, "--profile", PROFILE, "--pack", "en-1789-2020@1", "--build", "BW-1", "--at", AT
    )
    assert outcome.exit_code == 0, outcome.output
    return folder


def test_a_new_job_has_every_expected_item_open(run: Run, started: Path) -> None:
    outcome = run("check", "--json", started)
    document = json.loads(outcome.stdout)

    assert outcome.exit_code == 1, outcome.output
    assert document["summary"]["met"] == 0 or document["open"] > 0
    text = (started / "job.yaml").read_text(encoding="utf-8")
    assert text.count("state: to come") >= 9
    assert len((started / "seed").read_bytes()) == 32


def test_start_never_writes_over_a_job(run: Run, started: Path) -> None:
    before = (started / "job.yaml").read_bytes()

    outcome = run("start", started, "--profile", PROFILE)

    assert outcome.exit_code == 2
    assert (started / "job.yaml").read_bytes() == before


def test_a_wrong_vin_is_refused_with_its_place(run: Run, tmp_path: Path) -> None:
    outcome = run("start", tmp_path / "X1", "--profile", PROFILE, "--vin", "0BW2231TARN00041I")

    assert outcome.exit_code == 3
    assert "0BW2231TARN00041I" in outcome.stderr
    assert not (tmp_path / "X1").exists()


def test_add_fills_the_open_slot_of_that_role(run: Run, started: Path) -> None:
    outcome = run("add", started, PHOTO, "--as", "label-system", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "2026-03-04T09:00" in outcome.stdout
    text = (started / "job.yaml").read_text(encoding="utf-8")
    line = next(each for each in text.splitlines() if "role: label-system" in each)
    assert "file: photos/E" in line
    log = [json.loads(each) for each in (started / "intake.jsonl").read_text(encoding="utf-8").splitlines()]
    assert [(each["event"], each["at"]) for each in log] == [("add", AT)]
    names = (started / "people.yaml").read_text(encoding="utf-8")
    assert "E006.jpg" in names


def test_a_second_file_of_the_role_gets_a_line_of_its_own(run: Run, started: Path) -> None:
    run("add", started, PHOTO, "--as", "label-system")
    before = (started / "job.yaml").read_text(encoding="utf-8")

    outcome = run("add", started, DEMO / "job/photos/E007.jpg", "--as", "label-system")

    after = (started / "job.yaml").read_text(encoding="utf-8")
    assert outcome.exit_code == 0, outcome.output
    assert after.count("role: label-system") == 2
    assert after.startswith(before.rstrip("\n"))
    assert run("check", started).exit_code == 1


def test_the_copy_is_named_by_its_content_not_by_its_ending(run: Run, started: Path, tmp_path: Path) -> None:
    png = tmp_path / "photo.jpg"
    Image.new("RGB", (64, 48), "grey").save(png, "PNG")

    outcome = run("add", started, png, "--as", "overview")

    assert outcome.exit_code == 0, outcome.output
    assert [path.suffix for path in (started / "photos").iterdir()] == [".png"]


def test_a_document_is_filed_with_its_pages(run: Run, started: Path) -> None:
    outcome = run("add", started, REPORT, "--as", "type-test-report")

    assert outcome.exit_code == 0, outcome.output
    assert "number of pages: 2" in outcome.stdout


def test_a_file_of_no_kind_is_refused_and_nothing_changes(run: Run, started: Path, tmp_path: Path) -> None:
    bad = tmp_path / "x.jpg"
    bad.write_bytes(b"MZ not a photo at all")
    before = {path: path.read_bytes() for path in started.rglob("*") if path.is_file()}

    outcome = run("add", started, bad, "--as", "overview")

    assert outcome.exit_code == 3
    assert "x.jpg" in outcome.stderr
    after = {
        path: path.read_bytes() for path in started.rglob("*") if path.is_file() and path.name != ".lock"
    }
    assert after == {path: data for path, data in before.items() if path.name != ".lock"}


def test_one_bad_file_does_not_keep_the_others_out(run: Run, started: Path, tmp_path: Path) -> None:
    outcome = run("add", started, tmp_path / "nowhere.jpg", PHOTO, "--as", "label-system")

    assert outcome.exit_code == 3
    assert list((started / "photos").iterdir()) != []


def test_an_unknown_role_lists_the_known_ones(run: Run, started: Path) -> None:
    outcome = run("add", started, PHOTO, "--as", "selfie")

    assert outcome.exit_code == 2
    assert "hook-position" in outcome.stderr


def test_an_unknown_subject_is_refused(run: Run, started: Path) -> None:
    outcome = run("add", started, PHOTO, "--as", "other-photo", "--for", "p9")

    assert outcome.exit_code == 2
    assert "p9" in outcome.stderr


def test_a_role_of_several_subjects_asks_which(run: Run, faulty_job: Path) -> None:
    outcome = run("add", faulty_job, PHOTO, "--as", "label-system")

    assert outcome.exit_code == 2
    assert "--for" in outcome.stderr


def test_an_unknown_pack_is_named_with_the_known_ones(run: Run, tmp_path: Path) -> None:
    outcome = run("start", tmp_path / "X2", "--profile", PROFILE, "--build", "BW-1", "--pack", "en-9999@1")

    assert outcome.exit_code == 2
    assert "en-1789-2020@1" in outcome.stderr


LINE_TO_COPY = re.compile(r"^( *)# ?( *(?:- (?:\{id|\{of|id):|[a-z_]+:(?: |$)|claims:|card_row:).*)$")
"""A commented line that is YAML: an entry, or a key; everything else explains."""


def uncommented(text: str) -> str:
    return "\n".join(LINE_TO_COPY.sub(r"\1\2", line) for line in text.splitlines()) + "\n"


def test_copied_lines_that_nobody_filled_in_are_no_evidence(run: Run, started: Path) -> None:
    record = started / "job.yaml"
    record.write_text(uncommented(record.read_text(encoding="utf-8")), encoding="utf-8")

    outcome = run("check", started)

    assert outcome.exit_code == 3
    # every … is told as what it is, whatever the field takes: a time, a count or a value with a unit
    assert "'…' stands in place of a value" in outcome.stderr
    assert "more like it" in outcome.stderr
    assert "is no time" not in outcome.stderr
    assert "is no count" not in outcome.stderr


@pytest.mark.parametrize("positions", [1, 2])
def test_all_lines_to_copy_make_a_record_once_they_are_filled_in(
    run: Run, tmp_path: Path, positions: int
) -> None:
    started = tmp_path / "AMB-0900"
    given = ("--profile", PROFILE, "--pack", "en-1789-2020@1", "--vin", "1M8GDM9AXKP042788", "--at", AT)
    assert run("start", started, *given, "--build", "BW-1", "--positions", positions).exit_code == 0
    record = started / "job.yaml"
    text = uncommented(record.read_text(encoding="utf-8"))
    for open_place, filled in (
        ('"… N·m"', "24 N·m"),
        ('uncertainty: "… mm"', "uncertainty: 0.1 mm"),
        ('uncertainty: "… V"', "uncertainty: 0.1 V"),
        ("exhibit: …", "exhibit: E001"),
        ('"… mm"', "120.1 mm"),
        ('"… %"', "4 %"),
        ("at: …", "at: 2026-03-06T08:00"),
        ("applied: …", "applied: 2026-03-06T08:00"),
        ("use_by: …", "use_by: 2027-01-31"),
        ("calibrated: …", "calibrated: 2026-01-10"),
        ("issued: …", "issued: 2026-01-10"),
        ("interval_months: …", "interval_months: 12"),
        ("done: …", "done: 12"),
        ("without_fault: …", "without_fault: 12"),
        ("witness_marked: …", "witness_marked: yes"),
        ('"… V"', "12 V"),
        ("serial: {state: to come, from: w1}", "serial: X1"),
        ("# card_row:", "card_row:"),
        ("instrument: …", "instrument: i1"),
        ("count: …", "count: 40"),
        ("by: …", "by: w1"),
        ("part: […]", "part: [mark-out]"),
        ("finished: …", "finished: 2026-03-06"),
        ('"…"', "X1"),
    ):
        text = text.replace(open_place, filled)
    assert "…" not in "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    record.write_text(text, encoding="utf-8")

    outcome = run("check", started)

    assert outcome.exit_code == 1, outcome.stderr
    assert "Hook position" not in outcome.stdout
    assert text.count("kind: multimeter") == 1
    # the groups are bound to the steps of their own position
    assert text.count("screws: g1") == text.count(f"screws: g{positions}")


def test_a_photo_without_time_and_camera_says_nothing_of_them(
    run: Run, started: Path, tmp_path: Path
) -> None:
    bare = tmp_path / "bare.png"
    Image.new("RGB", (64, 48), "grey").save(bare, "PNG")

    outcome = run("add", started, bare, "--as", "overview")

    assert "photo 64 x 48 pixels\n" in outcome.stdout
