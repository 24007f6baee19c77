"""Which vehicle and place each photo of a phone dump is of: readings and records in, placements with their reason out.

Three things place a photo, and nothing else does: a printed ticket in it, a label whose number one record has, or
two photos around it that were placed so. What disagrees places nothing.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from difflib import get_close_matches
from typing import Literal

from evidence import labels
from evidence.exhibits.reading import CODES_UNREAD
from evidence.labels import Label
from evidence.model.exhibit import Item
from evidence.model.names import Role
from evidence.model.record import JobRecord

VEHICLE = "vehicle"
MAX_GAP = timedelta(
    minutes=10
)  # from a photo without a code to the placed ones around it; practice, no source
Why = Literal["ticket", "label", "folder", "time"]
NEAR = 0.85  # likeness of two names of which one is a slip of the pen; practice, no source
_ROLES = frozenset(role.value for role in Role)


@dataclass(frozen=True)
class Shot:
    """One file of the dump, as read.

    Attributes:
        path: below the inbox, with ``/``.
        kind: photo, document or table.
        labels: what its codes say.
        unread: whether the search for codes gave up, so that there may be some.
        camera: make, model, program and clock offset that the file claims; None without make and model.
        taken: camera time, as claimed.
    """

    path: str
    kind: str
    labels: tuple[Label, ...] = ()
    unread: bool = False
    camera: tuple[str, str, str] | None = None
    taken: datetime | None = None


@dataclass(frozen=True)
class Placed:
    """A file that belongs to one vehicle for certain.

    Attributes:
        path: of the shot.
        job: id of the job.
        place: ``vehicle`` or a position; None where only a folder named the job.
        role: what it shows.
        why: what placed it.
    """

    path: str
    job: str
    place: str | None
    role: Role
    why: Why


@dataclass(frozen=True)
class Unplaced:
    """A file that stays where it is: code and parameters of the reason."""

    path: str
    code: str
    parameters: Mapping[str, str]


@dataclass(frozen=True)
class _Hint:
    """What one code or folder says: of which jobs it can be, where in them, and what the photo then shows."""

    text: str
    why: Why
    jobs: Mapping[str, tuple[str, Role | None]]


@dataclass(frozen=True)
class _Folders:
    """What the names of a file's folders say; ``phone`` is what is left of them."""

    job: str | None
    role: Role | None
    phone: tuple[str, ...]
    clash: str = ""


def shot(path: str, item: Item) -> Shot:
    """What sorting needs of a file that was read.

    Args:
        path: below the inbox.
        item: what its reader said, codes included.
    """
    photo = item.photo
    if photo is None:
        return Shot(path, item.kind)
    camera = (photo.camera, photo.software or "", photo.taken_offset or "") if photo.camera else None
    return Shot(
        path,
        item.kind,
        tuple(labels.read(code.text) for code in photo.codes),
        CODES_UNREAD in item.warnings,
        camera,
        datetime.fromisoformat(photo.taken) if photo.taken else None,
    )


def place(shots: Iterable[Shot], records: Mapping[str, JobRecord]) -> dict[str, Placed | Unplaced]:
    """Place every file that belongs to one vehicle for certain.

    Args:
        shots: the files of one dump.
        records: of the jobs that they may belong to, by job id.

    Returns:
        Path to placement, or to why there is none, by path.
    """
    inorder = sorted(shots, key=lambda one: one.path)
    coded = {one.path: by_code(one, records) for one in inorder}
    by_phone: dict[tuple[object, ...], list[Shot]] = {}
    for one in inorder:
        if one.taken is not None and one.camera is not None:
            by_phone.setdefault((one.camera, _folders(one.path, records).phone), []).append(one)
    marks = {
        phone: [one for one in taken if coded[one.path] is not None] for phone, taken in by_phone.items()
    }
    found: dict[str, Placed | Unplaced] = {}
    for one in inorder:
        known = coded[one.path]
        phone = (one.camera, _folders(one.path, records).phone)
        found[one.path] = known or _without_code(one, records, marks.get(phone, []), coded)
    return found


def by_code(one: Shot, records: Mapping[str, JobRecord]) -> Placed | Unplaced | None:
    """The placement by what the codes of a photo say; None where they say nothing about any vehicle."""
    folders = _folders(one.path, records)
    if folders.clash:
        return Unplaced(one.path, "sort-folders-disagree", {"found": folders.clash})
    hints: list[_Hint] = []
    unknown: list[Label] = []
    for label in one.labels:
        if label.kind in ("ticket", "clock"):
            problem = _ticket_problem(label, records)
            if problem:
                return Unplaced(
                    one.path, problem, {"job": label.job or "", "subject": label.subject or VEHICLE}
                )
        hint = _hint(label, records)
        if hint is not None and hint.jobs:
            hints.append(hint)
        elif label.vin or label.serial:
            unknown.append(label)
    if not hints:
        found = ", ".join(label.text for label in unknown)
        return Unplaced(one.path, "sort-code-unknown", {"found": found}) if unknown else None
    if folders.job:
        hints.append(_Hint(folders.job, "folder", {folders.job: (VEHICLE, None)}))
    return _agreed(one, hints, unknown, folders, records)


