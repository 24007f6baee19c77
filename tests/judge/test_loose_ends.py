"""Loose ends: every hole of a record is named by its place, whether or not a demand asks for it."""

from datetime import date
from typing import Any

import pytest

from evidence.judge.loose_ends import LooseEnd, loose_ends
from evidence.model.names import FieldWord
from evidence.model.record import JobRecord
from evidence.phrases.reasons_en import REASONS
from tests.judge.builders import (
    ILLEGIBLE,
    NOT_FITTED,
    POSITION,
    PROMISED,
    TO_COME,
    TOOLS,
    UNKNOWN,
    cycles,
    document,
    entry,
    record,
    screws,
    step,
    value,
)

DONE: dict[str, Any] = {
    "release": {"at": "2026-03-06", "by": "w3"},
    "declaration": {"id": "D1", "at": "2026-03-06", "place": "Here", "by": "w3"},
}


def places(the_record: JobRecord) -> dict[str, str]:
    return {one.place: one.state.value for one in loose_ends(the_record)}


def test_a_finished_record_has_none() -> None:
    whole = record(**DONE, characteristics=[value()], screws=[screws()], cycles=[cycles()])

    assert loose_ends(whole) == ()


def test_release_and_declaration_that_are_not_there() -> None:
    assert loose_ends(record()) == (
        LooseEnd("release", "loose-release", FieldWord.TO_COME),
        LooseEnd("declaration", "loose-declaration", FieldWord.TO_COME),
    )
    assert [one.place for one in loose_ends(record(release=DONE["release"]))] == ["declaration"]


def test_every_field_without_a_value_is_named_by_its_place() -> None:
    stretcher = {"model": "Heron Carrier", "serial": TO_COME}
    position = {
        **POSITION,
        "system": {"model": "Heron 2", "serial": TO_COME, "lot": UNKNOWN},
        "stretchers": {"tested_with": [{"model": "A", "serial": "1"}, stretcher], "delivered_with": []},
    }
    locker = {"product": "L", "lot": UNKNOWN, "use_by": ILLEGIBLE, "applied": TO_COME}
    the_record = record(
        **DONE,
        vehicle={"build": "BW-1", "vin": TO_COME},
        positions=[position],
        instruments=[{**TOOLS[0], "serial": UNKNOWN, "calibrated": TO_COME}, TOOLS[1]],
        steps=[step("s1", "clean", TO_COME)],
        screws=[screws(torques=["25 N\u00b7m", ILLEGIBLE], locker=locker)],
        characteristics=[value(text=ILLEGIBLE)],
        cycles=[cycles(at=UNKNOWN)],
        documents=[{**document("d1", "data-sheet", lot=TO_COME), "issued": UNKNOWN}],
    )

    assert list(places(the_record).items()) == [
        ("vehicle.vin", "to come"),
        ("p1.system.serial", "to come"),
        ("p1.system.lot", "unknown"),
        ("p1.stretchers.tested_with.2.serial", "to come"),
        ("i1.serial", "unknown"),
        ("i1.calibrated", "to come"),
        ("s1.at", "to come"),
        ("g1.torques.2", "illegible"),
        ("g1.locker.lot", "unknown"),
        ("g1.locker.use_by", "illegible"),
        ("g1.locker.applied", "to come"),
        ("v1.value", "illegible"),
        ("n1.at", "unknown"),
        ("d1.issued", "unknown"),
        ("d1.lot", "to come"),
    ]


def test_slots_of_exhibits_and_what_is_not_fitted_are_none() -> None:
    the_record = record(
        **DONE, vehicle={"build": "BW-1", "vin": NOT_FITTED}, exhibits=[entry("E1", "overview", file=TO_COME)]
    )

    assert loose_ends(the_record) == ()


@pytest.mark.parametrize(
    ("as_of", "code"), [(date(2026, 3, 18), "loose-promised"), (date(2026, 3, 19), "loose-overdue")]
)
def test_a_promise_is_overdue_after_its_day(as_of: date, code: str) -> None:
    (found,) = loose_ends(record(**DONE, vehicle={"build": "BW-1", "vin": PROMISED}))
    expected = {"place": "vehicle.vin", "state": "to come", "from": "w2", "by": "2026-03-18"}

    assert (found.from_, found.by) == ("w2", date(2026, 3, 18))
    assert found.overdue(as_of) == (code == "loose-overdue")
    assert (found.reason(as_of).code, found.reason(as_of).parameters) == (code, expected)
    assert "vehicle.vin" in REASONS[code].format_map(found.reason(as_of).parameters)


def test_what_nobody_knows_is_to_be_filled_in_or_explained() -> None:
    (found,) = loose_ends(record(**DONE, vehicle={"build": "BW-1", "vin": UNKNOWN}))

    assert found.reason(date.max).code == "loose-field"


def test_what_cannot_be_read_is_to_be_read_again() -> None:
    (found,) = loose_ends(record(**DONE, vehicle={"build": "BW-1", "vin": ILLEGIBLE}))
    reason = found.reason(date.max)

    assert (reason.code, reason.parameters["state"]) == ("loose-illegible", "illegible")
    assert REASONS[reason.code].format_map(reason.parameters).startswith("vehicle.vin could not be read.")


def test_what_has_no_day_is_never_overdue() -> None:
    for found in loose_ends(record(vehicle={"build": "BW-1", "vin": TO_COME})):
        assert not found.overdue(date.max)
        assert found.reason(date.max).code == found.code
        assert set(found.reason(date.max).parameters) == {"place", "state"}


def lent(**changes: Any) -> JobRecord:
    stretcher = {"model": "Heron Carrier", "holding": "loaner", "until": "2026-03-18", **changes}
    kept = {key: one for key, one in stretcher.items() if one is not None}
    own = {"model": "Heron Carrier", "serial": "1"}
    return record(**DONE, positions=[{**POSITION, "stretchers": {"delivered_with": [own, kept]}}])


def test_a_loaner_kept_past_its_last_day() -> None:
    (found,) = loose_ends(lent(), date(2026, 3, 19))
    reason = found.reason(date(2026, 3, 19))

    assert reason.code == "loose-loaner-overdue"
    assert reason.parameters == {
        "place": "p1.stretchers.delivered_with.2",
        "by": "2026-03-18",
        "state": "to come",
    }
    assert REASONS[reason.code].format_map(reason.parameters)
    assert found.overdue(date(2026, 3, 19))


@pytest.mark.parametrize(
    ("changes", "ends"),
    [
        ({"holding": "pool"}, 1),
        ({"holding": "own"}, 0),
        ({"holding": None}, 0),
        ({"until": None}, 0),
        ({"until": "2026-03-19"}, 0),
    ],
)
def test_only_what_is_lent_goes_back(changes: dict[str, Any], ends: int) -> None:
    assert len(loose_ends(lent(**changes), date(2026, 3, 19))) == ends


def test_without_a_day_no_loaner_is_overdue() -> None:
    assert loose_ends(lent()) == ()


def test_a_time_cannot_be_left_unfitted() -> None:
    the_record = record(
        **DONE,
        instruments=[{**TOOLS[0], "calibrated": NOT_FITTED, "serial": NOT_FITTED}, TOOLS[1]],
        steps=[step("s1", "clean", NOT_FITTED)],
        parties=[{"function": "builder", "name": "Builder", "finished": NOT_FITTED}],
    )

    assert list(places(the_record)) == ["parties.1.finished", "i1.calibrated", "s1.at"]
