"""A full base record, changes of it with the place where the message must point, and a writer that knows places."""

import json
from collections.abc import Callable
from pathlib import Path as FilePath
from typing import Any

from evidence.errors import InputError, Problem
from evidence.record.reader import (
    JobText,
    PackText,
    PeopleText,
    ProfileText,
    read_job,
    read_pack,
    read_people,
    read_profile,
)

BASE = FilePath(__file__).parent / "base"
MARK = "§"
"""Stands in a changed text where the message must point."""
Path = tuple[str | int, ...]


def base(name: str) -> str:
    """Text of a base file."""
    return (BASE / name).read_text(encoding="utf-8")


def job(text: str | None = None) -> JobText:
    """The base record, or another text read as one."""
    return read_job((text or base("job.yaml")).encode(), "job.yaml")


def people(text: str | None = None) -> PeopleText:
    """The base people.yaml, or another text."""
    return read_people((text or base("people.yaml")).encode(), "people.yaml")


def profile(text: str | None = None) -> ProfileText:
    """The base profile, or another text."""
    return read_profile((text or base("profile.yaml")).encode(), "profile.yaml")


def pack(text: str, name: str = "pack.yaml") -> PackText:
    """A text read as a pack."""
    return read_pack(text.encode(), name)


def shipped() -> dict[str, PackText]:
    """Every pack that ships, by reference."""
    folder = FilePath(__file__).parents[2] / "evidence" / "register" / "packs"
    packs = [read_pack(path.read_bytes(), path.name) for path in sorted(folder.glob("*.yaml"))]
    return {entry.pack.reference: entry for entry in packs}


def problems(read: Callable[[], object]) -> tuple[Problem, ...]:
    """The problems of an InputError, or of a check that returns them."""
    try:
        result = read()
    except InputError as error:
        return error.problems
    return result if isinstance(result, tuple) else ()


def changed(text: str, old: str, new: str) -> tuple[str, str]:
    """The text with one piece replaced, and ``line:column`` of the mark in the new piece."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return marked(text.replace(old, new))


def marked(text: str) -> tuple[str, str]:
    """The text without its mark, and ``line:column`` of the mark."""
    before, _, after = text.partition(MARK)
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    return before + after, f"{line}:{column}"


class Written:
    """Data as block YAML with quoted scalars, and where each key and value came to stand."""

    def __init__(self, data: Any) -> None:
        self.keys: dict[Path, str] = {}
        self.values: dict[Path, str] = {}
        self._lines: list[str] = [""]
        self._value(data, (), 0)
        self.text = "\n".join(self._lines) + "\n"

    def _here(self) -> str:
        return f"{len(self._lines)}:{len(self._lines[-1]) + 1}"

    def _value(self, data: Any, path: Path, indent: int) -> None:
        if isinstance(data, str) or not data:
            self.values[path] = self._here()
            self._lines[-1] += json.dumps(data, ensure_ascii=False)
            return
        entries = data.items() if isinstance(data, dict) else enumerate(data)
        for number, (part, value) in enumerate(entries):
            if number:
                self._lines.append(" " * indent)
            if not number:
                self.values[path] = self._here()
            self._entry(part, value, (*path, part), indent)

    def _entry(self, part: str | int, value: Any, path: Path, indent: int) -> None:
        if isinstance(part, int):
            self._lines[-1] += "- "
            self._value(value, path, indent + 2)
            return
        self.keys[path] = self._here()
        self._lines[-1] += f"{json.dumps(part, ensure_ascii=False)}:"
        if isinstance(value, str) or not value:
            self._lines[-1] += " "
        else:
            self._lines.append(" " * (indent + 2))
        self._value(value, path, indent + 2)
