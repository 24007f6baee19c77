"""What a pack must mean beyond its shape: each kind of pack has what it needs, rules and criteria name each other."""

from collections.abc import Iterator

from evidence.errors import Problem
from evidence.model.names import Mark
from evidence.model.pack import Clause
from evidence.record._criteria import unnumbered, untitled
from evidence.record._walk import ANY, matching, twice
from evidence.record.reader import PackText
from evidence.record.yamltext import Path

_NEEDS = {"standard": "clauses", "practice": "clauses", "confirmation": "confirmations"}
_MARKS = {
    "standard": frozenset({Mark.PUBLISHED, Mark.COMPUTED, Mark.SECONDARY, Mark.MEMORY, Mark.PRACTICE}),
    "practice": frozenset({Mark.PRACTICE}),
}


def check_pack(entry: PackText) -> tuple[Problem, ...]:
    """Everything in a pack that has the right shape and no meaning, sorted."""
    source, pack = entry.source, entry.pack
    problems = [*_content(entry), *_marks(entry), *untitled(source)]
    problems += twice(source, matching(source.data, ("clauses", ANY, "no")))
    for index, clause in enumerate(pack.clauses):
        path: Path = ("clauses", index)
        problems += unnumbered(source, (*path, "no"))
        problems += twice(
            source, (((*path, "criteria", i, "id"), c.id) for i, c in enumerate(clause.criteria))
        )
        problems += _rule(entry, path, clause)
    if pack.review_by < pack.known_as_of:
        found, expected = pack.review_by.isoformat(), pack.known_as_of.isoformat()
        problems.append(source.problem("dates-reversed", ("review_by",), found=found, expected=expected))
    return tuple(sorted(problems, key=Problem.order))


def _content(entry: PackText) -> Iterator[Problem]:
    source, pack = entry.source, entry.pack
    needed = _NEEDS[pack.kind]
    other = "clauses" if needed == "confirmations" else "confirmations"
    if not getattr(pack, needed):
        yield source.problem("pack-empty", ("kind",), found=pack.kind, expected=needed)
    if getattr(pack, other):
        yield source.problem("pack-kind-differs", (other,), key=True, found=other, kind=pack.kind)
    if pack.kind == "standard" and pack.standard is None:
        yield source.problem("pack-without-standard", ("kind",))
    if pack.invented is not None and pack.kind != "confirmation":
        yield source.problem("pack-kind-differs", ("invented",), key=True, found="invented", kind=pack.kind)


def _rule(entry: PackText, path: Path, clause: Clause) -> Iterator[Problem]:
    """The rule names criteria that exist, and every criterion."""
    source = entry.source
    known = {criterion.id for criterion in clause.criteria}
    named: set[str] = set()
    rule = (*path, "rule")
    lists = [(*rule, "all"), *((*rule, "routes", route) for route in clause.rule.routes)]
    for at in lists:
        for index, found in enumerate(source.at(at) or ()):
            named.add(found)
            if found not in known:
                expected = ", ".join(sorted(known))
                yield source.problem("rule-criterion-unknown", (*at, index), found=found, expected=expected)
    for index, criterion in enumerate(clause.criteria):
        if criterion.id not in named:
            at = (*path, "criteria", index, "id")
            yield source.problem("criterion-not-in-rule", at, found=criterion.id, clause=clause.no)


def _marks(entry: PackText) -> Iterator[Problem]:
    allowed = _MARKS.get(entry.pack.kind)
    if allowed is None:
        return
    for path, found in matching(entry.source.data, ("clauses", ANY, "criteria", ANY, "mark")):
        if found not in allowed:
            yield entry.source.problem("mark-not-allowed", path, found=found)
