"""Move evidence to another role, place or job, so that a crash at any point loses nothing and the log says why."""

from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from evidence import files, filing, jobs, jsondoc, slots
from evidence.errors import InputError, SillmarkError, UsageError
from evidence.exhibits import Reader
from evidence.exhibits.reading import code_reader, read
from evidence.model.exhibit import Item
from evidence.model.intake import IntakeEntry, IntakeEvent
from evidence.model.names import WINDOW_ROLES, Function, Role
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import edit
from evidence.record.dropping import drop_keys
from evidence.record.references import places_of


class MoveReason(StrEnum):
    """Why evidence was moved; the log holds codes."""

    WRONG_VEHICLE = "wrong-vehicle"
    WRONG_ROLE = "wrong-role"
    WRONG_POSITION = "wrong-position"
    ROLE_GIVEN = "role-given"
    DUPLICATE = "duplicate"
    OTHER = "other"


@dataclass(frozen=True)
class MoveOrder:
    """What is to be moved where.

    Attributes:
        exhibit: id in the job.
        to: folder of the other job; None stays in the job.
        role: what it shows; None leaves that.
        subject: what it belongs to; None leaves that within the job, and takes the first open slot in another.
        reason: why.
        at: local time with offset.
    """

    exhibit: str
    to: Path | None
    role: Role | None
    subject: str | None
    reason: MoveReason
    at: str


@dataclass(frozen=True)
class Moved:
    """What was moved.

    Attributes:
        job, entry: where it stands now.
        opened: slots of the source that wait for a file again.
        stays: the source file, where it could not be removed.
        dropped: what the record held of a lock window in the photo, and holds no more.
        record: of the job where it stands now, as it was before.
        item: what was read in it, where it was read.
    """

    job: str
    entry: ExhibitEntry
    opened: tuple[ExhibitEntry, ...] = ()
    stays: str = ""
    dropped: tuple[str, ...] = ()
    record: JobRecord | None = None
    item: Item | None = None


def move(folder: Path, order: MoveOrder, reader: Reader) -> Moved:
    """Move one exhibit within its job, or to another job.

    Raises:
        UsageError: move-nothing, move-twin, move-exhibit-unknown, exhibit-open, exhibit-referenced, move-same-job,
            move-done-otherwise, or as ``filing.add``.
        InputError: a job or the file cannot be read or written; move-file-changed; role-of-another-kind.
    """
    if order.to is None:
        with jobs.locked(folder):
            return _within(folder, order, reader)
    with _both_locked(folder, order.to):
        return _across(folder, order.to, order, reader)


@contextmanager
def _both_locked(one: Path, other: Path) -> Iterator[None]:
    if one.resolve() == other.resolve():
        raise UsageError.one("move-same-job", str(other))
    with ExitStack() as stack:
        for folder in sorted(
            (one, other), key=lambda each: str(each.resolve())
        ):  # two moves never wait in a ring
            stack.enter_context(jobs.locked(folder))
        yield


def _within(folder: Path, order: MoveOrder, reader: Reader) -> Moved:
    """Change role or subject: the log first, then the record, so that no change goes unlogged."""
    plan = filing.Plan(folder)
    job, entry = plan.job, _entry(plan.job, order.exhibit)
    role = order.role or entry.role
    subject = slots.subject_of(job, role, order.subject) if order.subject else entry.subject
    if order.role and not order.subject:
        subject = slots.subject_of(job, role, plan.subject_near(role, _place(job, entry)))
    if (role, subject) == (entry.role, entry.subject):
        raise UsageError.one("move-nothing", order.exhibit, role=role.value, subject=subject)
    data = _bytes(job, entry)
    item = read(data, str(entry.file), entry.id, reader=reader, codes=code_reader(role)).item
    filing.require_kind(item, folder / str(entry.file), role)
    if twin := plan.twin(item.sha256, role, subject):
        told = {"found": entry.id, "other": twin.id, "role": role.value, "subject": subject}
        raise UsageError.one("move-twin", str(folder / str(entry.file)), **told)
    changes = {"role": role.value} if role != entry.role else {}
    changes |= {"subject": subject} if subject != entry.subject else {}
    text = edit.change_exhibit(job.text.source.text, entry.id, changes)
    dropped = {} if role in WINDOW_ROLES.values() else _of_window(entry)
    text = drop_keys(text, entry.id, dropped)
    text = _without_slot(job, text, (role, subject), item)
    text, opened = _with_slot(plan, text, entry)
    line = IntakeEntry(
        event=IntakeEvent.CHANGE,
        id=entry.id,
        sha256=item.sha256,
        at=order.at,
        reason=order.reason.value,
        recorded=_told(dropped),
    )
    if not _was_killed_behind(job, line):
        jobs.log(folder, [line])
    files.write_file(folder / jobs.JOB, text.encode("utf-8"), overwrite=True)
    now = entry.model_copy(update={"role": role, "subject": subject, **dict.fromkeys(dropped)})
    return Moved(job.record.id, now, opened, dropped=tuple(dropped), record=job.record, item=item)


