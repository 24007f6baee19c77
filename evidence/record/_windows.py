"""What the fields of a lock window's photo must mean: they stand at such a photo, and who read it is named."""

from collections.abc import Iterator

from evidence.errors import Problem
from evidence.model.names import WINDOW_ROLES
from evidence.record.reader import JobText
from evidence.record.yamltext import Path

FIELDS = ("frame", "neutral", "reads")


def window_problems(job: JobText) -> Iterator[Problem]:
    """Frames, patches and readings at photos of something else, and readings by nobody."""
    allowed = ", ".join(sorted(WINDOW_ROLES.values()))
    for index, entry in enumerate(job.record.exhibits):
        path: Path = ("exhibits", index)
        if entry.role not in WINDOW_ROLES.values():
            for field in FIELDS:
                if getattr(entry, field) is not None:
                    yield job.source.problem(
                        "window-field-elsewhere",
                        (*path, field),
                        key=True,
                        found=field,
                        role=entry.role.value,
                        expected=allowed,
                    )
        elif entry.reads is not None and entry.by is None:
            yield job.source.problem("window-read-by-nobody", (*path, "reads"), found=entry.reads)
