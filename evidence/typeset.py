"""Typesetting: data and pictures in, PDF/A-3b and PDF/UA-1 bytes out.

The compiler runs in a guarded child process: it has no time-out of its own, it keeps memory from one document to the
next, and a forked copy of it hangs.
"""

import json
import shutil
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import lru_cache
from importlib.resources import as_file, files
from math import ceil
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from evidence import jsondoc
from evidence.dossier._glyphs import check_names, coverage, printable, printable_text
from evidence.dossier._input import Data
from evidence.dossier._written import unbroken
from evidence.errors import HostileInputError, SillmarkError
from evidence.files import packaged
from evidence.guard import Guard, Limits

COMPILES_PER_WORKER = 3  # the compiler keeps about 200 MB per document, so its process is replaced
LIMIT_SECONDS = 120.0  # wall clock of one compile; a dossier of a thousand findings takes a few seconds
LIMIT_BYTES = (
    6 * 1024**3
)  # address space of the worker; a thousand findings with photos need 0.7 GB of memory
MAX_MESSAGE = 400  # characters of a compiler message
FONT_FILES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Semibold.ttf")
MAIN = "dossier.typ"


class Typesetter:
    """A compiler process that is reused for a few documents and then replaced; close it, or use ``with``."""

    def __init__(
        self,
        *,
        limit_seconds: float = LIMIT_SECONDS,
        compiles_per_worker: int = COMPILES_PER_WORKER,
        environment: Mapping[str, str] | None = None,
    ) -> None:
        limits = Limits(limit_seconds, ceil(limit_seconds), LIMIT_BYTES)
        self._guard = Guard(limits, {"compile": "evidence.compiling:compiled"}, environment or {})
        self._per_worker = compiles_per_worker
        self._left = compiles_per_worker

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
            ValueError: a picture, an attachment or the place that a link leads to is missing, or the time has no offset.
        """
        if issued.tzinfo is None:
            raise ValueError("the time of issue needs its offset")
        covered = _covered()
        check_names(data["must_print"], covered)
        _check_links(data)
        with tempfile.TemporaryDirectory(prefix="typeset-") as folder:
            root = Path(folder)
            _lay_out(root, "dossier", {**data, "sections": _short(data["sections"])}, covered)
            _write_all(root / "photos", {f"{name}.jpg": pictures.get(name) for name in data["pictures"]})
            _write_all(
                root / "attachments",
                {entry["name"]: attachments.get(entry["name"]) for entry in data["attachments"]},
            )
            self._compile(root, MAIN, issued)
            return (root / "out.pdf").read_bytes() + b"\n"

    def sheets(self, sources: str, data: Mapping[str, Any], issued: datetime) -> bytes:
        """One PDF of paper for the workshop, made as ``typeset`` does but without photos and attachments.

        Args:
            sources: folder below ``templates/``; its main source is ``<sources>.typ``.
            data: what the sources read from ``data.json``; drawings stand under ``svg``, name to text.
            issued: time with its offset; becomes the document's date.

        Raises:
            SillmarkError: typeset-failed or typeset-too-slow.
            ValueError: the time has no offset.
        """
        if issued.tzinfo is None:
            raise ValueError("the time of issue needs its offset")
        with tempfile.TemporaryDirectory(prefix="typeset-") as folder:
            root = Path(folder)
            _lay_out(root, sources, data, _covered())
            self._compile(root, f"{sources}.typ", issued)
            return (root / "out.pdf").read_bytes() + b"\n"

    def close(self) -> None:
        """Stop the worker; a later document starts a new one."""
        self._guard.close()
        self._left = self._per_worker

    def _compile(self, root: Path, main: str, issued: datetime) -> None:
        if self._left <= 0:
            self.close()
        self._left -= 1
        order = {"folder": str(root), "issued": issued.astimezone(UTC).isoformat()}
        try:
            said = self._guard.run("compile", jsondoc.canonical(order), main).value
        except HostileInputError as error:
            cause = error.problems[0].parameters["cause"]
            if cause in ("wall-time", "cpu-time"):
                limit = f"{self._guard.limits.wall_seconds:g} s"
                raise SillmarkError.one("typeset-too-slow", main, limit=limit) from error
            raise SillmarkError.one("typeset-failed", main, found=cause) from error
        if said:
            raise SillmarkError.one("typeset-failed", main, found=str(said)[:MAX_MESSAGE])


def typeset(
    data: Data, pictures: Mapping[str, bytes], attachments: Mapping[str, bytes], issued: datetime
) -> bytes:
    """One PDF with a compiler process of its own; see ``Typesetter.typeset``."""
    with Typesetter() as typesetter:
        return typesetter.typeset(data, pictures, attachments, issued)


def _lay_out(root: Path, sources: str, data: Mapping[str, Any], covered: frozenset[int]) -> None:
    for source in sorted(packaged("templates", sources).glob("*.typ")):
        shutil.copyfile(source, root / source.name)
    _write_all(root / "fonts", dict(_fonts()))
    _write_all(
        root / "svg",
        {name: printable_text(text, covered).encode() for name, text in data.get("svg", {}).items()},
    )
    shown = printable(
        {key: value for key, value in data.items() if key not in ("svg", "must_print")}, covered
    )
    (root / "data.json").write_text(
        json.dumps(unbroken(shown), ensure_ascii=False, sort_keys=True), encoding="utf-8"
    )


def _short(value: object) -> object:
    """The same with each text that has no style as a plain string, which costs the compiler less."""
    if isinstance(value, list):
        return [_short(entry) for entry in value]
    if not isinstance(value, dict):
        return value
    if len(value) == 1 and isinstance(words := value.get("t"), str):
        return words
    return {key: _short(entry) for key, entry in value.items()}


def _check_links(data: Data) -> None:
    # the sources take a place that is not there for one whose page is not known yet
    wanted, there = set[str](), {f"section-{section['id']}" for section in data["sections"]}
    left: list[object] = [data["sections"]]
    while left:
        value = left.pop()
        if isinstance(value, list):
            left += value
        elif isinstance(value, dict):
            if "to" in value:
                wanted.add(value["to"])
            there.update(value.get("anchors", ()))
            left += value.values()
    if missing := sorted(wanted - there):
        raise ValueError(f"links lead to {', '.join(missing[:3])}, and no such place is in the data")


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