def _of_window(entry: ExhibitEntry) -> dict[str, str]:
    """What the record holds of a lock window in the photo, by key, each as one line of text."""
    held = {"frame": entry.frame, "neutral": entry.neutral, "reads": entry.reads}
    return {
        key: value if isinstance(value, str) else jsondoc.canonical(value.document()).decode()
        for key, value in held.items()
        if value is not None
    }


def _told(dropped: Mapping[str, str]) -> str | None:
    """For the log, so that nothing that somebody set is lost."""
    return "; ".join(f"{key}: {value}" for key, value in dropped.items()) or None


def _was_killed_behind(job: jobs.Job, line: IntakeEntry) -> bool:
    """Whether the log ends with this very change and the record was not written since: the change is logged already.

    The same change may also be wanted twice, there and back and there again; then the record is newer than the log.
    """
    last = job.intake.entries[-1:]
    if not last or last[0].model_copy(update={"at": line.at}) != line:
        return False
    logged, recorded = ((job.folder / name).stat().st_mtime_ns for name in (jobs.INTAKE, jobs.JOB))
    return logged > recorded


def _place(job: jobs.Job, entry: ExhibitEntry) -> str:
    """The position that evidence is of, or what else it belongs to."""
    return {each.id: each.subject for each in job.record.screws}.get(entry.subject, entry.subject)


def _without_slot(job: jobs.Job, text: str, place: tuple[Role, str], item: Item) -> str:
    """The record without the open slot that the moved exhibit takes the place of, if nothing names that slot."""
    for slot in slots.fillable(job, job.record.exhibits, item):
        fits = (slot.role, slot.subject) == place and not isinstance(slot.file, str)
        if fits and not places_of(slot.id, job.text.source):
            return edit.remove_entry(text, "exhibits", slot.id)
    return text


def _with_slot(plan: filing.Plan, text: str, entry: ExhibitEntry) -> tuple[str, tuple[ExhibitEntry, ...]]:
    """The record with a new open slot where the profile expects what the exhibit no longer shows."""
    if not _is_expected(plan.job, entry):
        return text, ()
    slot = ExhibitEntry.read(
        {
            "id": plan.free_id(),
            "role": entry.role.value,
            "subject": entry.subject,
            "file": {"state": "to come", "from": _who(plan.job.record, entry)},
        }
    )
    return edit.insert_exhibit(text, slot), (slot,)


def _who(record: JobRecord, entry: ExhibitEntry) -> str:
    """Who is to bring the file: whose entry it was, else the fitter, else whoever stands first in the record."""
    fitters = [person.id for person in record.people if Function.FITTER in person.functions]
    return entry.by or next(iter(fitters), record.people[0].id)


def _is_expected(job: jobs.Job, entry: ExhibitEntry) -> bool:
    """Whether the profile expects this role, and no other entry of the record stands for it."""
    others = [each for each in job.record.exhibits if each.id != entry.id]
    covered = any((each.role, each.subject) == (entry.role, entry.subject) for each in others)
    return not covered and any(
        expected.role == entry.role and entry.subject in slots.of_kind(job.record, expected.per)
        for expected in job.profile.expected
    )


