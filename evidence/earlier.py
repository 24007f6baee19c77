"""Photos of bundles that were sealed before, compared with those of a job by the bits that their items hold.

Nothing is opened but small JSON documents, so a redacted disclosure serves as well as the whole. Signatures are not
looked at: what is told here sends a person to look, and ``verify`` says whether a bundle stands.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import ValidationError

from evidence import bundle, files, jsondoc
from evidence.errors import InputError, Problem
from evidence.likenesses import ALIKE_ELSEWHERE, Picture, pair_code, pictures
from evidence.model.exhibit import Item
from evidence.model.manifest import Manifest
from evidence.model.seal import SEAL_PATH, Seal
from evidence.seal import layout, leaves

MAX_BUNDLES = 1_000  # of one call; a small builder's work of some years
MAX_PHOTOS = 20_000  # of all of them
SENTENCES = {
    "alike-elsewhere": "alike-sealed",
    "alike-same-file-elsewhere": "alike-same-file-sealed",
}
"""What is told of a pair in two jobs, to what is told where one of them is sealed."""


@dataclass(frozen=True)
class SealedPicture:
    """A photo of a sealed bundle.

    Attributes:
        picture: job, exhibit and likeness.
        day: on which the bundle says it was sealed.
    """

    picture: Picture
    day: str


@dataclass(frozen=True)
class Earlier:
    """What lies below some folders: photos of bundles, how many bundles gave them, and what was passed over, and why."""

    pictures: Sequence[SealedPicture] = ()
    bundles: int = 0
    passed: Sequence[Problem] = field(default_factory=tuple)


@dataclass(frozen=True)
class Repeated:
    """A photo of a job and one of an earlier bundle that looks nearly the same; ``code`` says which sentence fits."""

    code: str
    picture: Picture
    earlier: SealedPicture

    @property
    def parameters(self) -> dict[str, str]:
        """For the sentence."""
        one, other = self.picture, self.earlier.picture
        named = {"job": one.job, "exhibit": one.exhibit, "other": other.exhibit, "other_job": other.job}
        return {**named, "day": self.earlier.day}


def sealed(folders: Iterable[Path]) -> Earlier:
    """Photos of the bundles in some folders, or of a folder that is a bundle itself.

    Codes of what was passed over: earlier-none, earlier-unreadable, earlier-many.

    Args:
        folders: looked into at most three folders down, each bundle once.

    Raises:
        InputError: folder-missing.
    """
    found: list[SealedPicture] = []
    passed: list[Problem] = []
    bags: dict[Path, Path] = {}  # by where they really lie, as they were named
    for folder in folders:
        files.names_in(folder)  # says so where there is no such folder
        here = (folder,) if bundle.was_bag(folder) else bundle.bags_below(folder)
        passed += [] if here else [Problem("earlier-none", str(folder))]
        bags = {each.resolve(): each for each in here} | bags
    read = 0
    for _, bag in sorted(bags.items()):
        if read == MAX_BUNDLES or len(found) >= MAX_PHOTOS:
            passed.append(Problem("earlier-many", str(bag), "", {"count": str(read)}))
            break
        try:
            found += _of_bundle(bag)
        except (InputError, ValidationError, LookupError) as error:
            code = error.problems[0].code if isinstance(error, InputError) else "shape"
            passed.append(Problem("earlier-unreadable", str(bag), "", {"cause": code}))
            continue
        read += 1
    return Earlier(found, read, passed)


def _of_bundle(root: Path) -> list[SealedPicture]:
    view = bundle.open_view(root)
    manifest = Manifest.read(_json(view, layout.MANIFEST_PATH))
    day = Seal.read(_json(view, SEAL_PATH)).issued[:10]
    items: dict[str, Item] = {}
    for path in sorted(view.sizes):
        if path.startswith(leaves.ITEMS):
            item = Item.read(_json(view, path))
            items[item.id] = item
    return [SealedPicture(each, day) for each in pictures(manifest.job, items)]


def _json(view: bundle.FolderView, path: str) -> jsondoc.Json:
    return jsondoc.decode(view.read(path, jsondoc.MAX_BYTES), path)


def repeated(found: Iterable[Picture], earlier: Sequence[SealedPicture]) -> list[Repeated]:
    """For each photo the nearest one of another job's bundles that it looks like; of equally near ones the oldest.

    A job's own bundles are left out: they hold its photos, and should.

    Args:
        found: photos of jobs, as they are told.
        earlier: photos of bundles.
    """
    bits = [int(each.picture.likeness, 16) for each in earlier]
    told = []
    for picture in found:
        own = int(picture.likeness, 16)
        # thousands of photos on each side make millions of pairs: only those that are near are looked at any further
        near = [at for at, other in enumerate(bits) if (own ^ other).bit_count() <= ALIKE_ELSEWHERE]
        pairs = [
            Repeated(SENTENCES[code], picture, earlier[at])
            for at in sorted(near, key=lambda at: _order((own ^ bits[at]).bit_count(), earlier[at]))
            if earlier[at].picture.job != picture.job
            if (code := pair_code(picture, earlier[at].picture, within=False))
        ]
        told += pairs[:1]
    return told


def _order(distance: int, one: SealedPicture) -> tuple[int, str, str, str]:
    return distance, one.day, one.picture.job, one.picture.exhibit
