"""What a reader, the compiler or the YAML parser made of the same bytes in this session is not made again.

Most tests change a line of a job and leave its photos, papers and profile as they are; to measure the photos anew for
each of them took most of the suite's time. A reader gets bytes and a name and nothing else, so its answer is kept by
both, and by whatever its process is started with. Refusals are never kept. What holds that the answers are the same
each time asks for the fixture ``afresh``: there nothing is remembered.
"""

import json
import pickle
from collections import OrderedDict
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from evidence import pagepictures
from evidence.exhibits import GUARDED, Answer, call
from evidence.guard import Guard
from evidence.record.yamltext import YamlText, read_yaml

MAX_KEPT = 192 * 1024 * 1024  # bytes of all answers
COMPILER = "evidence.compiling:compiled"
TARGETS = frozenset({*GUARDED.values(), *pagepictures.READERS.values(), COMPILER})
OUT = "out.pdf"
"""What the compiler leaves in its folder."""

Key = tuple[object, ...]
_run = Guard.run


class Memory:
    """Answers by what they were made of; the oldest go when it is full.

    Attributes:
        on: whether anything is remembered now.
    """

    def __init__(self) -> None:
        self.on = True
        self._kept: OrderedDict[Key, bytes] = OrderedDict()
        self._size = 0

    def run(self, guard: Guard, name: str, data: bytes, where: str) -> Answer:
        """As ``Guard.run``, which it stands in for."""
        if not self.on or guard._stopped or guard.readers.get(name) not in TARGETS:
            return _run(guard, name, data, where)
        folder = _folder(guard.readers[name], data)
        key = _key(guard, name, data, where, folder)
        kept = self._find(key)
        if kept is None:
            answer = _run(guard, name, data, where)
            self._keep(key, (answer, _left(folder)))
            return answer
        answer, left = pickle.loads(kept)  # noqa: S301 - our own
        if left is not None and folder is not None:
            (folder / OUT).write_bytes(left)
        made: Answer = answer
        return made

    def call(self, name: str, data: bytes, where: str) -> Answer:
        """As ``exhibits.call``, for tests that read the same files in this process again and again."""
        if not self.on:
            return call(name, data, where)
        key = ("call", name, where, sha256(data).digest())
        kept = self._find(key)
        if kept is None:
            read = call(name, data, where)
            self._keep(key, read)
            return read
        again: Answer = pickle.loads(kept)  # noqa: S301 - our own
        return again

    def read_yaml(self, data: bytes, name: str) -> YamlText:
        """As ``read_yaml``, which it stands in for; each caller gets data of its own."""
        key = ("yaml", sha256(data).digest())
        kept = self._find(key) if self.on else None
        if kept is not None:
            again: YamlText = pickle.loads(kept)  # noqa: S301 - our own
            return replace(again, name=name)
        read = read_yaml(data, name)
        if self.on and not read.problems:  # a problem names its file
            self._keep(key, read)
        return read

    def _find(self, key: Key) -> bytes | None:
        if key in self._kept:
            self._kept.move_to_end(key)
        return self._kept.get(key)

    def _keep(self, key: Key, made: object) -> None:
        self._kept[key] = pickle.dumps(made)
        self._size += len(self._kept[key])
        while self._size > MAX_KEPT:
            self._size -= len(self._kept.popitem(last=False)[1])


MEMORY = Memory()
remembered_call = MEMORY.call


def _folder(target: str, data: bytes) -> Path | None:
    """Where a reader works that is given a folder."""
    if target not in (COMPILER, pagepictures.READERS["pages"]):
        return None
    return Path(json.loads(data)["folder"])


def _key(guard: Guard, name: str, data: bytes, where: str, folder: Path | None) -> Key:
    started = (guard.limits, tuple(sorted(guard.environment.items())), guard.without)
    given = sha256(data if folder is None else data.replace(str(folder).encode(), b""))
    for path in sorted(folder.rglob("*")) if folder is not None else ():
        if path.is_file():
            given.update(f"\n{path.relative_to(folder or path)}\n{path.stat().st_size}\n".encode())
            given.update(path.read_bytes())
    return (guard.readers[name], started, where, given.digest())


def _left(folder: Path | None) -> bytes | None:
    path = None if folder is None else folder / OUT
    return None if path is None or not path.exists() else path.read_bytes()
