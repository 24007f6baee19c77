"""The anchorage worksheet: forces, pivots, limits, reserves, and how it rounds."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.measure._screws import screw
from evidence.measure.anchorage import NOT_COVERED, BoltLoad, Case, mm, n_m, reserve_text, root
from evidence.phrases import knows
from tests.measure.sheets import PLATE, SQUARE, WHOLE, computed, sheet


def only(text: str) -> Case:
    (case,) = computed(text).cases
    return case


def pulls(case: Case) -> list[Fraction]:
    return [load.tension_n for load in case.bolts]


@pytest.mark.parametrize(("mass", "newtons"), [(250, 24_517), (300, 29_420), (220, 21_575)])
def test_force_of_ten_g(mass: int, newtons: int) -> None:
    """Source: computed independently with m times 10 times 9.80665 m/s² (published: standard gravity, exact)."""
    case = only(sheet(masses=f"{mass} kg at 0 0 500"))

    assert case.document()["force_n"] == str(newtons)


def test_the_same_level_in_other_units() -> None:
    assert only(sheet(levels="forward 98.0665 m/s²")).force_n == only(sheet()).force_n


def test_the_common_centre_of_gravity() -> None:
    """By hand: (55·250 + 45·100 + 150·200)/250 = 193, 150·20/250 = 12, (55·450 + 45·150 + 150·700)/250 = 546."""
    gravity = computed(WHOLE).gravity

    assert [gravity.mass_kg, gravity.x, gravity.y, gravity.height] == [250, 193, 12, 546]


def test_the_edge_as_pivot() -> None:
    """By hand: M = 24516.625 N · 0.5 m; bolts 100 and 500 mm from the front edge; M d / (2 (100² + 500²))."""
    case = only(sheet())
    moment = Fraction("24516.625") * 500

    assert case.overturning_n_mm == moment
    assert pulls(case) == [moment * way / 520_000 for way in (100, 100, 500, 500)]


@pytest.mark.parametrize(
    ("direction", "pulled"),
    [("forward", "B3 B4"), ("rearward", "B1 B2"), ("left", "B2 B4"), ("right", "B1 B3")],
)
@pytest.mark.parametrize("pivot", ["edge", "centroid"])
def test_the_side_that_the_load_leaves_is_pulled(pivot: str, direction: str, pulled: str) -> None:
    case = only(sheet(pivot=pivot, levels=f"{direction} 10 g"))
    most = max(pulls(case))

    assert " ".join(load.bolt.id for load in case.bolts if load.tension_n == most) == pulled


def test_the_centroid_as_pivot() -> None:
    """By hand: M / (4 · 200²) · 200, pressed in front as it is pulled behind."""
    case = only(sheet(pivot="centroid", more=""))
    each = Fraction("24516.625") * 500 / 800

    assert pulls(case) == [-each, -each, each, each]
    assert case.bolts[0].pull_n == 0
    assert case.bolts[0].together_squared == 3 * case.bolts[0].shear_squared


@pytest.mark.parametrize("pivot", ["edge", "centroid"])
def test_a_load_upwards_is_shared_as_a_plane(pivot: str) -> None:
    """By hand: a quarter each, and the moment of 50 mm over 4 · 200²: 1/4 ± 50/800 of the force."""
    case = only(sheet(pivot=pivot, levels="upward 10 g", masses="250 kg at 50 0 500"))
    force = Fraction("24516.625")

    assert pulls(case) == [force * part / 16 for part in (5, 5, 3, 3)]
    assert case.overturning_n_mm == 0
    assert not any(load.shear_squared for load in case.bolts)


def test_shear_with_a_twist() -> None:
    """By hand: 24516.625 N lengthwise at 40 mm to the right twist by 980665 N·mm; sum r² = 4 (200² + 100²)."""
    case = only(sheet(masses="250 kg at 0 40 500"))
    quarter, rate = Fraction("24516.625") / 4, Fraction("24516.625") * 40 / 200_000

    assert case.twist_n_mm == -Fraction("24516.625") * 40
    assert [load.shear_n for load in case.bolts] == [(quarter + rate * y, -rate * x) for x, y in SQUARE]


def test_pull_and_shear_together() -> None:
    """By hand, T 3000 and V 4000 N: sqrt(3000² + 3 · 4000²) = 7549.83; the proof load of M10 10.9 fits 6.37 times."""
    bolt = computed(sheet()).sheet.bolts[0]
    load = BoltLoad(bolt, screw("M10", "10.9"), Fraction(3000), (Fraction(-4000), Fraction(0)))

    told = load.document()

    assert (told["together_n"], told["shear_n"]) == ("7550", "4000")
    assert (told["reserve_to_proof"], told["in_use_of_proof"]) == ("6.37", "0.157")
    assert (told["reserve_to_tensile"], told["in_use_of_tensile"]) == ("7.98", "0.126")


def test_countersunk_heads_have_four_fifths_of_the_reserve() -> None:
    flat = only(sheet()).bolts[0]
    sunk = only(sheet(threads=("M10 10.9 yes",))).bolts[0]

    assert (sunk.screw.proof_n, sunk.tension_n) == (flat.screw.proof_n * Fraction(8, 10), flat.tension_n)
    assert "anchorage-as-countersunk" in computed(sheet(threads=("M10 10.9 yes",))).assumptions
    assert "anchorage-as-countersunk" not in computed(sheet()).assumptions


def test_a_bolt_of_more_area_takes_more() -> None:
    case = only(sheet(threads=("M12 8.8 no", "M10 8.8 no")))
    thick, thin = case.bolts[0], case.bolts[1]

    assert thick.tension_n / thin.tension_n == Fraction("84.3") / Fraction("58.0")


def test_the_worst_of_all_directions() -> None:
    found = computed(WHOLE)
    reserves = {
        (case.direction, load.bolt.id): load.screw.proof_n**2 / load.together_squared
        for case in found.cases
        for load in case.bolts
    }

    assert (found.worst.direction, found.worst.worst.bolt.id) == min(reserves, key=lambda key: reserves[key])
    assert found.document()["worst"] == {
        "direction": "left",
        "bolt": "B4",
        "reserve_to_proof": "2.15",
        "reserve_to_tensile": "2.70",
    }


def test_a_reserve_just_below_one_never_reads_one() -> None:
    bolt = computed(sheet()).sheet.bolts[0]
    load = BoltLoad(bolt, screw("M10", "10.9"), Fraction(48_101), (Fraction(0), Fraction(0)))
    exact = BoltLoad(bolt, screw("M10", "10.9"), Fraction(48_100), (Fraction(0), Fraction(0)))

    assert (load.document()["reserve_to_proof"], load.document()["in_use_of_proof"]) == ("0.99", "1.001")
    assert (exact.document()["reserve_to_proof"], exact.document()["in_use_of_proof"]) == ("1.00", "1.000")


def test_nothing_carried_has_no_reserve() -> None:
    bolt = computed(sheet()).sheet.bolts[0]
    load = BoltLoad(bolt, screw("M10", "10.9"), Fraction(-5), (Fraction(0), Fraction(0)))

    assert (load.document()["reserve_to_proof"], load.document()["in_use_of_proof"]) == (None, "0.000")


def test_warnings() -> None:
    assert computed(sheet()).warnings == ()
    assert computed(sheet(levels="forward 60 g")).warnings == ("anchorage-below-one",)
    assert computed(sheet(threads=("M10 12.9 no",))).warnings == ("anchorage-hard-class",)


@pytest.mark.parametrize("pivot", ["edge", "centroid"])
@pytest.mark.parametrize("levels", ["forward 10 g", "upward 10 g"])
def test_every_assumption_and_limit_has_words(pivot: str, levels: str) -> None:
    found = computed(sheet(pivot=pivot, levels=levels))

    assert [code for code in (*found.assumptions, *NOT_COVERED) if not knows(code)] == []
    stated = f"anchorage-as-pivot-{pivot}"
    assert (stated in found.assumptions) == (levels != "upward 10 g")


@pytest.mark.parametrize(
    ("pivot", "places", "level"),
    [
        ("centroid", ((0, -100), (0, 100)), "forward 10 g"),
        ("centroid", ((0, 0),), "left 10 g"),
        ("edge", ((300, -100), (300, 100)), "forward 10 g"),
    ],
)
def test_a_pattern_that_cannot_hold_is_told(
    pivot: str, places: tuple[tuple[int, int], ...], level: str
) -> None:
    text = sheet(pivot=pivot, places=places, levels=level)

    with pytest.raises(InputError) as caught:
        computed(text)

    (problem,) = caught.value.problems
    line = text.split("\n").index("bolts:") + 1
    assert (problem.code, problem.where) == ("anchorage-pattern", f"sheet.yaml:{line}:1")
    assert problem.parameters == {"direction": level.split(" ", maxsplit=1)[0]}


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.integers(-290, 290), st.integers(-190, 190)), min_size=3, max_size=6, unique=True),
    st.sampled_from(["forward", "rearward", "left", "right"]),
    st.integers(-200, 200),
    st.integers(10, 900),
)
def test_every_case_is_in_balance(
    places: list[tuple[int, int]], direction: str, aside: int, height: int
) -> None:
    text = sheet(
        places=tuple(places), levels=f"{direction} 10 g", masses=f"250 kg at {aside} {aside} {height}"
    )
    case = only(text)
    force = Fraction("24516.625")
    way = {"forward": (1, 0), "rearward": (-1, 0), "left": (0, -1), "right": (0, 1)}[direction]
    edge = 300 if way[0] else 200

    shears = [load.shear_n for load in case.bolts]
    assert [sum(shear[axis] for shear in shears) for axis in (0, 1)] == [force * each for each in way]
    about = [
        load.tension_n * (edge - (x * way[0] + y * way[1]))
        for load, (x, y) in zip(case.bolts, places, strict=True)
    ]
    assert sum(about) == force * height
    turning = sum(x * shear[1] - y * shear[0] for (x, y), shear in zip(places, shears, strict=True))
    assert turning == aside * force * way[1] - aside * force * way[0]


@given(st.integers(1, 30), st.integers(101, 500))
def test_loads_grow_with_level_and_mass(level: int, mass: int) -> None:
    one = only(sheet(levels="forward 1 g", masses="200 kg at 30 20 500"))
    more = only(sheet(levels=f"forward {level} g", masses=f"{mass} kg at 30 20 500"))

    # the masses lie at one place, so that every load goes with their sum
    factor = Fraction(level * mass, 200)
    assert pulls(more) == [pull * factor for pull in pulls(one)]
    assert [load.shear_n for load in more.bolts] == [
        (x * factor, y * factor) for x, y in (load.shear_n for load in one.bolts)
    ]


def test_a_higher_mass_and_a_smaller_plate_pull_harder() -> None:
    low, high = only(sheet(masses="250 kg at 0 0 400")), only(sheet(masses="250 kg at 0 0 800"))
    narrow = only(sheet(more=PLATE.replace("front: 300", "front: 210")))

    assert max(pulls(high)) == 2 * max(pulls(low))
    assert max(pulls(narrow)) > max(pulls(only(sheet())))


@pytest.mark.parametrize(("square", "nearest"), [("6.25", 3), ("6.24", 2), ("0", 0), ("2", 1), ("12.3", 4)])
def test_a_root_is_rounded_once(square: str, nearest: int) -> None:
    """Source: computed independently with sqrt: 2.5 (up), 2.498, 0, 1.414, 3.507."""
    assert root(Fraction(square)) == nearest


def test_how_numbers_are_told() -> None:
    assert (mm(Fraction("12.34")), mm(Fraction(-1, 100)), n_m(Fraction(-1499))) == ("12.3", "0", "-1")
    assert (reserve_text(Fraction(5, 2)), reserve_text(None)) == ("2.50", None)
