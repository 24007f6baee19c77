"""The installation record: what was done where, by whom, when, with which instrument, and what was found."""

from collections.abc import Sequence

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    joined,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._disputed import line_of
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._typed import typed_from
from evidence.dossier._vehicle import bound, holding, parties
from evidence.dossier._words import Teller, capital, text
from evidence.judge._uncertainty import of_characteristic
from evidence.model.names import Function, InstrumentKind
from evidence.model.record import (
    Characteristic,
    Instrument,
    Person,
    Position,
    Statement,
    Step,
    StretcherRef,
)


def build(source: DossierInput, say: Say) -> Data:
    """Builders, positions, steps, values, statements, instruments and people, as tables."""
    tell, index = Teller(source, say), Index.of(source)
    blocks: list[Block] = [paragraph(text(tell("installation-lead")), "muted")]
    vin = bound(source, index, tell)
    if vin:
        blocks.append(paragraph([strong(tell("front-vin-bound") + " "), *vin]))
    blocks += parties(source, index, tell)
    for name, heads, rows in (
        (
            "positions",
            _POSITION_HEADS,
            [_position(entry, source, index, tell) for entry in source.record.positions],
        ),
        ("steps", _STEP_HEADS, [_step(entry, source, index, tell) for entry in source.record.steps]),
        (
            "values",
            _VALUE_HEADS,
            [_value(entry, source, index, tell) for entry in source.record.characteristics],
        ),
        ("statements", _STATEMENT_HEADS, [_said(entry, index, tell) for entry in source.record.statements]),
        (
            "instruments",
            _INSTRUMENT_HEADS,
            [_tool(entry, index, tell) for entry in source.record.instruments],
        ),
        ("people", _PEOPLE_HEADS, [_person(entry, index, tell) for entry in source.record.people]),
    ):
        if rows:
            blocks += [heading(tell(f"installation-{name}")), table(_columns(heads, tell), rows)]
    return section("installation", tell("title-installation"), blocks)


_POSITION_HEADS = (
    ("position", 22),
    ("system", 0),
    ("loading", 24),
    ("delivered", 0),
    ("tested", 0),
    ("used-by", 24),
)
_STEP_HEADS = (("step", 0), ("position", 24), ("when", 30), ("who", 38), ("with", 20), ("used-by", 20))
_VALUE_HEADS = (
    ("value-of", 0),
    ("subject", 24),
    ("value", 32),
    ("with", 16),
    ("when-who", 38),
    ("used-by", 20),
)
_STATEMENT_HEADS = (("statement", 0), ("subject", 30), ("when-who", 48), ("evidence", 24))
_INSTRUMENT_HEADS = (
    ("instrument", 0),
    ("calibrated", 42),
    ("range", 36),
    ("certificate", 24),
    ("used-by", 22),
)
_PEOPLE_HEADS = (("person", 0), ("functions", 44), ("qualifications", 66))


def _columns(heads: Sequence[tuple[str, int]], tell: Teller) -> list[Data]:
    return [column(tell(f"head-{name}"), mm=width) for name, width in heads]


def _anchored(cells: Sequence[Inline], identifier: str) -> Data:
    return row(cells, [f"record-{identifier}"])


def _named(name: str, identifier: str) -> Inline:
    return [strong(capital(name)), muted(f" {identifier}")]


def _when_who(at: object, by: str, tell: Teller) -> Inline:
    return [plain(tell.stated(at)), new_line(), muted(tell.person(by))]


def _position(entry: Position, source: DossierInput, index: Index, tell: Teller) -> Data:
    system = [
        plain(entry.system.model),
        new_line(),
        muted(tell("serial", serial=tell.stated(entry.system.serial))),
    ]
    if entry.system.variant is not None:
        system += [new_line(), muted(tell("place-variant", variant=tell.stated(entry.system.variant)))]
    if entry.system.lot is not None:
        system += [new_line(), muted(tell("lot", lot=tell.stated(entry.system.lot)))]
    system += typed_from(entry.id, entry.system.card_row, source, index, tell)
    system += line_of(entry.id, index, tell)
    loading = [plain(tell.word(entry.loading, "loading"))]
    if entry.orientation:
        loading += [new_line(), muted(tell.word(entry.orientation, "orientation"))]
    if entry.carried_mass is not None:
        loading += [new_line(), muted(tell("place-carries", mass=tell.stated(entry.carried_mass)))]
    if entry.free_travel is not None:
        loading += [new_line(), muted(tell("place-travel", length=tell.stated(entry.free_travel)))]
    stretchers = entry.stretchers
    cells = [
        [strong(entry.id)],
        system,
        loading,
        _stretchers(stretchers.delivered_with, tell) or text(tell("delivered-without")),
        _stretchers(stretchers.tested_with, tell) or text(tell("none")),
        index.supports(entry.id),
    ]
    return _anchored(cells, entry.id)


