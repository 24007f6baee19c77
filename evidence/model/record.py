"""The job record: what was fitted, by whom, when, with what; no free text, no personal value."""

from typing import Any, Literal, Self

from pydantic import Field, model_validator

from evidence.model._base import ExhibitId, Id, Line, Model, Slug, refuse
from evidence.model._text import (
    Day,
    Frame,
    JobPath,
    Length,
    Many,
    Mass,
    Nonce,
    PackRef,
    ProfileRef,
    Some,
    Stated,
    Subject,
    UtcOffset,
    Vin,
    When,
)
from evidence.model.labtest import Argument, LabChannel, LabTest
from evidence.model.names import (
    Function,
    PartyFunction,
    Role,
)
from evidence.model.papers import Answer, Claim, Concession, Document, Held, Statement
from evidence.model.work import Audit, CardRow, Characteristic, Cycles, Instrument, Locker, Screws, Step

JOB_FORMAT = "sillmark-job/0"
RECORD_FORMAT = "sillmark-record/0"


class Offset(Model):
    """Offset from UTC of the workshop's clock from a day on."""

    from_: Day = Field(alias="from")
    offset: UtcOffset


class Binding(Model):
    """When an identity that was still to come was bound to the vehicle, by whom, and the photo that shows it."""

    at: When
    by: Id
    exhibit: Id


class Vehicle(Model):
    """What identifies the vehicle; VIN and module serial may come later, one of the three must be there."""

    build: Line | None = None
    module_serial: Stated[Line] | None = None
    vin: Stated[Vin] | None = None
    vin_bound: Binding | None = None
    type: Line | None = None
    drive_side: Literal["left", "right"] | None = None
    fleet_number: Line | None = None

    @model_validator(mode="after")
    def _identified(self) -> Self:
        if self.build is None and not isinstance(self.module_serial, str) and not isinstance(self.vin, str):
            raise refuse("vehicle-without-identity")
        return self


class Party(Model):
    """An organisation with its part in this vehicle.

    Attributes:
        id: by which people say whom they work for.
        part: what it built or did, in the words of the profile's steps or the workshop's own.
        finished: when its part was done; builders of several stages follow one another in the order listed.
        exhibit: paper with which it handed its part on.
    """

    id: Id | None = None
    function: PartyFunction
    name: Line
    address: Line | None = None
    part: Many[Slug] = ()
    finished: Stated[When] | None = None
    exhibit: Id | None = None


class Release(Model):
    """Who released the work, when."""

    at: When
    by: Id


class Declaration(Model):
    """What the declaration of conformity needs beside the findings (ISO/IEC 17050-1)."""

    id: Line
    at: When
    place: Line
    by: Id


class RouteChoice(Model):
    """Which of a clause's named routes this vehicle takes."""

    clause: Line
    route: Slug


class Basis(Model):
    """An edition this vehicle is built to and the packs that hold its clauses."""

    standard: Line
    packs: Some[PackRef]
    stated_by: Id
    routes: Many[RouteChoice] = ()


class Qualification(Model):
    """What a person is qualified for, from when until when, shown by which exhibit."""

    what: Slug
    from_: Day = Field(alias="from")
    until: Day | None = None
    exhibit: Id | None = None


class Person(Model):
    """A person as an id with functions; the name lives in people.yaml."""

    id: Id
    functions: Some[Function]
    party: Id | None = None
    qualifications: Many[Qualification] = ()


class FittedSystem(Model):
    """The fastening system fitted at a position; ``variant`` where its maker tells several of one model apart."""

    model: Line
    variant: Stated[Line] | None = None
    serial: Stated[Line]
    lot: Stated[Line] | None = None
    card_row: CardRow | None = None


class StretcherRef(Model):
    """One stretcher; ``holding`` says whose it is where it is not the vehicle's own, ``until`` for how long."""

    model: Line
    serial: Stated[Line] | None = None
    holding: Literal["own", "loaner", "pool"] | None = None
    until: Day | None = None


class Stretchers(Model):
    """Stretchers of a position: tested with, approved by the maker, delivered with (may be none)."""

    tested_with: Many[StretcherRef] = ()
    approved_models: Many[Line] = ()
    delivered_with: Many[StretcherRef] = ()


class Position(Model):
    """One stretcher place of the vehicle.

    Attributes:
        carried_mass: most that the system is to carry here: stretcher, patient and what is fixed to it.
        free_travel: how far the stretcher may move in a crash before it meets something.
    """

    id: Id
    system: FittedSystem
    loading: Literal["rear", "side", "front"]
    orientation: Literal["head-forward", "feet-forward"] | None = None
    floor: Slug | None = None
    carried_mass: Stated[Mass] | None = None
    free_travel: Stated[Length] | None = None
    stretchers: Stretchers = Stretchers()


