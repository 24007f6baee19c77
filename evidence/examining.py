"""Read every evidence file of a job once: what it is, its numbers, and the picture that will be printed."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from evidence import files, gauging, jobs, jsondoc, labtests, pulling, pulsing
from evidence.errors import InputError, MissingToolError, Problem, SillmarkError
from evidence.exhibits import Reader
from evidence.exhibits._base import Reading
from evidence.exhibits.personal import of_record, personal_headings, without_personal
from evidence.exhibits.reading import code_reader, read, unreadable
from evidence.judge import recorded_text
from evidence.model.exhibit import Item
from evidence.model.intake import Intake, IntakeEntry, IntakeEvent
from evidence.model.measurement import Marks, WindowReading
from evidence.model.names import KEY_PHOTO_ROLES, ClaimName, Role
from evidence.model.record import ExhibitEntry
from evidence.model.stub import STUB_FORMAT
from evidence.register.resolve import resolve

MAX_EXHIBIT = 64 * 1024 * 1024  # bytes; the readers have tighter caps of their own
HANDS = frozenset({ClaimName.WITNESS, ClaimName.SIGNATURE})  # who witnessed or signed is personal
KEY_ROLES = KEY_PHOTO_ROLES | {Role.WHICH_VEHICLE}  # printed larger


@dataclass(frozen=True)
class Examined:
    """What the evidence files of a job hold.

    Attributes:
        items: exhibit id to what was read; files that are missing have none.
        tables: exhibit id of a table to one tuple of decimal strings per column.
        texts: exhibit id of a document to the text of each page; never stored.
        sources: exhibit id to the file in the job folder.
        twins: exhibit id to name below ``derived/`` and bytes of its redacted twin or stub.
        changed: exhibits whose bytes are not those of the intake log.
        new: lines that the intake log lacks: files read or measured for the first time.
        measurements: what photos gave, by quantity and subject.
        marks: exhibit id of a measured photo to where the measurement's lines lie in it.
        windows: exhibit id of a photo of a lock window to what it shows.
        results: what was computed from channels of tests, by what asked for it and test.
        pulls: id of a static pull to its course, where a dossier is to be printed.
        pulses: id of a sled run to its curves, likewise.
    """

    items: Mapping[str, Item]
    tables: Mapping[str, tuple[tuple[str, ...], ...]]
    texts: Mapping[str, tuple[str, ...]]
    sources: Mapping[str, Path]
    twins: Mapping[str, tuple[str, bytes]]
    changed: frozenset[str]
    new: tuple[IntakeEntry, ...]
    measurements: gauging.Measurements = field(default_factory=dict)
    marks: Mapping[str, Marks] = field(default_factory=dict)
    windows: Mapping[str, WindowReading] = field(default_factory=dict)
    results: labtests.Results = field(default_factory=dict)
    pulls: Mapping[str, pulling.Course] = field(default_factory=dict)
    pulses: Mapping[str, tuple[pulsing.DrawnCurve, ...]] = field(default_factory=dict)


def examine(job: jobs.Job, reader: Reader, at: str, *, twins: bool) -> Examined:
    """Read the job's evidence files, one after the other.

    Args:
        job: the job folder as read.
        reader: runs readers of hostile formats.
        at: local time with offset, for files that the log does not know.
        twins: make what only a dossier needs as well: redacted twins, which take most of the time, and curves.

    Raises:
        InputError: a path that is no regular file or cannot be read; what a reader refuses becomes an item.
    """
    readings: dict[str, Reading] = {}
    made: dict[str, tuple[str, bytes]] = {}
    sources: dict[str, Path] = {}
    problems: list[Problem] = []
    for entry in job.filed():
        path = job.folder / str(entry.file)
        if not files.is_there(path):
            continue
        data = files.read_inside(job.folder, str(entry.file), MAX_EXHIBIT, where=str(path))
        photo = _photo_reader(entry) if twins else "photo"
        reading = read_or_say_why(data, str(entry.file), (entry.id, entry.role), reader, photo=photo)
        problems += personal_headings(reading.item, job.people, str(path))
        known = of_record(reading.item, job.record)
        readings[entry.id] = reading = replace(reading, item=without_personal(known, job.people))
        sources[entry.id] = path
        if twins and (twin := _twin(job, entry, reading, reader)):
            made[entry.id] = twin
    if problems:
        raise InputError(problems)
    items = {exhibit: reading.item for exhibit, reading in readings.items()}
    tables = {exhibit: reading.values for exhibit, reading in readings.items() if reading.values}
    changed = changed_since_filed(items, job.intake)
    texts = {exhibit: reading.page_texts for exhibit, reading in readings.items() if reading.page_texts}
    asked = (job.record, job.profile, items, lambda exhibit: _file(job, exhibit), reader)
    measurements, marks = gauging.of_job(*asked)
    windows = gauging.of_windows(*asked)
    demands = resolve(job.record, job.profile, {name: pack.text.pack for name, pack in job.packs.items()})
    results = labtests.of_job(job.record, demands, readings)
    new = (*_unlogged(items, job.intake, at), *_unmeasured(job, items, (measurements, windows), at))
    found = Examined(items, tables, texts, sources, made, changed, new, measurements, marks, windows, results)
    if not twins:
        return found
    drawn = pulsing.curves(job.record, demands, readings, results)
    return replace(found, pulls=pulling.courses(job.record, readings), pulses=drawn)


def _file(job: jobs.Job, exhibit: str) -> tuple[bytes, str]:
    name = next(str(entry.file) for entry in job.filed() if entry.id == exhibit)
    # by its name in the job: a folder's own name may be no text, and a reader is told where in text
    return files.read_inside(job.folder, name, MAX_EXHIBIT, where=str(job.folder / name)), name


def _unmeasured(
    job: jobs.Job,
    items: Mapping[str, Item],
    told: tuple[gauging.Measurements, Mapping[str, WindowReading]],
    at: str,
) -> list[IntakeEntry]:
    """Lines for photos that are measured for the first time: what they show is known from now on."""
    logged = {(line.id, line.sha256) for line in job.intake.entries if line.event == IntakeEvent.MEASURE}
    measurements, windows = told
    recorded: list[tuple[str, str | None]] = [
        (exhibit, recorded_text(gauging.hook_values(job.record, subject)))
        for (_, subject), measurement in sorted(measurements.items())
        for exhibit in measurement.exhibits
    ]
    recorded += [(exhibit, None) for exhibit in sorted(windows)]
    return [
        IntakeEntry(event=IntakeEvent.MEASURE, id=exhibit, sha256=items[exhibit].sha256, at=at, recorded=text)
        for exhibit, text in recorded
        if (exhibit, items[exhibit].sha256) not in logged
    ]


def read_or_say_why(
    data: bytes, where: str, exhibit: tuple[str, Role], reader: Reader, *, photo: str = "photo"
) -> Reading:
    """One evidence file; what no reader accepts becomes an item that says why nothing rests on it.

    Args:
        data: the whole file.
        where: name for messages.
        exhibit: its id, and its role, which says whether codes are looked for.
        reader: runs readers of hostile formats.
        photo: which reader takes photos.
    """
    identity, role = exhibit
    try:
        return read(data, where, identity, reader=reader, photo=photo, codes=code_reader(role))
    except (InputError, MissingToolError) as error:
        return Reading(unreadable(data, error, identity))


def changed_since_filed(items: Mapping[str, Item], intake: Intake) -> frozenset[str]:
    """Exhibits whose bytes are not those of the intake log."""
    logged = intake.digests()
    return frozenset(
        exhibit for exhibit, item in items.items() if logged.get(exhibit, item.sha256) != item.sha256
    )


def _photo_reader(entry: ExhibitEntry) -> str:
    return "print-key" if entry.role in KEY_ROLES else "print-other"


def _twin(job: jobs.Job, entry: ExhibitEntry, reading: Reading, reader: Reader) -> tuple[str, bytes] | None:
    item = reading.item
    if reading.printed is not None:
        return f"{entry.id}.redacted.jpg", reading.printed
    if item.kind == "document":
        supplied = f"documents/{entry.id}.redacted.pdf"
        path = job.folder / supplied
        if files.is_there(path):
            data = files.read_inside(job.folder, supplied, MAX_EXHIBIT, where=str(path))
            _check_supplied(data, str(path), item, reader)
            return f"{entry.id}.redacted.pdf", data
        return f"{entry.id}.redacted.json", jsondoc.canonical(_stub(job, entry, item))
    return None


def _check_supplied(data: bytes, where: str, original: Item, reader: Reader) -> None:
    """A redacted copy is a readable PDF, and not the original itself: it will be shown to everybody."""
    found = read(data, where, original.id, reader=reader).item
    if found.kind != "document" or found.sha256 == original.sha256:
        raise InputError.one("redacted-copy-wrong", where, found=found.kind)


def _stub(job: jobs.Job, entry: ExhibitEntry, item: Item) -> dict[str, Any]:
    claims = [
        {
            "name": claim.name.value,
            **({"value": claim.value} if isinstance(claim.value, str) and claim.name not in HANDS else {}),
            **({"page": claim.page} if claim.page is not None else {}),
        }
        for document in job.record.documents
        if document.exhibit == entry.id
        for claim in document.claims
    ]
    pages = item.pdf.pages if item.pdf else None
    return {"format": STUB_FORMAT, "id": entry.id, "pages": pages, "claims": claims}


def _unlogged(items: Mapping[str, Item], intake: Intake, at: str) -> tuple[IntakeEntry, ...]:
    logged = intake.digests()
    return tuple(
        jobs.entry(IntakeEvent.FIRST_READ, exhibit, item.sha256, at)
        for exhibit, item in sorted(items.items())
        if exhibit not in logged
    )


def remember(job: jobs.Job, examined: Examined) -> None:
    """Log files that were read for the first time; a folder that cannot be written is left as it is."""
    if not examined.new:
        return
    try:
        with jobs.locked(job.folder):
            log = jobs.read_intake(job.folder)
            known, measured = (
                log.digests(),
                {each.id for each in log.entries if each.event == IntakeEvent.MEASURE},
            )
            jobs.log(
                job.folder,
                [
                    line
                    for line in examined.new
                    if line.id not in (measured if line.event == IntakeEvent.MEASURE else known)
                ],
            )
    except (OSError, SillmarkError):
        return
