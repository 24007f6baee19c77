"""Rough files: nothing to two gigabytes, names that no phone should make, and two runs at once on one job."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
import unicodedata
from pathlib import Path

import pytest
from PIL import Image

from evidence import filing, jobs
from evidence.exhibits import document, photo
from evidence.exhibits._grid import MAX_BYTES as MAX_TABLE
from evidence.model.intake import IntakeEvent
from tests.conftest import AT, DEMO, TOP, Run

PROFILE = DEMO / "job" / "profile.yaml"
MEMORY = 200 * 1024  # KiB that a run may take at its peak
FILES_EACH = 20
FILES_KILLED = 8

# what each role is given, and the cap of its reader
KINDS = {
    "jpg": ("other-photo", b"\xff\xd8\xff\xe0", photo.MAX_BYTES),
    "pdf": ("other-document", b"%PDF-1.7\n", document.MAX_BYTES),
    "csv": ("torque-log", b"a;b\n1;2\n", MAX_TABLE),
    "xlsx": ("torque-log", b"PK\x03\x04xl/workbook.xml", MAX_TABLE),
}


def begin(*arguments: object, home: Path, **variables: str) -> subprocess.Popen[str]:
    """Start ``sillmark`` in a process of its own, with these variables of the environment."""
    line = [sys.executable, "-m", "tests.cli.sillmark", *map(str, arguments)]
    environment = {**os.environ, "SILLMARK_HOME": str(home), "PYTHONDONTWRITEBYTECODE": "1", **variables}
    return subprocess.Popen(
        line, cwd=TOP, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
    )


def end(process: subprocess.Popen[str]) -> tuple[int, str, str]:
    out, problems = process.communicate(timeout=180)
    assert "Traceback" not in out + problems
    return process.returncode, out, problems


def sparse(path: Path, start: bytes, size: int) -> Path:
    path.write_bytes(start)
    os.truncate(path, size)
    return path


def photos(folder: Path, first: int, count: int) -> list[Path]:
    """Small photos of which no two are alike."""
    folder.mkdir(exist_ok=True)
    made = []
    for number in range(first, first + count):
        made.append(folder / f"IMG_{number:04d}.jpg")
        picture = Image.effect_noise((64, 48), 90)
        picture.putpixel((0, 0), number % 256)
        picture.save(made[-1])
    return made


# ── sizes ───────────────────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.skipif(sys.platform != "linux", reason="a process's own peak is told on Linux only")
@pytest.mark.parametrize("ending", sorted(KINDS))
def test_two_gigabytes_are_refused_unread(job: Path, home: Path, tmp_path: Path, ending: str) -> None:
    """Size alone decides: within seconds, with neither time nor memory for the content."""
    role, start, _ = KINDS[ending]
    large = sparse(tmp_path / f"large.{ending}", start, 2 * 1024**3)

    status, _, problems = end(
        begin("add", job, large, "--as", role, "--for", "p1", home=home, SILLMARK_TEST_COST="1")
    )

    assert status == 3
    assert f"2147483648 bytes; at most {filing.MAX_EXHIBIT}" in problems
    cost = re.search(r"^cost: ([0-9.]+) s, ([0-9]+) KiB$", problems, re.MULTILINE)
    assert cost is not None
    assert float(cost[1]) < 2
    assert int(cost[2]) < MEMORY


@pytest.mark.parametrize("ending", sorted(KINDS))
@pytest.mark.parametrize("size", [0, 1])
def test_next_to_nothing_is_refused(run: Run, job: Path, tmp_path: Path, ending: str, size: int) -> None:
    role, start, _ = KINDS[ending]
    path = tmp_path / f"small.{ending}"
    path.write_bytes(start[:size])

    outcome = run("add", job, path, "--as", role, "--for", "p1")

    assert outcome.exit_code == 3
    assert str(path) in outcome.stderr
    assert ("The file is empty" in outcome.stderr) == (size == 0)


@pytest.mark.parametrize("ending", sorted(KINDS))
@pytest.mark.parametrize("more", [0, 1])
def test_caps_are_exact(run: Run, job: Path, tmp_path: Path, ending: str, more: int) -> None:
    """At the cap the content decides, one byte above it the size; the limit is told."""
    role, start, cap = KINDS[ending]
    path = tmp_path / f"edge.{ending}"
    if ending == "csv":
        path.write_bytes(start + b"\n" * (cap + more - len(start)))
    else:
        sparse(path, start, cap + more)

    outcome = run("add", job, path, "--as", role, "--for", "p1")

    assert outcome.exit_code == (0 if ending == "csv" and not more else 3)
    assert (f"The file has {cap + more} bytes; at most {cap} are read." in outcome.stderr) == bool(more)


@pytest.mark.parametrize("more", [0, 1])
def test_the_cap_of_every_file_is_exact(run: Run, job: Path, tmp_path: Path, more: int) -> None:
    path = sparse(tmp_path / "x.jpg", b"\xff\xd8\xff", filing.MAX_EXHIBIT + more)

    outcome = run("add", job, path, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 3
    limit = filing.MAX_EXHIBIT if more else photo.MAX_BYTES
    assert f"{filing.MAX_EXHIBIT + more} bytes; at most {limit}" in outcome.stderr


# ── names ───────────────────────────────────────────────────────────────────────────────────────────────────

NAMES = [
    "a\nb.jpg",
    "a\tb.jpg",
    'it\'s "so".jpg',
    "\N{AMBULANCE}.jpg",
    "abc\u202egpj.jpg",
    "--help.jpg",
    "-",
    "n" * 251 + ".jpg",
    unicodedata.normalize("NFC", "T\u00fcr.jpg"),
    unicodedata.normalize("NFD", "T\u00fcr.jpg"),
    "trailing. ",
    "CON.jpg",
    os.fsdecode(b"caf\xe9\xff.jpg"),
    "100%s %d{0}.jpg",
    "a\\b.jpg",
    "#x: [1, {y}].jpg",
    "\x1b[2J.jpg",
]


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not keep such names")
@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_filed_and_told_escaped(run: Run, job: Path, tmp_path: Path, name: str) -> None:
    """The copy has a name of ours, people.yaml the original one in printable form, and the job stays sound."""
    path = photos(tmp_path / "inbox", 1, 1)[0].rename(tmp_path / "inbox" / name)

    outcome = run("add", job, path, "--as", "other-photo", "--for", "p1")
    assert outcome.exit_code == 0, outcome.output

    assert all(each.isprintable() for each in outcome.output.replace("\n", ""))
    exhibit = outcome.stdout.split(":")[0]
    loaded = jobs.load(job)
    assert loaded.people is not None
    kept = next(each for each in loaded.people.file_names if each.id == exhibit)
    wanted = "".join(each if each.isprintable() else "\ufffd" for each in unicodedata.normalize("NFC", name))
    shown = kept.name.partition("\u2026")  # what is too long is shortened in the middle
    assert wanted.startswith(shown[0])
    assert wanted.endswith(shown[2])
    assert run("check", job).exit_code == 0


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not keep such names")
@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_bad_file_is_told_escaped(run: Run, job: Path, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"\x00")

    outcome = run("add", job, tmp_path / name, "--as", "other-photo", "--for", "p1")

    assert outcome.exit_code == 3
    assert all(each.isprintable() for each in outcome.output.replace("\n", ""))
    assert "sound" not in outcome.stderr


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not keep such names")
def test_all_names_at_once_are_sorted_or_told(run: Run, job: Path, tmp_path: Path) -> None:
    """An inbox with such names costs no other file its place, and stays as it is."""
    for number, name in enumerate(NAMES):
        photos(tmp_path / "one", number, 1)[0].rename(_inbox(tmp_path) / name)
    before = sorted(_inbox(tmp_path).iterdir())
    shutil.copytree(job, tmp_path / "jobs" / "AMB-0417")

    outcome = run("add", _inbox(tmp_path), "--sort", tmp_path / "jobs")

    assert outcome.exit_code in (1, 3), outcome.output
    assert outcome.exception is None or isinstance(outcome.exception, SystemExit)
    assert all(each.isprintable() for each in outcome.output.replace("\n", ""))
    assert sorted(_inbox(tmp_path).iterdir()) == before


def _inbox(folder: Path) -> Path:
    (folder / "inbox").mkdir(exist_ok=True)
    return folder / "inbox"


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not keep such names")
@pytest.mark.parametrize("third", range(3))
def test_folders_of_any_name(run: Run, job: Path, tmp_path: Path, third: int) -> None:
    """Jobs and outputs below folders of such names are checked and sealed, and told escaped."""
    short = [each for each in NAMES if len(each) < 200]
    below = tmp_path.joinpath(*short[third::3])
    folder = Path(shutil.copytree(job, below / "AMB-0417"))

    checked = run("check", folder)
    made = run("assemble", folder, "-o", below / "out", "--at", AT)

    assert (checked.exit_code, made.exit_code) == (0, 0), made.output
    assert all(each.isprintable() for each in (checked.output + made.output).replace("\n", ""))


# ── two runs at once ────────────────────────────────────────────────────────────────────────────────────────


def filed_photos(job: Path) -> dict[str, bytes]:
    """Exhibit id to content, of every photo that the record names."""
    entries = [each for each in jobs.load(job).filed() if each.role.value == "other-photo"]
    assert len({each.id for each in entries}) == len(entries)
    return {each.id: (job / str(each.file)).read_bytes() for each in entries}


@pytest.fixture
def small(run: Run, tmp_path: Path) -> Path:
    """A job that has just begun: its record is short, so that a run reads it in a moment."""
    folder = tmp_path / "AMB-0900"
    begun = run("start", folder, "--profile", PROFILE, "--pack", "en-1789-2020@1", "--build", "B", "--at", AT)
    assert begun.exit_code == 0, begun.output
    for photo_ in photos(tmp_path / "before", 200, 2):
        added = run("add", folder, photo_, "--as", "other-photo", "--for", "p1")
        assert added.exit_code == 0, added.output
    return folder


def test_two_runs_of_add_lose_nothing(small: Path, home: Path, tmp_path: Path) -> None:
    there = filed_photos(small)
    first = photos(tmp_path / "a", 0, FILES_EACH)
    second = photos(tmp_path / "b", FILES_EACH, FILES_EACH)
    runs = [
        begin("add", small, *each, "--as", "other-photo", "--for", "p1", home=home)
        for each in (first, second)
    ]
    outcomes = [end(each) for each in runs]

    assert [code for code, _, _ in outcomes] == [0, 0], outcomes
    filed = filed_photos(small)
    wanted = {path.read_bytes() for path in (*first, *second)} | set(there.values())
    assert (len(filed), set(filed.values())) == (2 * FILES_EACH + len(there), wanted)
    logged = [line.id for line in jobs.load(small).intake.entries if line.event == IntakeEvent.ADD]
    assert len(set(logged)) == len(logged)
    assert jobs.unlisted(small, jobs.load(small).record) == ()


def test_check_while_files_come_in(small: Path, home: Path, tmp_path: Path) -> None:
    """A check sees the job before or after a file, never half of one."""
    adding = begin(
        "add", small, *photos(tmp_path / "a", 0, FILES_EACH), "--as", "other-photo", "--for", "p1", home=home
    )
    while adding.poll() is None:
        code, out, problems = end(begin("check", small, home=home))
        assert code in (0, 1), out + problems
    assert end(adding)[0] == 0
    assert end(begin("check", small, home=home))[0] == 1  # sound, with open points


def test_one_bundle_of_two_runs(job: Path, home: Path, tmp_path: Path) -> None:
    """Two runs into one folder make one whole bundle; the other run says that it is there."""
    assert end(begin("key", "new", home=home))[0] == 0
    runs = [begin("assemble", job, "-o", tmp_path / "out", "--at", AT, home=home) for _ in range(2)]
    outcomes = [end(each) for each in runs]

    assert sorted(code for code, _, _ in outcomes) == [0, 2], outcomes
    assert "there already" in "".join(problems for _, _, problems in outcomes)
    (made,) = tmp_path.glob("out/*/*")
    assert made.name == "0000-build"
    assert end(begin("verify", made, home=home))[0] in (0, 1)
    assert [each.name for each in made.parent.iterdir()] == ["0000-build"]


def test_one_job_of_two_starts(home: Path, tmp_path: Path) -> None:
    arguments = ("start", tmp_path / "AMB-1", "--profile", PROFILE, "--build", "B", "--at", AT)
    runs = [begin(*arguments, "--pack", "en-1789-2020@1", home=home) for _ in range(2)]
    outcomes = [end(each) for each in runs]

    assert sorted(code for code, _, _ in outcomes) == [0, 2], outcomes
    assert jobs.load(tmp_path / "AMB-1").record.id == "AMB-1"
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith(("AMB", ".", "tmp"))] == [
        "AMB-1"
    ]


def test_move_and_add_at_once(small: Path, home: Path, tmp_path: Path) -> None:
    moved = photos(tmp_path / "m", 90, 1)[0]
    assert end(begin("add", small, moved, "--as", "other-photo", "--for", "p1", home=home))[0] == 0
    exhibit = next(key for key, data in filed_photos(small).items() if data == moved.read_bytes())
    new = photos(tmp_path / "a", 0, 5)
    adding = begin("add", small, *new, "--as", "other-photo", "--for", "p1", home=home)
    moving = [
        end(begin("move", small, exhibit, "--as", role, "--for", "p1", "--reason", "role-given", home=home))
        for role in ("overview", "other-photo")
    ]

    assert (end(adding)[0], [code for code, _, _ in moving]) == (0, [0, 0]), moving
    assert {path.read_bytes() for path in (*new, moved)} <= set(filed_photos(small).values())


@pytest.mark.skipif(sys.platform == "win32", reason="signals are POSIX")
@pytest.mark.parametrize("seconds", [0.5, 0.9, 1.3])
def test_a_killed_add_loses_nothing(small: Path, home: Path, tmp_path: Path, seconds: float) -> None:
    """Killed at any moment, the job reads, and the same command files what is missing, once."""
    there = filed_photos(small)
    new = photos(tmp_path / "a", 0, FILES_KILLED)
    killed = begin("add", small, *new, "--as", "other-photo", "--for", "p1", home=home)
    time.sleep(seconds)
    killed.send_signal(signal.SIGKILL)
    killed.communicate()
    assert set(there.items()) <= set(filed_photos(small).items())

    code, _, problems = end(begin("add", small, *new, "--as", "other-photo", "--for", "p1", home=home))

    assert code in (0, 2), problems  # 2 where some were filed before
    filed = filed_photos(small)
    assert len(filed) == FILES_KILLED + len(there)
    assert {path.read_bytes() for path in new} <= set(filed.values())
    assert jobs.unlisted(small, jobs.load(small).record) == ()
    assert end(begin("check", small, home=home))[0] == 1  # sound, with open points
