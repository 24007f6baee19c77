"""Runs readers of hostile files in a child process that may crash, hang or grow without hurting the program.

The child is a fresh interpreter, started when first needed and used again for the next file. It gets bytes and
gives back JSON and bytes, each with its length in front; nothing it sends is ever unpickled or executed. It
inherits no environment but what the caller names, and no open file but its two pipes.

Limits: the wall clock is kept by the parent on every platform. Processor time and memory are kept by the
operating system where it knows how (``resource``): both on Linux; macOS does not enforce the memory one; Windows
knows neither, so there a file can cost as much memory as the wall clock lets it take. The child may read what the
user may read: it is a seat belt against broken files, not a sandbox against a targeted exploit.
"""

import json
import struct
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import IO, Any, NoReturn, Self

from evidence import jsondoc
from evidence.errors import (
    HostileInputError,
    InputError,
    MissingToolError,
    Problem,
    SillmarkError,
    printable,
)
from evidence.exhibits import GUARDED, Answer, resolve

_FRAME = struct.Struct(">Q")  # length in bytes of what follows
_HEAD_CAP = 8 * 1024 * 1024  # bytes of JSON in one frame
_ANSWER_CAP = 512 * 1024 * 1024  # bytes of all byte strings of one answer
_CLOSING_SECONDS = 2
_CHUNK = 1 << 20  # bytes

_BOOT = """
import json, sys
sys.path[:] = json.loads(sys.argv[1])
sys.modules.update(dict.fromkeys(json.loads(sys.argv[3])))
from evidence.guard import serve
serve()
"""


@dataclass(frozen=True)
class Limits:
    """What one file may cost.

    Attributes:
        wall_seconds: from asking to answering.
        cpu_seconds: processor time of the child for one file.
        memory_bytes: address space of the child, interpreter included.
    """

    wall_seconds: float = 90.0
    cpu_seconds: int = 45
    memory_bytes: int = 1536 * 1024 * 1024


LIMITS = Limits()


@dataclass
class _Child:
    """A running child and why the parent ended it, where it did."""

    process: subprocess.Popen[bytes]
    ended_for: str = ""

    def end(self, cause: str) -> None:
        """Kill it, once; safe from another thread."""
        self.ended_for = self.ended_for or cause
        self.process.kill()


