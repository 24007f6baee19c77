"""The timeline: steps and redone steps in the manual's order, checks, photos, cure, calibrations, release; one lane each."""

from collections.abc import Iterable, Iterator
from datetime import datetime, time, timedelta
from fractions import Fraction
from functools import partial

from evidence.dossier._blocks import Block, link, paragraph, plain, section, strong
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._parts import told_parts
from evidence.dossier._words import Teller, capital, text
from evidence.drawing.timeline import Kind, Lane, Mark, key_svg, timeline_svgs
from evidence.judge._camera import taken
from evidence.judge._times import Span, offset_on
from evidence.model.criterion import Ordered
from evidence.model.finding import Finding, Part
from evidence.model.names import Outcome
from evidence.model.record import Instrument, Step
from evidence.model.times import Interval, add_months
from evidence.phrases import short_day

_KEYS: tuple[tuple[str, Kind, bool], ...] = (
    ("step", "step", False),
    ("redo", "redo", False),
    ("check", "check", False),
    ("photo", "photo", False),
    ("wait", "wait", False),
    ("valid", "valid", False),
    ("wrong", "step", True),
)
_ALWAYS = datetime(9999, 12, 31)  # noqa: DTZ001 - local time; of what was never said to end


def build(source: DossierInput, say: Say) -> Data:
    """Drawings, their key, and links to what is wrong in time."""
    tell, index = Teller(source, say), Index.of(source)
    lanes = list(_Lanes(source, tell).lanes())
    drawings = timeline_svgs(lanes, partial(short_day, language=source.language))
    if not drawings:
        return section("timeline", tell("title-timeline"), [], flows=True)
    blocks: list[Block] = [paragraph(text(tell("timeline-lead")), "muted")]
    alt = _alt(source, tell)
    for number, drawing in enumerate(drawings):
        blocks.append(
            {"kind": "timeline", "svg": drawing, "alt": alt if number == 0 else tell("timeline-goes-on")}
        )
    used = {(mark.kind, mark.wrong) for lane in lanes for mark in lane.marks}
    keys = [
        {"svg": key_svg(kind, wrong=wrong), "words": tell(f"timeline-key-{name}")}
        for name, kind, wrong in _KEYS
        if (kind, wrong) in used or (wrong and any(is_wrong for _, is_wrong in used))
    ]
    blocks.append({"kind": "key", "rows": keys})
    blocks += _wrong_words(source, index, tell)
    return section("timeline", tell("title-timeline"), blocks, flows=True)


def _wrong_words(source: DossierInput, index: Index, tell: Teller) -> Iterator[Block]:
    """Why each mark is drawn as wrong: what was not done in order or too soon, then what disagrees."""
    for number, finding in enumerate(index.findings):
        parts = tuple(_wrong_parts(finding))
        for told in told_parts(finding.model_copy(update={"parts": parts}), tell):
            lead = strong(f"{capital(tell.subject(finding.subject))}: ")
            see = link(finding_anchor(number), tell("timeline-see"), page=True)
            yield paragraph([lead, *told.inline(tell), plain(" "), see])
    wrong = _wrong(source)
    for number, entry in index.open_contradictions():
        if any(place.where.partition(".")[0] in wrong for place in entry.between):
            words = tell.reason(entry.reason)
            yield paragraph(
                [plain(words + " "), link(contradiction_anchor(number), tell("timeline-see"), page=True)]
            )


def _wrong_parts(finding: Finding) -> Iterator[Part]:
    """Orders and times between steps that a finding calls not met."""
    if finding.type == "ordered" and finding.open:
        yield from (part for part in finding.parts if part.outcome == Outcome.NOT_MET)


def _wrong(source: DossierInput) -> frozenset[str]:
    """Ids of entries that a finding's order or an open contradiction calls wrong; of both sides of an order, both."""
    found = {
        name
        for finding in source.manifest.findings
        for part in _wrong_parts(finding)
        for name in part.name.split("/")[1:]
    }
    for entry in source.manifest.contradictions:
        if entry.open and all(_is_time(place.where) for place in entry.between):
            found |= {place.where.partition(".")[0] for place in entry.between}
    return frozenset(found)


def _is_time(where: str) -> bool:
    return where == "work" or where.rpartition(".")[2] in (
        "at",
        "taken",
        "valid-until",
        "applied",
        "until",
        "finished",
    )


def _alt(source: DossierInput, tell: Teller) -> str:
    """First and last step, release and what is wrong, in words."""
    steps = [step for step in source.record.steps if isinstance(step.at, Interval)]
    steps.sort(key=lambda step: (_of(step).start, step.id))
    release = source.record.release
    words = {
        "first": tell.stated(steps[0].at) if steps else tell("none"),
        "last": tell.stated(steps[-1].at) if steps else tell("none"),
        "steps": str(len(steps)),
        "release": tell.stated(release.at) if release else tell("none"),
        "wrong": str(len(_wrong(source))),
    }
    return tell("timeline-alt", **words)


def _of(step: Step) -> Interval:
    assert isinstance(step.at, Interval)  # noqa: S101 - callers asked
    return step.at


