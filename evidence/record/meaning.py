"""What a job record must mean beyond its shape: ids, references, times, and agreement with profile, people and packs."""

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise

from evidence.errors import Problem
from evidence.model.names import Closes, Function, PartyFunction, Role
from evidence.model.times import parse_interval
from evidence.record._audits import audit_problems
from evidence.record._claims import claim_problems
from evidence.record._faults import closest
from evidence.record._labtests import labtest_problems
from evidence.record._typing import typing_problems
from evidence.record._values import personal_values, placeholders
from evidence.record._walk import ANY, Pattern, everything, matching, twice
from evidence.record._windows import window_problems
from evidence.record.reader import JobText, PackText, PeopleText, ProfileText
from evidence.record.yamltext import Path

VEHICLE = "vehicle"
LISTS = {
    "parties": "party",
    "people": "person",
    "positions": "position",
    "instruments": "instrument",
    "steps": "step",
    "screws": "screws",
    "characteristics": "characteristic",
    "cycles": "cycles",
    "audits": "audit",
    "documents": "document",
    "tests": "test",
    "arguments": "argument",
    "statements": "statement",
    "concessions": "concession",
    "exhibits": "exhibit",
}
"""Lists of the record whose entries have ids, and what an entry is called."""

MAX_KNOWN = 30  # ids that a message lists
SHOWS_VEHICLE = frozenset({Role.LABEL_VEHICLE, Role.WHICH_VEHICLE})
"""Roles of photos that can bind a VIN to the vehicle."""
_PLACE = ("vehicle", "position")
_ANYTHING = ("vehicle", "position", "screws", "instrument", "person", "document")
_REFERENCES: tuple[tuple[Pattern, tuple[str, ...]], ...] = (
    (("vehicle", "vin_bound", "by"), ("person",)),
    (("vehicle", "vin_bound", "exhibit"), ("exhibit",)),
    (("parties", ANY, "exhibit"), ("exhibit",)),
    (("people", ANY, "party"), ("party",)),
    (("positions", ANY, "system", "card_row", "exhibit"), ("exhibit",)),
    (("release", "by"), ("person",)),
    (("declaration", "by"), ("person",)),
    (("bases", ANY, "stated_by"), ("person",)),
    (("people", ANY, "qualifications", ANY, "exhibit"), ("exhibit",)),
    (("instruments", ANY, "certificate"), ("document",)),
    (("instruments", ANY, "zero", ANY, "exhibit"), ("exhibit",)),
    (("steps", ANY, "subject"), _PLACE),
    (("steps", ANY, "by"), ("person",)),
    (("steps", ANY, "with", ANY), ("instrument",)),
    (("steps", ANY, "screws"), ("screws",)),
    (("steps", ANY, "card_row", "exhibit"), ("exhibit",)),
    (("steps", ANY, "redo_of"), ("step",)),
    (("screws", ANY, "subject"), _PLACE),
    (("screws", ANY, "instrument"), ("instrument",)),
    (("screws", ANY, "by"), ("person",)),
    (("screws", ANY, "card_row", "exhibit"), ("exhibit",)),
    (("characteristics", ANY, "subject"), (*_PLACE, "screws")),
    (("characteristics", ANY, "instrument"), ("instrument",)),
    (("characteristics", ANY, "by"), ("person",)),
    (("characteristics", ANY, "card_row", "exhibit"), ("exhibit",)),
    (("cycles", ANY, "subject"), _PLACE),
    (("cycles", ANY, "by"), ("person",)),
    (("cycles", ANY, "log"), ("exhibit",)),
    (("cycles", ANY, "card_row", "exhibit"), ("exhibit",)),
    (("audits", ANY, "screws"), ("screws",)),
    (("audits", ANY, "instrument"), ("instrument",)),
    (("audits", ANY, "by"), ("person",)),
    (("audits", ANY, "card_row", "exhibit"), ("exhibit",)),
    (("documents", ANY, "subject"), _ANYTHING),
    (("documents", ANY, "exhibit"), ("exhibit",)),
    (("documents", ANY, "held", "seen_by"), ("person",)),
    (("documents", ANY, "claims", ANY, "read_by"), ("person",)),
    (("tests", ANY, "subject"), _PLACE),
    (("tests", ANY, "exhibit"), ("exhibit",)),
    (("tests", ANY, "document"), ("document",)),
    (("arguments", ANY, "document"), ("document",)),
    (("arguments", ANY, "subject"), _PLACE),
    (("arguments", ANY, "by"), ("person",)),
    (("arguments", ANY, "exhibit"), ("exhibit",)),
    (("statements", ANY, "subject"), _ANYTHING),
    (("statements", ANY, "by"), ("person",)),
    (("statements", ANY, "exhibit"), ("exhibit",)),
    (("tickets", ANY, "subject"), _PLACE),
    (("clocks", ANY, "exhibit"), ("exhibit",)),
    (("clocks", ANY, "by"), ("person",)),
    (("retyped", ANY, "of"), (*_PLACE, "instrument", "screws", "characteristic")),
    (("retyped", ANY, "by"), ("person",)),
    (("answers", ANY, "by"), ("person",)),
    (("concessions", ANY, "subject"), _ANYTHING),
    (("concessions", ANY, "by"), ("person",)),
    (("concessions", ANY, "exhibit"), ("exhibit",)),
    (("exhibits", ANY, "subject"), _ANYTHING),
    (("exhibits", ANY, "by"), ("person",)),
)
_NOTES: tuple[Pattern, ...] = (("steps", ANY, "note"), ("answers", ANY, "note"), ("arguments", ANY, "note"))
_TIMES: tuple[Pattern, ...] = (
    ("vehicle", "vin_bound", "at"),
    ("parties", ANY, "finished"),
    ("release", "at"),
    ("declaration", "at"),
    ("steps", ANY, "at"),
    ("screws", ANY, "at"),
    ("screws", ANY, "locker", "applied"),
    ("characteristics", ANY, "at"),
    ("cycles", ANY, "at"),
    ("audits", ANY, "at"),
    ("arguments", ANY, "at"),
    ("statements", ANY, "at"),
    ("clocks", ANY, "shown"),
    ("answers", ANY, "at"),
)


