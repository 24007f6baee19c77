"""Rough use: killed runs, full disks, closed folders, odd names, wrong arguments; one clear line each, nothing lost."""

import errno
import io
import json
import os
import pickle
import shutil
import signal
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from datetime import date
from pathlib import Path

import click
import pytest
from PIL import Image

from evidence import bundle, examining, files, jobs, keys, pipeline, printing, verifying
from evidence.cli import _tell, assemble, cli
from evidence.errors import (
    ExitCode,
    HostileInputError,
    InputError,
    IntegrityError,
    MissingToolError,
    NoBundleError,
    Problem,
    SillmarkError,
    UsageError,
    decodable,
    printable,
)
from evidence.exhibits import call
from evidence.guard import Guard
from evidence.phrases import tell
from tests.conftest import AT, DEMO, TOP, Run

PROFILE = DEMO / "job" / "profile.yaml"
PHOTO = DEMO / "job" / "photos" / "E006.jpg"
OTHER_PHOTO = DEMO / "job" / "photos" / "E007.jpg"
REPORT = DEMO / "job" / "documents" / "E009.pdf"
NOBODY = 65534


def codes(caught: pytest.ExceptionInfo[SillmarkError]) -> list[str]:
    return [problem.code for problem in caught.value.problems]


@pytest.fixture
def started(run: Run, tmp_path: Path) -> Path:
    folder = tmp_path / "AMB-0900"
    outcome = run(
        "start", folder, "--profile", PROFILE, "--pack", "en-1789-2020@1", "--build", "BW-1", "--at", AT
    )
    assert outcome.exit_code == 0, outcome.output
    return folder


@pytest.fixture
def open_job() -> Iterator[Path]:
    """A job that belongs to a user without rights, who runs the test; root would read and write everything."""
    folder = Path(tempfile.mkdtemp(prefix="rough-"))
    folder.chmod(0o777)
    shutil.copytree(DEMO / "job", folder / "job")
    root = os.geteuid() == 0
    if root:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, NOBODY, NOBODY)
        os.seteuid(NOBODY)
    try:
        yield folder / "job"
    finally:
        if root:
            os.seteuid(0)
        for path in (folder, *folder.rglob("*")):
            if path.is_dir():
                path.chmod(0o777)
        shutil.rmtree(folder)


def command(*arguments: object, **options: object) -> subprocess.CompletedProcess[str]:
    """Run ``sillmark`` in a process of its own."""
    line = [sys.executable, "-m", "tests.cli.sillmark", *map(str, arguments)]
    return subprocess.run(line, cwd=TOP, check=False, text=True, timeout=120, **options)  # type: ignore[call-overload,no-any-return]


# ── errors between processes ────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    "kind",
    [
        SillmarkError,
        UsageError,
        InputError,
        HostileInputError,
        IntegrityError,
        NoBundleError,
        MissingToolError,
    ],
)
def test_errors_survive_the_way_between_processes(kind: type[SillmarkError]) -> None:
    error = kind([Problem("file-absent", "x", "/a", {"found": "y"}), Problem("file-symlink", "w")])

    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own bytes

    assert (type(again), again.problems, str(again)) == (kind, error.problems, str(error))


def test_failing_jobs_in_several_processes_are_told_like_one(run: Run, job: Path, tmp_path: Path) -> None:
    (tmp_path / "broken").mkdir()

    outcome = run("assemble", tmp_path / "nowhere", tmp_path / "broken", job, "-o", tmp_path / "out", "-j", 2)

    assert outcome.exit_code == 3, outcome.output
    assert str(tmp_path / "nowhere") in outcome.stderr
    assert f"{tmp_path / 'broken'}: " in outcome.stderr
    assert "Nothing was changed" not in outcome.stderr
    assert (tmp_path / "out" / "AMB-0417" / "0000-build" / "bagit.txt").exists()


def test_a_worker_that_dies_is_a_line_of_its_own() -> None:
    from concurrent.futures import Future  # noqa: PLC0415

    future: Future[pipeline.Assembled | SillmarkError] = Future()
    future.set_exception(BrokenProcessPool())

    outcome = assemble._result(Path("jobs/a"), future)

    assert isinstance(outcome, InputError)
    assert [(problem.code, problem.where) for problem in outcome.problems] == [("worker-died", "jobs/a")]


