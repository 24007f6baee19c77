"""Packs that ship with the program and packs of a job folder, by reference."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from evidence import files
from evidence.errors import InputError, Problem, SillmarkError
from evidence.record.reader import PackText, read_pack
from evidence.register.editions import Editions, read_editions

MAX_PACK = 1024 * 1024  # bytes; the longest pack that ships has about thirty thousand
SHIPPED = Path(__file__).resolve().parent / "register" / "packs"


@dataclass(frozen=True)
class LoadedPack:
    """A pack with the bytes it was read from."""

    text: PackText
    data: bytes

    @property
    def reference(self) -> str:
        """``id@version``."""
        return self.text.pack.reference


@lru_cache
def shipped(reference: str) -> LoadedPack | None:
    """A pack that ships with the program, or None."""
    if reference not in shipped_references():  # a reference is no path: none leads out of the folder
        return None
    path = SHIPPED / f"{reference}.yaml"
    return load(path, path.name)


def shipped_references() -> tuple[str, ...]:
    """References of all packs that ship, sorted."""
    return tuple(sorted(path.stem for path in SHIPPED.glob("*.yaml")))


@lru_cache
def editions() -> Editions:
    """The register of editions that ships with the program."""
    path = SHIPPED.parent / "editions.yaml"
    return read_editions(files.read_capped(path, MAX_PACK), path.name)


def own(folder: Path) -> dict[str, LoadedPack]:
    """Packs of a job folder's ``packs/``, by reference.

    Raises:
        InputError: with every problem of every pack, or pack-twice.
    """
    if not files.is_folder(folder):
        return {}
    loaded: dict[str, LoadedPack] = {}
    problems: list[Problem] = []
    for name in sorted(path for path in files.list_tree(folder).sizes if path.endswith(".yaml")):
        try:
            pack = load(folder / name, str(folder / name))
        except SillmarkError as error:
            problems.extend(error.problems)
            continue
        if pack.reference in loaded:
            problems.append(Problem("pack-twice", str(folder / name), "/id", {"found": pack.reference}))
        loaded[pack.reference] = pack
    if problems:
        raise InputError(problems)
    return loaded


def find(references: Iterable[str], job_packs: dict[str, LoadedPack]) -> dict[str, LoadedPack]:
    """The packs of those references that there are: a job's own first, then shipped ones; the rest is left out."""
    found: dict[str, LoadedPack] = {}
    for reference in references:
        pack = job_packs.get(reference) or shipped(reference)
        if pack is not None:
            found[reference] = pack
    return found


def load(path: Path, where: str) -> LoadedPack:
    """A pack of a file.

    Args:
        path: the file.
        where: its name in messages.

    Raises:
        InputError: as reading a file does, and with every problem of the text and of its shape.
    """
    data = files.read_capped(path, MAX_PACK)
    return LoadedPack(read_pack(data, where), data)
