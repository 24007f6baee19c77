"""Archives looked into without unpacking them to anywhere: names and sizes first, then the members that are wanted."""

import io
import zipfile
import zlib
from collections.abc import Callable, Iterator, Sequence

from evidence.exhibits._answer import quoted, refuse

MAX_ARCHIVE = 256 * 1024 * 1024  # bytes of the archive; films make sets large
MAX_MEMBERS = 5000
MAX_MEMBER = 64 * 1024 * 1024  # bytes of one member that is read
MAX_READ = 256 * 1024 * 1024  # bytes of all members that are read
MAX_NAME = 200  # characters of a member's path
MAX_DEPTH = 8  # folders in it
RATIO_FROM = (
    8 * 1024 * 1024
)  # bytes unpacked; a dead channel's zeros pack a thousandfold as well, but are few
MAX_RATIO = 200  # unpacked to packed, above that size

Files = Sequence[tuple[str, bytes]]
"""Path with ``/`` and content."""


def is_archive(data: bytes) -> bool:
    """Whether the bytes begin as a zip archive does."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06"))


def members(data: bytes, where: str, wanted: Callable[[str], bool]) -> list[tuple[str, bytes]]:
    """The wanted members of a zip archive, by name.

    Args:
        data: the whole archive.
        where: name for messages.
        wanted: says of a path whether its member is read; the others are only counted.

    Raises:
        InputError: archive-too-large, archive-too-many, archive-name, archive-name-twice, archive-password,
            archive-ratio or archive-damaged.
    """
    if len(data) > MAX_ARCHIVE:
        refuse("archive-too-large", where, found=str(len(data)), limit=str(MAX_ARCHIVE))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            listed = list(_listed(archive, where))
            read = [(name, one) for name, one in listed if wanted(name)]
            _check_sizes([one for _, one in read], where)
            return sorted((name, _content(archive, one, where)) for name, one in read)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, ValueError, OSError):
        refuse("archive-damaged", where)


def packed(files: Files) -> bytes:
    """Files as one archive, so that a folder takes the same way into the guard's child and can be filed.

    Not compressed and without times, owner or system, so that the bytes follow from names and contents alone.
    """
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for name, content in files:
            one = zipfile.ZipInfo(name)
            one.create_system = 3  # else it says on which system it was packed
            archive.writestr(one, content)
    return target.getvalue()


def _listed(archive: zipfile.ZipFile, where: str) -> Iterator[tuple[str, zipfile.ZipInfo]]:
    """Every file with its path; a backslash stands for ``/``, as some programs write it."""
    infos = archive.infolist()
    if len(infos) > MAX_MEMBERS:
        refuse("archive-too-many", where, found=str(len(infos)), limit=str(MAX_MEMBERS))
    seen: set[str] = set()
    for one in infos:
        name = one.filename.replace("\\", "/")
        if _is_odd(name):
            refuse("archive-name", where, found=quoted(name))
        if name.endswith("/"):
            continue
        if name.casefold() in seen:
            refuse("archive-name-twice", where, found=quoted(name))  # two readers could take different ones
        seen.add(name.casefold())
        if one.flag_bits & 1:
            refuse("archive-password", where)
        yield name, one


def _is_odd(name: str) -> bool:
    parts = name.removesuffix("/").split("/")
    outside = any(part in ("", ".", "..") for part in parts) or ":" in parts[0]
    return outside or len(name) > MAX_NAME or len(parts) > MAX_DEPTH + 1 or not name.isprintable()


def _check_sizes(infos: Sequence[zipfile.ZipInfo], where: str) -> None:
    whole = sum(one.file_size for one in infos)
    small = sum(one.compress_size for one in infos)
    largest = max((one.file_size for one in infos), default=0)
    if whole > MAX_READ or largest > MAX_MEMBER:
        refuse("archive-too-large", where, found=str(max(whole, largest)), limit=str(MAX_MEMBER))
    if whole > RATIO_FROM and whole > MAX_RATIO * small:
        refuse("archive-ratio", where, found=str(whole), packed=str(small))


def _content(archive: zipfile.ZipFile, one: zipfile.ZipInfo, where: str) -> bytes:
    """One member; a size that lies is found because no more than the size is read, and the sum is checked."""
    with archive.open(one) as source:
        content = source.read(one.file_size + 1)
    if len(content) != one.file_size:
        refuse("archive-damaged", where)
    return content