@dataclass
class Guard:
    """Readers in a child process; use as a context manager, one guard per thread.

    Attributes:
        limits: what one file may cost.
        readers: which readers may be run: name to ``module:function``.
        environment: the child's whole environment; Windows needs SYSTEMROOT here.
        without: modules that the child is to find missing; a reader that can do without them starts sooner.
    """

    limits: Limits = LIMITS
    readers: Mapping[str, str] = field(default_factory=lambda: dict(GUARDED))
    environment: Mapping[str, str] = field(default_factory=dict)
    without: tuple[str, ...] = ()
    _child: _Child | None = field(default=None, init=False, repr=False)
    _stopped: bool = field(default=False, init=False, repr=False)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def run(self, name: str, data: bytes, where: str) -> Answer:
        """Answer of a reader for one file.

        Args:
            name: one of ``readers``.
            data: the whole file.
            where: name of the file for messages.

        Raises:
            InputError: what the reader found wrong with the file.
            MissingToolError: an optional extra is absent that reads such files.
            HostileInputError: code reader-gave-up, with the cause: wall-time, cpu-time, memory, depth, crash,
                failed, answer or stopped. The next call gets a new child.
            KeyError: no reader of that name.
        """
        where = printable(where)  # half characters of a file name are no JSON
        request = {"target": self.readers[name], "where": where, "cpu_seconds": self.limits.cpu_seconds}
        if self._stopped:
            _gave_up("stopped", where)
        child = self._child = self._living() or self._start()
        if self._stopped:  # while it started
            child.end("stopped")
        with self._deadline(child):
            try:
                _send(_pipe(child.process.stdin), request, (data,))
                head, blobs = _receive(_pipe(child.process.stdout), where)
            except (OSError, EOFError, InputError) as error:
                self._give_up(child, error, where)
        return self._opened(head, blobs, where)

    def stop(self) -> None:
        """End what is being read, from another thread, and read no more; who waits for an answer gets none."""
        self._stopped = True
        if (child := self._child) is not None:
            child.end("stopped")

    def close(self) -> None:
        """End the child; a later call would start another."""
        child, self._child = self._child, None
        if child is not None:
            _end(child)

    def _living(self) -> _Child | None:
        if self._child is not None and (self._child.ended_for or self._child.process.poll() is not None):
            self.close()
        return self._child

    def _start(self) -> _Child:
        # the child must find this package and its libraries where the parent found them
        path = [str(Path(__file__).parents[1]), *(entry for entry in sys.path if entry)]
        told = [json.dumps(path), str(self.limits.memory_bytes), json.dumps(self.without)]
        command = [sys.executable, "-I", "-c", _BOOT, *told]
        process = subprocess.Popen(  # noqa: S603 - our own interpreter and our own words
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=dict(self.environment),
            close_fds=True,
        )
        return _Child(process)

    @contextmanager
    def _deadline(self, child: _Child) -> Iterator[None]:
        timer = threading.Timer(self.limits.wall_seconds, child.end, ["wall-time"])
        timer.daemon = True
        timer.start()
        try:
            yield
        except BaseException:
            # whatever broke the exchange, an interrupt too, leaves half a frame in the pipe: nothing to use again
            self.close()
            raise
        finally:
            timer.cancel()
            timer.join()  # one that fired just now must have marked the child before anybody uses it again

    def _give_up(self, child: _Child, error: Exception, where: str) -> NoReturn:
        cause = child.ended_for
        if not cause:
            cause = "answer" if isinstance(error, InputError) else _death(child.process)
        _gave_up(cause, where)

    def _opened(self, head: jsondoc.Json, blobs: tuple[bytes, ...], where: str) -> Answer:
        state = head.get("state")
        if state == "problems":
            kind = MissingToolError if head.get("tool_missing") is True else InputError
            raise kind(_problems(head.get("problems"), where))
        if state != "answer":
            self.close()  # after memory or depth ran out, what is left of the child is not to be trusted
            _gave_up(state if state in ("memory", "depth", "failed") else "answer", where)
        return Answer(head.get("value"), blobs)


def _gave_up(cause: str, where: str) -> NoReturn:
    raise HostileInputError((Problem("reader-gave-up", where, "", {"cause": cause}),))


def _pipe(stream: IO[bytes] | None) -> IO[bytes]:
    if stream is None:
        raise EOFError
    return stream


def _end(child: _Child) -> None:
    process = child.process
    with suppress(OSError):
        _pipe(process.stdin).close()
    try:
        process.wait(_CLOSING_SECONDS if not child.ended_for else None)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
    _pipe(process.stdout).close()


def _death(process: subprocess.Popen[bytes]) -> str:
    try:
        code = process.wait(_CLOSING_SECONDS)
    except subprocess.TimeoutExpired:
        return "crash"
    if sys.platform != "win32":
        import signal  # noqa: PLC0415 - the name of this signal exists on POSIX only

        return "cpu-time" if code == -signal.SIGXCPU else "crash"
    return "crash"


def _problems(listed: object, where: str) -> tuple[Problem, ...]:
    found = [_problem(one, where) for one in listed] if isinstance(listed, list) else []
    if not found:
        _gave_up("answer", where)
    return tuple(found)


def _problem(fields: Any, where: str) -> Problem:
    try:
        code, place, pointer = fields["code"], fields["where"], fields["pointer"]
        parameters = {str(name): str(value) for name, value in fields["parameters"].items()}
    except (AttributeError, LookupError, TypeError):
        _gave_up("answer", where)
    # the child may name a place inside the file, never another file
    inside = isinstance(place, str) and place.startswith(where)
    return Problem(str(code), place if inside else where, str(pointer), parameters)


