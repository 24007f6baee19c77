"""The run, as a table of contents: read the job → examine → judge → manifest → dossier → seal → publish."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Literal

from evidence import __version__, bundle, examining, jobs, jsondoc, manifest, pagepictures, payload
from evidence.errors import InputError, Problem, UsageError
from evidence.formats import packaged_schema
from evidence.guard import Guard
from evidence.judging import Inputs, judged
from evidence.keys import SigningKey
from evidence.manifest import Judged, open_points
from evidence.model.check import Check
from evidence.model.intake import Intake
from evidence.model.manifest import JUDGE, Manifest
from evidence.model.record import JobRecord
from evidence.printing import Printed, dossiers
from evidence.register.demand import Demands
from evidence.report import check_document
from evidence.seal.sign import SealRequest

FIRST_BAG = "0000-build"
TOOL = f"sillmark {__version__}"


def _silent(_code: str, **_parameters: str) -> None:
    """Say nothing."""


@dataclass(frozen=True)
class Days:
    """The days that judging looks from.

    Attributes:
        today: the caller's day.
        as_of: asked for; else the record's release date, else today.
        known_on: look only at evidence filed by that day.
    """

    today: date
    as_of: date | None = None
    known_on: date | None = None


@dataclass(frozen=True)
class CheckedJob:
    """One job, judged.

    Attributes:
        judged: what judging gave.
        demands: what was asked.
        check: the same with titles and sentences.
        names: person id to name, as far as people.yaml has them; for paper that stays in the workshop.
    """

    judged: Judged
    demands: Demands
    check: Check
    names: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class AssembleOrder:
    """How bundles are to be made.

    Attributes:
        out: folder under which each job gets one of its own.
        issued: time of sealing, with offset.
        issued_from: where that time came from.
        languages: one dossier each.
        require_complete: make nothing while anything is open.
        child_environment: environment of the child that reads hostile formats.
    """

    out: Path
    issued: datetime
    issued_from: Literal["option", "epoch", "clock"]
    languages: tuple[str, ...] = ("en",)
    require_complete: bool = False
    child_environment: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Assembled:
    """A published bundle, or why none was made.

    Attributes:
        written: the bag; None where open points forbade it.
        open_points: number of open findings and contradictions.
    """

    job: str
    written: bundle.Written
    open_points: int


def check_job(folder: Path, days: Days, at: str, guard: Guard) -> CheckedJob:
    """Judge one job folder.

    1. Read the folder. 2. Read the evidence. 3. Judge. 4. Remember what was read for the first time.

    Raises:
        InputError: with every problem of the record, its companions and paths.
    """
    job = jobs.load(folder)
    examined = examining.examine(job, guard.run, at, twins=False)
    result, demands = judge_job(job, examined, days)
    examining.remember(job, examined)
    people = job.people.people if job.people else ()
    names = {person.id: person.name for person in people}
    return CheckedJob(result, demands, check_document(result, demands), names)


def judge_job(job: jobs.Job, examined: examining.Examined, days: Days) -> tuple[Judged, Demands]:
    """Judge a job folder that was read and examined."""
    digests = {reference: jsondoc.digest(pack.data) for reference, pack in job.packs.items()}
    inputs = Inputs(
        record=job.record,
        profile=job.profile,
        packs={reference: pack.text.pack for reference, pack in job.packs.items()},
        digests={**digests, job.profile.reference: jsondoc.digest(job.profile_data)},
        filed=payload.filed(examined),
        tables=examined.tables,
        intake=job.intake,
        changed=examined.changed,
        texts=examined.texts,
        measurements=examined.measurements,
        windows=examined.windows,
        results=examined.results,
    )
    return judged(inputs, days.as_of or _release_day(job.record) or days.today, days.known_on)


def assemble_job(
    folder: Path, order: AssembleOrder, key: SigningKey, progress: Callable[..., None] = _silent
) -> Assembled:
    """Make the sealed bundle of one job.

    1. Read the folder. 2. Read the evidence and make the redacted twins. 3. Judge. 4. Manifest, checked.
    5. Dossiers, whole and redacted. 6. Seal and publish; the folder appears whole or not at all.

    Raises:
        UsageError: bundle-exists; open-points where only complete jobs were wanted; both where both are so.
        InputError: something cannot be read or printed.
    """
    job = jobs.load(folder)
    target = order.out / job.record.id / FIRST_BAG
    there = [Problem("bundle-exists", str(target))] if target.exists() else []
    if there and not order.require_complete:
        raise UsageError(there)
    issued = issued_text(order.issued)
    progress("step-examine", job=job.record.id)
    with Guard(environment=order.child_environment) as guard:
        examined = examining.examine(job, guard.run, issued, twins=True)
    progress("step-judge", job=job.record.id)
    result, demands = judge_job(job, examined, Days(order.issued.date()))
    still_open = open_points(result.judgement)
    if still_open and order.require_complete:
        there.append(Problem("open-points", str(folder), "", {"count": str(still_open)}))
    if there:
        raise UsageError(there)
    made = checked_manifest(result)
    progress("step-dossier", job=job.record.id)
    pages = pagepictures.of_job(job, examined, order.child_environment)
    content = _content(job, examined, made) | payload.page_pictures(pages.pictures)
    source = Printed(job, examined, made, manifest_bytes(made), demands, key.public.id, pages)
    content |= dossiers(source, order.languages, order.issued, order.child_environment)
    progress("step-seal", job=job.record.id)
    written = bundle.write_bundle(
        target, content, _seal_request(job, order, key), key.sign, _originals(examined)
    )
    examining.remember(job, examined)
    return Assembled(job.record.id, written, still_open)


def checked_manifest(result: Judged) -> Manifest:
    """The manifest, held against its schema and against itself.

    Raises:
        InputError: the program built a manifest that no reader would accept.
    """
    made = manifest.assemble(result, __version__)
    document = made.document(nulls=True)
    problems = (
        *jsondoc.check_schema(document, packaged_schema("manifest"), manifest.WHERE),
        *manifest.inner_problems(made),
    )
    if problems:
        raise InputError(problems)
    return made


def issued_text(at: datetime) -> str:
    """``2026-03-06T16:00+01:00``, to the minute."""
    text = at.isoformat(timespec="minutes")
    return text.removesuffix("+00:00") + "+00:00" if at.utcoffset() == timedelta() else text


def _release_day(record: JobRecord) -> date | None:
    return record.release.at.last_day if record.release else None


def _content(job: jobs.Job, examined: examining.Examined, made: Manifest) -> dict[str, bytes | Path]:
    seed = jobs.seed(job.folder)
    entries = (*job.intake.entries, *examined.new)
    intake = Intake(format="sillmark-intake/0", entries=entries)
    content: dict[str, bytes | Path] = {manifest.WHERE: manifest_bytes(made)}
    content |= payload.documents(job, examined, intake, seed)
    content |= {path: examined.sources[exhibit] for path, exhibit in payload.originals(examined).items()}
    return content


def manifest_bytes(made: Manifest) -> bytes:
    """The manifest as stored."""
    return jsondoc.canonical(made.document(nulls=True))


def _originals(examined: examining.Examined) -> dict[str, str]:
    return {path: examined.items[exhibit].sha256 for path, exhibit in payload.originals(examined).items()}


def _seal_request(job: jobs.Job, order: AssembleOrder, key: SigningKey) -> SealRequest:
    return SealRequest(
        public_pem=key.public.pem,
        seed=jobs.seed(job.folder),
        issued=issued_text(order.issued),
        issued_from=order.issued_from,
        judge=JUDGE,
        tool=TOOL,
    )
