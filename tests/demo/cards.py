"""The work card of a demonstration job, printed by ``start``, filled in by hand from its record, and scanned.

Where an entry stands follows from the card's own plan and from the row that the record names; the boxes inside a row
are those of ``templates/card/sheet.typ``.
"""

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path

from numpy.random import PCG64, Generator

from evidence import card, jobs, starting
from evidence.card import Placed
from evidence.model._text import FieldState
from evidence.model.names import Function, InstrumentKind, Role
from evidence.model.people import People
from evidence.model.record import CardRow, ExhibitEntry, Instrument, JobRecord, Position, Screws, Step
from evidence.model.times import Interval
from tests.demo import scans
from tests.demo.pen import Pen

TOP_MM, HEAD_MM = 19.0, 7.0
WIDTH_MM = 182.0
SHEETS = {"AMB-0417": ("a4", 210.0), "AMB-0520": ("us-letter", 215.9)}
PRINTED_AT = {"AMB-0417": "2026-03-04T07:30+01:00", "AMB-0520": "2026-05-11T07:40-05:00"}
PPI = {"AMB-0417": 98, "AMB-0520": 92}
MOST_BYTES = {"AMB-0417": 225_000, "AMB-0520": 380_000}
VALUE, TOOL, WHEN, WHO = 101.5, 133.0, 145.5, 171.0  # mm from the left edge of the table
PRINTED_KINDS = (
    InstrumentKind.CALIPER,
    InstrumentKind.TORQUE_WRENCH,
    InstrumentKind.GAUGE_CARD,
    InstrumentKind.MULTIMETER,
)
"""Of the lines for instruments on the card of the demonstration's manual."""
REASONS = {"s11": "2 marks smudged by sealer, drawn again", "s21": "1 mark rubbed off, drawn again"}
"""What the fitter wrote as the reason of a redo; the record has no words for it."""


@dataclass(frozen=True)
class Box:
    """A place on a page: the row and its upper left corner in mm."""

    placed: Placed
    left: float
    top: float


def work_card(job: Path) -> bytes:
    """The scan of a job's filled-in work card as a picture-only PDF.

    Args:
        job: folder with record, people, profile and packs.
    """
    loaded = jobs.load(job)
    record, job_id = loaded.record, loaded.record.id
    paper, width = SHEETS[job_id]
    plan = card.plan(loaded.profile, [position.id for position in record.positions], paper)  # type: ignore[arg-type]
    pages = scans.pictures(_printed(job, PRINTED_AT[job_id]), len(plan.pages), PPI[job_id])
    per_mm = PPI[job_id] / scans.MM_PER_INCH
    finished = []
    for number, (picture, placed) in enumerate(zip(pages, plan.pages, strict=True), start=1):
        pen = Pen(picture, per_mm, Generator(PCG64([int(job_id[-4:]), number])))
        for box in _boxes(placed, (width - WIDTH_MM) * 0.6):
            _fill(box, record, loaded.people, pen)
        finished.append(scans.scanned(scans.noticed(picture, per_mm), pen.rng))
    return scans.picture_pdf(finished, PPI[job_id], MOST_BYTES[job_id])


