"""What judging says of the two invented vehicles, and what was asked of them."""

from typing import Any

from evidence.dossier import Data
from evidence.model.criterion import Present, Within
from evidence.model.names import Group
from evidence.register.demand import Demand, Demands


def quantity(text: str) -> dict[str, str]:
    """A quantity parameter."""
    value, unit = text.split(" ")
    return {"unit": unit, "value": value}


def finding(
    requirement: str, subject: str, outcome: str, reason: tuple[str, dict[str, Any]], **more: Any
) -> Data:
    """A finding as the manifest carries it."""
    group = more.pop("group", "standard")
    return {
        "requirement": requirement,
        "subject": subject,
        "group": group,
        "clause": requirement.split("/")[1],
        "type": more.pop("type", "present"),
        "outcome": outcome,
        "mark": more.pop("mark", "published"),
        "reason": {"code": reason[0], "parameters": reason[1]},
        "closes": more.pop("closes", "fitter"),
        **more,
    }


_LIMITS = {"low": quantity("118.0 mm"), "high": quantity("122.0 mm")}


def _hook(position: str, value: str, outcome: str, code: str, record: str) -> Data:
    limits: dict[str, Any] = {**_LIMITS, "value": quantity(value)}
    if code == "uncertainty-spans-limit":
        limits = {
            "limit": quantity("122.0 mm"),
            "expanded_uncertainty": quantity("0.2 mm"),
            "value": quantity(value),
        }
    return finding(
        "profile.heron-2@C/7.2/hook-position",
        position,
        outcome,
        (code, limits),
        group="profile",
        type="within",
        mark="confirmed",
        rests_on=["recorded"],
        records=[record],
        exhibits=["E001"],
    )


def finished_findings() -> list[Data]:
    """Everything met, one requirement that does not apply, one habit of the trade that is not shown."""
    there = ("evidence-there", {"found": "1"})
    return [
        finding(
            "en-1789-2020@1/4.5/identity", "vehicle", "met", there, exhibits=["E003"], rests_on=["recorded"]
        ),
        finding(
            "en-1789-2020@1/5.3/test-deceleration",
            "p1",
            "met",
            (
                "within-limits",
                {"value": quantity("10.4 g"), "low": quantity("10 g"), "high": quantity("20 g")},
            ),
            type="within",
            mark="invented",
            rests_on=["document"],
            documents=["d1"],
            exhibits=["E004"],
            closes="laboratory",
        ),
        finding("en-1789-2020@1/5.3/report", "p1", "met", there, documents=["d1"], rests_on=["document"]),
        finding("en-1789-2020@1/6.1/second-place", "vehicle", "not applicable", there),
        _hook("p1", "120.3 mm", "met", "within-limits", "v1"),
        finding(
            "profile.heron-2@C/8.1/torque",
            "g1",
            "met",
            (
                "within-limits",
                {"value": quantity("43.0 N·m"), "low": quantity("40 N·m"), "high": quantity("44 N·m")},
            ),
            group="profile",
            type="within",
            mark="confirmed",
            rests_on=["recorded"],
            records=["g1", "i2"],
            exhibits=["E006"],
            expires="2026-11-20",
            parts=[
                {
                    "name": f"screw {number}",
                    "outcome": "met",
                    "reason": {"code": "evidence-there", "parameters": {"found": "1"}},
                }
                for number in range(1, 5)
            ],
        ),
        finding(
            "practice@1/w.2/wobble",
            "p1",
            "not shown",
            ("missing-evidence", {"roles": "cycle-log", "subject": "p1"}),
            group="practice",
            mark="practice",
        ),
    ]


