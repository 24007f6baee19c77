"""``add --sort``: a folder of files from phones, read once, placed by what the pictures show, filed job by job."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from queue import SimpleQueue

from evidence import files, filing, jobs, jsondoc, packing, restoring, sorting
from evidence.errors import InputError, Problem, SillmarkError, UsageError, printable
from evidence.exhibits.reading import read
from evidence.guard import Guard
from evidence.likenesses import Alike, Picture, alike, filed_pictures, picture
from evidence.model.exhibit import Item
from evidence.model.intake import IntakeEvent
from evidence.sorting import Placed, Shot, Unplaced

READERS = 2  # children that decode at once; more gain nothing on common desks
STEP = 20  # files between two lines of progress
_LITTER = frozenset({"thumbs.db", "desktop.ini"})  # what file managers leave
_FOLDER_CODES = frozenset(
    {"file-symlink", "file-not-regular", "file-vanished", "file-unreadable", "tree-too-large"}
)
_WORTH_A_CLOSER_LOOK = frozenset({"sort-not-between", "sort-no-camera-time"})


@dataclass(frozen=True)
class Tools:
    """What reading needs: how a guarded reader is made, and who is told of the progress."""

    guard: Callable[[], Guard]
    progress: Callable[..., None]


@dataclass(frozen=True)
class Sorted:
    """What became of a dump.

    Attributes:
        added: job id to files with why they are there; every job that was read stands here.
        folders: job id to its folder.
        before: files that a job has already: path to job and exhibit.
        back: files that a job had lost and has again: path to job and exhibits.
        twice: files with the bytes of an earlier one: path to that one.
        problems: why a file was not placed; ``where`` is the file.
        unread: jobs that could not be read or written.
        left_aside: hidden files and what file managers leave.
        alike: photos that look nearly the same.
        near_roles: folders whose name is nearly that of a role, to that role.
    """

    added: Mapping[str, list[tuple[Placed, filing.Added]]]
    folders: Mapping[str, Path]
    before: Mapping[str, tuple[str, str]]
    back: Mapping[str, tuple[str, tuple[str, ...]]]
    twice: Mapping[str, str]
    problems: tuple[Problem, ...]
    unread: tuple[SillmarkError, ...]
    left_aside: int
    alike: tuple[Alike, ...]
    near_roles: Mapping[str, str]


@dataclass
class _Dump:
    """The files of the inbox, as far as they are known."""

    inbox: Path
    digests: dict[str, str] = field(default_factory=dict)
    items: dict[str, Item] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    left_aside: int = 0

    def told(self, path: str) -> str:
        """The place of a file for messages."""
        return printable(str(self.inbox / path))

    def refuse(self, path: str, error: SillmarkError) -> None:
        """Keep why a file cannot be used, once."""
        first = error.problems[0]
        self.problems.append(Problem(first.code, self.told(path), "", first.parameters))


@dataclass(frozen=True)
class _Read:
    """Which files of a dump are read.

    Attributes:
        new: those that no job has.
        before: those that a job has already.
        twice: those with the bytes of an earlier one, to that one.
    """

    new: list[str]
    before: list[str]
    twice: Mapping[str, str]


class _Pool:
    """Guarded children that read several files at once."""

    def __init__(
        self, threads: ThreadPoolExecutor, guards: Iterable[Guard], progress: Callable[..., None]
    ) -> None:
        self._threads, self._progress = threads, progress
        self._free: SimpleQueue[Guard] = SimpleQueue()
        for guard in guards:
            self._free.put(guard)

    def read(self, dump: _Dump, paths: list[str], codes: str, *, again: bool = False) -> None:
        """Read files of a dump; what is refused is told there, unless it was read before and is known."""
        answers = self._threads.map(lambda path: self._one(dump, path, codes), paths)
        for number, (path, answer) in enumerate(zip(paths, answers, strict=True), start=1):
            if isinstance(answer, Item):
                dump.items[path] = answer
            elif not again:
                dump.refuse(path, answer)
            if number % STEP == 0:
                self._progress("sort-reading", done=str(number), count=str(len(paths)))

    def pictures(self, found: Iterable[jobs.Job]) -> list[Picture]:
        """The photos that lie in jobs."""
        return [one for each in self._threads.map(self._pictures, found) for one in each]

    def _one(self, dump: _Dump, path: str, codes: str) -> Item | SillmarkError:
        with self._guard() as guard:
            try:
                data = _read_again(dump, path)
                return read(data, path, filing.UNFILED, reader=guard.run, codes=codes).item
            except SillmarkError as error:
                return error

    def _pictures(self, job: jobs.Job) -> list[Picture]:
        with self._guard() as guard:
            return filed_pictures(job, guard.run)

    @contextmanager
    def _guard(self) -> Iterator[Guard]:
        guard = self._free.get()
        try:
            yield guard
        finally:
            self._free.put(guard)


@contextmanager
def _pool(tools: Tools) -> Iterator[_Pool]:
    with ExitStack() as stack, ThreadPoolExecutor(READERS) as threads:
        guards = [stack.enter_context(tools.guard()) for _ in range(READERS)]
        try:
            yield _Pool(threads, guards, tools.progress)
        except BaseException:
            # who interrupts does not want to wait: nothing new begins, and what is being read loses its reader
            threads.shutdown(wait=False, cancel_futures=True)
            for guard in guards:
                guard.stop()
            raise


def _read_again(dump: _Dump, path: str) -> bytes:
    """The bytes of a file, which are those that were hashed first."""
    data = files.read_capped(dump.inbox / path, filing.MAX_EXHIBIT)
    if jsondoc.digest(data) != dump.digests[path]:
        raise InputError.one("sort-file-changed", dump.told(path))
    return data


def sort_inbox(inbox: Path, folder: Path, at: str, tools: Tools) -> Sorted:
    """File what belongs to one job for certain; the inbox stays as it is.

    1. Read the jobs. 2. List and hash the files. 3. Read those that no job has. 4. Place them. 5. File them, one
    job after the other, each under its lock and with one writing of log and record. 6. Look for near copies.

    Args:
        inbox: folder with the files, and folders in it.
        folder: holds the job folders.
        at: local time with offset.
        tools: for reading and telling.

    Raises:
        UsageError: inbox-is-job, inbox-holds-jobs or jobs-none.
        InputError: one of the two folders cannot be listed.
    """
    _refuse_overlap(inbox, folder)
    found, unread = _jobs(folder)
    dump = _listed(inbox)
    known = _known(found.values())
    first: dict[str, str] = {}
    for path, digest in dump.digests.items():
        first.setdefault(digest, path)
    twice = {
        path: first[sha] for path, sha in dump.digests.items() if first[sha] != path and sha not in known
    }
    before = {path: known[sha] for path, sha in dump.digests.items() if sha in known}
    new = [path for path, sha in dump.digests.items() if sha not in known and path not in twice]
    back = _put_back(dump, first, found.values())
    added: dict[str, list[tuple[Placed, filing.Added]]] = {job: [] for job in sorted(found)}
    with _pool(tools) as pool:
        placed = _placed(dump, _Read(new, list(before), twice), found, pool)
        for path in new:
            if isinstance(why := placed.get(path), Unplaced):
                dump.problems.append(Problem(why.code, dump.told(path), "", why.parameters))
        for job in sorted(found):
            mine = [one for path in new if isinstance(one := placed.get(path), Placed) and one.job == job]
            if mine:
                tools.progress("sort-filing", job=job, count=str(len(mine)))
                added[job], errors = _filed(found[job].folder, mine, dump, at)
                unread += errors
        copies = _copies(found, added, pool)
    near = sorting.near_roles(dump.digests, {job: each.record for job, each in found.items()})
    folders = {job: each.folder for job, each in found.items()}
    problems = tuple(sorted(dump.problems, key=Problem.order))
    return Sorted(
        added, folders, before, back, twice, problems, tuple(unread), dump.left_aside, tuple(copies), near
    )


def _refuse_overlap(inbox: Path, folder: Path) -> None:
    real, home = inbox.resolve(), folder.resolve()
    for each in (real, *real.parents):
        if files.is_file(each / jobs.JOB):
            raise UsageError.one("inbox-is-job", str(inbox), found=str(each))
    if home == real or real in home.parents:
        raise UsageError.one("inbox-holds-jobs", str(inbox), found=str(folder))


def _jobs(folder: Path) -> tuple[dict[str, jobs.Job], list[SillmarkError]]:
    """The jobs of a folder by id; a folder without job.yaml is none."""
    found: dict[str, jobs.Job] = {}
    unread: list[SillmarkError] = []
    names = [name for name in files.names_in(folder) if files.is_there(folder / name / jobs.JOB)]
    if not names:
        raise UsageError.one("jobs-none", str(folder))
    for name in names:
        try:
            job = jobs.load(folder / name)
        except SillmarkError as error:
            unread.append(error)
            continue
        if job.record.id in found:
            other = str(found[job.record.id].folder)
            unread.append(InputError.one("job-id-twice", str(job.folder), found=job.record.id, other=other))
            continue
        found[job.record.id] = job
    return found, unread


def _listed(inbox: Path) -> _Dump:
    dump = _Dump(inbox)
    tree = files.list_tree(inbox, whole=False)
    dump.problems = [
        Problem(each.code, f"{inbox}/{each.where}", "", each.parameters)
        for each in tree.problems
        if each.code in _FOLDER_CODES
    ]
    loose = packing.loose_sets(tree.sizes)
    dump.problems += [
        Problem("sort-set-loose", dump.told(folder), "", {"count": str(len(parts))})
        for folder, parts in loose.items()
    ]
    of_sets = {path for parts in loose.values() for path in parts}
    for path in tree.sizes:
        if path in of_sets:
            continue
        parts = path.split("/")
        if any(part.startswith(".") for part in parts) or parts[-1].lower() in _LITTER:
            dump.left_aside += 1
            continue
        try:
            dump.digests[path] = files.sha256_file(inbox / path).sha256
        except SillmarkError as error:
            dump.refuse(path, error)
    return dump


def _known(found: Iterable[jobs.Job]) -> dict[str, tuple[str, str]]:
    """Digest of every file that a job has, or that was moved out of it on purpose, to job and exhibit."""
    known: dict[str, tuple[str, str]] = {}
    for job in found:
        for line in job.intake.entries:
            if line.event == IntakeEvent.MOVE_OUT:
                known[line.sha256] = (line.job or "", line.other or "")
    for job in found:
        logged = job.intake.digests()
        for entry in job.filed():
            # a line that somebody wrote by hand is in no log before the first check
            digest = logged.get(entry.id) or _digest(job.folder / str(entry.file))
            known[digest] = (job.record.id, entry.id)
    return known


def _put_back(
    dump: _Dump, first: Mapping[str, str], found: Iterable[jobs.Job]
) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Give back to each job what it lost: the record names it, its bytes are those of the log, and it is not there."""
    back: dict[str, tuple[str, tuple[str, ...]]] = {}
    for job in found:
        for sha256 in sorted(restoring.gone(job).keys() & first.keys()):
            path = first[sha256]
            try:
                with jobs.locked(job.folder):
                    fresh = jobs.load(job.folder)
                    entries = restoring.put_back(fresh, sha256, partial(_read_again, dump, path))
            except SillmarkError as error:
                dump.refuse(path, error)
                continue
            if entries:
                back[path] = (job.record.id, tuple(entry.id for entry in entries))
    return back


