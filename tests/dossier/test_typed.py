"""Where a value was typed from stands beside it, leads to the scan, and names who typed it again."""

from copy import deepcopy
from typing import Any

from evidence.dossier import Data, build
from tests.dossier import builders, judged, records

PLACES = ("steps", "screws", "characteristics", "cycles")


def spans(part: Any) -> list[Data]:
    """Every span below a part of the dossier, in reading order."""
    if isinstance(part, list):
        return [span for each in part for span in spans(each)]
    if not isinstance(part, dict):
        return []
    return [part] if "t" in part else [span for each in part.values() for span in spans(each)]


def finished() -> Data:
    """A record of one's own: the makers share some of their parts."""
    return deepcopy(records.finished_record())


def installation(record: Data) -> list[Data]:
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    data = build(builders.source_from(record, manifest), builders.say)
    pages = [
        each for each in data["sections"] if each["id"] in ("installation", "screws", "functional_tests")
    ]
    return spans([each["blocks"] for each in pages])


def test_every_entry_that_came_from_a_card_says_so_with_a_link() -> None:
    record = finished()
    scan = record["exhibits"][0]["id"]
    groups = [group for group in PLACES if record.get(group)]
    for row, group in enumerate(groups, start=1):
        record[group][0]["card_row"] = {"exhibit": scan, "page": "1", "row": str(row)}
    record["positions"][0]["system"]["card_row"] = {"exhibit": scan, "page": "2", "row": "9"}

    told = installation(record)
    texts = [span["t"] for span in told]
    assert len(groups) >= 3
    for row in range(1, len(groups) + 1):
        place = texts.index(f", p.\u00a01, row\u00a0{row}")
        assert texts[place - 2] == "typed from "
        assert (told[place - 1]["t"], told[place - 1]["to"]) == (scan, f"item-{scan}")
    assert ", p.\u00a02, row\u00a09" in texts


def test_a_second_typing_and_a_scan_that_is_not_printed() -> None:
    record = finished()
    entry = record["characteristics"][0]
    entry["card_row"] = {"exhibit": "E999", "page": "1", "row": "7"}
    record["retyped"] = [
        {"of": entry["id"], "field": "value", "values": ["1 mm"], "by": person}
        for person in ("w3", "w2", "w3")
    ]

    told = installation(record)
    texts = [span["t"] for span in told]
    assert "to" not in told[texts.index("E999")]
    assert "typed again by w2 Bo Éclair-Łukasz, w3 Cleo Signs" in texts


def test_without_a_card_nothing_is_said_of_one() -> None:
    record = finished()
    for group in PLACES:
        for entry in record.get(group, ()):
            entry.pop("card_row", None)

    assert not [span for span in installation(record) if span["t"].startswith("typed ")]


def test_what_was_typed_once_stands_among_the_open_points() -> None:
    record = finished()
    scan = record["exhibits"][0]
    scan["role"] = "work-card"
    record["characteristics"][0]["card_row"] = {"exhibit": scan["id"], "page": "1", "row": "7"}
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)

    data = build(builders.source_from(record, manifest), builders.say)

    section = next(each for each in data["sections"] if each["id"] == "open")
    assert "typed only once from the work card" in [span["t"] for span in spans(section["blocks"])]
