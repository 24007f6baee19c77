"""Functional tests: what is asked for against what was done, both ends, power and other values of the locked state."""

from collections import Counter
from collections.abc import Iterator, Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    chip,
    column,
    heading,
    joined,
    link,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._disputed import nothing_against
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._order import natural
from evidence.dossier._titles import requirement_title
from evidence.dossier._typed import typed_from
from evidence.dossier._words import Teller, capital, text
from evidence.judge._scope import related
from evidence.judge._uncertainty import of_characteristic
from evidence.model.criterion import Counted, Criterion, Within
from evidence.model.finding import Contradiction, Finding
from evidence.model.names import CharacteristicName, ContradictionRule, Group, Outcome, ProfileKind
from evidence.model.record import Characteristic, Cycles
from evidence.model.work import EndReading

VALUES = frozenset(
    {
        CharacteristicName.PLAY_LENGTHWISE,
        CharacteristicName.PLAY_CROSSWISE,
        CharacteristicName.PLAY_VERTICAL,
        CharacteristicName.RELEASE_FORCE,
        CharacteristicName.CHARGING_VOLTAGE,
        CharacteristicName.SUPPLY_VOLTAGE,
        CharacteristicName.LEG_CLEARANCE,
    }
)
"""What is read while the functions are tried."""
_KINDS = frozenset(
    {
        ProfileKind.FUNCTIONAL_CYCLES,
        ProfileKind.FALSE_LOCK,
        ProfileKind.PLAY,
        ProfileKind.CHARGING,
        ProfileKind.BOTH_ENDS,
        ProfileKind.LEGS,
        ProfileKind.POWER,
    }
)
"""Kinds of a profile's demands that this page is about."""
_RULES = frozenset({ContradictionRule.CYCLE_LOG_DIFFERS, ContradictionRule.END_READING_BEYOND})
MAX_FAULTS = 8  # listed of one entry; the rest is counted
_SETTLED = (Outcome.MET, Outcome.NOT_APPLICABLE)
_CHECK_HEADS = (("test", 0), ("asked", 30), ("test-done", 42), ("when-who", 34), ("test-outcome", 34))
_END_HEADS = (("test-entry", 26), ("end", 0), ("way", 0), ("play", 30), ("recorded", 36), ("asked", 30))
_VALUE_HEADS = (("test-value", 0), ("asked", 34), ("found", 46), ("test-outcome", 34))

_Numbered = tuple[int, Finding]


def build(source: DossierInput, say: Say) -> Data:
    """For each place a table of checks, the readings of both ends, and the values."""
    page = _Page(source, Index.of(source), Teller(source, say))
    blocks = list(page.blocks())
    return section("functional_tests", page.title, blocks)


