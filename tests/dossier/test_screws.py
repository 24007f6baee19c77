"""The page on screws: torques, tool, thread-locker, cure, marks, audits, preload, and what was judged of them."""

from fractions import Fraction
from typing import Any

import pytest

from evidence.dossier import Data
from evidence.measure.preload import nominal_mm, proof_n, spanned
from tests.dossier import records, work
from tests.dossier.test_vehicle import section, words

TORQUE = {
    "type": "within",
    "subject": "screws",
    "quantity": "screws.torque",
    "low": "40 N·m",
    "high": "44 N·m",
}
LIMITS = {
    "value": {"unit": "N·m", "value": "43"},
    "low": {"unit": "N·m", "value": "40"},
    "high": {"unit": "N·m", "value": "44"},
}
JUDGED = work.asked(
    "torque",
    "g1",
    "met",
    TORQUE,
    records=["g1", "i2"],
    reason=("within-limits", LIMITS),
    rests_on=["recorded"],
)
CURE = {"type": "ordered", "gaps": [{"before": "bolt", "after": "function-test", "at_least": "2 h"}]}
GROUP = records.finished_record()["screws"][0]
AUDIT = {
    "id": "u1",
    "screws": "g1",
    "torques": ["35 Nm", {"state": "illegible"}],
    "moved": "no",
    "instrument": "i2",
    "by": "w2",
    "at": "2026-03-06",
}


def torques(data: Data) -> list[Data]:
    return [block for block in section(data, "screws")["blocks"] if block["kind"] == "torques"]


def rows(block: Data) -> dict[str, str]:
    found: dict[str, str] = {}
    for row in block["rows"]:
        found[row["label"]] = f"{found.get(row['label'], '')} {words(row['value'])}".strip()
    return found


def test_a_group_with_all_that_belongs_to_it() -> None:
    (block,) = torques(work.built(work.source(JUDGED)))
    told = rows(block)

    assert block["anchors"] == ["record-g1"]
    assert told["Fitted"].startswith("4 \u00d7 M10, class 8.8, 45 mm long, lot S-2231")
    assert told["Torques"].replace("\u00a0", " ") == "42.0 N·m, 41.5 N·m, 42.5 N·m, 43.0 N·m"
    assert "Torque wrench TW-0312" in told["Tool"]
    assert (
        "range 10 N·m \u2013 100 N·m; what it may deviate is not recorded; calibrated 2025-11-20"
        in told["Tool"]
    )
    assert told["Thread-locker"].startswith("Medium locker 7 , lot L-90")
    assert told["Witness marks"] == "Yes"
    assert told["Torque log"] == "E006 ; no contradiction with the record was found"
    assert "#1 Title of torque" in told["Judged"]
    assert "Preload" not in told
    assert "Audit" not in told


def test_the_drawing_says_its_values_in_words() -> None:
    data = work.built(work.source(JUDGED))
    (block,) = torques(data)

    assert block["alt"] == (
        "Torques of screw group g1 in their order: 42.0 N·m, 41.5 N·m, 42.5 N·m, 43.0 N·m; "
        "lower limit 40 N·m, upper limit 44 N·m"
    )
    assert "44 N·m</text>" in data["svg"][block["svg"]]
    assert block["note"] == []


def test_a_torque_that_is_not_known_and_a_group_without_any() -> None:
    gap = {**GROUP, "torques": ["42.0 Nm", {"state": "illegible"}]}
    none = {**GROUP, "id": "g2", "torques": []}
    first, second = torques(work.built(work.source(JUDGED, screws=[gap, none])))

    assert words(first["note"]) == "A dash: no torque is known."
    assert "svg" not in second
    assert rows(second)["Torques"] == "\u2013"


def test_audits_stand_beside_what_was_tightened() -> None:
    (block,) = torques(work.built(work.source(JUDGED, audits=[AUDIT])))
    told = rows(block)["Audit"].replace("\u00a0", " ")

    assert block["anchors"] == ["record-g1", "record-u1"]
    assert "1 of 4 screws: 35 N·m, illegible ; no screw turned" in told
    assert "with the same tool i2" in told
    assert "Diamond" in words(block["note"])


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"moved": "yes"}, "a screw turned before the audit torque"),
        ({"moved": None}, "whether a screw turned is not said"),
        ({"instrument": "i1"}, "Caliper CAL-88"),
        ({"torques": ["9.9 Nm"]}, "not all of these torques lie in its range"),
    ],
)
def test_what_an_audit_found(changes: dict[str, Any], told: str) -> None:
    audit = {key: value for key, value in {**AUDIT, **changes}.items() if value is not None}
    (block,) = torques(work.built(work.source(JUDGED, audits=[audit])))

    assert told in rows(block)["Audit"]


@pytest.mark.parametrize(
    ("at", "told"),
    [
        # from the end of the minute 13:10 to 16:00
        ("2026-03-04 after 16:00", "At least 2 h 49 min from 2026-03-04 13:10 until 2026-03-04 after 16:00"),
        ("2026-03-04", "Not certain: tightened 2026-03-04 13:10, next step 2026-03-04"),
    ],
)
def test_how_long_a_group_certainly_cured(at: str, told: str) -> None:
    steps = [*records.finished_record()["steps"][:2], {**records.finished_record()["steps"][2], "at": at}]
    gap = {"after": "function-test", "at_least": {"unit": "h", "value": "2"}, "before": "bolt"}
    cure = work.asked("cure", "p1", "met", CURE, reason=("gap-long-enough", gap))
    (block,) = torques(work.built(work.source(JUDGED, cure, steps=steps)))

    assert told in rows(block)["Cure"].replace("\u00a0", " ")
    assert "Title of cure" in rows(block)["Cure"]