# ── folders that are wrong, closed or full ──────────────────────────────────────────────────────────────────


def test_add_to_a_folder_that_is_no_job(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    for folder in (tmp_path / "empty", tmp_path / "nowhere", PHOTO):
        outcome = run("add", folder, PHOTO, "--as", "overview")
        assert outcome.exit_code == 3
        assert f"{folder}: There is no job folder here" in outcome.stderr
    assert list((tmp_path / "empty").iterdir()) == []


def test_add_to_a_job_that_is_closed_to_writing(run: Run, open_job: Path) -> None:
    open_job.chmod(0o555)

    outcome = run("add", open_job, PHOTO, "--as", "overview")

    assert outcome.exit_code == 3
    assert "does not let this be written (you may not do this here; EACCES)" in outcome.stderr


@pytest.mark.parametrize("arguments", [("check",), ("assemble", "-o", "OUT")])
def test_a_folder_of_photos_that_is_closed(
    run: Run, open_job: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...]
) -> None:
    (open_job / "photos").chmod(0)
    name, *options = [str(open_job.parent / "out") if each == "OUT" else each for each in arguments]
    monkeypatch.setenv("SILLMARK_HOME", str(open_job.parent / "home"))

    outcome = run(name, open_job, *options)

    assert outcome.exit_code == 3, outcome.output
    assert "does not let this be read (you may not do this here; EACCES)" in outcome.stderr
    assert f"{open_job}/photos/" in outcome.stderr
    assert not (open_job.parent / "out").exists()


