"""Reading: folders listed, files read and hashed; without following links and never beyond a cap."""

import errno
import hashlib
import os
import stat
import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from io import FileIO
from pathlib import Path
from typing import NoReturn

from evidence.errors import InputError, Problem
from evidence.seal.layout import FileDigest
from evidence.seal.paths import path_fault, path_problems, shown

BLOCK = 1024 * 1024  # bytes read at once
HASH_THREADS = 2  # more gain nothing on common disks
MAX_ENTRIES = 40_000  # files and folders of one tree
MAX_DEPTH = 8  # folders below the root

_OPEN = (
    os.O_RDONLY
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)  # a FIFO would wait for a writer for ever
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)
_CODES = {errno.ENOENT: "file-absent", errno.ELOOP: "file-symlink", errno.ENXIO: "file-not-regular"}
_NOT_THERE = frozenset({errno.ENOENT, errno.ENOTDIR, errno.ELOOP, errno.ENAMETOOLONG})
_FOLDER = getattr(os, "O_DIRECTORY", 0)


class _PerThread(threading.local):
    """One buffer for each thread, used again for every file."""

    def __init__(self) -> None:
        self.buffer = bytearray(BLOCK)


_own = _PerThread()


@dataclass(frozen=True)
class Tree:
    """What lies in a folder.

    Attributes:
        sizes: regular files, relative path with ``/`` to bytes; sorted.
        empty_folders: folders with nothing in them; sorted.
        problems: links, special files, bad names, too many entries; sorted.
    """

    sizes: Mapping[str, int]
    empty_folders: tuple[str, ...]
    problems: tuple[Problem, ...]


def list_tree(root: Path, *, bundle: bool = False, whole: bool = True) -> Tree:
    """List an existing folder without following links; in a ``bundle`` names hold to ``A-Za-z0-9._-``.

    Args:
        root: the folder.
        bundle: whether it is one.
        whole: refuse it where a folder in it cannot be read; else that is one of the problems.

    Raises:
        InputError: folder-missing or file-unreadable.
    """
    sizes: dict[str, int] = {}
    empty: list[str] = []
    problems: list[Problem] = []
    folders, seen = [""], 0
    while folders:
        folder = folders.pop()
        try:
            entries = _scan(root, folder)
        except InputError as error:
            if whole or not folder:
                raise
            problems += [
                Problem(each.code, shown(folder[:-1]), "", each.parameters) for each in error.problems
            ]
            continue
        seen += len(entries)
        if seen > MAX_ENTRIES or folder.count("/") > MAX_DEPTH:
            problems.append(Problem("tree-too-large", shown(folder) or ".", "", {"limit": str(MAX_ENTRIES)}))
            break
        if folder and not entries:
            empty.append(folder[:-1])
        for entry in entries:
            try:
                _sort_in(folder + entry.name, entry, sizes, folders, problems)
            except OSError:  # it was there when the folder was read
                problems.append(Problem("file-vanished", shown(folder + entry.name)))
    problems += path_problems(sizes, bundle=bundle) + path_problems(empty, bundle=bundle)
    return Tree(dict(sorted(sizes.items())), tuple(sorted(empty)), tuple(sorted(problems, key=Problem.order)))


def _scan(root: Path, folder: str) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(root / folder) as entries:
            return sorted(entries, key=lambda entry: entry.name)
    except (FileNotFoundError, NotADirectoryError) as error:
        raise InputError.one("folder-missing", str(root / folder)) from error
    except OSError as error:
        raise InputError.one("file-unreadable", str(root / folder), reason=reason(error)) from error


def _sort_in(
    path: str,
    entry: os.DirEntry[str],
    sizes: dict[str, int],
    folders: list[str],
    problems: list[Problem],
) -> None:
    if entry.is_symlink() or getattr(entry, "is_junction", lambda: False)():
        problems.append(Problem("file-symlink", shown(path)))
    elif entry.is_dir(follow_symlinks=False):
        folders.append(path + "/")
    elif entry.is_file(follow_symlinks=False):
        sizes[path] = entry.stat(follow_symlinks=False).st_size
    else:
        problems.append(Problem("file-not-regular", shown(path)))


def is_folder(path: Path) -> bool:
    """Whether a folder is there; links are followed.

    Raises:
        InputError: file-unreadable where the system does not let it be looked at.
    """
    found = _stat(path)
    return found is not None and stat.S_ISDIR(found.st_mode)


def is_file(path: Path) -> bool:
    """Whether a regular file is there; otherwise as ``is_folder``."""
    found = _stat(path)
    return found is not None and stat.S_ISREG(found.st_mode)


def is_there(path: Path) -> bool:
    """Whether anything has that name, a broken link too; otherwise as ``is_folder``."""
    return _stat(path, follow=False) is not None


def _stat(path: Path, *, follow: bool = True) -> os.stat_result | None:
    try:
        return path.stat(follow_symlinks=follow)
    except OSError as error:
        if error.errno in _NOT_THERE:
            return None
        _refuse(error, str(path))


