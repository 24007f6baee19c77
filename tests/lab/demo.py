"""Tests of both demonstration vehicles: their files, and what their records say of them.

The numbers are the invented scenario's own: pulses chosen to lie inside the sample corridors and near the claims of the
reports that the demonstration prints.
"""

from tests.lab.logs import Pull, cycle_table, pull_table, torque_table
from tests.lab.runs import KMH, MPH, Run, run_zip, with_faults

DISPLACEMENT = "20STCR000000DSX0"

EN_RUNS = {
    "E017": Run(
        number="MTH-24-118-F",
        title="Heron 2 with Heron Carrier, frontal, 255 kg",
        day="2024-05-28",
        plateau_g=10.55,
        velocity_change=31.2 * KMH,
        rise_s=0.014,
        fall_s=0.022,
        axis="X",
        sign=-1,
        excursion_mm=42.0,
        remains_mm=6.5,
        excursion_code=DISPLACEMENT,
        seed=24_118,
    ),
    "E018": Run(
        number="MTH-24-118-S",
        title="Heron 2 with Heron Carrier, side, 255 kg",
        day="2024-05-28",
        plateau_g=10.54,
        velocity_change=31.2 * KMH,
        rise_s=0.013,
        fall_s=0.02,
        axis="Y",
        sign=-1,
        excursion_mm=31.0,
        remains_mm=4.0,
        excursion_code="20STCR000000DSY0",
        seed=24_119,
    ),
    "E019": Run(
        number="MTH-24-118-R",
        title="Heron 2 with Heron Carrier, rear, 255 kg",
        day="2024-05-29",
        plateau_g=10.54,
        velocity_change=31.2 * KMH,
        rise_s=0.014,
        fall_s=0.02,
        axis="X",
        sign=1,
        excursion_mm=28.5,
        remains_mm=3.0,
        excursion_code=DISPLACEMENT,
        seed=24_120,
    ),
}
"""Exhibit of job AMB-0417 to its run; all three directions have the same pulse of the 10 g class."""

SAE_RUNS = {
    "E022": Run(
        number="MTH-15-031-F",
        title="Heron 2 with Heron Carrier Mk I, frontal",
        day="2015-03-11",
        plateau_g=21.4,
        velocity_change=31.0 * MPH,
        rise_s=0.015,
        fall_s=0.026,
        axis="X",
        sign=-1,
        excursion_mm=320.0,
        remains_mm=55.0,
        seed=15_031,
        unit="G'S",
    ),
    "E023": Run(
        number="MTH-15-031-S",
        title="Heron 2 with Heron Carrier Mk I, side",
        day="2015-03-11",
        plateau_g=22.2,
        velocity_change=15.2 * MPH,
        rise_s=0.0125,
        fall_s=0.013,
        axis="Y",
        sign=-1,
        excursion_mm=241.0,
        remains_mm=30.0,
        excursion_code="11HEAD0000H3DSY0",
        seed=15_032,
        unit="G'S",
    ),
    "E024": Run(
        number="MTH-15-031-R",
        title="Heron 2 with Heron Carrier Mk I, rear",
        day="2015-03-12",
        plateau_g=9.0,
        velocity_change=10.1 * MPH,
        rise_s=0.018,
        fall_s=0.012,
        axis="X",
        sign=1,
        excursion_mm=118.0,
        remains_mm=12.0,
        seed=15_033,
        unit="G'S",
    ),
}
"""Exhibit of job AMB-0520 to its run without faults; the job has those of ``SAE_FAULTS``."""

SAE_FAULTS = {
    "E022": with_faults(SAE_RUNS["E022"], "filtered"),
    "E023": with_faults(SAE_RUNS["E023"], "extreme"),
    "E024": SAE_RUNS["E024"],
}
"""The frontal channel was filtered already, the side header states another peak; the rear claim differs from its set."""

