"""Sled runs: what was computed from their channels, what asked for it or claimed it, and the curves as drawings."""

from collections.abc import Iterator, Sequence

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
from evidence.dossier._index import Index, pulse_anchor
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._lab_page import MINUS, LabPage, kept, minus, short
from evidence.dossier._pulse_plots import plots
from evidence.dossier._pulse_words import margin, processed, quantity, source_of, taken
from evidence.dossier._words import Teller, text
from evidence.judge._agreement import Agreement, agreements
from evidence.judge._scope import related
from evidence.labtests import claimed_direction
from evidence.measure.figures import CORRIDOR
from evidence.model.criterion import Inside, Within
from evidence.model.names import ChannelUse, LabDirection, LabKind, Outcome
from evidence.model.record import LabChannel, LabTest
from evidence.model.result import LabResult
from evidence.phrases import knows
from evidence.pulsing import has_corridor
from evidence.register.demand import Demand

_DIRECTIONS = (LabDirection.FRONTAL, LabDirection.SIDE, LabDirection.REAR, LabDirection.UP, LabDirection.DOWN)
_KNOWN = frozenset({"pulse-not-filtered"})
"""Notices that stand in the table already."""


def build(source: DossierInput, say: Say) -> Data:
    """For each place and direction its file, every number with what it is held against, remarks, and the drawings."""
    tell, index = Teller(source, say), Index.of(source)
    found = sorted(
        (test for test in source.record.tests if test.kind == LabKind.DYNAMIC),
        key=lambda test: (_place(test, source), _DIRECTIONS.index(test.direction)),
    )
    results = {(one.asked, one.test): one for one in source.manifest.results}
    claims = agreements(source.record, results)
    blocks: list[Block] = [paragraph(text(tell("pulse-lead")), "muted")] if found else []
    for test in found:
        direction = tell(f"pulse-direction-{test.direction}")
        blocks.append(
            heading(tell("pulse-of", id=test.id, direction=direction, subject=tell.subject(test.subject)))
        )
        blocks += _Page(LabPage(source, index, tell, test), claims).blocks()
    return section("pulses", tell("title-pulses"), blocks)


def _place(test: LabTest, source: DossierInput) -> int:
    """Of the vehicle first, then the places in the order of the record."""
    places = [position.id for position in source.record.positions]
    return places.index(test.subject) if test.subject in places else -1


