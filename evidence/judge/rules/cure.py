"""Rule on thread-locker: its data sheet wants a longer cure than the manual."""

from collections.abc import Iterator

from evidence.judge._claims import one_stop
from evidence.judge._evidence import claims_of, document_stop
from evidence.judge._identity import contradiction
from evidence.judge.case import Case
from evidence.model.criterion import Ordered
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, ProfileKind, Role, Severity
from evidence.quantity import Quantity


def time_differs(case: Case) -> Iterator[Contradiction]:
    """Told only: the manual's time is judged, since the maker of the system may know what its joint needs."""
    for requirement, asked in _demanded(case):
        for document in case.record.documents:
            if document.role != Role.DATA_SHEET or document_stop(document, case) is not None:
                continue
            for claim in claims_of(document, ClaimName.CURE_TIME):
                stated = claim.quantity
                if stated is None or stated.base <= asked.base or one_stop(claim, document, case) is not None:
                    continue
                yield contradiction(
                    ContradictionRule.CURE_TIME_DIFFERS,
                    document.id,
                    (
                        Place(where=requirement, value=asked.text),
                        Place(where=f"{document.id}.{claim.name.value}", value=stated.text),
                    ),
                    severity=Severity.NOTICE,
                    exhibits=(document.exhibit,) if document.exhibit else (),
                    document=document.id,
                    claimed=stated.json(),
                    expected=asked.json(),
                )


def _demanded(case: Case) -> Iterator[tuple[str, Quantity]]:
    """Requirement and longest time of each demand that answers for the cure."""
    for demand in case.demands.criteria:
        criterion = demand.criterion
        if isinstance(criterion, Ordered) and criterion.answers == ProfileKind.CURE and criterion.gaps:
            times = [gap.at_least for gap in criterion.gaps]
            yield demand.requirement, max(times, key=lambda time: time.base)