def names_in(folder: Path) -> tuple[str, ...]:
    """Names of the folders in a folder that are not hidden, sorted; links to folders count.

    Raises:
        InputError: folder-missing or file-unreadable.
    """
    return tuple(
        entry.name for entry in _scan(folder, "") if not entry.name.startswith(".") and _is_dir(entry)
    )


def files_in(folder: Path) -> tuple[str, ...]:
    """Names of what lies in a folder and is no folder, hidden ones left out, sorted.

    Raises:
        InputError: folder-missing or file-unreadable.
    """
    return tuple(
        entry.name for entry in _scan(folder, "") if not entry.name.startswith(".") and not _is_dir(entry)
    )


def _is_dir(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a loop of links, or gone meanwhile
        return False


def read_capped(path: Path, cap: int) -> bytes:
    """Read a regular file of at most ``cap`` bytes; a link as last part of the path is refused.

    Raises:
        InputError: file-absent, file-symlink, file-not-regular, file-too-large or file-unreadable.
    """
    with opened(path, str(path)) as source:
        return _read(source, str(path), cap)


def read_inside(root: Path, relative: str, cap: int, *, where: str = "") -> bytes:
    """The same for a path below a folder; no part of it may be a link, even one swapped in meanwhile.

    Args:
        root: the folder.
        relative: path below it.
        cap: bytes that are read at most.
        where: the place for messages; else ``relative``.
    """
    with _open_inside(root, relative, where or relative) as source:
        return _read(source, where or relative, cap)


def sha256_file(path: Path) -> FileDigest:
    """Digest and size of a regular file; raises as ``read_capped``."""
    with opened(path, str(path)) as source:
        return digested(source, str(path))


def sha256_inside(root: Path, paths: Sequence[str]) -> dict[str, FileDigest]:
    """Digests of files below a folder, on two threads, in the given order; no part of a path may be a link."""
    if len(paths) <= 1:
        return {path: _sha256_inside(root, path) for path in paths}
    with ThreadPoolExecutor(HASH_THREADS) as threads:
        return dict(zip(paths, threads.map(lambda path: _sha256_inside(root, path), paths), strict=True))


def _sha256_inside(root: Path, relative: str) -> FileDigest:
    with _open_inside(root, relative, relative) as source:
        return digested(source, relative)


def opened(path: Path | str, where: str, folder: int | None = None) -> FileIO:
    """A regular file, open for reading; raises as ``read_capped``."""
    handle = _handle(path, where, folder)
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise InputError.one("file-not-regular", where)
    return os.fdopen(handle, "rb", buffering=0)


def _handle(path: Path | str, where: str, folder: int | None = None, flags: int = 0) -> int:
    try:
        return os.open(path, _OPEN | flags, dir_fd=folder)
    except OSError as error:
        _refuse(error, where)


def _open_inside(root: Path, relative: str, where: str) -> FileIO:
    fault = path_fault(relative, bundle=False)
    if fault:
        raise InputError.one("path-not-allowed", where, reason=fault)
    if os.open not in os.supports_dir_fd:
        return opened(root / relative, where)
    *folders, name = relative.split("/")
    try:
        here = os.open(root, os.O_RDONLY | _FOLDER)
    except OSError as error:
        _refuse(error, str(root))
    try:
        for part in folders:
            below = _handle(part, where, here, _FOLDER)
            os.close(here)
            here = below
        return opened(name, where, here)
    finally:
        os.close(here)


def _refuse(error: OSError, where: str) -> NoReturn:
    code = _CODES.get(error.errno or 0, "file-unreadable")
    parameters = {"reason": reason(error)} if code == "file-unreadable" else {}
    raise InputError((Problem(code, where, "", parameters),)) from error


def reason(error: OSError) -> str:
    """The system's own name of an error: ``EACCES``."""
    return errno.errorcode.get(error.errno or 0, "unknown")


def _read(source: FileIO, where: str, cap: int) -> bytes:
    size = os.fstat(source.fileno()).st_size
    if size <= cap:
        data = bytearray()
        # one byte more than the cap tells a file that grew while it was read
        while len(data) <= cap and (part := source.read(min(cap + 1 - len(data), BLOCK * 8))):
            data += part
        if len(data) <= cap:
            return bytes(data)
        size = len(data)
    raise InputError.one("file-too-large", where, found=str(size), limit=str(cap))


def digested(source: FileIO, where: str, copy: Callable[[memoryview], object] | None = None) -> FileDigest:
    """Digest and size of what can still be read; every block is handed to ``copy`` as well.

    Raises:
        InputError: the file could not be read, or ``copy`` not write.
    """
    hasher, size = hashlib.sha256(), 0
    with memoryview(_own.buffer) as view:
        try:
            while count := source.readinto(view):
                hasher.update(view[:count])
                size += count
                if copy is not None:
                    copy(view[:count])
        except OSError as error:
            _refuse(error, where)
    return FileDigest(hasher.hexdigest(), size)
