"""Finding values in data by patterns, and ids that stand twice."""

from collections.abc import Iterable, Iterator
from typing import Any

from evidence.errors import Problem
from evidence.record.yamltext import Path, YamlText

ANY = "*"
Pattern = tuple[str, ...]
"""Keys from the root; ``*`` stands for every entry of a list."""


def matching(data: Any, pattern: Pattern, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value that a pattern leads to, with its path, in the order of the file."""
    if not pattern:
        yield path, data
    elif pattern[0] == ANY:
        if isinstance(data, list):
            for index, item in enumerate(data):
                yield from matching(item, pattern[1:], (*path, index))
    elif isinstance(data, dict) and pattern[0] in data:
        yield from matching(data[pattern[0]], pattern[1:], (*path, pattern[0]))


def everything(data: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value of the data with its path, outer ones first."""
    yield path, data
    parts = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for part, value in parts:
        yield from everything(value, (*path, part))


def twice(
    source: YamlText, places: Iterable[tuple[Path, Any]], code: str = "id-duplicate"
) -> Iterator[Problem]:
    """A problem for each value that stands a second time; case does not tell two names apart.

    Args:
        source: the text with places.
        places: paths and their texts, in the order of the file.
        code: code of the problems.
    """
    first: dict[str, Path] = {}
    for path, value in places:
        folded = str(value).casefold()
        if folded in first:
            yield source.problem(code, path, found=str(value), first=source.where(first[folded]))
        first.setdefault(folded, path)
