"""What tests must mean: their channels lie in a file of channels, each use is named once, and only pulls go up or down."""

from collections import Counter
from collections.abc import Iterator

from evidence.errors import Problem
from evidence.model.names import LabDirection, LabKind, Role
from evidence.record.reader import JobText
from evidence.record.yamltext import Path

_ROLES = (Role.TEST_CHANNEL, Role.PULL_LOG)
_PULLS_ONLY = frozenset({LabDirection.UP, LabDirection.DOWN})
_DYNAMIC = tuple(direction.value for direction in LabDirection if direction not in _PULLS_ONLY)


def labtest_problems(job: JobText) -> Iterator[Problem]:
    """Tests whose file is filed as something else, that name two channels for one use, or load in no such way."""
    roles = {entry.id: entry.role for entry in job.record.exhibits}
    for index, test in enumerate(job.record.tests):
        path: Path = ("tests", index)
        role = roles.get(test.exhibit)
        if role is not None and role not in _ROLES:
            expected = ", ".join(each.value for each in _ROLES)
            yield job.source.problem(
                "exhibit-role-differs",
                (*path, "exhibit"),
                found=test.exhibit,
                role=role.value,
                expected=expected,
            )
        if test.kind == LabKind.DYNAMIC and test.direction in _PULLS_ONLY:
            yield job.source.problem(
                "test-direction-of-pull",
                (*path, "direction"),
                found=test.direction.value,
                expected=", ".join(_DYNAMIC),
            )
        seen: Counter[str] = Counter()
        for place, channel in enumerate(test.channels):
            seen[channel.use] += 1
            if seen[channel.use] == 2:  # noqa: PLR2004 - the second is one too many
                yield job.source.problem(
                    "test-use-twice", (*path, "channels", place, "use"), found=channel.use.value, test=test.id
                )
