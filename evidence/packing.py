"""What is given to be filed as one file: a file as it is, or a test's folder in the layout of ISO/TS 13499 packed.

A folder becomes a zip of its numbers alone, in the order of their names, not compressed and without times, so that
the same folder gives the same bytes on every machine. Films, photos and papers of it stay where they are.
"""

import posixpath
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from evidence import files
from evidence.errors import InputError, Problem
from evidence.exhibits._archive import packed
from evidence.exhibits._mme_parts import is_part

MAX_EXHIBIT = 64 * 1024 * 1024  # bytes of one evidence file; the readers have tighter caps of their own
_HEADERS = (".mme", ".chn")
_CHANNELS = "channel"  # the folder of a set that holds its channel files, as the format has it
_MAY_HIDE = frozenset(
    {"file-symlink", "file-not-regular", "file-unreadable", "file-vanished", "folder-missing"}
)
"""What keeps a part of a set from being seen, so that a smaller set would pass for the whole."""


@dataclass(frozen=True)
class Taken:
    """What was given, as one file.

    Attributes:
        data: its bytes; of a folder, those of the zip that stands for it.
        where: its place, for messages; a problem in a part is at ``where/part``.
        name: what people call it.
        left_out: files of a folder that are no part of the numbers; sorted.
        packed: whether a folder was given.
    """

    data: bytes
    where: str
    name: str
    left_out: tuple[str, ...] = ()
    packed: bool = False


def folder_of(path: Path) -> Path | None:
    """The folder of a set that a path names, by itself or by its ``.mme`` or ``.chn``; None where it is another file.

    Raises:
        InputError: file-unreadable where the system does not let it be looked at.
    """
    if files.is_folder(path):
        return path
    if path.suffix.casefold() in _HEADERS and files.is_file(path):
        return path.parent
    return None


def take(path: Path) -> Taken:
    """A file, or the folder of a set.

    Raises:
        InputError: as ``files.read_capped`` and ``pack``.
    """
    folder = folder_of(path)
    if folder is not None:
        return pack(folder)
    try:
        return Taken(files.read_capped(path, MAX_EXHIBIT), str(path), path.name)
    except InputError as error:
        problem = error.problems[0]
        if problem.code == "file-too-large" and path.suffix.casefold() == ".zip":
            raise InputError.one("set-zip-large", str(path), **problem.parameters) from error
        raise


def pack(folder: Path, cap: int = MAX_EXHIBIT, *, whole: bool = True) -> Taken:
    """The parts of a set below a folder as a zip.

    Args:
        folder: where they lie, in folders of their own or not.
        cap: bytes of all parts.
        whole: refuse a link or an odd name, which may hide a part, since what is filed stands for the whole test; else
            they are passed over.

    Raises:
        InputError: mme-absent where no file is part of a set; set-folder-large, set-too-large; a link, or a name that
            cannot be used on every computer, with its place.
    """
    tree = files.list_tree(folder, whole=False)
    if any(each.code == "tree-too-large" for each in tree.problems):
        raise InputError.one("set-folder-large", str(folder), limit=str(files.MAX_ENTRIES))
    parts = sorted(name for name in tree.sizes if is_part(name))
    if whole:
        _refuse(folder, [each for each in tree.problems if each.code in _MAY_HIDE or is_part(each.where)])
    if not parts:
        raise InputError.one("mme-absent", str(folder))
    size = sum(tree.sizes[name] for name in parts)
    if size > cap:
        raise InputError.one("set-too-large", str(folder), found=str(size), limit=str(cap))
    content = [(name, files.read_inside(folder, name, cap, where=str(folder / name))) for name in parts]
    others = tuple(sorted(set(tree.sizes) - set(parts)))
    return Taken(packed(content), str(folder), folder.resolve().name or "set", others, packed=True)


def loose_sets(paths: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Folders among many files that hold a set, with its parts: where a test header or a list of channels lies.

    Args:
        paths: with ``/``, below one folder, which is the empty path.
    """
    found: dict[str, list[str]] = {}
    for path in sorted(paths):
        if is_part(path):
            folder = posixpath.dirname(path)
            inner = posixpath.basename(folder).casefold() == _CHANNELS
            found.setdefault(posixpath.dirname(folder) if inner else folder, []).append(path)
    return {
        folder: tuple(parts)
        for folder, parts in found.items()
        if any(path.casefold().endswith(_HEADERS) for path in parts)
    }


def _refuse(folder: Path, problems: Sequence[Problem]) -> None:
    if problems:
        raise InputError(
            [Problem(each.code, f"{folder}/{each.where}", "", each.parameters) for each in problems]
        )
