"""Typing from paper: a second typing that differs, and key fields that nobody typed a second time."""

from typing import Any

import pytest

from evidence.judge.contradictions import contradictions
from evidence.judge.loose_ends import loose_ends
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from evidence.model.names import ContradictionRule, Severity
from evidence.model.record import JobRecord
from evidence.phrases import say
from tests.judge.builders import (
    ILLEGIBLE,
    POSITION,
    TO_COME,
    case,
    entry,
    paper,
    photo,
    record,
    screws,
    value,
)

ROW = {"exhibit": "E020", "page": "1", "row": "7"}
CARD = entry("E020", "work-card", "vehicle")
VIN = "1M8GDM9AXKP042788"


def retyped(of: str, field: str, *values: str, by: str = "w2") -> dict[str, Any]:
    return {"of": of, "field": field, "values": list(values), "by": by}


def found(*typings: dict[str, Any], **parts: Any) -> list[Contradiction]:
    the_record = record(retyped=list(typings), exhibits=[CARD], **parts)
    return [
        one for one in contradictions(case(the_record)) if one.rule == ContradictionRule.TYPED_TWICE_DIFFERS
    ]


@pytest.mark.parametrize(
    ("first", "second", "fires"),
    [
        ("120,3 mm", "120.3 mm", False),
        ("120.3 mm", "12.03 cm", False),
        ("120.3 mm", "120.30 mm", False),
        ("4 3/8 in", "4.375 in", False),
        # computed independently with Python's fractions: 4.375 in is 111.125 mm exactly (1 in = 25.4 mm)
        ("4 3/8 in", "111.125 mm", False),
        ("120.3 mm", "123.0 mm", True),
        ("120.3 mm", "120.3 cm", True),
        (ILLEGIBLE, "120.3 mm", False),
    ],
)
def test_values_are_compared_as_quantities(first: Any, second: str, *, fires: bool) -> None:
    told = found(retyped("v1", "value", second), characteristics=[value(text=first, card_row=ROW)])

    assert bool(told) == fires


def test_both_values_the_place_and_the_second_person_are_named() -> None:
    (told,) = found(
        retyped("v1", "value", "123.0 mm"), characteristics=[value(text="120,3 mm", card_row=ROW)]
    )

    assert told.severity == Severity.CONTRADICTION
    assert [(place.where, place.value) for place in told.between] == [
        ("v1.value", "120.3 mm"),
        ("retyped.v1.value", "123.0 mm"),
    ]
    assert told.exhibits == ("E020",)
    assert told.id.startswith("typed-twice-differs:v1:")
    sentence = say(told.reason.code, told.reason.parameters)
    assert "v1.value was typed as 120.3 mm; w2 typed it again from the paper as 123.0 mm." in sentence


@pytest.mark.parametrize(
    ("first", "second", "fires"),
    [("0012", "0012", False), ("0012", "12", True), ("AB-1", "ab-1", True), (TO_COME, "0012", False)],
)
def test_identifiers_are_compared_letter_by_letter(first: Any, second: str, *, fires: bool) -> None:
    position = {**POSITION, "system": {"model": "Heron 2", "serial": first, "lot": "L1", "card_row": ROW}}

    told = found(retyped("p1", "serial", second), retyped("p1", "lot", "L1"), positions=[position])

    assert bool(told) == fires


@pytest.mark.parametrize(("second", "fires"), [(VIN, False), (VIN[:-1] + "9", True)])
def test_vehicle_and_instrument_have_key_fields_too(second: str, *, fires: bool) -> None:
    vehicle = {"build": "BW-1", "vin": VIN, "module_serial": "000417"}

    told = found(
        retyped("vehicle", "vin", second),
        retyped("vehicle", "module_serial", "000417"),
        retyped("i1", "serial", "K-1"),
        vehicle=vehicle,
    )

    assert bool(told) == fires


