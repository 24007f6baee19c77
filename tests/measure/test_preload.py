"""Torque and preload, and the table of bolts that both rest on."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence.measure._screws import screw
from evidence.measure.preload import band, diameter_mm
from evidence.model.anchorage import Anchorage

NEWTON_PER_POUND = Fraction("4.4482216152605")  # published: definition of the pound-force
INCH = Fraction("25.4")  # mm; published: definition of the inch
FOOT_POUND = NEWTON_PER_POUND * 12 * INCH / 1000  # N·m

# published: ISO 898-1, coarse threads, as repeated by public tables of two fastener distributors (tensile loads alike in
# a third): thread, area; proof and tensile load of 8.8, 10.9, 12.9 in N
TABLE = """
M5 14.2 8230 11350 11800 14800 13800 17300
M6 20.1 11600 16100 16700 20900 19500 24500
M8 36.6 21200 29200 30400 38100 35500 44600
M10 58.0 33700 46400 48100 60300 56300 70800
M12 84.3 48900 67400 70000 87700 81800 103000
M14 115 66700 92000 95500 120000 112000 140000
M16 157 91000 125000 130000 163000 152000 192000
"""
ROWS = [line.split() for line in TABLE.strip().splitlines()]
PITCH = {"M5": "0.8", "M6": "1", "M8": "1.25", "M10": "1.5", "M12": "1.75", "M14": "2", "M16": "2"}
CLASSES = ("8.8", "10.9", "12.9")
PROOF_STRESS = {"8.8": 580, "10.9": 830, "12.9": 970}  # MPa; published with the proof loads


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_table(row: list[str]) -> None:
    thread, area, *loads = row
    found = [screw(thread, each) for each in CLASSES]

    assert [n for one in found for n in (one.proof_n, one.tensile_n)] == [int(load) for load in loads]
    assert {one.area_mm2 for one in found} == {Fraction(area)}
    assert {one.diameter_mm for one in found} == {int(thread[1:])} == {diameter_mm(thread)}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_table_hangs_together(row: list[str]) -> None:
    """Source: computed independently with pi/4 (d - 0.9382 P)² and with stress times area, to the rounding of the table."""
    thread, area, *_ = row
    diameter = float(thread[1:]) - 0.9382 * float(PITCH[thread])

    assert float(area) == pytest.approx(3.14159265 / 4 * diameter**2, rel=0.005)
    for each in CLASSES:
        assert float(screw(thread, each).proof_n) == pytest.approx(
            PROOF_STRESS[each] * float(area), rel=0.006
        )


@pytest.mark.parametrize(("property_class", "tensile"), [("8.8", 23_360), ("10.9", 30_480), ("12.9", 35_680)])
def test_countersunk_heads_carry_less(property_class: str, tensile: int) -> None:
    """Source: published: public scope of the standard of a sibling kind of screws, 0.8; computed independently: 0.8 of M8."""
    assert screw("M8", property_class, countersunk=True).tensile_n == tensile


@pytest.mark.parametrize(("thread", "property_class"), [("M7", "8.8"), ("M10", "8.9")])
def test_what_is_not_in_the_table_is_an_error(thread: str, property_class: str) -> None:
    with pytest.raises((KeyError, ValueError)):
        screw(thread, property_class)


def test_the_sheet_allows_what_the_table_has() -> None:
    pattern = Anchorage.model_json_schema()["$defs"]["Bolt"]["properties"]["thread"]["pattern"]

    assert pattern.count("|") + 1 == len(ROWS)
    assert all(f"{row[0][1:]}" in pattern for row in ROWS)


@pytest.mark.parametrize(
    ("thread", "property_class", "nut_factor", "torque"),
    # computed independently with K d 0.75 (proof stress times area), which lies up to 0.6 % off the rounded table
    [
        ("M6", "8.8", "0.20", "10.5"),
        ("M8", "10.9", "0.20", "36.5"),
        ("M10", "10.9", "0.20", "72.2"),
        ("M12", "12.9", "0.20", "147.2"),
        ("M8", "8.8", "0.15", "19.1"),
        ("M10", "12.9", "0.15", "63.3"),
    ],
)
def test_torque_at_three_quarters_of_proof(
    thread: str, property_class: str, nut_factor: str, torque: str
) -> None:
    factor = Fraction(nut_factor)
    clamped = band(Fraction(torque), diameter_mm(thread), (factor, factor))

    low, high = clamped.shares(screw(thread, property_class).proof_n)
    assert low == high
    assert float(low) == pytest.approx(0.75, rel=0.006)


@pytest.mark.parametrize(
    ("inches", "pounds", "nut_factor", "foot_pounds", "rel"),
    [
        # published: fastener handbook pages, 1/4-20 grade 2 dry: 1312 lbf from 5.4 to 5.5 lbf·ft at 0.20
        ("1/4", 1312, "0.20", "5.467", 0.001),
        # published: the same kind of pages, 3/8-16 grade 5: 4940 lbf, 30 lbf·ft at 0.20 and 23 at 0.15, rounded there
        ("3/8", 4940, "0.20", "30.9", 0.002),
        ("3/8", 4940, "0.15", "23.2", 0.002),
    ],
)
def test_inch_bolts_of_the_handbooks(
    inches: str, pounds: int, nut_factor: str, foot_pounds: str, rel: float
) -> None:
    factor = Fraction(nut_factor)
    clamped = band(Fraction(foot_pounds) * FOOT_POUND, Fraction(inches) * INCH, (factor, factor))

    assert float(clamped.low_n / NEWTON_PER_POUND) == pytest.approx(pounds, rel=rel)


@given(st.integers(1, 500), st.integers(5, 50), st.integers(0, 50))
def test_a_band_gives_its_torque_back(torque: int, low: int, more: int) -> None:
    factors = (Fraction(low, 100), Fraction(low + more, 100))
    clamped = band(Fraction(torque), Fraction(10), factors)

    assert clamped.low_n <= clamped.high_n
    assert factors[1] * 10 * clamped.low_n / 1000 == torque == factors[0] * 10 * clamped.high_n / 1000


def test_a_joint_opens_above_the_least_preload() -> None:
    clamped = band(Fraction(40), Fraction(10), (Fraction("0.16"), Fraction("0.20")))

    assert [clamped.low_n, clamped.high_n] == [20_000, 25_000]
    assert [clamped.opens(Fraction(pull)) for pull in (19_999, 20_000, 20_001)] == [False, False, True]
    assert clamped.document(Fraction(48_100)) == {
        "preload_low_n": "20000",
        "preload_high_n": "25000",
        "share_of_proof_low": "0.42",
        "share_of_proof_high": "0.52",
    }


@pytest.mark.parametrize(
    ("low", "high", "diameter"), [("0", "0.2", 10), ("0.3", "0.2", 10), ("0.1", "0.2", 0)]
)
def test_nonsense_is_refused(low: str, high: str, diameter: int) -> None:
    with pytest.raises(ValueError, match="positive"):
        band(Fraction(1), Fraction(diameter), (Fraction(low), Fraction(high)))
