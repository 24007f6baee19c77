"""Start a job folder: record with open places, work card and tickets; print the paper again when it was lost."""

import json
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

import jinja2

from evidence import card, files, jobs, library
from evidence.card import Placed
from evidence.dossier import Paper
from evidence.errors import Problem, SillmarkError, UsageError, printable
from evidence.model.criterion import Attested
from evidence.model.names import (
    CHARACTERISTIC_DIMENSION,
    INSTRUMENT_DIMENSION,
    CharacteristicName,
    InstrumentKind,
    Region,
    Role,
    SubjectKind,
)
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.phrases import say
from evidence.quantity import Dimension
from evidence.record.reader import read_profile
from evidence.typeset import Typesetter

START_TEMPLATE = ("pages", "job.yaml.j2")
PEOPLE_TEMPLATE = ("pages", "people.yaml.j2")
NO_STANDARD = "common practice, no standard"
PRIVATE = 0o600  # people.yaml holds names
CARD, TICKETS = "work-card.pdf", "tickets.pdf"
MAX_POSITIONS = 6  # stretcher places of one vehicle
NONCE_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that can be taken for another
NONCE_LENGTH = 10  # about fifty bits: nobody guesses the code of another vehicle
VEHICLE = "vehicle"
_UNITS = {Dimension.LENGTH: "mm", Dimension.FORCE: "N", Dimension.MASS: "kg", Dimension.VOLTAGE: "V"}
_ARGUMENTS = {"/vehicle/vin": "--vin", "/vehicle/build": "--build", "/id": "JOB", "/bases": "--pack"}
"""Places of the new record to the arguments that they come from."""


@dataclass(frozen=True)
class StartOrder:
    """What ``start`` was asked for.

    Attributes:
        profiles: files of the fitting profile, one for each revision; the one in force is copied into the folder.
        packs: packs of the basis.
        at: local time with offset, ``2026-03-04T08:00+01:00``.
        vin, build: what the vehicle is known by; one of them is needed.
        positions: number of stretcher places.
        environment: what the typesetter's process needs to start.
    """

    profiles: tuple[Path, ...]
    packs: tuple[str, ...]
    at: str
    vin: str | None = None
    build: str | None = None
    positions: int = 1
    environment: Mapping[str, str] = field(default_factory=dict)

    @property
    def day(self) -> date:
        """The day on which the job is started."""
        return date.fromisoformat(self.at[:10])


@dataclass(frozen=True)
class Started:
    """A job with its paper.

    Attributes:
        record: as it now reads.
        card, tickets: the files that were printed; tickets None where the record has none.
        pages: pages of the card.
        not_in_force: the profile's reference, where its revision is not the one in force on the day.
    """

    record: JobRecord
    card: Path
    tickets: Path | None
    pages: int
    not_in_force: str | None = None


@dataclass(frozen=True)
class _Paper:
    """What was printed."""

    pages: int
    card: bytes
    tickets: bytes | None


def start(folder: Path, order: StartOrder) -> Started:
    """Make a job folder with every expected exhibit open, a work card and tickets.

    Raises:
        UsageError: job-exists, pack-not-shipped, vehicle-not-named, argument-empty or profile-not-named; where several
            profiles are given, profiles-differ, profile-none-in-force or profile-several-in-force.
        InputError: a profile cannot be read, or VIN or build number has the wrong form; places are arguments.
        SillmarkError: the paper could not be set.
    """
    if files.is_there(folder):
        raise UsageError.one("job-exists", str(folder))
    _check_arguments(order)
    path, data, profile = _chosen(order)
    subjects = (VEHICLE, *_positions(order))
    tickets = [(subject, _nonce()) for subject in subjects]
    text = job_text(folder.name, profile, order, tickets)
    try:
        with files.publishing(folder) as new:
            files.write_new(new / jobs.JOB, text.encode("utf-8"))
            files.write_new(new / jobs.PEOPLE, _rendered(PEOPLE_TEMPLATE, {}).encode("utf-8"), mode=PRIVATE)
            files.write_new(new / jobs.PROFILE, data)
            for name in (*sorted(set(jobs.FOLDERS.values())), jobs.PACKS):
                files.make_folder(new / name)
            jobs.seed(new)
            job = _loaded(new, folder, path)
            paper = _print(job, order.at, order.environment)
            files.write_new(new / CARD, paper.card)
            files.write_new(new / TICKETS, paper.tickets or b"")
    except FileExistsError as error:
        raise UsageError.one("job-exists", str(folder)) from error
    late = None if _in_force(profile, order.day) else profile.reference
    return Started(job.record, folder / CARD, folder / TICKETS, paper.pages, late)


