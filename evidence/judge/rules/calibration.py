"""Rules on instruments: used after the calibration had run out, or a certificate with another date."""

from collections.abc import Iterator
from datetime import date

from evidence.judge._evidence import certificates
from evidence.judge._identity import contradiction
from evidence.judge._times import uses
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ClaimName, ContradictionRule, Role
from evidence.model.times import Interval, add_months


def expired_on_work(case: Case) -> Iterator[Contradiction]:
    """An instrument was used after the last day of its own interval; the latest such use stands for all."""
    for instrument in case.record.instruments:
        if not isinstance(instrument.calibrated, date) or instrument.interval_months is None:
            continue
        last = add_months(instrument.calibrated, instrument.interval_months)
        late = sorted(
            (work.at.first_day, work.id)
            for work in uses(case.record)
            if instrument.id in work.instruments
            and isinstance(work.at, Interval)
            and work.at.first_day > last
        )
        if late:
            used, entry = late[-1]
            yield contradiction(
                ContradictionRule.CALIBRATION_EXPIRED_ON_WORK,
                instrument.id,
                (
                    Place(where=f"{instrument.id}.valid-until", value=last.isoformat()),
                    Place(where=f"{entry}.at", value=used.isoformat()),
                ),
                instrument=instrument.id,
                entry=entry,
                last_day=last.isoformat(),
                used=used.isoformat(),
            )


def certificate_date_differs(case: Case) -> Iterator[Contradiction]:
    """The record and the certificate name different days of calibration."""
    for instrument in case.record.instruments:
        if not isinstance(instrument.calibrated, date):
            continue
        recorded = instrument.calibrated.isoformat()
        for document in certificates((Role.CALIBRATION_CERTIFICATE,), instrument, case):
            claim = document.claim(ClaimName.CALIBRATED_ON)
            if claim is None or not isinstance(claim.value, str) or claim.value == recorded:
                continue
            yield contradiction(
                ContradictionRule.CERTIFICATE_DATE_DIFFERS,
                instrument.id,
                (
                    Place(where=f"{instrument.id}.calibrated", value=recorded),
                    Place(where=f"{document.id}.{ClaimName.CALIBRATED_ON.value}", value=claim.value),
                ),
                exhibits=(document.exhibit,) if document.exhibit else (),
                instrument=instrument.id,
                document=document.id,
                recorded=recorded,
                claimed=claim.value,
            )