class _Page:
    """The blocks of one run."""

    def __init__(self, page: LabPage, claims: Sequence[Agreement]) -> None:
        self._page = page
        self._tell = page.tell
        self._test = page.test
        self._claims = claims
        self._drawn = page.source.pulses.get(page.test.id, ())
        uses = [channel.use for channel in page.test.channels]
        self._results = sorted(page.results, key=lambda one: uses.index(one.use) if one.use in uses else -1)

    def blocks(self) -> Iterator[Block]:
        """Numbers first, then the curves that they come from."""
        tell = self._tell
        yield {"kind": "anchor", "anchors": [pulse_anchor(self._test.id)]}
        yield facts(list(self._facts()))
        if self._results:
            yield self._numbers()
        else:
            yield paragraph(text(tell("pulse-uncomputed")), "note")
        names = {one.id: quantity(one, tell) for one in self._results}
        remarks = list(self._page.remarks(names, _KNOWN))
        if remarks:
            yield heading(tell("pulse-remarks"), 3, listed=False)
            yield bullets(remarks)
        if not any(one.channel.use == ChannelUse.PULSE for one in self._drawn):
            yield paragraph(text(tell("pulse-not-drawn")), "note")
        drawings = list(plots(self._page, self._drawn, self._axes(), self._marks()))
        yield from drawings[:1]
        yield from (paragraph(text(words), "note") for words in self._undrawn())
        yield from drawings[1:]

    # ── what was recorded ───────────────────────────────────────────────────────────────────────────────────

    def _facts(self) -> Iterator[tuple[str, Inline]]:
        tell, test, index = self._tell, self._test, self._page.index
        yield tell("pulse-file"), index.links((test.exhibit,))
        if test.paper is not None:
            yield tell("pull-paper"), index.links((test.paper,))
        if test.at is not None:
            yield tell("pulse-at"), text(tell.stated(test.at))
        for channel in test.channels:
            named = tell("pulse-channel", name=channel.name)
            yield tell.word(channel.use), self._page.channel(channel, named, self._recorded(channel))
        yield tell("pull-axes"), text(self._axes())
        if test.mass is not None:
            yield tell("pull-mass"), text(str(test.mass))
        methods = sorted({one.method for one in self._results})
        if methods:
            yield tell("pull-method"), text(", ".join(methods))

    def _recorded(self, channel: LabChannel) -> list[str]:
        """What the laboratory had filtered it with, where its curve is known."""
        found = next((one.recorded for one in self._drawn if one.channel.use == channel.use), None)
        if found is None:
            return []
        own = f"recorded-{found}"
        known = knows(f"dossier-{own}")
        return [self._tell(own) if known else self._tell("recorded-class", cfc=found)]

    def _axes(self) -> str:
        stated = (one.axes for one in self._results if one.axes is not None)
        return self._test.axes or next(stated, None) or self._tell("pulse-axes-assumed")

    # ── numbers ─────────────────────────────────────────────────────────────────────────────────────────────

    def _numbers(self) -> Block:
        tell = self._tell
        columns = [
            column(tell("pull-head-figure"), mm=40),
            column(tell("pulse-head-asked")),
            column(tell("pull-head-limits"), mm=24),
            column(tell("pull-head-how"), mm=50),
        ]
        return table(columns, [self._row(each) for each in self._results])

    def _row(self, result: LabResult) -> Data:
        asked, limits = self._asked(result)
        how = [*processed(result.processing, self._tell), taken(result, self._tell)]
        if result.sign == "reversed":
            how.append(self._tell("pull-reversed"))
        return row([self._figure(result), asked, text(limits), text("; ".join(filter(None, how)))])

    def _figure(self, result: LabResult) -> Inline:
        tell = self._tell
        told: Inline = [plain(quantity(result, tell)), new_line(), strong(self._page.value(result))]
        if result.state != "computed":
            return [*told, new_line(), muted(tell("pulse-why-below"))]
        notes = [margin(result, tell)[1]] if result.quantity == CORRIDOR else []
        notes += [
            self._when(result),
            *([tell("pulse-unsure")] if result.expanded_uncertainty is None else []),
        ]
        for note in filter(None, notes):
            told += [new_line(), muted(note)]
        return told

    def _when(self, result: LabResult) -> str:
        if result.begin_s is None or result.end_s is None:
            return ""
        begin, end = (minus(short(float(each))) for each in (result.begin_s, result.end_s))
        if begin == end:
            return self._tell("pull-moment", begin=begin)
        return self._tell("pull-when", begin=begin, end=end)

    def _asked(self, result: LabResult) -> tuple[Inline, str]:
        """What asks or claims, with its outcome or agreement, and the limits that it names."""
        demand = self._page.index.demands.get(result.asked)
        if demand is None:
            found = [one for one in self._claims if one.result.id == result.id]
            said: Inline = []
            for one in found:
                said += [*([new_line()] if said else []), *self._claimed(one)]
            return said or text(result.asked), ""
        criterion = demand.criterion
        if isinstance(criterion, Inside):
            return self._page.judged(result), self._tell("pulse-limit-corridor")
        return self._page.judged(result), self._page.limits(criterion) if isinstance(
            criterion, Within
        ) else ""

    def _claimed(self, one: Agreement) -> Inline:
        """The claim, the number, and whether they agree."""
        tell = self._tell
        page = tell("pulse-page", page=one.page) if one.page is not None else ""
        named = tell.inside(tell.word(one.claim))
        value = self._page.value(one.result).lstrip(MINUS)
        told = {"claimed": kept(one.claimed.text), "page": page, "claim": named, "value": value}
        spans = [*self._page.index.links((one.document,), page=False), plain(tell("pulse-claim", **told))]
        if other := self._fitting_run(one):
            return [*spans, plain(tell("pulse-other-run", id=other))]
        spans.append(strong(tell(f"pulse-{one.state}")))
        if one.state in ("agrees", "differs"):
            away = {"away": self._in_unit(one), "allowed": self._allowed(one)}
            spans.append(plain(tell("pulse-apart-stated" if one.stated else "pulse-apart-practice", **away)))
        return spans

    def _fitting_run(self, one: Agreement) -> str:
        """Another run that agrees with a claim of which the paper does not say what run it is of; empty where none does."""
        if one.state != "differs" or claimed_direction(one.claim) is not None:
            return ""
        same = (
            each
            for each in self._claims
            if (each.document, each.number, each.state) == (one.document, one.number, "agrees")
        )
        return next((each.test for each in same), "")

    def _in_unit(self, one: Agreement) -> str:
        unit = one.claimed.unit
        return kept(f"{short(float(f'{float(one.away / unit.factor):.2g}'))} {unit.symbol}")

    def _allowed(self, one: Agreement) -> str:
        allowed = one.allowed_in_unit
        return kept(f"{short(float(allowed['value']))} {allowed['unit']}")

    # ── corridors ───────────────────────────────────────────────────────────────────────────────────────────

    def _marks(self) -> dict[str, str]:
        """Where each drawn corridor comes from, by requirement."""
        demands = self._page.index.demands
        drawn = {one.corridor: demands.get(one.corridor) for one in self._drawn}
        return {name: self._mark(demand) for name, demand in drawn.items() if demand is not None}

    def _undrawn(self) -> Iterator[str]:
        """Which corridors are asked of this run and not drawn."""
        drawn = {one.corridor for one in self._drawn}
        for demand in self._page.index.demands.values():
            if demand.requirement in drawn or not self._faces(demand):
                continue
            named = {"title": self._titled(demand), "source": source_of(demand, self._tell)}
            if not has_corridor(demand):
                yield self._tell("pulse-corridor-unheld", **named)
            elif any(one.asked == demand.requirement for one in self._results):
                yield self._tell("pulse-corridor-not-drawn", **named)

    def _faces(self, demand: Demand) -> bool:
        """Whether a demand is a corridor that is asked of this run's place and direction."""
        if not isinstance(demand.criterion, Inside) or demand.criterion.direction != self._test.direction:
            return False
        return any(
            finding.requirement == demand.requirement
            and finding.outcome != Outcome.NOT_APPLICABLE
            and related(self._test.subject, finding.subject, self._page.source.record)
            for finding in self._page.index.findings
        )

    def _titled(self, demand: Demand) -> str:
        return self._tell.title(demand.criterion.title or demand.title)

    def _mark(self, demand: Demand) -> str:
        confirmed = demand.confirmation
        read = {} if confirmed is None else {"edition": confirmed.edition, "page": str(confirmed.page)}
        code = "invented" if demand.invented else demand.criterion.mark.value
        if code == "confirmed" and confirmed is None:
            code = "published"  # a maker's manual confirms its own numbers by their page
        return self._tell(f"pulse-mark-{code}", source=source_of(demand, self._tell), **read)
