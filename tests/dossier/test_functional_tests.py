"""The page on functional tests: what is asked for against what was done, both ends, values, faults and logs."""

from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.model.names import ProfileKind
from evidence.phrases import knows, say
from evidence.phrases.dossier_work_en import WORK_PAGES
from tests.dossier import records, work
from tests.dossier.test_build import FORBIDDEN_ON_PAPER
from tests.dossier.test_vehicle import section, words

EMPTY = {"type": "counted", "count": "load-unload-empty", "at_least": "12"}
ENDS = {"type": "counted", "count": "both-ends", "at_least": "4", "faults_allowed": "1"}
PLAY = {"type": "within", "quantity": "characteristic.play-lengthwise", "high": "3.0 mm"}
VOLTAGE = {"type": "within", "quantity": "characteristic.supply-voltage", "low": "11.5 V", "high": "15.0 V"}
LIMIT = {"value": {"unit": "mm", "value": "1.2"}, "high": {"unit": "mm", "value": "3.0"}}


def cycles(name: str = "y1", **changes: Any) -> dict[str, Any]:
    return {
        "id": name,
        "kind": "load-unload-empty",
        "subject": "p1",
        "done": "12",
        "without_fault": "12",
        "by": "w2",
        "at": "2026-03-04T16:10",
        **changes,
    }


def value(name: str, what: str, text: Any, **changes: Any) -> dict[str, Any]:
    base = records.finished_record()["characteristics"][0]
    own = {key: one for key, one in base.items() if key != "uncertainty"}
    return {**own, "id": name, "name": what, "value": text, **changes}


def asked(outcome: str = "met", **more: Any) -> work.Asked:
    return work.asked("empty", "p1", outcome, EMPTY, records=["y1"], rests_on=["recorded"], **more)


def tables(data: Data) -> list[Data]:
    return [block for block in section(data, "functional_tests")["blocks"] if block["kind"] == "table"]


def cells(row: Data) -> list[str]:
    return [words(cell).replace("\u00a0", " ") for cell in row["cells"]]


def test_what_is_asked_for_against_what_was_done() -> None:
    data = work.built(work.source(asked(), cycles=[cycles(load="150 kg")]))
    (row,) = tables(data)[0]["rows"]
    what, demanded, done, when, outcome = cells(row)

    assert what == "Title of empty Load and unload, empty"
    assert demanded == "at least 12 no fault manual 9, p. 18"
    assert done == "12 of 12 without fault y1 with 150 kg"
    assert when == "2026-03-04 16:10 w2 Bo Éclair-Łukasz (inspector, witness)"
    assert outcome == "met #1"
    assert row["anchors"] == ["record-y1"]
    assert "Asked for: 1." in words(section(data, "functional_tests"))


def test_faults_are_named_with_their_cycles() -> None:
    outcomes = ["ok", "did-not-lock", "ok", "rattled"]
    made = cycles(done="4", without_fault="2", outcomes=outcomes)
    reason = ("faults-seen", {"allowed": "0", "faults": "2", "found": "4"})
    (row,) = tables(work.built(work.source(asked("not met", reason=reason), cycles=[made])))[0]["rows"]

    assert "cycle 2: did not lock cycle 4: rattled" in cells(row)[2]
    assert "2 of 4 went wrong" in cells(row)[4]


def test_many_faults_are_counted_and_unsaid_ones_told() -> None:
    many = cycles(done="12", without_fault="0", outcomes=["stuck"] * 12)
    unsaid = cycles(done="12", without_fault="10")

    assert "cycle 8: stuck and 4 more with a fault" in cells(_only(many))[2]
    assert "which cycles had a fault is not recorded" in cells(_only(unsaid))[2]


def _only(made: dict[str, Any]) -> Data:
    row: Data = tables(work.built(work.source(asked("not met"), cycles=[made])))[0]["rows"][0]
    return row


