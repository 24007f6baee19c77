"""Rules on lock windows: a person who read another colour than the photo shows."""

from collections.abc import Iterator

from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import contradiction
from evidence.judge._window import usable_reading
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule


def against_reading(case: Case) -> Iterator[Contradiction]:
    """A person read one colour and the photo certainly shows the other; where the photo is in doubt, the person is not."""
    for entry in sorted(case.record.exhibits, key=lambda one: one.id):
        found = usable_reading(entry.id, case)
        if found is None or entry.reads in (None, found.state) or found.state == "undecided":
            continue
        if exhibit_stop(entry.id, case) is not None:
            continue
        yield contradiction(
            ContradictionRule.WINDOW_AGAINST_READING,
            entry.id,
            (
                Place(where=f"{entry.id}.reads", value=str(entry.reads)),
                Place(where=f"{entry.id}.measured", value=found.state),
            ),
            exhibits=found.exhibits,
            exhibit=entry.id,
            found=found.state,
            person=str(entry.by),
            recorded=str(entry.reads),
        )