def _send(stream: IO[bytes], head: jsondoc.Json, blobs: tuple[bytes, ...]) -> None:
    text = json.dumps({**head, "blobs": [len(blob) for blob in blobs]}).encode()
    stream.write(_FRAME.pack(len(text)) + text)
    for blob in blobs:
        stream.write(blob)
    stream.flush()


def _receive(stream: IO[bytes], where: str) -> tuple[jsondoc.Json, tuple[bytes, ...]]:
    (length,) = _FRAME.unpack(_exactly(stream, _FRAME.size))
    if length > _HEAD_CAP:
        _gave_up("answer", where)
    head = jsondoc.decode(_exactly(stream, length), where, _HEAD_CAP)
    sizes = head.pop("blobs", None) if isinstance(head, dict) else None
    if not isinstance(sizes, list) or not all(isinstance(size, int) and size >= 0 for size in sizes):
        _gave_up("answer", where)
    if sum(sizes) > _ANSWER_CAP:
        _gave_up("answer", where)
    return head, tuple(_exactly(stream, size) for size in sizes)


def _exactly(stream: IO[bytes], size: int) -> bytes:
    parts: list[bytes] = []
    while size:
        part = stream.read(min(size, _CHUNK))
        if not part:
            raise EOFError
        parts.append(part)
        size -= len(part)
    return b"".join(parts)


# ── the child's side ────────────────────────────────────────────────────────────────────────────────────────


def serve() -> None:
    """Answer requests until the parent closes the pipe; the child's whole life."""
    requests, answers = _private_pipes()
    _cap_memory(int(sys.argv[2]))
    while True:
        try:
            head, blobs = _receive(requests, "request")
        except EOFError:
            return
        _cap_processor_time(head["cpu_seconds"])
        state, results = _answered(head, blobs[0])
        del blobs  # a large file must not sit beside the next one
        _send(answers, state, results)


def _answered(head: dict[str, Any], data: bytes) -> tuple[dict[str, Any], tuple[bytes, ...]]:
    try:
        answer = resolve(head["target"])(data, head["where"])
    except SillmarkError as error:
        listed = [_fields(problem) for problem in error.problems]
        missing = isinstance(error, MissingToolError)
        return {"state": "problems", "problems": listed, "tool_missing": missing}, ()
    except MemoryError:
        return {"state": "memory"}, ()
    except RecursionError:
        return {"state": "depth"}, ()
    except Exception:  # noqa: BLE001 - a reader of damaged files raises anything; the parent names the file
        return {"state": "failed"}, ()
    return {"state": "answer", "value": answer.value}, answer.blobs


def _fields(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "where": problem.where,
        "pointer": problem.pointer,
        "parameters": dict(problem.parameters),
    }


def _private_pipes() -> tuple[IO[bytes], IO[bytes]]:
    import os  # noqa: PLC0415 - only the child touches its own descriptors

    # a library that prints must not write into the answers, nor one that prompts read the requests
    requests, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    nothing = os.open(os.devnull, os.O_RDWR)
    os.dup2(nothing, 0)
    os.dup2(nothing, 1)
    return requests, answers


def _cap_memory(limit: int) -> None:
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - POSIX only

    with suppress(ValueError, OSError):  # a lower limit of the user's own stays in force
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _cap_processor_time(seconds: int) -> None:
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - POSIX only

    usage = resource.getrusage(resource.RUSAGE_SELF)
    used = (
        usage.ru_utime + usage.ru_stime
    )  # the limit counts from the child's birth, the budget from this file
    with suppress(ValueError, OSError):
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        resource.setrlimit(resource.RLIMIT_CPU, (int(used) + seconds + 1, hard))