def reprint(folder: Path, at: str, environment: Mapping[str, str]) -> Started:
    """Print card and tickets of a job again, with the same codes.

    Args:
        folder: the job.
        at: local time with offset; the date of the new files.
        environment: what the typesetter's process needs to start.

    Raises:
        InputError: the job cannot be read.
        SillmarkError: the paper could not be set.
    """
    with jobs.locked(folder):
        job = jobs.load(folder)
        paper = _print(job, at, environment)
        files.write_file(folder / CARD, paper.card, overwrite=True)
        if paper.tickets is not None:
            files.write_file(folder / TICKETS, paper.tickets, overwrite=True)
    tickets = None if paper.tickets is None else folder / TICKETS
    return Started(job.record, folder / CARD, tickets, paper.pages)


def _check_arguments(order: StartOrder) -> None:
    if not order.profiles:
        raise UsageError.one("profile-not-named", "--profile")
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


def _chosen(order: StartOrder) -> tuple[Path, bytes, Profile]:
    """The profile whose revision is in force on the day; where only one is given, that one."""
    read = [(path, files.read_capped(path, jobs.MAX_TEXT)) for path in dict.fromkeys(order.profiles)]
    given = [(path, data, read_profile(data, str(path)).profile) for path, data in read]
    if len(given) == 1:
        return given[0]
    names = {(profile.id, profile.manual.id) for _, _, profile in given}
    if len(names) > 1:
        found = ", ".join(sorted(f"{profile} ({manual})" for profile, manual in names))
        raise UsageError.one("profiles-differ", "--profile", found=found)
    valid = [entry for entry in given if _in_force(entry[2], order.day)]
    if len(valid) == 1:
        return valid[0]
    told = "; ".join(_validity(profile) for _, _, profile in valid or given)
    code = "profile-several-in-force" if valid else "profile-none-in-force"
    raise UsageError.one(code, "--profile", day=order.day.isoformat(), found=told)


def _in_force(profile: Profile, day: date) -> bool:
    manual = profile.manual
    return manual.valid_from <= day and (manual.valid_until is None or day <= manual.valid_until)


def _validity(profile: Profile) -> str:
    manual = profile.manual
    until = manual.valid_until.isoformat() if manual.valid_until else "…"
    return f"{profile.reference} {manual.valid_from.isoformat()} to {until}"


def _positions(order: StartOrder) -> tuple[str, ...]:
    return tuple(f"p{number}" for number in range(1, order.positions + 1))


def _nonce() -> str:
    return "".join(secrets.choice(NONCE_LETTERS) for _ in range(NONCE_LENGTH))


def _print(job: jobs.Job, at: str, environment: Mapping[str, str]) -> _Paper:
    paper = _paper(pack.text.pack.region for pack in job.packs.values())
    plan = card.plan(job.profile, [position.id for position in job.record.positions], paper)
    issued = datetime.fromisoformat(at)
    with Typesetter(environment=environment) as typesetter:
        printed = typesetter.sheets(
            "card", card.card(card.CardSource(job.record, job.profile, plan, say)), issued
        )
        tickets = (
            typesetter.sheets("card", card.tickets(job.record, paper, say), issued)
            if job.record.tickets
            else None
        )
    return _Paper(len(plan.pages), printed, tickets)


def _paper(regions: Iterable[Region]) -> Paper:
    """The paper that the workshop has: Letter in North America, as for the dossier."""
    return "us-letter" if Region.NORTH_AMERICA in set(regions) else "a4"


def _loaded(new: Path, folder: Path, profile: Path) -> jobs.Job:
    try:
        return jobs.load(new)
    except SillmarkError as error:
        raise type(error)(
            _at_argument(problem, new, folder, profile) for problem in error.problems
        ) from error


def _at_argument(problem: Problem, new: Path, folder: Path, profile: Path) -> Problem:
    """A problem of the folder that is being made, at the argument where a person can mend it."""
    relative = problem.where.removeprefix(printable(str(new)) + "/")
    name, _, place = relative.partition(":")
    if name == jobs.PROFILE:
        where, pointer = f"{profile}:{place}", problem.pointer
    elif name == jobs.JOB:
        argument = next((each for each in _ARGUMENTS if problem.pointer.startswith(each)), "")
        # what comes from no other argument was taken from the profile
        where, pointer = _ARGUMENTS.get(argument, str(profile)), "" if argument else problem.pointer
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


