"""A job folder: read it whole, keep its intake log and its seed.

``job.yaml``, ``people.yaml``, ``profile.yaml``, ``packs/``, ``photos|documents|tests/``, ``intake.jsonl``, ``seed``.
"""

import re
import secrets
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from evidence import files, jsondoc, library
from evidence.anchoring import Sheet, is_sheet, read_sheets
from evidence.errors import InputError, Problem, SillmarkError
from evidence.library import LoadedPack
from evidence.model.intake import INTAKE_FORMAT, Intake, IntakeEntry, IntakeEvent
from evidence.model.people import People
from evidence.model.profile import Profile
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import meaning
from evidence.record.pack_meaning import check_pack
from evidence.record.personal import Personal
from evidence.record.profile_meaning import check_profile
from evidence.record.reader import JobText, PeopleText, ProfileText, read_job, read_people, read_profile
from evidence.register.confirm import check_confirmations
from evidence.register.resolve import unknown_routes
from evidence.seal.paths import path_fault

JOB, PEOPLE, PROFILE, PACKS, INTAKE, SEED, LOCK = (
    "job.yaml",
    "people.yaml",
    "profile.yaml",
    "packs",
    "intake.jsonl",
    "seed",
    ".lock",
)
MAX_TEXT = 1024 * 1024  # bytes of one YAML file
LOAD_TRIES = 5  # another run needs longer for one file than a reader for all
MAX_INTAKE = 8 * 1024 * 1024  # bytes of the intake log
SEED_BYTES = 32
_TOLD = 5  # job folders named where one was wanted
_LITTER = frozenset({"thumbs.db", "desktop.ini"})  # what file managers leave
_LEFT_OVER = re.compile(r"\..+\.[a-z0-9_]{8}")  # what a write of ours leaves that was killed
T = TypeVar("T")
FOLDERS = {"photo": "photos", "document": "documents", "table": "tests", "channels": "tests"}


@dataclass(frozen=True)
class Job:
    """A job folder as read.

    Attributes:
        folder: where it lies.
        text: job.yaml as record and text.
        people: names and notes; empty where there is no people.yaml.
        profile: the fitting profile with its bytes.
        packs: packs of the bases in the order of the record, by reference.
        intake: the log.
        anchorages: anchorage sheets, by name; there is none unless somebody put one.
    """

    folder: Path
    text: JobText
    people_text: PeopleText | None
    profile_text: ProfileText
    profile_data: bytes
    packs: Mapping[str, LoadedPack]
    intake: Intake
    anchorages: tuple[Sheet, ...] = ()

    @property
    def record(self) -> JobRecord:
        """The job record."""
        return self.text.record

    @property
    def profile(self) -> Profile:
        """The fitting profile."""
        return self.profile_text.profile

    @property
    def people(self) -> People:
        """Names and notes."""
        return self.people_text.people if self.people_text else People(format="sillmark-people/0")

    def filed(self) -> tuple[ExhibitEntry, ...]:
        """Exhibits whose file is named."""
        return tuple(entry for entry in self.record.exhibits if isinstance(entry.file, str))


def load(folder: Path) -> Job:
    """Read a job folder, again where another run rewrote it between one file and the next.

    Raises:
        InputError: with every problem of every file.
    """
    for _ in range(LOAD_TRIES - 1):
        before = _state(folder)
        try:
            return _load(folder)
        except InputError:
            if _state(folder) == before:
                raise
    return _load(folder)


def _state(folder: Path) -> list[str]:
    """What the two files say that are rewritten together; nothing of one that cannot be read."""
    state = []
    for name in (JOB, PEOPLE):
        try:
            state.append(files.sha256_file(folder / name).sha256)
        except InputError:
            state.append("")
    return state


def _load(folder: Path) -> Job:
    """Read a job folder once.

    1. Each file by itself; 2. what they say of each other.

    Raises:
        InputError: with every problem of every file; job-missing or folder-of-jobs.
    """
    _require(folder)
    problems: list[Problem] = []
    text = _try(problems, lambda: read_job(_read(folder, JOB), _name(folder, JOB)))
    people = _people(folder, problems)
    profile_data = _try(problems, lambda: _read(folder, PROFILE))
    profile = (
        _try(problems, lambda: read_profile(profile_data or b"", _name(folder, PROFILE)))
        if profile_data
        else None
    )
    packs = _try(problems, lambda: library.own(folder / PACKS))
    intake = _try(problems, lambda: read_intake(folder))
    if problems or text is None or profile is None or profile_data is None or packs is None or intake is None:
        raise InputError(problems)
    used = library.find(_references(text.record), packs)
    packs_text = {reference: pack.text for reference, pack in used.items()}
    known = (*packs, *library.shipped_references())
    problems.extend(meaning.check_record(text, profile, people, packs_text, known_packs=known))
    sheets = _try(problems, lambda: _sheets(folder, text.record))
    problems.extend(_personal_in_sheets(folder, sheets or (), people))
    problems.extend(_unknown_routes(text, used))
    problems.extend(_shadowing(packs))
    problems.extend(_unusable_ids(people))
    problems.extend(check_profile(profile))
    problems.extend(problem for pack in packs.values() for problem in check_pack(pack.text))
    problems.extend(_confirmation_problems(used, complete=set(_references(text.record)) <= used.keys()))
    if problems:
        raise InputError(problems)
    return Job(folder, text, people, profile, profile_data, used, intake, sheets or ())


