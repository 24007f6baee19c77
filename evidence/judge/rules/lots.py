"""Rule on lots: a paper about this very thing names another lot than the record."""

from collections.abc import Iterator, Sequence

from evidence.judge._claims import claim_stops, usable
from evidence.judge._evidence import claims_of
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
            yield from _stated(document, case)
            yield from _identified(document, case)


def _stated(document: Document, case: Case) -> Iterator[Contradiction]:
    recorded = _lots_of(document.subject, case.record)
    known = [lot for lot in recorded if isinstance(lot, str)]
    unsure = any(claim_stops(document, claim, case) for claim in (ClaimName.LOT, ClaimName.UDI))
    if not known or len(known) < len(recorded) or unsure:
        return  # one that is not recorded, or that nobody can read, may be the one that agrees
    stated = [*usable(document, ClaimName.LOT, case), *_lots_without_serial(document, case)]
    lots = [lot_in(text) for text in stated]
    if not lots or None in lots:
        return
    named = entries(stated)
    if not any(same(entry, lot, Meaning.LOT) for entry in named for lot in known):
        claim = ClaimName.LOT if claims_of(document, ClaimName.LOT) else ClaimName.UDI
        yield _differs(document, claim, document.subject, known, ", ".join(stated))


def _lots_without_serial(document: Document, case: Case) -> list[str]:
    """Device identifiers of something without a serial number: only their lot says what it is."""
    found = [(text, label_in(text)) for text in usable(document, ClaimName.UDI, case)]
    return [text for text, label in found if label is not None and label.lot and not label.serial]


def _identified(document: Document, case: Case) -> Iterator[Contradiction]:
    """Device identifiers with a serial number: the lot of the system that has it."""
    for text in (*usable(document, ClaimName.UDI, case), *usable(document, ClaimName.SYSTEM_SERIAL, case)):
        label = label_in(text)
        if label is None or label.lot is None or label.serial is None:
            continue
        for position in case.record.positions:
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
