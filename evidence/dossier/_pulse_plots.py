"""The drawings of a sled run: which curves stand in which, what they are held against, and what they say in words."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from evidence.dossier._blocks import Block, plain, strong
from evidence.dossier._lab_page import LabPage, kept, minus, short
from evidence.dossier._pulse_words import margin, processed, quantity, source_of
from evidence.dossier._words import text
from evidence.drawing.plot import Level, Mark, Plot, Trace, Words, plot_svg
from evidence.measure.figures import CORRIDOR
from evidence.model.criterion import CorridorPoint, Inside, Within
from evidence.model.names import ChannelUse, LabQuantity
from evidence.model.result import LabResult
from evidence.pulsing import DrawnCurve
from evidence.quantity import UNITS, Dimension
from evidence.register.demand import Demand

PULSE_PANEL, OTHER_PANEL = 150, 108  # heights, so that two drawings stand on one page
MAX_OTHERS = 3  # curves beside the pulse
MAX_LEVELS = 4  # limits drawn of one curve
_NAME = 48  # characters of a channel's name in a key
_MS = 1000  # in a second
_ON_THE_CURVE = frozenset({LabQuantity.PEAK_ACCELERATION, LabQuantity.CLIP_3MS, LabQuantity.EXCURSION})
"""Figures whose limits are values of the channel itself."""
_AXES = {Dimension.ACCELERATION: "acceleration", Dimension.LENGTH: "length"}

Line = list[tuple[float, float]]


def plots(
    page: LabPage, drawn: Sequence[DrawnCurve], axes: str, sources: Mapping[str, str]
) -> Iterator[Block]:
    """The pulse in its corridor, then at most ``MAX_OTHERS`` other curves; a drawing shows one corridor.

    Args:
        page: the run.
        drawn: its curves.
        axes: sign convention in words.
        sources: requirement of a corridor to where its points come from; it stands at the drawing.
    """
    for title, curves, panel in _groups(drawn):
        marks = [_Marks(page, one) for one in curves]
        drawing = _drawing(page, title, marks, panel)
        source = sources.get(marks[0].drawn.corridor, "")
        whence = [plain(" "), strong(source)] if source else []
        caption = [*text(_caption(page, marks, axes)), *whence]
        yield {"kind": "plot", "svg": plot_svg(drawing), "alt": drawing.words.alt, "caption": caption}


def _groups(drawn: Sequence[DrawnCurve]) -> Iterator[tuple[str, Sequence[DrawnCurve], int]]:
    """Which curves stand together, with the name of their drawing and the height of its panels."""
    pulse = [one for one in drawn if one.channel.use == ChannelUse.PULSE]
    others = [one for one in drawn if one.channel.use != ChannelUse.PULSE][:MAX_OTHERS]
    cornered = [one for one in others if one.corridor]
    together = [*cornered[:1], *(one for one in others if not one.corridor)]
    groups = [("pulse", pulse, PULSE_PANEL), ("others", together, OTHER_PANEL)]
    groups += [("others", [one], OTHER_PANEL) for one in cornered[1:]]
    yield from (group for group in groups if group[1])


def _drawing(page: LabPage, title: str, marks: Sequence["_Marks"], panel: int) -> Plot:
    tell, first = page.tell, marks[0]
    alt = " ".join(sentence for each in marks for sentence in each.told())
    words = Words(
        tell("pulse-time-axis"), first.corridor_named, tell(f"pulse-plot-{title}", id=page.test.id), alt
    )
    return Plot(
        traces=tuple(each.trace for each in marks),
        words=words,
        quantities={each.drawn.unit: each.axis for each in reversed(marks)},
        upper=first.upper,
        lower=first.lower,
        levels=tuple(level for each in marks for level in each.levels),
        marks=tuple(mark for each in marks for mark in each.marks()),
        panel=panel,
    )


def _caption(page: LabPage, marks: Sequence["_Marks"], axes: str) -> str:
    tell, first = page.tell, marks[0]
    begin = min(each.drawn.outline.times_ms[0] for each in marks)
    end = max(each.drawn.outline.times_ms[-1] for each in marks)
    signs = "; ".join(dict.fromkeys(each.sign for each in marks))
    record = {"from": minus(first.drawn.begin_s), "to": minus(first.drawn.end_s)}
    said = [
        tell(
            "pulse-caption",
            test=page.test.id,
            id=page.test.exhibit,
            begin=minus(short(begin)),
            end=minus(short(end)),
            signs=_begun(signs),
            **record,
        ),
        tell("pulse-caption-axes", axes=axes),
    ]
    if first.upper or first.lower:
        said.append(tell("pulse-caption-corridor" if first.margin is not None else "pulse-caption-open"))
    if any(each.levels for each in marks):
        said.append(tell("pulse-caption-levels"))
    return " ".join([*said, tell("pulse-caption-ring")])


def _begun(words: str) -> str:
    return words[:1].upper() + words[1:]


@dataclass(frozen=True)
class _Top:
    """The sample that lies furthest from nought."""

    at_ms: float
    value: float


class _Marks:
    """One curve with what its numbers and demands mark in it."""

    def __init__(self, page: LabPage, drawn: DrawnCurve) -> None:
        self.drawn = drawn
        self._page = page
        self._tell = page.tell
        self._results = [one for one in page.results if one.use == drawn.channel.use]
        self._demand = page.index.demands.get(drawn.corridor)
        self.upper, self.lower = self._lines()
        self.top = _top(drawn)
        self.levels = tuple(self._limits())[:MAX_LEVELS]

    @property
    def _shown_name(self) -> str:
        name = self.drawn.channel.name
        return name if len(name) <= _NAME else name[: _NAME - 1] + "\u2026"

    @property
    def _how(self) -> str:
        return ", ".join(processed(self.drawn.processing, self._tell))

    @property
    def sign(self) -> str:
        """Whether its signs were turned."""
        turned = self.drawn.channel.sign == "reversed"
        return self._tell("pull-reversed" if turned else "pull-as-recorded")

    @property
    def axis(self) -> str:
        """Label of its axis."""
        unit = self.drawn.unit
        named = next((word for one, word in _AXES.items() if (unit, one) in UNITS), "other")
        return self._tell(f"pulse-{named}-axis", unit=unit)

    @property
    def corridor_named(self) -> str:
        """The corridor in the key."""
        if self._demand is None:
            return ""
        return self._tell("pulse-key-corridor", source=source_of(self._demand, self._tell))

    @property
    def margin(self) -> LabResult | None:
        """The worst margin to the corridor that is drawn."""
        found = (one for one in self._results if one.asked == self.drawn.corridor and one.state == "computed")
        return next(found, None)

    @property
    def trace(self) -> Trace:
        """The curve itself."""
        use = self._tell.word(self.drawn.channel.use)
        name = self._tell("pulse-key", use=use, name=self._shown_name, how=self._how)
        outline = self.drawn.outline
        return Trace(name, self.drawn.unit, outline.times_ms[0], 0.0, outline.values, outline.times_ms)

    def marks(self) -> Iterator[Mark]:
        """The greatest value, and the worst margin."""
        tell, unit, found = self._tell, self.drawn.unit, self.margin
        named = tell.inside(tell.word(self.drawn.channel.use))
        told = {
            "name": named,
            "unit": unit,
            "value": minus(short(self.top.value)),
            "at": minus(short(self.top.at_ms)),
        }
        yield Mark(self.top.at_ms, self.top.value, unit, "ring", tell("pulse-key-greatest", **told))
        if found is not None and found.begin_s is not None:
            at = float(Fraction(found.begin_s) * _MS)
            words = tell("pulse-key-margin", **self._told_margin(found))
            yield Mark(at, _value_at(self.drawn, at), unit, "diamond", words)

    def told(self) -> Iterator[str]:
        """All that the drawing shows of this curve, as sentences."""
        tell, unit = self._tell, self.drawn.unit
        yield tell(
            "pulse-alt-curve",
            use=tell.word(self.drawn.channel.use),
            name=self.drawn.channel.name,
            how=self._how,
            signs=self.sign,
            value=minus(short(self.top.value)),
            unit=unit,
            at=minus(short(self.top.at_ms)),
        )
        for one in self._results:
            if one.state == "computed" and one.quantity != CORRIDOR:
                value = self._page.value(one)
                yield tell(
                    "pulse-alt-number", quantity=quantity(one, tell), value=value, when=self._when(one)
                )
        if self._demand is not None and self.margin is None:
            yield tell("pulse-alt-corridor", source=source_of(self._demand, tell))
        if self._demand is not None and self.margin is not None:
            told = self._told_margin(self.margin)
            yield tell("pulse-alt-margin", source=source_of(self._demand, tell), **told)
        if self.levels:
            yield tell("pulse-alt-levels", limits=", ".join(level.words for level in self.levels))

    def _told_margin(self, found: LabResult) -> dict[str, str]:
        value, side = margin(found, self._tell)
        return {"value": value, "side": side, "at": _ms(found.begin_s)}

    def _when(self, result: LabResult) -> str:
        if result.begin_s is None or result.end_s is None:
            return ""
        begin, end = _ms(result.begin_s), _ms(result.end_s)
        return self._tell("pulse-alt-moment" if begin == end else "pulse-alt-when", begin=begin, end=end)

    def _lines(self) -> tuple[Line, Line]:
        """The bounds in milliseconds; the curve is in the corridor's unit."""
        criterion = None if self._demand is None else self._demand.criterion
        if not isinstance(criterion, Inside):
            return [], []
        return _points(criterion.upper), _points(criterion.lower)

    def _limits(self) -> Iterator[Level]:
        """Lines for limits that are values of the channel; a size stands on the side on which it peaks."""
        seen: set[tuple[float, str]] = set()
        for one in self._results:
            demand = self._page.index.demands.get(one.asked)
            if demand is None or one.quantity not in _ON_THE_CURVE:
                continue
            for level in self._levels_of(demand, quantity(one, self._tell)):
                if (level.value, level.words) not in seen:
                    seen.add((level.value, level.words))
                    yield level

    def _levels_of(self, demand: Demand, named: str) -> Iterator[Level]:
        criterion, unit = demand.criterion, self.drawn.unit
        if not isinstance(criterion, Within) or (unit, criterion.dimension) not in UNITS:
            return
        found = {
            code: criterion.bound(end) for code, end in (("low", criterion.low), ("high", criterion.high))
        }
        sized = all(bound is None or bound.base >= 0 for bound in found.values())
        side = -1 if sized and self.top.value < 0 else 1
        for code, bound in found.items():
            if bound is not None:
                value = side * float(bound.base / UNITS[unit, criterion.dimension].factor)
                limit = self._tell(f"measured-limit-{code}", **{code: kept(str(bound))})
                yield Level(
                    value, self._tell("pulse-level", limit=limit, quantity=self._tell.inside(named)), unit
                )


def _points(points: Sequence[CorridorPoint]) -> Line:
    return [(float(Fraction(point.x) * _MS), float(Fraction(point.y))) for point in points]


def _top(drawn: DrawnCurve) -> _Top:
    values = drawn.outline.values
    at = max(range(len(values)), key=lambda place: abs(values[place]))
    return _Top(drawn.outline.times_ms[at], values[at])


def _value_at(drawn: DrawnCurve, at_ms: float) -> float:
    """The value of the drawn curve that stands nearest to a moment."""
    times = drawn.outline.times_ms
    place = min(range(len(times)), key=lambda each: abs(times[each] - at_ms))
    return drawn.outline.values[place]


def _ms(seconds: str | None) -> str:
    return minus(short(float(Fraction(seconds or "0") * _MS)))
