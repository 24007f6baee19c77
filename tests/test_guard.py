"""The guard: hostile readers end in one error that names the file, and the next file is read all the same."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator

import pytest

from evidence import exhibits
from evidence.errors import HostileInputError, InputError
from evidence.exhibits import reading
from evidence.guard import Guard, Limits
from tests.exhibits.files import text_pdf, told

OWN_CHILDREN = True  # no process of another test: these tests are about the processes
WHERE = "documents/E012.pdf"
READERS = {name: f"tests.exhibits.readers:{name.replace('-', '_')}" for name in (
    "echo", "work", "hang", "spin", "grow", "sink", "die", "fail", "print-much", "write-garbage", "claim-much",
)}  # fmt: skip
SHORT = Limits(wall_seconds=60.0, cpu_seconds=1, memory_bytes=1 << 30)


@pytest.fixture
def guard() -> Iterator[Guard]:
    with Guard(limits=SHORT, readers=READERS) as running:
        yield running


def test_bytes_and_json_come_back_unchanged(guard: Guard) -> None:
    """What a reader answers arrives byte for byte."""
    data = bytes(range(256)) * 5000

    answer = guard.run("echo", data, where=WHERE)

    assert (data, data[::-1]) == answer.blobs
    assert answer.value["where"] == WHERE


def test_one_child_serves_all_files(guard: Guard) -> None:
    """The child is started once, and it is another process."""
    pids = {guard.run("echo", b"", where=WHERE).value["pid"] for _ in range(3)}

    assert len(pids) == 1
    assert os.getpid() not in pids


def test_nothing_starts_before_it_is_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    """An unused guard costs no process."""

    def refuse(*_args: object, **_options: object) -> None:
        raise AssertionError

    monkeypatch.setattr(subprocess, "Popen", refuse)
    with Guard():
        pass


@pytest.mark.skipif(sys.platform == "win32", reason="signal 0 asks about a process on POSIX only")
def test_child_is_gone_after_closing() -> None:
    """Leaving the block ends the child."""
    with Guard(readers=READERS) as guard:
        pid = guard.run("echo", b"", where=WHERE).value["pid"]
        os.kill(pid, 0)

    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_child_sees_no_environment_of_ours(guard: Guard, monkeypatch: pytest.MonkeyPatch) -> None:
    """A secret in the parent's environment does not reach the child."""
    monkeypatch.setenv("A_SECRET", "7")

    names = guard.run("echo", b"", where=WHERE).value["environment"]

    assert "A_SECRET" not in names
    assert set(names) <= {"LC_CTYPE"}  # the interpreter sets this one for itself


CAUSES = [
    ("spin", {"cpu-time"}),
    ("grow", {"memory"}),
    ("sink", {"depth"}),
    ("die", {"crash"}),
    ("fail", {"failed"}),
    ("write-garbage", {"answer"}),
    ("claim-much", {"answer"}),
]


def test_hanging_reader_is_ended_in_time() -> None:
    """A reader that waits for ever is ended when its time is up, and the next file is read."""
    with Guard(limits=Limits(wall_seconds=2.0), readers=READERS) as guard:
        started = time.monotonic()
        with pytest.raises(HostileInputError) as caught:
            guard.run("hang", b"data", where=WHERE)

        assert 2 <= time.monotonic() - started < 20
        assert [problem.parameters["cause"] for problem in caught.value.problems] == ["wall-time"]
        assert guard.run("echo", b"next", where=WHERE).blobs == (b"next", b"txen")


@pytest.mark.parametrize(("reader", "causes"), CAUSES)
@pytest.mark.skipif(sys.platform == "win32", reason="no processor or memory limit on Windows")
def test_misbehaving_reader_is_named_and_replaced(guard: Guard, reader: str, causes: set[str]) -> None:
    """Spin, growth, endless recursion, crash, surprise and forged answers end in one code; then work goes on."""
    with pytest.raises(HostileInputError) as caught:
        guard.run(reader, b"data", where=WHERE)

    (problem,) = caught.value.problems
    assert (problem.code, problem.where) == ("reader-gave-up", WHERE)
    assert problem.parameters["cause"] in causes
    assert problem.parameters["cause"] in told(problem)
    assert guard.run("echo", b"next", where=WHERE).blobs == (b"next", b"txen")


def test_processor_time_is_counted_for_each_file_anew() -> None:
    """Many files may together use more than one file may."""
    limits = Limits(wall_seconds=60.0, cpu_seconds=2, memory_bytes=1 << 30)
    with Guard(limits=limits, readers=READERS) as guard:
        used = [guard.run("work", b"", where=WHERE).value["milliseconds"] for _ in range(5)]

    assert sum(used) > 3000  # above the 3 s at which the first file alone would have been stopped


def test_printing_library_does_not_disturb(guard: Guard) -> None:
    """What a library prints never reaches the answers."""
    assert guard.run("print-much", b"abc", where=WHERE).value == [WHERE, 3]


def test_child_killed_while_idle_is_replaced(guard: Guard) -> None:
    """A child that the system ended between two files costs neither of them."""
    os.kill(guard.run("echo", b"", where=WHERE).value["pid"], signal.SIGTERM)
    time.sleep(0.3)

    assert guard.run("echo", b"x", where=WHERE).blobs == (b"x", b"x")


def test_problem_of_a_reader_crosses_the_border() -> None:
    """A file found wrong in the child is the same InputError in the parent, not a surrender."""
    with Guard() as guard, pytest.raises(InputError) as caught:
        guard.run("document", b"%PDF-1.7 nothing", where=WHERE)

    (problem,) = caught.value.problems
    assert not isinstance(caught.value, HostileInputError)
    assert (problem.code, problem.where) == ("pdf-damaged", WHERE)


def test_unknown_reader_is_a_mistake_of_the_program(guard: Guard) -> None:
    """Only registered readers run."""
    with pytest.raises(KeyError):
        guard.run("os:system", b"", where=WHERE)


def test_document_is_read_in_the_child() -> None:
    """The registered readers work through the guard as they do in process."""
    data = text_pdf(pages=2)
    with Guard() as guard:
        there = reading.read(data, WHERE, "E012", reader=guard.run)

    assert reading.read(data, WHERE, "E012", reader=exhibits.call) == there
    assert there.page_texts == ("Certificate 4711",) * 2


def test_a_guard_that_was_stopped_reads_no_more() -> None:
    """From another thread, for an interrupt: what runs ends now, and nothing begins."""
    with Guard(readers=READERS) as guard:
        started = time.monotonic()
        timer = threading.Timer(1.0, guard.stop)
        timer.start()
        for reader in ("hang", "echo"):
            with pytest.raises(HostileInputError) as caught:
                guard.run(reader, b"data", where=WHERE)
            assert caught.value.problems[0].parameters["cause"] == "stopped"
        timer.join()

    assert time.monotonic() - started < 20
