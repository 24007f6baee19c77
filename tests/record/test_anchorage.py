"""Broken anchorage sheets: each fault with its code, its exact place, and what to do."""

from dataclasses import dataclass

import pytest

from evidence.errors import InputError, Problem
from evidence.phrases import hint, say
from evidence.record.anchorage_meaning import check_anchorage
from evidence.record.reader import read_anchorage
from tests.measure.sheets import WHOLE
from tests.record.support import changed


@dataclass(frozen=True)
class Broken:
    """One change of the whole sheet; § in the new text marks where the message must point."""

    code: str
    old: str
    new: str
    said: str


BROKEN = [
    Broken("format-unknown", "sillmark-anchorage/0", "§sillmark-profile/0", "sillmark-anchorage/0"),
    Broken("format-newer", "sillmark-anchorage/0", "§sillmark-anchorage/3", "sillmark-anchorage/0"),
    Broken(
        "field-missing",
        "format: sillmark-anchorage/0\ntitle: Heron 2 floor plate, TV-17\n",
        "§format: sillmark-anchorage/0\n",
        "title",
    ),
    Broken("word-misspelt", "pivot: edge", "pivot: §egde", "edge"),
    Broken("word-not-allowed", "friction: not counted", "friction: §0.2", "not counted"),
    Broken("word-not-allowed", "direction: upward", "direction: §downward", "upward"),
    Broken("quantity-unit-missing", "mass: 150 kg", "mass: §150", "kg"),
    Broken("quantity-unit", "direction: left, level: 10 g", "direction: left, level: §10 kg", "m/s²"),
    Broken("quantity-unreadable", "height: 700 mm", "height: §knee high", "knee high"),
    Broken("field-misspelt", "part: system, mass:", "part: system, §mas:", "mass"),
    Broken(
        "yes-no-expected",
        "id: B6, x: -400 mm, y: 120 mm, thread: M10, property_class: 10.9, countersunk: no",
        "id: B6, x: -400 mm, y: 120 mm, thread: M10, property_class: 10.9, countersunk: §flat",
        "flat",
    ),
    Broken(
        "anchorage-thread-unknown",
        "y: -120 mm, thread: M10, property_class: 10.9, countersunk: yes",
        "y: -120 mm, thread: §M10x1, property_class: 10.9, countersunk: yes",
        "M10x1",
    ),
    Broken(
        "anchorage-class-unknown",
        "y: -120 mm, thread: M10, property_class: 10.9, countersunk: yes",
        "y: -120 mm, thread: M10, property_class: §010.9, countersunk: yes",
        "010.9",
    ),
    Broken("anchorage-out-of-range", "mass: 150 kg", "mass: §150 g", "150 g"),
    Broken("anchorage-out-of-range", "mass: 45 kg", "mass: §-45 kg", "-45 kg"),
    Broken("anchorage-out-of-range", "height: 700 mm", "height: §700 in", "700 in"),
    Broken(
        "anchorage-out-of-range",
        "direction: left, level: 10 g",
        "direction: left, level: §10000 g",
        "10000 g",
    ),
    Broken("anchorage-out-of-range", "nut_factor_high: 0.20", "nut_factor_high: §20", "20"),
    Broken("anchorage-out-of-range", "front: 450 mm", "front: §450 m", "450 m"),
    Broken("anchorage-twice", "direction: left", "direction: §forward", "forward"),
    Broken("anchorage-twice", "part: system", "part: §stretcher", "stretcher"),
    Broken(
        "anchorage-mass-missing",
        "masses:\n  - {part: stretcher",
        "§masses:\n  - {part: equipment",
        "stretcher",
    ),
    Broken("id-duplicate", "id: B6", "id: §b5", "b5"),
    Broken(
        "anchorage-bolts-coincide", "{id: B6, x: -400 mm, y: 120 mm", "§{id: B6, x: -40 cm, y: -12 cm", "B5"
    ),
    Broken(
        "anchorage-plate-reversed", "front: 450 mm, rear: -450 mm", "front: §-450 mm, rear: 450 mm", "rear"
    ),
    Broken("anchorage-plate-reversed", "right: 150 mm", "right: §-150 mm", "left"),
    Broken("anchorage-bolt-off-plate", "{id: B2, x: 400 mm", "§{id: B2, x: 460 mm", "B2"),
    Broken("anchorage-tightening-unused", "thread: M10, torque", "thread: §M8, torque", "M10"),
    Broken("anchorage-nut-factors-reversed", "nut_factor_high: 0.20", "nut_factor_high: §0.12", "0.12"),
]


def problems(text: str) -> tuple[Problem, ...]:
    try:
        return check_anchorage(read_anchorage(text.encode(), "sheet.yaml"))
    except InputError as error:
        return error.problems


@pytest.mark.parametrize("broken", BROKEN, ids=lambda each: f"{each.code}-{each.said}")
def test_a_broken_sheet_is_refused_at_its_place(broken: Broken) -> None:
    text, place = changed(WHOLE, broken.old, broken.new)

    found = [each for each in problems(text) if each.code == broken.code]

    assert [each.where for each in found] == [f"sheet.yaml:{place}"]
    told = say(found[0].code, found[0].parameters) + hint(found[0].code)
    assert broken.said in told
    assert hint(found[0].code).endswith(".")


def test_the_whole_sheet_has_no_fault() -> None:
    assert problems(WHOLE) == ()


def test_the_edge_needs_a_plate_and_the_centroid_does_not() -> None:
    plate = "plate: {front: 450 mm, rear: -450 mm, left: -150 mm, right: 150 mm}\n"
    text, place = changed(WHOLE.replace(plate, ""), "pivot: edge", "pivot: §edge")

    assert [(each.code, each.where) for each in problems(text)] == [
        ("anchorage-plate-missing", f"sheet.yaml:{place}")
    ]
    assert problems(text.replace("pivot: edge", "pivot: centroid")) == ()


def test_equipment_may_stand_several_times() -> None:
    extra = "  - {part: equipment, mass: 6 kg, x: 0 mm, y: 0 mm, height: 1 m}\n"
    text = WHOLE.replace("accelerations:", f"{extra}{extra}accelerations:")

    assert problems(text) == ()


def test_no_bolts_and_too_many() -> None:
    head, _, tail = WHOLE.partition("bolts:\n")
    rest = tail[tail.index("tightening:") :]
    bolt = "  - {{id: B{0}, x: {0} mm, y: 0 mm, thread: M10, property_class: 8.8, countersunk: no}}\n"
    many = head + "bolts:\n" + "".join(bolt.format(each) for each in range(61)) + rest

    assert [each.code for each in problems(f"{head}bolts: []\n{rest}")] == ["list-too-short"]
    assert [each.code for each in problems(many)] == ["list-too-long"]


def test_all_faults_come_at_once_in_the_order_of_the_file() -> None:
    text = WHOLE.replace("mass: 45 kg", "mass: 45 g").replace("id: B2, x: 400 mm", "id: B2, x: 4 m")

    assert [each.code for each in problems(text)] == ["anchorage-out-of-range", "anchorage-bolt-off-plate"]


def test_a_decimal_comma_and_inches_are_read() -> None:
    text = WHOLE.replace("mass: 55 kg", 'mass: "55,5 kg"').replace("height: 450 mm", "height: 17 3/4 in")
    entry = read_anchorage(text.encode(), "sheet.yaml")

    assert str(entry.sheet.masses[0].mass) == "55.5 kg"
    assert float(entry.sheet.masses[0].height.base) == pytest.approx(
        0.45085
    )  # published: 1 in = 25.4 mm exactly
