"""Rule on the release: dated before something that it releases had been done."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge._times import before, span, timed_works
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Outcome


def before_last_work(case: Case) -> Iterator[Contradiction]:
    """The work was released before a step, value or cycle; the latest of them stands for all."""
    release = case.record.release
    if release is None:
        return
    released = span(release.at, case.record)
    later = [
        (when.end, entry, text)
        for entry, text, when in timed_works(case.record)
        if before(released, when) == Outcome.MET
    ]
    if later:
        _, entry, text = max(later)
        yield contradiction(
            ContradictionRule.RELEASE_BEFORE_LAST_WORK,
            VEHICLE,
            (Place(where="release.at", value=release.at.text), Place(where=entry, value=text)),
            released=release.at.text,
            entry=entry,
            done=text,
        )
