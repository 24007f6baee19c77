"""Write a bag to a folder and look at one that lies there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from evidence import files, jsondoc
from evidence.errors import InputError, Problem, UsageError
from evidence.seal import layout, leaves
from evidence.seal.layout import FileDigest
from evidence.seal.public_key import read_public_key
from evidence.seal.sign import SealRequest, Sign, tag_files

RECIPE_TEMPLATE = ("pages", "VERIFY.txt.j2")
PACKED = (".zip", ".tar", ".gz", ".tgz", ".bz2", ".xz", ".7z", ".rar")
MAX_BELOW = 2  # folders between the one that was named and one that holds bags
MAX_FOLDERS = 2_000  # folders that are looked into for bags
_MODE = 0o444  # a published bag is only read


@dataclass(frozen=True)
class Written:
    """A published bag.

    Attributes:
        path: its folder.
        tagmanifest: SHA-256 of the signed list: the bag's own name in a chain.
        payload: every ``data/`` file with digest and size.
    """

    path: Path
    tagmanifest: str
    payload: Mapping[str, FileDigest]


def write_bundle(
    target: Path,
    content: Mapping[str, bytes | Path],
    request: SealRequest,
    sign: Sign,
    expected: Mapping[str, str] | None = None,
) -> Written:
    """Write, seal and publish a bag; a reader sees the whole of it or nothing.

    Args:
        target: the bag's folder, which must not exist; its parents are made.
        content: ``data/`` path to bytes, or to a file that is copied.
        request: what the bag says of itself.
        sign: ECDSA P-256 with SHA-256, DER.
        expected: digests that copied files must still have.

    Raises:
        UsageError: bundle-exists.
        InputError: a source cannot be read, or source-changed where its digest is another one by now.
        ValueError: a payload that the strict verifier would refuse.
    """
    try:
        with files.publishing(target) as folder:
            return Written(target, *_fill(folder, content, request, sign, expected or {}))
    except FileExistsError as error:
        raise UsageError.one("bundle-exists", str(target)) from error


def _fill(
    folder: Path,
    content: Mapping[str, bytes | Path],
    request: SealRequest,
    sign: Sign,
    expected: Mapping[str, str],
) -> tuple[str, dict[str, FileDigest]]:
    payload = {path: _write(folder / path, content[path]) for path in sorted(content)}
    changed = [path for path in sorted(expected) if payload[path].sha256 != expected[path]]
    if changed:
        raise InputError(Problem("source-changed", str(content[path])) for path in changed)
    tags = tag_files(payload, item_kinds(content), request, recipe(request.public_pem), sign)
    for path, data in sorted(tags.items()):
        _write(folder / path, data)
    return jsondoc.digest(tags[layout.TAG_SUMS_PATH]), payload


def _write(target: Path, source: bytes | Path) -> FileDigest:
    files.make_folder(target.parent)
    if isinstance(source, bytes):
        return files.write_new(target, source, mode=_MODE)
    return files.copy_file(source, target, mode=_MODE)


def item_kinds(content: Mapping[str, bytes | Path]) -> dict[str, str]:
    """Exhibit id to kind, from the item files among the content."""
    return leaves.kinds_of(
        {
            path: jsondoc.decode(data, path)
            for path, data in content.items()
            if path.startswith(leaves.ITEMS) and isinstance(data, bytes)
        }
    )


def recipe(public_pem: bytes) -> bytes:
    """VERIFY.txt: how to check this bag with ordinary programs; of the bag it names only the key's id."""
    import jinja2  # noqa: PLC0415 - looking at a bag needs no templates

    source = files.packaged("templates", *RECIPE_TEMPLATE).read_text(encoding="utf-8")
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        keep_trailing_newline=True,
        autoescape=False,  # noqa: S701 - plain text
    )
    key = read_public_key(public_pem, layout.KEY_PATH).id
    return environment.from_string(source).render(key=key).encode("ascii")


class FolderView:
    """A bag in a folder, listed once, read without following links."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._tree = files.list_tree(root, bundle=True)

    @property
    def sizes(self) -> Mapping[str, int]:
        """Regular files, relative path to bytes."""
        return self._tree.sizes

    @property
    def empty_folders(self) -> Sequence[str]:
        """Folders that hold nothing."""
        return self._tree.empty_folders

    @property
    def problems(self) -> Sequence[Problem]:
        """What the listing found."""
        return self._tree.problems

    def digests(self, paths: Sequence[str]) -> Mapping[str, str]:
        """SHA-256 of each file, computed on two threads."""
        return {path: each.sha256 for path, each in files.sha256_inside(self.root, paths).items()}

    def read(self, path: str, cap: int) -> bytes:
        """Bytes of one file of at most ``cap`` bytes."""
        return files.read_inside(self.root, path, cap)


def open_view(path: Path) -> FolderView:
    """Look at a bag.

    Raises:
        InputError: bundle-missing where there is no folder, bundle-packed where there is an archive.
    """
    if not files.is_folder(path):
        packed = files.is_file(path) and path.suffix.lower() in PACKED
        raise InputError.one("bundle-packed" if packed else "bundle-missing", str(path))
    return FolderView(path)


def is_bag(folder: Path) -> bool:
    """Whether a folder says that it is a bag."""
    return files.is_there(folder / layout.BAGIT_PATH)


def was_bag(folder: Path) -> bool:
    """Whether a folder is a bag, or one that lost its first file."""
    return is_bag(folder) or files.is_there(folder / layout.SUMS_PATH)


def bags_below(folder: Path) -> tuple[Path, ...]:
    """Bags at most three folders down, sorted; folders that cannot be read are passed over."""
    found: list[Path] = []
    waiting, looked_at = [(folder, 0)], 0
    while waiting and looked_at < MAX_FOLDERS:
        here, depth = waiting.pop()
        looked_at += 1
        try:
            below = [here / name for name in files.names_in(here)]
            bags = {each for each in below if is_bag(each)}
        except InputError:
            continue
        found += bags
        if depth < MAX_BELOW:
            waiting += [(each, depth + 1) for each in below if each not in bags and not each.is_symlink()]
    return tuple(sorted(found))
