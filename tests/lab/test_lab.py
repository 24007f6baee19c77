"""The generator of laboratory data: what its parameters say is what the files give, on every machine the same."""

import hashlib
import shutil
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from evidence import exhibits, jobs, library, pipeline
from evidence.exhibits import mme
from evidence.exhibits.reading import channel_set, read
from evidence.guard import Guard
from evidence.measure import pulse
from evidence.model.criterion import Inside
from evidence.model.pack import Pack
from tests.conftest import AT, DEMO
from tests.lab import demo, logs, runs, shapes

RUNS = {**demo.EN_RUNS, **{f"sae-{name}": run for name, run in demo.SAE_RUNS.items()}}
CFC_60 = pulse.Recipe(60, "j211", None)


@pytest.mark.parametrize("name", RUNS)
def test_a_set_is_read_without_problems_and_gives_its_velocity_change(name: str) -> None:
    run = RUNS[name]

    found = mme.parse(runs.run_zip(run), name)

    assert (found.problems, found.notices) == ((), ())
    assert [one.notices + one.doubts for one in found.channels] == [()] * 5
    assert found.title == run.title
    sled = found.channels[0]
    assert (sled.recorded, sled.axes) == ("unfiltered", "sae j1733")
    assert (sled.interval_s, sled.start_s) == (Fraction(1, 10_000), Fraction(-1, 20))
    for cfc in (CFC_60, pulse.Recipe(180, "j211", None)):
        figure = pulse.velocity_change(pulse.processed(sled, cfc))
        assert figure is not None
        assert figure.value == pytest.approx(run.sign * run.velocity_change, rel=0.005)


@pytest.mark.parametrize("name", RUNS)
def test_the_peak_is_little_above_the_plateau(name: str) -> None:
    run = RUNS[name]
    sled = pulse.processed(mme.parse(runs.run_zip(run), name).channels[0], CFC_60)
    unit = runs.G if run.unit == "m/(s*s)" else 1.0

    peak = max(run.sign * value / unit for value in sled.values)

    assert run.plateau_g < peak < run.plateau_g * 1.015


def test_the_runs_of_the_first_vehicle_are_what_its_report_claims() -> None:
    """10.6 g and 31.2 km/h: the demonstration's own numbers, each as far as its last digit goes."""
    for name, run in demo.EN_RUNS.items():
        sled = pulse.processed(mme.parse(runs.run_zip(run), name).channels[0], CFC_60)
        figure = pulse.velocity_change(sled)

        assert figure is not None
        assert f"{max(abs(value) for value in sled.values) / runs.G:.1f}" == "10.6"
        assert f"{abs(figure.value) * 3.6:.1f}" == "31.2"


@pytest.mark.parametrize(
    ("exhibit", "reference"), [("E023", "sae-j2956-2011@1"), ("E024", "sae-j3044-2014@1")]
)
def test_side_and_rear_pulses_lie_inside_the_sample_corridors(exhibit: str, reference: str) -> None:
    run = demo.SAE_RUNS[exhibit]
    sled = mme.parse(runs.run_zip(run), exhibit).channels[0]
    corridor = next(one for one in _criteria(reference) if isinstance(one, Inside))
    upper, lower = (
        [(Fraction(point.x), Fraction(point.y)) for point in points]
        for points in (corridor.upper, corridor.lower)
    )
    if (
        run.sign > 0
    ):  # demands are written for a deceleration, and the record says that this channel is reversed
        upper, lower = [(x, -y) for x, y in lower], [(x, -y) for x, y in upper]

    margin = pulse.corridor(pulse.processed(sled, CFC_60), upper, lower, "g")

    assert margin is not None
    assert margin.value > 0.3  # g


def _criteria(reference: str) -> list[object]:
    pack = library.shipped(reference)
    assert pack is not None
    whole: Pack = pack.text.pack
    return [one for clause in whole.clauses for one in clause.criteria]


def test_planted_faults_are_what_they_say() -> None:
    filtered, extreme = (mme.parse(runs.run_zip(demo.SAE_FAULTS[name]), name) for name in ("E022", "E023"))

    assert filtered.problems == ()
    assert filtered.channels[0].recorded == "pre-filtered"
    assert [problem.code for problem in extreme.problems] == ["mme-extreme-differs"]
    assert [one.doubts for one in extreme.channels] == [("mme-extreme-differs",), (), (), (), ()]


def test_the_bytes_are_the_same_on_every_machine() -> None:
    """No digest from outside: it was written down on one machine so that another can tell."""
    sets = demo.demo_sets()
    made = [*demo.EN_RUNS.values(), *demo.SAE_FAULTS.values()]
    whole = [part for run in made for part in runs.run_files(run)]
    whole += [(path, data) for path, data in sets.items() if path.endswith(".csv")]

    digest = hashlib.sha256(b"".join(path.encode() + b"\0" + data for path, data in sorted(whole)))

    assert len(sets) == 13
    assert digest.hexdigest() == "8991ca71035a813988c65b63e68093e200f15c2b0ce4340e6b38407464c9bb05"


def test_another_seed_is_another_noise_and_the_same_pulse() -> None:
    run = demo.SAE_RUNS["E024"]
    one, other = (mme.parse(runs.run_zip(each), "x").channels[0] for each in (run, replace(run, seed=1)))

    assert one.values != other.values
    assert max(abs(a - b) for a, b in zip(one.values, other.values, strict=True)) < 0.5  # g


