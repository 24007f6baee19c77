"""Rules on what is fitted: serial numbers, the tested pair, the vehicle identification number."""

from collections.abc import Iterator, Sequence

from evidence.judge._claims import claim_stops, usable
from evidence.judge._evidence import certificates, documents, legible
from evidence.judge._identity import contradiction
from evidence.judge._same import Meaning, entries, label_in, same
from evidence.judge._scope import VEHICLE, fold, listed, positions_of
from evidence.judge.case import Case
from evidence.judge.vin import CHECK_POSITION, check_digit
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, Region, Role, Severity
from evidence.model.record import Document, Position, StretcherRef

_TYPE_TESTS = (Role.TYPE_TEST_REPORT, Role.TYPE_TEST_CERTIFICATE)
_ABOUT_OTHERS = frozenset(
    {*_TYPE_TESTS, Role.FLOOR_TEST_REPORT, Role.MANUAL_EXTRACT, Role.DATA_SHEET, Role.QUALIFICATION}
)
"""Papers whose serial numbers are those of a sample or of nothing on this vehicle."""


def serial_differs(case: Case) -> Iterator[Contradiction]:
    """A paper about this vehicle names a serial number that nothing on it has."""
    for document in case.record.documents:
        if document.role in _ABOUT_OTHERS:
            continue
        positions = positions_of(document.subject, case.record)
        systems = [position.system.serial for position in positions]
        stretchers = [one.serial for position in positions for one in _stretchers(position)]
        recorded: dict[ClaimName, Sequence[object]] = {
            ClaimName.SYSTEM_SERIAL: systems,
            ClaimName.STRETCHER_SERIAL: stretchers,
            ClaimName.SAMPLE_SERIAL: [*systems, *stretchers],
            ClaimName.UDI: [*systems, *stretchers],
        }
        subject = positions[0].id if len(positions) == 1 else VEHICLE
        for claim, serials in recorded.items():
            known = [serial for serial in serials if isinstance(serial, str)]
            # a serial that is not recorded yet may be the one the paper names
            if known and len(known) == len(serials):
                yield from _differing(document, claim, known, subject, case)
    yield from _instrument_serials(case)


def _stretchers(position: Position) -> tuple[StretcherRef, ...]:
    return (*position.stretchers.delivered_with, *position.stretchers.tested_with)


def _differing(
    document: Document, claim: ClaimName, known: Sequence[str], subject: str, case: Case
) -> Iterator[Contradiction]:
    together = ", ".join(sorted(set(known)))
    if claim == ClaimName.UDI and any(_named(value, known) for value in legible(document, claim)):
        return  # what else came with it has device identifiers of its own
    for value in usable(document, claim, case):
        if _certainly_none(value, claim, known):
            yield contradiction(
                ContradictionRule.SERIAL_DIFFERS,
                subject,
                (
                    Place(where=f"{subject}.serial", value=together),
                    Place(where=f"{document.id}.{claim.value}", value=value),
                ),
                exhibits=(document.exhibit,) if document.exhibit else (),
                subject=subject,
                document=document.id,
                recorded=together,
                claimed=value,
            )


def _named(value: str, known: Sequence[str]) -> bool:
    return any(same(entry, serial, Meaning.SERIAL) for entry in entries([value]) for serial in known)


def _certainly_none(value: str, claim: ClaimName, known: Sequence[str]) -> bool:
    label = label_in(value)
    identifier = label is None or label.kind == "gs1" or claim == ClaimName.UDI
    if identifier and (label is None or label.serial is None):
        return False  # a device identifier that cannot be read, or names no serial number, names none that differs
    return not _named(value, known)


def _instrument_serials(case: Case) -> Iterator[Contradiction]:
    for instrument in case.record.instruments:
        if isinstance(instrument.serial, str):
            for document in certificates((Role.CALIBRATION_CERTIFICATE,), instrument, case):
                yield from _differing(
                    document, ClaimName.INSTRUMENT_SERIAL, [instrument.serial], instrument.id, case
                )


def tested_pair_differs(case: Case) -> Iterator[Contradiction]:
    """None of the type-test papers of a position is about the pair that is there."""
    for position in case.record.positions:
        papers = documents(_TYPE_TESTS, position.id, case)
        delivered = position.stretchers.delivered_with or position.stretchers.tested_with
        models = tuple(dict.fromkeys(one.model for one in delivered))
        yield from _untested(position, papers, ClaimName.SYSTEM_MODEL, (position.system.model,), case)
        yield from _untested(position, papers, ClaimName.STRETCHER_MODEL, models, case)


def _untested(
    position: Position, papers: Sequence[Document], claim: ClaimName, fitted: Sequence[str], case: Case
) -> Iterator[Contradiction]:
    stated = [usable(paper, claim, case) for paper in papers]
    if not stated or not all(stated) or any(claim_stops(paper, claim, case) for paper in papers):
        return  # a paper that does not name its model, or one that cannot be used, may be about this one
    tested = tuple(dict.fromkeys(value for values in stated for value in values))
    together = ", ".join(tested)
    for model in fitted:
        if fold(model) not in listed(tested):
            yield contradiction(
                ContradictionRule.TESTED_PAIR_DIFFERS,
                position.id,
                (
                    Place(where=f"{papers[0].id}.{claim.value}", value=together),
                    Place(where=f"{position.id}.{claim.value}", value=model),
                ),
                exhibits=[paper.exhibit for paper in papers if paper.exhibit],
                subject=position.id,
                document=papers[0].id,
                tested=together,
                fitted=model,
            )


def vin_check_digit(case: Case) -> Iterator[Contradiction]:
    """The check digit does not fit; binding in North America only, told elsewhere."""
    vin = case.record.vehicle.vin
    if not isinstance(vin, str) or vin[CHECK_POSITION] == check_digit(vin):
        return
    binding = Region.NORTH_AMERICA in case.regions
    found, expected = vin[CHECK_POSITION], check_digit(vin)
    yield contradiction(
        ContradictionRule.VIN_CHECK_DIGIT,
        VEHICLE,
        (
            Place(where="vehicle.vin", value=vin),
            Place(where="vehicle.vin.check-digit", value=expected),
        ),
        severity=Severity.CONTRADICTION if binding else Severity.NOTICE,
        vin=vin,
        found=found,
        expected=expected,
    )