def _sheets(folder: Path, record: JobRecord) -> tuple[Sheet, ...]:
    found = {name: _read(folder, name) for name in files.files_in(folder) if is_sheet(name)}
    return read_sheets(found, [one.id for one in record.positions], lambda name: _name(folder, name))


def _personal_in_sheets(
    folder: Path, sheets: Iterable[Sheet], people: PeopleText | None
) -> Iterator[Problem]:
    """Lines of sheets that hold a name, the plate or the site: they go into the bundle as they are."""
    if people is None:
        return
    personal = Personal.of(people.people)
    for sheet in sheets:
        for number, line in enumerate(sheet.data.decode().splitlines(), start=1):
            kind = personal.within(line)
            if kind is not None:
                where = f"{_name(folder, sheet.name)}:{number}"
                yield Problem("personal-value-in-record", where, "", {"kind": kind})


def _require(folder: Path) -> None:
    """Refuse what is no job folder; of one that holds them, say so."""
    if not files.is_folder(folder):
        raise InputError.one("job-missing", str(folder))
    if not files.is_there(folder / JOB):
        inside = [name for name in files.names_in(folder) if files.is_file(folder / name / JOB)]
        if inside:
            found = ", ".join(inside[:_TOLD]) + (" …" if len(inside) > _TOLD else "")
            raise InputError.one("folder-of-jobs", str(folder), found=found)
        if not files.is_there(folder / PROFILE):  # neither of the two that every job has
            raise InputError.one("job-missing", str(folder))


def read_intake(folder: Path) -> Intake:
    """The intake log; empty where there is none yet.

    Raises:
        InputError: intake-malformed with the line.
    """
    path = folder / INTAKE
    if not files.is_there(path):
        return Intake(format=INTAKE_FORMAT, entries=())
    entries = []
    for number, line in enumerate(files.read_capped(path, MAX_INTAKE).splitlines(), start=1):
        where = f"{_name(folder, INTAKE)}:{number}"
        try:
            entries.append(IntakeEntry.read(jsondoc.decode(line, where)))
        except (ValidationError, InputError) as error:
            raise InputError.one("intake-malformed", where) from error
    return Intake(format=INTAKE_FORMAT, entries=tuple(entries))


def log(folder: Path, entries: Iterable[IntakeEntry]) -> None:
    """Append to the intake log; what was written before stays as it is, also when this fails half way."""
    path = folder / INTAKE
    before = files.read_capped(path, MAX_INTAKE) if files.is_there(path) else b""
    lines = b"".join(jsondoc.canonical(entry.document()) + b"\n" for entry in entries)
    if before and not before.endswith(b"\n"):
        before += b"\n"
    files.write_file(path, before + lines, overwrite=True)


def entry(event: IntakeEvent, exhibit: str, sha256: str, at: str) -> IntakeEntry:
    """A line of the log without a reason."""
    return IntakeEntry(event=event, id=exhibit, sha256=sha256, at=at)


def seed(folder: Path) -> bytes:
    """The job's 32 secret bytes, made where they are missing; they salt what a disclosure may withhold.

    Raises:
        InputError: seed-malformed where the file holds another number of bytes.
    """
    path = folder / SEED
    if not files.is_there(path):
        files.write_file(path, secrets.token_bytes(SEED_BYTES), mode=0o600)
    data = files.read_capped(path, MAX_TEXT)
    if len(data) != SEED_BYTES:
        raise InputError.one("seed-malformed", str(path), found=str(len(data)), expected=str(SEED_BYTES))
    return data


def locked(folder: Path) -> AbstractContextManager[None]:
    """Hold the job's lock while its files are rewritten.

    Raises:
        InputError: job-missing, folder-of-jobs; file-unwritable where the folder is closed to writing.
    """
    if files.is_folder(folder):
        _require(folder)
    if not files.is_file(folder / JOB):
        raise InputError.one("job-missing", str(folder))
    return files.exclusive(folder / LOCK)