def _digest(path: Path) -> str:
    try:
        return files.sha256_file(path).sha256
    except SillmarkError:
        return ""


def _placed(
    dump: _Dump, paths: _Read, found: Mapping[str, jobs.Job], pool: _Pool
) -> dict[str, Placed | Unplaced]:
    """Read and place the new files; those that were filed before are read too where a time needs its neighbours."""
    records = {job: each.record for job, each in found.items()}
    new = paths.new
    pool.read(dump, new, "codes")
    shots = {path: sorting.shot(path, dump.items[path]) for path in new if path in dump.items}
    if any(one.taken and not one.labels for one in shots.values()):
        pool.read(dump, paths.before, "codes", again=True)
        shots |= {path: sorting.shot(path, dump.items[path]) for path in paths.before if path in dump.items}
        shots |= _copies_elsewhere(dump, paths.twice)
    placed = sorting.place(shots.values(), records)
    closer = [path for path in new if path in placed and _deserves_a_closer_look(placed[path], shots[path])]
    if closer:
        pool.read(dump, closer, "codes-expected", again=True)
        shots |= {path: sorting.shot(path, dump.items[path]) for path in closer if path in dump.items}
        placed = sorting.place(shots.values(), records)
    return placed


def _copies_elsewhere(dump: _Dump, twice: Mapping[str, str]) -> dict[str, Shot]:
    """Copies in another folder than their first: that may be the folder of the phone that took the picture.

    In one folder, two copies of one photo must not count as the two neighbours of a third.
    """
    return {
        path: sorting.shot(path, dump.items[first])
        for path, first in twice.items()
        if first in dump.items and path.rpartition("/")[0] != first.rpartition("/")[0]
    }