def test_the_log_is_linked() -> None:
    exhibits = [
        *records.finished_record()["exhibits"],
        {"id": "E007", "role": "cycle-log", "subject": "p1", "file": "tests/E007.csv"},
    ]
    row = tables(work.built(work.source(asked(), cycles=[cycles(log="E007")], exhibits=exhibits)))[0]["rows"][
        0
    ]

    assert "log E007" in cells(row)[2]


def test_what_was_asked_for_and_not_done() -> None:
    reason = ("cycles-not-recorded", {"kind": "load-unload-empty", "subject": "p1"})
    nothing = work.asked("empty", "p1", "not shown", EMPTY, reason=reason)
    (row,) = tables(work.built(work.source(nothing, cycles=[])))[0]["rows"]

    assert cells(row)[2] == "nothing recorded"
    assert cells(row)[4].startswith("not shown #1 ")
    assert row["anchors"] == []


def test_what_was_done_and_not_asked_for_and_what_practice_asks() -> None:
    practice = work.asked("wobble", "p1", "not shown", ENDS, group="practice", records=["y2"])
    made = [cycles(), cycles("y2", kind="both-ends"), cycles("y3", kind="false-lock")]
    rows = tables(work.built(work.source(asked(), practice, cycles=made)))[0]["rows"]

    assert [cells(row)[1] for row in rows] == [
        "at least 12 no fault manual 9, p. 18",
        "common practice only",
        "not asked for",
    ]
    assert [row["anchors"] for row in rows] == [["record-y1"], ["record-y2"], ["record-y3"]]


def test_one_entry_for_two_demands_has_one_place_of_its_own() -> None:
    again = work.asked("again", "p1", "met", EMPTY, records=["y1"])
    rows = tables(work.built(work.source(asked(), again, cycles=[cycles()])))[0]["rows"]

    assert sorted(row["anchors"] for row in rows) == [[], ["record-y1"]]


def test_readings_of_both_ends_beside_the_recorded_play_and_the_limit() -> None:
    readings = [
        {"end": "head", "way": "lengthwise", "play": "1.1 mm"},
        {"end": "foot", "way": "vertical", "play": {"state": "illegible"}},
    ]
    both = work.asked("both", "p1", "met", ENDS, records=["y1"])
    play = work.asked("play", "p1", "met", PLAY, records=["v1"], reason=("at-most-maximum", LIMIT))
    made = work.source(
        both,
        play,
        cycles=[cycles(kind="both-ends", done="4", without_fault="3", ends=readings)],
        characteristics=[value("v1", "play-lengthwise", "1.2 mm")],
    )
    _, ends, values = tables(work.built(made))

    assert [cells(row) for row in ends["rows"]] == [
        ["y1", "Head end", "lengthwise", "1.1 mm", "1.2 mm v1", "at most 3.0 mm"],
        ["y1", "Foot end", "up and down", "illegible", "\u2013", "\u2013"],
    ]
    (row,) = values["rows"]
    assert cells(row) == [
        "Title of play",
        "at most 3.0 mm manual 9, p. 18",
        "1.2 mm \u00b1 0.2 mm v1",
        "met #2",
    ]


@pytest.mark.parametrize(
    ("criterion", "words_of_it"),
    [(ENDS, "at most 1 fault"), ({**ENDS, "faults_allowed": "2"}, "at most 2 faults"), (EMPTY, "no fault")],
)
def test_how_many_faults_are_allowed(criterion: dict[str, Any], words_of_it: str) -> None:
    one = work.asked("one", "p1", "met", criterion, records=["y1"])
    (row,) = tables(work.built(work.source(one, cycles=[cycles()])))[0]["rows"]

    assert words_of_it in cells(row)[1]


def test_power_is_among_the_values() -> None:
    power = work.asked(
        "power",
        "p1",
        "not shown",
        VOLTAGE,
        records=["v2"],
        reason=("value-open", {"entry": "v2", "state": "unknown"}),
    )
    made = work.source(
        power, cycles=[], characteristics=[value("v2", "supply-voltage", {"state": "unknown"})]
    )
    (table,) = tables(work.built(made))

    assert cells(table["rows"][0])[1:3] == ["11.5 V to 15.0 V manual 9, p. 18", "unknown v2"]