def check_record(
    job: JobText,
    profile: ProfileText | None = None,
    people: PeopleText | None = None,
    packs: Mapping[str, PackText] | None = None,
    known_packs: Collection[str] = (),
) -> tuple[Problem, ...]:
    """Everything in a job record that has the right shape and no meaning, sorted.

    Args:
        job: the record.
        profile: the fitting profile of the job, where it could be read.
        people: people.yaml, where it could be read.
        packs: packs by reference, confirmation packs among them.
        known_packs: references of all packs that the job could name, for messages; beside those of ``packs``.
    """
    kinds = _kinds(job)
    problems = [*_twice(job), *_references(job, kinds), *_states(job, kinds), *_redone(job), *_bound(job)]
    problems += [*_offsets(job), *_uncovered_times(job), *_order_of_keys(job), *placeholders(job, people)]
    problems += typing_problems(job, kinds)
    problems += window_problems(job)
    problems += audit_problems(job)
    problems += labtest_problems(job)
    problems += claim_problems(job)
    if profile is not None:
        problems += _against_profile(job, profile)
    problems += _against_people(job, people, kinds)
    if people is not None:
        problems += personal_values(job, people.people)
    if packs is not None:
        problems += [*_unknown_packs(job, packs, known_packs), *_confirmed_by(job, packs, kinds)]
    return tuple(sorted(problems, key=Problem.order))


def _ids(job: JobText) -> Iterator[tuple[Path, str]]:
    for name in LISTS:
        yield from matching(job.source.data, (name, ANY, "id"))


def _kinds(job: JobText) -> dict[str, str]:
    """Id to what it names."""
    return {VEHICLE: VEHICLE, **{found: LISTS[str(path[0])] for path, found in _ids(job)}}


