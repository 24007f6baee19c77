"""Real channels of a public crash test, against what the test laboratory reported for it.

published: NHTSA Vehicle Crash Test Database, test 10146, 2018, United States. The data are no part of the project; a test
that needs them skips where they do not lie beside it in ``../shared/data/nhtsa-10146``.
"""

import pytest

from evidence.measure import pulse
from tests.measure.signals import laboratory

IMPACT_MS = 57.09 / 3.6  # m/s; published: the same test's impact speed


def raw(name: str, cfc: pulse.Class) -> pulse.Curve:
    return pulse.processed(laboratory(name), pulse.Recipe(cfc))


def chest(who: str) -> pulse.Curve:
    return pulse.resultant([raw(f"{who}-chest-{axis}", 180) for axis in "xyz"], "set")


@pytest.mark.parametrize(
    ("name", "reported", "recomputed"),
    [
        # reported by the laboratory: N, whole; computed independently from the same channels: two decimals
        ("driver-left-femur", -1923, -1923.29),
        ("driver-right-femur", -2345, -2345.35),
        ("passenger-left-femur", -1182, -1181.60),
        ("passenger-right-femur", -1378, -1378.07),
    ],
)
def test_femur_loads_round_to_the_laboratorys(name: str, reported: int, recomputed: float) -> None:
    least = pulse.peak(raw(name, 600), "min")

    assert round(least.value) == reported
    assert least.value == pytest.approx(recomputed, abs=0.006)
    assert not least.near_end


def test_chest_clip_of_the_driver_is_the_laboratorys() -> None:
    clipped = pulse.clip(chest("driver"), "cumulative")

    assert clipped is not None
    assert round(clipped.value, 1) == 41.0  # reported by the laboratory
    assert clipped.value == pytest.approx(41.02, abs=0.006)  # computed independently from the same channels


def test_chest_clip_of_the_passenger_shows_that_the_source_disagrees_with_itself() -> None:
    """The report says 41.0 g; its own channels give 40.6.

    An independent computation that counts samples gives 40.60: the 31st greatest of them. The curve straight between
    its samples stays above 40.64 for the same 3 ms.
    """
    curve = chest("passenger")
    clipped = pulse.clip(curve, "cumulative")

    assert clipped is not None
    assert round(clipped.value, 1) == 40.6
    assert clipped.value == pytest.approx(40.60, abs=0.05)  # computed independently from the same channels
    assert sorted(curve.values)[-31] == pytest.approx(40.60, abs=0.006)
    assert round(clipped.value, 1) != 41.0


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("cfc", [60, 180])
def test_the_vehicle_loses_a_little_more_than_its_speed(side: str, cfc: pulse.Class) -> None:
    change = pulse.velocity_change(raw(f"{side}-rear-seat-crossmember-x", cfc))

    # rebound adds to the impact speed; from memory of crash reconstruction: 5 to 20 % in a full frontal test
    assert change is not None
    assert 1.02 < -change.value / IMPACT_MS < 1.2
    assert change.span.begin_s == 0
    assert 0.06 < float(change.span.end_s) < 0.15


def test_the_two_forms_differ_little() -> None:
    channel = laboratory("driver-chest-x")
    one, other = (
        pulse.peak(pulse.processed(channel, pulse.Recipe(180, form)), "min") for form in pulse.FORMS
    )

    assert one.value != other.value
    assert one.value == pytest.approx(other.value, rel=1e-3)


def test_a_table_does_not_say_what_it_was_filtered_with() -> None:
    assert raw("driver-chest-x", 180).doubts == ("pulse-filter-undeclared",)


@pytest.mark.parametrize(
    ("cfc", "kind", "milliseconds"),
    # computed independently from the same channel
    [
        (60, "cumulative", 68.9),
        (60, "continuous", 52.3),
        (180, "continuous", 35.1),
        (None, "continuous", 7.0),
    ],
)
def test_how_long_ten_g_lasts_depends_on_how_it_is_asked(
    cfc: pulse.Class | None, kind: pulse.Kind, milliseconds: float
) -> None:
    """One channel, four ways: a level without class and counting rule says nothing."""
    curve = pulse.processed(laboratory("left-rear-seat-crossmember-x"), pulse.Recipe(cfc))

    assert round(pulse.time_above(curve, -10, kind).value * 1000, 1) == milliseconds