def test_lists_are_compared_entry_by_entry() -> None:
    group = screws(torques=["24 N·m", "17.7 lbf·ft"], lot="S-1")

    assert found(retyped("g1", "torques", "24,0 N·m", "17.7 ft-lb"), screws=[group]) == []
    (told,) = found(retyped("g1", "torques", "24 N·m", "17.1 lbf·ft"), screws=[group])
    assert [place.value for place in told.between] == ["2: 17.7 lbf·ft", "2: 17.1 lbf·ft"]
    (lot,) = found(retyped("g1", "lot", "S-I"), screws=[group])
    assert lot.reason.parameters["first"] == "S-1"


def once(the_record: JobRecord) -> list[str]:
    return [end.place for end in loose_ends(the_record) if end.code == "loose-typed-once"]


SYSTEM = {**POSITION, "system": {"model": "Heron 2", "serial": "0012", "lot": TO_COME, "card_row": ROW}}
WORK: dict[str, Any] = {
    "positions": [SYSTEM],
    "screws": [screws(lot="S-1", card_row=ROW)],
    "characteristics": [value(card_row=ROW), value("v2", "121 mm")],
}


def test_what_came_from_a_card_wants_a_second_typing() -> None:
    whole = record(**WORK, exhibits=[CARD])

    # a lot that is still to come was not typed, and the second value came from no card
    assert once(whole) == ["p1.system.serial", "g1.lot", "g1.torques", "v1.value"]
    reason = next(end for end in loose_ends(whole) if end.place == "v1.value").reason(case().as_of)
    assert say(reason.code, reason.parameters).startswith("v1.value was typed only once from the work card.")


def test_a_key_field_without_a_row_is_told_where_a_card_is_filed() -> None:
    whole = record(**WORK, exhibits=[CARD])
    ends = [end for end in loose_ends(whole) if end.code == "loose-card-row"]

    assert [end.place for end in ends] == ["v2"]
    reason = ends[0].reason(case().as_of)
    assert say(reason.code, reason.parameters).startswith("v2 does not say from which page and row")
    assert not [end for end in loose_ends(record(**WORK)) if end.code == "loose-card-row"]


@pytest.mark.parametrize(
    ("page", "item", "fires"),
    [
        ("1", paper("E020"), False),
        ("2", paper("E020"), True),  # the scan has one page
        ("2", photo("E020"), False),  # a photo of one page says nothing of the others
        ("2", None, False),
    ],
)
def test_a_page_of_the_card_that_was_not_scanned(page: str, item: Item | None, *, fires: bool) -> None:
    row = {"exhibit": "E020", "page": page, "row": "1"}
    work = {"characteristics": [value(card_row=row), value("v2", "121 mm", card_row=row)]}
    told = [
        one
        for one in contradictions(case(record(**work, exhibits=[CARD]), items={"E020": item} if item else {}))
        if one.rule == "card-page-beyond"
    ]

    assert len(told) == fires
    for one in told:
        assert one.reason.parameters == {
            "entries": ("v1", "v2"),
            "exhibit": "E020",
            "page": "2",
            "pages": "1",
        }
        assert say(one.reason.code, one.reason.parameters).startswith(
            "Page 2 of work card E020 is named for v1, v2;"
        )


def test_a_second_typing_closes_it_but_not_one_by_the_same_person() -> None:
    typings = [
        retyped("p1", "serial", "0012"),
        retyped("g1", "lot", "S-1"),
        retyped("g1", "torques", "25 N·m", "25 N·m", by="w1"),
        retyped("v1", "value", "120 mm", by="w1"),
    ]

    assert once(record(**WORK, exhibits=[CARD], retyped=typings)) == ["g1.torques", "v1.value"]
    typings.append(retyped("v1", "value", "120 mm", by="w3"))
    assert once(record(**WORK, exhibits=[CARD], retyped=typings)) == ["g1.torques"]


@pytest.mark.parametrize(
    "exhibits",
    [[], [entry("E020", "work-card", "vehicle", TO_COME)], [entry("E020", "delivery-note", "vehicle")]],
    ids=["none", "open", "other"],
)
def test_without_a_filed_card_nothing_can_be_typed_again(exhibits: list[dict[str, Any]]) -> None:
    assert once(record(**WORK, exhibits=exhibits)) == []
