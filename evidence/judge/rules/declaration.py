"""Rules on the declaration: dated before the last test, or signed by a fitter of the same vehicle."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge._times import Span, before, span, timed_works, whole_day, works
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, Outcome, Role, Severity
from evidence.model.times import parse_date

_TEST_PAPERS = frozenset(
    {Role.TYPE_TEST_REPORT, Role.FLOOR_TEST_REPORT, Role.PULL_LOG, Role.CYCLE_LOG, Role.TORQUE_LOG}
)


def before_last_test(case: Case) -> Iterator[Contradiction]:
    """The declaration was made before something that it declares had been fitted or tested."""
    declaration = case.record.declaration
    if declaration is None:
        return
    declared = span(declaration.at, case.record)
    later = [
        (when.end, entry, text)
        for entry, text, when in [*timed_works(case.record), *_claimed(case)]
        if before(declared, when) == Outcome.MET
    ]
    if later:
        _, entry, text = max(later)
        yield contradiction(
            ContradictionRule.DECLARATION_BEFORE_LAST_TEST,
            VEHICLE,
            (Place(where="declaration.at", value=declaration.at.text), Place(where=entry, value=text)),
            declared=declaration.at.text,
            entry=entry,
            tested=text,
        )


def _claimed(case: Case) -> Iterator[tuple[str, str, Span]]:
    for document in case.record.documents:
        for claim in document.claims:
            if (
                document.role in _TEST_PAPERS
                and claim.name == ClaimName.TEST_DATE
                and isinstance(claim.value, str)
            ):
                day = whole_day(parse_date(claim.value), case.record)
                yield f"{document.id}.{claim.name.value}", claim.value, day


def signatory_is_fitter(case: Case) -> Iterator[Contradiction]:
    """The person who declares conformity also did the work; told, because one pair of eyes saw it all."""
    declaration = case.record.declaration
    if declaration is None:
        return
    mine = sorted(work.id for work in works(case.record) if not work.is_test and work.by == declaration.by)
    if mine:
        yield contradiction(
            ContradictionRule.SIGNATORY_IS_FITTER,
            declaration.by,
            (
                Place(where="declaration.by", value=declaration.by),
                Place(where=f"{mine[0]}.by", value=mine[0]),
            ),
            severity=Severity.NOTICE,
            person=declaration.by,
            entry=mine[0],
        )
