"""The anchorage worksheet as lines for people, as JSON, and as what its drawing shows."""

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from evidence.drawing.bolts import Edge, Panel, Pattern, Spot, Words
from evidence.jsondoc import Json
from evidence.measure import preload
from evidence.measure.anchorage import (
    COUNTERSUNK,
    NOT_COVERED,
    BoltLoad,
    Case,
    Worksheet,
    mm,
    n_m,
    reserve_text,
    root,
)
from evidence.measure.preload import HIGH_SHARE, Band, band, share_text
from evidence.model.anchorage import Bolt, Direction, Plate, Tightening
from evidence.phrases import hint, say
from evidence.quantity import decimal_text

WIDTH = 100  # columns of the text
_COLUMNS = ("bolt", "kind", "pull", "shear", "together", "proof", "reserve", "breaking")
_EDGES: dict[Direction, Edge] = {"forward": "front", "rearward": "rear", "left": "left", "right": "right"}


# ── preload ─────────────────────────────────────────────────────────────────────────────────────────────────


def _band(each: Tightening) -> Band:
    factors = (each.nut_factor_low.base, each.nut_factor_high.base)
    return band(each.torque.base, preload.diameter_mm(each.thread), factors)


def _weakest(found: Worksheet, thread: str) -> BoltLoad:
    """The bolt of a thread whose proof load is least."""
    return min(
        (load for load in found.cases[0].bolts if load.bolt.thread == thread),
        key=lambda load: load.screw.proof_n,
    )


def _pull(found: Worksheet, thread: str) -> int:
    return round(max(found.greatest_pull(bolt.id) for bolt in found.sheet.bolts if bolt.thread == thread))


def _tightening_notes(found: Worksheet) -> Iterator[tuple[str, str]]:
    """Code and thread of what a reader should know of the preload."""
    for each in found.sheet.tightening:
        clamped = _band(each)
        if clamped.shares(_weakest(found, each.thread).screw.proof_n)[1] > HIGH_SHARE:
            yield "anchorage-preload-high", each.thread
        if any(
            clamped.opens(found.greatest_pull(bolt.id))
            for bolt in found.sheet.bolts
            if bolt.thread == each.thread
        ):
            yield "anchorage-joint-opens", each.thread


# ── for machines ────────────────────────────────────────────────────────────────────────────────────────────


def document(found: Worksheet) -> dict[str, Json]:
    """The worksheet for JSON, with the preload of each thread whose torque is given."""
    tightening: list[Json] = [
        {
            "thread": each.thread,
            "torque": {**each.torque.json()},
            "nut_factor_low": each.nut_factor_low.number,
            "nut_factor_high": each.nut_factor_high.number,
            "nut_factor_source": each.nut_factor_source,
            "greatest_pull_n": str(_pull(found, each.thread)),
            **_band(each).document(_weakest(found, each.thread).screw.proof_n),
        }
        for each in found.sheet.tightening
    ]
    warnings = [*found.warnings, *dict.fromkeys(code for code, _ in _tightening_notes(found))]
    return {**found.document(), "tightening": tightening, "warnings": sorted(warnings)}


# ── for people ──────────────────────────────────────────────────────────────────────────────────────────────


def lines(found: Worksheet) -> list[str]:
    """The worksheet to read: assumptions, masses, loads, the least reserve, and what it says nothing about."""
    told = [say("anchorage-head", {"title": found.sheet.title}), say("anchorage-plain")]
    factor = {"factor": decimal_text(COUNTERSUNK)}
    told += _section("anchorage-assumptions", [say(code, factor) for code in found.assumptions])
    told += _section("anchorage-masses", _masses(found))
    for case in found.cases:
        told += ["", _title(case), *_table([_headings(), *(_cells(load) for load in case.bolts)])]
    told += ["", *wrap(_worst(found), WIDTH)]
    for code in found.warnings:
        told += _note(code, {})
    if found.sheet.tightening:
        told += _section("anchorage-tightening", [_tightened(found, each) for each in found.sheet.tightening])
        for code, thread in _tightening_notes(found):
            told += _note(code, {"thread": thread})
    told += _section("anchorage-not", [say(code) for code in NOT_COVERED])
    return [*told, "", *wrap(say("anchorage-decides"), WIDTH)]


def _section(heading: str, entries: Iterable[str]) -> list[str]:
    told = ["", say(heading)]
    for entry in entries:
        told += wrap(entry, WIDTH, initial_indent="  - ", subsequent_indent="    ")
    return told


def _note(code: str, parameters: dict[str, str]) -> list[str]:
    return [
        *wrap(say(code, parameters), WIDTH),
        *wrap(hint(code), WIDTH, initial_indent="    ", subsequent_indent="    "),
    ]


def _masses(found: Worksheet) -> Iterator[str]:
    for each in found.sheet.masses:
        places = {"x": str(each.x), "y": str(each.y), "height": str(each.height)}
        yield say("anchorage-mass", {"part": each.part, "mass": str(each.mass), **places})
    gravity = found.gravity
    whole = {"mass": decimal_text(round(gravity.mass_kg, 3)), "height": mm(gravity.height)}
    yield say("anchorage-gravity", {**whole, "x": mm(gravity.x), "y": mm(gravity.y)})
    yield say("anchorage-centroid", {"x": mm(found.centroid[0]), "y": mm(found.centroid[1])})
    yield say("anchorage-axes")


