"""Start a job folder and file evidence in it, so that a crash half way loses nothing that was there."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import jinja2

from evidence import files, jobs, jsondoc, library
from evidence.errors import InputError, Problem, SillmarkError, UsageError, printable
from evidence.exhibits import Reader
from evidence.exhibits.reading import read
from evidence.model.exhibit import Item
from evidence.model.intake import IntakeEvent
from evidence.model.names import ROLE_KINDS, Role, SubjectKind
from evidence.model.profile import Profile
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import edit
from evidence.record.reader import read_profile

MAX_EXHIBIT = 64 * 1024 * 1024  # bytes; the readers have tighter caps of their own
EXTENSION = {"image/jpeg": "jpg", "image/png": "png", "application/pdf": "pdf", "text/csv": "csv"}
START_TEMPLATE = ("pages", "job.yaml.j2")
PEOPLE_TEMPLATE = ("pages", "people.yaml.j2")
NO_STANDARD = "common practice, no standard"
PRIVATE = 0o600  # people.yaml holds names
_ARGUMENTS = {"/vehicle/vin": "--vin", "/vehicle/build": "--build", "/id": "JOB", "/bases": "--pack"}
"""Places of the new record to the arguments that they come from."""
_OF_SCREWS = frozenset({Role.SCREWS, Role.WITNESS_MARKS})


@dataclass(frozen=True)
class StartOrder:
    """What ``start`` was asked for.

    Attributes:
        profile: file of the fitting profile, copied into the folder.
        packs: packs of the basis.
        at: local time with offset, ``2026-03-04T08:00+01:00``.
        vin, build: what the vehicle is known by; one of them is needed.
    """

    profile: Path
    packs: tuple[str, ...]
    at: str
    vin: str | None = None
    build: str | None = None


@dataclass(frozen=True)
class Added:
    """One file that was filed.

    Attributes:
        same_as: exhibits that hold the same bytes already.
    """

    source: Path
    entry: ExhibitEntry
    item: Item
    same_as: tuple[str, ...] = ()


def start(folder: Path, order: StartOrder) -> JobRecord:
    """Make a job folder with every expected exhibit open.

    Returns:
        The record as it now reads.

    Raises:
        UsageError: job-exists, pack-not-shipped, vehicle-not-named or argument-empty.
        InputError: the profile cannot be read, or VIN or build number has the wrong form; places are arguments.
    """
    if files.is_there(folder):
        raise UsageError.one("job-exists", str(folder))
    _check_arguments(order)
    data = files.read_capped(order.profile, jobs.MAX_TEXT)
    profile = read_profile(data, str(order.profile)).profile
    try:
        with files.publishing(folder) as new:
            files.write_new(new / jobs.JOB, _job_text(folder.name, profile, order).encode("utf-8"))
            files.write_new(new / jobs.PEOPLE, _rendered(PEOPLE_TEMPLATE, {}).encode("utf-8"), mode=PRIVATE)
            files.write_new(new / jobs.PROFILE, data)
            for name in (*sorted(set(jobs.FOLDERS.values())), jobs.PACKS):
                files.make_folder(new / name)
            jobs.seed(new)
            return _loaded(new, folder, order)
    except FileExistsError as error:
        raise UsageError.one("job-exists", str(folder)) from error


def add(folder: Path, source: Path, role: Role, subject: str | None, at: str, reader: Reader) -> Added:
    """File one piece of evidence: copy, log, then write the record.

    Args:
        folder: the job.
        source: the file as it came in.
        role: what it shows.
        subject: what it belongs to; None takes the first open slot of the role, else the only sensible one.
        at: local time with offset.
        reader: runs readers of hostile formats.

    Raises:
        UsageError: subject-needed, subject-unknown, subject-not-recorded, or already-filed.
        InputError: the job or the file cannot be read, or written; role-of-another-kind.
    """
    with jobs.locked(folder):
        job = jobs.load(folder)
        for name in (jobs.JOB, jobs.PEOPLE, jobs.INTAKE):
            files.require_writable(folder / name)
        data = files.read_capped(source, MAX_EXHIBIT)
        twins = _twins(job, jsondoc.digest(data))
        _refuse_twice(twins, source, role, subject)
        slot = _open_slot(job.record, role, subject)
        exhibit = slot.id if slot else _free_id(job)
        item = _item(data, source, exhibit, role, reader)
        entry = ExhibitEntry(
            id=exhibit,
            role=role,
            subject=slot.subject if slot else _subject(job, role, subject),
            file=_target(job, item),
        )
        _store(job, entry, item, data, at, source.name)
    return Added(source, entry, item, tuple(twin.id for twin in twins))


def _check_arguments(order: StartOrder) -> None:
    for option, value in (("--build", order.build), ("--vin", order.vin)):
        if value is not None and not value.strip():
            raise UsageError.one("argument-empty", option)
    if order.build is None and order.vin is None:
        raise UsageError.one("vehicle-not-named", "--build")
    known = library.shipped_references()
    unknown = [reference for reference in order.packs if reference not in known]
    if unknown:
        raise UsageError(
            Problem("pack-not-shipped", "--pack", "", {"found": each, "expected": ", ".join(known)})
            for each in dict.fromkeys(unknown)
        )


def _loaded(new: Path, folder: Path, order: StartOrder) -> JobRecord:
    try:
        return jobs.load(new).record
    except SillmarkError as error:
        raise type(error)(_at_argument(problem, new, folder, order) for problem in error.problems) from error


def _at_argument(problem: Problem, new: Path, folder: Path, order: StartOrder) -> Problem:
    """A problem of the folder that is being made, at the argument where a person can mend it."""
    relative = problem.where.removeprefix(printable(str(new)) + "/")
    name, _, place = relative.partition(":")
    if name == jobs.PROFILE:
        where, pointer = f"{order.profile}:{place}", problem.pointer
    elif name == jobs.JOB:
        argument = next((each for each in _ARGUMENTS if problem.pointer.startswith(each)), "")
        # what comes from no other argument was taken from the profile
        where, pointer = _ARGUMENTS.get(argument, str(order.profile)), "" if argument else problem.pointer
    else:
        where, pointer = str(folder / relative), problem.pointer
    return Problem(problem.code, where, pointer, problem.parameters)


def _rendered(template: tuple[str, ...], values: dict[str, object]) -> str:
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,  # noqa: S701 - YAML, not HTML
    )
    environment.filters["quoted"] = _quoted
    source = files.packaged("templates", *template).read_text(encoding="utf-8")
    return environment.from_string(source).render(values)


def _quoted(text: str) -> str:
    """Text as JSON, which YAML reads as the same text whatever is in it."""
    return json.dumps(printable(text), ensure_ascii=False)


def _job_text(job_id: str, profile: Profile, order: StartOrder) -> str:
    return _rendered(
        START_TEMPLATE,
        {
            "id": job_id,
            "profile": profile,
            "slots": _slots(profile),
            "day": order.at[:10],
            "offset": order.at[16:],
            "vin": order.vin,
            "build": order.build,
            "bases": _bases(order.packs),
        },
    )


def _bases(references: tuple[str, ...]) -> list[tuple[str, list[str]]]:
    """Each standard with its packs; packs of no standard stand with the first."""
    bases: dict[str, list[str]] = {}
    general: list[str] = []
    for reference in dict.fromkeys(references):
        pack = library.shipped(reference)
        standard = pack.text.pack.standard if pack else None
        (bases.setdefault(standard.designation, []) if standard else general).append(reference)
    if general:
        bases.setdefault(next(iter(bases), NO_STANDARD), []).extend(general)
    return list(bases.items())


def _slots(profile: Profile) -> list[dict[str, str]]:
    subjects = {SubjectKind.VEHICLE: "vehicle", SubjectKind.POSITION: "p1"}
    wanted = [expected for expected in profile.expected if expected.per in subjects]
    return [
        {"id": f"E{number:03d}", "role": expected.role.value, "subject": subjects[expected.per]}
        for number, expected in enumerate(wanted, start=1)
    ]


def _twins(job: jobs.Job, digest: str) -> list[ExhibitEntry]:
    """Exhibits that were filed with the same bytes."""
    logged = job.intake.digests()
    return [entry for entry in job.filed() if logged.get(entry.id) == digest]


def _refuse_twice(twins: Iterable[ExhibitEntry], source: Path, role: Role, subject: str | None) -> None:
    """One file can show two things, but not one thing twice."""
    for twin in twins:
        if twin.role == role and subject in (None, twin.subject):
            raise UsageError.one("already-filed", str(source), found=twin.id, role=role.value)


def _open_slot(record: JobRecord, role: Role, subject: str | None) -> ExhibitEntry | None:
    return next(
        (
            entry
            for entry in record.exhibits
            if entry.role == role and not isinstance(entry.file, str) and subject in (None, entry.subject)
        ),
        None,
    )


def _subject(job: jobs.Job, role: Role, subject: str | None) -> str:
    record = job.record
    if subject is not None:
        if subject != "vehicle" and subject not in record.identified():
            raise UsageError.one("subject-unknown", subject, found=subject)
        return subject
    choices = _choices(job, role)
    if len(choices) == 1:
        return choices[0]
    raise UsageError.one(
        "subject-needed", role.value, role=role.value, choices=", ".join(choices) or "vehicle"
    )


def _choices(job: jobs.Job, role: Role) -> list[str]:
    """What an exhibit of a role may belong to: by the profile, else by what the record has of that role."""
    kinds = {expected.per for expected in job.profile.expected if expected.role == role}
    if role in _OF_SCREWS:
        kinds = kinds or {SubjectKind.SCREWS}
    if len(kinds) != 1:
        used = sorted({entry.subject for entry in job.record.exhibits if entry.role == role})
        return used or [position.id for position in job.record.positions]
    kind = kinds.pop()
    choices = _of_kind(job.record, kind)
    if not choices:
        raise UsageError.one("subject-not-recorded", role.value, role=role.value, kind=kind.value)
    return choices


def _of_kind(record: JobRecord, kind: SubjectKind) -> list[str]:
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


def _free_id(job: jobs.Job) -> str:
    """The next id that neither the record nor the log nor a file that lies there has, so no remains are in the way."""
    used = {line.id for line in job.intake.entries}
    used |= {_stem(name) for name in jobs.filed_names(job.folder)}
    first = edit.next_id(job.record, "E")
    return next(each for number in count(int(first[1:])) if (each := f"E{number:03d}") not in used)


def _stem(path: str) -> str:
    return path.rsplit("/", 1)[-1].split(".", 1)[0]


def _item(data: bytes, source: Path, exhibit: str, role: Role, reader: Reader) -> Item:
    item = read(data, str(source), exhibit, reader=reader).item
    if item.kind not in jobs.FOLDERS:
        raise InputError.one("exhibit-not-filed", str(source), kind=item.kind)
    if item.kind not in ROLE_KINDS[role]:
        kinds = ", ".join(sorted(ROLE_KINDS[role]))
        raise InputError.one(
            "role-of-another-kind", str(source), role=role.value, found=item.kind, expected=kinds
        )
    return item


def _target(job: jobs.Job, item: Item) -> str:
    """Where the copy goes: a name that is free, or one under which a killed run left these very bytes."""
    folder, ending = jobs.FOLDERS[item.kind], EXTENSION[item.media_type]
    names = (
        f"{folder}/{item.id}{each}.{ending}" for each in ("", *(f"-{number}" for number in range(2, 1000)))
    )
    listed = {entry.file for entry in job.filed()}
    for name in names:
        if not files.is_there(job.folder / name):
            return name
        if name not in listed and _digest(job.folder, name) == item.sha256:
            return name
    raise UsageError.one("file-exists", str(job.folder / folder / item.id))


def _digest(folder: Path, name: str) -> str:
    try:
        return files.sha256_inside(folder, [name])[name].sha256
    except InputError:
        return ""


def _store(job: jobs.Job, entry: ExhibitEntry, item: Item, data: bytes, at: str, name: str) -> None:
    # what can be refused is refused before anything is written; then file, log, record: a crash in between leaves a
    # file that no record names, never the reverse
    record, people = _record_with(job, entry), _people_with(job, entry.id, name)
    target = job.folder / str(entry.file)
    files.make_folder(target.parent)
    if not files.is_there(target):
        files.write_file(target, data)
    jobs.log(job.folder, [jobs.entry(IntakeEvent.ADD, entry.id, item.sha256, at)])
    files.write_file(job.folder / jobs.JOB, record, overwrite=True)
    if people is not None:
        files.write_file(job.folder / jobs.PEOPLE, people, overwrite=True)


def _record_with(job: jobs.Job, entry: ExhibitEntry) -> bytes:
    text = job.text.source.text
    if entry.id in {each.id for each in job.record.exhibits}:
        return edit.fill_slot(text, entry.id, str(entry.file)).encode("utf-8")
    return edit.insert_exhibit(text, entry).encode("utf-8")


def _people_with(job: jobs.Job, exhibit: str, name: str) -> bytes | None:
    if job.people_text is None:
        return None
    return edit.add_file_name(job.people_text.source.text, exhibit, name).encode("utf-8")
