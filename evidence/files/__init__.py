"""The file system: the only stage that opens paths for the rest.

Nothing here follows a symbolic link below the folder it was given, reads without a cap, or leaves half a file.
"""

import errno
from pathlib import Path
from typing import Literal

from evidence.files._reading import (
    BLOCK,
    MAX_ENTRIES,
    Tree,
    files_in,
    is_file,
    is_folder,
    is_there,
    list_tree,
    names_in,
    read_capped,
    read_inside,
    sha256_file,
    sha256_inside,
)
from evidence.files._writing import (
    copy_file,
    exclusive,
    make_folder,
    publishing,
    rename_new,
    require_writable,
    write_file,
    write_new,
)

__all__ = [
    "BLOCK",
    "MAX_ENTRIES",
    "Tree",
    "copy_file",
    "exclusive",
    "files_in",
    "is_file",
    "is_folder",
    "is_there",
    "list_tree",
    "make_folder",
    "names_in",
    "packaged",
    "publishing",
    "read_capped",
    "read_inside",
    "rename_new",
    "require_writable",
    "sha256_file",
    "sha256_inside",
    "write_file",
    "write_new",
]


def packaged(kind: Literal["schemas", "templates"], *parts: str) -> Path:
    """Path of data that ships with the program: inside the package of a wheel, beside it in a checkout.

    Raises:
        FileNotFoundError: the installation lacks it.
    """
    package = Path(__file__).resolve().parents[1]
    for root in (package / "_data" / kind, package.parent / kind):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(errno.ENOENT, "packaged data is missing", f"{kind}/{'/'.join(parts)}")