def _title(case: Case) -> str:
    return say(
        "anchorage-case",
        {
            "direction": _direction(case),
            "level": str(case.level),
            "force": str(round(case.force_n)),
            "overturning": n_m(case.overturning_n_mm),
            "twist": n_m(case.twist_n_mm),
        },
    )


def _direction(case: Case) -> str:
    return say(f"anchorage-direction-{case.direction}")


def _headings() -> tuple[str, ...]:
    return tuple(say(f"anchorage-column-{column}") for column in _COLUMNS)


def _cells(load: BoltLoad) -> tuple[str, ...]:
    screw = load.screw
    return (
        load.bolt.id,
        _kind(load.bolt),
        str(round(load.tension_n)),
        str(root(load.shear_squared)),
        str(root(load.together_squared)),
        str(round(screw.proof_n)),
        _reserve(load),
        reserve_text(load.reserve(screw.tensile_n)) or "",
    )


def _kind(bolt: Bolt) -> str:
    name = f"{bolt.thread} {bolt.property_class}"
    return say("anchorage-countersunk", {"name": name}) if bolt.countersunk else name


def _reserve(load: BoltLoad) -> str:
    return reserve_text(load.reserve(load.screw.proof_n)) or say("anchorage-no-load")


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Names to the left, figures to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = [
            cell.ljust(width) if index < 2 else cell.rjust(width)  # noqa: PLR2004 - two columns of names
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield f"  {'  '.join(cells)}".rstrip()


def _worst(found: Worksheet) -> str:
    case = found.worst
    load = case.worst
    breaking = reserve_text(load.reserve(load.screw.tensile_n))
    if breaking is None:
        return say("anchorage-worst-none")
    told = {
        "reserve": _reserve(load),
        "breaking": breaking,
        "name": load.bolt.id,
        "direction": case.direction,
    }
    return say("anchorage-worst", told)


def _tightened(found: Worksheet, each: Tightening) -> str:
    clamped = _band(each)
    shares = clamped.shares(_weakest(found, each.thread).screw.proof_n)
    return say(
        "anchorage-tightened",
        {
            "name": each.thread,
            "torque": str(each.torque),
            "low": each.nut_factor_low.number,
            "high": each.nut_factor_high.number,
            "source": each.nut_factor_source,
            "least": str(round(clamped.low_n)),
            "most": str(round(clamped.high_n)),
            "least_share": share_text(shares[0]),
            "most_share": share_text(shares[1]),
            "pull": str(_pull(found, each.thread)),
        },
    )


# ── the drawing ─────────────────────────────────────────────────────────────────────────────────────────────


def pattern(found: Worksheet) -> Pattern:
    """What the drawing shows: one panel per direction."""
    sheet, gravity = found.sheet, found.gravity
    title = say("anchorage-plot-title", {"title": sheet.title})
    bolt, pull, shear, reserve = (
        say(f"anchorage-column-{each}") for each in ("bolt", "pull", "shear", "reserve")
    )
    notes = (*wrap(f"{say('anchorage-plot-view')}; {say('anchorage-plot-key')}", 120), say("anchorage-plain"))
    alt = " ".join([say("anchorage-plain"), *map(_alt, found.cases)])
    return Pattern(
        tuple(_panel(found, case) for case in found.cases),
        Words((bolt, pull, shear, reserve), notes, title, alt),
        (float(gravity.x), float(gravity.y)),
        (float(found.centroid[0]), float(found.centroid[1])),
        _corners(sheet.plate),
    )


def _corners(plate: Plate | None) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Rear left and front right, in mm."""
    if plate is None:
        return None
    rear, left, front, right = (
        float(each.base * 1000) for each in (plate.rear, plate.left, plate.front, plate.right)
    )
    return (rear, left), (front, right)


def _panel(found: Worksheet, case: Case) -> Panel:
    edge = _EDGES.get(case.direction) if found.sheet.pivot == "edge" else None
    return Panel(_title(case), tuple(map(_spot, case.bolts)), edge)


def _spot(load: BoltLoad) -> Spot:
    at = (float(load.bolt.x.base * 1000), float(load.bolt.y.base * 1000))
    shear = (float(load.shear_n[0]), float(load.shear_n[1]))
    row = (str(round(load.tension_n)), str(root(load.shear_squared)), _reserve(load))
    return Spot(load.bolt.id, at, float(load.tension_n), shear, row)


def _alt(case: Case) -> str:
    bolts = [
        say(
            "anchorage-plot-bolt",
            {"name": spot.name, "pull": spot.row[0], "shear": spot.row[1], "reserve": spot.row[2]},
        )
        for spot in map(_spot, case.bolts)
    ]
    return f"{_title(case)}: {'; '.join(bolts)}."
