"""How well a recorded value is known stands beside it, and what a gauge card has instead of a calibration."""

from copy import deepcopy
from typing import Any

from evidence.dossier import build
from tests.dossier import builders, judged, records
from tests.dossier.test_build import parts
from tests.dossier.test_vehicle import section, words

CARD: dict[str, Any] = {
    "id": "i9",
    "kind": "gauge-card",
    "serial": "GC-1",
    "use_until": "2027-01-01",
    "interval_months": "1",
}
CHECK = {"at": "2026-02-02", "known": "120.00 mm", "reading": "119.95 mm"}


def rows(identifier: str, **changes: Any) -> list[str]:
    """The cells of an entry's row in the installation record."""
    record = deepcopy(records.finished_record()) | changes
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    page = section(build(builders.source_from(record, manifest), builders.say), "installation")
    (found,) = [part for part in parts(page) if part.get("anchors") == [f"record-{identifier}"]]
    return [words(cell) for cell in found["cells"]]


def value(**changes: Any) -> str:
    entry = deepcopy(records.finished_record()["characteristics"][0])
    entry.update(changes)
    kept = {key: one for key, one in entry.items() if one is not None}
    return rows("v1", characteristics=[kept])[2]


def test_the_uncertainty_that_judging_used_stands_beside_the_value() -> None:
    instruments = deepcopy(records.finished_record()["instruments"])
    caliper = next(each for each in instruments if each["id"] == "i1")
    stated = {**caliper, "uncertainty": "0.05 mm"}
    bare = {key: one for key, one in caliper.items() if key not in ("uncertainty", "deviation")}
    entry = deepcopy(records.finished_record()["characteristics"][0])
    entry.pop("uncertainty")

    def printed(instrument: Any) -> str:
        others = [each for each in instruments if each["id"] != "i1"]
        return rows("v1", characteristics=[entry], instruments=[*others, instrument])[2]

    assert value() == "120.3 mm ± 0.2 mm"
    assert printed(stated) == "120.3 mm ± 0.05 mm"
    assert printed(bare) == "120.3 mm U not known"


def test_what_is_no_number_has_no_uncertainty() -> None:
    assert value(value={"state": "illegible"}, uncertainty=None) == "illegible"


def test_a_gauge_card_shows_its_last_zero_check() -> None:
    instruments = records.finished_record()["instruments"]
    earlier = {**CHECK, "at": "2026-01-05", "reading": "119.80 mm"}

    checked = rows("i9", instruments=[*instruments, {**CARD, "zero": [CHECK, earlier]}])[1]
    assert checked.startswith("zero check 2026-02-02: 120.00 mm read as 119.95 mm")
    assert rows("i9", instruments=[*instruments, CARD])[1].startswith("no zero check recorded")


def test_the_time_of_sealing_is_looked_for_in_the_seal_and_no_heading_promises_it() -> None:
    data = build(builders.finished(), builders.say)
    headings = [each["text"] for each in section(data, "front")["blocks"] if each["kind"] == "heading"]

    assert "Built to and released" in headings
    assert "When it was sealed stands in seal/seal.json" in words(section(data, "verifying"))
