"""What an anchorage sheet must mean beyond its shape: sizes that can be, nothing twice, nothing left out."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from evidence.errors import Problem
from evidence.model.anchorage import PARTS_NEEDED, Anchorage
from evidence.quantity import Quantity, decimal_text
from evidence.record._walk import ANY, Pattern, matching, twice
from evidence.record.reader import AnchorageText
from evidence.record.yamltext import Path

_PLACE = (Fraction(-5), Fraction(5))  # m; further away than that, nothing stands in an ambulance
# what a value may be, in base units; wide enough for any fixing, narrow enough to find a slip of unit or sign
_RANGES: tuple[tuple[Pattern, Fraction, Fraction, str], ...] = (
    (("masses", ANY, "mass"), Fraction(1, 2), Fraction(1000), "kg"),
    (("masses", ANY, "x"), *_PLACE, "m"),
    (("masses", ANY, "y"), *_PLACE, "m"),
    (("masses", ANY, "height"), Fraction(0), Fraction(3), "m"),
    (("accelerations", ANY, "level"), Fraction(1), Fraction(1000), "m/s²"),
    (("bolts", ANY, "x"), *_PLACE, "m"),
    (("bolts", ANY, "y"), *_PLACE, "m"),
    *((("plate", edge), *_PLACE, "m") for edge in ("front", "rear", "left", "right")),
    (("tightening", ANY, "torque"), Fraction(1, 2), Fraction(1000), "N·m"),
    (("tightening", ANY, "nut_factor_low"), Fraction(5, 100), Fraction(1), ""),
    (("tightening", ANY, "nut_factor_high"), Fraction(5, 100), Fraction(1), ""),
)


def check_anchorage(entry: AnchorageText) -> tuple[Problem, ...]:
    """Everything in a sheet that has the right shape and no meaning, sorted."""
    problems = [*_sizes(entry), *_twice(entry), *_masses(entry), *_places(entry)]
    problems += [*_plate(entry), *_tightening(entry)]
    return tuple(sorted(problems, key=Problem.order))


def _sizes(entry: AnchorageText) -> Iterator[Problem]:
    for pattern, low, high, unit in _RANGES:
        for path, typed in matching(entry.source.data, pattern):
            if not low <= _quantity(entry.sheet, path).base <= high:
                yield entry.source.problem(
                    "anchorage-out-of-range",
                    path,
                    found=str(typed),
                    low=f"{decimal_text(low)} {unit}".rstrip(),
                    high=f"{decimal_text(high)} {unit}".rstrip(),
                )


def _quantity(sheet: Anchorage, path: Path) -> Quantity:
    value: Any = sheet
    for part in path:
        value = value[part] if isinstance(part, int) else getattr(value, part)
    found: Quantity = value
    return found


def _twice(entry: AnchorageText) -> Iterator[Problem]:
    source = entry.source
    yield from twice(source, matching(source.data, ("bolts", ANY, "id")))
    for pattern in (("accelerations", ANY, "direction"), ("tightening", ANY, "thread")):
        yield from twice(source, matching(source.data, pattern), "anchorage-twice")
    parts = matching(source.data, ("masses", ANY, "part"))
    once = ((path, part) for path, part in parts if part in PARTS_NEEDED)
    yield from twice(source, once, "anchorage-twice")


def _masses(entry: AnchorageText) -> Iterator[Problem]:
    given = {each.part for each in entry.sheet.masses}
    for part in PARTS_NEEDED:
        if part not in given:
            yield entry.source.problem("anchorage-mass-missing", ("masses",), key=True, found=part)


def _places(entry: AnchorageText) -> Iterator[Problem]:
    """Two bolts at one place are one bolt typed twice."""
    first: dict[tuple[Fraction, Fraction], str] = {}
    for index, bolt in enumerate(entry.sheet.bolts):
        other = first.setdefault((bolt.x.base, bolt.y.base), bolt.id)
        if other != bolt.id:
            yield entry.source.problem(
                "anchorage-bolts-coincide", ("bolts", index), found=bolt.id, other=other
            )


def _plate(entry: AnchorageText) -> Iterator[Problem]:
    source, plate = entry.source, entry.sheet.plate
    if plate is None:
        if entry.sheet.pivot == "edge":
            yield source.problem("anchorage-plate-missing", ("pivot",))
        return
    edges = (("front", plate.rear, plate.front, "rear"), ("right", plate.left, plate.right, "left"))
    turned = [(edge, high, low, other) for edge, low, high, other in edges if low.base >= high.base]
    for edge, high, low, other in turned:
        path = ("plate", edge)
        yield source.problem(
            "anchorage-plate-reversed", path, edge=edge, other=other, found=str(high), limit=str(low)
        )
    if turned:
        return
    for index, bolt in enumerate(entry.sheet.bolts):
        along = plate.rear.base <= bolt.x.base <= plate.front.base
        if not (along and plate.left.base <= bolt.y.base <= plate.right.base):
            found = f"x {bolt.x}, y {bolt.y}"
            yield source.problem("anchorage-bolt-off-plate", ("bolts", index), name=bolt.id, found=found)


def _tightening(entry: AnchorageText) -> Iterator[Problem]:
    threads = {bolt.thread for bolt in entry.sheet.bolts}
    for index, each in enumerate(entry.sheet.tightening):
        if each.thread not in threads:
            path: Path = ("tightening", index, "thread")
            expected = ", ".join(sorted(threads))
            yield entry.source.problem(
                "anchorage-tightening-unused", path, found=each.thread, expected=expected
            )
        if each.nut_factor_low.base > each.nut_factor_high.base:
            path = ("tightening", index, "nut_factor_high")
            low, high = str(each.nut_factor_low), str(each.nut_factor_high)
            yield entry.source.problem("anchorage-nut-factors-reversed", path, found=high, limit=low)