def _ticket_problem(label: Label, records: Mapping[str, JobRecord]) -> str:
    record = records.get(label.job or "")
    if record is None:
        return "sort-ticket-unknown-job"
    printed = {(ticket.subject, ticket.nonce) for ticket in record.tickets}
    if label.kind == "clock":  # a clock's ticket has the nonce of one of the others
        return "" if label.nonce in {nonce for _, nonce in printed} else "sort-ticket-not-printed"
    return "" if (label.subject, label.nonce) in printed else "sort-ticket-not-printed"


def _hint(label: Label, records: Mapping[str, JobRecord]) -> _Hint | None:
    if label.kind in ("ticket", "clock"):
        text = f"{label.job} {label.subject or VEHICLE}"
        role = Role.CLOCK_TICKET if label.kind == "clock" else None
        return _Hint(text, "ticket", {label.job or "": (label.subject or VEHICLE, role)})
    jobs: dict[str, tuple[str, Role | None]] = {}
    for job, record in records.items():
        things = _things(label, record)
        if len(set(things)) == 1:
            jobs[job] = things[0]
        elif things:  # the same number on two things: which of them is not known, but the vehicle is
            jobs[job] = (VEHICLE, None)
    return _Hint(label.text, "label", jobs)


def _things(label: Label, record: JobRecord) -> list[tuple[str, Role | None]]:
    """What of a vehicle has the number that a label gives: place and role of a photo of that label."""
    vehicle = record.vehicle
    if label.kind == "vin":
        if isinstance(
            vehicle.vin, str
        ):  # a plate with another number is another vehicle's, whatever its build
            own = labels.same_vin(vehicle.vin, label.text)
        else:
            own = label.build is not None and _same(vehicle.build, label.build)
        return [(VEHICLE, Role.LABEL_VEHICLE)] if own else []
    if labels.names_nothing(label):
        return []
    found: list[tuple[str, Role | None]] = []
    if label.model is None and any(
        _same(each, label.text) for each in (vehicle.build, vehicle.module_serial)
    ):
        found.append((VEHICLE, None))
    for position in record.positions:
        system = position.system
        if _fits(label, system.model, system.serial):
            found.append((position.id, Role.LABEL_SYSTEM))
        staying = [each for each in position.stretchers.delivered_with if each.holding in (None, "own")]
        if any(_fits(label, each.model, each.serial) for each in staying):
            found.append((position.id, Role.LABEL_STRETCHER))
    return found


def _fits(label: Label, model: str, serial: object) -> bool:
    """Whether a label is of a thing: the same number, and no other model beside it."""
    if label.model is not None and " ".join(label.model.casefold().split()) != " ".join(
        model.casefold().split()
    ):
        return False
    return _same(serial, label.text)


def _same(recorded: object, found: str) -> bool:
    return isinstance(recorded, str) and labels.same_serial(recorded, found)


def _agreed(
    one: Shot,
    hints: Sequence[_Hint],
    unknown: Sequence[Label],
    folders: _Folders,
    records: Mapping[str, JobRecord],
) -> Placed | Unplaced:
    """The one vehicle and place that all hints allow, or why there is none."""
    common = set.intersection(*(set(hint.jobs) for hint in hints))
    told = {"found": "; ".join(dict.fromkeys(_told(hint) for hint in hints))}
    if not common:
        tickets_only = all(hint.why == "ticket" for hint in hints)
        return Unplaced(one.path, "sort-two-vehicles" if tickets_only else "sort-codes-disagree", told)
    if len(common) > 1:
        return Unplaced(one.path, "sort-label-shared", {**told, "jobs": ", ".join(sorted(common))})
    job = common.pop()
    foreign = [label.text for label in unknown if label.vin and isinstance(records[job].vehicle.vin, str)]
    if foreign:
        told["found"] += f"; {', '.join(foreign)}"
        return Unplaced(one.path, "sort-codes-disagree", told)
    things = [hint.jobs[job] for hint in hints]
    places = {where for where, _ in things} - {VEHICLE}
    if len(places) > 1:
        return Unplaced(one.path, "sort-two-places", {"job": job, "found": ", ".join(sorted(places))})
    where = next(iter(places), VEHICLE)
    shown = {(at, role) for at, role in things if role is not None}
    only = next(iter(shown)) if len(shown) == 1 else (where, None)
    role = folders.role or (only[1] if only[0] == where else None) or Role.OTHER_PHOTO
    why: Why = "ticket" if any(hint.why == "ticket" for hint in hints) else "label"
    return Placed(one.path, job, where, role, why)