def preloaded(**screws: Any) -> str:
    own = {"group": "floor-plate", "thread": "M10", "property_class": "8.8", "count": "4", "page": "12"}
    factor = {"nut_factor": {"low": "0.15", "high": "0.20", "page": "13"}}
    made = work.source(
        JUDGED, profile={"screws": [{**own, **factor}]}, screws=[{**GROUP, **screws}], instruments=TOOLS
    )
    (block,) = torques(work.built(made))
    return rows(block).get("Preload", "").replace("\u00a0", " ").replace("\u202f", " ")


TOOLS = [records.INSTRUMENTS[0], {**records.INSTRUMENTS[1], "deviation": "4 %"}]


def test_preload_by_the_manual_s_nut_factor() -> None:
    """Computed independently with T = K d F: 40·0.96/(0.20·0.010) and 44·1.04/(0.15·0.010).

    Proof load published: ISO 898-1 as repeated by distributors' tables, M10 8.8: 33 700 N.
    """
    told = preloaded(torques=["40 Nm", "44 Nm"])

    assert told.startswith(
        "About 19 200 to 30 500 N in each screw, 57 to 91 % of the proof load of 33 700 N."
    )
    assert "nut factor of 0.15 to 0.20 as stated by the manual, p. 13" in told
    assert "What the tool may deviate is counted in." in told
    assert "judged by nothing" in told


def test_preload_of_a_countersunk_head_and_of_a_bolt_that_no_table_has() -> None:
    assert "proof load of 26 960 N" in preloaded(head="countersunk")
    assert "0.8 of that" in preloaded(head="countersunk")
    fine = preloaded(thread="M10x1")
    assert fine.startswith("About ")
    assert "proof" not in fine
    assert preloaded(thread="special") == ""
    assert preloaded(torques=[]) == ""


def test_preload_without_the_deviation_of_the_tool() -> None:
    assert "57 to" not in preloaded(torques=["40 Nm"], instrument="i1")
    assert "not recorded and not counted in" in preloaded(torques=["40 Nm"], instrument="i1")


def test_handbook_preload_of_the_bolts_of_the_trade() -> None:
    """Computed independently with K d 0.75 of proof: M10 10.9, K 0.20, 72.2 N·m at 75 % of 48 100 N (ISO 898-1)."""
    clamp = spanned((Fraction("72.2"), Fraction("72.2")), Fraction(10), (Fraction("0.2"), Fraction("0.2")))
    proof = proof_n("M10 x 1,5", "10.9", countersunk=False)

    assert proof == 48_100
    assert float(clamp.low_n / proof) == pytest.approx(0.75, abs=0.001)


def test_handbook_preload_of_an_inch_bolt() -> None:
    """Published: fastener handbook pages, 1/4-20 grade 2 dry: 1 312 lbf at 5.4 to 5.5 lbf·ft, K 0.20."""
    diameter = nominal_mm("1/4-20 UNC")
    pound = Fraction("4.4482216152605")  # N; published: definition of the pound-force
    foot = Fraction("0.3048")  # m; published: definition of the foot

    assert diameter is not None
    clamp = spanned(
        (Fraction("5.4") * pound * foot, Fraction("5.5") * pound * foot),
        diameter,
        (Fraction("0.2"), Fraction("0.2")),
    )
    assert clamp.low_n <= 1312 * pound <= clamp.high_n


@pytest.mark.parametrize(
    ("designation", "diameter", "tabled"),
    [
        ("M8", 8, True),
        ("m8", 8, True),
        ("M8 \u00d7 1,25", 8, True),
        ("M8X1.25-6g", 8, True),
        ("M8x1", 8, False),
        ("M7", 7, False),
        ("3/8-16", Fraction("9.525"), False),
        ("1/0-20", None, False),
        ("ST 4.8", None, False),
    ],
)
def test_threads_as_records_name_them(designation: str, diameter: Any, *, tabled: bool) -> None:
    assert nominal_mm(designation) == diameter
    assert (proof_n(designation, "8.8", countersunk=False) is not None) == tabled
    assert proof_n(designation, "A2-70", countersunk=False) is None


def test_contradictions_about_the_group_and_its_audits() -> None:
    moved = {
        "id": "audit-moved:u1:0a1b2c3d",
        "rule": "audit-moved",
        "severity": "contradiction",
        "between": [{"where": "g1.at", "value": "2026-03-04T13:10"}, {"where": "u1.moved", "value": "yes"}],
        "exhibits": [],
        "reason": {
            "code": "audit-moved",
            "parameters": {"audited": "2026-03-06", "entry": "u1", "screws": "g1"},
        },
    }
    (block,) = torques(work.built(work.source(JUDGED, contradictions=[moved], audits=[AUDIT])))

    assert "Screw turned at its audit" in rows(block)["Contradicted"]
    assert "Audit u1 of screw group g1 on 2026-03-06" in rows(block)["Contradicted"]


def test_a_job_without_screws_has_no_such_page() -> None:
    steps = [
        {key: value for key, value in step.items() if key != "screws"}
        for step in records.finished_record()["steps"]
    ]
    data = work.built(
        work.source(JUDGED, screws=[], steps=steps, exhibits=records.finished_record()["exhibits"][:5])
    )

    assert "screws" not in [one["id"] for one in data["sections"]]
