"""Rules on files: a photo of the work taken outside it, one file under two names, a file changed since."""

from collections.abc import Iterator
from itertools import pairwise

from evidence.judge._camera import taken as taken_on
from evidence.judge._identity import changed_file, contradiction
from evidence.judge._times import whole_day, works
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, FieldWord, Role, Severity
from evidence.model.times import Interval

SHOWS_WORK = frozenset(
    {
        Role.HOOK_POSITION,
        Role.LOCK_WINDOW_OPEN,
        Role.LOCK_WINDOW_LOCKED,
        Role.SCREWS,
        Role.WITNESS_MARKS,
        Role.CHARGING,
    }
)
"""Roles of photos that cannot exist before the work or, for this job, after it; labels and overviews can."""


def outside_work(case: Case) -> Iterator[Contradiction]:
    """By its camera's time a photo of the work was wholly taken before its first or after its last day."""
    days = sorted(work.at.first_day for work in works(case.record) if isinstance(work.at, Interval))
    if not days:
        return
    first, last = days[0], days[-1]
    early = _missing_times(case, FieldWord.UNKNOWN, FieldWord.ILLEGIBLE)
    late = early or _missing_times(case, FieldWord.TO_COME)
    begin, end = whole_day(first, case.record).start, whole_day(last, case.record).end
    for entry in case.record.exhibits:
        item = case.items.get(entry.id)
        taken = taken_on(item.photo, case) if item and item.photo and entry.role in SHOWS_WORK else None
        if item is None or item.photo is None or taken is None:
            continue
        if (taken.end <= begin and not early) or (taken.start >= end and not late):
            text = f"{item.photo.taken}{item.photo.taken_offset or ''}"
            yield contradiction(
                ContradictionRule.PHOTO_OUTSIDE_WORK,
                entry.id,
                (
                    Place(where=f"{entry.id}.taken", value=text),
                    Place(where="work", value=f"{first.isoformat()}/{last.isoformat()}"),
                ),
                exhibits=(entry.id,),
                exhibit=entry.id,
                taken=text,
                first_day=first.isoformat(),
                last_day=last.isoformat(),
            )


def _missing_times(case: Case, *states: FieldWord) -> bool:
    """Whether work exists whose day is not known, so that the first or last day is not certain."""
    return any(isinstance(work.at, FieldState) and work.at.state in states for work in works(case.record))


def same_file_twice(case: Case) -> Iterator[Contradiction]:
    """One file stands under two exhibit ids: a contradiction for photos, a notice for papers that may serve twice."""
    by_digest: dict[str, list[str]] = {}
    for entry in sorted(case.record.exhibits, key=lambda one: one.id):
        item = case.items.get(entry.id)
        if item is not None:
            by_digest.setdefault(item.sha256, []).append(entry.id)
    for digest, ids in sorted(by_digest.items()):
        for first, second in pairwise(ids):
            is_photo = case.items[second].kind == "photo"
            yield contradiction(
                ContradictionRule.SAME_FILE_TWICE,
                second,
                (Place(where=first, value=digest), Place(where=second, value=digest)),
                severity=Severity.CONTRADICTION if is_photo else Severity.NOTICE,
                exhibits=(first, second),
                first=first,
                second=second,
            )


def changed(case: Case) -> Iterator[Contradiction]:
    """The bytes of a file are not those that were taken in."""
    for exhibit in sorted(case.changed):
        logged, now = changed_file(exhibit, case)
        yield contradiction(
            ContradictionRule.EXHIBIT_CHANGED,
            exhibit,
            (Place(where=f"{exhibit}.intake", value=logged), Place(where=f"{exhibit}.file", value=now)),
            exhibits=(exhibit,),
            exhibit=exhibit,
        )