def _twice(job: JobText) -> Iterator[Problem]:
    source = job.source
    ids = sorted(_ids(job), key=lambda entry: source.values[entry[0]].start)
    yield from twice(source, ids)
    for path, found in ids:
        if found.casefold() == VEHICLE:
            yield source.problem("id-reserved", path, found=found)
    paths = matching(source.data, ("exhibits", ANY, "file"))
    yield from twice(source, ((path, file) for path, file in paths if isinstance(file, str)), "file-twice")


def _references(job: JobText, kinds: Mapping[str, str]) -> Iterator[Problem]:
    for pattern, allowed in _REFERENCES:
        for path, found in matching(job.source.data, pattern):
            kind = kinds.get(found)
            expected = ", ".join(allowed)
            if kind is None:
                yield job.source.problem(
                    "id-unknown", path, found=found, expected=expected, known=_known(kinds, allowed)
                )
            elif kind not in allowed:
                yield job.source.problem("id-wrong-kind", path, found=found, kind=kind, expected=expected)


def _known(kinds: Mapping[str, str], allowed: Collection[str]) -> str:
    """The ids that could have been meant, in the order of the file; ``none`` where there is none yet."""
    found = [each for each, kind in kinds.items() if kind in allowed]
    more = ["…"] if len(found) > MAX_KNOWN else []
    return ", ".join([*found[:MAX_KNOWN], *more]) or "none"


def _states(job: JobText, kinds: Mapping[str, str]) -> Iterator[Problem]:
    """Who a missing value is to come from: a person of the record, or a function."""
    functions = {*PartyFunction, *Function, *Closes}
    for path, value in everything(job.source.data):
        if not isinstance(value, dict) or "state" not in value or "from" not in value:
            continue
        found = value["from"]
        if found not in functions and kinds.get(found) != "person":
            expected = f"person, {', '.join(sorted(functions))}"
            known = _known(kinds, ("person",))
            yield job.source.problem(
                "id-unknown", (*path, "from"), found=found, expected=expected, known=known
            )


def _bound(job: JobText) -> Iterator[Problem]:
    """A VIN that was bound later is typed in, and the photo shows the plate or which vehicle it is."""
    bound = job.record.vehicle.vin_bound
    if bound is None:
        return
    if not isinstance(job.record.vehicle.vin, str):
        yield job.source.problem("vin-bound-without-vin", ("vehicle", "vin_bound"), key=True)
    role = next((entry.role for entry in job.record.exhibits if entry.id == bound.exhibit), None)
    if role is not None and role not in SHOWS_VEHICLE:
        path: Path = ("vehicle", "vin_bound", "exhibit")
        expected = ", ".join(sorted(SHOWS_VEHICLE))
        yield job.source.problem(
            "exhibit-role-differs", path, found=bound.exhibit, role=role.value, expected=expected
        )


def _redone(job: JobText) -> Iterator[Problem]:
    """A redo names an earlier entry of the same step; a step that redoes itself in the end redoes nothing."""
    steps = {step.id: step for step in job.record.steps}
    for index, step in enumerate(job.record.steps):
        path: Path = ("steps", index, "redo_of")
        earlier = steps.get(step.redo_of or "")
        if earlier is None:
            continue
        if earlier.step != step.step:
            found = f"{earlier.id} ({earlier.step})"
            yield job.source.problem("redo-of-other-step", path, found=found, expected=step.step)
        seen = {step.id}
        while earlier is not None and earlier.id not in seen:
            seen.add(earlier.id)
            earlier = steps.get(earlier.redo_of or "")
        if earlier is not None and earlier.id == step.id:
            yield job.source.problem("redo-of-itself", path, found=step.id)


def _offsets(job: JobText) -> Iterator[Problem]:
    days = [offset.from_ for offset in job.record.offsets]
    for index, (before, after) in enumerate(pairwise(days), start=1):
        if after <= before:
            found, expected = after.isoformat(), before.isoformat()
            path: Path = ("offsets", index, "from")
            yield job.source.problem("offsets-unsorted", path, found=found, expected=expected)


