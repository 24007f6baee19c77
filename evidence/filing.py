"""File evidence in a job folder, so that a crash half way loses nothing that was there."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from evidence import files, jobs, jsondoc, packing, restoring, slots
from evidence.errors import InputError, SillmarkError, UsageError
from evidence.exhibits import Reader
from evidence.exhibits._base import Reading
from evidence.exhibits.reading import code_reader, read
from evidence.mentions import Mention, of_record
from evidence.model.exhibit import Item
from evidence.model.intake import IntakeEntry, IntakeEvent
from evidence.model.names import ROLE_KINDS, Role, SubjectKind
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import edit

MAX_EXHIBIT = packing.MAX_EXHIBIT
EXTENSION = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/heic": "heic",
    "application/pdf": "pdf",
    "text/csv": "csv",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": "xlsx",
    "application/vnd.oasis.opendocument.spreadsheet": "ods",
    "application/zip": "zip",
}
UNFILED = "E000"  # id of an item until its file has a place
_OWN_NAME = re.compile(r"[a-z]+/E[0-9]{3,9}(-[0-9]{1,3})?\.[a-z]{3,4}", re.ASCII)
_OF_A_PLACE = frozenset({SubjectKind.VEHICLE, SubjectKind.POSITION, SubjectKind.SCREWS})


@dataclass(frozen=True)
class Added:
    """One file that was filed.

    Attributes:
        same_as: exhibits that hold the same bytes already.
        mentions: where its text mentions what the record says that it states.
        back: exhibits with these bytes whose file was missing and is back; ``entry`` may be one of them.
        record: of the job, as it was before.
        reading: all that was read in it, where it was read now.
        left_out: files of the folder that was given which are no part of what was filed.
    """

    source: Path
    entry: ExhibitEntry
    item: Item
    same_as: tuple[str, ...] = ()
    mentions: tuple[Mention, ...] = ()
    back: tuple[str, ...] = ()
    record: JobRecord | None = None
    reading: Reading | None = None
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wanted:
    """One file that was read and is to be filed.

    Attributes:
        source: where it lies.
        item: what its reader said; its id stands for nothing yet.
        role: what it shows.
        subject: what it belongs to; None takes the first open slot of the role, else the only sensible one.
        load: its bytes, read when they are copied.
        name: what it was called when it first came in, where that is not the name of ``source``.
    """

    source: Path
    item: Item
    role: Role
    subject: str | None
    load: Callable[[], bytes]
    name: str | None = None


@dataclass(frozen=True)
class Planned:
    """What was wanted, with the place it gets in the record and its line in the log."""

    wanted: Wanted
    entry: ExhibitEntry
    line: IntakeEntry
    same_as: tuple[str, ...]

    @property
    def added(self) -> Added:
        """The same, told as filed."""
        item = self.wanted.item.model_copy(update={"id": self.entry.id})
        return Added(self.wanted.source, self.entry, item, self.same_as)


class Plan:
    """Places for files in a job whose lock is held; ``store`` writes them all at once.

    Attributes:
        job: as read under the lock.
        planned: what has got its place, in that order.
    """

    def __init__(self, folder: Path) -> None:
        """Read the job.

        Raises:
            InputError: the job cannot be read, or its files are closed to writing.
        """
        self.job = jobs.load(folder)
        for name in (jobs.JOB, jobs.PEOPLE, jobs.INTAKE):
            files.require_writable(folder / name)
        self.planned: list[Planned] = []
        self._logged = self.job.intake.digests()
        self._remains = _remains(self.job)
        self._used = {line.id for line in self.job.intake.entries} | set(self.job.record.identified())
        self._used |= {_stem(name) for name in jobs.filed_names(folder)}

    def refuse_twice(self, source: Path, sha256: str, role: Role, subject: str | None) -> None:
        """One file can show two things, but not one thing twice.

        Raises:
            UsageError: already-filed.
        """
        if twin := self.twin(sha256, role, subject):
            raise UsageError.one("already-filed", str(source), found=twin.id, role=role.value)

    def twin(self, sha256: str, role: Role, subject: str | None) -> ExhibitEntry | None:
        """What shows the same thing with the same bytes already."""
        same = (twin for twin in self._twins(sha256) if twin.role == role)
        return next((twin for twin in same if subject in (None, twin.subject)), None)

    def file_one(self, wanted: Wanted, at: str, *, line: IntakeEntry | None = None) -> Planned:
        """Give one file its place.

        Args:
            wanted: the file.
            at: local time with offset.
            line: for the log, where it is not the usual one; its id is put in here.

        Raises:
            UsageError: subject-needed, subject-unknown, subject-not-recorded, or already-filed.
            InputError: exhibit-not-filed, role-of-another-kind.
        """
        item, role = wanted.item, wanted.role
        require_kind(item, wanted.source, role)
        self.refuse_twice(wanted.source, item.sha256, role, wanted.subject)
        slot = _open_slot(slots.fillable(self.job, self._open(), item), role, wanted.subject)
        subject = slot.subject if slot else slots.subject_of(self.job, role, wanted.subject)
        exhibit = slot.id if slot else self.free_id(item.sha256)
        target = _target(self.job, item, exhibit)
        entry = ExhibitEntry(id=exhibit, role=role, subject=subject, file=target)
        line = line or jobs.entry(IntakeEvent.ADD, exhibit, item.sha256, at)
        same_as = tuple(twin.id for twin in self._twins(item.sha256))
        made = Planned(wanted, entry, line.model_copy(update={"id": exhibit}), same_as)
        self.planned.append(made)
        self._used.add(exhibit)
        return made

    def store(self) -> list[tuple[Planned, SillmarkError]]:
        """Copy the files, then write the log, then the record: a crash leaves files that no record names, no more.

        Returns:
            What could not be copied, and why; all else is filed.

        Raises:
            InputError: the record is laid out so that nothing can be put in, or cannot be written.
        """
        if not self.planned:
            return []
        texts = _texts(self.job, self.planned)  # what can be refused is refused before anything is written
        refused: list[tuple[Planned, SillmarkError]] = []
        for each in self.planned:
            try:
                _copy(self.job.folder / str(each.entry.file), each.wanted.load)
            except SillmarkError as error:
                refused.append((each, error))
        if refused:
            gone = {each.entry.id for each, _ in refused}
            self.planned = [each for each in self.planned if each.entry.id not in gone]
            texts = _texts(self.job, self.planned)
        if self.planned:
            _write(self.job, [each.line for each in self.planned], texts)
        return refused

    def subject_near(self, role: Role, place: str) -> str | None:
        """What evidence of a role belongs to that is of a position, or of the vehicle; None where that does not say.

        Args:
            role: what it shows.
            place: ``vehicle`` or the id of a position.
        """
        record = self.job.record
        kinds = slots.subject_kinds(self.job, role)
        if kinds == {SubjectKind.VEHICLE}:
            return "vehicle"
        if kinds == {SubjectKind.SCREWS}:
            groups = [each.id for each in record.screws if place in ("vehicle", each.subject)]
            return groups[0] if len(groups) == 1 else place
        if kinds == {SubjectKind.POSITION} and place == "vehicle" and len(record.positions) == 1:
            return record.positions[0].id
        return None if kinds and kinds.isdisjoint(_OF_A_PLACE) else place

    def _open(self) -> list[ExhibitEntry]:
        taken = {each.entry.id for each in self.planned}
        return [
            entry
            for entry in self.job.record.exhibits
            if not isinstance(entry.file, str) and entry.id not in taken
        ]

    def _twins(self, sha256: str) -> list[ExhibitEntry]:
        """Exhibits that were filed with the same bytes and have their file, or are about to be filed."""
        same = [entry for entry in self.job.filed() if self._logged.get(entry.id) == sha256]
        filed = [entry for entry in same if restoring.is_there(self.job, entry)]
        return filed + [each.entry for each in self.planned if each.wanted.item.sha256 == sha256]

    def free_id(self, sha256: str = "") -> str:
        """The id under which a killed run left these very bytes, else one that no record, log or file has."""
        left = self._remains.pop(sha256, None)
        if left is not None:
            return left
        first = edit.next_id(self.job.record, "E")
        return next(each for number in count(int(first[1:])) if (each := f"E{number:03d}") not in self._used)


def add(folder: Path, source: Path, role: Role, subject: str | None, at: str, reader: Reader) -> Added:
    """File one piece of evidence: copy, log, then write the record; a file that is missing goes back to its place.

    Args:
        folder: the job.
        source: the file as it came in, or the folder of a set of channels.
        role: what it shows.
        subject: what it belongs to; None takes the first open slot of the role, else the only sensible one.
        at: local time with offset.
        reader: runs readers of hostile formats.

    Raises:
        UsageError: subject-needed, subject-unknown, subject-not-recorded, or already-filed.
        InputError: the job or the file cannot be read, or written; role-of-another-kind; as ``packing.pack``.
    """
    with jobs.locked(folder):
        plan = Plan(folder)
        taken = _taken(source, role)
        data = taken.data
        plan.refuse_twice(source, jsondoc.digest(data), role, subject)
        reading = _reading(taken, role, reader)
        missing = restoring.gone(plan.job).get(reading.item.sha256, [])
        added = _back(source, reading.item, _open_slot(missing, role, subject))
        if added is None:
            wanted = Wanted(source, reading.item, role, subject, lambda: data, taken.name)
            added = plan.file_one(wanted, at).added
        back = restoring.put_back(plan.job, reading.item.sha256, lambda: data)
        for _, error in plan.store():
            raise error
    found = of_record(plan.job.record, {added.entry.id: reading.page_texts})
    ids = tuple(entry.id for entry in back)
    added = replace(added, reading=reading, left_out=taken.left_out)
    return replace(added, mentions=found, back=ids, record=plan.job.record)


def _taken(source: Path, role: Role) -> packing.Taken:
    """The bytes of what was given; a folder only where the role takes sets of channels."""
    if "channels" in ROLE_KINDS[role]:
        return packing.take(source)
    return packing.Taken(files.read_capped(source, MAX_EXHIBIT), str(source), source.name)


def _reading(taken: packing.Taken, role: Role, reader: Reader) -> Reading:
    reading = read(taken.data, taken.where, UNFILED, reader=reader, codes=code_reader(role))
    if not taken.packed:
        return reading
    # a folder has no ending that could promise anything
    noticed = tuple(code for code in reading.item.warnings if code != "exhibit-extension")
    return replace(reading, item=reading.item.model_copy(update={"warnings": noticed}))


def _back(source: Path, item: Item, entry: ExhibitEntry | None) -> Added | None:
    """What is filed as wanted already and only lacks its file."""
    return Added(source, entry, item.model_copy(update={"id": entry.id})) if entry else None


def _open_slot(slots: Iterable[ExhibitEntry], role: Role, subject: str | None) -> ExhibitEntry | None:
    fitting = (slot for slot in slots if slot.role == role and subject in (None, slot.subject))
    return next(fitting, None)


def _remains(job: jobs.Job) -> dict[str, str]:
    """What a killed run copied and did not get into the record: digest to the id that it was given."""
    known = set(job.record.identified())
    names = [name for name in jobs.unlisted(job.folder, job.record) if _OWN_NAME.fullmatch(name)]
    left = {name: _stem(name).split("-", 1)[0] for name in names}
    return {
        digest: exhibit
        for name, exhibit in sorted(left.items(), reverse=True)
        if exhibit not in known and (digest := _digest(job.folder, name))
    }


def _stem(path: str) -> str:
    return path.rsplit("/", 1)[-1].split(".", 1)[0]


def require_kind(item: Item, source: Path, role: Role) -> None:
    """Refuse a file of a kind that cannot show a role.

    Raises:
        InputError: exhibit-not-filed or role-of-another-kind.
    """
    if item.kind not in jobs.FOLDERS:
        raise InputError.one("exhibit-not-filed", str(source), kind=item.kind)
    if item.kind not in ROLE_KINDS[role]:
        kinds = ", ".join(sorted(ROLE_KINDS[role]))
        raise InputError.one(
            "role-of-another-kind", str(source), role=role.value, found=item.kind, expected=kinds
        )


def _target(job: jobs.Job, item: Item, exhibit: str) -> str:
    """Where the copy goes: a name that is free, or one under which a killed run left these very bytes."""
    folder, ending = jobs.FOLDERS[item.kind], EXTENSION[item.media_type]
    names = (
        f"{folder}/{exhibit}{each}.{ending}" for each in ("", *(f"-{number}" for number in range(2, 1000)))
    )
    listed = {entry.file for entry in job.filed()}
    for name in names:
        if not files.is_there(job.folder / name):
            return name
        if name not in listed and _digest(job.folder, name) == item.sha256:
            return name
    raise UsageError.one("file-exists", str(job.folder / folder / exhibit))


def _digest(folder: Path, name: str) -> str:
    try:
        return files.sha256_inside(folder, [name])[name].sha256
    except InputError:
        return ""


def _copy(target: Path, load: Callable[[], bytes]) -> None:
    if not files.is_there(target):
        data = load()
        files.make_folder(target.parent)
        files.write_file(target, data)


def _texts(job: jobs.Job, planned: Sequence[Planned]) -> tuple[bytes, bytes | None]:
    """job.yaml and people.yaml with what is filed; no people.yaml where there is none."""
    record = edit.file_exhibits(job.text.source.text, [each.entry for each in planned]).encode("utf-8")
    if job.people_text is None:
        return record, None
    names = {each.entry.id: each.wanted.name or each.wanted.source.name for each in planned}
    return record, edit.add_file_names(job.people_text.source.text, names).encode("utf-8")


def _write(job: jobs.Job, lines: Sequence[IntakeEntry], texts: tuple[bytes, bytes | None]) -> None:
    log_once(job, lines)
    record, people = texts
    files.write_file(job.folder / jobs.JOB, record, overwrite=True)
    if people is not None:
        files.write_file(job.folder / jobs.PEOPLE, people, overwrite=True)


def log_once(job: jobs.Job, lines: Iterable[IntakeEntry]) -> None:
    """Append to the log of a job what a run that was killed behind the log has not written already."""
    last = {line.id: line for line in job.intake.entries}
    new = [line for line in lines if not _says_the_same(last.get(line.id), line)]
    if new:
        jobs.log(job.folder, new)


def _says_the_same(one: IntakeEntry | None, other: IntakeEntry) -> bool:
    return one is not None and one.model_copy(update={"at": other.at}) == other
