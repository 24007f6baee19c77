"""Limits of a concession: how far a value may depart, judged by the rule of the requirement itself.

The requirement is asked again with the conceded limits in the place of its own. So every screw and every value must
lie inside, with its uncertainty where the requirement counts it. An end that the concession leaves open stays what the
requirement says.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evidence.judge import counted, within
from evidence.judge._standard import to_this_standard
from evidence.judge.case import Case
from evidence.model.criterion import Counted, Within
from evidence.model.finding import Finding, Parameter
from evidence.model.names import Mark, Outcome
from evidence.model.record import Concession
from evidence.quantity import Dimension, Quantity, QuantityError, parse
from evidence.register.demand import Demand


@dataclass(frozen=True)
class LimitFault:
    """Why a finding is not inside the limits of a concession.

    Attributes:
        code: of the sentence.
        limits: the limits that hold, each with its sign.
        found: what lies outside, or is not known well enough.
        parameters: what the sentence names.
    """

    code: str
    limits: str
    found: str
    parameters: Mapping[str, Parameter] = field(default_factory=dict)


def limit_fault(concession: Concession, finding: Finding, case: Case) -> LimitFault | None:
    """What keeps a finding outside the limits of a concession of its requirement; None where it has none.

    Args:
        concession: names the requirement of the finding.
        finding: not met, not shown or undecided.
        case: for the demand and the values.
    """
    if concession.low is None and concession.high is None:
        return None
    demand = next((one for one in case.demands.criteria if one.requirement == finding.requirement), None)
    own = stated(concession.low, concession.high)
    eased = _eased(demand, concession) if demand is not None else None
    if demand is None or eased is None:
        return LimitFault("concession-limit-of-another-kind", own, finding.type, {"limits": own})
    if isinstance(eased, Within) and _crossed(eased):
        return LimitFault("concession-limits-crossed", own, own, {"limits": own})
    again = replace(demand, criterion=eased)
    papers = to_this_standard(demand, finding.subject, case)
    found = (within if isinstance(eased, Within) else counted).judge(again, finding.subject, papers)
    if found.outcome == Outcome.MET:
        return None
    exceeded = found.outcome == Outcome.NOT_MET
    limits = stated(eased.low, eased.high) if isinstance(eased, Within) else f"\u2265 {eased.at_least}"
    return LimitFault(
        "concession-limit-exceeded" if exceeded else "concession-limit-undecided",
        limits,
        _value(found),
        {"limits": limits, "found": _value(found)},
    )


def _eased(demand: Demand, concession: Concession) -> Within | Counted | None:
    """The criterion with the conceded limits, which are the authority's own word; None where they do not fit it."""
    criterion = demand.criterion
    own = {"mark": Mark.CONFIRMED, "limit": "held"}
    if isinstance(criterion, Within):
        ends = {"low": concession.low or criterion.low, "high": concession.high or criterion.high}
        read = [_read(text, criterion.dimension) for text in ends.values() if text is not None]
        return criterion.model_copy(update=own | ends) if None not in read else None
    if isinstance(criterion, Counted) and concession.low is not None and concession.high is None:
        least = _read(concession.low, Dimension.COUNT)
        if least is not None and least.value.denominator == 1 and least.value >= 0:
            return criterion.model_copy(update=own | {"at_least": int(least.value)})
    return None


def _read(text: str, dimension: Dimension) -> Quantity | None:
    try:
        return parse(text, dimension)
    except QuantityError:
        return None


def _crossed(criterion: Within) -> bool:
    low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
    return low is not None and high is not None and low.base > high.base


def stated(low: str | None, high: str | None) -> str:
    """Two ends in signs, as they were typed; empty where both are open."""
    ends = [f"\u2265 {low}" if low else "", f"\u2264 {high}" if high else ""]
    return ", ".join(end for end in ends if end)


def _value(finding: Finding) -> str:
    """The value that decided, as it was typed; the code of the reason where there is none."""
    value = finding.reason.parameters.get("value", finding.reason.parameters.get("found"))
    if isinstance(value, Mapping):
        return f"{value['value']} {value['unit']}".strip()
    return value if isinstance(value, str) else finding.reason.code