PULL = Pull(
    force=26_000.0,
    ramp_s=20.0,
    hold_s=12.0,
    release_s=6.0,
    rest_s=12.0,
    most=38.4,
    remains=2.6,
    seed=417,
)
"""Of job AMB-0417, without faults: above the 25 kN of the manual for more than its ten seconds."""

SAE_PULL = Pull(
    force=5_750.0,
    ramp_s=18.0,
    hold_s=8.4,
    release_s=5.0,
    rest_s=12.0,
    most=1.48,
    remains=0.15,
    creeps=0.08,
    seed=520,
    noise=6.0,
    force_unit="lbf",
    travel_unit="in",
    decimals=3,
)
"""Of job AMB-0520: strong enough, but released before the ten seconds were over; afterwards the displacement goes back
through the 5 mm of the manual (0.1969 in) while the log lasts, so that nobody can say what stays."""

SAE_TORQUES = ("17.7", "17.7", "17.7", "17.7", "17.7", "19.6", "17.7", "17.7")
"""Of the log of group g2, whose record has 20.5 for screw 6; either is too much."""


def demo_sets() -> dict[str, bytes]:
    """Path below ``demo_bundle/`` to content, for both jobs."""
    torques = ["24.1", "23.9", "24.0", "24.2", "23.8", "24.0", "24.1", "23.9"]
    return {
        **{f"job/tests/{exhibit}.zip": run_zip(run) for exhibit, run in EN_RUNS.items()},
        "job/tests/E020.csv": pull_table(PULL, comma=True),
        "job/tests/E021.csv": cycle_table(["ok"] * 12, "0", comma=True),
        "job/tests/E022.csv": torque_table(torques, "N·m", "TW-204", comma=True),
        **{f"job-with-faults/tests/{exhibit}.zip": run_zip(run) for exhibit, run in SAE_FAULTS.items()},
        **{f"job-with-faults/tests/{name}": data for name, data in _sae_logs().items()},
    }


def _sae_logs() -> dict[str, bytes]:
    """Twelve empty cycles of p2 as recorded, one with a fault; of its six loaded ones, one that the record denies."""
    empty = ["ok"] * 6 + ["amber"] + ["ok"] * 5
    loaded = ["ok"] * 3 + ["amber"] + ["ok"] * 2
    remark = "window stayed amber"
    return {
        "E025.csv": pull_table(SAE_PULL, comma=False),
        "E026.csv": cycle_table(empty, "0", comma=False, faults=["none"] * 6 + [remark], unit="lb"),
        "E027.csv": cycle_table(loaded, "400", comma=False, faults=["none"] * 3 + [remark], unit="lb"),
        "E028.csv": torque_table(SAE_TORQUES, "lbf·ft", "TW-177", comma=False),
    }


EN_TESTS = """\
tests:
  - id: t21
    kind: dynamic
    subject: p1
    direction: frontal
    exhibit: E017
    document: d1
    at: 2024-05-28T10:40+02:00
    axes: SAE J1733
    mass: 255 kg
    channels:
      - {use: pulse, name: S0SLED000000ACX0, uncertainty: 2 %}
      - {use: occupant, name: 11CHST0000H3ACX0}
      - {use: excursion, name: 20STCR000000DSX0, uncertainty: 2 %}
  - id: t22
    kind: dynamic
    subject: p1
    direction: side
    exhibit: E018
    document: d1
    at: 2024-05-28T14:15+02:00
    axes: SAE J1733
    mass: 255 kg
    channels:
      - {use: pulse, name: S0SLED000000ACY0, uncertainty: 2 %}
      - {use: occupant, name: 11CHST0000H3ACY0}
      - {use: excursion, name: 20STCR000000DSY0, uncertainty: 2 %}
  - id: t23
    kind: dynamic
    subject: p1
    direction: rear
    exhibit: E019
    document: d1
    at: 2024-05-29T09:50+02:00
    axes: SAE J1733
    mass: 255 kg
    channels:
      - {use: pulse, name: S0SLED000000ACX0, sign: reversed, uncertainty: 2 %}
      - {use: occupant, name: 11CHST0000H3ACX0, sign: reversed}
      - {use: excursion, name: 20STCR000000DSX0, uncertainty: 2 %}
  - id: t24
    kind: static-pull
    subject: p1
    direction: frontal
    exhibit: E020
    at: 2024-06-03T11:05+02:00
    mass: 255 kg
    channels:
      - {use: force, name: force, uncertainty: 1 %}
      - {use: displacement, name: displacement, uncertainty: 1 %}
"""
"""For job.yaml of AMB-0417, above ``exhibits``."""