def test_a_pulse_has_the_area_that_was_asked() -> None:
    """Computed independently: the sum over a fine grid."""
    made = shapes.Trapezoid.with_area(8.5, 100.0, 0.014, 0.022)
    step = 1e-5

    assert sum(made(at * step) for at in range(12_000)) * step == pytest.approx(8.5, rel=1e-4)
    assert made(-1.0) == made(made.end_s) == 0.0
    with pytest.raises(ValueError, match="100"):
        shapes.Trapezoid.with_area(1.0, 100.0, 0.014, 0.022)


@pytest.mark.parametrize("comma", [True, False])
def test_a_pull_is_read_with_its_force_hold_and_what_remains(comma: bool) -> None:  # noqa: FBT001 - a case
    data = logs.pull_table(demo.PULL, comma=comma)

    force, travel = channel_set(read(data, "E020.csv", "E020", reader=exhibits.call)).channels

    assert (force.unit, travel.unit) == ("N", "mm")
    assert force.interval_s == Fraction(1, 20)
    assert max(force.values) == pytest.approx(26_000, abs=30)
    held = sum(value > 25_900 for value in force.values) * float(force.interval_s)
    assert held == pytest.approx(12.0, abs=0.3)
    assert (max(travel.values), travel.values[-1]) == (38.4, 2.6)


def test_a_pull_in_pounds_and_inches_is_released_early_and_creeps_back() -> None:
    """Computed independently: 25 kN of the manual in pounds-force, by the exact 4.4482216152605 N of one."""
    demanded = 25_000 / 4.4482216152605
    data = logs.pull_table(demo.SAE_PULL, comma=False)

    force, travel = channel_set(read(data, "E025.csv", "E025", reader=exhibits.call)).channels

    assert (force.unit, travel.unit) == ("lbf", "in")
    held = [at for at, value in enumerate(force.values) if value >= demanded]
    assert (held[-1] - held[0]) * float(force.interval_s) == pytest.approx(8.9, abs=0.1)
    assert len(held) == held[-1] - held[0] + 1
    rest = travel.values[-240:]  # of twelve seconds
    assert rest[0] == pytest.approx(0.23, abs=0.001)
    assert rest[-1] == pytest.approx(0.15)
    assert sorted(rest, reverse=True) == list(rest)


def test_the_faults_planted_in_the_logs_are_found_and_no_others(faulty_job: Path) -> None:
    for folder in ("photos", "documents"):
        shutil.rmtree(faulty_job / folder)

    with Guard() as guard:
        judged = pipeline.check_job(faulty_job, pipeline.Days(date(2026, 5, 13)), AT, guard).judged
    found = pipeline.checked_manifest(judged)

    pulls = {
        (one.requirement.rsplit("/", 1)[-1], one.outcome.value, one.reason.code)
        for one in found.findings
        if "t24" in one.records
    }
    assert pulls == {
        ("pull-peak", "met", "at-least-minimum"),
        ("pull-hold", "not met", "test-under-minimum"),
        ("pull-residual", "undecided", "result-doubtful"),
    }
    rules = {"cycle-log-differs", "torque-log-differs", "torques-identical", "audit-moved"}
    told = {(one.rule.value, one.id.split(":")[1]) for one in found.contradictions if one.rule.value in rules}
    assert told == {("cycle-log-differs", "t5"), ("torque-log-differs", "g2"), ("torques-identical", "u1")}


def test_logs_are_tables_that_are_read() -> None:
    torques = logs.torque_table(["24.1", "23.9"], "N·m", "TW-204", comma=True)
    cycles = logs.cycle_table(["ok", "no-lock"], "180.5", comma=False, faults=["none", "window amber"])

    for data, heads in (
        (torques, ["screw", "torque", "tool", "result"]),
        (cycles, ["cycle", "load", "ok", "remark"]),
    ):
        table = read(data, "log.csv", "E021", reader=exhibits.call).item.table
        assert table is not None
        assert [column.name for column in table.columns] == heads
        assert table.rows == 2


@pytest.mark.parametrize(
    ("name", "tests", "lines"),
    [("job", demo.EN_TESTS, demo.EN_EXHIBITS), ("job-with-faults", demo.SAE_TESTS, demo.SAE_EXHIBITS)],
)
def test_the_records_take_the_tests(
    name: str, tests: str, lines: str, request: pytest.FixtureRequest
) -> None:
    folder: Path = request.getfixturevalue("job" if name == "job" else "faulty_job")
    _write(folder, name)
    text = (folder / "job.yaml").read_text(encoding="utf-8")
    if "E022" not in text:  # the demonstration has them once it is made again
        text = text.replace("\nexhibits:\n", f"\n{tests}exhibits:\n").rstrip("\n") + "\n" + lines
        (folder / "job.yaml").write_text(text, encoding="utf-8")

    record = jobs.load(folder).record

    assert {test.exhibit for test in record.tests} <= {entry.id for entry in record.exhibits}
    for test in record.tests:
        data = (
            folder / "tests" / f"{test.exhibit}.{'csv' if test.kind == 'static-pull' else 'zip'}"
        ).read_bytes()
        reading = read(data, "x", test.exhibit, reader=exhibits.call)
        names = {one.name for one in channel_set(reading).channels}
        assert {channel.name for channel in test.channels} <= names


def _write(folder: Path, name: str) -> None:
    for path, data in demo.demo_sets().items():
        job, _, inside = path.partition("/")
        if job == name:
            (folder / inside).write_bytes(data)
    assert DEMO.exists()
