"""Every field of the record that may hold a state in place of a value reaches an outcome or a loose end."""

import copy
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from evidence.judge import Case, judge
from evidence.judge.loose_ends import loose_ends
from evidence.model._text import FieldState
from evidence.model.names import Fact, FieldWord, Outcome
from evidence.model.record import JobRecord
from evidence.register.demand import Demands
from tests.judge.builders import (
    POSITION,
    TOOLS,
    asking,
    case,
    cycles,
    demand,
    document,
    entry,
    paper,
    record,
    screws,
    step,
    value,
)

Field = tuple[str, ...]


def stated(model: type[BaseModel], path: Field = ()) -> Iterator[Field]:
    """Fields of the model, and of those inside it, that take a FieldState; read from the models themselves."""
    for name, info in model.model_fields.items():
        inside = list(models_of(info.annotation))
        if FieldState in inside:
            yield (*path, name)
        for one in inside:
            if one is not FieldState:
                yield from stated(one, (*path, name))


def models_of(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from models_of(inner)


def whole() -> dict[str, Any]:
    return {
        "vehicle": {"build": "B-1", "type": "B", "vin": "1M8GDM9AXKP042788", "module_serial": "M-1"},
        "release": {"at": "2026-03-06", "by": "w3"},
        "declaration": {"id": "D1", "at": "2026-03-06", "place": "Here", "by": "w3"},
        "parties": [{"id": "b1", "function": "builder", "name": "Builder", "finished": "2026-03-01"}],
        "positions": [
            {
                **copy.deepcopy(POSITION),
                "system": {"model": "Heron 2", "variant": "long rail", "serial": "0012", "lot": "L1"},
                "carried_mass": "250 kg",
                "free_travel": "60 mm",
            }
        ],
        "instruments": copy.deepcopy(TOOLS),
        "steps": [step("s1", "clean", "2026-03-04T09:00"), step("s2", "tighten", "2026-03-04T10:00")],
        "screws": [screws(lot="S1")],
        "characteristics": [value()],
        "cycles": [
            cycles(),
            cycles("n2", kind="both-ends", ends=[{"end": "head", "way": "vertical", "play": "1 mm"}]),
        ],
        "audits": [
            {
                "id": "u1",
                "screws": "g1",
                "torques": ["20 N·m"],
                "instrument": "i2",
                "by": "w1",
                "at": "2026-03-06",
            }
        ],
        "tests": [
            {
                "id": "l1",
                "kind": "dynamic",
                "subject": "p1",
                "direction": "side",
                "exhibit": "E1",
                "at": "2026-02-10",
                "channels": [{"use": "pulse", "name": "sled"}],
            }
        ],
        "documents": [{**document("d1", "data-sheet", use_by="2026-12-31"), "issued": "2026-01-01"}],
        "exhibits": [entry("E1", "overview")],
    }


AT: dict[Field, tuple[str | int, ...]] = {
    ("vehicle", "module_serial"): ("vehicle", "module_serial"),
    ("vehicle", "vin"): ("vehicle", "vin"),
    ("parties", "finished"): ("parties", 0, "finished"),
    ("positions", "carried_mass"): ("positions", 0, "carried_mass"),
    ("positions", "free_travel"): ("positions", 0, "free_travel"),
    ("positions", "system", "variant"): ("positions", 0, "system", "variant"),
    ("positions", "system", "serial"): ("positions", 0, "system", "serial"),
    ("positions", "system", "lot"): ("positions", 0, "system", "lot"),
    ("positions", "stretchers", "tested_with", "serial"): ("positions", 0, "stretchers", "tested_with", 0, "serial"),
    ("positions", "stretchers", "delivered_with", "serial"): (
        "positions", 0, "stretchers", "delivered_with", 0, "serial"
    ),
    ("instruments", "serial"): ("instruments", 0, "serial"),
    ("instruments", "calibrated"): ("instruments", 0, "calibrated"),
    ("steps", "at"): ("steps", 0, "at"),
    ("screws", "lot"): ("screws", 0, "lot"),
    ("screws", "torques"): ("screws", 0, "torques", 0),
    ("screws", "at"): ("screws", 0, "at"),
    ("screws", "locker", "lot"): ("screws", 0, "locker", "lot"),
    ("screws", "locker", "use_by"): ("screws", 0, "locker", "use_by"),
    ("screws", "locker", "applied"): ("screws", 0, "locker", "applied"),
    ("characteristics", "value"): ("characteristics", 0, "value"),
    ("characteristics", "at"): ("characteristics", 0, "at"),
    ("cycles", "at"): ("cycles", 0, "at"),
    ("cycles", "ends", "play"): ("cycles", 1, "ends", 0, "play"),
    ("audits", "torques"): ("audits", 0, "torques", 0),
    ("audits", "at"): ("audits", 0, "at"),
    ("tests", "at"): ("tests", 0, "at"),
    ("documents", "issued"): ("documents", 0, "issued"),
    ("documents", "claims", "value"): ("documents", 0, "claims", 0, "value"),
    ("exhibits", "file"): ("exhibits", 0, "file"),
}  # fmt: skip
"""Where each field stands in the whole record."""


def torque(**changes: Any) -> dict[str, Any]:
    return asking(
        "within", subject="screws", quantity="screws.torque", low="24 N·m", high="26 N·m", **changes
    )


def fact(name: str, allowed: str, subject: str = "position") -> dict[str, Any]:
    return asking("matches", fact=name, allowed=[allowed], subject=subject)


READS: dict[Field, dict[str, Any]] = {
    ("vehicle", "module_serial"): fact("vehicle.module-serial", "M-1", "vehicle"),
    ("vehicle", "vin"): fact("vehicle.vin", "1M8GDM9AXKP042788", "vehicle"),
    ("positions", "carried_mass"): fact("position.carried-mass", "250 kg"),
    ("positions", "free_travel"): fact("position.free-travel", "60 mm"),
    ("positions", "system", "variant"): fact("position.system-variant", "long rail"),
    ("positions", "system", "serial"): fact("position.system-serial", "0012"),
    ("positions", "system", "lot"): fact("position.system-lot", "L1"),
    ("instruments", "calibrated"): asking("valid_on", subject="instrument", kinds=["caliper"]),
    ("steps", "at"): asking("ordered"),
    ("screws", "lot"): fact("screws.lot", "S1", "screws"),
    ("screws", "torques"): torque(),
    ("screws", "at"): torque(id="at"),
    ("screws", "locker", "lot"): fact("screws.locker-lot", "A7", "screws"),
    ("screws", "locker", "use_by"): asking("valid_on", id="lot", subject="screws", what="lot"),
    ("screws", "locker", "applied"): asking("valid_on", id="lot", subject="screws", what="lot"),
    ("characteristics", "value"): asking("within"),
    ("characteristics", "at"): asking("within"),
    ("cycles", "at"): asking("counted"),
    ("documents", "claims", "value"): asking("valid_on", what="document", evidence_from=["data-sheet"]),
    ("exhibits", "file"): asking("present"),
}
"""The demand that reads a field; the others are told as loose ends only."""
NO_LOOSE_END = {("exhibits", "file")}  # a slot of evidence: the demand that asks for it tells it
TIMES = {"at", "applied", "calibrated", "finished", "issued", "use_by"}
FIELDS = sorted(AT)
STATES = [word.value for word in FieldWord]


def with_state(field: Field, state: str) -> JobRecord:
    parts = whole()
    node: Any = parts
    *inner, last = AT[field]
    for key in inner:
        node = node[key]
    node[last] = {"state": state}
    return record(**parts)


def judged(the_record: JobRecord, criterion: dict[str, Any], **demanded: Any) -> set[Outcome]:
    asked = Demands((demand(criterion, **demanded),), ())
    return {one.outcome for one in judge(of(the_record, demands=asked)).findings}


def of(the_record: JobRecord, **fields: Any) -> Case:
    return case(the_record, items={"E1": paper("E1")}, **fields)


def test_every_field_that_may_hold_a_state_is_looked_at_here() -> None:
    assert sorted(set(stated(JobRecord))) == FIELDS


@pytest.mark.parametrize("field", FIELDS, ids=".".join)
def test_the_whole_record_leaves_nothing_open(field: Field) -> None:
    assert loose_ends(record(**whole())) == ()
    if field in READS:
        # a scan can be no overview photo, so the one slot is undecided before any state is looked at
        assert judged(record(**whole()), READS[field]) <= {Outcome.MET, Outcome.UNDECIDED}


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("field", FIELDS, ids=".".join)
def test_a_state_is_told_as_a_loose_end(field: Field, state: str) -> None:
    found = [end.state.value for end in loose_ends(with_state(field, state))]
    answers = state == "not fitted" and field[-1] not in TIMES

    assert found == ([] if answers or field in NO_LOOSE_END else [state])


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("field", sorted(READS), ids=".".join)
def test_a_state_is_undecided_if_illegible_and_not_shown_else(field: Field, state: str) -> None:
    expected = Outcome.UNDECIDED if state == "illegible" else Outcome.NOT_SHOWN

    assert judged(with_state(field, state), READS[field]) == {expected}


APPLIES: list[tuple[Field, Fact]] = [
    (("vehicle", "vin"), Fact.VEHICLE_VIN),
    (("vehicle", "module_serial"), Fact.VEHICLE_MODULE_SERIAL),
    (("positions", "system", "variant"), Fact.POSITION_VARIANT),
    (("positions", "system", "serial"), Fact.POSITION_SYSTEM_SERIAL),
    (("positions", "system", "lot"), Fact.POSITION_SYSTEM_LOT),
    (("screws", "lot"), Fact.SCREWS_LOT),
    (("screws", "locker", "lot"), Fact.SCREWS_LOCKER_LOT),
]


@pytest.mark.parametrize(("field", "name"), APPLIES, ids=str)
def test_not_fitted_makes_a_demand_not_applicable_only_where_its_rule_reads_the_field(
    field: Field, name: Fact
) -> None:
    the_record = with_state(field, "not fitted")

    def outcomes(**applies: Any) -> set[Outcome]:
        return judged(the_record, asking("counted"), **applies)

    assert outcomes() == {Outcome.MET}
    assert outcomes(applies={name: ("some value",)}) == {Outcome.NOT_APPLICABLE}
    assert outcomes(applies={name: ("not fitted",)}) == {Outcome.MET}
