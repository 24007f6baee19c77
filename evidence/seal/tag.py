"""Sum lists (``manifest-sha256.txt`` and its like): one writer, one strict reader.

A line is 64 lower-case hexadecimal digits, two spaces, a path, LF; lines are sorted by the bytes of the path. That is
narrower than RFC 8493 and than ``sha256sum`` accept: one set of files has exactly one list.
"""

import re
from collections.abc import Mapping

from evidence.errors import Problem
from evidence.seal.paths import path_fault, path_problems, shown

_LINE = re.compile(rb"(?P<digest>[0-9a-f]{64})  (?P<path>[^\x00-\x1f\x7f]+)")
_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


def write_sums(digests: Mapping[str, str]) -> bytes:
    """The list of a set of files.

    Args:
        digests: path to SHA-256, 64 lower-case hexadecimal digits.

    Raises:
        ValueError: a path or digest that the strict reader would refuse: the program built a wrong bag.
    """
    for path, digest in digests.items():
        if path_fault(path) or _HASH.fullmatch(digest) is None:
            raise ValueError(f"not a line of a sum list: {digest!r} {path!r}")
    return b"".join(f"{digests[path]}  {path}\n".encode() for path in sorted(digests))


def read_sums(data: bytes, where: str) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Read a list, and say everything that is wrong with it.

    Args:
        data: the bytes as stored.
        where: name of the list for messages.

    Returns:
        Path to digest of every line that could be read, and Problems with code sums-syntax, sums-order,
        sums-duplicate, path-not-allowed or path-collision. The mapping may be used only where there are none.
    """
    digests: dict[str, str] = {}
    problems: list[Problem] = []
    previous = b""
    lines = data.split(b"\n")
    if lines.pop() != b"":
        problems.append(_problem("sums-syntax", where, len(lines) + 1, "no line feed at the end"))
    for number, line in enumerate(lines, start=1):
        match = _LINE.fullmatch(line)
        if match is None:
            problems.append(_problem("sums-syntax", where, number, _printable(line)))
            continue
        path = match["path"].decode("utf-8", "surrogateescape")
        if path in digests:
            problems.append(_problem("sums-duplicate", where, number, shown(path)))
        elif match["path"] < previous:
            problems.append(_problem("sums-order", where, number, shown(path)))
        previous = max(previous, match["path"])
        digests[path] = match["digest"].decode("ascii")
    return digests, (*problems, *path_problems(digests))


def _printable(line: bytes) -> str:
    return line[:120].decode("utf-8", "backslashreplace").encode("unicode_escape").decode("ascii")[:160]


def _problem(code: str, where: str, number: int, found: str) -> Problem:
    return Problem(code, f"{where}:{number}", "", {"found": found})
