"""Open contradictions beside what they are about: an outcome stays as it was judged, but nobody reads it without knowing."""

from collections.abc import Iterable

from evidence.dossier._blocks import Inline, joined, link, muted, new_line, strong
from evidence.dossier._index import Index, contradiction_anchor
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller
from evidence.model.criterion import Complete, Covers, Criterion, Matches, Within
from evidence.model.finding import Contradiction, Finding
from evidence.model.names import ClaimName

_AGAIN = "retyped"  # the second typing of an entry, whose id comes behind it

_Numbered = list[tuple[int, Contradiction]]


def of_finding(finding: Finding, source: DossierInput, index: Index, tell: Teller) -> Inline:
    """The contradictions about anything that a finding used; nothing where there are none.

    One that names other places than the finding's own is about those, and one about what a paper states only touches
    what asks for that.
    """
    used = frozenset({*finding.exhibits, *finding.documents, *finding.records})
    demand = index.demands.get(finding.requirement)
    asked = None if demand is None else _asked(demand.criterion)
    own = frozenset(position.id for position in source.record.positions)
    found = [
        (number, entry)
        for number, entry in index.open_contradictions()
        if used & (_named(entry) - _unasked(entry, asked, source)) and _of_place(entry, finding.subject, own)
    ]
    return _told("disputed-used", found, tell)


def of_entries(identifiers: Iterable[str], index: Index, tell: Teller) -> Inline:
    """The contradictions about an entry of the record or an evidence item; nothing where there are none."""
    wanted = frozenset(identifiers)
    found = [(number, entry) for number, entry in index.open_contradictions() if wanted & _named(entry)]
    return _told("disputed", found, tell)


def nothing_against(identifiers: Iterable[str], index: Index, tell: Teller) -> Inline:
    """That no contradiction names any of these logs; nothing where one does, also one that somebody answered."""
    wanted = frozenset(identifiers)
    if any(wanted & _named(entry) for entry in index.contradictions):
        return []
    return [muted("; " + tell("log-nothing"))]


def line_of(identifier: str, index: Index, tell: Teller) -> Inline:
    """The same on a line of its own, below what stands in a cell."""
    told = of_entries((identifier,), index, tell)
    return [new_line(), *told] if told else []


def _asked(criterion: Criterion) -> frozenset[str]:
    """Claims of a paper that a criterion reads."""
    if isinstance(criterion, Complete):
        return frozenset(criterion.fields)
    if isinstance(criterion, Covers):
        return frozenset(field.claim for field in criterion.fields)
    named = criterion.quantity if isinstance(criterion, Within) else ""
    named = criterion.fact if isinstance(criterion, Matches) else named
    return frozenset({named.removeprefix("document.")})


def _unasked(entry: Contradiction, asked: frozenset[str] | None, source: DossierInput) -> frozenset[str]:
    """Papers, with their files, of whose disputed claims a criterion reads none; its own are not known: none."""
    if asked is None:
        return frozenset()
    papers = {paper.id: paper.exhibit for paper in source.record.documents}
    disputed: dict[str, set[str]] = {}
    for place in entry.between:
        holder, _, field = place.where.partition(".")
        if holder in papers and field in set(ClaimName):
            disputed.setdefault(holder, set()).add(field)
    free = {paper for paper, claims in disputed.items() if not claims & asked}
    return frozenset({*free, *(papers[paper] or paper for paper in free)})


def _of_place(entry: Contradiction, subject: str, places: frozenset[str]) -> bool:
    named = _named(entry) & places
    return subject in named or subject not in places or not named


def _named(entry: Contradiction) -> frozenset[str]:
    return frozenset({*map(_holder, (place.where for place in entry.between)), *entry.exhibits})


def _holder(where: str) -> str:
    holder, _, rest = where.partition(".")
    return rest.partition(".")[0] if holder == _AGAIN else holder


def _told(code: str, found: _Numbered, tell: Teller) -> Inline:
    if not found:
        return []
    links = [
        [link(contradiction_anchor(number), tell.word(entry.rule, "contradiction"), page=True)]
        for number, entry in found
    ]
    return [strong(tell.count(code, len(found)) + " "), *joined(links, ", ")]
