"""The static pulls: what was computed from each log, what asked for it, and the log itself as a drawing."""

from collections.abc import Iterator

from evidence.dossier._blocks import (
    Block,
    Inline,
    bullets,
    column,
    facts,
    heading,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._index import Index, pull_anchor
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._lab_page import LabPage, kept, short
from evidence.dossier._pull_plots import plots
from evidence.dossier._words import Teller, text
from evidence.measure import pull
from evidence.model.criterion import Within
from evidence.model.names import LabKind, LabQuantity
from evidence.model.result import LabResult


def build(source: DossierInput, say: Say) -> Data:
    """For each pull its log, every number with what it is held against, remarks, and the drawings."""
    tell, index = Teller(source, say), Index.of(source)
    found = [test for test in source.record.tests if test.kind == LabKind.STATIC_PULL]
    blocks: list[Block] = [paragraph(text(tell("pull-lead")), "muted")] if found else []
    for test in found:
        direction = tell.word(test.direction)
        blocks.append(
            heading(tell("pull-of", id=test.id, direction=direction, subject=tell.subject(test.subject)))
        )
        blocks += _Page(source, index, tell, test).blocks()
    return section("pull_test", tell("title-pull_test"), blocks)


class _Page(LabPage):
    """The blocks of one pull."""

    def blocks(self) -> Iterator[Block]:
        """Numbers first, then the curve that they come from."""
        yield {"kind": "anchor", "anchors": [pull_anchor(self.test.id)]}
        yield facts(list(self._facts()))
        if self.results:
            yield self._numbers()
        else:
            yield paragraph(text(self.tell("pull-uncomputed")), "note")
        remarks = list(self.remarks())
        if remarks:
            yield heading(self.tell("pull-remarks"), 3)
            yield bullets(remarks)
        course = self.source.pulls.get(self.test.id)
        if course is None:
            yield paragraph(text(self.tell("pull-not-drawn")), "note")
        else:
            yield from plots(self.test, course, self.results, self.tell)

    def _facts(self) -> Iterator[tuple[str, Inline]]:
        tell, test = self.tell, self.test
        yield tell("pull-log"), self.index.links((test.exhibit,))
        if test.paper is not None:
            yield tell("pull-paper"), self.index.links((test.paper,))
        if test.at is not None:
            yield tell("pull-at"), text(tell.stated(test.at))
        for channel in test.channels:
            yield (
                tell("pull-channel", use=tell.word(channel.use)),
                self.channel(channel, tell("pull-column", name=channel.name)),
            )
        if test.axes is not None:
            yield tell("pull-axes"), text(test.axes)
        if test.mass is not None:
            yield tell("pull-mass"), text(str(test.mass))
        yield tell("pull-method"), text(pull.METHOD)

    def _numbers(self) -> Block:
        tell = self.tell
        columns = [
            column(tell("pull-head-figure"), mm=40),
            column(tell("pull-head-asked")),
            column(tell("pull-head-limits"), mm=22),
            column(tell("pull-head-how"), mm=56),
        ]
        return table(columns, [self._row(each) for each in self.results])

    def _row(self, result: LabResult) -> Data:
        tell = self.tell
        figure = [
            plain(tell.word(str(result.quantity), "lab-quantity")),
            new_line(),
            strong(self.value(result)),
        ]
        when = self._when(result)
        if when:
            figure += [new_line(), muted(when)]
        asked, limits = self._asked(result)
        return row([figure, asked, text(limits), text(self._how(result))])

    def _when(self, result: LabResult) -> str:
        if result.state != "computed" or result.quantity == LabQuantity.RESIDUAL_DISPLACEMENT:
            return ""
        if result.begin_s is None or result.end_s is None:
            # a hold of no time has no place either, though the log has times
            untimed = result.quantity != LabQuantity.HOLD_TIME
            return self.tell("pull-without-time") if untimed else ""
        begin, end = short(float(result.begin_s)), short(float(result.end_s))
        if begin == end:
            return self.tell("pull-moment", begin=begin)
        return self.tell("pull-when", begin=begin, end=end)

    def _how(self, result: LabResult) -> str:
        tell, processing = self.tell, result.processing
        parts = {
            LabQuantity.PEAK_FORCE: tell("pull-how-peak"),
            LabQuantity.EXCURSION: tell("pull-how-travel"),
            LabQuantity.RESIDUAL_DISPLACEMENT: tell("pull-how-residual", share=short(pull.REST_SHARE * 100)),
        }
        told = [parts[LabQuantity(result.quantity)]] if result.quantity in parts else []
        if processing is not None and processing.kind is not None and processing.level is not None:
            told.append(tell(f"pull-how-{processing.kind}", level=kept(processing.level)))
        if processing is not None and processing.zero is not None:
            begin, end = processing.zero.split()
            told.append(tell("pull-how-zero", begin=begin, end=end))
        return "; ".join(told)

    def _asked(self, result: LabResult) -> tuple[Inline, str]:
        """What asks, with its outcome and a link to where it is judged, and the limits that it names."""
        demand = self.index.demands.get(result.asked)
        if demand is None:
            document, _, claim = result.asked.partition("/")
            words = self.tell("pull-claim", claim=self.tell.word(claim, "claim-name"))
            return [*self.index.links((document,)), plain(f": {words}")], self._claimed(document, claim)
        criterion = demand.criterion
        return self.judged(result), self.limits(criterion) if isinstance(criterion, Within) else ""

    def _claimed(self, document: str, claim: str) -> str:
        stated = [
            str(each.quantity)
            for paper in self.source.record.documents
            if paper.id == document
            for each in paper.claims
            if each.name == claim and each.quantity is not None
        ]
        return kept(", ".join(stated))
