"""Each contradiction rule, firing and not firing; ids, answers, severities."""

import hashlib
from typing import Any

import pytest

from evidence.exhibits.likeness import SAVED_AGAIN
from evidence.judge import Case, judge
from evidence.judge.contradictions import RULES, RULES_ON_ANSWERS, RULES_ON_FINDINGS, contradictions
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction
from evidence.model.names import ContradictionRule, Region, Severity
from evidence.phrases import say
from tests.judge.builders import (
    ILLEGIBLE,
    TO_COME,
    TOOLS,
    UNKNOWN,
    case,
    cycles,
    digest,
    document,
    entry,
    intake,
    paper,
    photo,
    profile,
    record,
    screws,
    step,
    value,
)


def of(rule: str, the_case: Case) -> list[Contradiction]:
    return [one for one in contradictions(the_case) if one.rule == rule]


def test_every_rule_has_its_function() -> None:
    tables = [*RULES, *RULES_ON_FINDINGS, *RULES_ON_ANSWERS]
    assert sorted(tables) == sorted(ContradictionRule)


def test_nothing_contradicts_in_a_plain_case() -> None:
    the_record = record(characteristics=[value()], screws=[screws()], cycles=[cycles()])

    assert contradictions(case(the_record)) == ()


def declared(at: str, **parts: Any) -> Case:
    declaration = {"id": "D1", "at": at, "place": "Here", "by": parts.pop("by", "w3")}
    return case(record(declaration=declaration, **parts))


@pytest.mark.parametrize(
    ("at", "test", "fires"),
    [
        ("2026-03-03", "2026-03-04T15:00", True),
        ("2026-03-04 before 15:00", "2026-03-04T15:00", True),
        ("2026-03-04", "2026-03-04T15:00", False),
        ("2026-03-04 before 15:01", "2026-03-04T15:00", False),
        ("2026-03-05", "2026-03-04T15:00", False),
        ("2026-03-03", TO_COME, False),
    ],
)
def test_declaration_before_last_test(at: str, test: Any, *, fires: bool) -> None:
    found = of("declaration-before-last-test", declared(at, cycles=[cycles(at=test)]))

    assert bool(found) == fires
    if fires:
        assert found[0].reason.parameters == {"declared": at, "entry": "n1.at", "tested": "2026-03-04T15:00"}


def test_declaration_before_the_date_of_a_test_report() -> None:
    report = document("d1", "type-test-report", test_date="2026-03-05")
    sheet = document("d2", "data-sheet", test_date="2026-03-06")
    (found,) = of("declaration-before-last-test", declared("2026-03-04", documents=[report, sheet]))

    assert found.between[1].where == "d1.test-date"
    assert of("declaration-before-last-test", declared("2026-03-05", documents=[report])) == []
    assert of("declaration-before-last-test", case(record(documents=[report]))) == []


# A tool calibrated 2024-03-01 for 12 months is in date on 2025-03-01 and out of date on the day after.
# from memory of ISO 6789: 12 months or 5 000 cycles as the default interval
@pytest.mark.parametrize(
    ("changes", "day", "fires"),
    [
        ({}, "2025-03-01", False),
        ({}, "2025-03-02", True),
        ({"interval_months": None}, "2025-03-02", False),
        ({"calibrated": UNKNOWN}, "2025-03-02", False),
        ({"id": "i9"}, "2025-03-02", False),
        ({}, TO_COME, False),
    ],
)
def test_calibration_expired_on_work(changes: dict[str, Any], day: Any, *, fires: bool) -> None:
    tool = {**TOOLS[0], "calibrated": "2024-03-01", **changes}
    kept = {key: one for key, one in tool.items() if one is not None}
    found = of(
        "calibration-expired-on-work", case(record(instruments=[kept], characteristics=[value(at=day)]))
    )

    assert bool(found) == fires
    if fires:
        assert [(place.where, place.value) for place in found[0].between] == [
            ("i1.valid-until", "2025-03-01"),
            ("v1.at", "2025-03-02"),
        ]


def photographed(
    taken: str | None, offset: str | None = None, role: str = "hook-position", at: Any = "2026-03-04"
) -> Case:
    the_record = record(
        exhibits=[entry("E1", role, file="photos/E1.jpg")],
        steps=[step("s1", "clean", "2026-03-04"), step("s2", "tighten", at)],
    )
    return case(the_record, items={"E1": photo("E1", taken, offset)})


