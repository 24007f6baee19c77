"""Looking evidence up: which files and documents may answer, and why one of them cannot be used.

The reasons are tried in this order: nothing filed or still to come, withdrawn, not taken in by the day asked about
(all ``not shown``); illegible, unreadable, of a kind that cannot show this, changed since it was taken in (all
``undecided``); dated after the day judged, filed for the vehicle where it can show one place only (both ``not shown``).
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from evidence.judge._identity import answered_by, changed_file, contradiction_id
from evidence.judge._scope import lineage, related, unplaced
from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.model._text import FieldState
from evidence.model.exhibit import EXTRA_MISSING, Item
from evidence.model.finding import Parameter, Reason
from evidence.model.intake import IntakeEvent
from evidence.model.names import PLACE_ROLES, ROLE_KINDS, ContradictionRule, FieldWord, Outcome, RestsOn, Role
from evidence.model.record import Claim, Document, ExhibitEntry, Instrument
from evidence.model.times import Interval

_FILED = frozenset({IntakeEvent.ADD, IntakeEvent.CHANGE, IntakeEvent.FIRST_READ, IntakeEvent.MOVE_IN})


@dataclass(frozen=True)
class Stop:
    """Why a question ends before anything was compared."""

    outcome: Outcome
    reason: Reason


@dataclass(frozen=True)
class Used:
    """What an answer rests on and which entries it read."""

    rests: frozenset[RestsOn] = frozenset()
    exhibits: frozenset[str] = frozenset()
    documents: frozenset[str] = frozenset()
    records: frozenset[str] = frozenset()

    def __or__(self, other: "Used") -> "Used":
        return Used(
            self.rests | other.rests,
            self.exhibits | other.exhibits,
            self.documents | other.documents,
            self.records | other.records,
        )


@dataclass(frozen=True)
class Piece:
    """One file, or one document that is held elsewhere; ``stop`` says why it cannot be used."""

    id: str
    used: Used
    stop: Stop | None


def not_shown(code: str, /, **parameters: Parameter) -> Stop:
    """Evidence is missing."""
    return Stop(Outcome.NOT_SHOWN, because(code, **parameters))


def unreadable(code: str, /, **parameters: Parameter) -> Stop:
    """Evidence is there and cannot be read."""
    return Stop(Outcome.UNDECIDED, because(code, **parameters))


def recorded(*ids: str) -> Used:
    """Entries of the record."""
    return Used(frozenset({RestsOn.RECORDED}), records=frozenset(ids))


def missing(roles: Collection[Role], subject: str) -> Stop:
    """Nothing of these roles is filed or expected."""
    if len(roles) == 1:
        return not_shown(f"missing-{next(iter(roles)).value}", subject=subject)
    return not_shown("missing-evidence", subject=subject, roles=tuple(sorted(roles)))


def pieces(roles: Collection[Role], subject: str, case: Case) -> tuple[Piece, ...]:
    """Every file slot and held document of these roles that concerns the subject, by id."""
    entries = [entry for entry in case.record.exhibits if _fits(entry, roles, subject, case)]
    listed = {entry.id for entry in entries}
    documents = [document for document in case.record.documents if _fits(document, roles, subject, case)]
    found = [
        Piece(
            entry.id,
            used_file(entry.id, case),
            exhibit_stop(entry.id, case)
            or _late_file_stop(entry.id, documents, case)
            or _unplaced_stop(entry, subject, case),
        )
        for entry in entries
    ]
    found += [
        Piece(
            document.id,
            used_document(document),
            document_stop(document, case) or _unplaced_stop(document, subject, case),
        )
        for document in documents
        if document.exhibit is None or document.exhibit not in listed
    ]
    return tuple(sorted(found, key=lambda piece: piece.id))


def _late_file_stop(exhibit: str, papers: Collection[Document], case: Case) -> Stop | None:
    """Why a file is not there yet: every paper in it that could answer is dated after the day judged."""
    stops = [_late_stop(paper, case) for paper in papers if paper.exhibit == exhibit]
    return stops[0] if stops and all(stops) else None


def _unplaced_stop(entry: ExhibitEntry | Document, subject: str, case: Case) -> Stop | None:
    if entry.role in PLACE_ROLES and unplaced(entry.subject, subject, case.record):
        return unplaced_stop((entry.id,), subject)
    return None


def unplaced_stop(entries: tuple[str, ...], subject: str) -> Stop:
    """Recorded for the vehicle, which has several places, so it shows nothing of this one."""
    return not_shown("recorded-for-vehicle", entries=entries, subject=subject)


def _fits(entry: ExhibitEntry | Document, roles: Collection[Role], subject: str, case: Case) -> bool:
    return entry.role in roles and _concerns(entry, subject, case)


def _concerns(entry: ExhibitEntry | Document, subject: str, case: Case) -> bool:
    """Whether a file or paper is about the subject; a tool's or person's must be about that very one."""
    instrument = next((one for one in case.record.instruments if one.id == subject), None)
    if instrument is not None:
        return entry.subject == subject or is_certificate(entry, instrument)
    person = next((one for one in case.record.people if one.id == subject), None)
    if person is not None:
        named = {one.exhibit for one in person.qualifications if one.exhibit}
        return entry.subject == subject or not named.isdisjoint(_ids(entry))
    return related(entry.subject, subject, case.record)


def is_certificate(entry: ExhibitEntry | Document, instrument: Instrument) -> bool:
    """Whether the instrument names this file or paper as its certificate."""
    return instrument.certificate in _ids(entry)


def _ids(entry: ExhibitEntry | Document) -> set[str]:
    exhibit = entry.exhibit if isinstance(entry, Document) else None
    return {entry.id, *([exhibit] if exhibit else [])}


def documents(roles: Collection[Role], subject: str, case: Case) -> tuple[Document, ...]:
    """Documents of these roles (any role where none is named) that stand nearest to the subject, by id.

    What is filed for the very subject goes before what is filed for the vehicle, and that before what is filed for
    its parts.
    """
    fitting = [
        document
        for document in case.record.documents
        if (not roles or document.role in roles) and _concerns(document, subject, case)
    ]
    for level in lineage(subject, case.record):
        at_level = [one for one in fitting if level in (one.subject, one.id)]
        if at_level:
            return tuple(sorted(at_level, key=lambda one: one.id))
    return tuple(sorted(fitting, key=lambda one: one.id))


def certificates(roles: Collection[Role], instrument: Instrument, case: Case) -> list[Document]:
    """Papers of these roles about this very instrument, by id; one filed for the vehicle may be another tool's."""
    return [
        document
        for document in sorted(case.record.documents, key=lambda one: one.id)
        if (document.role in roles and document.subject == instrument.id)
        or is_certificate(document, instrument)
    ]


