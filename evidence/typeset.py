"""Typesetting: data and pictures in, PDF/A-3b and PDF/UA-1 bytes out.

The compiler runs in a spawned process of its own: it has no time-out, it keeps memory from one document to the
next, and a forked copy of it hangs.
"""

import json
import multiprocessing
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime
from functools import lru_cache
from importlib.resources import as_file, files
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from types import TracebackType
from typing import Self

from evidence.dossier._glyphs import check_names, coverage, printable
from evidence.dossier._input import Data
from evidence.errors import SillmarkError
from evidence.files import packaged

COMPILES_PER_WORKER = 3  # the compiler keeps about 200 MB per document, so its process is replaced
LIMIT_SECONDS = 120.0  # wall clock of one compile; a dossier of a thousand findings takes a few seconds
STOP_SECONDS = 5.0  # a worker that was told to stop may take this long
MAX_MESSAGE = 400  # characters of a compiler message
STANDARDS = ("a-3b", "ua-1")
FONT_FILES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Semibold.ttf")
MAIN = "dossier.typ"

_context = multiprocessing.get_context("spawn")


class Typesetter:
    """A compiler process that is reused for a few documents and then replaced; close it, or use ``with``."""

    def __init__(
        self, *, limit_seconds: float = LIMIT_SECONDS, compiles_per_worker: int = COMPILES_PER_WORKER
    ) -> None:
        self._limit = limit_seconds
        self._per_worker = compiles_per_worker
        self._left = 0
        self._process: SpawnProcess | None = None
        self._pipe: Connection | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def typeset(
        self, data: Data, pictures: Mapping[str, bytes], attachments: Mapping[str, bytes], issued: datetime
    ) -> bytes:
        """One PDF, ending with a line feed; the same arguments give the same bytes.

        Args:
            data: what ``dossier.build`` gave.
            pictures: exhibit id to JPEG, for every id in ``data["pictures"]``.
            attachments: name to bytes, for every entry of ``data["attachments"]``.
            issued: time of issue with its offset; becomes the document's date.

        Raises:
            InputError: name-cannot-print.
            SillmarkError: typeset-failed or typeset-too-slow.
            ValueError: a picture or attachment is missing, or the time has no offset.
        """
        if issued.tzinfo is None:
            raise ValueError("the time of issue needs its offset")
        covered = _covered()
        check_names(data["must_print"], covered)
        with tempfile.TemporaryDirectory(prefix="typeset-") as folder:
            root = Path(folder)
            _lay_out(root, data, covered)
            _write_all(root / "photos", {f"{name}.jpg": pictures.get(name) for name in data["pictures"]})
            _write_all(
                root / "attachments",
                {entry["name"]: attachments.get(entry["name"]) for entry in data["attachments"]},
            )
            self._compile(root, issued)
            return (root / "out.pdf").read_bytes() + b"\n"

    def close(self) -> None:
        """Stop the worker; a later document starts a new one."""
        process, pipe = self._process, self._pipe
        self._process, self._pipe, self._left = None, None, 0
        if pipe is not None:
            with suppress(OSError):
                pipe.send(None)
            pipe.close()
        if process is not None:
            process.join(STOP_SECONDS)
            if process.is_alive():
                process.kill()
                process.join()
            process.close()

    def _compile(self, root: Path, issued: datetime) -> None:
        pipe = self._worker()
        self._left -= 1
        answer = "the compiler's process ended"
        try:
            pipe.send((str(root), issued.astimezone(UTC)))
            if not pipe.poll(self._limit):
                self._kill()
                raise SillmarkError.one("typeset-too-slow", MAIN, limit=f"{self._limit:g} s")
            answer = pipe.recv()
        except (EOFError, OSError):
            self._kill()
        if answer:
            raise SillmarkError.one("typeset-failed", MAIN, found=answer[:MAX_MESSAGE])

    def _worker(self) -> Connection:
        if self._left <= 0 or self._process is None or not self._process.is_alive():
            self.close()
            ours, theirs = _context.Pipe()
            self._process = _context.Process(target=_work, args=(theirs,), daemon=True)
            self._process.start()
            theirs.close()
            self._pipe, self._left = ours, self._per_worker
        assert self._pipe is not None  # noqa: S101 - set together with the process
        return self._pipe

    def _kill(self) -> None:
        if self._process is not None:
            self._process.kill()
        self.close()


def typeset(
    data: Data, pictures: Mapping[str, bytes], attachments: Mapping[str, bytes], issued: datetime
) -> bytes:
    """One PDF with a compiler process of its own; see ``Typesetter.typeset``."""
    with Typesetter() as typesetter:
        return typesetter.typeset(data, pictures, attachments, issued)


def _lay_out(root: Path, data: Data, covered: frozenset[int]) -> None:
    sources = packaged("templates", "dossier")
    for source in sorted(sources.glob("*.typ")):
        shutil.copyfile(source, root / source.name)
    _write_all(root / "fonts", dict(_fonts()))
    _write_all(root / "svg", {name: text.encode() for name, text in data["svg"].items()})
    shown = printable(
        {key: value for key, value in data.items() if key not in ("svg", "must_print")}, covered
    )
    (root / "data.json").write_text(json.dumps(shown, ensure_ascii=False, sort_keys=True), encoding="utf-8")


def _write_all(folder: Path, contents: Mapping[str, bytes | None]) -> None:
    folder.mkdir()
    for name, content in sorted(contents.items()):
        if content is None:
            raise ValueError(f"{folder.name}/{name} is named by the data but was not given")
        if Path(name).name != name or name.startswith("."):
            raise ValueError(f"{name!r} is no plain file name")
        (folder / name).write_bytes(content)


@lru_cache(maxsize=1)
def _fonts() -> tuple[tuple[str, bytes], ...]:
    with as_file(files("font_source_sans_pro") / "files") as folder:
        return tuple((name, (folder / name).read_bytes()) for name in FONT_FILES)


@lru_cache(maxsize=1)
def _covered() -> frozenset[int]:
    # a text may stand in any weight, so only what every weight has counts
    return frozenset.intersection(*(coverage(font) for _, font in _fonts()))


def _work(pipe: Connection) -> None:
    """The worker: compile one folder after another until told to stop; answers with an empty text or a message."""
    import typst  # noqa: PLC0415 - only the worker pays for the compiler

    with suppress(EOFError, OSError, KeyboardInterrupt):
        while (order := pipe.recv()) is not None:
            folder, issued = order
            pipe.send(_compiled(typst.compile, folder, issued))


def _compiled(compile_: object, folder: str, issued: datetime) -> str:
    assert callable(compile_)  # noqa: S101 - the library has no types
    try:
        compile_(
            f"{folder}/{MAIN}",
            output=f"{folder}/out.pdf",
            root=folder,
            font_paths=[f"{folder}/fonts"],
            ignore_system_fonts=True,
            pdf_standards=list(STANDARDS),
            timestamp=issued,
        )
    except Exception as error:  # noqa: BLE001 - whatever the compiler says must reach the caller as text
        return str(error) or type(error).__name__
    return ""