@pytest.mark.parametrize(
    ("taken", "offset", "fires"),
    [
        ("2026-03-04T00:00:00", "+01:00", False),
        ("2026-03-03T23:59:59", "+01:00", True),
        ("2026-03-03T23:00:00", "+00:00", False),  # midnight in the workshop
        ("2026-03-03T22:59:59", "+00:00", True),
        ("2026-03-04T23:59:59", "+01:00", False),
        ("2026-03-05T00:00:00", "+01:00", True),
        # without an offset the record's counts, give or take ten minutes of an unchecked clock
        ("2026-03-03T23:50:01", None, False),
        ("2026-03-03T23:50:00", None, True),
        ("2026-03-05T00:09:59", None, False),
        ("2026-03-05T00:10:00", None, True),
        (None, None, False),
        ("2026-13-45T99:00:00", None, False),
        ("2025-03-04T12:00:00", "+99:00", False),
    ],
)
def test_photo_outside_work(taken: str | None, offset: str | None, *, fires: bool) -> None:
    found = of("photo-outside-work", photographed(taken, offset))

    assert bool(found) == fires
    if fires:
        assert found[0].exhibits == ("E1",)
        assert found[0].between[1].value == "2026-03-04/2026-03-04"


@pytest.mark.parametrize(
    ("role", "fires"),
    [("hook-position", True), ("screws", True), ("label-system", False), ("overview", False)],
)
def test_only_photos_that_show_work_are_bound_to_its_days(role: str, *, fires: bool) -> None:
    assert bool(of("photo-outside-work", photographed("2026-01-01T10:00:00", role=role))) == fires


@pytest.mark.parametrize(
    ("state", "early", "late"), [(UNKNOWN, False, False), (ILLEGIBLE, False, False), (TO_COME, True, False)]
)
def test_where_a_day_of_work_is_not_known_nothing_is_certain(state: Any, *, early: bool, late: bool) -> None:
    assert bool(of("photo-outside-work", photographed("2026-03-01T10:00:00", at=state))) == early
    assert bool(of("photo-outside-work", photographed("2026-03-09T10:00:00", at=state))) == late


def test_without_any_work_no_photo_is_outside_it() -> None:
    the_record = record(exhibits=[entry("E1", "hook-position", file="photos/E1.jpg")])

    assert of("photo-outside-work", case(the_record, items={"E1": photo("E1", "2026-01-01T10:00:00")})) == []


MANUAL = profile([{"id": "clean"}, {"id": "tighten", "after": ["clean"]}])


@pytest.mark.parametrize(
    ("clean", "tighten", "redone", "fires"),
    [
        ("2026-03-05", "2026-03-04", False, True),
        ("2026-03-05", "2026-03-04", True, False),
        ("2026-03-04", "2026-03-04", False, False),
        ("2026-03-04", "2026-03-05", False, False),
        (TO_COME, "2026-03-05", False, False),
    ],
)
def test_order_broken(clean: Any, tighten: str, *, redone: bool, fires: bool) -> None:
    first = step("s1", "clean", clean, **({"redo_of": "s0"} if redone else {}))
    found = of("order-broken", case(record(steps=[first, step("s2", "tighten", tighten)]), profile=MANUAL))

    assert bool(found) == fires
    if fires:
        assert found[0].id.startswith("order-broken:s2:")
        assert [place.where for place in found[0].between] == ["s1.at", "s2.at"]


def test_a_broken_order_that_several_screw_groups_share_is_told_once() -> None:
    steps = [step("s1", "clean", "2026-03-05"), step("s2", "tighten", "2026-03-04")]
    marks = [step(f"m{group}", "mark", "2026-03-06", screws=group) for group in ("g1", "g2")]
    the_record = record(steps=[*steps, *marks], screws=[screws("g1"), screws("g2")])

    assert len(of("order-broken", case(the_record, profile=MANUAL))) == 1


@pytest.mark.parametrize(
    ("signatory", "parts", "fires"),
    [
        ("w1", {"steps": [step("s1", "clean", "2026-03-01")]}, True),
        ("w1", {"screws": [screws(at="2026-03-01")]}, True),
        ("w1", {"characteristics": [value(at="2026-03-01")]}, False),
        ("w3", {"steps": [step("s1", "clean", "2026-03-01")]}, False),
    ],
)
def test_signatory_is_fitter(signatory: str, parts: dict[str, Any], *, fires: bool) -> None:
    found = of("signatory-is-fitter", declared("2026-03-10", by=signatory, **parts))

    assert [one.severity for one in found] == ([Severity.NOTICE] if fires else [])
    assert of("signatory-is-fitter", case(record(**parts))) == []


def test_one_photo_under_two_ids() -> None:
    entries = [entry(name, "screws", file=f"photos/{name}.jpg") for name in ("E1", "E2", "E3", "E4")]
    same = digest("same")
    items = {name: photo(name, sha256=same) for name in ("E3", "E1", "E4")} | {"E2": photo("E2")}
    found = of("same-file-twice", case(record(exhibits=entries), items=items))

    assert [(one.exhibits, one.severity) for one in found] == [
        (("E1", "E3"), Severity.CONTRADICTION),
        (("E3", "E4"), Severity.CONTRADICTION),
    ]


BITS = int("5a" * 32, 16)


def pictured(name: str, flipped: int = 0, *, base: int = BITS, codes: tuple[str, ...] = ()) -> Item:
    """A photo whose likeness differs from the base in so many bits."""
    fields = photo(name, codes=codes).document()
    return Item.read(
        {**fields, "photo": {**fields["photo"], "likeness": f"{base ^ ((1 << flipped) - 1):064x}"}}
    )


