"""From what was read to what is judged: the one place where a case is built, for a job folder and for a bundle alike."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from evidence.judge import judge
from evidence.judge.case import Case
from evidence.judge.known import known_by
from evidence.manifest import FiledExhibit, Judged
from evidence.mentions import of_record
from evidence.model.intake import Intake
from evidence.model.measurement import Measurement, WindowReading
from evidence.model.pack import Pack
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.model.result import LabResult
from evidence.register.demand import Demands
from evidence.register.resolve import resolve


@dataclass(frozen=True)
class Inputs:
    """Everything that judging one vehicle rests on, as read.

    Attributes:
        packs: packs of the bases in the order of the record, by reference.
        digests: SHA-256 of each pack's and the profile's stored bytes, by reference.
        filed: exhibit id to its item and where the bundle holds it.
        tables: exhibit id of a table to one tuple of decimal strings per column.
        changed: exhibits whose bytes are not those of the intake log.
        texts: exhibit id of a document to the text of each page; looked up and never kept.
        measurements: what photos gave, by quantity and subject.
        windows: what photos of lock windows show, by exhibit.
        results: what was computed from channels of tests, by what asked for it and test.
    """

    record: JobRecord
    profile: Profile
    packs: Mapping[str, Pack]
    digests: Mapping[str, str]
    filed: Mapping[str, FiledExhibit]
    tables: Mapping[str, tuple[tuple[str, ...], ...]]
    intake: Intake
    changed: frozenset[str]
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    measurements: Mapping[tuple[str, str], Measurement] = field(default_factory=dict)
    windows: Mapping[str, WindowReading] = field(default_factory=dict)
    results: Mapping[tuple[str, str], LabResult] = field(default_factory=dict)


def judged(inputs: Inputs, as_of: date, known_on: date | None) -> tuple[Judged, Demands]:
    """Ask what the bases and the profile demand, and judge the evidence by it.

    Args:
        inputs: what was read.
        as_of: day on which validities without an event of their own are judged.
        known_on: look only at what had been done and filed by the end of this day; None looks at all.

    Raises:
        InputError: pack-unknown or route-unknown.
    """
    demands = resolve(inputs.record, inputs.profile, inputs.packs)
    mentions = of_record(inputs.record, inputs.texts)
    case = Case(
        record=known_by(inputs.record, known_on),
        profile=inputs.profile,
        demands=demands,
        items={exhibit: filed.item for exhibit, filed in inputs.filed.items()},
        tables=inputs.tables,
        intake=inputs.intake,
        regions=frozenset(pack.region for pack in inputs.packs.values()),
        as_of=as_of,
        known_on=known_on,
        changed=inputs.changed,
        mentions=mentions,
        measurements=inputs.measurements,
        windows=inputs.windows,
        results=inputs.results,
    )
    result = Judged(
        record=inputs.record,
        profile=inputs.profile,
        packs=tuple(inputs.packs.values()),
        digests=inputs.digests,
        judgement=judge(case),
        filed=inputs.filed,
        mentions=mentions,
        measurements=inputs.measurements,
        windows=inputs.windows,
        results=inputs.results,
        as_of=as_of,
        known_on=known_on,
    )
    return result, demands
