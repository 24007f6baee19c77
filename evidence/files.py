"""The file system: the only module that opens paths for the rest.

Nothing here follows a symbolic link below the folder it was given, reads without a cap, or leaves half a file.
"""

import ctypes
import errno
import hashlib
import os
import shutil
import stat
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from io import FileIO
from pathlib import Path
from typing import Literal, NoReturn

from evidence.errors import InputError, Problem, UsageError
from evidence.seal.layout import FileDigest
from evidence.seal.paths import path_fault, path_problems, shown

BLOCK = 1024 * 1024  # bytes read at once
HASH_THREADS = 2  # more gain nothing on common disks
SYNC_THREADS = 8  # waiting for the disk, not computing
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
_FOLDER = getattr(os, "O_DIRECTORY", 0)
_RENAME_NOREPLACE = 1
_AT_FDCWD = -100


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


def list_tree(root: Path, *, bundle: bool = False) -> Tree:
    """List an existing folder without following links; in a ``bundle`` names hold to ``A-Za-z0-9._-``.

    Raises:
        InputError: folder-missing or file-unreadable.
    """
    sizes: dict[str, int] = {}
    empty: list[str] = []
    problems: list[Problem] = []
    folders, seen = [""], 0
    while folders:
        folder = folders.pop()
        entries = _scan(root, folder)
        seen += len(entries)
        if seen > MAX_ENTRIES or folder.count("/") > MAX_DEPTH:
            problems.append(Problem("tree-too-large", shown(folder) or ".", "", {"limit": str(MAX_ENTRIES)}))
            break
        if folder and not entries:
            empty.append(folder[:-1])
        for entry in entries:
            _sort_in(folder + entry.name, entry, sizes, folders, problems)
    problems += path_problems(sizes, bundle=bundle) + path_problems(empty, bundle=bundle)
    return Tree(dict(sorted(sizes.items())), tuple(sorted(empty)), tuple(sorted(problems, key=Problem.order)))


def _scan(root: Path, folder: str) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(root / folder) as entries:
            return sorted(entries, key=lambda entry: entry.name)
    except (FileNotFoundError, NotADirectoryError) as error:
        raise InputError.one("folder-missing", str(root / folder)) from error
    except OSError as error:
        raise InputError.one("file-unreadable", str(root / folder), reason=_reason(error)) from error


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


def read_capped(path: Path, cap: int) -> bytes:
    """Read a regular file of at most ``cap`` bytes; a link as last part of the path is refused.

    Raises:
        InputError: file-absent, file-symlink, file-not-regular, file-too-large or file-unreadable.
    """
    with _open(path, str(path)) as source:
        return _read(source, str(path), cap)


def read_inside(root: Path, relative: str, cap: int) -> bytes:
    """The same for a path below a folder; no part of it may be a link, even one swapped in meanwhile."""
    with _open_inside(root, relative) as source:
        return _read(source, relative, cap)


def sha256_file(path: Path) -> FileDigest:
    """Digest and size of a regular file; raises as ``read_capped``."""
    with _open(path, str(path)) as source:
        return _digest(source, str(path))


def sha256_inside(root: Path, paths: Sequence[str]) -> dict[str, FileDigest]:
    """Digests of files below a folder, on two threads, in the given order; no part of a path may be a link."""
    if len(paths) <= 1:
        return {path: _sha256_inside(root, path) for path in paths}
    with ThreadPoolExecutor(HASH_THREADS) as threads:
        return dict(zip(paths, threads.map(lambda path: _sha256_inside(root, path), paths), strict=True))


def _sha256_inside(root: Path, relative: str) -> FileDigest:
    with _open_inside(root, relative) as source:
        return _digest(source, relative)


def _open(path: Path | str, where: str, folder: int | None = None) -> FileIO:
    handle = _handle(path, where, folder)
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise InputError.one("file-not-regular", shown(where))
    return os.fdopen(handle, "rb", buffering=0)


def _handle(path: Path | str, where: str, folder: int | None = None, flags: int = 0) -> int:
    try:
        return os.open(path, _OPEN | flags, dir_fd=folder)
    except OSError as error:
        _refuse(error, where)


def _open_inside(root: Path, relative: str) -> FileIO:
    fault = path_fault(relative, bundle=False)
    if fault:
        raise InputError.one("path-not-allowed", shown(relative), reason=fault)
    if os.open not in os.supports_dir_fd:
        return _open(root / relative, relative)
    *folders, name = relative.split("/")
    try:
        here = os.open(root, os.O_RDONLY | _FOLDER)
    except OSError as error:
        _refuse(error, str(root))
    try:
        for part in folders:
            below = _handle(part, relative, here, _FOLDER)
            os.close(here)
            here = below
        return _open(name, relative, here)
    finally:
        os.close(here)


def _refuse(error: OSError, where: str) -> NoReturn:
    code = _CODES.get(error.errno or 0, "file-unreadable")
    parameters = {"reason": _reason(error)} if code == "file-unreadable" else {}
    raise InputError((Problem(code, shown(where), "", parameters),)) from error


