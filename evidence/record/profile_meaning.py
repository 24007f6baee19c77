"""What a fitting profile must mean beyond its shape: every kind answered, no loop among steps, no loose name."""

from collections.abc import Iterator, Mapping

from evidence.errors import Problem
from evidence.model.criterion import Ordered
from evidence.model.names import CharacteristicName, CycleKind, Mark, ProfileKind, Role
from evidence.record._criteria import unnumbered, untitled
from evidence.record._faults import closest
from evidence.record._walk import ANY, matching, twice
from evidence.record.reader import ProfileText
from evidence.record.yamltext import Path

TORQUE = "torque"
"""The word for the torques of a screw group among what a step yields."""


def check_profile(entry: ProfileText) -> tuple[Problem, ...]:
    """Everything in a profile that has the right shape and no meaning, sorted."""
    problems = [*_kinds(entry), *_twice(entry), *_steps(entry), *_yields(entry)]
    problems += [*_marks(entry), *_validity(entry)]
    problems += untitled(entry.source)
    for index in range(len(entry.profile.items)):
        problems += unnumbered(entry.source, ("items", index, "section"))
    return tuple(sorted(problems, key=Problem.order))


def _kinds(entry: ProfileText) -> Iterator[Problem]:
    """Each kind of demand is answered by an item, or the manual is said to be silent on it; not both."""
    source, profile = entry.source, entry.profile
    answered = {item.criterion.answers for item in profile.items}
    silent = {silence.kind for silence in profile.silent}
    for kind in ProfileKind:
        if kind not in answered | silent:
            yield source.problem("profile-kind-unanswered", ("items",), key=True, found=kind.value)
    for index, silence in enumerate(profile.silent):
        if silence.kind in answered:
            path: Path = ("silent", index, "kind")
            yield source.problem("profile-kind-answered-and-silent", path, found=silence.kind.value)


def _twice(entry: ProfileText) -> Iterator[Problem]:
    source = entry.source
    for pattern in (
        ("items", ANY, "criterion", "id"),
        ("steps", ANY, "id"),
        ("windows", ANY, "id"),
        ("screws", ANY, "group"),
        ("silent", ANY, "kind"),
    ):
        yield from twice(source, matching(source.data, pattern))


def _steps(entry: ProfileText) -> Iterator[Problem]:
    source, profile = entry.source, entry.profile
    steps = {step.id: step.after for step in profile.steps}
    groups = [screws.group for screws in profile.screws]
    for path, found in [*matching(source.data, ("steps", ANY, "after", ANY)), *_ordered(entry)]:
        if found not in steps:
            yield source.problem("step-unknown", path, found=found, expected=", ".join(steps))
    for path, found in matching(source.data, ("steps", ANY, "screws")):
        if found not in groups:
            expected = ", ".join(groups) or "none"
            yield source.problem("screw-group-unknown", path, found=found, expected=expected)
    for index, step in enumerate(profile.steps):
        if step.id in _earlier(step.id, steps):
            yield source.problem("step-loop", ("steps", index, "after"), found=step.id)


def _yields(entry: ProfileText) -> Iterator[Problem]:
    """What a step gives has a known name, and comes from one step; torques from one step for each screw group."""
    source = entry.source
    known = tuple(sorted({TORQUE, *CharacteristicName, *CycleKind, *Role}))
    for path, found in matching(source.data, ("steps", ANY, "yields", ANY)):
        if found not in known:
            meant = closest(found, known)
            expected = ", ".join(known)
            if meant is None:
                yield source.problem("yields-unknown", path, found=found, expected=expected)
            else:
                yield source.problem("yields-misspelt", path, found=found, expected=expected, meant=meant)
    first: dict[str, list[tuple[str | None, Path]]] = {}
    for index, step in enumerate(entry.profile.steps):
        for number, name in enumerate(step.yields):
            path = ("steps", index, "yields", number)
            # steps of different screw groups do not meet, so each may have torques and photos of its own
            met = [at for group, at in first.get(name, []) if group is None or step.screws in (None, group)]
            if met:
                yield source.problem("yields-twice", path, found=name, first=source.where(met[0]))
            first.setdefault(name, []).append((step.screws, path))


def _ordered(entry: ProfileText) -> Iterator[tuple[Path, str]]:
    """Steps that the items name."""
    for index, item in enumerate(entry.profile.items):
        if not isinstance(item.criterion, Ordered):
            continue
        path: Path = ("items", index, "criterion")
        for number, step in enumerate(item.criterion.steps):
            yield (*path, "steps", number), step
        for number, gap in enumerate(item.criterion.gaps):
            yield (*path, "gaps", number, "before"), gap.before
            yield (*path, "gaps", number, "after"), gap.after


def _earlier(step: str, after: Mapping[str, tuple[str, ...]]) -> set[str]:
    """Every step that must be finished before this one, by any way round."""
    found: set[str] = set()
    waiting = list(after.get(step, ()))
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting.extend(after.get(name, ()))
    return found


def _marks(entry: ProfileText) -> Iterator[Problem]:
    """Confirmed means read on a page of the manual; invented, that the manual itself is."""
    source, invented = entry.source, entry.profile.manual.invented == "yes"
    for index, item in enumerate(entry.profile.items):
        path: Path = ("items", index, "criterion", "mark")
        mark = item.criterion.mark
        if mark == Mark.CONFIRMED and item.criterion.page is None:
            yield source.problem("profile-page-missing", path, found=item.criterion.id)
        if mark == Mark.INVENTED and not invented:
            yield source.problem("mark-not-allowed", path, found=mark.value)


def _validity(entry: ProfileText) -> Iterator[Problem]:
    manual = entry.profile.manual
    if manual.valid_until is not None and manual.valid_until < manual.valid_from:
        found, expected = manual.valid_until.isoformat(), manual.valid_from.isoformat()
        path: Path = ("manual", "valid_until")
        yield entry.source.problem("dates-reversed", path, found=found, expected=expected)
