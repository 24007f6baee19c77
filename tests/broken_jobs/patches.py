"""What is done to a copy of the base job, as data, and the copy itself."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from tests.conftest import DEMO

MARK = "¤"
"""Stands in a new text where the message must point."""


class Change(NamedTuple):
    """One piece of a text file, found once, and what replaces it; a mark in the new piece is taken out again."""

    file: str
    old: str
    new: str


class Put(NamedTuple):
    """A file with these bytes, over one of that name; ``../new/x.jpg`` lies beside the job."""

    file: str
    data: bytes | Callable[[], bytes]


class Cut(NamedTuple):
    """A file that ends after this share of its bytes."""

    file: str
    share: float


class Remove(NamedTuple):
    """A file that is gone."""

    file: str


class Rename(NamedTuple):
    """A file under another name, in the job or beside it."""

    file: str
    to: str


class Copy(NamedTuple):
    """A second file with the same bytes."""

    file: str
    to: str


class Link(NamedTuple):
    """A symbolic link in a file's place to where the file went."""

    file: str


class Folder(NamedTuple):
    """A folder in a file's place."""

    file: str


Step = Change | Put | Cut | Remove | Rename | Copy | Link | Folder
Patch = tuple[Step, ...]


class Case(NamedTuple):
    """A broken job, what its user runs, and what they must be told.

    Attributes:
        name: what went wrong, in a few words.
        patch: what is done to the base job.
        command: the line behind ``sillmark``; ``{job}`` and ``{new}`` stand for the folders.
        code: code of the problem, or of the reason or rule of a finding.
        where: place as it is told; with ``{mark}`` the line and column of the patch's mark. Of a finding its subject.
        words: what else the sentence must say: expected and found.
        exit: what the command exits with.
        typed: what is typed when the command asks.
    """

    name: str
    patch: Patch
    command: tuple[str, ...]
    code: str
    where: str
    words: tuple[str, ...]
    exit: int
    typed: str = ""


CHECK = ("check", "{job}")


def base(target: Path) -> Path:
    """A copy of the base job; files of evidence are hard links, so nothing may write into them."""
    for name in ("job", "new"):
        (target / name).mkdir(parents=True)
    for path in sorted((DEMO / "job").rglob("*")):
        to = target / "job" / path.relative_to(DEMO / "job")
        if path.is_dir():
            to.mkdir(exist_ok=True)
        elif path.parent.name in {"photos", "documents", "tests"}:
            _linked(path, to)
        else:
            shutil.copy2(path, to)
    return target / "job"


def _linked(source: Path, to: Path) -> None:
    try:
        os.link(source, to)
    except OSError:  # another disk
        shutil.copy2(source, to)


def apply(patch: Patch, job: Path) -> str:
    """Spoil the job; the place of the mark as ``file:line:column`` below the job, or nothing."""
    mark = ""
    for step in patch:
        path = job / step.file
        if isinstance(step, Change):
            mark = _change(step, path) or mark
        elif isinstance(step, Put | Cut):
            data = _bytes(step, path)
            path.unlink(missing_ok=True)  # a link is let go, not written through
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        elif isinstance(step, Copy):
            (shutil.copytree if path.is_dir() else shutil.copyfile)(path, job / step.to)
        else:
            _elsewhere(step, path, job)
    return mark


def _change(step: Change, path: Path) -> str:
    text = path.read_text(encoding="utf-8")
    assert text.count(step.old) == 1, f"{step.old!r} stands {text.count(step.old)} times in {step.file}"
    changed = text.replace(step.old, step.new)
    before, mark, after = changed.partition(MARK)
    path.write_text(before + after, encoding="utf-8", newline="")
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    return f"{step.file}:{line}:{column}" if mark else ""


def _bytes(step: Put | Cut, path: Path) -> bytes:
    if isinstance(step, Put):
        return step.data if isinstance(step.data, bytes) else step.data()
    whole = path.read_bytes()
    return whole[: int(len(whole) * step.share)]


def _elsewhere(step: Remove | Rename | Link | Folder, path: Path, job: Path) -> None:
    if isinstance(step, Rename):
        path.rename(job / step.to)
    elif isinstance(step, Link):
        target = job.parent / "new" / path.name
        path.rename(target)
        path.symlink_to(target)
    else:
        path.unlink()
        if isinstance(step, Folder):
            path.mkdir()
