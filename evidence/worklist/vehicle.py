"""One judged job as the lists take it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from evidence.manifest import Judged
from evidence.model.check import Check
from evidence.model.names import Closes, Function
from evidence.model.record import JobRecord
from evidence.naming import Naming
from evidence.phrases import DEFAULT_LANGUAGE
from evidence.register.demand import Demands

WHOLE = "vehicle"
"""Place of what concerns the vehicle and no stretcher place in particular."""

FUNCTION_OF: Mapping[Closes, Function] = {
    Closes.FITTER: Function.FITTER,
    Closes.PAPERWORK: Function.PAPERWORK,
    Closes.SUPERVISOR: Function.SUPERVISOR,
    Closes.LABORATORY: Function.LABORATORY,
    Closes.AGENCY: Function.AGENCY_OFFICER,
    Closes.SIGNATORY: Function.SIGNATORY,
}
"""Trade to the function of the person who does its work; the maker is never a person of the job."""


@dataclass(frozen=True)
class Vehicle:
    """One judged job.

    Attributes:
        check: findings with their titles and sentences.
        judged: what judging gave.
        demands: what was asked.
        names: person id to name, as far as people.yaml has them.
    """

    check: Check
    judged: Judged
    demands: Demands
    names: Mapping[str, str] = field(default_factory=dict)

    @property
    def job(self) -> str:
        """Id of the job."""
        return self.check.job

    @property
    def identity(self) -> str:
        """What the vehicle is known by, shortest first: fleet number, build number, VIN."""
        vehicle = self.judged.record.vehicle
        known = (vehicle.fleet_number, vehicle.build, vehicle.module_serial, vehicle.vin)
        return " · ".join(value for value in known if isinstance(value, str))

    def naming(self, language: str = DEFAULT_LANGUAGE) -> Naming:
        """What its record's ids are called; a list for the workshop may name people."""
        return Naming(self.judged.record, self.names, language)

    def people(self, trade: Closes) -> tuple[str, ...]:
        """Ids of the people whose function the trade is."""
        function = FUNCTION_OF.get(trade)
        return tuple(person.id for person in self.judged.record.people if function in person.functions)


def place_of(subject: str, record: JobRecord) -> str:
    """The stretcher place that a subject of findings or steps is, or is a part of; else ``vehicle``."""
    above = {screws.id: screws.subject for screws in record.screws}
    above |= {document.id: document.subject for document in record.documents}
    place = above.get(subject, subject)
    return place if any(position.id == place for position in record.positions) else WHOLE