def _uncovered_times(job: JobText) -> Iterator[Problem]:
    first = min(offset.from_ for offset in job.record.offsets)
    for pattern in _TIMES:
        for path, text in matching(job.source.data, pattern):
            if not isinstance(text, str):
                continue
            interval = parse_interval(text)
            if interval.offset is None and interval.first_day < first:
                yield job.source.problem("offset-missing", path, found=text, first=first.isoformat())


def _order_of_keys(job: JobText) -> Iterator[Problem]:
    keys = list(job.source.data)
    if "exhibits" in keys and keys[-1] != "exhibits":
        yield job.source.problem("exhibits-not-last", ("exhibits",), key=True, found=keys[-1])


def _against_profile(job: JobText, profile: ProfileText) -> Iterator[Problem]:
    source, demanded = job.source, profile.profile
    if job.record.profile != demanded.reference:
        found, expected = job.record.profile, demanded.reference
        yield source.problem("profile-differs", ("profile",), found=found, expected=expected)
    steps = [step.id for step in demanded.steps]
    for path, found in matching(source.data, ("steps", ANY, "step")):
        if found not in steps:
            yield source.problem("step-unknown", path, found=found, expected=", ".join(steps))
    groups = [screws.group for screws in demanded.screws]
    for path, found in matching(source.data, ("screws", ANY, "group")):
        if found not in groups:
            expected = ", ".join(groups) or "none"
            yield source.problem("screw-group-unknown", path, found=found, expected=expected)


def _against_people(job: JobText, people: PeopleText | None, kinds: Mapping[str, str]) -> Iterator[Problem]:
    notes = {note.id for note in people.people.notes} if people is not None else set()
    for pattern in _NOTES:
        for path, found in matching(job.source.data, pattern):
            if found not in notes:
                code = "note-without-people" if people is None else "note-unknown"
                yield job.source.problem(code, path, found=found)
    if people is not None:
        yield from _people(people, kinds)


def _people(people: PeopleText, kinds: Mapping[str, str]) -> Iterator[Problem]:
    source = people.source
    for name in ("people", "notes", "file_names"):
        yield from twice(source, matching(source.data, (name, ANY, "id")))
    wanted: tuple[tuple[Pattern, str], ...] = (
        (("people", ANY, "id"), "person"),
        (("file_names", ANY, "id"), "exhibit"),
    )
    for pattern, kind in wanted:
        for path, found in matching(source.data, pattern):
            if kinds.get(found) != kind:
                yield source.problem(
                    "id-unknown", path, found=found, expected=kind, known=_known(kinds, (kind,))
                )
    for path, found in matching(source.data, ("notes", ANY, "about")):
        if found not in kinds:
            known = _known(kinds, tuple(LISTS.values()))
            yield source.problem("id-unknown", path, found=found, expected="id of the record", known=known)
    for path, found in matching(source.data, ("notes", ANY, "id")):
        if found in kinds:
            yield source.problem("note-id-taken", path, found=found, kind=kinds[found])


def _unknown_packs(
    job: JobText, packs: Mapping[str, PackText], known_packs: Collection[str]
) -> Iterator[Problem]:
    known = tuple(sorted({*packs, *known_packs}))
    expected = ", ".join(known) or "none"
    for path, found in matching(job.source.data, ("bases", ANY, "packs", ANY)):
        if found in packs:
            continue
        meant = closest(found, known)
        if meant is None:
            yield job.source.problem("pack-unknown", path, found=found, expected=expected)
        else:
            yield job.source.problem("pack-misspelt", path, found=found, expected=expected, meant=meant)


def _confirmed_by(job: JobText, packs: Mapping[str, PackText], kinds: Mapping[str, str]) -> Iterator[Problem]:
    named = {reference for basis in job.record.bases for reference in basis.packs}
    for reference in sorted(named & packs.keys()):
        source = packs[reference].source
        for path, found in matching(source.data, ("confirmations", ANY, "by")):
            if kinds.get(found) != "person":
                known = _known(kinds, ("person",))
                yield source.problem("id-unknown", path, found=found, expected="person", known=known)
