"""Rule on the profile: work was done on a day on which this revision of the manual was not in force."""

from collections.abc import Iterator
from datetime import date

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge._times import works
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule
from evidence.model.times import Interval


def not_in_force(case: Case) -> Iterator[Contradiction]:
    """Work that was certainly over before the revision's first day, and work certainly begun after its last one."""
    manual = case.profile.manual
    dated = [(work.id, work.at) for work in works(case.record) if isinstance(work.at, Interval)]
    early = [(at.last_day, entry) for entry, at in dated if at.last_day < manual.valid_from]
    if early:
        yield _contradiction(early, "profile-not-yet-in-force", "valid_from", manual.valid_from, case)
    last = manual.valid_until
    late = [(at.first_day, entry) for entry, at in dated if last is not None and at.first_day > last]
    if late and last is not None:
        yield _contradiction(late, "profile-not-in-force", "valid_until", last, case)


def _contradiction(
    found: list[tuple[date, str]], code: str, field: str, bound: date, case: Case
) -> Contradiction:
    """One for all the work on that side; the first of its days is named."""
    profile, manual = case.profile.reference, case.profile.manual
    day, entry = min(found)
    span = f"{manual.valid_from}/{manual.valid_until or '..'}"
    return contradiction(
        ContradictionRule.PROFILE_NOT_IN_FORCE,
        VEHICLE,
        (
            Place(where=f"{profile}.manual.{field}", value=bound.isoformat()),
            Place(where=f"{entry}.at", value=day.isoformat()),
        ),
        code=code,
        profile=profile,
        span=span,
        bound=bound.isoformat(),
        day=day.isoformat(),
        entries=tuple(one for _, one in found),
    )
