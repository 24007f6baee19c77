"""Rules on tests: what a paper claims of one against its channels, its day and its mass."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from evidence.judge._agreement import Agreement, about, agreements
from evidence.judge._claims import one_stop, usable
from evidence.judge._evidence import claims_of, document_stop
from evidence.judge._identity import contradiction
from evidence.judge._lab import test_stop
from evidence.judge._scope import listed
from evidence.judge.case import Case
from evidence.labtests import claimed_direction, half_digit
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, LabDirection, Severity
from evidence.model.record import Document, LabTest
from evidence.model.times import Interval, parse_date
from evidence.quantity import Quantity

_WORDS: Mapping[LabDirection, frozenset[str]] = {
    LabDirection.FRONTAL: frozenset({"frontal", "front", "forward"}),
    LabDirection.REAR: frozenset({"rear", "rearward", "backward"}),
    LabDirection.SIDE: frozenset({"side", "sideways", "lateral", "transverse"}),
    LabDirection.UP: frozenset({"up", "upward"}),
    LabDirection.DOWN: frozenset({"down", "downward"}),
}
"""How papers call a direction; what they call otherwise is no direction known here."""


def claim_against_channel(case: Case) -> Iterator[Contradiction]:
    """A paper claims a figure that none of the tests it speaks of bears out.

    Certain only where every such test has a number without doubts, and the paper makes one claim of that name. Where
    neither the claim's name nor the paper says of which direction it speaks, it may be of a test whose channels are not
    here, and is told only.
    """
    found = agreements(case.record, case.results)
    for (paper, _), group in groupby(found, key=lambda one: (one.document, one.number)):
        each = tuple(group)
        document = next(one for one in case.record.documents if one.id == paper)
        tests = about(document, each[0].claim, case.record)
        if len(each) == len(tests) and all(one.state == "differs" for one in each):
            claims = claims_of(document, each[0].claim)
            if (
                len(claims) == 1
                and not _silent(document, tests, case)
                and not one_stop(claims[0], document, case)
            ):
                yield _against(min(each, key=lambda one: (one.away, one.test)), document, tests, case)


def _silent(document: Document, tests: Sequence[LabTest], case: Case) -> bool:
    """Whether the paper, or the file of any of its tests, cannot be used."""
    return document_stop(document, case) is not None or any(test_stop(test, case) for test in tests)


def _against(found: Agreement, document: Document, tests: Sequence[LabTest], case: Case) -> Contradiction:
    result = found.result
    recomputed = found.recomputed
    certain = claimed_direction(found.claim) is not None or _one_direction(document, tests, case)
    exhibits = [result.exhibit, *([document.exhibit] if document.exhibit else [])]
    return contradiction(
        ContradictionRule.CLAIM_AGAINST_CHANNEL,
        document.id,
        (
            Place(where=f"{document.id}.{found.claim.value}", value=found.claimed.text),
            Place(
                where=f"{result.test}.{result.quantity}", value=f"{recomputed['value']} {recomputed['unit']}"
            ),
        ),
        severity=Severity.CONTRADICTION if certain else Severity.NOTICE,
        exhibits=exhibits,
        code=None if found.stated else "claim-against-channel-practice",
        document=document.id,
        claim=found.claim.value,
        page=str(found.page) if found.page is not None else "not named",
        claimed=found.claimed.json(),
        recomputed=recomputed,
        allowed=found.allowed_in_unit,
        test=result.test,
        exhibit=result.exhibit,
        channel=result.channel or result.use.value,
    )


def _one_direction(document: Document, tests: Sequence[LabTest], case: Case) -> bool:
    """Whether the paper says that it is about the one direction of these tests."""
    stated = listed(usable(document, ClaimName.DIRECTIONS.value, case))
    loaded = {test.direction for test in tests}
    return len(stated) == 1 and len(loaded) == 1 and stated <= _WORDS[loaded.pop()]


def date_differs(case: Case) -> Iterator[Contradiction]:
    """A paper gives days of its test, and none of them is the day of a test that the record says it speaks of.

    Certain only where the record knows the very day of each.
    """
    for document, tests in _papers(case):
        days = [_day(test) for test in tests]
        claimed = usable(document, ClaimName.TEST_DATE.value, case)
        known = {day for day in days if day is not None}
        if claimed and None not in days and not known & {parse_date(text).isoformat() for text in claimed}:
            yield _differs(
                ContradictionRule.TEST_DATE_DIFFERS,
                (document, ClaimName.TEST_DATE, ", ".join(claimed)),
                (tests[0], "at", ", ".join(sorted(known))),
            )


def _day(test: LabTest) -> str | None:
    if not isinstance(test.at, Interval) or test.at.first_day != test.at.last_day:
        return None
    return test.at.first_day.isoformat()


def mass_differs(case: Case) -> Iterator[Contradiction]:
    """A paper gives one mass of its test, and that of no test it speaks of is the same within their last digits."""
    for document, tests in _papers(case):
        claims = claims_of(document, ClaimName.TEST_MASS)
        claimed = claims[0].quantity if len(claims) == 1 else None
        masses = [test.mass for test in tests if test.mass is not None]
        if claimed is None or len(masses) < len(tests) or one_stop(claims[0], document, case) is not None:
            continue
        if not any(_same(claimed, mass) for mass in masses):
            yield _differs(
                ContradictionRule.TEST_MASS_DIFFERS,
                (document, ClaimName.TEST_MASS, claimed.text),
                (tests[0], "mass", ", ".join(sorted({mass.text for mass in masses}))),
            )


def _same(one: Quantity, other: Quantity) -> bool:
    slack: Fraction = half_digit(one) + half_digit(other)
    return abs(one.base - other.base) <= slack


def _papers(case: Case) -> Iterator[tuple[Document, tuple[LabTest, ...]]]:
    """Usable papers with the tests that the record says they speak of, by id."""
    for document in case.record.documents:
        tests = sorted(
            (test for test in case.record.tests if test.paper == document.id), key=lambda one: one.id
        )
        if tests and document_stop(document, case) is None:
            yield document, tuple(tests)


def _differs(
    rule: ContradictionRule, claimed: tuple[Document, ClaimName, str], recorded: tuple[LabTest, str, str]
) -> Contradiction:
    document, claim, text = claimed
    test, field, said = recorded
    return contradiction(
        rule,
        document.id,
        (
            Place(where=f"{document.id}.{claim.value}", value=text),
            Place(where=f"{test.id}.{field}", value=said),
        ),
        exhibits=[document.exhibit] if document.exhibit else [],
        document=document.id,
        claimed=text,
        recorded=said,
        test=test.id,
    )
