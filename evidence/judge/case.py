"""The case: all that judging may look at."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from evidence.mentions import Mention
from evidence.model.exhibit import Item
from evidence.model.intake import Intake
from evidence.model.measurement import Measurement, WindowReading
from evidence.model.names import Region
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.model.result import LabResult
from evidence.register.demand import Demands


@dataclass(frozen=True)
class Case:
    """One vehicle's evidence and demands.

    Attributes:
        record: the job record.
        profile: the fitting profile.
        demands: what the bases and the profile ask.
        items: exhibit id to what was read from its file; absent where no file is there.
        tables: exhibit id to the numbers of a table exhibit: one tuple of decimal strings per column of its item.
        intake: what came in when.
        regions: regions of the bases.
        as_of: the day validities without an event of their own are judged on.
        known_on: evidence taken in after this day is not looked at; None looks at all.
        mentions: where the texts of documents mention what they claim.
        measurements: what was measured from photos, by quantity, as a criterion names it, and subject.
        windows: which colour lock windows show in their photos, by exhibit.
        results: what was computed from the channels of tests, by what asked for it and test.
    """

    record: JobRecord
    profile: Profile
    demands: Demands
    items: Mapping[str, Item]
    tables: Mapping[str, tuple[tuple[str, ...], ...]]
    intake: Intake
    regions: frozenset[Region]
    as_of: date
    known_on: date | None = None
    changed: frozenset[str] = field(default_factory=frozenset)
    mentions: tuple[Mention, ...] = ()
    measurements: Mapping[tuple[str, str], Measurement] = field(default_factory=dict)
    windows: Mapping[str, WindowReading] = field(default_factory=dict)
    results: Mapping[tuple[str, str], LabResult] = field(default_factory=dict)