class NeutralPatches(Model):
    """Where the printed tile's fields lie in a photo of a lock window; either may be absent, not both."""

    grey: Frame | None = None
    white: Frame | None = None

    @model_validator(mode="after")
    def _some(self) -> Self:
        if self.grey is None and self.white is None:
            raise refuse("neutral-empty")
        return self


class ExhibitEntry(Model):
    """One evidence file and what it shows, or an open slot for it.

    Attributes:
        by: who took or scanned it; of a lock window, who read it.
        frame: corners of a lock window's whole frame in its photo.
        neutral: fields of the printed tile in the same photo; without them those of a gauge strip are looked for.
        reads: what a person saw the indicator show.
    """

    id: ExhibitId
    role: Role
    subject: Subject
    file: Stated[JobPath]
    by: Id | None = None
    frame: Frame | None = None
    neutral: NeutralPatches | None = None
    reads: Literal["locked", "open"] | None = None


class Ticket(Model):
    """A printed ticket of this vehicle: what it stands for and the secret that makes its code this vehicle's."""

    subject: Subject
    nonce: Nonce


class ClockReading(Model):
    """What the clock beside a clock ticket shows in a photo, by which the clock of the phone that took it is known.

    Attributes:
        exhibit: photo of the clock ticket.
        shown: time on the clock in the photo, to the minute or second.
        by: who read it.
    """

    exhibit: Id
    shown: When
    by: Id


class Retyped(Model):
    """A key field typed a second time from the paper, by somebody who did not look at the first typing."""

    of: Subject
    field: Literal["vin", "module_serial", "serial", "lot", "value", "torques"]
    values: Some[Line]
    by: Id


class JobRecord(Model):
    """One vehicle's job, whole."""

    format: Literal["sillmark-job/0", "sillmark-record/0"]
    id: Id
    profile: ProfileRef
    offsets: Some[Offset]
    vehicle: Vehicle
    parties: Many[Party] = ()
    release: Release | None = None
    declaration: Declaration | None = None
    bases: Some[Basis]
    people: Some[Person]
    positions: Some[Position]
    tickets: Many[Ticket] = ()
    clocks: Many[ClockReading] = ()
    instruments: Many[Instrument] = ()
    steps: Many[Step] = ()
    screws: Many[Screws] = ()
    characteristics: Many[Characteristic] = ()
    cycles: Many[Cycles] = ()
    audits: Many[Audit] = ()
    documents: Many[Document] = ()
    tests: Many[LabTest] = ()
    arguments: Many[Argument] = ()
    statements: Many[Statement] = ()
    retyped: Many[Retyped] = ()
    answers: Many[Answer] = ()
    concessions: Many[Concession] = ()
    exhibits: Many[ExhibitEntry] = ()

    def party(self, function: PartyFunction) -> Party | None:
        """The first organisation with that part."""
        return next((party for party in self.parties if party.function == function), None)

    def identified(self) -> dict[str, Any]:
        """Every entry that has an id, by id; positions, people, instruments and so on together."""
        groups: tuple[tuple[Any, ...], ...] = (
            self.people,
            tuple(party for party in self.parties if party.id is not None),
            self.positions,
            self.instruments,
            self.steps,
            self.screws,
            self.characteristics,
            self.cycles,
            self.audits,
            self.documents,
            self.tests,
            self.arguments,
            self.statements,
            self.concessions,
            self.exhibits,
        )
        return {entry.id: entry for group in groups for entry in group}


__all__ = [
    "JOB_FORMAT",
    "RECORD_FORMAT",
    "Answer",
    "Argument",
    "Audit",
    "Basis",
    "Binding",
    "CardRow",
    "Characteristic",
    "Claim",
    "ClockReading",
    "Concession",
    "Cycles",
    "Declaration",
    "Document",
    "ExhibitEntry",
    "FittedSystem",
    "Held",
    "Instrument",
    "JobRecord",
    "LabChannel",
    "LabTest",
    "Locker",
    "Offset",
    "Party",
    "Person",
    "Position",
    "Qualification",
    "Release",
    "Retyped",
    "RouteChoice",
    "Screws",
    "Statement",
    "Step",
    "StretcherRef",
    "Stretchers",
    "Ticket",
    "Vehicle",
]