def _deserves_a_closer_look(placed: Placed | Unplaced, one: Shot) -> bool:
    # searching every pixel takes three times as long, so only what would otherwise be left over is worth it
    return isinstance(placed, Unplaced) and placed.code in _WORTH_A_CLOSER_LOOK and not one.labels


def _filed(
    folder: Path, mine: list[Placed], dump: _Dump, at: str
) -> tuple[list[tuple[Placed, filing.Added]], list[SillmarkError]]:
    """File what was placed in one job; what is refused is told of the file, what stops the job of the job."""
    wanted: dict[str, tuple[Placed, filing.Planned]] = {}
    try:
        with jobs.locked(folder):
            plan = filing.Plan(folder)
            for one in mine:
                try:
                    planned = plan.file_one(_wanted(one, dump, plan), at)
                except SillmarkError as error:
                    dump.refuse(one.path, error)
                    continue
                wanted[planned.entry.id] = (one, planned)
            for planned, refused in plan.store():
                dump.refuse(wanted.pop(planned.entry.id)[0].path, refused)
    except SillmarkError as error:
        for one in mine:
            dump.refuse(one.path, InputError.one("sort-job-refused", one.path, job=one.job))
        return [], [error]
    return [(one, planned.added) for one, planned in wanted.values()], []


def _wanted(one: Placed, dump: _Dump, plan: filing.Plan) -> filing.Wanted:
    subject = plan.subject_near(one.role, one.place) if one.place is not None else None
    source = dump.inbox / one.path
    return filing.Wanted(
        source, dump.items[one.path], one.role, subject, partial(_read_again, dump, one.path)
    )


def _copies(
    found: Mapping[str, jobs.Job],
    added: Mapping[str, list[tuple[Placed, filing.Added]]],
    pool: _Pool,
) -> list[Alike]:
    """Near copies among what was filed now, and between that and what lay in those jobs before."""
    touched = {job: [each for _, each in mine] for job, mine in added.items() if mine}
    there = pool.pictures(found[job] for job in touched)
    now = [
        one
        for job, mine in touched.items()
        for each in mine
        if (one := picture(job, each.entry.id, each.item)) is not None
    ]
    return alike([*there, *now], told_of=now)
