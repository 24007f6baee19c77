"""The timeline's page: lanes in the manual's order, and what is wrong in time led to its open point."""

from typing import Any

from evidence.dossier import Data
from evidence.dossier._index import contradiction_anchor, finding_anchor
from tests.dossier import builders, work
from tests.dossier.test_vehicle import section
from tests.dossier.work import built

WRONG = "#8c1d12"


def _key(data: Data) -> Data:
    keys: list[Data] = [block for block in _section(data)["blocks"] if block["kind"] == "key"]
    (key,) = keys
    return key


def _section(data: Data) -> Data:
    return section(data, "timeline")


def test_steps_photos_calibration_and_release_have_lanes_and_the_alt_text_gives_the_days() -> None:
    source = builders.finished()
    drawn = [block for block in _section(built(source))["blocks"] if block["kind"] == "timeline"]

    assert drawn
    assert source.manifest.release is not None
    assert source.manifest.release.at.replace("T", " ")[:10] in drawn[0]["alt"]


def test_the_key_names_only_what_is_drawn() -> None:
    named = [row["words"] for row in _key(built(builders.finished()))["rows"]]
    assert "step" in named
    assert "something is wrong here: see below" not in named


ORDER = {
    "type": "ordered",
    "steps": ["dry-fit", "bolt"],
    "gaps": [{"before": "bolt", "after": "function-test", "at_least": "2 h"}],
}
IN_ORDER = {"before": "s1p1", "after": "s2p1"}
BROKEN: Data = {
    "id": "order-broken:p1:00000000",
    "rule": "order-broken",
    "severity": "contradiction",
    "between": [
        {"where": "s2p1.at", "value": "2026-03-04T09:00"},
        {"where": "s1p1.at", "value": "2026-03-04T11:00"},
    ],
    "reason": {
        "code": "order-broken",
        "parameters": {
            "before": "s1p1",
            "after": "s2p1",
            "before_time": "11:00",
            "after_time": "09:00",
            "subject": "p1",
        },
    },
}


def _order(outcome: str) -> work.Asked:
    parts = [
        {"name": "g1/s1p1/s2p1", "outcome": outcome, "reason": {"code": "in-order", "parameters": IN_ORDER}}
    ]
    return work.asked("order", "p1", outcome, ORDER, reason=("in-order", IN_ORDER), parts=parts)


def _drawn(data: Data) -> str:
    (block,) = [block for block in _section(data)["blocks"] if block["kind"] == "timeline"]
    return str(data["svg"][block["svg"]])


def test_an_order_that_a_finding_calls_wrong_is_drawn_as_wrong() -> None:
    good, bad = (built(work.source(_order(outcome))) for outcome in ("met", "not met"))

    assert WRONG not in _drawn(good)
    assert WRONG in _drawn(bad)
    assert [row["words"] for row in _key(bad)["rows"]][-1] == "something is wrong here: see below"


def test_each_order_that_is_not_met_is_explained_below_with_a_link_to_its_row() -> None:
    def told(asked: work.Asked) -> list[Data]:
        blocks = _section(built(work.source(asked)))["blocks"]
        return [block for block in blocks if block["kind"] == "paragraph" and block["tone"] == "plain"]

    (paragraph,) = told(_order("not met"))
    assert paragraph["text"][0]["t"] == "Position p1: "
    assert [span["to"] for span in paragraph["text"] if "to" in span] == [finding_anchor(0)]
    assert told(_order("met")) == []


def test_a_contradiction_of_times_leads_to_its_open_point() -> None:
    blocks: list[Any] = _section(built(work.source(_order("met"), contradictions=[BROKEN])))["blocks"]

    links = [
        span["to"]
        for block in blocks
        if block["kind"] == "paragraph"
        for span in block["text"]
        if "to" in span
    ]
    assert links == [contradiction_anchor(0)]


def test_a_time_that_must_pass_is_drawn_from_the_end_of_its_step() -> None:
    assert "2 h after: Bolt the plate with thread-" in _drawn(built(work.source(_order("met"))))


def test_without_any_time_there_is_no_page() -> None:
    source = work.source(
        _order("met"),
        steps=[],
        screws=[],
        characteristics=[],
        cycles=[],
        release=None,
        declaration=None,
        exhibits=[],
    )

    assert not [each for each in built(source)["sections"] if each["id"] == "timeline"]