def used_file(exhibit: str, case: Case) -> Used:
    """What a file rests on: a paper is a document, a photo or table a record of the work."""
    item = case.items.get(exhibit)
    rests = RestsOn.DOCUMENT if item and item.kind == "document" else RestsOn.RECORDED
    papers = {document.id for document in case.record.documents if document.exhibit == exhibit}
    return Used(frozenset({rests}), exhibits=frozenset({exhibit}), documents=frozenset(papers))


def used_document(document: Document) -> Used:
    """What a document rests on: one held elsewhere is only somebody's word that it was seen."""
    if document.exhibit is None:
        return Used(frozenset({RestsOn.STATEMENT}), documents=frozenset({document.id}))
    return Used(
        frozenset({RestsOn.DOCUMENT}),
        exhibits=frozenset({document.exhibit}),
        documents=frozenset({document.id}),
    )


def document_stop(document: Document, case: Case) -> Stop | None:
    """Why a document cannot be used, or None."""
    if document.exhibit is not None:
        return exhibit_stop(document.exhibit, case, document.role) or _late_stop(document, case)
    held = document.held
    if held is not None and case.known_on is not None and held.seen_on > case.known_on:
        return not_shown("not-yet-known", entry=document.id, known_on=case.known_on.isoformat())
    return _late_stop(document, case)


def _late_stop(document: Document, case: Case) -> Stop | None:
    seen = document.held.seen_on if document.held is not None else None
    late = [day for day in (seen, document.issued) if isinstance(day, date) and day > case.as_of]
    if not late:
        return None
    return not_shown(
        "document-later", entry=document.id, found=max(late).isoformat(), day=case.as_of.isoformat()
    )


def exhibit_stop(exhibit: str, case: Case, used_as: Role | None = None) -> Stop | None:
    """Why a file cannot be used, or None; ``used_as`` is the role it plays, where that is not only its own."""
    entry = next((entry for entry in case.record.exhibits if entry.id == exhibit), None)
    if entry is not None and isinstance(entry.file, FieldState):
        return _slot_stop(exhibit, entry.file)
    item = case.items.get(exhibit)
    if entry is None or item is None:
        return not_shown("file-missing", exhibits=(exhibit,))
    intake = _intake_stop(exhibit, item.sha256, case)
    if intake is not None:
        return intake
    return _kind_stop(item, (used_as or entry.role, entry.role)) or _changed_stop(exhibit, case)


