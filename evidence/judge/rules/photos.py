"""Rules on files: a photo of the work taken outside it, one file or picture under two names, a file changed since."""

from collections.abc import Iterator
from itertools import combinations, pairwise

from evidence.exhibits.likeness import SAVED_AGAIN, is_flat, likeness_distance
from evidence.judge._camera import taken as taken_on
from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import changed_file, contradiction
from evidence.judge._times import whole_day, works
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.exhibit import Photo
from evidence.model.finding import Contradiction, Place
from evidence.model.names import CODE_ROLES, ContradictionRule, FieldWord, Role, Severity
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


def same_picture_twice(case: Case) -> Iterator[Contradiction]:
    """Two photos that must each show something of its own are one picture, saved again."""
    found = [
        (entry.role, case.items[entry.id], photo)
        for entry in sorted(case.record.exhibits, key=lambda one: one.id)
        if entry.role in CODE_ROLES and exhibit_stop(entry.id, case) is None
        if (photo := case.items[entry.id].photo) is not None
    ]
    for (one_role, one, first), (other_role, other, second) in combinations(found, 2):
        if one_role == other_role or one.sha256 == other.sha256 or not _saved_again(first, second):
            continue
        yield contradiction(
            ContradictionRule.SAME_PICTURE_TWICE,
            other.id,
            (Place(where=one.id, value=one.sha256), Place(where=other.id, value=other.sha256)),
            exhibits=(one.id, other.id),
            first=one.id,
            second=other.id,
        )


def _saved_again(one: Photo, other: Photo) -> bool:
    if one.likeness is None or other.likeness is None or is_flat(one.likeness) or is_flat(other.likeness):
        return False
    codes = [{code.text for code in each.codes} for each in (one, other)]
    if all(codes) and codes[0].isdisjoint(codes[1]):
        return False  # two labels in the same light look alike, and are two all the same
    return likeness_distance(one.likeness, other.likeness) <= SAVED_AGAIN


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
