"""What ``add --sort`` says: each job with its new files and why, then what was not placed and what to do."""

from collections import Counter
from collections.abc import Iterator

from evidence.errors import Problem, printable
from evidence.filing import Added
from evidence.inbox import Sorted
from evidence.model.names import Role
from evidence.phrases import hint, say
from evidence.sorting import Placed

WIDTH = 18  # columns of a role
MAX_ALIKE = 10  # notices on photos that look alike; a phone that shoots bursts would fill the screen


def few(lines: list[str]) -> list[str]:
    """At most ``MAX_ALIKE`` notices on photos that look alike, then how many more."""
    more = len(lines) - MAX_ALIKE
    return lines if more <= 0 else [*lines[:MAX_ALIKE], say("more-problems", {"count": str(more)})]


def told(done: Sorted) -> Iterator[str]:
    """Lines of the answer."""
    for job, added in done.added.items():
        if added:
            yield from _job(job, added, printable(str(done.folders[job])))
    for path, (job, exhibits) in sorted(done.back.items()):
        for exhibit in exhibits:
            yield say("sorted-back", {"job": job, "exhibit": exhibit, "path": printable(path)})
    there = Counter(job for job, _ in done.before.values())
    for job, count in sorted(there.items()):
        yield say("sorted-before", {"job": job, "count": str(count)})
    for path, first in done.twice.items():
        yield f"  {say('sorted-twice', {'path': printable(path), 'first': printable(first)})}"
    yield from few([say(one.code, one.parameters) for one in done.alike])
    for name, role in done.near_roles.items():
        yield say("sorted-near-role", {"folder": printable(name), "found": role})
    if done.problems:
        yield say("sorted-left")
        yield from _left(done.problems)
    yield _counts(done)


def _job(job: str, added: list[tuple[Placed, Added]], folder: str) -> Iterator[str]:
    yield say("sorted-job", {"job": job, "count": str(len(added))})
    places = max(len(each.entry.subject) for _, each in added)
    for one, each in added:
        entry = each.entry
        why = say(f"sorted-by-{one.why}")
        yield f"  {entry.id}  {entry.role.value:{WIDTH}}  {entry.subject:{places}}  {why:10}  {printable(one.path)}"
    unsaid = [each.entry.id for _, each in added if each.entry.role == Role.OTHER_PHOTO]
    if unsaid:
        yield f"  {say('sorted-say-what', {'ids': unsaid, 'folder': folder, 'first': unsaid[0]})}"


def _left(problems: tuple[Problem, ...]) -> Iterator[str]:
    """Each file with its reason; what to do once for each reason, behind the last file that has it."""
    last = {problem.code: index for index, problem in enumerate(problems)}
    for index, problem in enumerate(problems):
        yield f"  {problem.where}: {say(problem.code, problem.parameters)}"
        if last[problem.code] == index and (advice := hint(problem.code)):
            yield f"      {advice}"


def _counts(done: Sorted) -> str:
    by = Counter(one.why for added in done.added.values() for one, _ in added)
    counts = {why: str(by[why]) for why in ("ticket", "label", "folder", "time")}
    more = {"placed": str(by.total()), "left": str(len(done.problems))}
    passed = {"before": str(len(done.before) + len(done.twice)), "aside": str(done.left_aside)}
    return say("sorted-counts", {**counts, **more, **passed})
