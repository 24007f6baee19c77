"""The manifest: one vehicle's evidence and findings as data; no personal value, no sentence."""

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StringConstraints

from evidence.model._base import MAX_LIST, MAX_NAME, Id, Line, Model, Sha256, Slug, printable_line
from evidence.model.finding import ClauseOutcome, Contradiction, Finding
from evidence.model.measurement import Measurement, WindowReading
from evidence.model.names import ClaimName, Function, Outcome, PartyFunction, Region, Role
from evidence.model.pages import PageNumbers
from evidence.model.result import LabResult

MANIFEST_FORMAT = "sillmark-manifest/0"
CHECK_FORMAT = "sillmark-check/0"
JUDGE = 1
"""Version of the judging rules; a verifier with another one says so instead of failing."""

ModelAndSerial = Annotated[
    str, StringConstraints(min_length=1, max_length=2 * MAX_NAME + 1), AfterValidator(printable_line)
]
"""A stretcher's model, a space and its serial; each alone may be as long as a line."""
Number = Annotated[int, Field(ge=0, le=2**53 - 1)]


class ManifestVehicle(Model):
    """What identifies the vehicle; what is not known yet is absent."""

    build: Line | None = None
    module_serial: Line | None = None
    vin: Line | None = None
    type: Line | None = None
    drive_side: Line | None = None
    fleet_number: Line | None = None


class ManifestParty(Model):
    """An organisation with its part."""

    function: PartyFunction
    name: Line
    address: Line | None = None


class ManifestPosition(Model):
    """A stretcher place with what is fitted there."""

    id: Id
    system_model: Line
    system_serial: Line | None = None
    loading: Line
    orientation: Line | None = None
    stretchers_tested_with: tuple[ModelAndSerial, ...] = ()
    stretchers_approved: tuple[Line, ...] = ()
    stretchers_delivered_with: tuple[ModelAndSerial, ...] = ()


class ManifestBasis(Model):
    """An edition that the vehicle is built to."""

    standard: Line
    packs: tuple[Line, ...]
    stated_by: Id


class ManifestPack(Model):
    """A pack used, by digest, with the edition whose clauses it holds and what it says of its own age."""

    reference: Line
    standard: Line | None = None
    kind: Literal["standard", "practice", "confirmation"]
    region: Region
    sha256: Sha256
    known_as_of: Line
    review_by: Line
    invented: bool


class ManifestProfile(Model):
    """The fitting profile used, by digest."""

    reference: Line
    manual: Line
    maker: Line
    sha256: Sha256
    invented: bool


class ManifestPerson(Model):
    """A person as an id with functions."""

    id: Id
    functions: tuple[Function, ...]


class ManifestExhibit(Model):
    """One evidence file: original, what was read from it, and what was printed."""

    id: Id
    role: Role
    subject: Id
    kind: Slug
    media_type: Line
    file: Line
    sha256: Sha256
    bytes: Number
    item: Line
    redacted: Line | None = None
    redacted_sha256: Sha256 | None = None


class ManifestSlot(Model):
    """A place for evidence that is still empty, with the state that the record gives; ``missing`` names no reason."""

    id: Id
    role: Role
    subject: Id
    state: Literal["to come", "unknown", "not fitted", "illegible", "missing"]


class ManifestDocument(Model):
    """A third-party document, in the bundle or held elsewhere."""

    id: Id
    role: Role
    subject: Id
    exhibit: Id | None = None
    issuer: Line | None = None
    reference: Line | None = None
    issued: Line | None = None
    held_by: Line | None = None


class ManifestMention(Model):
    """Where the text of a document mentions what it is said to state; proves nothing.

    Attributes:
        paper: id of the document, whose text a program can read; ``document`` in JSON.
        number: place of the claim in the document's list, from 1.
        pages: pages whose text mentions the value, as ``1-3 5``; empty where none does.
    """

    paper: Annotated[Id, Field(alias="document")]
    number: Annotated[int, Field(ge=1, le=MAX_LIST)]
    claim: ClaimName
    pages: PageNumbers


class ManifestMeasurement(Model):
    """What the photos of one place gave.

    Attributes:
        id: as findings name it.
        quantity: as a criterion names it.
        subject: place.
    """

    id: Line
    quantity: Line
    subject: Id
    measurement: Measurement


class ManifestWindow(Model):
    """What one photo of a lock window shows.

    Attributes:
        id: as findings name it.
        subject: place.
    """

    id: Line
    subject: Id
    reading: WindowReading


class ManifestRelease(Model):
    """When the work was released, by which person."""

    at: Line
    by: Id


class Manifest(Model):
    """One vehicle's proof as data.

    Attributes:
        state: ``complete`` where nothing is open, else ``open``.
        summary: number of findings per outcome, practice left out.
        open: number of open findings and contradictions.
    """

    format: Literal["sillmark-manifest/0"]
    tool: Line
    judge: Number
    job: Id
    as_of: Line
    known_on: Line | None = None
    state: Literal["complete", "open"]
    summary: dict[Outcome, Number]
    open: Number
    vehicle: ManifestVehicle
    parties: tuple[ManifestParty, ...]
    positions: Annotated[tuple[ManifestPosition, ...], Field(min_length=1)]
    bases: Annotated[tuple[ManifestBasis, ...], Field(min_length=1)]
    packs: Annotated[tuple[ManifestPack, ...], Field(min_length=1)]
    profile: ManifestProfile
    people: tuple[ManifestPerson, ...]
    release: ManifestRelease | None = None
    record_sha256: Sha256
    findings: Annotated[tuple[Finding, ...], Field(min_length=1)]
    clauses: tuple[ClauseOutcome, ...]
    contradictions: tuple[Contradiction, ...]
    concessions: tuple[Id, ...] = ()
    exhibits: tuple[ManifestExhibit, ...]
    open_exhibits: tuple[ManifestSlot, ...] = ()
    documents: tuple[ManifestDocument, ...]
    mentions: tuple[ManifestMention, ...] = ()
    measurements: tuple[ManifestMeasurement, ...] = ()
    windows: tuple[ManifestWindow, ...] = ()
    results: tuple[LabResult, ...] = ()