def filed_names(folder: Path) -> tuple[str, ...]:
    """Files in the folders of evidence, ``photos/E003.jpg``, sorted; hidden ones are left out unless we left them.

    Raises:
        InputError: a folder cannot be read.
    """
    found = []
    for name in sorted(set(FOLDERS.values())):
        if files.is_folder(folder / name):
            found += [f"{name}/{path}" for path in files.list_tree(folder / name).sizes if _counts(path)]
    return tuple(found)


def _counts(path: str) -> bool:
    name = path.rsplit("/", 1)[-1]
    return name.lower() not in _LITTER and (not name.startswith(".") or bool(_LEFT_OVER.fullmatch(name)))


def unlisted(folder: Path, record: JobRecord) -> tuple[str, ...]:
    """Files in the folders of evidence that the record does not name, sorted.

    Raises:
        InputError: a folder cannot be read.
    """
    known = {str(entry.file) for entry in record.exhibits if isinstance(entry.file, str)}
    known |= {f"documents/{entry.id}.redacted.pdf" for entry in record.exhibits}
    return tuple(name for name in filed_names(folder) if name not in known)


def missing(folder: Path, record: JobRecord) -> tuple[tuple[str, str], ...]:
    """Exhibits whose file the record names and the folder does not hold: id and path, in order of the record.

    Raises:
        InputError: a folder cannot be read.
    """
    named = [(entry.id, str(entry.file)) for entry in record.exhibits if isinstance(entry.file, str)]
    return tuple((exhibit, file) for exhibit, file in named if not files.is_there(folder / file))


def nameless(folder: Path, record: JobRecord) -> tuple[str, ...]:
    """People of the record whose names nobody can read, because people.yaml is not there; ids in order."""
    return () if files.is_there(folder / PEOPLE) else tuple(person.id for person in record.people)


def _confirmation_problems(used: Mapping[str, LoadedPack], *, complete: bool) -> list[Problem]:
    packs = {reference: pack.text.pack for reference, pack in used.items()}
    confirming = [pack.text for pack in used.values() if pack.text.pack.kind == "confirmation"]
    problems = [
        problem for text in confirming for problem in check_confirmations(text, packs, complete=complete)
    ]
    first: dict[str, str] = {}
    for text in confirming:
        for index, confirmation in enumerate(text.pack.confirmations):
            place = first.setdefault(confirmation.confirms, text.pack.reference)
            if place != text.pack.reference:  # two numbers for one demand: neither may win silently
                at = ("confirmations", index, "confirms")
                found = confirmation.confirms
                problems.append(text.source.problem("confirmation-twice", at, found=found, first=place))
    return problems


def _unknown_routes(text: JobText, used: Mapping[str, LoadedPack]) -> list[Problem]:
    """Choices of a route that no pack has, with their line; not told beside a pack that is missing itself."""
    if not set(_references(text.record)) <= used.keys():
        return []
    packs = {reference: pack.text.pack for reference, pack in used.items()}
    return [
        text.source.problem("route-unknown", path, found=told["found"], expected=told["expected"])
        for path, told in unknown_routes(text.record, packs)
    ]


def _shadowing(packs: Mapping[str, LoadedPack]) -> list[Problem]:
    """Packs of the job that call themselves one that ships and say something else."""
    return [
        pack.text.source.problem("pack-shadows-shipped", ("id",), found=reference)
        for reference, pack in sorted(packs.items())
        if (own := library.shipped(reference)) is not None and own.data != pack.data
    ]


def _unusable_ids(people: PeopleText | None) -> list[Problem]:
    """Ids that cannot name a file of their own below ``people/``: the plate's, the site's, and device names."""
    if people is None:
        return []
    said = people.people
    ids = [(("people", index, "id"), person.id) for index, person in enumerate(said.people)]
    ids += [(("notes", index, "id"), note.id) for index, note in enumerate(said.notes)]
    return [
        people.source.problem("id-unusable", place, found=found)
        for place, found in ids
        if found.casefold() in ("plate", "site") or path_fault(f"data/people/{found}.json", bundle=True)
    ]


def _people(folder: Path, problems: list[Problem]) -> PeopleText | None:
    if not files.is_there(folder / PEOPLE):
        return None
    return _try(problems, lambda: read_people(_read(folder, PEOPLE), _name(folder, PEOPLE)))


def _references(record: JobRecord) -> list[str]:
    return list(dict.fromkeys(reference for basis in record.bases for reference in basis.packs))


def _read(folder: Path, name: str) -> bytes:
    return files.read_capped(folder / name, MAX_TEXT)


def _name(folder: Path, name: str) -> str:
    return str(folder / name)


def _try(problems: list[Problem], read: Callable[[], T]) -> T | None:
    try:
        return read()
    except SillmarkError as error:
        problems.extend(error.problems)
        return None
