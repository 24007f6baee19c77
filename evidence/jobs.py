"""A job folder: read it whole, keep its intake log and its seed.

``job.yaml``, ``people.yaml``, ``profile.yaml``, ``packs/``, ``photos|documents|tests/``, ``intake.jsonl``, ``seed``.
"""

import secrets
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from evidence import files, jsondoc, library
from evidence.errors import InputError, Problem, SillmarkError
from evidence.library import LoadedPack
from evidence.model.intake import INTAKE_FORMAT, Intake, IntakeEntry, IntakeEvent
from evidence.model.people import People
from evidence.model.profile import Profile
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record import meaning
from evidence.record.pack_meaning import check_pack
from evidence.record.profile_meaning import check_profile
from evidence.record.reader import JobText, PeopleText, ProfileText, read_job, read_people, read_profile
from evidence.register.confirm import check_confirmations

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
MAX_INTAKE = 8 * 1024 * 1024  # bytes of the intake log
SEED_BYTES = 32
T = TypeVar("T")
FOLDERS = {"photo": "photos", "document": "documents", "table": "tests"}


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
    """

    folder: Path
    text: JobText
    people_text: PeopleText | None
    profile_text: ProfileText
    profile_data: bytes
    packs: Mapping[str, LoadedPack]
    intake: Intake

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
    """Read a job folder.

    1. Each file by itself; 2. what they say of each other.

    Raises:
        InputError: with every problem of every file.
    """
    if not folder.is_dir():
        raise InputError.one("job-missing", str(folder))
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
    problems.extend(meaning.check_record(text, profile, people, packs_text))
    problems.extend(check_profile(profile))
    problems.extend(problem for pack in packs.values() for problem in check_pack(pack.text))
    problems.extend(_confirmation_problems(used))
    if problems:
        raise InputError(problems)
    return Job(folder, text, people, profile, profile_data, used, intake)


def read_intake(folder: Path) -> Intake:
    """The intake log; empty where there is none yet.

    Raises:
        InputError: intake-malformed with the line, or what the strict reader says.
    """
    path = folder / INTAKE
    if not path.exists():
        return Intake(format=INTAKE_FORMAT, entries=())
    entries = []
    for number, line in enumerate(files.read_capped(path, MAX_INTAKE).splitlines(), start=1):
        where = f"{_name(folder, INTAKE)}:{number}"
        try:
            entries.append(IntakeEntry.read(jsondoc.decode(line, where)))
        except ValidationError as error:
            raise InputError.one("intake-malformed", where) from error
    return Intake(format=INTAKE_FORMAT, entries=tuple(entries))


def log(folder: Path, entries: Iterable[IntakeEntry]) -> None:
    """Append to the intake log; what was written before stays as it is, also when this fails half way."""
    path = folder / INTAKE
    before = files.read_capped(path, MAX_INTAKE) if path.exists() else b""
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
    if not path.exists():
        files.write_file(path, secrets.token_bytes(SEED_BYTES), mode=0o600)
    data = files.read_capped(path, MAX_TEXT)
    if len(data) != SEED_BYTES:
        raise InputError.one("seed-malformed", str(path), found=str(len(data)), expected=str(SEED_BYTES))
    return data


def locked(folder: Path) -> AbstractContextManager[None]:
    """Hold the job's lock while its files are rewritten."""
    return files.exclusive(folder / LOCK)


def _confirmation_problems(used: Mapping[str, LoadedPack]) -> list[Problem]:
    packs = {reference: pack.text.pack for reference, pack in used.items()}
    return [
        problem
        for pack in used.values()
        if pack.text.pack.kind == "confirmation"
        for problem in check_confirmations(pack.text, packs)
    ]


def _people(folder: Path, problems: list[Problem]) -> PeopleText | None:
    if not (folder / PEOPLE).exists():
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
