"""The photos of each place's lock window with what was read from them, and the findings about them."""

from dataclasses import dataclass

from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.judge._scope import VEHICLE
from evidence.model.finding import Contradiction, Finding
from evidence.model.manifest import ManifestExhibit, ManifestSlot
from evidence.model.measurement import WindowReading
from evidence.model.names import WINDOW_ROLES, ContradictionRule, Role
from evidence.model.profile import Window
from evidence.model.record import ExhibitEntry, JobRecord

_ROLES = frozenset(WINDOW_ROLES.values())


@dataclass(frozen=True)
class WindowPhoto:
    """One photo of a lock window.

    Attributes:
        exhibit: as the manifest lists it.
        entry: of the record.
        reading: what it shows; None where it was not looked at.
    """

    exhibit: ManifestExhibit
    entry: ExhibitEntry
    reading: WindowReading | None


@dataclass(frozen=True)
class WindowPlace:
    """One place with its lock window.

    Attributes:
        subject: id of the place.
        locked, opened: photos filed for each state, by id.
        judged: findings about them with their numbers.
        contradicted: contradictions between a photo and its reader, with their numbers.
    """

    subject: str
    locked: tuple[WindowPhoto, ...]
    opened: tuple[WindowPhoto, ...]
    judged: tuple[tuple[int, Finding], ...]
    contradicted: tuple[tuple[int, Contradiction], ...]

    @property
    def photos(self) -> tuple[WindowPhoto, ...]:
        """All of them, those of the locked state first."""
        return (*self.locked, *self.opened)

    def expects(self, slot: ManifestSlot, role: Role, source: DossierInput) -> bool:
        """Whether something that is still to come is a photo of that role for this place."""
        return (
            slot.state == "to come"
            and slot.role == role
            and _place(slot.subject, source.record) == self.subject
        )

    @property
    def pairs(self) -> tuple[tuple[WindowPhoto | None, WindowPhoto | None], ...]:
        """Each photo of the locked state with the open one that it was held against, then what stands alone."""
        opened = {photo.entry.id: photo for photo in self.opened}
        spare = list(self.opened)
        found: list[tuple[WindowPhoto | None, WindowPhoto | None]] = []
        for photo in self.locked:
            held = None if photo.reading is None else opened.get(photo.reading.open_exhibit or "")
            partner = held or next(iter(reversed(self.opened)), None)
            spare = [each for each in spare if each is not partner]
            found.append((photo, partner))
        return (*found, *((None, photo) for photo in spare)) or ((None, None),)


def window_places(source: DossierInput, index: Index) -> tuple[WindowPlace, ...]:
    """Places whose lock window is asked for or photographed, in the record's order."""
    photos = _photos(source)
    judged = [
        (_place(finding.subject, source.record), number, finding)
        for number, finding in enumerate(index.findings)
        if is_about_window(finding, index)
    ]
    named = [position.id for position in source.record.positions]
    asked = [place for place, _, _ in judged]
    found = [
        WindowPlace(
            subject,
            tuple(each for place, each in photos if _is(place, each, subject, Role.LOCK_WINDOW_LOCKED)),
            tuple(each for place, each in photos if _is(place, each, subject, Role.LOCK_WINDOW_OPEN)),
            tuple((number, finding) for place, number, finding in judged if place == subject),
            tuple(
                (number, entry)
                for number, entry in enumerate(index.contradictions)
                if entry.rule == ContradictionRule.WINDOW_AGAINST_READING
                if any(place == subject and each.entry.id in entry.exhibits for place, each in photos)
            ),
        )
        for subject in dict.fromkeys([*named, *(place for place, _ in photos), *asked])
    ]
    return tuple(place for place in found if place.photos or place.judged)


def is_about_window(finding: Finding, index: Index) -> bool:
    """Whether a finding is about photos of a lock window and nothing else."""
    demand = index.demands.get(finding.requirement)
    roles = () if demand is None else demand.criterion.evidence_from
    return bool(roles) and _ROLES.issuperset(roles)


def window_of(finding: Finding, source: DossierInput, index: Index) -> str:
    """The place whose lock window a finding is about; empty where it is about something else."""
    return _place(finding.subject, source.record) if is_about_window(finding, index) else ""


def photographed(exhibit: ManifestExhibit, source: DossierInput) -> str:
    """The place whose lock window a photo is of; empty for a photo of something else."""
    return _place(exhibit.subject, source.record) if exhibit.role in _ROLES else ""


def colour_window(source: DossierInput) -> Window | None:
    """The one window of the profile where it shows a colour; a photo does not say which of several it is of."""
    (only,) = source.profile.windows if len(source.profile.windows) == 1 else (None,)
    return only if only is not None and only.shows == "colour" else None


def window_anchor(subject: str) -> str:
    """Anchor of what the photos of a place's lock window show."""
    return f"window-{subject}"


def _photos(source: DossierInput) -> list[tuple[str, WindowPhoto]]:
    readings = {each.reading.exhibits[0]: each.reading for each in source.manifest.windows}
    entries = {entry.id: entry for entry in source.record.exhibits}
    return [
        (photographed(each, source), WindowPhoto(each, entries[each.id], readings.get(each.id)))
        for each in sorted(source.manifest.exhibits, key=lambda one: one.id)
        if each.role in _ROLES and each.kind == "photo" and each.id in entries
    ]


def _is(place: str, photo: WindowPhoto, subject: str, role: Role) -> bool:
    return place == subject and photo.exhibit.role == role


def _place(subject: str, record: JobRecord) -> str:
    """What is filed for a vehicle with one place is of that place."""
    only = len(record.positions) == 1 and subject == VEHICLE
    return record.positions[0].id if only else subject