def _told(hint: _Hint) -> str:
    return f"{hint.why} {hint.text}" + (f" ({', '.join(sorted(hint.jobs))})" if hint.why == "label" else "")


def _without_code(
    one: Shot,
    records: Mapping[str, JobRecord],
    marks: Sequence[Shot],
    coded: Mapping[str, Placed | Unplaced | None],
) -> Placed | Unplaced:
    """By the folders that somebody made, else by the photos before and after."""
    folders = _folders(one.path, records)
    timed = _by_time(one, marks, coded) if one.kind == "photo" else None
    if folders.job and isinstance(timed, Placed) and timed.job != folders.job:
        found = f"folder {folders.job}; time {timed.job}"
        return Unplaced(one.path, "sort-codes-disagree", {"found": found})
    if folders.job and folders.role:
        near = timed.place if isinstance(timed, Placed) else None
        return Placed(one.path, folders.job, near, folders.role, "folder")
    if timed is None and one.kind == "channels":
        return Unplaced(one.path, "sort-set", {})
    if timed is None:
        return Unplaced(one.path, "sort-not-photo", {"kind": one.kind})
    if isinstance(timed, Unplaced) and folders.job:
        return Unplaced(one.path, "sort-folder-without-role", {"job": folders.job})
    return replace(timed, role=folders.role) if isinstance(timed, Placed) and folders.role else timed


def _by_time(
    one: Shot, marks: Sequence[Shot], coded: Mapping[str, Placed | Unplaced | None]
) -> Placed | Unplaced:
    """Between two photos of one place that the same phone took shortly before and after.

    Any photo with a code counts as a neighbour, also one that could not be placed: the phone was elsewhere then.
    """
    if one.unread:
        return Unplaced(one.path, "sort-codes-unread", {})
    if one.taken is None or one.camera is None:
        return Unplaced(one.path, "sort-no-camera-time", {})
    now = one.taken
    same = [mark for mark in marks if mark.taken == now]
    before = _nearest(marks, max, lambda at: at < now) + same
    after = same + _nearest(marks, min, lambda at: at > now)
    around = {mark.path: coded[mark.path] for mark in (*before, *after)}
    places = {(known.job, known.place) if isinstance(known, Placed) else None for known in around.values()}
    minutes = str(int(MAX_GAP.total_seconds() // 60))
    far = any(abs(mark.taken - now) > MAX_GAP for mark in (*before, *after) if mark.taken is not None)
    if not before or not after or len(around) < 2 or None in places or len(places) != 1 or far:  # noqa: PLR2004 - one on each side
        return Unplaced(one.path, "sort-not-between", {"minutes": minutes})
    known = next(each for each in around.values() if isinstance(each, Placed))
    return Placed(one.path, known.job, known.place, Role.OTHER_PHOTO, "time")


def _nearest(
    marks: Sequence[Shot], pick: Callable[[Iterable[datetime]], datetime], on_side: Callable[[datetime], bool]
) -> list[Shot]:
    """Every photo with a code that was taken at the nearest second on one side."""
    times = {mark.taken for mark in marks if mark.taken is not None and on_side(mark.taken)}
    if not times:
        return []
    at = pick(times)
    return [mark for mark in marks if mark.taken == at]


def near_roles(paths: Iterable[str], records: Mapping[str, JobRecord]) -> dict[str, str]:
    """Folders of a dump whose name is nearly a role's, to that role: a slip of the pen, for which nothing is placed."""
    names = {part for path in paths for part in path.split("/")[:-1]}
    unknown = sorted(name for name in names if name not in records and name not in _ROLES)
    found: dict[str, str] = {}
    for name in unknown:
        plain = "-".join(re.split(r"[\s_-]+", name.strip().lower()))
        if near := get_close_matches(plain, sorted(_ROLES), 1, NEAR):
            found[name] = near[0]
    return found


def _folders(path: str, records: Mapping[str, JobRecord]) -> _Folders:
    """Names of folders that are a job's id or a role; photos of two phones lie in two other folders."""
    parts = path.split("/")[:-1]
    jobs = sorted({part for part in parts if part in records})
    roles = sorted({part for part in parts if part in _ROLES})
    clash = ", ".join(jobs if len(jobs) > 1 else roles if len(roles) > 1 else [])
    phone = tuple(part for part in parts if part not in records and part not in _ROLES)
    return _Folders(jobs[0] if jobs else None, Role(roles[0]) if roles else None, phone, clash)
