"""Rule on lots: a paper about this very thing names another lot than the record."""

from collections.abc import Iterator, Sequence

from evidence.judge._evidence import claims_of, legible, state_stops
from evidence.judge._identity import contradiction
from evidence.judge._same import Meaning, entries, label_in, lot_in, same
from evidence.judge._scope import VEHICLE
from evidence.judge.case import Case
from evidence.labels import same_serial
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, Role
from evidence.model.record import Document, JobRecord, Screws

_ABOUT_THE_THING = frozenset({Role.DATA_SHEET, Role.DELIVERY_NOTE, Role.OTHER_DOCUMENT})
"""Papers that come with what was fitted; certificates of screws are filed as other documents."""
_Lot = str | FieldState | None


def differ(case: Case) -> Iterator[Contradiction]:
    """None of the lots that a paper names is recorded for what it is about, where all of them are recorded."""
    for document in case.record.documents:
        if document.role in _ABOUT_THE_THING:
            yield from _stated(document, case.record)
            yield from _identified(document, case.record)


def _stated(document: Document, record: JobRecord) -> Iterator[Contradiction]:
    recorded = _lots_of(document.subject, record)
    known = [lot for lot in recorded if isinstance(lot, str)]
    if not known or len(known) < len(recorded) or state_stops(document, ClaimName.LOT):
        return  # one that is not recorded, or not legible, may be the one that agrees
    stated = [*legible(document, ClaimName.LOT), *_lots_without_serial(document)]
    lots = [lot_in(text) for text in stated]
    if not lots or None in lots:
        return
    named = entries(stated)
    if not any(same(entry, lot, Meaning.LOT) for entry in named for lot in known):
        claim = ClaimName.LOT if claims_of(document, ClaimName.LOT) else ClaimName.UDI
        yield _differs(document, claim, document.subject, known, ", ".join(stated))


def _lots_without_serial(document: Document) -> list[str]:
    """Device identifiers of something without a serial number: only their lot says what it is."""
    found = [(text, label_in(text)) for text in legible(document, ClaimName.UDI)]
    return [text for text, label in found if label is not None and label.lot and not label.serial]


def _identified(document: Document, record: JobRecord) -> Iterator[Contradiction]:
    """Device identifiers with a serial number: the lot of the system that has it."""
    for text in (*legible(document, ClaimName.UDI), *legible(document, ClaimName.SYSTEM_SERIAL)):
        label = label_in(text)
        if label is None or label.lot is None or label.serial is None:
            continue
        for position in record.positions:
            serial, lot = position.system.serial, position.system.lot
            own = isinstance(serial, str) and same_serial(serial, text)
            if own and isinstance(lot, str) and not same(text, lot, Meaning.LOT):
                yield _differs(document, ClaimName.UDI, position.id, [lot], text)


def _lots_of(subject: str, record: JobRecord) -> Sequence[_Lot]:
    groups = [one for one in record.screws if subject in (VEHICLE, one.id, one.subject)]
    positions = [one for one in record.positions if subject in (VEHICLE, one.id)]
    return [*(one.system.lot for one in positions), *(lot for one in groups for lot in _group_lots(one))]


def _group_lots(group: Screws) -> list[_Lot]:
    return [group.lot, *([group.locker.lot] if group.locker is not None else [])]


def _differs(
    document: Document, claim: ClaimName, subject: str, known: Sequence[str], claimed: str
) -> Contradiction:
    recorded = ", ".join(sorted(set(known)))
    return contradiction(
        ContradictionRule.LOT_DIFFERS,
        subject,
        (
            Place(where=f"{subject}.lot", value=recorded),
            Place(where=f"{document.id}.{claim.value}", value=claimed),
        ),
        exhibits=(document.exhibit,) if document.exhibit else (),
        subject=subject,
        document=document.id,
        recorded=recorded,
        claimed=claimed,
    )