def open_findings() -> list[Data]:
    """Two positions with planted gaps, one of them under a concession."""
    missing = ("missing-evidence", {"roles": "lock-window-locked", "subject": "p2"})
    return [
        finding(
            "sae-j3027@1/3.1/identity",
            "vehicle",
            "not shown",
            ("missing-evidence", {"roles": "label-vehicle", "subject": "vehicle"}),
            closes="agency",
        ),
        finding(
            "sae-j3027@1/4.2/test-deceleration",
            "p1",
            "not shown",
            ("limit-not-confirmed", {"mark": "secondary", "compared": quantity("10.4 g")}),
            type="within",
            mark="secondary",
            documents=["d1"],
            closes="laboratory",
        ),
        finding(
            "sae-j3027@1/4.2/report",
            "p1",
            "met",
            ("evidence-there", {"found": "1"}),
            documents=["d1"],
            rests_on=["document"],
        ),
        finding(
            "sae-j3027@1/4.4/serial",
            "p2",
            "undecided",
            ("fact-illegible", {"fact": "position.system-serial", "subject": "p2"}),
            closes="paperwork",
        ),
        _hook("p1", "120.3 mm", "met", "within-limits", "v1"),
        _hook("p2", "122.1 mm", "undecided", "uncertainty-spans-limit", "v2"),
        finding(
            "profile.heron-2@C/7.4/window", "p2", "not shown", missing, group="profile", mark="confirmed"
        ),
        finding(
            "profile.heron-2@C/8.1/torque",
            "g2",
            "not met",
            (
                "outside-limits",
                {"value": quantity("47.0 N·m"), "low": quantity("40 N·m"), "high": quantity("44 N·m")},
            ),
            group="profile",
            type="within",
            mark="confirmed",
            rests_on=["recorded"],
            records=["g2"],
        ),
        finding(
            "profile.heron-2@C/9.1/clearance",
            "p2",
            "not met",
            ("evidence-there", {"found": "1"}),
            group="profile",
            mark="confirmed",
            concession="c1",
            rests_on=["recorded"],
        ),
    ]


CONTRADICTIONS: list[Data] = [
    {
        "id": "serial-differs:p1:0a1b2c3d",
        "rule": "serial-differs",
        "severity": "contradiction",
        "between": [
            {"where": "job.yaml p1", "value": "H2-004711"},
            {"where": "E004 p. 2", "value": "H2-004117"},
        ],
        "exhibits": ["E004"],
        "reason": {
            "code": "serial-differs",
            "parameters": {
                "recorded": "H2-004711",
                "claimed": "H2-004117",
                "document": "d1",
                "subject": "p1",
            },
        },
    },
    {
        "id": "photo-outside-work:p1:0a1b2c3e",
        "rule": "photo-outside-work",
        "severity": "notice",
        "between": [
            {"where": "E001", "value": "2026-02-28T10:00"},
            {"where": "s1p1", "value": "2026-03-09 am"},
        ],
        "exhibits": ["E001"],
        "reason": {
            "code": "photo-outside-work",
            "parameters": {
                "exhibit": "E001",
                "taken": "2026-02-28",
                "first_day": "2026-03-09",
                "last_day": "2026-03-10",
            },
        },
    },
]

OPEN_SLOTS: list[Data] = [
    {"id": "E030", "role": "lock-window-locked", "subject": "p2", "state": "to come"},
    {"id": "E031", "role": "charging", "subject": "p2", "state": "missing"},
]

TITLES = {
    "identity": "The vehicle can be told from every other",
    "test-deceleration": "Deceleration reached in the dynamic test",
    "report": "A test report is there",
    "second-place": "Second place for lying patients",
    "hook-position": "Hook position from the sill",
    "torque": "Torque of the floor plate's screws",
    "wobble": "Wobble check at both ends",
    "serial": "Serial of the fastening system",
    "window": "Lock window seen open and locked",
    "clearance": "Clearance at the head end",
}


def _criterion(name: str) -> Present | Within:
    common = {
        "id": name,
        "mark": "confirmed",
        "source": "demo",
        "closes": "fitter",
        "title": {"en": TITLES.get(name, name)},
    }
    limits = {
        "hook-position": ("position", "characteristic.hook-position", "118.0 mm", "122.0 mm"),
        "torque": ("screws", "screws.torque", "40 Nm", "44 Nm"),
        "test-deceleration": ("position", "document.peak-deceleration", "10 g", None),
    }
    if name not in limits:
        return Present.read({**common, "type": "present", "subject": "position"})
    subject, measured, low, high = limits[name]
    return Within.read(
        {**common, "type": "within", "subject": subject, "quantity": measured, "low": low}
        | ({"high": high} if high else {})
    )


def demands_for(findings: list[Data]) -> Demands:
    """What the findings answer."""
    criteria = [
        Demand(
            requirement=entry["requirement"],
            source=entry["requirement"].split("/")[0],
            clause=entry["clause"],
            criterion=_criterion(entry["requirement"].split("/")[2]),
            group=Group(entry["group"]),
            applies={},
            title={"en": f"Section on {entry['requirement'].split('/')[2].replace('-', ' ')}"},
            invented=entry["mark"] == "invented",
        )
        for entry in findings
    ]
    return Demands(tuple(criteria), ())
