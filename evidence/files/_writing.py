"""Writing: whole files and whole folders or nothing, locks, and no place taken from anybody."""

import ctypes
import errno
import hashlib
import os
import re
import shutil
import stat
import sys
import tempfile
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path

from evidence.errors import InputError, Problem, SillmarkError, UsageError, printable
from evidence.files._reading import digested, opened, reason
from evidence.seal.layout import FileDigest

SYNC_THREADS = 8  # waiting for the disk, not computing
_RENAME_NOREPLACE = 1
_AT_FDCWD = -100


def copy_file(source: Path, target: Path, *, mode: int = 0o644) -> FileDigest:
    """Copy a regular file to a new path and return the digest of what was written; does not wait for the disk.

    Raises:
        InputError: as ``read_capped``, or file-unwritable.
        UsageError: file-exists.
    """
    with (
        opened(source, str(source)) as given,
        os.fdopen(_create(target, mode), "wb", buffering=0) as sink,
    ):
        return digested(given, str(source), lambda block: _write_all(sink.fileno(), block, target))


def write_new(target: Path, data: bytes, *, mode: int = 0o644) -> FileDigest:
    """Write bytes to a new path inside a folder that is not yet published; does not wait for the disk.

    Raises:
        InputError: file-unwritable.
        UsageError: file-exists.
    """
    with os.fdopen(_create(target, mode), "wb", buffering=0) as sink:
        _write_all(sink.fileno(), memoryview(data), target)
    return FileDigest(hashlib.sha256(data).hexdigest(), len(data))


def _create(target: Path, mode: int) -> int:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
    try:
        return os.open(target, flags, mode)
    except FileExistsError as error:
        raise UsageError.one("file-exists", str(target)) from error
    except OSError as error:
        raise _unwritable(error, target) from error


def _write_all(handle: int, data: memoryview, target: Path) -> None:
    try:
        while len(data):
            data = data[os.write(handle, data) :]
    except OSError as error:
        raise _unwritable(error, target) from error


def _unwritable(error: OSError, target: Path) -> InputError:
    return InputError((Problem("file-unwritable", str(target), "", {"reason": reason(error)}),))


def require_writable(path: Path) -> None:
    """Refuse a file that its owner has closed to writing; replacing it would go around that.

    Raises:
        InputError: file-read-only.
    """
    try:
        mode = path.stat().st_mode
    except OSError:
        return  # what is not there yet is asked of its folder
    if not mode & 0o222 or not os.access(path, os.W_OK):
        raise InputError.one("file-read-only", str(path))


def write_file(path: Path, data: bytes, *, overwrite: bool = False, mode: int | None = None) -> None:
    """Write a whole file or none: temporary sibling, fsync, replace, fsync of the folder.

    Args:
        path: the file.
        data: its whole content.
        overwrite: whether it may be there already.
        mode: access bits; else those of the file that is replaced, or 0644 for a new one.

    Raises:
        UsageError: file-exists, unless ``overwrite``.
        InputError: file-unwritable, or file-read-only.
    """
    if overwrite:
        require_writable(path)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        temporary = Path(name)
        try:
            with os.fdopen(handle, "wb") as sink:
                sink.write(data)
                sink.flush()
                os.fchmod(sink.fileno(), _mode(path) if mode is None else mode)
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
        raise _unwritable(error, path) from error


def _mode(path: Path) -> int:
    try:
        return stat.S_IMODE(path.stat(follow_symlinks=False).st_mode)
    except FileNotFoundError:
        return 0o644


def make_folder(folder: Path, *, mode: int = 0o777) -> tuple[Path, ...]:
    """Make a folder, with these access bits, and its parents where they are missing.

    Returns:
        The folders that were made, outermost first.

    Raises:
        InputError: file-unwritable.
    """
    made: list[Path] = []
    try:
        for each in (*reversed(folder.parents), folder):
            with suppress(FileExistsError):
                if not each.is_dir():
                    each.mkdir(mode=mode if each == folder else 0o777)
                    made.append(each)
        if not folder.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    except OSError as error:
        _take_back(made)
        raise _unwritable(error, folder) from error
    return tuple(made)


def _take_back(made: Iterable[Path]) -> None:
    """Remove folders that were made for nothing, unless somebody else put something there."""
    for folder in reversed(tuple(made)):
        with suppress(OSError):
            folder.rmdir()


@contextmanager
def publishing(target: Path) -> Iterator[Path]:
    """A temporary sibling folder that becomes ``target`` when the block ends without an error.

    1. remove what a killed run left of the same; 2. make the sibling; 3. the caller writes; 4. everything reaches
    the disk; 5. rename, never over something; 6. the parent reaches the disk. A reader sees the whole folder or none.

    Raises:
        FileExistsError: the target exists.
        InputError: file-unwritable.
    """
    if os.path.lexists(target):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target))
    made = make_folder(target.parent)
    try:
        with _sibling(target) as temporary:
            with _named(temporary, target):
                yield temporary
            _sync_tree(temporary)
            temporary.chmod(0o755)
            rename_new(temporary, target)
            _sync(target.parent)
    except FileExistsError:
        raise
    except OSError as error:
        raise _unwritable(error, target) from error
    finally:
        if not os.path.lexists(target):
            _take_back(made)


@contextmanager
def _named(temporary: Path, target: Path) -> Iterator[None]:
    """What goes wrong below the temporary folder is told of the one that people know."""
    try:
        yield
    except SillmarkError as error:
        here, there = printable(str(temporary)), printable(str(target))
        moved = [
            Problem(each.code, there + each.where.removeprefix(here), each.pointer, each.parameters)
            if each.where.startswith(here)
            else each
            for each in error.problems
        ]
        raise type(error)(moved) from error


@contextmanager
def _sibling(target: Path) -> Iterator[Path]:
    """A new folder beside the target, locked as long as this process lives, and gone when the block ends."""
    with _folder_lock(target.parent) as locked:
        if locked:
            _remove_leftovers(target)
        temporary = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
        own = _try_lock(temporary) if locked else None
    try:
        yield temporary
    finally:
        shutil.rmtree(temporary, ignore_errors=True)
        if own is not None:
            os.close(own)


def _remove_leftovers(target: Path) -> None:
    """Remove folders of our own naming whose maker no longer runs: they hold what should have become the target."""
    name = re.compile(rf"\.{re.escape(target.name)}\.[a-z0-9_]{{8}}")
    for path in sorted(path for path in target.parent.iterdir() if name.fullmatch(path.name)):
        handle = _try_lock(path)
        if handle is not None:
            shutil.rmtree(path, ignore_errors=True)
            os.close(handle)


@contextmanager
def _folder_lock(folder: Path) -> Iterator[bool]:
    """Hold a folder itself, which leaves no lock file behind; False where the file system cannot."""
    handle = _try_lock(folder.resolve(), wait=True)
    try:
        yield handle is not None
    finally:
        if handle is not None:
            os.close(handle)


def _try_lock(folder: Path, *, wait: bool = False) -> int | None:
    """Lock a folder; None where another process holds it, or it is none, or folders cannot be locked here."""
    if sys.platform == "win32":
        return None
    import fcntl  # noqa: PLC0415 - absent on Windows

    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    except OSError:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError:
        os.close(handle)
        return None
    return handle


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
    """Hold a lock file; the system releases it when the process ends, however it ends.

    Raises:
        InputError: file-unwritable.
    """
    try:
        handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    except OSError as error:
        raise _unwritable(error, lock) from error
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