@pytest.mark.parametrize(
    ("roles", "flipped", "codes", "fires"),
    [
        (("lock-window-open", "lock-window-locked"), 0, ((), ()), True),
        (("lock-window-open", "lock-window-locked"), SAVED_AGAIN, ((), ()), True),
        (("lock-window-open", "lock-window-locked"), SAVED_AGAIN + 1, ((), ()), False),
        (("label-system", "hook-position"), 4, (("SN 0012",), ("SN 0012",)), True),
        (("label-system", "label-stretcher"), 4, (("SN 0012",), ("SN C-77",)), False),
        (("label-system", "label-stretcher"), 4, (("SN 0012",), ()), True),
        (("hook-position", "hook-position"), 4, ((), ()), False),
        (("screws", "other-photo"), 4, ((), ()), False),
    ],
)
def test_one_picture_saved_again_for_another_demand(
    roles: tuple[str, str], flipped: int, codes: tuple[tuple[str, ...], tuple[str, ...]], *, fires: bool
) -> None:
    entries = [
        entry(name, role, file=f"photos/{name}.jpg") for name, role in zip(("E1", "E2"), roles, strict=True)
    ]
    items = {"E1": pictured("E1", codes=codes[0]), "E2": pictured("E2", flipped, codes=codes[1])}
    found = of("same-picture-twice", case(record(exhibits=entries), items=items))

    assert [one.exhibits for one in found] == ([("E1", "E2")] if fires else [])
    if fires:
        assert (found[0].severity, found[0].open) == (Severity.CONTRADICTION, True)
        assert "Look whether E2 is E1 saved again" in say(found[0].reason.code, found[0].reason.parameters)


def test_plain_areas_and_same_bytes_are_no_picture_saved_again() -> None:
    roles = ("lock-window-open", "lock-window-locked")
    entries = [entry(f"E{at}", role, file=f"photos/E{at}.jpg") for at, role in enumerate(roles, start=1)]
    flat = {name: pictured(name, base=1) for name in ("E1", "E2")}
    same = {name: pictured(name).model_copy(update={"sha256": digest("same")}) for name in ("E1", "E2")}

    for items in (flat, same, {"E1": pictured("E1"), "E2": photo("E2")}, {"E1": pictured("E1")}):
        assert of("same-picture-twice", case(record(exhibits=entries), items=items)) == []


def test_one_paper_under_two_ids_is_only_told() -> None:
    entries = [entry("E1", "type-test-report"), entry("E2", "type-test-report", "vehicle")]
    items = {name: paper(name, digest("same")) for name in ("E1", "E2")}
    (found,) = of("same-file-twice", case(record(exhibits=entries), items=items))

    assert found.severity == Severity.NOTICE


def changed(now: str = "E1") -> Case:
    log = intake({"event": "add", "id": "E1", "sha256": digest("old"), "at": "2026-03-01T08:00+01:00"})
    items = {"E1": photo("E1", sha256=digest(now))}
    return case(
        record(exhibits=[entry("E1", "overview")]), items=items, intake=log, changed=frozenset({"E1"})
    )


def test_exhibit_changed() -> None:
    (found,) = of("exhibit-changed", changed())

    assert [place.value for place in found.between] == [digest("old"), digest("E1")]
    assert of("exhibit-changed", case()) == []


def test_the_id_is_rule_subject_and_digest_of_both_values() -> None:
    (found,) = of("exhibit-changed", changed())
    # first 8 hex digits of SHA-256 over both values with a NUL between, computed independently with hashlib
    expected = hashlib.sha256(f"{digest('old')}\x00{digest('E1')}".encode()).hexdigest()[:8]

    assert found.id == f"exhibit-changed:E1:{expected}"


def test_an_answer_closes_it_and_a_changed_value_opens_it_again() -> None:
    def answered(vin: str) -> Contradiction:
        vehicle = {"build": "1", "vin": vin}
        open_case = case(record(vehicle={"build": "1", "vin": "1M8GDM9A0KP042788"}))
        (first,) = of("vin-check-digit", open_case)
        answer = {"contradiction": first.id, "by": "w2", "at": "2026-03-09"}
        the_case = case(record(vehicle=vehicle, answers=[answer]), regions=frozenset({Region.NORTH_AMERICA}))
        (found,) = (one for one in judge(the_case).contradictions if one.rule == "vin-check-digit")
        return found

    same, other = answered("1M8GDM9A0KP042788"), answered("1M8GDM9A1KP042788")
    assert (same.answered_by, same.open) == ("w2", False)
    assert (other.answered_by, other.open) == (None, True)


def test_contradictions_come_sorted_by_id() -> None:
    the_case = case(
        record(
            vehicle={"vin": "1M8GDM9A0KP042788"},
            documents=[
                document("d1", "delivery-note", system_serial="9"),
                document("d2", "type-test-report", system_model="x"),
            ],
        )
    )
    ids = [one.id for one in contradictions(the_case)]

    assert len(ids) == 3
    assert ids == sorted(ids)
