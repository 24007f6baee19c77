"""What audits of screws and logs of cycles must mean: they point at what they can be about."""

from collections.abc import Iterator

from evidence.errors import Problem
from evidence.model.names import Role
from evidence.record.reader import JobText
from evidence.record.yamltext import Path


def audit_problems(job: JobText) -> Iterator[Problem]:
    """Logs of cycles that are filed as something else, and audits of more screws than the group has."""
    roles = {entry.id: entry.role for entry in job.record.exhibits}
    for index, cycles in enumerate(job.record.cycles):
        role = roles.get(cycles.log or "")
        if role is not None and role != Role.CYCLE_LOG:
            path: Path = ("cycles", index, "log")
            found = str(cycles.log)
            yield job.source.problem(
                "cycle-log-of-other-role", path, found=found, role=role.value, expected=Role.CYCLE_LOG.value
            )
    counts = {group.id: group.count for group in job.record.screws}
    for index, audit in enumerate(job.record.audits):
        limit = counts.get(audit.screws)
        if limit is not None and len(audit.torques) > limit:
            place: Path = ("audits", index, "torques")
            yield job.source.problem(
                "audit-torques-beyond-screws",
                place,
                key=True,
                found=str(len(audit.torques)),
                limit=str(limit),
            )
