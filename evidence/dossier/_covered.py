"""Rows of the coverage table: which field of which report each part of a finding speaks of."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.judge.facts import FactValue, fact
from evidence.model.criterion import CoveredField, Covers
from evidence.model.finding import Finding, Part
from evidence.model.names import Fact, Outcome

_ANSWERS = {
    "covered-within-range": "within",
    "covered-by-some": "some",
    "covered-by-argument": "argued",
    "covers-other": "outside",
    "covers-outside-range": "outside",
    "covers-other-argued": "outside",
    "outside-report": "outside",
    "outside-report-argued": "outside",
    "claim-not-stated": "not-stated",
    "claim-open": "not-stated",
    "not-stated-argued": "not-stated",
    "fact-not-stated": "vehicle-open",
    "fact-illegible": "vehicle-open",
}
"""Code of a part to what the table answers; any other means that the paper cannot be used."""
ARGUED = frozenset(
    {"covered-by-argument", "covers-other-argued", "outside-report-argued", "not-stated-argued"}
)
_COMPARED = frozenset({"limit-not-confirmed", "practice-compared"})


@dataclass(frozen=True)
class Covered:
    """One row.

    Attributes:
        document: id of the report.
        field: what is compared, and how.
        subjects: of the findings.
        outcome: of the part.
        answer: one word of the table.
        only_compared: nobody has confirmed the demand.
        argument: id of the argument beside it, or empty.
        has: what the vehicle has.
        numbers: of the findings that say so.
    """

    document: str
    field: CoveredField
    subjects: tuple[str, ...]
    outcome: Outcome
    answer: str
    only_compared: bool
    argument: str
    has: FactValue
    numbers: tuple[int, ...]


def argued(source: DossierInput, index: Index) -> bool:
    """Whether the dossier has a page on what reports cover: one of the record's documents was held against the vehicle."""
    rows = covered(source, index)
    return any(document.id in rows for document in source.record.documents)


def covered(source: DossierInput, index: Index) -> dict[str, list[Covered]]:
    """Report id to its rows: fields in the order in which they are first asked.

    What several findings say alike, of one place or of several, is one row. A route that was not taken has none.
    """
    found: dict[Covered, Covered] = {}
    for number, finding in enumerate(index.findings):
        for each in _of_finding(number, finding, source, index):
            alike = replace(each, subjects=(), numbers=())
            before = found.get(alike, alike)
            subjects = dict.fromkeys((*before.subjects, *each.subjects))
            numbers = dict.fromkeys((*before.numbers, *each.numbers))
            found[alike] = replace(each, subjects=tuple(subjects), numbers=tuple(numbers))
    rows: dict[str, list[Covered]] = {}
    for each in found.values():
        rows.setdefault(each.document, []).append(each)
    return {name: _sorted(rows[name]) for name in sorted(rows)}


def _sorted(rows: list[Covered]) -> list[Covered]:
    order = list(dict.fromkeys(row.field.claim for row in rows))
    return sorted(rows, key=lambda row: order.index(row.field.claim))


def _of_finding(number: int, finding: Finding, source: DossierInput, index: Index) -> Iterator[Covered]:
    demand = index.demands.get(finding.requirement)
    if (
        demand is None
        or not isinstance(demand.criterion, Covers)
        or finding.outcome == Outcome.NOT_APPLICABLE
    ):
        return
    seen: Counter[str] = Counter()
    fields = demand.criterion.fields
    for part in finding.parts:
        # with several reports a part is called after its own
        document = part.name.partition(".")[0] if len(finding.documents) > 1 else "".join(finding.documents)
        field = fields[seen[document] % len(fields)]
        seen[document] += 1
        yield _row(number, finding, part, document, field, source)


def _row(
    number: int, finding: Finding, part: Part, document: str, field: CoveredField, source: DossierInput
) -> Covered:
    code = part.reason.code
    compared = code in _COMPARED
    if compared:
        code = str(part.reason.parameters["compared_code"])
    answer = _ANSWERS.get(code, "unusable")
    if code == "covered":
        answer = "stated" if field.how == "stated" else "same"
    return Covered(
        document=document,
        field=field,
        subjects=(finding.subject,),
        outcome=part.outcome,
        answer=answer,
        only_compared=compared,
        argument=str(part.reason.parameters["argument"]) if code in ARGUED else "",
        has=FactValue((), (), ()) if field.fact is None else _has(field.fact, finding.subject, source),
        numbers=(number,),
    )


def _has(name: Fact, subject: str, source: DossierInput) -> FactValue:
    """What the vehicle has, without where that stands, so that places that have the same are alike."""
    return replace(fact(name, subject, source.record), records=())
