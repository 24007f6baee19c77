"""Start a job folder and file evidence in it, so that a crash half way loses nothing that was there."""

from dataclasses import dataclass
from pathlib import Path

import jinja2

from evidence import files, jobs, library
from evidence.errors import InputError, UsageError
from evidence.exhibits import Reader
from evidence.exhibits.reading import read
from evidence.model.exhibit import Item
from evidence.model.intake import IntakeEvent
from evidence.model.names import Role, SubjectKind
from evidence.model.profile import Profile
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import edit
from evidence.record.reader import read_profile

MAX_EXHIBIT = 64 * 1024 * 1024  # bytes; the readers have tighter caps of their own
EXTENSION = {"image/jpeg": "jpg", "image/png": "png", "application/pdf": "pdf", "text/csv": "csv"}
START_TEMPLATE = ("pages", "job.yaml.j2")


@dataclass(frozen=True)
class StartOrder:
    """What ``start`` was asked for.

    Attributes:
        profile: file of the fitting profile, copied into the folder.
        packs: packs of the basis.
        at: local time with offset, ``2026-03-04T08:00+01:00``.
    """

    profile: Path
    packs: tuple[str, ...]
    at: str
    vin: str | None = None
    build: str | None = None


@dataclass(frozen=True)
class Added:
    """One file that was filed."""

    source: Path
    entry: ExhibitEntry
    item: Item


def start(folder: Path, order: StartOrder) -> JobRecord:
    """Make a job folder with every expected exhibit open.

    Returns:
        The record as it now reads.

    Raises:
        UsageError: job-exists.
        InputError: the profile cannot be read, a pack is unknown, or VIN or build number has the wrong form.
    """
    data = files.read_capped(order.profile, jobs.MAX_TEXT)
    profile = read_profile(data, str(order.profile)).profile
    _known(order.packs)
    try:
        with files.publishing(folder) as new:
            text = _job_text(folder.name, profile, order)
            (new / jobs.JOB).write_text(text, encoding="utf-8")
            (new / jobs.PEOPLE).write_text(_people_text(), encoding="utf-8")
            (new / jobs.PROFILE).write_bytes(data)
            for name in (*sorted(set(jobs.FOLDERS.values())), jobs.PACKS):
                (new / name).mkdir()
            jobs.seed(new)
            return jobs.load(new).record
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
        UsageError: subject-needed, or subject-unknown.
        InputError: the job or the file cannot be read.
    """
    with jobs.locked(folder):
        job = jobs.load(folder)
        data = files.read_capped(source, MAX_EXHIBIT)
        slot = _open_slot(job.record, role, subject)
        exhibit = slot.id if slot else edit.next_id(job.record, "E")
        item = _item(data, source, exhibit, reader)
        entry = ExhibitEntry(
            id=exhibit,
            role=role,
            subject=slot.subject if slot else _subject(job.record, role, subject),
            file=f"{jobs.FOLDERS[item.kind]}/{exhibit}.{EXTENSION[item.media_type]}",
        )
        _store(job, entry, item, data, at)
        _remember_name(job, exhibit, source.name)
    return Added(source, entry, item)


def _known(references: tuple[str, ...]) -> None:
    known = library.shipped_references()
    unknown = [reference for reference in references if reference not in known]
    if unknown:
        raise UsageError.one("pack-not-shipped", unknown[0], found=unknown[0], expected=", ".join(known))


def _job_text(job_id: str, profile: Profile, order: StartOrder) -> str:
    template = files.packaged("templates", *START_TEMPLATE).read_text(encoding="utf-8")
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,  # noqa: S701 - YAML, not HTML
    )
    packs = [library.shipped(reference) for reference in order.packs]
    names = [pack.text.pack.standard.designation for pack in packs if pack and pack.text.pack.standard]
    return environment.from_string(template).render(
        id=job_id,
        profile=profile,
        slots=_slots(profile),
        day=order.at[:10],
        offset=order.at[16:],
        vin=order.vin,
        build=order.build,
        standard=names[0] if names else "to be stated",
        packs=order.packs,
    )


def _slots(profile: Profile) -> list[dict[str, str]]:
    subjects = {SubjectKind.VEHICLE: "vehicle", SubjectKind.POSITION: "p1"}
    wanted = [expected for expected in profile.expected if expected.per in subjects]
    return [
        {"id": f"E{number:03d}", "role": expected.role.value, "subject": subjects[expected.per]}
        for number, expected in enumerate(wanted, start=1)
    ]


def _people_text() -> str:
    return "format: sillmark-people/0\npeople:\n  - {id: w1, name: Name of the fitter}\n"


def _open_slot(record: JobRecord, role: Role, subject: str | None) -> ExhibitEntry | None:
    return next(
        (
            entry
            for entry in record.exhibits
            if entry.role == role and not isinstance(entry.file, str) and subject in (None, entry.subject)
        ),
        None,
    )


def _subject(record: JobRecord, role: Role, subject: str | None) -> str:
    if subject is not None:
        if subject != "vehicle" and subject not in record.identified():
            raise UsageError.one("subject-unknown", subject, found=subject)
        return subject
    used = sorted({entry.subject for entry in record.exhibits if entry.role == role})
    if len(used) == 1:
        return used[0]
    if len(record.positions) == 1 and not used:
        return record.positions[0].id
    raise UsageError.one("subject-needed", role.value, role=role.value, choices=", ".join(used) or "vehicle")


def _item(data: bytes, source: Path, exhibit: str, reader: Reader) -> Item:
    item = read(data, str(source), exhibit, reader=reader).item
    if item.kind not in jobs.FOLDERS:
        raise InputError.one("exhibit-not-filed", str(source), kind=item.kind)
    return item


def _store(job: jobs.Job, entry: ExhibitEntry, item: Item, data: bytes, at: str) -> None:
    # file, then log, then record: a crash in between leaves a file that no record names, never the reverse
    target = job.folder / str(entry.file)
    target.parent.mkdir(exist_ok=True)
    files.write_file(target, data)
    jobs.log(job.folder, [jobs.entry(IntakeEvent.ADD, entry.id, item.sha256, at)])
    text = job.text.source.text
    taken = {each.id for each in job.record.exhibits}
    changed = (
        edit.fill_slot(text, entry.id, str(entry.file))
        if entry.id in taken
        else edit.insert_exhibit(text, entry)
    )
    files.write_file(job.folder / jobs.JOB, changed.encode("utf-8"), overwrite=True)


def _remember_name(job: jobs.Job, exhibit: str, name: str) -> None:
    if job.people_text is None:
        return
    changed = edit.add_file_name(job.people_text.source.text, exhibit, name)
    files.write_file(job.folder / jobs.PEOPLE, changed.encode("utf-8"), overwrite=True)