class _Lanes:
    """The lanes of one vehicle, from the top."""

    def __init__(self, source: DossierInput, tell: Teller) -> None:
        self._source = source
        self._record = source.record
        self._tell = tell
        self._wrong = _wrong(source)
        self._several = len(source.record.positions) > 1

    def lanes(self) -> Iterator[Lane]:
        """Steps by place in the manual's order, waits, checks, photos, what was valid, and the release."""
        for subject in self._subjects():
            yield from self._steps(subject)
            yield from self._waits(subject)
            yield from self._checks(subject)
        yield from self._photos()
        yield from map(self._calibration, self._used_instruments())
        yield from self._qualifications()
        yield from self._end()

    def _subjects(self) -> list[str]:
        places = [position.id for position in self._record.positions]
        done = [step.subject for step in self._record.steps]
        return list(dict.fromkeys([*places, *done, "vehicle"]))

    def _label(self, words: str, subject: str) -> str:
        return f"{subject}  {capital(words)}" if self._several and subject != "vehicle" else capital(words)

    def _steps(self, subject: str) -> Iterator[Lane]:
        titles = {step.id: step.title for step in self._source.profile.steps}
        mine = [step for step in self._record.steps if step.subject == subject]
        order = [*titles, *dict.fromkeys(step.step for step in mine if step.step not in titles)]
        for name in order:
            marks = [
                self._mark(step.id, step.at, "redo" if step.redo_of else "step")
                for step in mine
                if step.step == name
            ]
            if kept := tuple(filter(None, marks)):
                words = self._tell.title(titles[name]) if name in titles else self._tell.slug(name)
                yield Lane(self._label(words, subject), kept)

    def _mark(self, identity: str, at: object, kind: Kind) -> Mark | None:
        if not isinstance(at, Interval):
            return None  # what has no time has no place in time; the tables say why
        return Mark(at.start, at.end, kind, identity in self._wrong)

    def _waits(self, subject: str) -> Iterator[Lane]:
        """Times that must pass after a step: from its latest end on."""
        for demand in self._source.demands.criteria:
            for gap in demand.criterion.gaps if isinstance(demand.criterion, Ordered) else ():
                ends = [
                    step.at.end
                    for step in self._record.steps
                    if step.subject == subject and step.step == gap.before and isinstance(step.at, Interval)
                ]
                if ends:
                    lasts = timedelta(seconds=float(Fraction(gap.at_least.base)))
                    words = self._tell(
                        "timeline-wait", time=str(gap.at_least), what=self._step_words(gap.before)
                    )
                    yield Lane(self._label(words, subject), (Mark(max(ends), max(ends) + lasts, "wait"),))

    def _step_words(self, name: str) -> str:
        title = next((step.title for step in self._source.profile.steps if step.id == name), None)
        return self._tell.title(title) if title else self._tell.slug(name)

    def _checks(self, subject: str) -> Iterator[Lane]:
        groups = [group.id for group in self._record.screws if group.subject == subject]
        values = [(value.id, value.at) for value in self._record.characteristics if value.subject == subject]
        cycles = [(cycle.id, cycle.at) for cycle in self._record.cycles if cycle.subject == subject]
        audits = [(audit.id, audit.at) for audit in self._record.audits if audit.screws in groups]
        for code, entries in (("values", values), ("cycles", cycles), ("audits", audits)):
            marks = tuple(filter(None, (self._mark(name, at, "check") for name, at in entries)))
            if marks:
                yield Lane(self._label(self._tell(f"timeline-{code}"), subject), marks)

    def _photos(self) -> Iterator[Lane]:
        for subject in dict.fromkeys(["vehicle", *(entry.subject for entry in self._record.exhibits)]):
            marks = []
            for entry in self._record.exhibits:
                item = self._source.items.get(entry.id)
                span = (
                    taken(item.photo, self._source)
                    if entry.subject == subject and item is not None and item.photo is not None
                    else None
                )
                if span is not None:
                    marks.append(Mark(*self._local(span), "photo", entry.id in self._wrong))
            if marks:
                words = self._tell("timeline-photos", subject=self._tell.subject(subject))
                yield Lane(capital(words), tuple(marks))

    def _local(self, span: Span) -> tuple[datetime, datetime]:
        offset = offset_on(span.start.date(), self._record)
        return span.start + offset, span.end + offset

    def _used_instruments(self) -> Iterable[Instrument]:
        return (one for one in self._record.instruments if not isinstance(one.calibrated, str | None))

    def _calibration(self, instrument: Instrument) -> Lane:
        words = self._tell("timeline-calibration", instrument=self._tell.subject(instrument.id))
        day = instrument.calibrated
        marks: tuple[Mark, ...] = ()
        if day is not None and not hasattr(day, "state"):
            start = datetime.combine(day, time())
            end = _ALWAYS
            if instrument.interval_months is not None:
                end = datetime.combine(add_months(day, instrument.interval_months), time()) + timedelta(
                    days=1
                )
            marks = (Mark(start, end, "valid", instrument.id in self._wrong),)
        return Lane(capital(words), marks)

    def _qualifications(self) -> Iterator[Lane]:
        busy = {step.by for step in self._record.steps}
        for person in self._record.people:
            marks = tuple(
                Mark(
                    datetime.combine(held.from_, time()),
                    _ALWAYS
                    if held.until is None
                    else datetime.combine(held.until, time()) + timedelta(days=1),
                    "valid",
                    person.id in self._wrong,
                )
                for held in person.qualifications
            )
            if marks and person.id in busy:
                words = self._tell("timeline-qualification", person=self._tell.person(person.id))
                yield Lane(words, marks)

    def _end(self) -> Iterator[Lane]:
        record = self._record
        for code, said in (("release", record.release), ("declaration", record.declaration)):
            if said is not None:
                yield Lane(
                    self._tell(f"timeline-{code}"),
                    (Mark(said.at.start, said.at.end, "event", code in self._wrong),),
                )