def _reason(error: OSError) -> str:
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
    raise InputError.one("file-too-large", shown(where), found=str(size), limit=str(cap))


def _digest(source: FileIO, where: str, copy: Callable[[memoryview], object] | None = None) -> FileDigest:
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


def copy_file(source: Path, target: Path, *, mode: int = 0o644) -> FileDigest:
    """Copy a regular file to a new path and return the digest of what was written; does not wait for the disk.

    Raises:
        InputError: as ``read_capped``, or file-unwritable.
        UsageError: file-exists.
    """
    with (
        _open(source, str(source)) as opened,
        os.fdopen(_create(target, mode), "wb", buffering=0) as sink,
    ):
        return _digest(opened, str(source), lambda block: _write_all(sink.fileno(), block))


def write_new(target: Path, data: bytes, *, mode: int = 0o644) -> FileDigest:
    """Write bytes to a new path inside a folder that is not yet published; does not wait for the disk.

    Raises:
        InputError: file-unwritable.
        UsageError: file-exists.
    """
    with os.fdopen(_create(target, mode), "wb", buffering=0) as sink:
        _write_all(sink.fileno(), memoryview(data))
    return FileDigest(hashlib.sha256(data).hexdigest(), len(data))


def _create(target: Path, mode: int) -> int:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
    try:
        return os.open(target, flags, mode)
    except FileExistsError as error:
        raise UsageError.one("file-exists", str(target)) from error
    except OSError as error:
        raise InputError.one("file-unwritable", str(target), reason=_reason(error)) from error


def _write_all(handle: int, data: memoryview) -> None:
    while len(data):
        data = data[os.write(handle, data) :]


def write_file(path: Path, data: bytes, *, overwrite: bool = False, mode: int = 0o644) -> None:
    """Write a whole file or none: temporary sibling, fsync, replace, fsync of the folder.

    Raises:
        UsageError: file-exists, unless ``overwrite``.
        InputError: file-unwritable.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        temporary = Path(name)
        try:
            with os.fdopen(handle, "wb") as sink:
                sink.write(data)
                sink.flush()
                os.fchmod(sink.fileno(), mode)
                os.fsync(sink.fileno())
            if overwrite:
                temporary.replace(path)
            else:
                rename_new(temporary, path)
        finally:
            temporary.unlink(missing_ok=True)
        _sync(path.parent)
    except FileExistsError as error:
        raise UsageError.one("file-exists", str(path)) from error
    except OSError as error:
        raise InputError.one("file-unwritable", str(path), reason=_reason(error)) from error


@contextmanager
def publishing(target: Path) -> Iterator[Path]:
    """A temporary sibling folder that becomes ``target`` when the block ends without an error.

    1. make the sibling; 2. the caller writes; 3. everything reaches the disk; 4. rename, never over something;
    5. the parent reaches the disk. A reader sees the whole folder or none.

    Raises:
        FileExistsError: the target exists.
        InputError: file-unwritable.
    """
    if os.path.lexists(target):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        temporary = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    except OSError as error:
        raise InputError.one("file-unwritable", str(target), reason=_reason(error)) from error
    try:
        yield temporary
        _sync_tree(temporary)
        temporary.chmod(0o755)
        rename_new(temporary, target)
        _sync(target.parent)
    finally:
        shutil.rmtree(temporary, ignore_errors=True)


def rename_new(source: Path, target: Path) -> None:
    """Rename a file or folder to a name that must be free, also against another process.

    Raises:
        FileExistsError: the name is taken.
    """
    if _rename_noreplace(source, target):
        return
    with exclusive(target.parent / f".{target.name}.lock"):
        if os.path.lexists(target):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target))
        source.rename(target)


def _rename_noreplace(source: Path, target: Path) -> bool:
    """Ask Linux to rename without replacing; False where kernel or file system cannot."""
    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    if rename(_AT_FDCWD, os.fsencode(source), _AT_FDCWD, os.fsencode(target), _RENAME_NOREPLACE) == 0:
        return True
    code = ctypes.get_errno()
    if code in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    raise OSError(code, os.strerror(code), str(target))


@contextmanager
def exclusive(lock: Path) -> Iterator[None]:
    """Hold a lock file; the system releases it when the process ends, however it ends."""
    handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    try:
        if sys.platform != "win32":
            import fcntl  # noqa: PLC0415 - absent on Windows

            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _sync_tree(root: Path) -> None:
    with ThreadPoolExecutor(SYNC_THREADS) as threads:
        list(threads.map(_sync, (root, *sorted(root.rglob("*")))))


def _sync(path: Path) -> None:
    if sys.platform == "win32" and path.is_dir():
        return  # a folder cannot be opened there
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def packaged(kind: Literal["schemas", "templates"], *parts: str) -> Path:
    """Path of data that ships with the program: inside the package of a wheel, beside it in a checkout.

    Raises:
        FileNotFoundError: the installation lacks it.
    """
    package = Path(__file__).resolve().parent
    for root in (package / "_data" / kind, package.parent / kind):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(errno.ENOENT, "packaged data is missing", f"{kind}/{'/'.join(parts)}")
