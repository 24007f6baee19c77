"""Tests of a job made of plain numbers: tables of channels as CSV, the record's entries, and the case around them."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from evidence.exhibits import call
from evidence.exhibits._base import Reading
from evidence.exhibits.reading import read
from evidence.judge import TYPES, Case
from evidence.judge._scope import subjects
from evidence.labtests import of_job
from evidence.model.finding import Finding
from evidence.model.result import LabResult
from evidence.register.demand import Demand, Demands
from tests.judge import builders
from tests.judge.builders import demand

Shape = Callable[[float], float]
"""Seconds to a value."""
STEP = 0.0001  # seconds
# SAE J2956 and J3044 as a test house's public page gives them, a secondary source
J2956_LOWER = (("0", "-5"), ("0.009", "-26"), ("0.036", "-26"), ("0.045", "-10"), ("0.055", "-10"))
J2956_UPPER = (("0.005", "0"), ("0.016", "-19"), ("0.029", "-19"), ("0.035", "0"))
J3044_LOWER = (("0", "-3"), ("0.02", "-11"), ("0.06", "-11"), ("0.07", "-3"), ("0.10", "-3"))
J3044_UPPER = (("0.01", "0"), ("0.025", "-7"), ("0.05", "-7"), ("0.06", "0"))


def trapezoid(height: float, up: float, down: float, end: float, start: float = 0.0) -> Shape:
    """From nought at ``start`` to ``height`` at ``up``, held to ``down``, nought again at ``end``; seconds."""

    def at(time: float) -> float:
        return height * max(0.0, min((time - start) / (up - start), 1.0, (end - time) / (end - down)))

    return at


def table(
    columns: Mapping[str, Shape], *, begin: float = -0.05, end: float = 0.15, step: float = STEP
) -> bytes:
    """A CSV of channels; a heading carries unit and filter, ``sled unfiltered [g]``."""
    count = round((end - begin) / step) + 1
    rows = [",".join(["time [s]", *columns])]
    for at in range(count):
        time = begin + at * step
        rows.append(",".join([f"{time:.6f}", *(f"{shape(time):.6f}" for shape in columns.values())]))
    return "\n".join(rows).encode()


def reading(data: bytes, exhibit: str = "E1", ending: str = "csv") -> Reading:
    """A file of the tests folder as the program reads it."""
    return read(data, f"tests/{exhibit}.{ending}", exhibit, reader=call)


def channel(name: str = "sled unfiltered", use: str = "pulse", **changes: str) -> dict[str, str]:
    """A channel of a test."""
    return {"use": use, "name": name, **changes}


def lab_test(name: str = "t1", **changes: Any) -> dict[str, Any]:
    """A dynamic side test of the place, with its pulse in E1."""
    return {
        "id": name,
        "kind": "dynamic",
        "subject": "p1",
        "direction": "side",
        "exhibit": "E1",
        "channels": [channel()],
        **changes,
    }


def corridor(
    lower: Sequence[tuple[str, str]], upper: Sequence[tuple[str, str]], **changes: Any
) -> dict[str, Any]:
    """A criterion: the side pulse at class 60 between two lines."""
    criterion = builders.asking("inside", direction="side", y_unit="g", processing={"cfc": "60"}, **changes)
    for field in ("x", "x_unit", "y"):
        criterion.pop(field)
    lines = {"lower": lower, "upper": upper}
    return criterion | {name: [{"x": x, "y": y} for x, y in line] for name, line in lines.items()}


def within(quantity: str, **changes: Any) -> dict[str, Any]:
    """A criterion: a figure of the side test between limits, compared simply."""
    fields = {"low": None, "high": None, "direction": "side", "decision": "simple", **changes}
    asked = builders.asking("within", quantity=f"test.{quantity}", **fields)
    return {name: value for name, value in asked.items() if value is not None}


def case(
    criteria: Sequence[Mapping[str, Any]],
    readings: Sequence[Reading],
    tests: Sequence[Mapping[str, Any]],
    **parts: Any,
) -> Case:
    """The case of a job with these tests, their channels computed as the program does."""
    fields = {name: parts.pop(name) for name in ("as_of", "changed", "intake", "known_on") if name in parts}
    items = {each.item.id: each.item for each in readings} | parts.pop("items", {})
    entries = [
        builders.entry(each.item.id, "test-channel", file=f"tests/{each.item.id}.csv") for each in readings
    ]
    entries += parts.pop("exhibits", [])
    record = builders.record(tests=list(tests), exhibits=entries, **parts)
    demands = Demands(tuple(map(numbered, range(len(criteria)), criteria)), ())
    results = of_job(record, demands, {each.item.id: each for each in readings})
    return builders.case(record, items=items, demands=demands, results=results, **fields)


def numbered(number: int, criterion: Mapping[str, Any]) -> Demand:
    """The demand of a criterion in a clause of its own."""
    return demand(criterion, clause=str(number + 1))


def judged(found: Case) -> list[Finding]:
    """One finding for each demand and subject."""
    return [
        TYPES[one.criterion.type](one, subject, found)
        for one in found.demands.criteria
        for subject in subjects(one.criterion, found.record)
    ]


def only(found: Case) -> LabResult:
    """The one number that was computed."""
    (result,) = found.results.values()
    return result