def test_places_stand_apart() -> None:
    two = [records.POSITION, {**records.POSITION, "id": "p2"}]
    other = work.asked("other", "p2", "met", EMPTY, records=["y2"])
    data = work.built(
        work.source(asked(), other, positions=two, cycles=[cycles(), cycles("y2", subject="p2")])
    )
    headings = [
        one["text"] for one in section(data, "functional_tests")["blocks"] if one["kind"] == "heading"
    ]

    assert headings == ["Position p1", "Position p2"]


def test_what_the_manual_is_silent_on() -> None:
    silent = [{"kind": "charging", "page": "17"}, {"kind": "tools", "page": "3"}]
    told = words(section(work.built(work.source(asked(), profile={"silent": silent})), "functional_tests"))

    assert "The manual says nothing on: charging (p. 17)." in told
    assert "(p. 3)" not in told


def test_every_kind_that_may_be_silent_has_words() -> None:
    from evidence.dossier.functional_tests import _KINDS  # noqa: PLC0415

    assert len(_KINDS) == 7
    assert all(knows(f"dossier-tests-kind-{kind.value}") for kind in _KINDS)
    assert ProfileKind.SCREW_TORQUE not in _KINDS


def test_a_log_that_contradicts_is_told() -> None:
    differs = {
        "id": "cycle-log-differs:y1:0a1b2c3d",
        "rule": "cycle-log-differs",
        "severity": "contradiction",
        "between": [{"where": "E006.rows", "value": "11"}, {"where": "y1.done", "value": "12"}],
        "exhibits": ["E006"],
        "reason": {
            "code": "cycle-log-differs",
            "parameters": {"entries": ["y1"], "exhibit": "E006", "found": "11", "recorded": "12"},
        },
    }
    data = work.built(work.source(asked(), cycles=[cycles()], contradictions=[differs]))

    assert "Log E006 has 11 cycles, one in each row" in words(section(data, "functional_tests"))


def test_nothing_asked_and_nothing_done_is_no_page() -> None:
    torque = {"type": "within", "subject": "screws", "quantity": "screws.torque", "low": "40 N·m"}
    limits = {"value": {"unit": "N·m", "value": "43"}, "low": {"unit": "N·m", "value": "40"}}
    other = work.asked("torque", "g1", "met", torque, records=["g1"], reason=("at-least-minimum", limits))
    data = work.built(work.source(other, cycles=[]))

    assert "functional_tests" not in [one["id"] for one in data["sections"]]


def test_cycles_that_nothing_asks_for_are_shown_all_the_same() -> None:
    torque = {"type": "within", "subject": "screws", "quantity": "screws.torque", "low": "40 N·m"}
    limits = {"value": {"unit": "N·m", "value": "43"}, "low": {"unit": "N·m", "value": "40"}}
    other = work.asked("torque", "g1", "met", torque, records=["g1"], reason=("at-least-minimum", limits))
    data = work.built(work.source(other, cycles=[cycles()]))

    assert "No requirement asks for any of these." in words(section(data, "functional_tests"))
    assert len(tables(data)[0]["rows"]) == 1


def test_every_word_of_both_pages_is_said_and_none_is_of_the_code() -> None:
    heard: set[str] = set()

    def listen(code: str, parameters: Mapping[str, object]) -> str:
        heard.add(code)
        return say(code, parameters)

    for made in everything():
        data = build(made, listen)
        for name in ("screws", "functional_tests"):
            found = [one for one in data["sections"] if one["id"] == name]
            assert not FORBIDDEN_ON_PAPER.search(words(found))
    unsaid = [code for code in WORK_PAGES if f"dossier-{code}" not in heard]
    assert unsaid == []