class _Page:
    def __init__(self, source: DossierInput, index: Index, tell: Teller) -> None:
        self._source = source
        self._index = index
        self._tell = tell
        self._shown: set[str] = set()  # entries that have their place on the page already
        self.title = tell("title-functional_tests")

    def blocks(self) -> Iterator[Block]:
        """Nothing where nothing was asked for and nothing done."""
        counted = list(self._asked(Counted))
        valued = list(self._asked(Within))
        subjects = {finding.subject for _, finding in (*counted, *valued)}
        subjects |= {cycles.subject for cycles in self._source.record.cycles}
        if not subjects:
            return
        yield paragraph(text(self._tell("tests-lead")), "muted")
        yield paragraph(self._summary([*counted, *valued]))
        for subject in sorted(subjects, key=natural):
            checks = self._checks([one for one in counted if one[1].subject == subject], subject)
            values = [self._value(*one) for one in valued if one[1].subject == subject]
            if len(subjects) > 1 and (checks or values):
                yield heading(capital(self._tell.subject(subject)))
            if checks:
                yield self._table(_CHECK_HEADS, checks)
            if ends := list(self._ends(subject)):
                yield heading(self._tell("tests-ends"), 3 if len(subjects) > 1 else 2)
                yield self._table(_END_HEADS, ends)
            if values:
                yield heading(self._tell("tests-values"), 3 if len(subjects) > 1 else 2)
                yield self._table(_VALUE_HEADS, values)
        for told in self._contradicted():
            yield paragraph(told, "caution")
        if silent := self._silent():
            yield paragraph(silent, "muted")

    def _asked(self, kind: type[Counted] | type[Within]) -> Iterator[_Numbered]:
        """Findings about repeated checks, or about the values that are read with them."""
        for number, finding in enumerate(self._index.findings):
            asked = self._criterion(finding)
            # common practice judges nothing and would tell each check twice; the matrix has it
            if not isinstance(asked, kind) or finding.group == Group.PRACTICE:
                continue
            if (asked.count != "screws") if isinstance(asked, Counted) else (_name(asked) in VALUES):
                yield number, finding

    def _criterion(self, finding: Finding) -> Criterion | None:
        demand = self._index.demands.get(finding.requirement)
        return None if demand is None else demand.criterion

    def _table(self, heads: Sequence[tuple[str, int]], rows: Sequence[Data]) -> Block:
        return table([column(self._tell(f"head-{name}"), mm=width) for name, width in heads], rows)

    def _summary(self, found: Sequence[_Numbered]) -> Inline:
        """How many are asked for, and what became of them."""
        if not found:
            return text(self._tell("tests-not-asked"))
        counts = Counter(finding.outcome for _, finding in found)
        told: Inline = [plain(self._tell.count("tests-asked", len(found)))]
        for outcome in Outcome:
            if counts[outcome]:
                told += [plain("  "), chip(outcome, f"{counts[outcome]} {self._tell.word(outcome)}")]
        return told

    def _checks(self, found: Sequence[_Numbered], subject: str) -> list[Data]:
        rows = [self._check(number, finding) for number, finding in found]
        asked = {entry for _, finding in found for entry in finding.records}
        rest = [one for one in self._source.record.cycles if one.subject == subject and one.id not in asked]
        used = {entry for finding in self._index.findings for entry in finding.records}
        rows += [
            self._row(
                [plain(self._tell.word(one.kind))],
                text(self._tell("tests-practice" if one.id in used else "tests-unasked")),
                (one,),
                self._index.supports(one.id),
            )
            for one in rest
            if one.id not in self._shown
        ]
        return rows

    def _check(self, number: int, finding: Finding) -> Data:
        tell, asked = self._tell, self._criterion(finding)
        what: Inline = [strong(requirement_title(finding, self._index, tell))]
        demanded: Inline = []
        if isinstance(asked, Counted) and asked.count != "screws":
            what += [new_line(), muted(tell.word(asked.count))]
            demanded = text(tell("tests-at-least", n=str(asked.at_least)))
            allowed = asked.faults_allowed
            demanded += [
                new_line(),
                plain(tell.count("tests-faults-allowed", allowed) if allowed else tell("tests-no-fault")),
            ]
            demanded += [new_line(), muted(self._where(finding, asked))]
        entries = tuple(one for one in self._source.record.cycles if one.id in finding.records)
        return self._row(what, demanded, entries, self._outcome(number, finding))

    def _row(self, what: Inline, asked: Inline, entries: Sequence[Cycles], outcome: Inline) -> Data:
        first = [one for one in entries if one.id not in self._shown]
        self._shown |= {one.id for one in first}
        done = joined([self._done(one) for one in entries], "\n") or text(self._tell("tests-nothing"))
        when = [
            [plain(self._tell.stated(one.at)), new_line(), muted(self._tell.person(one.by))]
            for one in entries
        ]
        return row([what, asked, done, joined(when, "\n"), outcome], [f"record-{one.id}" for one in first])

    def _done(self, entry: Cycles) -> Inline:
        tell = self._tell
        told = [
            plain(tell("cycles-done", done=str(entry.done), good=str(entry.without_fault))),
            muted(f" {entry.id}"),
        ]
        if entry.load is not None:
            told += [new_line(), plain(tell("cycles-load", load=str(entry.load)))]
        faults = [
            tell("tests-fault", number=str(number), fault=tell.slug(outcome))
            for number, outcome in enumerate(entry.outcomes, start=1)
            if outcome != "ok"
        ]
        if entry.done > entry.without_fault and not entry.outcomes:
            faults = [tell("tests-faults-unsaid")]
        more = len(faults) - MAX_FAULTS
        told += [span for fault in faults[:MAX_FAULTS] for span in (new_line(), plain(fault))]
        told += [new_line(), plain(tell("tests-faults-more", n=str(more)))] if more > 0 else []
        if entry.log is not None:
            told += [new_line(), muted(tell("tests-log") + " "), *self._index.links((entry.log,))]
            told += nothing_against((entry.log,), self._index, tell)
        return told + typed_from(entry.id, entry.card_row, self._source, self._index, tell)

    def _outcome(self, number: int, finding: Finding) -> Inline:
        told = [
            *self._tell.outcome(finding.outcome),
            plain(" "),
            link(finding_anchor(number), finding_label(number)),
        ]
        if finding.outcome in _SETTLED:
            return told
        return [*told, new_line(), plain(self._tell.reason(finding.reason))]

    def _where(self, finding: Finding, asked: Criterion) -> str:
        """Section and page of the manual, or clause of the standard."""
        if finding.group == Group.PROFILE and asked.page is not None:
            return self._tell("tests-manual", section=finding.clause, page=str(asked.page))
        return self._tell("tests-clause", clause=finding.clause)

    def _ends(self, subject: str) -> Iterator[Data]:
        for cycles in self._source.record.cycles:
            for reading in cycles.ends if cycles.subject == subject else ():
                yield row(self._end(cycles, reading))

    def _end(self, cycles: Cycles, reading: EndReading) -> list[Inline]:
        tell = self._tell
        name = CharacteristicName(f"play-{reading.way}")
        limits = [
            words
            for finding in self._index.findings
            if related(finding.subject, cycles.subject, self._source.record)
            and isinstance(asked := self._criterion(finding), Within)
            and _name(asked) == name
            and (words := self._limits(asked))
        ]
        values = [
            [
                plain(tell.stated(one.quantity or one.value)),
                plain(" "),
                *self._index.links((one.id,), page=False),
            ]
            for one in self._source.record.characteristics
            if one.name == name and related(one.subject, cycles.subject, self._source.record)
        ]
        return [
            self._index.links((cycles.id,), page=False),
            text(capital(tell.word(reading.end, "end"))),
            text(tell.word(reading.way, "way")),
            [strong(tell.stated(reading.play))],
            joined(values, "\n") or text(tell("none")),
            text("\n".join(dict.fromkeys(limits)) or tell("none")),
        ]

    def _value(self, number: int, finding: Finding) -> Data:
        tell, asked = self._tell, self._criterion(finding)
        what: Inline = [strong(requirement_title(finding, self._index, tell))]
        demanded: Inline = []
        if isinstance(asked, Within):
            demanded = [
                plain(self._limits(asked) or tell("none")),
                new_line(),
                muted(self._where(finding, asked)),
            ]
        found = [self._found(one) for one in self._source.record.characteristics if one.id in finding.records]
        cells = [what, demanded, joined(found, "\n") or text(tell("tests-nothing"))]
        return row([*cells, self._outcome(number, finding)])

    def _found(self, entry: Characteristic) -> Inline:
        told: Inline = [strong(self._tell.stated(entry.quantity or entry.value))]
        spread = (
            of_characteristic(entry, self._source.record).expanded if entry.quantity is not None else None
        )
        told += [plain(f" \u00b1 {spread}")] if spread is not None else []
        return [*told, plain(" "), *self._index.links((entry.id,), page=False)]

    def _limits(self, asked: Within) -> str:
        low, high = asked.bound(asked.low), asked.bound(asked.high)
        if low is not None and high is not None:
            return self._tell("tests-between", low=str(low), high=str(high))
        if low is None and high is None:
            return ""
        return (
            self._tell("tests-at-least", n=str(low))
            if low is not None
            else self._tell("tests-at-most", n=str(high))
        )

    def _contradicted(self) -> Iterator[Inline]:
        found: list[tuple[int, Contradiction]] = list(enumerate(self._index.contradictions))
        for number, entry in found:
            if entry.rule in _RULES:
                lead = link(
                    contradiction_anchor(number), self._tell.word(entry.rule, "contradiction"), page=True
                )
                yield [lead, plain(". " + self._tell.reason(entry.reason))]

    def _silent(self) -> Inline:
        kinds = [
            self._tell("tests-silent-on", kind=self._tell(f"tests-kind-{one.kind.value}"), page=str(one.page))
            for one in self._source.profile.silent
            if one.kind in _KINDS
        ]
        return text(self._tell("tests-silent", kinds=", ".join(kinds))) if kinds else []


def _name(asked: Within) -> str:
    return asked.quantity.removeprefix("characteristic.")
