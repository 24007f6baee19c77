"""Where evidence belongs: open slots of a record, which files can fill them, and what a file is of."""

from collections.abc import Iterable

from evidence.errors import UsageError
from evidence.jobs import JOB, Job
from evidence.model.criterion import Inside
from evidence.model.exhibit import Item
from evidence.model.names import Role, SubjectKind
from evidence.model.record import ExhibitEntry, JobRecord

_BY_NATURE = {
    Role.CLOCK_TICKET: SubjectKind.VEHICLE,
    Role.SCREWS: SubjectKind.SCREWS,
    Role.WITNESS_MARKS: SubjectKind.SCREWS,
    Role.QUALIFICATION: SubjectKind.PERSON,
    Role.CALIBRATION_CERTIFICATE: SubjectKind.INSTRUMENT,
}
"""What evidence belongs to where the profile does not say: filed for a position, such a paper would show nothing."""


def fillable(job: Job, open_slots: Iterable[ExhibitEntry], item: Item) -> list[ExhibitEntry]:
    """The open slots that a file can fill.

    Where the manual asks for a table, such as a force over a travel, the slot of that role waits for that table: a
    set of channels fills it only where a test of the record names it.
    """
    if item.channels is None:
        return list(open_slots)
    tested = {test.exhibit for test in job.record.tests}
    return [slot for slot in open_slots if slot.id in tested or not _asks_for_table(job, slot.role)]


def _asks_for_table(job: Job, role: Role) -> bool:
    asked = (each.criterion for each in job.profile.items)
    return any(
        isinstance(each, Inside)
        and each.direction is None
        and role in (each.evidence_from or (Role.TEST_CHANNEL,))
        for each in asked
    )


def subject_of(job: Job, role: Role, subject: str | None) -> str:
    """What evidence of a role belongs to: what was said, else the only sensible thing.

    Raises:
        UsageError: subject-needed, subject-unknown or subject-not-recorded.
    """
    record, where = job.record, str(job.folder / JOB)
    if subject is not None:
        if not any(subject in of_kind(record, kind) for kind in SubjectKind):
            known = ", ".join(each for kind in SubjectKind for each in of_kind(record, kind))
            raise UsageError.one("subject-unknown", where, found=subject, expected=known)
        return subject
    choices = _choices(job, role)
    if len(choices) == 1:
        return choices[0]
    raise UsageError.one("subject-needed", where, role=role.value, choices=", ".join(choices) or "vehicle")


def _choices(job: Job, role: Role) -> list[str]:
    """What an exhibit of a role may belong to: by the profile, else by what the record has of that role."""
    kinds = subject_kinds(job, role)
    if len(kinds) != 1:
        used = sorted({entry.subject for entry in job.record.exhibits if entry.role == role})
        return used or [position.id for position in job.record.positions]
    kind = kinds.pop()
    choices = of_kind(job.record, kind)
    if not choices:
        where = str(job.folder / JOB)
        raise UsageError.one("subject-not-recorded", where, role=role.value, kind=kind.value)
    return choices


def subject_kinds(job: Job, role: Role) -> set[SubjectKind]:
    """What kinds of thing the profile expects evidence of a role for, else what the role is of by nature."""
    kinds = {expected.per for expected in job.profile.expected if expected.role == role}
    return kinds or ({_BY_NATURE[role]} if role in _BY_NATURE else set())


def of_kind(record: JobRecord, kind: SubjectKind) -> list[str]:
    """Ids of everything of a kind that the record has."""
    if kind == SubjectKind.VEHICLE:
        return ["vehicle"]
    ids: dict[SubjectKind, list[str]] = {
        SubjectKind.POSITION: [each.id for each in record.positions],
        SubjectKind.SCREWS: [each.id for each in record.screws],
        SubjectKind.INSTRUMENT: [each.id for each in record.instruments],
        SubjectKind.PERSON: [each.id for each in record.people],
        SubjectKind.DOCUMENT: [each.id for each in record.documents],
    }
    return ids[kind]