def everything() -> Iterator[DossierInput]:
    """Vehicles that between them need every word."""
    group = records.finished_record()["screws"][0]
    wrench = {**records.INSTRUMENTS[1], "deviation": "4 %", "indicating": "yes"}
    clicker = {**records.INSTRUMENTS[1], "id": "i3", "indicating": "no", "range_high": "30 Nm"}
    own = {"group": "floor-plate", "thread": "M10", "property_class": "8.8", "count": "4", "page": "12"}
    factor = {"nut_factor": {"low": "0.15", "high": "0.20", "page": "13"}}
    audit = {
        "id": "u1",
        "screws": "g1",
        "torques": ["35 Nm"],
        "instrument": "i3",
        "by": "w2",
        "at": "2026-03-06",
    }
    gap = {"after": "function-test", "at_least": {"unit": "h", "value": "2"}, "before": "bolt"}
    cure = work.asked(
        "cure",
        "p1",
        "met",
        {"type": "ordered", "gaps": [{"before": "bolt", "after": "function-test", "at_least": "2 h"}]},
        reason=("gap-long-enough", gap),
    )
    readings = [
        {"end": end, "way": way, "play": "1 mm"}
        for end in ("head", "foot")
        for way in ("lengthwise", "crosswise", "vertical")
    ]
    checks = [cycles(), cycles("y2", kind="both-ends", ends=readings, log="E007", without_fault="10")]
    log = {"id": "E007", "role": "cycle-log", "subject": "p1", "file": "tests/E007.csv"}
    silent = [{"kind": kind.value, "page": "9"} for kind in ProfileKind]
    moved = {
        "id": "audit-moved:u1:0a1b2c3d",
        "rule": "audit-moved",
        "severity": "contradiction",
        "between": [{"where": "g1.at", "value": "a"}, {"where": "u1.moved", "value": "yes"}],
        "exhibits": [],
        "reason": {"code": "audit-moved", "parameters": {"audited": "b", "entry": "u1", "screws": "g1"}},
    }
    for changes in ({"moved": "yes"}, {"moved": "no", "instrument": "i2"}, {}):
        yield work.source(
            asked(),
            cure,
            work.asked("both", "p1", "met", ENDS, records=["y2"]),
            work.asked("power", "p1", "met", VOLTAGE, records=["v1"]),
            work.asked("play", "p1", "met", {**PLAY, "low": "0 mm", "high": None}, records=["v1"]),
            work.asked("wobble", "p1", "met", EMPTY, group="practice", records=["y3"]),
            work.asked("legs", "p1", "met", {**EMPTY, "faults_allowed": "2"}, records=["y1"]),
            work.asked("less", "p1", "met", PLAY, records=["v1"]),
            work.asked("law", "p1", "met", EMPTY, group="standard", records=["y1", "g1"]),
            profile={"screws": [{**own, **factor}], "silent": silent},
            contradictions=[moved],
            audits=[{**audit, **changes}],
            instruments=[records.INSTRUMENTS[0], wrench, clicker],
            screws=[{**group, "head": "countersunk" if changes else "hexagon", "torques": ["42 Nm"]}],
            cycles=[
                *checks,
                cycles("y3"),
                cycles("y4"),
                cycles("y5", done="9", without_fault="0", outcomes=["bad"] * 9),
            ],
            exhibits=[*records.finished_record()["exhibits"], log],
        )
    steps = records.finished_record()["steps"]
    practice = work.asked("wobble", "p1", "met", EMPTY, group="practice")
    early = [*steps[:2], {**steps[2], "at": "2026-03-04"}]
    bare = {**records.INSTRUMENTS[1], "uncertainty": None}
    kept = {key: value for key, value in bare.items() if value is not None}
    yield work.source(
        cure,
        practice,
        steps=early,
        cycles=[],
        instruments=[records.INSTRUMENTS[0], kept],
        profile={"screws": [{**own, **factor}]},
    )
    yield work.source(practice, cycles=[cycles("y4")])
    yield work.source(asked(), cycles=[])