EN_EXHIBITS = """\
  - {id: E017, role: test-channel, subject: p1, file: tests/E017.zip}
  - {id: E018, role: test-channel, subject: p1, file: tests/E018.zip}
  - {id: E019, role: test-channel, subject: p1, file: tests/E019.zip}
  - {id: E020, role: pull-log, subject: p1, file: tests/E020.csv}
  - {id: E021, role: cycle-log, subject: p1, file: tests/E021.csv, by: w2}
  - {id: E022, role: torque-log, subject: p1, file: tests/E022.csv, by: w1}
"""
"""Lines for its ``exhibits``; add ``log: E021`` to its cycles t1."""

SAE_TESTS = """\
tests:
  - id: t21
    kind: dynamic
    subject: vehicle
    direction: frontal
    exhibit: E022
    document: d1
    at: 2015-03-11T10:20+01:00
    axes: SAE J1733
    channels:
      - {use: pulse, name: S0SLED000000ACXP}
      - {use: occupant, name: 11CHST0000H3ACX0}
      - {use: excursion, name: 11HEAD0000H3DSX0}
  - id: t22
    kind: dynamic
    subject: vehicle
    direction: side
    exhibit: E023
    document: d1
    at: 2015-03-11T15:10+01:00
    axes: SAE J1733
    channels:
      - {use: pulse, name: S0SLED000000ACY0}
      - {use: occupant, name: 11CHST0000H3ACY0}
      - {use: excursion, name: 11HEAD0000H3DSY0}
  - id: t23
    kind: dynamic
    subject: vehicle
    direction: rear
    exhibit: E024
    document: d1
    at: 2015-03-12T09:35+01:00
    axes: SAE J1733
    channels:
      - {use: pulse, name: S0SLED000000ACX0, sign: reversed}
      - {use: occupant, name: 11CHST0000H3ACX0, sign: reversed}
      - {use: excursion, name: 11HEAD0000H3DSX0}
  - id: t24
    kind: static-pull
    subject: vehicle
    direction: frontal
    exhibit: E025
    at: 2025-12-02T10:15+01:00
    mass: 500 lb
    channels:
      - {use: force, name: force, uncertainty: 1 %}
      - {use: displacement, name: displacement, uncertainty: 1 %}
"""
"""For job.yaml of AMB-0520, above ``exhibits``."""

SAE_EXHIBITS = """\
  - {id: E022, role: test-channel, subject: vehicle, file: tests/E022.zip}
  - {id: E023, role: test-channel, subject: vehicle, file: tests/E023.zip}
  - {id: E024, role: test-channel, subject: vehicle, file: tests/E024.zip}
  - {id: E025, role: pull-log, subject: vehicle, file: tests/E025.csv}
  - {id: E026, role: cycle-log, subject: p2, file: tests/E026.csv, by: w2}
  - {id: E027, role: cycle-log, subject: p2, file: tests/E027.csv, by: w2}
  - {id: E028, role: torque-log, subject: g2, file: tests/E028.csv, by: w1}
"""
"""Lines for its ``exhibits``; add ``log: E026`` to its cycles t4, and ``log: E027`` to t5."""

SAE_CLAIMS = """\
      - {name: velocity-change-frontal, value: 31 mph, page: 2}
      - {name: velocity-change-side, value: 15.2 mph, page: 2}
      - {name: velocity-change-rear, value: 9.6 mph, page: 2}
"""
"""Lines for the claims of its d1; the last differs from the set by a twentieth, which is planted."""
