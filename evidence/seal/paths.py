"""Which relative paths are safe on every file system, and which two of them would become one file."""

import re
import unicodedata
from collections.abc import Iterable

from evidence.errors import Problem

MAX_PATH = 200  # characters of a relative path; leaves room under the 260 of older systems
MAX_PARTS = 8  # folders and name of one path

_BUNDLE_CHARACTERS = re.compile(r"[A-Za-z0-9._-]+", re.ASCII)
_DRIVE = re.compile(r"[A-Za-z]:", re.ASCII)
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "clock$"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(10)}
)
_UNPRINTABLE = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def path_fault(path: str, *, bundle: bool = True) -> str:
    """Why a relative path is not allowed, or an empty string.

    Args:
        path: parts joined by ``/``.
        bundle: inside a bundle only ``A-Za-z0-9._-`` may be used; outside, any printable NFC text.

    Returns:
        One of empty, too-long, control-character, backslash, drive-letter, absolute, parent-folder, hidden,
        trailing-dot, trailing-space, reserved-name, not-nfc, character.
    """
    checks = (
        ("empty", not path),
        ("control-character", any(unicodedata.category(character) in _UNPRINTABLE for character in path)),
        ("too-long", len(path) > MAX_PATH or path.count("/") >= MAX_PARTS),
        ("backslash", "\\" in path),
        ("drive-letter", _DRIVE.match(path) is not None),
        ("absolute", path.startswith("/")),
    )
    whole = next((fault for fault, found in checks if found), "")
    return whole or next(
        (fault for part in path.split("/") if (fault := _part_fault(part, bundle=bundle))), ""
    )


def _part_fault(part: str, *, bundle: bool) -> str:
    checks = (
        ("empty", not part),
        ("parent-folder", part == ".."),
        ("hidden", part.startswith(".")),
        ("trailing-dot", part.endswith(".")),
        ("trailing-space", part != part.strip()),
        ("reserved-name", part.split(".", maxsplit=1)[0].lower() in _DEVICES),
        ("not-nfc", not unicodedata.is_normalized("NFC", part)),
        ("character", ":" in part or (bundle and _BUNDLE_CHARACTERS.fullmatch(part) is None)),
    )
    return next((fault for fault, found in checks if found), "")


def folded(path: str) -> str:
    """What a file system that ignores case and Unicode form makes of a path."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())


def path_problems(paths: Iterable[str], *, bundle: bool = True) -> tuple[Problem, ...]:
    """Every path that is not allowed and every pair that differs only by case or Unicode form, sorted."""
    problems: list[Problem] = []
    seen: dict[str, str] = {}
    for path in sorted(paths):
        fault = path_fault(path, bundle=bundle)
        if fault:
            problems.append(Problem("path-not-allowed", shown(path), "", {"reason": fault}))
        first = seen.setdefault(folded(path), path)
        if first != path:
            problems.append(Problem("path-collision", shown(path), "", {"other": shown(first)}))
    return tuple(sorted(problems, key=Problem.order))


def shown(path: str) -> str:
    """A path as it may be printed: everything outside printable ASCII escaped, cut at 200 characters."""
    return path.encode("unicode_escape", "surrogateescape").decode("ascii", "backslashreplace")[:MAX_PATH]