def _across(folder: Path, target: Path, order: MoveOrder, reader: Reader) -> Moved:
    """Copy; log and record of the target; log and record of the source; the source file goes last."""
    source, plan = filing.Plan(folder), filing.Plan(target)
    job, other = source.job, plan.job
    if job.record.id == other.record.id:
        raise UsageError.one("move-same-job", str(target))
    finished = _half_done(job, other, order.exhibit)
    if finished is not None and order.exhibit not in {each.id for each in job.filed()}:
        return _cleared(job, other, finished, order)
    entry = _entry(job, order.exhibit)
    _refuse_referenced(job, entry.id)
    data, item = _bytes(job, entry), None
    if finished is not None and finished.sha256 == jsondoc.digest(data):
        there = _entry(other, finished.id)  # a run that was killed had got as far as the target's record
    else:
        role = order.role or entry.role
        item = read(data, str(entry.file), entry.id, reader=reader, codes=code_reader(role)).item
        subject = _subject_there(order, entry, source, plan)
        path, name = folder / str(entry.file), _original_name(job, entry)
        wanted = filing.Wanted(path, item, role, subject, lambda: data, name)
        line = _line(IntakeEvent.MOVE_IN, item.sha256, order, job.record.id, entry.id)
        line = line.model_copy(update={"first": _first_came(job, entry.id, item.sha256)})
        there = plan.file_one(wanted, order.at, line=line).entry
        for _, error in plan.store():
            raise error
    _copy_redacted(job, entry.id, other, there.id)
    return replace(_left(source, entry, data, order, (other, there)), record=other.record, item=item)


def _redacted(job: jobs.Job, exhibit: str) -> Path:
    return job.folder / f"{jobs.FOLDERS['document']}/{exhibit}.redacted.pdf"


def _copy_redacted(job: jobs.Job, exhibit: str, other: jobs.Job, there: str) -> None:
    """The copy without names that somebody made of a document goes where the document goes."""
    source, target = _redacted(job, exhibit), _redacted(other, there)
    if files.is_there(source) and not files.is_there(target):
        files.write_file(target, files.read_capped(source, filing.MAX_EXHIBIT))


def _subject_there(
    order: MoveOrder, entry: ExhibitEntry, source: filing.Plan, target: filing.Plan
) -> str | None:
    """A place keeps its name; ids of screws, tools or people say nothing about those of another job."""
    if order.subject is not None:
        return order.subject
    place = _place(source.job, entry)
    if place != "vehicle" and place not in {each.id for each in source.job.record.positions}:
        return None
    return target.subject_near(order.role or entry.role, place)


def _line(event: IntakeEvent, sha256: str, order: MoveOrder, job: str, other: str) -> IntakeEntry:
    return IntakeEntry(
        event=event,
        id=filing.UNFILED,
        sha256=sha256,
        at=order.at,
        reason=order.reason.value,
        job=job,
        other=other,
    )


def _first_came(job: jobs.Job, exhibit: str, sha256: str) -> str | None:
    """When these bytes came in, by the log: who judges them elsewhere must not take them for newer."""
    lines = (line for line in job.intake.entries if (line.id, line.sha256) == (exhibit, sha256))
    return next((line.first or line.at for line in lines), None)


def _left(
    source: filing.Plan,
    entry: ExhibitEntry,
    data: bytes,
    order: MoveOrder,
    there: tuple[jobs.Job, ExhibitEntry],
) -> Moved:
    """Take the exhibit out of the source: people, log, record, file."""
    job, folder = source.job, source.job.folder
    text = job.text.source.text
    opened: tuple[ExhibitEntry, ...] = ()
    if _is_expected(job, entry):
        text, opened = edit.reopen_slot(text, entry.id, _who(job.record, entry)), (entry,)
    else:
        text = edit.remove_entry(text, "exhibits", entry.id)
    dropped = _of_window(entry)
    line = _line(IntakeEvent.MOVE_OUT, jsondoc.digest(data), order, there[0].record.id, there[1].id)
    filing.log_once(job, [line.model_copy(update={"id": entry.id, "recorded": _told(dropped)})])
    if job.people_text and any(each.id == entry.id for each in job.people.file_names):
        # before the record: a name without its exhibit would make the job unreadable
        people = edit.remove_entry(job.people_text.source.text, "file_names", entry.id)
        files.write_file(folder / jobs.PEOPLE, people.encode("utf-8"), overwrite=True)
    files.write_file(folder / jobs.JOB, text.encode("utf-8"), overwrite=True)
    redacted, copied = _redacted(job, entry.id), _redacted(there[0], there[1].id)
    # one that somebody laid there before is another copy, and this one would be lost
    kept = files.is_there(redacted) and _sha256(redacted) != _sha256(copied)
    stays = [str(redacted) if kept else _removed(redacted), _removed(folder / str(entry.file))]
    left = next((each for each in stays if each), "")
    return Moved(there[0].record.id, there[1], opened, left, tuple(dropped))


