"""What stands beside the torques of a screw group: limits, cure, and the preload that follows from a stated nut factor."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.judge._scope import related
from evidence.judge._times import span
from evidence.judge._uncertainty import of_torque
from evidence.measure.preload import Band, nominal_mm, proof_n, spanned
from evidence.model.criterion import Ordered, Within
from evidence.model.finding import Contradiction, Finding
from evidence.model.profile import NutFactor
from evidence.model.record import JobRecord, Screws, Step
from evidence.model.times import Interval
from evidence.quantity import Quantity

_COUNTERSUNK = frozenset({"countersunk"})


@dataclass(frozen=True)
class Clamped:
    """Preload of a group's torques by the manual's nut factor.

    Attributes:
        band: least and greatest preload.
        factor: as the manual states it.
        proof: proof load of the bolt in N; None where the table has no such bolt.
        countersunk: whether the table's load was reduced for the head.
        deviation: whether the torques were widened by what their tool may deviate.
    """

    band: Band
    factor: NutFactor
    proof: Fraction | None
    countersunk: bool
    deviation: bool


@dataclass(frozen=True)
class Cured:
    """How long a group certainly cured before a step.

    Attributes:
        begun: entry whose time is the later of thread-locker and final torque, as written.
        step: the step that had to wait.
        least: certain length; negative where the step may have come first.
    """

    begun: Interval
    step: Step
    least: timedelta


def known_torques(group: Screws) -> list[Quantity]:
    """Torques of which a value is recorded."""
    return [torque for torque in group.torques if isinstance(torque, Quantity)]


def torque_limits(group: Screws, index: Index) -> tuple[Quantity | None, Quantity | None]:
    """Limits of the first finding that compares the group's torques with any; the maker's manual goes first."""
    found = [
        finding for finding in index.findings if finding.subject == group.id or group.id in finding.records
    ]
    for finding in sorted(found, key=lambda one: one.group.value != "profile"):
        demand = index.demands.get(finding.requirement)
        asked = None if demand is None else demand.criterion
        if isinstance(asked, Within) and asked.quantity == "screws.torque" and asked.limit == "held":
            return asked.bound(asked.low), asked.bound(asked.high)
    return None, None


def clamped(group: Screws, source: DossierInput) -> Clamped | None:
    """The preload, or None where the manual states no nut factor, or thread or torque are not known."""
    manual = next((one for one in source.profile.screws if one.group == group.group), None)
    diameter, torques = nominal_mm(group.thread), known_torques(group)
    if manual is None or manual.nut_factor is None or diameter is None or not torques:
        return None
    measured = [of_torque(torque, group, source.record) for torque in torques]
    spreads = [one.expanded.base if one.expanded is not None else Fraction(0) for one in measured]
    ends = [
        (one.value.base - spread, one.value.base + spread)
        for one, spread in zip(measured, spreads, strict=True)
    ]
    least, most = min(low for low, _ in ends), max(high for _, high in ends)
    factor = manual.nut_factor
    countersunk = (group.head or manual.head) in _COUNTERSUNK
    return Clamped(
        spanned((least, most), diameter, (factor.low.base, factor.high.base)),
        factor,
        proof_n(group.thread, group.property_class, countersunk=countersunk),
        countersunk,
        all(one.expanded is not None for one in measured),
    )


def cure_findings(group: Screws, index: Index, record: JobRecord) -> list[tuple[int, Finding, Ordered]]:
    """Findings on gaps between steps at the group's place, with their numbers."""
    found = []
    for number, finding in enumerate(index.findings):
        demand = index.demands.get(finding.requirement)
        asked = None if demand is None else demand.criterion
        if isinstance(asked, Ordered) and asked.gaps and related(finding.subject, group.id, record):
            found.append((number, finding, asked))
    return found


def cured(group: Screws, asked: Ordered, record: JobRecord) -> list[Cured]:
    """How long the group certainly cured before each step that had to wait; nothing of what has no time."""
    applied = group.locker.applied if group.locker is not None else group.at
    if not isinstance(applied, Interval) or not isinstance(group.at, Interval):
        return []
    begun = max((applied, group.at), key=lambda at: _end(at, record))
    replaced = {step.redo_of for step in record.steps}
    waiting = [
        (step, step.at)
        for gap in asked.gaps
        for step in record.steps
        if step.step == gap.after and step.id not in replaced and related(step.subject, group.id, record)
        if step.screws in (None, group.id)
    ]
    return [
        Cured(begun, step, span(at, record).start - _end(begun, record))
        for step, at in waiting
        if isinstance(at, Interval)
    ]


def _end(at: Interval, record: JobRecord) -> datetime:
    return span(at, record).end


def contradicted(group: Screws, index: Index, record: JobRecord) -> list[tuple[int, Contradiction]]:
    """Contradictions about the group, its audits and its logs, with their numbers."""
    own = {group.id, *(audit.id for audit in record.audits if audit.screws == group.id)}
    return [
        (number, entry)
        for number, entry in enumerate(index.contradictions)
        if own & set(entry.id.split(":")[1:2]) or entry.reason.parameters.get("screws") == group.id
    ]
