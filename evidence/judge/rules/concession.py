"""Rule on findings: a recorded concession that covers none of them."""

from collections.abc import Iterator, Sequence

from evidence.judge._identity import contradiction
from evidence.judge._permission import NONE, SETTLED, Obstacle, obstacle, side
from evidence.judge._scope import lineage
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Finding, Place
from evidence.model.names import ContradictionRule, Severity
from evidence.model.record import Concession


def not_in_force(findings: Sequence[Finding], case: Case) -> Iterator[Contradiction]:
    """A concession that leaves open what it was meant for, with the first reason why.

    Args:
        findings: every finding of the case; where all that a concession is meant for is met, there is nothing to tell.
        case: for the concessions and the demands.
    """
    for concession in case.record.concessions:
        why = _why(concession, findings, case)
        if why is not None:
            yield contradiction(
                ContradictionRule.CONCESSION_NOT_IN_FORCE,
                concession.id,
                why.between,
                severity=Severity.NOTICE,
                exhibits=(concession.exhibit,) if concession.exhibit else (),
                code=why.code,
                concession=concession.id,
                requirement=concession.requirement,
                subject=concession.subject,
                **why.parameters,
            )


def _why(concession: Concession, findings: Sequence[Finding], case: Case) -> Obstacle | None:
    requirement = side(concession, "requirement", concession.requirement)
    if all(demand.requirement != concession.requirement for demand in case.demands.criteria):
        return Obstacle("concession-requirement-unknown", (requirement, Place(where="demands", value=NONE)))
    meant = [one for one in findings if one.requirement == concession.requirement]
    own = [one for one in meant if concession.subject in lineage(one.subject, case.record)]
    if meant and not own:
        asked = tuple(sorted({one.subject for one in meant}))
        between = (
            side(concession, "subject", concession.subject),
            requirement.model_copy(update={"value": f"{concession.requirement} ({', '.join(asked)})"}),
        )
        return Obstacle("concession-other-subject", between, {"asked": asked})
    found = [obstacle(concession, one, case) for one in own if one.outcome not in SETTLED]
    return found[0] if found and None not in found else None
