"""What a requirement is called on the page, and which basis it belongs to."""

from evidence.dossier._index import Index
from evidence.dossier._words import Teller
from evidence.model.finding import Finding


def requirement_title(finding: Finding, index: Index, tell: Teller) -> str:
    """The criterion's own title, else that of its clause, else its id."""
    demand = index.demands.get(finding.requirement)
    if demand is None:
        return finding.requirement
    own = demand.criterion.title
    return tell.title(own or demand.title) or finding.requirement


def clause_title(finding: Finding, index: Index, tell: Teller) -> str:
    """The title of the finding's clause or manual section; empty where the demand is not known."""
    demand = index.demands.get(finding.requirement)
    return "" if demand is None else tell.title(demand.title)


def criterion_of(finding: Finding) -> str:
    """Last part of a requirement id."""
    return finding.requirement.rsplit("/", 1)[-1]