def test_a_home_that_is_closed(run: Run, open_job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = open_job.parent / "home"
    home.mkdir()
    monkeypatch.setenv("SILLMARK_HOME", str(home))
    home.chmod(0)

    listed, made = run("key", "list"), run("key", "new")

    assert (listed.exit_code, made.exit_code) == (3, 3)
    assert "EACCES" in listed.stderr
    assert "EACCES" in made.stderr


def test_a_disk_that_is_full_leaves_nothing(
    run: Run, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    keys.load_or_create(Path(os.environ["SILLMARK_HOME"]))
    jobs.seed(job)
    monkeypatch.setattr(os, "write", full)

    outcome = run("assemble", job, "-o", tmp_path / "out")

    assert outcome.exit_code == 3, outcome.output
    assert f"{tmp_path}/out/AMB-0417/0000-build/data/" in outcome.stderr
    assert "does not let this be written (the disk is full; ENOSPC)" in outcome.stderr
    assert not (tmp_path / "out").exists()


def test_a_disk_that_is_full_at_the_end_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.EDQUOT, os.strerror(errno.EDQUOT))

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(InputError) as caught, files.publishing(tmp_path / "out" / "job" / "bag") as folder:
        files.write_new(folder / "x", b"x")

    assert codes(caught) == ["file-unwritable"]
    assert list(tmp_path.iterdir()) == []


def test_a_parent_folder_that_others_use_stays(tmp_path: Path) -> None:
    def fail() -> None:
        with files.publishing(tmp_path / "out" / "bag"):
            (tmp_path / "out" / "theirs").write_text("x")
            raise OSError(errno.EIO, "broken")

    with pytest.raises(InputError):
        fail()

    assert [path.name for path in (tmp_path / "out").iterdir()] == ["theirs"]


def test_what_no_stage_tells_better_is_still_one_line(
    run: Run, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(errno.EMFILE, "too many", "somewhere")

    monkeypatch.setattr(pipeline, "check_job", refuse)

    outcome = run("check", job)

    assert (outcome.exit_code, outcome.stdout) == (3, "")
    assert outcome.stderr.startswith("somewhere: The system refused this (too many files are open; EMFILE).")
    (nothing_said,) = _tell.system_error(OSError()).problems
    assert tell(nothing_said).startswith("sillmark: The system refused this (it did not say why).")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
@pytest.mark.parametrize("arguments", [("check", DEMO / "job"), ("--help",), ("register", "list")])
def test_an_output_that_takes_nothing(arguments: tuple[object, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        done = command(*arguments, stdout=full, stderr=subprocess.PIPE)

    assert done.returncode == ExitCode.UNREADABLE
    assert done.stderr.startswith("stdout: The answer could not be written (the disk is full; ENOSPC).")
    assert "Traceback" not in done.stderr


def test_only_what_was_being_written_is_an_output_that_failed() -> None:
    class Full(io.StringIO):
        def flush(self) -> None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with pytest.raises(OSError, match="No space") as caught:
        click.echo("x", file=Full())

    told = _tell.output_error(caught.value)
    assert told is not None
    assert [problem.code for problem in told.problems] == ["output-refused"]
    assert _tell.output_error(OSError()) is None


# ── interrupted and killed ──────────────────────────────────────────────────────────────────────────────────


def test_an_interrupt_is_told_and_exits_130(run: Run, job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(pipeline, "check_job", interrupt)

    outcome = run("check", job)

    assert outcome.exit_code == 130
    assert "Nothing half-made stays" in outcome.stderr


@pytest.mark.parametrize("workers", [1, 2])
def test_interrupted_in_the_middle_leaves_nothing_half_made(job: Path, tmp_path: Path, workers: int) -> None:
    second = shutil.copytree(job, tmp_path / "second")
    text = (second / "job.yaml").read_text(encoding="utf-8")
    (second / "job.yaml").write_text(text.replace("id: AMB-0417", "id: AMB-0418", 1), encoding="utf-8")
    line = [sys.executable, "-m", "tests.cli.sillmark", "assemble", job, second, "-o", tmp_path / "out"]
    home = {**os.environ, "SILLMARK_HOME": str(tmp_path / "home")}
    process = subprocess.Popen(
        [*map(str, line), "-j", str(workers)],
        cwd=TOP,
        env=home,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    # the key is made when the work begins, however long a busy machine takes to get there
    until = time.monotonic() + 60
    while not any((tmp_path / "home").rglob("*.pem")) and time.monotonic() < until:
        time.sleep(0.05)
    time.sleep(0.7)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)

    assert process.returncode == 130, said
    assert said.strip() == "Interrupted. Nothing half-made stays; what was finished before is whole."
    assert list(tmp_path.glob("out/*/.*")) == []
    for bag in tmp_path.glob("out/*/0000-build"):
        assert list(verifying.bags_of(bag)) == [bag]
        assert (bag / "seal" / "seal.json").exists()


KILLED = """
import os, sys
from pathlib import Path
from evidence import files
with files.publishing(Path(sys.argv[1])) as folder:
    (folder / "original.jpg").write_text("a name")
    os._exit(9)
"""


def test_what_a_killed_run_left_is_gone_with_the_next(tmp_path: Path) -> None:
    target = tmp_path / "0000-build"
    subprocess.run([sys.executable, "-c", KILLED, str(target)], cwd=TOP, check=False)
    assert len(list(tmp_path.glob(".0000-build.*"))) == 1
    for name in (
        ".0000-build.backup",
        ".0000-build.ABCDEFGH",
        ".0001-later.abcdefgh",
    ):  # not of our naming, or not ours
        (tmp_path / name).mkdir()
    (tmp_path / ".0000-build.12345678").write_text("a file of somebody")

    with files.publishing(target) as folder:
        (folder / "x").write_text("x")

    assert sorted(path.name for path in tmp_path.iterdir()) == [
        ".0000-build.12345678",
        ".0000-build.ABCDEFGH",
        ".0000-build.backup",
        ".0001-later.abcdefgh",
        "0000-build",
    ]


def test_what_another_run_is_making_stays(tmp_path: Path) -> None:
    target = tmp_path / "0000-build"
    with files.publishing(target) as theirs:
        (theirs / "x").write_text("theirs")
        with suppress(FileExistsError), files.publishing(target) as ours:
            assert theirs.is_dir()
            assert ours != theirs
            raise FileExistsError

    assert (target / "x").read_text() == "theirs"


def test_a_copy_without_a_line_in_the_record_blocks_nothing(run: Run, job: Path) -> None:
    last = max(int(exhibit.id[1:]) for exhibit in jobs.load(job).record.exhibits)
    copied, logged, free = (f"E{last + step:03}" for step in (1, 2, 3))
    (job / "photos" / f"{copied}.jpg").write_bytes(b"left by a killed run")
    digest = "0" * 64
    with (job / "intake.jsonl").open("a", encoding="utf-8") as log:
        log.write(f'{{"at":"{AT}","event":"add","id":"{logged}","reason":null,"sha256":"{digest}"}}\n')

    outcome = run("add", job, OTHER_PHOTO, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 0, outcome.output
    assert f"{free}: other-photo" in outcome.stdout
    assert f"{job}/photos/{copied}.jpg is there, but the record does not name it" in run("check", job).stdout


@pytest.mark.parametrize(("remains", "name"), [("the same", "{}.jpg"), ("others", "{}-2.jpg")])
def test_a_copy_under_the_id_of_an_open_slot_blocks_nothing(
    run: Run, started: Path, remains: str, name: str
) -> None:
    line = next(
        each
        for each in (started / "job.yaml").read_text(encoding="utf-8").splitlines()
        if "label-system" in each
    )
    slot = line.split("id: ")[1].split(",")[0]
    content = PHOTO.read_bytes() if remains == "the same" else b"left by a killed run"
    (started / "photos" / f"{slot}.jpg").write_bytes(content)

    outcome = run("add", started, PHOTO, "--as", "label-system")

    assert outcome.exit_code == 0, outcome.output
    assert f"filed as photos/{name.format(slot)}" in outcome.stdout
    assert (started / "photos" / name.format(slot)).read_bytes() == PHOTO.read_bytes()


# ── access bits ─────────────────────────────────────────────────────────────────────────────────────────────


def modes(folder: Path) -> dict[str, int]:
    return {
        name: stat.S_IMODE((folder / name).stat().st_mode) for name in ("job.yaml", "people.yaml", "seed")
    }


def test_names_and_seed_are_private_from_the_start_and_stay_so(run: Run, started: Path) -> None:
    (started / "job.yaml").chmod(0o640)
    assert modes(started) == {"job.yaml": 0o640, "people.yaml": 0o600, "seed": 0o600}

    assert run("add", started, PHOTO, "--as", "overview").exit_code == 0

    assert modes(started) == {"job.yaml": 0o640, "people.yaml": 0o600, "seed": 0o600}


@pytest.mark.parametrize("name", ["job.yaml", "people.yaml", "intake.jsonl"])
def test_a_file_that_is_closed_to_writing_is_left_alone(run: Run, job: Path, name: str) -> None:
    (job / name).chmod(0o444)
    before = {path: path.read_bytes() for path in job.rglob("*") if path.is_file()}

    outcome = run("add", job, OTHER_PHOTO, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 3
    assert f"{job / name}: This file is closed to writing" in outcome.stderr
    assert {
        path: path.read_bytes() for path in job.rglob("*") if path.is_file() and path.name != ".lock"
    } == before
    with pytest.raises(InputError) as caught:
        files.write_file(job / name, b"", overwrite=True)
    assert codes(caught) == ["file-read-only"]


# ── names ───────────────────────────────────────────────────────────────────────────────────────────────────

ODD = os.fsdecode(b"caf\xe9.jpg")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        (os.fsdecode(b"caf\xe9"), r"caf\xe9"),
        ("caf\u00e9", "caf\u00e9"),
        ("a\nb\x1b[2J", r"a\nb\x1b[2J"),
        ("\ud800", r"\ud800"),
    ],
)
def test_what_is_no_text_is_shown_escaped(text: str, shown: str) -> None:
    assert printable(text) == shown
    decodable(text).encode("utf-8")
    problem = Problem("file-absent", text, "", {"found": text})
    assert problem.where == shown
    problem.parameters["found"].encode("utf-8")


def test_a_file_whose_name_is_no_text_is_filed(run: Run, job: Path, tmp_path: Path) -> None:
    Image.new("RGB", (640, 480), "grey").save(tmp_path / "plain.jpg")
    (tmp_path / "plain.jpg").rename(tmp_path / ODD)

    outcome = run("add", job, tmp_path / ODD, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 0, outcome.output
    assert run("check", job).exit_code == 0


def test_a_bad_file_whose_name_is_no_text_is_named(run: Run, job: Path, tmp_path: Path) -> None:
    (tmp_path / ODD).write_bytes(PHOTO.read_bytes()[:9000])

    outcome = run("add", job, tmp_path / ODD, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 3
    assert r"caf\xe9.jpg" in outcome.stderr
    assert "crash" not in outcome.stderr


def test_a_bundle_whose_path_is_no_text(run: Run, sealed: Path, tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b"b\xff")
    path.symlink_to(sealed)

    answer = json.loads(run("verify", "--json", "--integrity-only", path).stdout)

    assert answer["bundle"] == rf"{tmp_path}/b\xff"
    assert run("verify", "--integrity-only", path).stdout.startswith(rf"{tmp_path}/b\xff")


def test_a_file_that_vanishes_while_a_folder_is_listed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from evidence.files import _reading  # noqa: PLC0415

    (tmp_path / "gone").write_text("x")
    scan = _reading._scan

    def and_remove(root: Path, folder: str) -> list[os.DirEntry[str]]:
        entries = scan(root, folder)
        (tmp_path / "gone").unlink(missing_ok=True)
        return entries

    monkeypatch.setattr(_reading, "_scan", and_remove)

    tree = files.list_tree(tmp_path)

    assert [(problem.code, problem.where) for problem in tree.problems] == [("file-vanished", "gone")]


# ── start ───────────────────────────────────────────────────────────────────────────────────────────────────


def start(run: Run, folder: Path, *options: object) -> tuple[int, str]:
    outcome = run("start", folder, "--profile", PROFILE, *options)
    return outcome.exit_code, outcome.stderr


@pytest.mark.parametrize("build", ["BW: 22", "[x", "*a", '"q" \\ {}', "&a", "# 5", "22", "null"])
def test_a_build_number_is_what_was_typed(run: Run, tmp_path: Path, build: str) -> None:
    assert start(run, tmp_path / "J1", "--build", build) == (0, "")

    assert jobs.load(tmp_path / "J1").record.vehicle.build == build


def test_an_empty_argument_is_refused(run: Run, tmp_path: Path) -> None:
    """Codes "argument-empty" and "vehicle-not-named"."""
    exit_code, said = start(run, tmp_path / "J1", "--build", "")
    assert exit_code == 2
    assert said.startswith("--build: Nothing stands behind this option.\n    Write the value")
    exit_code, said = start(run, tmp_path / "J1")
    assert exit_code == 2
    assert said.startswith("--build: A vehicle is known by its build number or its VIN")
    assert not (tmp_path / "J1").exists()


@pytest.mark.parametrize(
    ("options", "where"),
    [
        (("--vin", "123"), "--vin: "),
        (("--build", "x" * 200), "--build: "),
        (("--build", "a\x1bb"), "--build: "),
    ],
)
def test_what_is_wrong_is_told_at_the_argument(
    run: Run, tmp_path: Path, options: tuple[str, str], where: str
) -> None:
    exit_code, said = start(run, tmp_path / "J1", *options)

    if options[1] == "a\x1bb":  # escaped before it is written, so it is text like any other
        assert (exit_code, said) == (0, "")
        return
    assert exit_code == 3
    assert said.startswith(where)
    assert ".J1." not in said


def test_a_folder_name_that_can_be_no_id(run: Run, tmp_path: Path) -> None:
    exit_code, said = start(run, tmp_path / "my job: 5", "--build", "B")

    assert exit_code == 3
    assert said.startswith("JOB: ")


def test_each_standard_has_a_basis_of_its_own_and_each_pack_stands_once(run: Run, tmp_path: Path) -> None:
    packs = ("en-1789-2020@1", "sae-j3027-2016@1", "common-practice@1", "sae-j3027-2016@1")
    options = [part for pack in packs for part in ("--pack", pack)]

    assert start(run, tmp_path / "J1", "--build", "B", *options) == (0, "")

    bases = jobs.load(tmp_path / "J1").record.bases
    assert [(basis.standard, basis.packs) for basis in bases] == [
        ("EN 1789:2020", ("en-1789-2020@1", "common-practice@1")),
        ("SAE J3027 (2016-11)", ("sae-j3027-2016@1",)),
    ]


def test_nothing_that_nobody_said_stands_in_a_new_job(run: Run, tmp_path: Path) -> None:
    start(run, tmp_path / "J1", "--vin", "0BW2231TARN000413")
    job = jobs.load(tmp_path / "J1")

    assert job.record.vehicle.build is None
    assert job.people.people == ()
    assert "to be stated" not in (tmp_path / "J1" / "job.yaml").read_text(encoding="utf-8")
    assert [basis.standard for basis in job.record.bases] == ["common practice, no standard"]


def test_commented_people_make_a_file_once_filled_in(run: Run, started: Path) -> None:
    path = started / "people.yaml"
    head, lines = path.read_text(encoding="utf-8").split("# people:\n")
    path.write_text(
        head + "people:\n" + lines.replace("#   - ", "  - ").replace("…", "Ann Fell"), encoding="utf-8"
    )

    assert run("add", started, PHOTO, "--as", "overview").exit_code == 0

    assert [person.name for person in jobs.load(started).people.people] == ["Ann Fell"]


# ── add ─────────────────────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("source", "role", "found"),
    [
        (REPORT, "hook-position", "document"),
        (PHOTO, "type-test-report", "photo"),
        (PHOTO, "cycle-log", "photo"),
    ],
)
def test_a_file_of_another_kind_than_its_role_is_refused(
    run: Run, started: Path, source: Path, role: str, found: str
) -> None:
    """Code "role-of-another-kind"."""
    before = (started / "job.yaml").read_bytes()

    outcome = run("add", started, source, "--as", role, "--for", "p1")

    assert outcome.exit_code == 3
    assert f"{source}: The role {role} takes a" in outcome.stderr
    assert f"this is a {found}" in outcome.stderr
    assert (started / "job.yaml").read_bytes() == before
    assert not (started / "intake.jsonl").exists()


def test_marks_of_screws_belong_to_screws(run: Run, started: Path, job: Path) -> None:
    """Code "subject-not-recorded"."""
    without = run("add", started, PHOTO, "--as", "witness-marks")
    with_them = run("add", job, OTHER_PHOTO, "--as", "witness-marks")

    assert without.exit_code == 2
    assert "witness-marks belongs to one screw group, and the record has none yet" in without.stderr
    assert list((started / "photos").iterdir()) == []
    groups = [group.id for group in jobs.load(job).record.screws]
    assert (with_them.exit_code == 0) == (len(groups) == 1)


def test_the_same_file_twice_is_filed_once(run: Run, started: Path) -> None:
    """Code "already-filed"; for another purpose it is filed, and said."""
    outcome = run("add", started, PHOTO, PHOTO, "--as", "overview")
    other = run("add", started, PHOTO, "--as", "which-vehicle")

    assert outcome.exit_code == 2
    assert "This very file is filed as E0" in outcome.stderr
    assert "1 of 2 filed. Not filed: " in outcome.stderr
    assert "Nothing was changed" not in outcome.stderr
    assert other.exit_code == 0
    assert "The same file is filed as E0" in other.stdout


def test_of_several_files_what_was_filed_and_what_not_is_said(
    run: Run, started: Path, tmp_path: Path
) -> None:
    outcome = run("add", started, tmp_path / "no.jpg", PHOTO, "--as", "overview")
    alone = run("add", started, tmp_path / "no.jpg", "--as", "overview")

    assert f"1 of 2 filed. Not filed: {tmp_path / 'no.jpg'}." in outcome.stderr
    assert "Nothing was changed" not in outcome.stderr
    assert "Nothing was changed" in alone.stderr


def test_the_copy_already_has_the_right_ending(run: Run, started: Path, tmp_path: Path) -> None:
    Image.new("RGB", (64, 48), "grey").save(tmp_path / "photo.jpg", "PNG")

    outcome = run("add", started, tmp_path / "photo.jpg", "--as", "overview")

    assert "photo.jpg is named as another sort of file; the copy has the right ending." in outcome.stdout
    assert "ename it" not in outcome.stdout


# ── check and assemble ──────────────────────────────────────────────────────────────────────────────────────


def test_files_and_record_that_do_not_agree_are_told(run: Run, job: Path, tmp_path: Path) -> None:
    (job / "photos" / "E008.jpg").unlink()
    shutil.copy(PHOTO, job / "photos" / "IMG_1.jpg")
    (job / "photos" / "Thumbs.db").write_bytes(b"")
    (job / "photos" / ".hidden").write_bytes(b"")
    other = job / "documents" / "E010.pdf"  # a copy with the original's own bytes would be refused
    (job / "documents" / "E009.redacted.pdf").write_bytes(other.read_bytes())
    (job / "tests" / ".E014.csv.abcdefgh").write_bytes(b"left by a killed run")

    told = run("check", job).stdout.split("To know")[1]
    made = run("assemble", job, "-o", tmp_path / "out", "--at", AT).stderr

    for text in (told, made):
        assert f"E008: the record names {job}/photos/E008.jpg, and there is no such file." in text
        assert f"{job}/photos/IMG_1.jpg is there, but the record does not name it." in text
        assert f"{job}/tests/.E014.csv.abcdefgh is there" in text
        assert "Thumbs" not in text
        assert ".hidden" not in text
        assert "redacted" not in text


def test_many_files_that_nobody_listed_are_counted(run: Run, job: Path) -> None:
    for number in range(15):
        (job / "photos" / f"IMG_{number:02d}.jpg").write_bytes(b"x")

    told = run("check", job).stdout

    assert told.count("is there, but the record does not name it") == 10
    assert "… and 5 more." in told


def test_paths_of_evidence_have_their_job_folder(run: Run, job: Path) -> None:
    (job / "photos" / "E008.jpg").unlink()
    (job / "photos" / "E008.jpg").symlink_to(PHOTO)
    pack = job / "packs" / "demo-confirmed@1.yaml"

    assert f"{job}/photos/E008.jpg: " in run("check", job).stderr
    with pytest.raises(InputError) as caught:
        examining.examine(jobs.load(job), call, AT, twins=False)
    assert [problem.where for problem in caught.value.problems] == [f"{job}/photos/E008.jpg"]
    pack.write_text(pack.read_text(encoding="utf-8") + "surprise: x\n", encoding="utf-8")
    assert f"{pack}:" in run("check", job).stderr


def test_problems_of_one_sort_are_counted_and_their_hint_stands_once(
    capsys: pytest.CaptureFixture[str],
) -> None:
    many = [Problem("file-symlink", f"a.csv:{line}") for line in range(1, 21)]
    error = InputError([*many, Problem("file-symlink", "b.csv:1"), Problem("file-absent", "c.csv")])

    with click.Context(cli):
        assert _tell.tell_error(error) == ExitCode.UNREADABLE

    said = capsys.readouterr().err.splitlines()
    assert [line.split(": ")[0] for line in said[:5]] == [f"a.csv:{line}" for line in range(1, 6)]
    assert said[5] == "    … and 15 more like it in a.csv."
    assert said[6].startswith("b.csv:1: ")
    assert [line for line in said if "Put the file itself there." in line] == [said[7]]
    assert said[8].startswith("c.csv: ")
    assert len(said) == 11


def test_documents_that_no_dossier_can_carry(
    run: Run, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Code "documents-too-large"."""
    monkeypatch.setattr(printing, "MAX_ATTACHED", 10_000)

    outcome = run("assemble", job, "-o", tmp_path / "out")

    assert outcome.exit_code == 3
    assert f"{job}/documents: The documents together have" in outcome.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("below", ["", "deeper/still"])
def test_an_out_that_is_a_file(run: Run, job: Path, tmp_path: Path, below: str) -> None:
    """Code "out-not-folder"."""
    (tmp_path / "out").write_text("x")

    outcome = run("assemble", job, "-o", tmp_path / "out" / below)

    assert outcome.exit_code == 2
    assert outcome.stderr.startswith(f"{tmp_path / 'out'}: This is a file, not a folder.")


# ── keys ────────────────────────────────────────────────────────────────────────────────────────────────────


def test_a_key_is_unpinned_by_its_first_digits(run: Run, home: Path) -> None:
    identity = run("key", "new").stdout.strip()

    assert run("key", "unpin", "").exit_code == 2
    assert run("key", "unpin", identity[:8]).stdout == f"No longer pinned: {identity}\n"
    assert keys.own_trust(home).keys == ()
    assert run("key", "unpin", identity[:8]).exit_code == 2


# ── verify ──────────────────────────────────────────────────────────────────────────────────────────────────


@pytest.fixture
def vehicle(sealed: Path, tmp_path: Path) -> Path:
    folder = tmp_path / "AMB-0417"
    for name in ("0000-build", "0001-copy"):
        shutil.copytree(sealed, folder / name)
        for path in (folder / name).rglob("*"):
            path.chmod(0o755 if path.is_dir() else 0o644)
    return folder


@pytest.mark.parametrize("lost", [("bagit.txt",), ("bagit.txt", "manifest-sha256.txt")])
def test_a_broken_bag_beside_a_whole_one_is_not_passed_over(
    run: Run, vehicle: Path, trust_file: Path, lost: tuple[str, ...]
) -> None:
    assert run("verify", vehicle, "--trust", trust_file).exit_code == 0
    for name in lost:
        (vehicle / "0001-copy" / name).unlink()

    outcome = run("verify", vehicle, "--trust", trust_file)

    assert outcome.exit_code == 4
    assert str(vehicle / "0001-copy") in outcome.output
    assert run("verify", vehicle, "--trust", trust_file, "--json").exit_code == 4


def test_hidden_folders_and_files_beside_a_bag_are_nothing(run: Run, vehicle: Path, trust_file: Path) -> None:
    (vehicle / ".cache").mkdir()
    (vehicle / "note.txt").write_text("x")

    assert run("verify", vehicle, "--trust", trust_file).exit_code == 0


def test_a_folder_above_bundles_names_them(run: Run, vehicle: Path) -> None:
    outcome = run("verify", vehicle.parent, "--integrity-only")

    assert outcome.exit_code == 4
    assert outcome.stdout == ""
    assert outcome.stderr.startswith(
        f"{vehicle.parent}: This is no bundle; bundles below it: {vehicle}/0000-build, {vehicle}/0001-copy."
    )


def test_a_folder_without_any_bundle_is_one_line(tmp_path: Path) -> None:
    question = verifying.question(None, date(2026, 3, 6), integrity_only=True)

    for code in ("bundle-none", "bundle-below"):
        with pytest.raises(NoBundleError) as caught:
            verifying.verify_bundle(tmp_path, question, recompute=False, guard=Guard())
        assert codes(caught) == [code]
        (tmp_path / "a" / "b" / "c").mkdir(parents=True, exist_ok=True)
        (tmp_path / "a" / "b" / "c" / "bagit.txt").write_text("")
    assert bundle.bags_below(tmp_path) == (tmp_path / "a" / "b" / "c",)


def test_a_packed_bundle_is_to_be_unpacked(run: Run, tmp_path: Path) -> None:
    """Code "bundle-packed"."""
    (tmp_path / "AMB-0417.zip").write_bytes(b"PK\x03\x04")

    outcome = run("verify", tmp_path / "AMB-0417.zip", "--integrity-only")

    assert outcome.exit_code == 3
    assert "Unpack it first" in outcome.stderr


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="no folder here whose files come and go")
def test_a_folder_whose_files_come_and_go(run: Run) -> None:
    outcome = run("verify", "/proc", "--integrity-only")

    assert outcome.exit_code == 4
    assert "This is no bundle" in outcome.stderr


def test_many_findings_of_one_sort_are_counted(run: Run, vehicle: Path, trust_file: Path) -> None:
    for path in sorted((vehicle / "0001-copy" / "data" / "files").iterdir()):
        path.unlink()
    gone = len(list((vehicle / "0000-build" / "data" / "files").iterdir()))

    text = run("verify", vehicle / "0001-copy", "--trust", trust_file).stdout
    answer = json.loads(run("verify", vehicle / "0001-copy", "--trust", trust_file, "--json").stdout)

    step = text.split("List of files")[1].split("Check sums")[0]
    assert step.count("FILE_MISSING") == 5
    assert f"… and {gone - 5} more like it" in step
    assert step.count("Copy the bundle again") == 1
    missing = [each for each in answer["steps"][1]["problems"] if each["code"] == "FILE_MISSING"]
    assert len(missing) == gone