def _printed(job: Path, at: str) -> bytes:
    """The empty card, by the command's own code, from a copy of the job."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / job.name
        shutil.copytree(job, copy, ignore=shutil.ignore_patterns("photos", "documents", "tests"))
        return starting.reprint(copy, at, {}).card.read_bytes()


def _boxes(page: Sequence[Placed], left: float) -> Iterator[Box]:
    """Every piece of a page with its place; a table begins with its head."""
    top = TOP_MM
    for table, pieces in groupby(page, key=lambda each: each.piece.table):
        top += HEAD_MM if table else 0
        for placed in pieces:
            yield Box(placed, left, top)
            top += placed.piece.height


def _fill(box: Box, record: JobRecord, people: People, pen: Pen) -> None:
    part = box.placed.piece.part
    if part == "who":
        _who(box, record, people, pen)
    elif part == "photos":
        _photos(box, record, pen)
    elif part == "signatures":
        _signatures(box, record, people, pen)
    elif box.placed.number:
        _row(box, record, pen)


def _who(box: Box, record: JobRecord, people: People, pen: Pen) -> None:
    """Initials and functions of people, then the instruments."""
    names = {person.id: person.name for person in people.people}
    for place, person in enumerate(record.people[:4]):
        at = box.top + 19.6 + 9.5 * place
        initials = "".join(word[0] for word in (names.get(person.id) or "?").split())
        pen.write((box.left + 4, at), initials)
        pen.write((box.left + 39, at), person.functions[0].value, most=24)
    for place, kind in enumerate(PRINTED_KINDS):
        tool = next((one for one in record.instruments if one.kind == kind), None)
        if tool is None:
            continue
        at = box.top + 19.6 + 9.5 * place
        values = (
            (109, tool.serial, 27),
            (138, _calibrated(tool), 23),
            (163, _range(tool.range_low, tool.range_high), 18),
        )
        for x, words, most in values:
            pen.write((box.left + x, at), str(words or ""), most=most)


def _calibrated(tool: Instrument) -> str:
    if not isinstance(tool.calibrated, date) or tool.interval_months is None:
        return ""
    return f"{tool.calibrated.isoformat()}, {tool.interval_months}"


def _range(low: str | None, high: str | None) -> str:
    return f"{low.split()[0]}-{high}" if low and high else ""


def _photos(box: Box, record: JobRecord, pen: Pen) -> None:
    subject = box.placed.piece.subject
    own = {subject} | {group.id for group in record.screws if group.subject == subject}
    for place, role in enumerate(box.placed.piece.roles):
        if any(
            entry.role == role and entry.subject in own and isinstance(entry.file, str)
            for entry in (*record.exhibits, *_papers(record, subject))
        ):
            pen.tick((box.left + 91 * place + 1.0, box.top + 2.0))


def _papers(record: JobRecord, subject: str) -> Iterator[ExhibitEntry]:
    """Papers on instruments are handed in with the vehicle."""
    if subject == "vehicle":
        yield from (
            entry.model_copy(update={"subject": "vehicle"})
            for entry in record.exhibits
            if entry.role == Role.CALIBRATION_CERTIFICATE
        )


def _signatures(box: Box, record: JobRecord, people: People, pen: Pen) -> None:
    names = {person.id: person.name for person in people.people}
    days = [step.at.text[:10] for step in record.steps if isinstance(step.at, Interval)]
    for place, function in enumerate((Function.FITTER, Function.INSPECTOR)):
        person = next((one for one in record.people if function in one.functions), None)
        if person is None:
            continue
        at = box.top + 18.2 + 12.0 * place
        pen.write((box.left + 29, at), names.get(person.id) or "", most=48)
        pen.sign((box.left + 88, at))
        pen.write((box.left + 153, at), max(days), most=27)


def _row(box: Box, record: JobRecord, pen: Pen) -> None:
    for position in record.positions:
        if _is(position.system.card_row, box):
            _system(box, position, pen)
    for group in record.screws:
        if _is(group.card_row, box):
            _screws(box, group, pen)
    base = box.top + box.placed.piece.height - 3.6
    for step in record.steps:
        if not _is(step.card_row, box):
            continue
        if box.placed.piece.part == "again":
            pen.write((box.left + 11, base), _place(step, record), most=24)
            pen.write((box.left + 38, base), REASONS[step.id], most=92)
            pen.write((box.left + 134, base), _time(step.at), most=34)
        else:
            pen.write((box.left + TOOL, base), " ".join(step.with_), most=10)
            pen.write((box.left + WHEN, base), _time(step.at), most=23)
        pen.write((box.left + WHO, base), step.by)
    _values(box, base, record, pen)


def _values(box: Box, base: float, record: JobRecord, pen: Pen) -> None:
    """A value, or cycles done and without fault; beside a step's own entry only what that does not say."""
    alone = box.placed.piece.row is not None and box.placed.row.kind != "step"
    for value in record.characteristics:
        if not _is(value.card_row, box):
            continue
        if isinstance(value.value, FieldState):
            pen.smudge((box.left + VALUE, base))
        else:
            pen.write((box.left + VALUE, base), value.value, most=22, mm=4.6)
        if alone:
            pen.write((box.left + TOOL, base), value.instrument)
            pen.write((box.left + WHEN, base), _time(value.at), most=23)
            pen.write((box.left + WHO, base), value.by)
    for cycles in record.cycles:
        if _is(cycles.card_row, box):
            pen.write((box.left + 105, base + 1.2), str(cycles.done), mm=4.6)
            pen.write((box.left + 121, base + 1.2), str(cycles.without_fault), mm=4.6)
            pen.write((box.left + WHEN, base), _time(cycles.at), most=23)
            pen.write((box.left + WHO, base), cycles.by)


def _system(box: Box, position: Position, pen: Pen) -> None:
    stretcher = next((str(one.serial) for one in position.stretchers.tested_with if one.serial), "")
    lot = position.system.lot
    values = (str(position.system.serial), str(lot) if isinstance(lot, str) else "", stretcher, "w1")
    base = box.top + 18.0
    for x, words in zip(_lefts((58, 38, 50, 22)), values, strict=True):
        pen.write((box.left + x + 3, base), words, mm=4.6)


def _screws(box: Box, group: Screws, pen: Pen) -> None:
    for place, torque in enumerate(group.torques[:8]):
        number, unit = str(torque).split()
        at = (box.left + 10.5 + place * 21.25 + 2.0, box.top + 16.2)
        # the boxes have the unit of the manual; who reads another one writes it down
        pen.write(at, number if unit == "N·m" else f"{number} {unit}", most=18, mm=4.6)
    locker = group.locker
    first = (
        ("", "", "", "", str(group.lot or ""))
        if locker is None
        else (
            locker.product,
            str(locker.lot),
            str(locker.use_by),
            _time(locker.applied),
            str(group.lot or ""),
        )
    )
    marked = "yes" if group.witness_marked else ""
    second = (marked, group.instrument, _time(group.at), group.by)
    for line, (widths, words) in enumerate((((46, 34, 28, 34, 30), first), ((46, 34, 62, 30), second))):
        for x, width, word in zip(_lefts(widths), _widths(widths), words, strict=True):
            pen.write((box.left + x + 2, box.top + 29.6 + 13.5 * line), word, most=width - 3)


def _widths(shares: Sequence[int]) -> list[float]:
    inner = WIDTH_MM - 9 - 3 - 1.2 * (len(shares) - 1)
    return [inner * share / sum(shares) for share in shares]


def _lefts(shares: Sequence[int]) -> list[float]:
    """Left edges of boxes that share the width inside a numbered row."""
    widths = _widths(shares)
    return [10.5 + sum(widths[:place]) + 1.2 * place for place in range(len(widths))]


def _place(redo: Step, record: JobRecord) -> str:
    """Page and row of what was done again."""
    row = next((step.card_row for step in record.steps if step.id == redo.redo_of), None)
    return f"p. {row.page}, row {row.row}" if row else ""


def _is(row: CardRow | None, box: Box) -> bool:
    return row is not None and (row.page, row.row) == (box.placed.page, box.placed.number)


def _time(at: Interval | FieldState) -> str:
    """As a fitter writes it: month and day, hour and minute."""
    return at.text[5:].replace("T", " ") if isinstance(at, Interval) else ""