def _stretchers(entries: Sequence[StretcherRef], tell: Teller) -> Inline:
    lines: list[Inline] = []
    for entry in entries:
        line = [plain(entry.model)]
        if words := holding(entry, tell):
            line += [new_line(), muted(words)]
        if entry.serial is not None:
            line += [new_line(), muted(tell("serial", serial=tell.stated(entry.serial)))]
        lines.append(line)
    return joined(lines, "\n")


def _step(entry: Step, source: DossierInput, index: Index, tell: Teller) -> Data:
    titles = {step.id: step.title for step in source.profile.steps}
    name = tell.title(titles[entry.step]) if entry.step in titles else tell.slug(entry.step)
    what = _named(name, entry.id)
    if entry.redo_of is not None:
        what += [new_line(), muted(tell("redo-of") + " "), *index.links((entry.redo_of,), page=False)]
    what += [
        *typed_from(entry.id, entry.card_row, source, index, tell),
        *line_of(entry.id, index, tell),
    ]
    used = [*entry.with_, *([entry.screws] if entry.screws else [])]
    cells = [
        what,
        text(tell.subject(entry.subject)),
        text(tell.stated(entry.at)),
        text(tell.person(entry.by)),
        index.links(used, page=False),
        index.supports(entry.id),
    ]
    return _anchored(cells, entry.id)


def _value(entry: Characteristic, source: DossierInput, index: Index, tell: Teller) -> Data:
    cells = [
        [
            *_named(tell.word(entry.name), entry.id),
            *typed_from(entry.id, entry.card_row, source, index, tell),
            *line_of(entry.id, index, tell),
        ],
        text(tell.subject(entry.subject)),
        _known(entry, source, tell),
        index.links((entry.instrument,), page=False),
        _when_who(entry.at, entry.by, tell),
        index.supports(entry.id),
    ]
    return _anchored(cells, entry.id)


def _known(entry: Characteristic, source: DossierInput, tell: Teller) -> Inline:
    """A value with the uncertainty that judging it used; what cannot have one has none beside it."""
    if entry.quantity is None:
        return [strong(tell.stated(entry.value))]
    value, spread = [strong(tell.stated(entry.quantity))], of_characteristic(entry, source.record).expanded
    return [*value, plain(f" ± {spread}") if spread is not None else muted(" " + tell("value-bare"))]


def _said(entry: Statement, index: Index, tell: Teller) -> Data:
    cells = [
        _named(tell.slug(entry.statement), entry.id),
        text(tell.subject(entry.subject)),
        _when_who(entry.at, entry.by, tell),
        index.links((entry.exhibit,)) if entry.exhibit else text(tell("none")),
    ]
    return _anchored(cells, entry.id)


def _tool(entry: Instrument, index: Index, tell: Teller) -> Data:
    what = [*_named(tell.word(entry.kind), entry.id), new_line()]
    what.append(muted(tell("serial", serial=tell.stated(entry.serial))))
    what += line_of(entry.id, index, tell)
    calibrated = _calibrated(entry, tell)
    if entry.interval_months is not None:
        calibrated += [new_line(), muted(tell.count("every-months", entry.interval_months))]
    span = " \u2013 ".join(
        str(entry.quantity(bound)) for bound in (entry.range_low, entry.range_high) if bound is not None
    )
    spread = entry.quantity(entry.uncertainty)
    range_ = [plain(span or tell("none"))]
    if spread is not None:
        range_ += [new_line(), muted(f"± {spread}")]
    certificate = index.links((entry.certificate,)) if entry.certificate else text(tell("none"))
    return _anchored([what, calibrated, range_, certificate, index.supports(entry.id)], entry.id)


def _calibrated(entry: Instrument, tell: Teller) -> Inline:
    """When it was calibrated; of a gauge card, which has none, what its last zero check read."""
    if entry.kind != InstrumentKind.GAUGE_CARD or entry.calibrated is not None:
        return text(tell.stated(entry.calibrated))
    if not entry.zero:
        return text(tell("zero-none"))
    last = max(entry.zero, key=lambda check: check.at)
    return text(tell("zero-check", day=str(last.at), known=str(last.known), reading=str(last.reading)))


def _person(entry: Person, index: Index, tell: Teller) -> Data:
    name = tell.name(entry.id)
    who = [strong(entry.id), plain(f" {name}")] if name else [strong(entry.id)]
    functions = ", ".join(tell.word(Function(function)) for function in entry.functions)
    lines: list[Inline] = []
    for held in entry.qualifications:
        until = tell("until", day=str(held.until)) if held.until else tell("without-end")
        line = [plain(capital(tell.slug(held.what))), muted(f", {tell.time(str(held.from_))} {until}")]
        line += [muted(", "), *index.links((held.exhibit,))] if held.exhibit else []
        lines.append(line)
    return _anchored([who, text(functions), joined(lines, "\n") or text(tell("none"))], entry.id)
