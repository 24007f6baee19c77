"""Which curves of sled runs are drawn, processed how and over which stretch."""

from dataclasses import replace
from fractions import Fraction

import pytest

from evidence import labtests, pulsing
from evidence.exhibits._base import Reading
from evidence.model.names import ChannelUse
from evidence.model.record import JobRecord
from evidence.register.demand import Demand, Demands
from tests import labcases as lab
from tests.dossier import sled
from tests.lab.demo import SAE_RUNS
from tests.lab.runs import run_zip

EXHIBIT = "E052"  # the side run


@pytest.fixture(scope="module")
def job() -> JobRecord:
    return sled.source(sled.AMERICAN).record


def read(step: float = 0.0001, begin: float = -0.05, end: float = 0.15) -> dict[str, Reading]:
    """A side pulse as a table, and a head that follows it."""
    pulse = lab.trapezoid(-22.0, 0.012, 0.032, 0.044)
    data = lab.table(
        {"sled unfiltered [g]": pulse, "head [mm]": lambda time: 300 * max(0.0, min(time, 0.1))},
        begin=begin, end=end, step=step,
    )  # fmt: skip
    return {EXHIBIT: lab.reading(data, EXHIBIT)}


def side(job: JobRecord, *channels: dict[str, str]) -> JobRecord:
    """The record with the side run alone."""
    test = next(one for one in job.tests if one.exhibit == EXHIBIT)
    fields = {**test.document(), "channels": list(channels)}
    return job.model_copy(update={"tests": (type(test).read(fields),)})


def drawn(job: JobRecord, readings: dict[str, Reading], *demands: Demand) -> tuple[pulsing.DrawnCurve, ...]:
    asked = Demands(demands, ())
    results = labtests.of_job(job, asked, readings)
    return pulsing.curves(job, asked, readings, results).get("t52", ())


PULSE = lab.channel()
HEAD = {"use": "excursion", "name": "head"}
CORRIDOR = next(
    one for one in sled.shipped(sled.PACKS) if one.requirement == "sae-j2956-2011@1/pulse/corridor"
)
REACH = sled.demand({"quantity": "test.excursion", "direction": "side", "high": "50 mm"}, "reach")


def test_a_pulse_is_drawn_always_and_others_where_a_number_is_asked(job: JobRecord) -> None:
    record = side(job, PULSE, HEAD)
    alone = drawn(record, read())
    asked = drawn(record, read(), CORRIDOR, REACH)

    assert [(one.channel.use, one.processing.cfc, one.corridor) for one in alone] == [
        (ChannelUse.PULSE, "none", "")
    ]
    assert [(one.channel.use, one.processing.cfc, one.corridor) for one in asked] == [
        (ChannelUse.PULSE, "60", CORRIDOR.requirement),
        (ChannelUse.EXCURSION, "none", ""),
    ]


def test_a_turned_channel_is_drawn_turned_and_in_the_unit_of_the_corridor(job: JobRecord) -> None:
    readings = {
        EXHIBIT: lab.reading(
            lab.table({"sled unfiltered [m/s²]": lab.trapezoid(220.0, 0.012, 0.032, 0.044)}), EXHIBIT
        )
    }
    (one,) = drawn(side(job, {**PULSE, "sign": "reversed"}), readings, CORRIDOR)

    assert one.unit == "g"
    # computed independently: 220 m/s² / 9.80665 m/s² (published: CGPM, 3rd meeting, 1901, Paris)
    assert min(one.outline.values) == pytest.approx(-22.43, abs=0.3)


def test_a_long_record_is_drawn_around_what_was_asked(job: JobRecord) -> None:
    (one,) = drawn(side(job, PULSE), read(begin=-1.0, end=4.0), CORRIDOR)

    # computed independently: the corridor spans 0 to 55 ms, a quarter of that is 13.75 ms
    assert one.outline.times_ms[0] == pytest.approx(-13.75, abs=0.1)
    assert one.outline.times_ms[-1] == pytest.approx(68.75, abs=0.1)
    assert (one.begin_s, one.end_s, one.samples) == ("-1", "4", 50_001)


def test_a_record_that_is_hardly_longer_than_that_is_drawn_whole(job: JobRecord) -> None:
    (one,) = drawn(side(job, PULSE), read(begin=-0.02, end=0.07), CORRIDOR)

    assert one.outline.times_ms[0] == pytest.approx(-20.0)
    assert one.outline.times_ms[-1] == pytest.approx(70.0)


def test_a_single_moment_is_drawn_with_room_around_it(job: JobRecord) -> None:
    peak = sled.demand(
        {
            "quantity": "test.peak-acceleration",
            "direction": "side",
            "low": "9 g",
            "processing": {"cfc": "60"},
        },
        "peak",
    )
    (one,) = drawn(side(job, PULSE), read(), peak)

    assert one.outline.times_ms[-1] - one.outline.times_ms[0] > 50


def test_what_is_not_there_or_cannot_be_processed_is_not_drawn(job: JobRecord) -> None:
    assert drawn(side(job, lab.channel("nothing of that name")), read()) == ()
    assert drawn(side(job, PULSE), {}) == ()
    assert drawn(side(job, PULSE), read(step=0.01), CORRIDOR) == ()  # too slow for the class
    word = {EXHIBIT: lab.reading(lab.table({"sled unfiltered [furlong]": lambda time: time}), EXHIBIT)}
    assert drawn(side(job, PULSE), word) == ()


def test_a_file_without_channels_draws_nothing(job: JobRecord) -> None:
    sets = sled.reading(run_zip(SAE_RUNS["E023"]), EXHIBIT)
    gone = replace(sets, channels=None)

    assert drawn(side(job, lab.channel("S0SLED000000ACY0")), {EXHIBIT: sets}) != ()
    assert drawn(side(job, lab.channel("S0SLED000000ACY0")), {EXHIBIT: gone}) == ()


def test_the_same_numbers_in_another_order_draw_the_same(job: JobRecord) -> None:
    record, readings = side(job, PULSE, HEAD), read()
    asked = Demands((CORRIDOR, REACH), ())
    results = labtests.of_job(record, asked, readings)
    turned = dict(reversed(results.items()))

    assert pulsing.curves(record, asked, readings, results) == pulsing.curves(record, asked, readings, turned)


def test_the_stretch_reaches_over_a_corridor_that_outlasts_the_record(job: JobRecord) -> None:
    (one,) = drawn(side(job, PULSE), read(begin=0.0, end=0.03), CORRIDOR)

    assert one.corridor == CORRIDOR.requirement
    assert one.outline.times_ms[-1] == pytest.approx(float(Fraction(30)))
