"""``add --sort`` and ``move``: a phone's photos into many jobs, wrong ones out again, and nothing lost on the way."""

import json
import os
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from evidence import files, jobs
from evidence.cli import cli
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, serial, snap, ticket, vin

VEHICLES = 6


@pytest.fixture(scope="session")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One job folder as ``start`` makes it; only to be copied."""
    folder = tmp_path_factory.mktemp("started") / "base"
    arguments = ["start", str(folder), "--profile", str(DEMO / "job" / "profile.yaml"), "--at", AT]
    arguments += ["--pack", "en-1789-2020@1", "--build", "BW-1", "--vin", "0BW2231TARN000001"]
    outcome = CliRunner().invoke(cli, arguments)
    assert outcome.exit_code == 0, outcome.output
    return folder


@pytest.fixture
def shop(started: Path, tmp_path: Path) -> Path:
    """A folder with two jobs, AMB-0001 and AMB-0002."""
    for number in (1, 2):
        job_folder(started, tmp_path / "jobs", number)
    return tmp_path / "jobs"


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    folder = tmp_path / "phone"
    folder.mkdir()
    return folder


def at(minutes: float) -> datetime:
    return DAY + timedelta(minutes=minutes)


def entries(job: Path) -> dict[str, tuple[str, str]]:
    """Exhibit id to role and subject, of everything that is filed."""
    return {each.id: (each.role.value, each.subject) for each in jobs.load(job).filed()}


def log(job: Path) -> list[dict[str, str]]:
    lines = (job / "intake.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines]


def everything(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but locks."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".lock"
    }


def dump_of_six(phone: Path) -> int:
    """Ten photos of each vehicle, one after the other: ticket, plates, work, ticket."""
    for number in range(1, VEHICLES + 1):
        first, seed = number * 60, number * 100
        folder = phone / "DCIM" / "100DEMO"
        names = [folder / f"IMG_{seed + index:04d}.jpg" for index in range(10)]
        snap(names[0], seed, [ticket(number)], at(first))
        snap(names[1], seed + 1, [f"HERON 2 SN {serial(number, 'p1')}"], at(first + 1))
        snap(names[2], seed + 2, [f"HERON CARRIER SN HC-{number:04d}p1"], at(first + 2))
        snap(names[3], seed + 3, [ticket(number)], at(first + 3))
        for index in range(4, 8):
            snap(names[index], seed + index, [], at(first + index))
        snap(names[8], seed + 8, [ticket(number)], at(first + 8))
        snap(names[9], seed + 9, [f"VIN {vin(number)} BUILD BW-{number:04d}"], at(first + 9))
    return VEHICLES * 10


def test_sixty_photos_find_their_six_vehicles(run: Run, started: Path, tmp_path: Path, phone: Path) -> None:
    folders = [job_folder(started, tmp_path / "jobs", number) for number in range(1, VEHICLES + 1)]
    count = dump_of_six(phone)
    before = everything(phone)

    outcome = run("add", phone, "--sort", tmp_path / "jobs", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert everything(phone) == before
    assert f"{count} placed: 18 by ticket, 18 by label, 0 by folder, 24 by time" in outcome.stdout
    for folder in folders:
        filed = entries(folder)
        assert sorted(filed.values()) == sorted(
            [
                ("label-system", "p1"),
                ("label-stretcher", "p1"),
                ("label-vehicle", "vehicle"),
                *[("other-photo", "p1")] * 7,
            ]
        )
        assert filed["E006"] == ("label-system", "p1")  # the slots that were waiting
        assert filed["E007"] == ("label-stretcher", "p1")
        assert [line["event"] for line in log(folder)] == ["add"] * 10
        assert "IMG_" in (folder / "people.yaml").read_text(encoding="utf-8")
        assert jobs.unlisted(folder, jobs.load(folder).record) == ()
    assert run("check", *folders).exit_code == 1

    again = run("add", phone, "--sort", tmp_path / "jobs", "--at", AT)

    assert again.exit_code == 0
    assert "AMB-0003: files that are filed there already: 10." in again.stdout
    assert "0 placed" in again.stdout
    assert all(len(entries(folder)) == 10 for folder in folders)


def test_each_file_that_stays_says_why_and_what_to_do(run: Run, shop: Path, phone: Path) -> None:
    snap(phone / "1.jpg", 1, [ticket(1), ticket(2)], at(0))
    snap(phone / "2.jpg", 2, ["sillmark:AMB-0077:p1:abcdef12"], at(1))
    snap(phone / "3.jpg", 3, [], at(2))
    snap(phone / "4.jpg", 4, [])
    snap(phone / "5.jpg", 5, [ticket(1), f"HERON 2 SN {serial(2, 'p1')}"])
    shutil.copy(DEMO / "job/documents/E009.pdf", phone / "report.pdf")

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 1
    lines = outcome.stdout.splitlines()
    assert lines[0] == "Not placed; these stay in the inbox:"
    assert (
        "Tickets of more than one vehicle are in the picture: ticket AMB-0001 p1; ticket AMB-0002 p1."
        in lines[1]
    )
    for code in (
        "sort-two-vehicles",
        "sort-ticket-unknown-job",
        "sort-not-between",
        "sort-no-camera-time",
        "sort-codes-disagree",
        "sort-not-photo",
    ):
        from evidence.phrases import hint  # noqa: PLC0415

        assert hint(code) in outcome.stdout, code
    assert "0 placed" in lines[-1]
    assert "Not placed: 6." in lines[-1]
    assert all(entries(job) == {} for job in sorted(shop.iterdir()))


def test_folders_of_job_and_role_place_papers(run: Run, shop: Path, phone: Path) -> None:
    target = phone / "AMB-0002" / "type-test-report"
    target.mkdir(parents=True)
    shutil.copy(DEMO / "job/documents/E009.pdf", target)
    snap(phone / "hook-position" / "a.jpg", 1, [ticket(1)], at(0))
    snap(phone / "type-test-report" / "b.jpg", 2, [ticket(1)], at(0))

    outcome = run("add", phone, "--sort", shop)

    assert entries(shop / "AMB-0002") == {"E008": ("type-test-report", "vehicle")}
    assert entries(shop / "AMB-0001") == {"E003": ("hook-position", "p1")}
    assert outcome.exit_code == 1  # a photo is no report
    assert "The role type-test-report takes a document" in outcome.stdout


def test_an_inbox_full_of_traps(run: Run, shop: Path, phone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    good = snap(phone / "a" / "b" / "c" / "-rf.jpg", 1, [ticket(1)], at(0))
    for name in ("line\nbreak.jpg", "sm\U0001f600ile.jpg", "quo\"te's.jpg", "e\u0301.jpg", " space .jpg"):
        snap(phone / name, hash(name) % 1000 + 5, [ticket(1)], at(1))
    (phone / "empty.jpg").write_bytes(b"")
    (phone / "word.jpg").write_bytes(b"MZ no photo")
    shutil.copy(good, phone / "copy.jpg")
    snap(phone / ".trashed.jpg", 90, [ticket(1)], at(2))
    (phone / "Thumbs.db").write_bytes(b"x")
    (phone / "link.jpg").symlink_to(good)
    (phone / "loop").symlink_to(phone)
    os.mkfifo(phone / "pipe.jpg")
    closed = phone / "closed"
    snap(closed / "in.jpg", 91, [ticket(1)], at(3))
    real = os.scandir

    def scandir(path: str | Path) -> object:
        if Path(path) == closed:
            raise PermissionError(13, "closed", str(path))
        return real(path)

    monkeypatch.setattr(os, "scandir", scandir)
    before = set(phone.rglob("*"))
    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 1, outcome.output
    assert len(entries(shop / "AMB-0001")) == 6
    assert "6 placed" in outcome.stdout
    for name in ("empty.jpg", "word.jpg", "link.jpg", "loop", "pipe.jpg", "closed"):
        assert f"{phone}/{name}: " in outcome.stdout, name
    assert "copy.jpg" in outcome.stdout
    assert "Hidden files left aside: 2." in outcome.stdout
    assert "line\\nbreak.jpg" in outcome.stdout
    assert set(phone.rglob("*")) == before
    assert run("check", shop / "AMB-0001").exit_code == 1


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["{shop}/AMB-0001", "--sort", "{shop}"], "inbox-is-job"),
        (["{shop}/AMB-0001/photos", "--sort", "{shop}"], "inbox-is-job"),
        (["{shop}/..", "--sort", "{shop}"], "inbox-holds-jobs"),
        (["{phone}", "--sort", "{phone}/.."], "inbox-holds-jobs"),
        (["{phone}", "--sort", "{shop}/AMB-0001"], "jobs-none"),
        (["{phone}", "{phone}", "--sort", "{shop}"], "sort-with-others"),
        (["{phone}", "--sort", "{shop}", "--as", "overview"], "sort-with-others"),
        (["{shop}/AMB-0001"], "files-needed"),
        (["{shop}/AMB-0001", "x.jpg"], "role-needed"),
    ],
)
def test_what_cannot_be_sorted_is_told(
    run: Run, shop: Path, phone: Path, arguments: list[str], code: str
) -> None:
    from evidence.phrases import hint  # noqa: PLC0415

    before = everything(shop)

    outcome = run("add", *[each.format(shop=shop, phone=phone) for each in arguments])

    if code == "inbox-holds-jobs" and arguments[0] == "{phone}":
        code = "jobs-none"  # the folder around both holds no job itself
    assert outcome.exit_code == 2, outcome.output
    assert hint(code) in outcome.stderr
    assert everything(shop) == before


def test_a_job_that_cannot_be_read_keeps_no_other_out(run: Run, shop: Path, phone: Path) -> None:
    (shop / "AMB-0002" / "job.yaml").write_text("format: sillmark-job/0\n", encoding="utf-8")
    shutil.copytree(shop / "AMB-0001", shop / "AMB-0001-copy")
    snap(phone / "1.jpg", 1, [ticket(1)], at(0))

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 3
    assert len(entries(shop / "AMB-0001")) == 1
    assert "AMB-0002/job.yaml" in outcome.stderr
    assert "This job has the id AMB-0001" in outcome.stderr  # "job-id-twice"


def test_a_job_that_cannot_be_written_is_told_once_and_its_files_stay(
    run: Run, shop: Path, phone: Path
) -> None:
    (shop / "AMB-0001" / "job.yaml").chmod(0o400)
    snap(phone / "1.jpg", 1, [ticket(1)], at(0))
    snap(phone / "2.jpg", 2, [ticket(2)], at(0))

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 3
    assert "It belongs to AMB-0001, which could not be written" in outcome.stdout  # "sort-job-refused"
    assert len(entries(shop / "AMB-0002")) == 1
    assert entries(shop / "AMB-0001") == {}


def test_a_file_that_changes_meanwhile_is_not_filed(
    run: Run, shop: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    victim = snap(phone / "1.jpg", 1, [ticket(1)], at(0))
    snap(phone / "2.jpg", 2, [ticket(1)], at(1))
    real = jobs.locked

    def locked(folder: Path) -> object:
        victim.write_bytes(b"something else")
        return real(folder)

    monkeypatch.setattr(jobs, "locked", locked)
    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 1
    assert "This file changed while it was sorted" in outcome.stdout  # "sort-file-changed"
    assert list(entries(shop / "AMB-0001").values()) == [("other-photo", "p1")]


class Killed(BaseException):
    """Stands for the end of the process."""


def killing(after: int, real: Callable[..., None]) -> Callable[..., None]:
    """A step that the process does not survive the n-th time."""
    calls = iter(range(10_000))

    def step(*arguments: object, **options: object) -> None:
        if next(calls) == after:
            raise Killed
        real(*arguments, **options)

    return step


@pytest.mark.parametrize("after", range(6))
def test_a_killed_sort_loses_nothing_and_goes_on(
    run: Run, shop: Path, phone: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    for index in range(3):
        snap(phone / f"{index}.jpg", index, [ticket(1)], at(index))
    before = everything(phone)
    with monkeypatch.context() as patch:
        # three copies, the log, the record, people.yaml
        patch.setattr(files, "write_file", killing(after, files.write_file))
        with pytest.raises(Killed):
            CliRunner().invoke(cli, ["add", str(phone), "--sort", str(shop)], catch_exceptions=False)
    assert everything(phone) == before
    jobs.load(shop / "AMB-0001")

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 0, outcome.output
    assert len(entries(shop / "AMB-0001")) == 3
    assert [line["event"] for line in log(shop / "AMB-0001")] == ["add"] * 3
    assert jobs.unlisted(shop / "AMB-0001", jobs.load(shop / "AMB-0001").record) == ()


def test_later_photos_find_their_neighbours_among_those_filed_before(
    run: Run, shop: Path, phone: Path
) -> None:
    snap(phone / "1.jpg", 1, [ticket(1)], at(0))
    snap(phone / "3.jpg", 3, [ticket(1)], at(2))
    run("add", phone, "--sort", shop)
    snap(phone / "2.jpg", 2, [], at(1))

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 0, outcome.output
    assert "1 by time" in outcome.stdout


def test_a_photo_that_somebody_wrote_into_the_record_is_not_filed_again(
    run: Run, shop: Path, phone: Path
) -> None:
    job = shop / "AMB-0001"
    shutil.copy(snap(phone / "1.jpg", 1, [ticket(1)], at(0)), job / "photos" / "mine.jpg")
    with (job / "job.yaml").open("a", encoding="utf-8") as record:
        record.write("  - {id: E099, role: other-photo, subject: p1, file: photos/mine.jpg}\n")

    outcome = run("add", phone, "--sort", shop)

    assert outcome.exit_code == 0, outcome.output
    assert list(entries(job)) == ["E099"]


@pytest.fixture(scope="session")
def _sorted_once(started: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sorted")
    for number in (1, 2):
        job_folder(started, folder / "jobs", number)
    snap(folder / "phone" / "IMG_1.jpg", 1, [ticket(1)], at(0))
    snap(folder / "phone" / "IMG_2.jpg", 2, [f"HERON 2 SN {serial(1, 'p1')}"], at(1))
    arguments = ["add", str(folder / "phone"), "--sort", str(folder / "jobs"), "--at", AT]
    outcome = CliRunner().invoke(cli, arguments)
    assert outcome.exit_code == 0, outcome.output
    return folder


@pytest.fixture
def filed(_sorted_once: Path, tmp_path: Path, phone: Path) -> Path:
    """AMB-0001 with a ticket photo E012 and a label E006, both sorted in from the phone; AMB-0002 beside it."""
    shutil.copytree(_sorted_once / "phone", phone, dirs_exist_ok=True)
    folder = Path(shutil.copytree(_sorted_once / "jobs", tmp_path / "jobs")) / "AMB-0001"
    assert entries(folder) == {"E006": ("label-system", "p1"), "E012": ("other-photo", "p1")}
    return folder


def test_a_sorted_photo_is_given_its_role_and_takes_the_slot_that_waited(run: Run, filed: Path) -> None:
    outcome = run("move", filed, "E012", "--as", "hook-position", "--reason", "role-given", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert outcome.stdout == "E012 is now hook-position of p1.\n"
    record = jobs.load(filed).record
    assert [each.id for each in record.exhibits if each.role == "hook-position"] == ["E012"]
    last = log(filed)[-1]
    assert (last["event"], last["id"], last["reason"]) == ("change", "E012", "role-given")
    assert run("check", filed).exit_code == 1


def test_a_role_that_is_left_waits_for_a_file_again(run: Run, filed: Path) -> None:
    outcome = run("move", filed, "E006", "--as", "other-photo", "--reason", "wrong-role")

    assert outcome.exit_code == 0, outcome.output
    assert "waits for a file again: E013" in outcome.stdout
    slot = next(each for each in jobs.load(filed).record.exhibits if each.id == "E013")
    assert (slot.role, slot.subject, isinstance(slot.file, str)) == ("label-system", "p1", False)
    # somebody is named who can be asked: the fitter, where the entry names nobody
    assert not isinstance(slot.file, str)
    assert slot.file.from_ == "w1"


def test_a_photo_of_another_vehicle_goes_there(run: Run, filed: Path) -> None:
    other = filed.parent / "AMB-0002"
    data = (filed / "photos" / "E006.jpg").read_bytes()

    outcome = run("move", filed, "E006", "--to", other, "--reason", "wrong-vehicle", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "E006 is now E006 of AMB-0002: label-system of p1, filed as photos/E006.jpg." in outcome.stdout
    assert entries(filed) == {"E012": ("other-photo", "p1")}
    assert entries(other) == {"E006": ("label-system", "p1")}
    assert not (filed / "photos" / "E006.jpg").exists()
    assert (other / "photos" / "E006.jpg").read_bytes() == data
    out, into = log(filed)[-1], log(other)[-1]
    assert (out["event"], out["job"], out["other"], out["reason"]) == (
        "move-out",
        "AMB-0002",
        "E006",
        "wrong-vehicle",
    )
    assert (into["event"], into["job"], into["other"], into["sha256"]) == (
        "move-in",
        "AMB-0001",
        "E006",
        out["sha256"],
    )
    assert into["first"] == log(filed)[0]["at"]
    assert "IMG_2" not in (filed / "people.yaml").read_text(encoding="utf-8")
    assert "IMG_2" in (other / "people.yaml").read_text(encoding="utf-8")
    slot = next(each for each in jobs.load(filed).record.exhibits if each.id == "E006")
    assert not isinstance(slot.file, str)  # waits again
    assert run("check", filed, other).exit_code == 1


@pytest.mark.parametrize("wish", [("--as", "overview"), ("--for", "vehicle")])
def test_a_move_that_ended_is_not_said_to_have_fulfilled_another_wish(
    run: Run, filed: Path, wish: tuple[str, str]
) -> None:
    away = ("move", filed, "E012", "--to", filed.parent / "AMB-0002", "--reason", "wrong-vehicle")
    assert run(*away).exit_code == 0
    before = everything(filed.parent)

    assert run(*away).exit_code == 0  # the very same order again, as after a killed run
    outcome = run(*away, *wish)

    assert outcome.exit_code == 2
    assert "E012 went to AMB-0002 before" in outcome.stderr  # "move-done-otherwise"
    assert everything(filed.parent) == before


def test_what_was_moved_is_not_sorted_back(run: Run, filed: Path, phone: Path) -> None:
    run("move", filed, "E012", "--to", filed.parent / "AMB-0002", "--reason", "wrong-vehicle")
    assert "E012" not in {each.id for each in jobs.load(filed).record.exhibits}

    outcome = run("add", phone, "--sort", filed.parent)

    assert "0 placed" in outcome.stdout
    assert entries(filed) == {"E006": ("label-system", "p1")}
    fresh = run("add", filed, snap(phone / "new.jpg", 77), "--as", "other-photo", "--for", "p1")
    assert "E013" in fresh.stdout  # the id that moved away stays used


def test_a_slot_that_was_moved_from_is_filled_again(run: Run, filed: Path, phone: Path) -> None:
    run("move", filed, "E006", "--to", filed.parent / "AMB-0002", "--reason", "wrong-vehicle")

    outcome = run("add", filed, snap(phone / "new.jpg", 78), "--as", "label-system")

    assert outcome.exit_code == 0, outcome.output
    assert "E006" in outcome.stdout
    checked = json.loads(run("check", "--json", filed).stdout)
    assert [each["rule"] for each in checked["contradictions"] if each["rule"] == "exhibit-changed"] == []


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["E099", "--as", "overview"], "move-exhibit-unknown"),
        (["E003", "--as", "overview"], "exhibit-open"),
        (["E012"], "move-where"),
        (["E012", "--as", "other-photo"], "move-nothing"),
        (["E012", "--as", "type-test-report"], "role-of-another-kind"),
        (["E012", "--for", "p9"], "subject-unknown"),
        (["E012", "--for", "E006"], "subject-unknown"),
        (["E012", "--to", "{other}", "--for", "p9"], "subject-unknown"),
        (["E012", "--to", "{job}"], "move-same-job"),
        (["E012", "--to", "{job}/photos"], "job-missing"),
    ],
)
def test_what_cannot_be_moved_is_told_and_nothing_changes(
    run: Run, filed: Path, arguments: list[str], code: str
) -> None:
    from evidence.phrases import hint  # noqa: PLC0415

    other, before = filed.parent / "AMB-0002", everything(filed.parent)

    told = [each.format(job=filed, other=other) for each in arguments]
    outcome = run("move", filed, *told, "--reason", "other")

    assert outcome.exit_code in (2, 3), outcome.output
    assert hint(code) in outcome.stderr
    assert everything(filed.parent) == before


def test_what_the_record_names_is_not_moved_away(run: Run, filed: Path) -> None:
    path = filed / "job.yaml"
    text = path.read_text(encoding="utf-8")
    line = "statements:\n  - {id: a1, statement: seen, subject: vehicle, by: w1, at: 2026-03-06, exhibit: E012}\n"
    path.write_text(text.replace("\nexhibits:", f"\n{line}exhibits:"), encoding="utf-8")

    outcome = run("move", filed, "E012", "--to", filed.parent / "AMB-0002", "--reason", "wrong-vehicle")

    assert outcome.exit_code == 2
    assert "E012 is named at " in outcome.stderr  # "exhibit-referenced"
    assert "job.yaml:" in outcome.stderr


def test_a_file_that_was_changed_is_not_moved(run: Run, filed: Path) -> None:
    snap(filed / "photos" / "E012.jpg", 500)

    outcome = run("move", filed, "E012", "--to", filed.parent / "AMB-0002", "--reason", "wrong-vehicle")

    assert outcome.exit_code == 3
    assert "no longer the one that was filed" in outcome.stderr  # "move-file-changed"


@pytest.mark.parametrize(("step", "after"), [("unlink", 8), *(("write_file", step) for step in range(8))])
def test_a_killed_move_loses_nothing_and_ends_when_run_again(
    run: Run, filed: Path, monkeypatch: pytest.MonkeyPatch, step: str, after: int
) -> None:
    other = filed.parent / "AMB-0002"
    data = (filed / "photos" / "E012.jpg").read_bytes()
    command = ["move", str(filed), "E012", "--to", str(other), "--reason", "wrong-vehicle", "--at", AT]
    with monkeypatch.context() as patch:
        if step == "write_file":
            patch.setattr(files, "write_file", killing(after, files.write_file))
        else:
            # every writing removes its temporary name; the last removal is the source file's
            patch.setattr(Path, "unlink", killing(after, Path.unlink))
        died = False
        try:
            CliRunner().invoke(cli, command, catch_exceptions=False)
        except Killed:
            died = True
    holders = [job for job in (filed, other) if data in everything(job).values()]
    assert holders
    for job in (filed, other):
        jobs.load(job)
    if not died:
        assert (step, after) == (
            "write_file",
            7,
        )  # copy, log, record, names of the target; log, names, record of the source
        return

    outcome = run(*command)

    assert outcome.exit_code == 0, outcome.output
    assert entries(filed) == {"E006": ("label-system", "p1")}
    assert list(entries(other).values()) == [("other-photo", "p1")]
    assert data not in everything(filed).values()
    assert [line["event"] for line in log(other)] == ["move-in"]
    assert [line["event"] for line in log(filed)] == ["add", "add", "move-out"]
    for job in (filed, other):
        assert jobs.unlisted(job, jobs.load(job).record) == ()


def test_a_document_takes_its_redacted_copy_along(run: Run, filed: Path) -> None:
    other = filed.parent / "AMB-0002"
    run("add", filed, DEMO / "job/documents/E009.pdf", "--as", "type-test-report")
    shutil.copy(DEMO / "job/documents/E010.pdf", filed / "documents" / "E008.redacted.pdf")

    outcome = run("move", filed, "E008", "--to", other, "--reason", "wrong-vehicle")

    assert outcome.exit_code == 0, outcome.output
    assert sorted(path.name for path in (other / "documents").iterdir()) == ["E008.pdf", "E008.redacted.pdf"]
    assert list((filed / "documents").iterdir()) == []


def test_a_redacted_copy_that_lies_there_already_costs_nobody_the_own_one(run: Run, filed: Path) -> None:
    other = filed.parent / "AMB-0002"
    run("add", filed, DEMO / "job/documents/E009.pdf", "--as", "type-test-report")
    for job, name in ((filed, "E010"), (other, "E011")):
        shutil.copy(DEMO / f"job/documents/{name}.pdf", job / "documents" / "E008.redacted.pdf")
    own = (filed / "documents" / "E008.redacted.pdf").read_bytes()

    outcome = run("move", filed, "E008", "--to", other, "--reason", "wrong-vehicle")

    assert outcome.exit_code == 0, outcome.output
    assert [path.read_bytes() for path in (filed / "documents").iterdir()] == [own]
    assert "E008.redacted.pdf" in outcome.output + outcome.stderr


def test_a_photo_that_went_back_and_forth_is_copied_again(run: Run, filed: Path, phone: Path) -> None:
    """Its first place in the other job holds another photo by now, which must not be taken for its own."""
    other = filed.parent / "AMB-0002"
    data = (filed / "photos" / "E006.jpg").read_bytes()
    assert run("move", filed, "E006", "--to", other, "--reason", "wrong-vehicle").exit_code == 0
    (there,) = entries(other)
    assert run("move", other, there, "--to", filed, "--reason", "other").exit_code == 0
    assert (filed / "photos" / "E006.jpg").read_bytes() == data
    snap(phone / "new.jpg", 700)
    assert run("add", other, phone / "new.jpg", "--as", "label-system").exit_code == 0
    assert list(entries(other)) == [there]

    outcome = run("move", filed, "E006", "--to", other, "--reason", "wrong-vehicle")

    assert outcome.exit_code == 0, outcome.output
    assert data in everything(other).values()


def resaved(source: Path, target: Path) -> Path:
    from PIL import Image  # noqa: PLC0415

    Image.open(source).resize((800, 400)).save(target, "JPEG", quality=60)
    return target


def test_a_photo_saved_again_is_told_while_filing_and_checking(run: Run, filed: Path, phone: Path) -> None:
    copy = resaved(phone / "IMG_1.jpg", phone / "again.jpg")

    outcome = run("add", filed, copy, "--as", "overview")

    assert outcome.exit_code == 0, outcome.output
    told = "AMB-0001: E002 looks like E012 taken again or saved again. Keep the better one."
    assert told in outcome.stdout
    checked = run("check", filed)
    assert "E002 and E012" in checked.stderr or "E012 looks like E002" in checked.stderr
    assert "looks like" not in run("check", filed, "--json").stdout


def test_one_photo_in_two_vehicles_is_told(run: Run, filed: Path, phone: Path) -> None:
    other = filed.parent / "AMB-0002"
    run("add", other, phone / "IMG_1.jpg", "--as", "overview")
    run("add", other, resaved(phone / "IMG_2.jpg", phone / "b.jpg"), "--as", "hook-position")

    outcome = run("check", filed, other)

    assert (
        "AMB-0002 E002 is the very file of AMB-0001 E012: one photo cannot show two vehicles."
        in outcome.stderr
    )
    assert "AMB-0002 E003 looks like AMB-0001 E006" in outcome.stderr