def job_text(job_id: str, profile: Profile, order: StartOrder, tickets: Sequence[tuple[str, str]]) -> str:
    """job.yaml of a new job, with lines to copy for every row of its work card.

    Args:
        job_id: id of the job.
        profile: the fitting profile.
        order: what was asked for.
        tickets: subject and nonce of each, as they are to be printed.
    """
    slots = _slots(profile, order)
    packs = filter(None, map(library.shipped, order.packs))
    plan = card.plan(profile, _positions(order), _paper(pack.text.pack.region for pack in packs))
    scan = next(slot["id"] for slot in slots if slot["role"] == Role.WORK_CARD.value)
    report = next((slot["id"] for slot in slots if slot["role"] == Role.TYPE_TEST_REPORT.value), "…")
    tools = list(card.instruments_of(profile))
    lines = [_line(placed, scan, tools) for placed in plan.rows()]
    screws = _numbered("g", [line for line in lines if line["kind"] == "screws" and line["first"] == 1])
    groups = {(line["subject"], line["name"]): line["id"] for line in screws}
    of_group = {step.id: step.screws for step in profile.steps}
    steps = _numbered("s", [line for line in lines if line["kind"] == "step"])
    values = _numbered("v", [line for line in lines if line["value"]])
    return _rendered(
        START_TEMPLATE,
        {
            "id": job_id,
            "profile": profile,
            "slots": slots,
            "tickets": tickets,
            "positions": [{**line, "id": line["subject"]} for line in lines if line["kind"] == "system"],
            "steps": [
                {**line, "screws": groups.get((line["subject"], of_group[line["name"]]))} for line in steps
            ],
            "screws": screws,
            "values": values,
            "tools": [{"id": f"i{number}", **_tool(kind)} for number, kind in enumerate(tools, start=1)],
            "cycles": _numbered("t", [line for line in lines if line["kind"] == "cycles"]),
            "report": report,
            "scan": scan,
            "statements": _numbered("a", _statements(profile, order)),
            "day": order.at[:10],
            "offset": order.at[16:],
            "vin": order.vin,
            "build": order.build,
            "bases": _bases(order.packs),
        },
    )


def _line(placed: Placed, scan: str, tools: list[InstrumentKind]) -> dict[str, Any]:
    """What a line to copy says of a row of the card: its words, and the row itself as the record names it."""
    row = placed.row
    value = row.name if row.kind == "value" else row.gives
    return {
        "kind": row.kind,
        "name": row.name,
        "subject": row.subject,
        "group": row.group,
        "first": row.first,
        "value": value,
        "unit": next((limits.unit for limits in row.limits if limits.unit), ""),
        "instrument": _instrument(value, tools) if value else "…",
        "row": f"{{exhibit: {scan}, page: {placed.page}, row: {placed.number}}}",
    }


def _instrument(name: str, tools: list[InstrumentKind]) -> str:
    """The first line to copy of an instrument that can take the value."""
    place = card.taking(CHARACTERISTIC_DIMENSION[CharacteristicName(name)], tools)
    return "…" if place is None else f"i{place + 1}"


def _tool(kind: InstrumentKind) -> dict[str, str]:
    """Kind of an instrument and the unit of its uncertainty, empty where its dimension has none."""
    return {"kind": kind.value, "unit": _UNITS.get(INSTRUMENT_DIMENSION[kind], "")}


def _statements(profile: Profile, order: StartOrder) -> list[dict[str, Any]]:
    """What the manual wants somebody to say, of the vehicle or of each position."""
    subjects = {SubjectKind.POSITION: _positions(order)}
    return [
        {"name": item.criterion.statement, "subject": subject}
        for item in profile.items
        if isinstance(item.criterion, Attested)
        for subject in subjects.get(item.criterion.subject, (VEHICLE,))
    ]


def _numbered(letter: str, entries: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{"id": f"{letter}{number}", **entry} for number, entry in enumerate(entries, start=1)]


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


def _slots(profile: Profile, order: StartOrder) -> list[dict[str, str]]:
    """An open place for everything that the profile expects, and for the card itself when it comes back."""
    subjects = {SubjectKind.VEHICLE: (VEHICLE,), SubjectKind.POSITION: _positions(order)}
    wanted = [
        (expected.role, subject)
        for expected in profile.expected
        for subject in subjects.get(expected.per, ())
    ]
    if all(role != Role.WORK_CARD for role, _ in wanted):
        wanted.append((Role.WORK_CARD, VEHICLE))
    return [
        {"id": f"E{number:03d}", "role": role.value, "subject": subject}
        for number, (role, subject) in enumerate(wanted, start=1)
    ]
