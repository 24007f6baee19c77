"""The hook position of each place: the recorded value, what the photo gives, and whether the two agree."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from evidence import measuring
from evidence.dossier._blocks import (
    Block,
    Inline,
    bullets,
    column,
    facts,
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
from evidence.dossier._disputed import line_of, of_entries
from evidence.dossier._index import Index, finding_anchor, finding_label, measured_anchor
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._measured import (
    MM_DECIMALS,
    Judged,
    Lengths,
    Place,
    conformance,
    millimetres,
    percentage,
    places,
    printed,
    shortened,
    steepest,
)
from evidence.dossier._of_vehicle import of_vehicle
from evidence.dossier._titles import requirement_title
from evidence.dossier._words import Teller, capital, text
from evidence.drawing.limits import ComparedBar, Reading, compared_bar_svg
from evidence.drawing.measured import Labels, overlay
from evidence.model.criterion import Within
from evidence.model.measurement import Marks, Measurement, Notice, View
from evidence.model.names import Outcome
from evidence.quantity import Quantity, decimal_text, read_decimal

DECIDED = frozenset({Outcome.MET, Outcome.NOT_MET, Outcome.UNDECIDED})
"""Outcomes that rest on the recorded value itself."""


def build(source: DossierInput, say: Say) -> Data:
    """For each place the drawing, both values on one bar, what was decided how, and what the photo rests on."""
    tell, index = Teller(source, say), Index.of(source)
    found = places(source, index)
    blocks: list[Block] = [paragraph(text(tell("measured-lead")), "muted")] if found else []
    if found and (datum := _datum(source, tell)):
        blocks.append(paragraph(text(datum), "muted"))
    for place in found:
        blocks.append(heading(tell("measured-of", subject=tell.subject(place.subject))))
        blocks += _Page(source, index, tell, place).blocks()
    return section("hook_position", tell("title-hook_position"), blocks)


def _datum(source: DossierInput, tell: Teller) -> str:
    hook = source.profile.hook
    if hook is None:
        return ""
    return tell(
        "measured-datum",
        from_=tell.word(hook.from_, "hook-from"),
        to=tell.word(hook.to, "hook-to"),
        page=str(hook.page),
        height=_kept(hook.contact_height),
        spread=_kept(hook.contact_height_uncertainty),
        offset=_kept(hook.offset_to_functional_face),
    )


def _kept(value: Quantity) -> str:
    """A length whose unit stays on its line."""
    return str(value).replace(" ", "\u00a0")


class _Page:
    """The blocks of one place."""

    def __init__(self, source: DossierInput, index: Index, tell: Teller, place: Place) -> None:
        self._source = source
        self._index = index
        self._tell = tell
        self._place = place
        self._lengths = place.lengths

    def blocks(self) -> Iterator[Block]:
        """Everything, what matters first."""
        measurement = self._place.measurement
        yield self._head()
        for judged in self._place.judged:
            yield from self._judged(judged)
        if measurement is None:
            yield paragraph(text(self._tell(self._why_not())), "note")
            return
        if measurement.reason is not None:
            yield paragraph(text(self._tell("measured-silent")), "note")
            yield bullets([self._notice(measurement.reason)])
        yield from self._basis(measurement)
        if measurement.warnings:
            yield heading(self._tell("measured-notices"), 3)
            yield bullets([self._notice(notice) for notice in measurement.warnings])

    def _why_not(self) -> str:
        if not self._place.photos:
            return "measured-not-photo"
        if self._source.profile.hook is None:
            return "measured-not-datum"
        return "measured-not-value" if not self._place.values else "measured-not-read"

    def _head(self) -> Block:
        """The drawing over its photo, and beside it both values."""
        measurement = self._place.measurement
        view = None if measurement is None else steepest(measurement)
        marks = None if view is None else self._source.marks.get(view.exhibit)
        drawn: Data = {"picture": None}
        if measurement is not None and marks is not None:
            drawn = self._drawn(measurement, marks)
        rows = [{"label": label, "value": value} for label, value in self._rows(measurement)]
        return {
            "kind": "measured",
            "anchors": [measured_anchor(self._place.subject)],
            "rows": rows,
            **drawn,
        }

    def _drawn(self, measurement: Measurement, marks: Marks) -> Data:
        numbers = self._limits()
        made = overlay(marks, Labels(Lengths(inches=False).measured(measurement), "0", numbers))
        alt = self._tell(
            "measured-alt",
            id=marks.exhibit,
            value=self._lengths.measured(measurement),
            low=numbers.get("low") or self._tell("no-limit"),
            high=numbers.get("high") or self._tell("no-limit"),
        )
        return {
            "picture": marks.exhibit,
            "svg": made.svg,
            "alt": alt,
            "photo_alt": self._tell("measured-photo-alt", id=marks.exhibit),
            "box": list(made.box),
            "width": made.width,
            "height": made.height,
            "caption": text(self._caption(measurement, marks)),
        }

    def _caption(self, measurement: Measurement, marks: Marks) -> str:
        parts = [self._tell("measured-caption", id=marks.exhibit)]
        if marks.limits:
            parts.append(self._tell("measured-caption-limits"))
        if len(measurement.views) > 1:
            parts.append(self._tell("measured-caption-views", n=str(len(measurement.views))))
        return " ".join(parts)

    def _limits(self) -> dict[str, str]:
        """The limits that are drawn, in mm, as they were typed where they were typed so."""
        criteria = [each.criterion for each in self._place.judged if each.criterion is not None]
        typed = [bound for each in criteria for end in (each.low, each.high) if (bound := each.bound(end))]
        texts = {bound.base * 1000: millimetres(bound) for bound in typed}
        limits = measuring.limits_of(self._source.profile)
        return {
            end: f"{texts.get(limit) or decimal_text(round(limit, MM_DECIMALS))} mm"
            for end, limit in (("low", limits.low), ("high", limits.high))
            if limit is not None
        }

    def _rows(self, measurement: Measurement | None) -> Iterator[tuple[str, Inline]]:
        tell = self._tell
        for value, known in self._place.values:
            shown = self._lengths.interval(known.value, known.expanded)
            words = [strong(shown)]
            if known.expanded is None:
                words = [plain(tell("measured-value-bare", value=shown))]
            words += [new_line(), muted(f"{tell.stated(value.at)}, {tell.person(value.by)}"), new_line()]
            words += [*self._index.links((value.id, value.instrument))]
            words += line_of(value.id, self._index, tell)
            yield tell("measured-caliper", id=value.id), words
        if not self._place.values:
            yield tell("measured-recorded"), text(tell("measured-no-value"))
        yield self._photo_label(measurement), self._photo_value(measurement)
        photos = self._place.photos if measurement is None else measurement.exhibits
        if photos:
            disputed = of_entries(photos, self._index, tell)
            links = self._index.links(photos)
            yield tell("measured-photos-filed"), [*links, *([new_line(), *disputed] if disputed else [])]
            told = dict.fromkeys(
                words[0]["t"] for one in photos for _, words in of_vehicle(one, self._source, tell)
            )
            if told:
                yield tell("photo-vehicle"), joined([text(words) for words in told], "; ")
        for judged in self._place.judged:
            yield from self._decision(judged)
        if not self._place.judged:
            yield tell("measured-requirement"), text(tell("measured-uncompared"))
        if measurement is not None:
            yield tell("measured-method"), text(measurement.method)

    def _photo_label(self, measurement: Measurement | None) -> str:
        count = 0 if measurement is None else len(measurement.views)
        return self._tell("measured-photos", n=str(count)) if count > 1 else self._tell("measured-photo")

    def _photo_value(self, measurement: Measurement | None) -> Inline:
        if measurement is None or measurement.value is None:
            return text(self._tell("measured-none"))
        coverage = muted(" " + self._tell("measured-coverage"))
        return [strong(self._lengths.measured(measurement)), coverage]

    def _judged(self, judged: Judged) -> Iterator[Block]:
        """What the photo says of the recorded value, and both on one bar."""
        reason = judged.finding.corroboration
        said: Inline = []
        if reason is not None and reason.code != "photo-unmeasurable":
            said = [strong(self._tell.reason(shortened(reason)))]
        drawn = None if judged.criterion is None else self._bar(judged.criterion, said)
        if drawn is not None:
            yield drawn
        elif said:
            yield paragraph(said)

    def _decision(self, judged: Judged) -> Iterator[tuple[str, Inline]]:
        """What was asked, by which rule it was decided, and how surely."""
        tell, finding, criterion = self._tell, judged.finding, judged.criterion
        anchor, label = finding_anchor(judged.number), finding_label(judged.number)
        requirement = [
            link(anchor, f"{label} {requirement_title(finding, self._index, tell)}", page=True),
            plain(" "),
            *tell.outcome(finding.outcome),
        ]
        yield tell("measured-requirement"), requirement
        if criterion is None:
            return
        where = {"source": criterion.source, "mark": tell.word(finding.mark)}
        source = tell("measured-source-bare", **where)
        if criterion.page is not None:
            source = tell("measured-source", page=str(criterion.page), **where)
        yield tell("measured-limits"), [plain(self._range(criterion)), muted(f" ({source})")]
        yield tell("measured-rule"), text(tell(f"measured-rule-{criterion.decision}"))
        yield tell("measured-probability"), self._probability(judged, criterion)

    def _range(self, criterion: Within) -> str:
        low, high = (criterion.bound(end) for end in (criterion.low, criterion.high))
        if low is not None and high is not None:
            low_text, high_text = self._lengths.quantity(low), self._lengths.quantity(high)
            return self._tell("measured-limits-both", low=low_text, high=high_text)
        if low is not None:
            return self._tell("measured-limit-low", low=self._lengths.quantity(low))
        if high is not None:
            return self._tell("measured-limit-high", high=self._lengths.quantity(high))
        return self._tell("none")

    def _probability(self, judged: Judged, criterion: Within) -> Inline:
        told = [
            self._tell("measured-conforms", share=percentage(share), id=value.id)
            for value, known in self._place.values
            if judged.finding.outcome in DECIDED
            if (share := conformance(known, criterion)) is not None
        ]
        return joined([text(each) for each in told], "; ") or text(self._tell("measured-conforms-not"))

    def _bar(self, criterion: Within, said: Inline) -> Block | None:
        low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
        measurement = self._place.measurement
        photo = None if measurement is None else _photo_reading(measurement)
        if (low is None and high is None) or not (self._place.values or photo):
            return None
        guarded = criterion.decision == "guarded"
        spreads = [known.expanded.base for _, known in self._place.values if known.expanded is not None]
        guard = max(spreads, default=Fraction(0)) * 1000 if guarded else Fraction(0)
        recorded = tuple(_reading(known.value, known.expanded) for _, known in self._place.values)
        drawing = ComparedBar(recorded, photo, _limit(low), _limit(high), guard)
        plainly = Lengths(inches=False)
        lanes = [
            (
                self._tell("measured-caliper", id=value.id),
                text(plainly.interval(known.value, known.expanded).partition(" (")[0]),
            )
            for value, known in self._place.values
        ]
        if measurement is not None and photo is not None:
            lanes.append((self._photo_label(measurement), text(plainly.measured(measurement))))
        note = self._tell("measured-bar-note")
        return {
            "kind": "compared",
            "said": said,
            "svg": compared_bar_svg(drawing),
            "alt": self._bar_alt(criterion, guard),
            "lanes": [{"label": label, "value": value} for label, value in lanes],
            "note": text(note),
        }

    def _bar_alt(self, criterion: Within, guard: Fraction) -> str:
        low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
        measurement, tell = self._place.measurement, self._tell
        recorded = [self._lengths.interval(known.value, known.expanded) for _, known in self._place.values]
        photo = "" if measurement is None else self._lengths.measured(measurement)
        return tell(
            "measured-bar-alt",
            recorded=", ".join(recorded) or tell("measured-none"),
            photo=photo or tell("measured-none"),
            low=tell("no-limit") if low is None else self._lengths.quantity(low),
            high=tell("no-limit") if high is None else self._lengths.quantity(high),
            guard=f"{decimal_text(guard)} mm",
        )

    def _basis(self, measurement: Measurement) -> Iterator[Block]:
        """What the photo's value rests on."""
        tell = self._tell
        if not measurement.views:
            return
        if not measurement.decides:
            yield paragraph(text(tell("measured-undecided")), "note")
        yield heading(tell("measured-views"), 3)
        heads = (("photo", 22), ("slant", 0), ("tags", 36), ("sharpness", 36), ("slider", 34))
        rows = [row(self._view(view)) for view in measurement.views]
        yield table([column(tell(f"head-{name}"), mm=width) for name, width in heads], rows)
        yield heading(tell("measured-terms"), 3)
        yield self._terms(measurement)
        if measurement.plane_margin is not None and read_decimal(measurement.plane_margin):
            margin = tell("measured-margin-of", margin=f"{measurement.plane_margin} mm")
            yield facts([(tell("measured-margin"), text(margin))])

    def _view(self, view: View) -> Sequence[Inline]:
        tell, turn = self._tell, view.turn.lstrip("-")
        slant = tell("measured-slant", degrees=view.obliqueness.lstrip("-"), height=view.camera_height)
        slider = tell("measured-points", turn=turn)
        if view.scale_disagreement is not None:
            slider = tell("measured-slider", turn=turn, scale=view.scale_disagreement.lstrip("-"))
        return (
            self._index.links((view.exhibit,)),
            [plain(slant), new_line(), muted(tell(f"measured-lens-{view.focal}"))],
            text(tell("measured-tags", tags=str(view.tags), residual=view.residual)),
            text(tell("measured-sharpness", sharpness=view.sharpness, blur=view.blur)),
            text(slider),
        )

    def _terms(self, measurement: Measurement) -> Block:
        tell = self._tell
        heads = (("term", 0), ("standard", 34), ("share", 18), ("found-from", 52))
        whole = sum(read_decimal(term.standard) ** 2 for term in measurement.terms)
        finest = Decimal(printed("0", measurement.expanded_uncertainty or "1")[1]).as_tuple().exponent
        digits = max(0, -int(finest)) + 1
        rows = [
            row(
                (
                    text(tell.word(term.name, "measured-term")),
                    text(_standard(term.standard, digits)),
                    text(_share(read_decimal(term.standard) ** 2, whole)),
                    text(tell("measured-scatter" if term.kind == "A" else "measured-prior")),
                )
            )
            for term in measurement.terms
        ]
        return table([column(tell(f"head-{name}"), mm=width) for name, width in heads], rows)

    def _notice(self, notice: Notice) -> Inline:
        lead = [*self._index.links((notice.exhibit,)), plain(": ")] if notice.exhibit else []
        sentence = capital(self._tell.notice(notice.code, notice.parameters))
        return [*lead, plain(sentence), plain(" "), muted(self._tell.advice(notice.code))]


def _reading(value: Quantity, spread: Quantity | None) -> Reading:
    return Reading(value.base * 1000, None if spread is None else spread.base * 1000)


def _photo_reading(measurement: Measurement) -> Reading | None:
    if measurement.value is None or measurement.expanded_uncertainty is None:
        return None
    return Reading(read_decimal(measurement.value), read_decimal(measurement.expanded_uncertainty))


def _limit(bound: Quantity | None) -> tuple[Fraction, str] | None:
    return None if bound is None else (bound.base * 1000, f"{millimetres(bound)} mm")


def _standard(number: str, digits: int) -> str:
    """A standard uncertainty; what would round to nothing is told as less than the last digit."""
    least = Decimal((0, (1,), -digits))
    exact = Decimal(number)
    return f"<{least} mm" if 0 < exact < least else f"{exact:.{digits}f} mm"


def _share(part: Fraction, whole: Fraction | int) -> str:
    if not part or not whole:
        return "0 %"
    percent = part / whole * 100
    return f"{round(percent)} %" if percent >= 1 else "<1 %"
