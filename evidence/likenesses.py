"""Photos that are nearly one another: told while filing and checking, never part of a manifest.

Whether two pictures are one motif taken again, or one file saved again, a program cannot know; a person looks.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from evidence import files, jobs
from evidence.errors import MissingToolError, SillmarkError
from evidence.exhibits import Reader
from evidence.exhibits.likeness import ALIKE, is_flat, likeness_distance
from evidence.exhibits.reading import read
from evidence.model.exhibit import Item

ALIKE_ELSEWHERE = 24  # bits of 256; two vehicles of one build, seen from the same spot, came as near as 28
MAX_EXHIBIT = 64 * 1024 * 1024  # bytes; the readers have tighter caps of their own


@dataclass(frozen=True)
class Picture:
    """A photo of a job, with the bits that tell how it looks, and what its codes say as far as they were read."""

    job: str
    exhibit: str
    sha256: str
    likeness: str
    codes: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Alike:
    """A photo and an earlier one that looks nearly the same; ``code`` says which of the sentences fits."""

    code: str
    picture: Picture
    earlier: Picture

    @property
    def parameters(self) -> dict[str, str]:
        """For the sentence."""
        one, other = self.picture, self.earlier
        return {"job": one.job, "exhibit": one.exhibit, "other": other.exhibit, "other_job": other.job}


def picture(job: str, exhibit: str, item: Item) -> Picture | None:
    """A photo as it is compared; None for what is no photo, or one plain area."""
    alike = item.photo.likeness if item.photo is not None else None
    if alike is None or is_flat(alike):
        return None
    codes = item.photo.codes if item.photo is not None else ()
    return Picture(job, exhibit, item.sha256, alike, frozenset(code.text for code in codes))


def pictures(job: str, items: Mapping[str, Item]) -> list[Picture]:
    """The photos among items, by exhibit id."""
    found = (picture(job, exhibit, item) for exhibit, item in sorted(items.items()))
    return [one for one in found if one is not None]


def filed_pictures(job: jobs.Job, reader: Reader, leave_out: Iterable[str] = ()) -> list[Picture]:
    """The photos that lie in a job folder; one that cannot be read is left out, for ``check`` tells of it.

    Args:
        job: the job as read.
        reader: runs readers of hostile formats.
        leave_out: exhibits that the caller knows already.
    """
    left_out, items = frozenset(leave_out), dict[str, Item]()
    for entry in job.filed():
        if entry.id in left_out or not str(entry.file).startswith(f"{jobs.FOLDERS['photo']}/"):
            continue
        try:
            data = files.read_inside(job.folder, str(entry.file), MAX_EXHIBIT)
            items[entry.id] = read(data, str(entry.file), entry.id, reader=reader).item
        except (MissingToolError, SillmarkError):
            continue
    return pictures(job.record.id, items)


def alike(found: Iterable[Picture], told_of: Iterable[Picture] | None = None) -> list[Alike]:
    """For each photo the first one of its job that it nearly repeats, and the first one of any other job.

    Args:
        found: photos of one or several jobs; of two that are alike, the one further back is told of.
        told_of: only pairs with one of these; all where None. Same bytes within one job are told elsewhere.
    """
    inorder = list(found)
    wanted = set(inorder) if told_of is None else set(told_of)
    bits = [int(one.likeness, 16) for one in inorder]
    told: list[Alike] = []
    for index, one in enumerate(inorder):
        seen: set[bool] = set()
        # thousands of photos make millions of pairs: only those that are near are looked at any further
        near = [number for number in range(index) if (bits[index] ^ bits[number]).bit_count() <= ALIKE]
        for earlier in (inorder[number] for number in near):
            within = earlier.job == one.job
            if not within and likeness_distance(one.likeness, earlier.likeness) > ALIKE_ELSEWHERE:
                continue
            if within in seen or (one not in wanted and earlier not in wanted):
                continue
            code = pair_code(one, earlier, within=within)
            if code:
                seen.add(within)
                told.append(Alike(code, one, earlier))
            if len(seen) == 2:  # noqa: PLR2004 - one in the job, one in another
                break
    return told


def pair_code(one: Picture, other: Picture, *, within: bool) -> str:
    """Code of what is told of two photos that look alike; empty where nothing is.

    Args:
        one: a photo.
        other: an earlier one.
        within: whether both are of one job.
    """
    if one.sha256 == other.sha256:
        return "" if within else "alike-same-file-elsewhere"
    if one.codes and other.codes and one.codes.isdisjoint(other.codes):
        return ""  # two labels in the same light look alike, and are two all the same
    return "alike-in-job" if within else "alike-elsewhere"