def _kind_stop(item: Item, roles: Collection[Role]) -> Stop | None:
    if item.kind == "unreadable":
        cause = item.unreadable.code if item.unreadable else item.kind
        if cause == EXTRA_MISSING:
            return unreadable("exhibit-needs-extra", exhibits=(item.id,))
        return unreadable("exhibit-unreadable", exhibits=(item.id,), cause=cause)
    for role in roles:
        if item.kind not in ROLE_KINDS[role]:
            expected = tuple(sorted(ROLE_KINDS[role]))
            return unreadable("exhibit-wrong-kind", exhibits=(item.id,), found=item.kind, expected=expected)
    return None


def _changed_stop(exhibit: str, case: Case) -> Stop | None:
    if exhibit in case.changed and not _change_answered(exhibit, case):
        return unreadable("file-changed", exhibits=(exhibit,))
    return None


def _slot_stop(exhibit: str, state: FieldState) -> Stop:
    if state.state == FieldWord.ILLEGIBLE:
        return unreadable("exhibit-illegible", exhibits=(exhibit,))
    if state.state == FieldWord.TO_COME and state.from_ and state.by:
        promise: dict[str, Parameter] = {"from": state.from_, "by": state.by.isoformat()}
        return not_shown("evidence-promised", exhibits=(exhibit,), **promise)
    return not_shown("evidence-open", exhibits=(exhibit,), state=state.state.value)


def _intake_stop(exhibit: str, sha256: str, case: Case) -> Stop | None:
    known_on = case.known_on.isoformat() if case.known_on else None
    entries = [
        entry
        for entry in case.intake.entries
        if entry.id == exhibit and (known_on is None or entry.at[:10] <= known_on)
    ]
    if entries and entries[-1].event == IntakeEvent.WITHDRAW:
        return not_shown("file-withdrawn", exhibits=(exhibit,))
    if entries and entries[-1].event == IntakeEvent.MOVE_OUT:
        moved = entries[-1]
        return not_shown("file-moved-out", exhibits=(exhibit,), job=moved.job or "", cause=moved.reason or "")
    # these very bytes must have been there: a file replaced later was not known earlier
    if known_on and not any(entry.event in _FILED and entry.sha256 == sha256 for entry in entries):
        return not_shown("not-yet-known", entry=exhibit, known_on=known_on)
    return None


def _change_answered(exhibit: str, case: Case) -> bool:
    logged, now = changed_file(exhibit, case)
    identity = contradiction_id(ContradictionRule.EXHIBIT_CHANGED, exhibit, logged, now)
    return answered_by(identity, case) is not None


def no_documents(roles: Collection[Role], subject: str, case: Case) -> Stop:
    """Why no document answers: files nobody has transcribed, slots still open, or nothing at all."""
    found = pieces(roles, subject, case)
    usable = tuple(piece.id for piece in found if piece.stop is None)
    if usable:
        return not_shown("claims-not-recorded", exhibits=usable)
    stops = [piece.stop for piece in found if piece.stop is not None]
    return stops[0] if stops else missing(roles, subject)


def claims_of(document: Document, name: str) -> tuple[Claim, ...]:
    """Every claim of that name."""
    return tuple(claim for claim in document.claims if claim.name == name)


def state_stops(document: Document, name: str) -> tuple[Stop, ...]:
    """A stop for every claim of that name whose value is not there or not legible."""
    return tuple(
        claim_state_stop(claim.value, name, document)
        for claim in claims_of(document, name)
        if isinstance(claim.value, FieldState)
    )


def claim_state_stop(state: FieldState, name: str, document: Document) -> Stop:
    """What a claim without a value means."""
    if state.state == FieldWord.ILLEGIBLE:
        return unreadable("claim-illegible", claim=name, document=document.id)
    return not_shown("claim-open", claim=name, document=document.id, state=state.state.value)


def legible(document: Document, name: str) -> tuple[str, ...]:
    """Every legible value of a claim, as transcribed."""
    return tuple(one.value for one in claims_of(document, name) if isinstance(one.value, str))


def time_stop(entry: str, at: Interval | FieldState) -> Stop | None:
    """Why the time of an entry is not known, or None."""
    if isinstance(at, Interval):
        return None
    if at.state == FieldWord.ILLEGIBLE:
        return unreadable("time-illegible", entry=entry)
    return not_shown("time-open", entry=entry, state=at.state.value)
