"""Rule on cameras: photos of one kind of camera whose clock was certainly not the same number of minutes wrong.

How wrong a clock was is known where a clock beside it was read (clock ticket), and bounded where a photo was filed:
nobody files a photo before it is taken. Order of file numbers and of filing is not used: file names are not kept, and
photos are filed in any order. Cameras are told apart by make, model and program alone, so two phones of one kind look
like one whose clock was set, which the sentence says.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

from evidence.judge._camera import CLOCK_ERROR, DRIFT, HOLDS, Phone, phone_of, said_by
from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import contradiction
from evidence.judge._times import span
from evidence.judge.case import Case
from evidence.model.exhibit import Photo
from evidence.model.finding import Contradiction, Place
from evidence.model.intake import IntakeEntry
from evidence.model.names import ContradictionRule, Role, Severity

_SECOND, _MINUTE = timedelta(seconds=1), timedelta(minutes=1)


@dataclass(frozen=True)
class Error:
    """How far a camera's clock was ahead when it took a photo, behind where less than nothing.

    Attributes:
        exhibit: the photo.
        claimed: camera time as its file has it.
        truly: the time on the clock that was read, or of the filing.
        least: at least so far ahead.
        most: at most so far; None where only the filing is known.
        moment: UTC, about which this is known.
    """

    exhibit: str
    claimed: str
    truly: str
    least: timedelta
    most: timedelta | None
    moment: datetime


def jumped(case: Case) -> Iterator[Contradiction]:
    """One notice for each kind of camera: the two photos between which its clock moved furthest."""
    by_phone: dict[Phone, list[Error]] = {}
    for phone, error in _errors(case):
        by_phone.setdefault(phone, []).append(error)
    for _, errors in sorted(by_phone.items(), key=lambda one: one[1][0].exhibit):
        pairs = [pair for pair in map(_apart, combinations(errors, 2)) if pair is not None]
        if pairs:
            yield _told(*max(pairs, key=lambda pair: (pair[0], pair[1].exhibit, pair[2].exhibit)))


def _told(apart: timedelta, behind: Error, ahead: Error) -> Contradiction:
    code = "camera-clock-jumped" if ahead.most is not None else "camera-clock-after-filing"
    return contradiction(
        ContradictionRule.CAMERA_CLOCK_JUMPED,
        max(behind.exhibit, ahead.exhibit),
        (
            Place(where=f"{behind.exhibit}.taken", value=f"{behind.claimed} at {behind.truly}"),
            Place(where=f"{ahead.exhibit}.taken", value=f"{ahead.claimed} at {ahead.truly}"),
        ),
        severity=Severity.NOTICE,
        exhibits=(behind.exhibit, ahead.exhibit),
        code=code,
        first=behind.exhibit,
        first_claimed=behind.claimed,
        first_at=behind.truly,
        second=ahead.exhibit,
        second_claimed=ahead.claimed,
        second_at=ahead.truly,
        minutes=str(apart // _MINUTE),
    )


def _apart(pair: tuple[Error, Error]) -> tuple[timedelta, Error, Error] | None:
    """By how much one clock was certainly further ahead, with the one behind first; None where both may be one."""
    for behind, ahead in (pair, pair[::-1]):
        if behind.most is None:
            continue
        apart = ahead.least - behind.most
        # two clocks of a workshop, or its computer's, may differ as well, and a sound one drifts
        if apart > CLOCK_ERROR + DRIFT * (abs(ahead.moment - behind.moment) / HOLDS):
            return apart, behind, ahead
    return None


def _errors(case: Case) -> Iterator[tuple[Phone, Error]]:
    """What is known of each usable photo's camera clock."""
    readings = {reading.exhibit: reading for reading in case.record.clocks}
    filed = _filed(case)
    for entry in sorted(case.record.exhibits, key=lambda one: one.id):
        item = case.items.get(entry.id)
        photo = item.photo if item is not None and exhibit_stop(entry.id, case) is None else None
        said = said_by(photo, case) if photo is not None else None
        if photo is None or said is None or photo.camera is None:
            continue
        claimed = _claimed(photo)
        if entry.role == Role.CLOCK_TICKET and entry.id in readings:
            shown = readings[entry.id].shown
            true = span(shown, case.record)
            least, most = said - true.end, said + _SECOND - true.start
            yield phone_of(photo), Error(entry.id, claimed, shown.text, least, most, true.start)
        elif (line := filed.get(entry.id)) is not None:
            end = _instant(line.first or line.at) + _MINUTE
            yield phone_of(photo), Error(entry.id, claimed, line.first or line.at, said - end, None, end)


def _claimed(photo: Photo) -> str:
    return f"{photo.taken}{photo.taken_offset or ''}"


def _filed(case: Case) -> dict[str, IntakeEntry]:
    """The line by which each exhibit's bytes first came in."""
    found: dict[str, IntakeEntry] = {}
    for line in case.intake.entries:
        item = case.items.get(line.id)
        if item is not None and item.sha256 == line.sha256:
            known = found.setdefault(line.id, line)
            if _instant(line.first or line.at) < _instant(known.first or known.at):
                found[line.id] = line
    return found


def _instant(text: str) -> datetime:
    """A minute with its offset, in UTC, without zone."""
    moment = datetime.fromisoformat(text)
    return moment.replace(tzinfo=None) - (moment.utcoffset() or timedelta(0))
