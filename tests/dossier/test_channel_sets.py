"""The page on measured channels: what the files say of each, alike ones together, and what contradicts."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data, _channel_sets
from evidence.dossier._words import Teller
from evidence.model.exhibit import Item
from evidence.phrases import say
from tests.dossier import builders
from tests.dossier.test_vehicle import words


def entry(name: str, **changes: Any) -> dict[str, Any]:
    return {
        "name": name,
        "unit": "m/s²",
        "samples": 2000,
        "interval_s": "0.0001",
        "start_s": "-0.05",
        "recorded": "unfiltered",
        **changes,
    }


def page(*channels: dict[str, Any], problems: list[str] | None = None) -> list[Data]:
    """The blocks for one set, filed in the place of the first evidence file."""
    source = builders.finished()
    exhibit = source.manifest.exhibits[0]
    item = Item.read(
        {
            "id": exhibit.id,
            "kind": "channels",
            "media_type": "application/zip",
            "sha256": exhibit.sha256,
            "bytes": exhibit.bytes,
            "channels": {"channels": list(channels), "problems": problems or []},
        }
    )
    items = {**source.items, exhibit.id: item}
    changed = replace(source, items=items)
    return _channel_sets.sets(changed, Teller(changed, say))


def rows(blocks: list[Data]) -> list[list[str]]:
    (table,) = [block for block in blocks if block["kind"] == "table"]
    return [[words(cell).replace("\u00a0", " ") for cell in row["cells"]] for row in table["rows"]]


def told(blocks: list[Data]) -> str:
    return " ".join(words(block["text"]) for block in blocks if block["kind"] == "paragraph")


def test_channels_that_were_recorded_alike_stand_together() -> None:
    found = rows(
        page(entry("S0SLED000000ACX0"), entry("S0SLED000000ACY0"), entry("3", unit="mm", recorded="60"))
    )

    assert found == [
        ["S0SLED000000ACX0 m/s² S0SLED000000ACY0 m/s²", "2000 samples from -0.05 s every 0.0001 s", "recorded unfiltered no axes named", "nothing"],
        ["number 3, without a code mm", "2000 samples from -0.05 s every 0.0001 s", "recorded with class 60 no axes named", "nothing"],
    ]  # fmt: skip


def test_what_contradicts_stands_beside_its_channel_and_once() -> None:
    blocks = page(
        entry("S0SLED000000ACX0", doubts=["mme-extreme-differs"], axes="sae j1733"),
        entry("S0SLED000000ACY0", unit=None),
        problems=["mme-channel-missing", "mme-extreme-differs"],
    )

    first, second = rows(blocks)
    assert first[2:] == [
        "recorded unfiltered axes after SAE J1733",
        "the extreme value in the header is not that of the samples",
    ]
    assert second[0] == "S0SLED000000ACY0 no unit"
    assert "In the files of this set: a channel of the list is not there." in told(blocks)


def test_a_code_of_a_later_version_stands_as_it_is() -> None:
    assert rows(page(entry("1", doubts=["mme-of-tomorrow"])))[0][3] == "mme-of-tomorrow"


@pytest.mark.parametrize(
    ("count", "said"), [(41, "1 more channel stands"), (45, "5 more channels stand"), (40, "")]
)
def test_a_long_set_is_cut_and_says_so(count: int, said: str) -> None:
    blocks = page(*(entry(f"11CHST{at:04d}H3ACX0") for at in range(count)))

    assert rows(blocks)[0][0].count("m/s²") == _channel_sets.MAX_ROWS
    assert said in told(blocks)
    assert ("more channel" in told(blocks)) == bool(said)


def test_no_sets_no_page() -> None:
    source = builders.finished()

    assert _channel_sets.sets(source, Teller(source, say)) == []


def test_the_list_of_files_counts_the_channels() -> None:
    item = Item.read(
        {
            "id": "E001",
            "kind": "channels",
            "media_type": "application/zip",
            "sha256": "0" * 64,
            "bytes": 1,
            "channels": {"channels": [entry("1"), entry("2")]},
        }
    )
    source = builders.finished()

    assert item.channels is not None
    line = _channel_sets.content(item.channels, Teller(source, say))
    assert line == "set of 2 measured channels, listed below"
