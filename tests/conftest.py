"""Fixtures that many tests share: copies of the demonstration jobs, a user's folder, one sealed bundle."""

import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from evidence import keys, pipeline
from evidence.cli import cli
from evidence.exhibits import Answer
from evidence.guard import Guard
from evidence.record import dropping, edit, reader
from tests.remembered import MEMORY

TOP = Path(__file__).resolve().parents[1]
DEMO = TOP / "demo_bundle"
AT = "2026-03-06T16:00+01:00"
ISSUED = datetime(2026, 3, 6, 16, 0, tzinfo=timezone(timedelta(hours=1)))
TEST_KEY = keys.derived(bytes(range(32)))

Run = Callable[..., Result]

_WARM: dict[tuple[object, ...], list[Guard]] = {}
"""Guards with a running child that nobody uses, by what a child is started with."""


@pytest.fixture(scope="session", autouse=True)
def _remembering() -> Iterator[None]:
    """What was read, set or parsed of the same bytes before is not made again: see ``tests/remembered.py``."""

    def run(guard: Guard, name: str, data: bytes, where: str) -> Answer:
        return MEMORY.run(guard, name, data, where)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Guard, "run", run)
        for module in (dropping, edit, reader):
            patch.setattr(module, "read_yaml", MEMORY.read_yaml)
        yield


@pytest.fixture
def afresh(monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything is read, set and parsed anew in this test, which holds that it is the same each time."""
    monkeypatch.setattr(MEMORY, "on", False)


@pytest.fixture(scope="module", autouse=True)
def _warm_children(request: pytest.FixtureRequest) -> Iterator[None]:
    """A reader's process outlives its guard and serves the next test: to start one costs more than most tests.

    Only a sound one of the usual sort does, and no file leaves anything behind in it. A module that tests the processes
    themselves says ``OWN_CHILDREN = True``.
    """
    if getattr(request.module, "OWN_CHILDREN", False):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(MEMORY, "on", False)
            yield
        return
    usual, start = Guard(), Guard._start

    def started_with(guard: Guard) -> tuple[object, ...]:
        return tuple(sorted(guard.environment.items())), guard.without

    def leave(guard: Guard, *_: object) -> None:
        sound = guard._living() is not None and not guard._stopped
        if sound and (guard.limits, guard.readers) == (usual.limits, usual.readers):
            kept = Guard(environment=guard.environment, without=guard.without)
            kept._child, guard._child = guard._child, None
            _WARM.setdefault(started_with(guard), []).append(kept)
        guard.close()

    def begin(guard: Guard) -> object:
        waiting = _WARM.get(started_with(guard), [])
        while waiting and (guard.limits, guard.readers) == (usual.limits, usual.readers):
            kept = waiting.pop()
            if (child := kept._living()) is not None:
                return child
        return start(guard)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Guard, "__exit__", leave)
        patch.setattr(Guard, "_start", begin)
        yield


@pytest.fixture(scope="session", autouse=True)
def _children_end() -> Iterator[None]:
    """No process is left when the session ends."""
    yield
    for kept in (each for waiting in _WARM.values() for each in waiting):
        kept.close()
    _WARM.clear()


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder as the user's, and no environment that could change an answer."""
    folder = tmp_path / "home"
    monkeypatch.setenv("SILLMARK_HOME", str(folder))
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    return folder


@pytest.fixture
def run(home: Path) -> Run:  # noqa: ARG001 - the environment must stand before a command runs
    """Run ``sillmark`` in this process, as its user would."""

    def invoke(*arguments: object) -> Result:
        return CliRunner().invoke(cli, [str(argument) for argument in arguments], prog_name="sillmark")

    return invoke


def _copy(name: str, target: Path) -> Path:
    return Path(shutil.copytree(DEMO / name, target / name))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the demonstration job in which nothing is open."""
    return _copy("job", tmp_path)


@pytest.fixture
def faulty_job(tmp_path: Path) -> Path:
    """A copy of the demonstration job with planted faults."""
    return _copy("job-with-faults", tmp_path)


@pytest.fixture(scope="session")
def _assembled(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("assembled")
    made = {}
    for name in ("job", "job-with-faults"):
        order = pipeline.AssembleOrder(folder / "out", ISSUED, "option")
        made[name] = pipeline.assemble_job(_copy(name, folder), order, TEST_KEY).written.path
    return made


@pytest.fixture(scope="session")
def sealed(_assembled: dict[str, Path]) -> Path:
    """The bundle of the clean demonstration job, signed by TEST_KEY; only to be read."""
    return _assembled["job"]


@pytest.fixture(scope="session")
def sealed_with_faults(_assembled: dict[str, Path]) -> Path:
    """The bundle of the demonstration job with faults, signed by TEST_KEY; only to be read."""
    return _assembled["job-with-faults"]


@pytest.fixture(scope="session")
def trust_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A trust file that pins TEST_KEY."""
    path = tmp_path_factory.mktemp("trust") / "trust.json"
    path.write_bytes(keys.trust_bytes([keys.entry_of(TEST_KEY.public)]))
    return path
