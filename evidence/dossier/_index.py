"""Where things stand in the dossier: anchors, what links to what, which findings are open and in which order."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from evidence.dossier._blocks import Inline, joined, link, plain
from evidence.dossier._input import DossierInput
from evidence.dossier._order import printed_order
from evidence.model.finding import Contradiction, Finding
from evidence.model.manifest import ManifestExhibit
from evidence.model.names import LabKind, Outcome
from evidence.model.record import LabTest
from evidence.register.demand import Demand

SCHEDULE = "schedule"
"""Anchor of what the manual wants repeated."""
_BADNESS = {
    outcome: place
    for place, outcome in enumerate(
        (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.UNDECIDED, Outcome.MET, Outcome.NOT_APPLICABLE)
    )
}


@dataclass(frozen=True)
class Index:
    """Cross-references of one dossier.

    Attributes:
        findings: findings in the order of the matrix; a finding's place here is its number.
        contradictions: in the manifest's order, numbered likewise.
        supported: anchor of an evidence item, document or record entry to the numbers of findings that use it.
        targets: id to anchor, for everything that this dossier prints.
        demands: requirement id to what was asked.
    """

    findings: tuple[Finding, ...]
    contradictions: tuple[Contradiction, ...]
    supported: dict[str, tuple[int, ...]]
    targets: dict[str, str]
    demands: dict[str, Demand]

    @classmethod
    def of(cls, source: DossierInput) -> "Index":
        """Build the index of one dossier."""
        targets = _targets(source)
        supported: dict[str, list[int]] = defaultdict(list)
        findings = printed_order(source)
        for number, finding in enumerate(findings):
            for identifier in sorted({*finding.exhibits, *finding.documents, *finding.records}):
                if identifier in targets:
                    supported[targets[identifier]].append(number)
        return cls(
            findings,
            source.manifest.contradictions,
            {anchor: tuple(numbers) for anchor, numbers in sorted(supported.items())},
            targets,
            {demand.requirement: demand for demand in source.demands.criteria},
        )

    def links(self, identifiers: Iterable[str], *, page: bool = True) -> Inline:
        """Links to evidence items, documents and record entries; an id that is not printed stays plain text."""
        spans = [
            link(self.targets[identifier], identifier, page=page)
            if identifier in self.targets
            else plain(identifier)
            for identifier in identifiers
        ]
        return joined([[span] for span in spans], ", ")

    def supports(self, identifier: str, limit: int = 12) -> Inline:
        """Links from an evidence item back to the findings that use it, by their numbers in the matrix."""
        numbers = self.supported.get(self.targets.get(identifier, ""), ())
        spans = [[link(finding_anchor(number), finding_label(number))] for number in numbers[:limit]]
        rest = len(numbers) - limit
        return joined(spans, ", ") + ([plain(f" +{rest}")] if rest > 0 else [])

    def open_findings(self) -> list[tuple[int, Finding]]:
        """Open findings with their numbers, worst first, standards before the maker's manual."""
        numbered = [(number, finding) for number, finding in enumerate(self.findings) if finding.open]
        return sorted(numbered, key=lambda pair: (_BADNESS[pair[1].outcome], pair[0]))

    def open_contradictions(self) -> list[tuple[int, Contradiction]]:
        """Contradictions that nobody answered, with their numbers."""
        return [(number, entry) for number, entry in enumerate(self.contradictions) if entry.open]


def finding_anchor(number: int) -> str:
    """Anchor of a finding's row in the matrix."""
    return f"finding-{number + 1}"


def finding_label(number: int) -> str:
    """What a finding is called on paper: its number in the matrix."""
    return f"#{number + 1}"


def contradiction_anchor(number: int) -> str:
    """Anchor of a contradiction."""
    return f"contradiction-{number + 1}"


def item_anchor(exhibit: ManifestExhibit) -> str:
    """Anchor of an evidence item."""
    return f"item-{exhibit.id}"


def measured_anchor(subject: str) -> str:
    """Anchor of what the photos of a place measured."""
    return f"measured-{subject}"


def pull_anchor(test: str) -> str:
    """Anchor of a static pull."""
    return f"pull-{test}"


def pulse_anchor(test: str) -> str:
    """Anchor of a sled run."""
    return f"pulse-{test}"


def covered_anchor(number: int) -> str:
    """Anchor of the first row in which a finding's coverage stands field by field."""
    return f"covered-{number + 1}"


def argument_anchor(argument: str) -> str:
    """Anchor of an argument."""
    return f"argument-{argument}"


def worst(outcomes: Iterable[Outcome]) -> Outcome:
    """The outcome that a reader should see first; not applicable where there is none."""
    return min(outcomes, key=_BADNESS.__getitem__, default=Outcome.NOT_APPLICABLE)


def _test_anchor(test: LabTest) -> str:
    return pull_anchor(test.id) if test.kind == LabKind.STATIC_PULL else pulse_anchor(test.id)


def _targets(source: DossierInput) -> dict[str, str]:
    record = source.record
    entries = (
        record.positions,
        record.people,
        record.instruments,
        record.steps,
        record.screws,
        record.characteristics,
        record.cycles,
        record.audits,
        record.statements,
        record.concessions,
    )
    targets = {entry.id: f"record-{entry.id}" for group in entries for entry in group}
    targets |= {document.id: f"document-{document.id}" for document in source.manifest.documents}
    targets |= {test.id: _test_anchor(test) for test in record.tests}
    targets |= {argument.id: argument_anchor(argument.id) for argument in record.arguments}
    targets |= {slot.id: f"item-{slot.id}" for slot in source.manifest.open_exhibits}
    return targets | {exhibit.id: item_anchor(exhibit) for exhibit in source.manifest.exhibits}
