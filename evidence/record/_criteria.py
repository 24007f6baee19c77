"""Checks of meaning that criteria of packs and of profiles share."""

import re
from collections.abc import Iterator

from evidence.errors import Problem
from evidence.record._walk import everything
from evidence.record.yamltext import Path, YamlText

_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}", re.ASCII)


def untitled(source: YamlText) -> Iterator[Problem]:
    """Titles and texts that lack English, which every other language falls back on."""
    for path, value in everything(source.data):
        titled = bool(path) and path[-1] in ("title", "text") and isinstance(value, dict)
        if titled and "en" not in value:
            yield source.problem("english-missing", path, found=", ".join(sorted(value)))


def unnumbered(source: YamlText, path: Path) -> Iterator[Problem]:
    """A clause number or manual section that could not stand in a requirement's name."""
    number = source.at(path)
    if isinstance(number, str) and _NUMBER.fullmatch(number) is None:
        yield source.problem("clause-number-malformed", path, found=number[:60])