def _removed(path: Path) -> str:
    """Remove the source file; where the system refuses, it stays and is told."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return str(path)
    return ""


def _half_done(job: jobs.Job, other: jobs.Job, exhibit: str) -> IntakeEntry | None:
    """The target's line of the same move, where its record still holds that very file."""
    filed = {entry.id: str(entry.file) for entry in other.filed()}
    lines = [
        line
        for line in other.intake.entries
        if line.event == IntakeEvent.MOVE_IN and (line.job, line.other) == (job.record.id, exhibit)
    ]
    if not lines or lines[-1].id not in filed:
        return None
    # moved back meanwhile, the place there may hold another file, and the source's would be the only one left
    return lines[-1] if _sha256(other.folder / filed[lines[-1].id]) == lines[-1].sha256 else None


def _cleared(job: jobs.Job, other: jobs.Job, finished: IntakeEntry, order: MoveOrder) -> Moved:
    """The end of a move that was killed before its last step: only the source file is left."""
    there = _entry(other, finished.id)
    if order.role not in (None, there.role) or order.subject not in (None, there.subject):
        # "is now ..." would answer a wish that nobody fulfilled
        parameters = {"role": there.role.value, "subject": there.subject, "job": other.record.id}
        raise UsageError.one(
            "move-done-otherwise", str(job.folder), found=order.exhibit, id=there.id, **parameters
        )
    left = [name for name in jobs.unlisted(job.folder, job.record) if _holds(job.folder / name, finished)]
    stays = [_removed(job.folder / name) for name in left]
    return Moved(other.record.id, there, (), next((each for each in stays if each), ""))


def _holds(path: Path, line: IntakeEntry) -> bool:
    return path.name.split(".", 1)[0] == line.other and _sha256(path) == line.sha256


def _sha256(path: Path) -> str:
    """Digest of a file; empty where it cannot be read."""
    try:
        return files.sha256_file(path).sha256
    except SillmarkError:
        return ""


def _entry(job: jobs.Job, exhibit: str) -> ExhibitEntry:
    entry = next((each for each in job.record.exhibits if each.id == exhibit), None)
    where = str(job.folder)
    if entry is None:
        known = ", ".join(each.id for each in job.filed()) or "-"
        raise UsageError.one("move-exhibit-unknown", where, found=exhibit, expected=known)
    if not isinstance(entry.file, str):
        raise UsageError.one("exhibit-open", where, found=exhibit)
    return entry


def _refuse_referenced(job: jobs.Job, exhibit: str) -> None:
    places = places_of(exhibit, job.text.source)
    places += places_of(exhibit, job.people_text.source) if job.people_text else ()
    if places:
        raise UsageError.one("exhibit-referenced", str(job.folder), found=exhibit, places=", ".join(places))


def _bytes(job: jobs.Job, entry: ExhibitEntry) -> bytes:
    """The file, which must be the one that was filed: moving would make a change look like a new file."""
    where = str(job.folder / str(entry.file))
    data = files.read_inside(job.folder, str(entry.file), filing.MAX_EXHIBIT, where=where)
    if job.intake.digests().get(entry.id, jsondoc.digest(data)) != jsondoc.digest(data):
        raise InputError.one("move-file-changed", where, found=entry.id)
    return data


def _original_name(job: jobs.Job, entry: ExhibitEntry) -> str:
    """What the file was called when it came in, as far as people.yaml says."""
    names = {each.id: each.name for each in job.people.file_names}
    return names.get(entry.id, str(entry.file).rsplit("/", 1)[-1])
