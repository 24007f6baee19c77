"""Rule on people: work done after a qualification had ended that the record itself names."""

from collections.abc import Iterator
from datetime import date

from evidence.judge._identity import contradiction
from evidence.judge._times import works
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Severity
from evidence.model.record import Person
from evidence.model.times import Interval


def ended(case: Case) -> Iterator[Contradiction]:
    """Somebody worked after the last day of a qualification, and no later spell of the same one covers the day.

    It is only told, because which qualification the work needs is for the manual or a pack to ask. The latest such
    work stands for all.
    """
    for person in case.record.people:
        days = sorted(
            (work.at.first_day, work.id)
            for work in works(case.record)
            if work.by == person.id and isinstance(work.at, Interval)
        )
        for what in sorted({spell.what for spell in person.qualifications}):
            late = [(day, entry, last) for day, entry in days if (last := _ended_before(person, what, day))]
            if late:
                day, entry, last = late[-1]
                yield contradiction(
                    ContradictionRule.QUALIFICATION_ENDED,
                    person.id,
                    (
                        Place(where=f"{person.id}.{what}.until", value=last.isoformat()),
                        Place(where=f"{entry}.at", value=day.isoformat()),
                    ),
                    severity=Severity.NOTICE,
                    person=person.id,
                    qualification=what,
                    entry=entry,
                    last_day=last.isoformat(),
                    day=day.isoformat(),
                )


def _ended_before(person: Person, what: str, day: date) -> date | None:
    """Last day of the qualification before a day that no spell of it covers; None where one does or none was held."""
    spells = [spell for spell in person.qualifications if spell.what == what and spell.from_ <= day]
    ends = [spell.until for spell in spells if spell.until is not None]
    if len(ends) < len(spells) or any(end >= day for end in ends):
        return None
    return max(ends, default=None)
