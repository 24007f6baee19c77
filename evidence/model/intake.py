"""data/inputs/intake.json: every file that was ever filed, measured or withdrawn; no personal text."""

from enum import StrEnum
from typing import Annotated, Final, Literal

from pydantic import Field, StringConstraints

from evidence.model._base import Id, Model, Sha256, Slug
from evidence.model.seal import Minute

INTAKE_FORMAT: Final = "sillmark-intake/0"
MAX_RECORDED = 400  # characters
MAX_ENTRIES = 20_000  # lines of one job's log; thirty photos retried all day stay below a thousand


class IntakeEvent(StrEnum):
    """What happened to a file."""

    ADD = "add"
    MEASURE = "measure"
    WITHDRAW = "withdraw"
    CHANGE = "change"
    FIRST_READ = "first-read"
    MOVE_OUT = "move-out"
    MOVE_IN = "move-in"


class IntakeEntry(Model):
    """One line of the log.

    Attributes:
        event: what happened.
        id: the exhibit.
        sha256: digest of its bytes at that moment.
        at: minute with offset.
        reason: code, for a withdrawal, a change or a move.
        job: the other job of a move.
        other: the exhibit's id there.
        recorded: of a measurement, what stood in the record for its quantity when it was told; of a change or a move,
            what the record held of a lock window in the photo and holds no more.
        first: when these bytes first came in at the other job, where its log says so.
    """

    event: Annotated[IntakeEvent, Field(strict=False)]
    id: Id
    sha256: Sha256
    at: Minute
    reason: Slug | None = None
    job: Id | None = None
    other: Id | None = None
    recorded: Annotated[str, StringConstraints(max_length=MAX_RECORDED)] | None = None
    first: Minute | None = None


class Intake(Model):
    """The log in the order in which it was written."""

    format: Literal["sillmark-intake/0"]
    entries: Annotated[tuple[IntakeEntry, ...], Field(max_length=MAX_ENTRIES)]

    def digests(self) -> dict[str, str]:
        """Exhibit id to the digest that was last filed under it; not of what was moved away, as of what was withdrawn."""
        found: dict[str, str] = {}
        for entry in self.entries:
            if entry.event == IntakeEvent.MOVE_OUT:
                found.pop(entry.id, None)
            elif entry.event != IntakeEvent.WITHDRAW:
                found[entry.id] = entry.sha256
        return found
