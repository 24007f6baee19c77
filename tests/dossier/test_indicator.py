"""The card of a lock window's photo: what it shows at that moment, and what a person saw."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import DossierInput, build
from evidence.model.manifest import Manifest
from evidence.model.record import JobRecord
from tests.dossier import builders
from tests.dossier.test_hook_position import speak, words

SHARES = {"locked": "0.972", "open": "0.000", "unknown": "0.028"}


def given(reading: dict[str, Any] | None, **entry: Any) -> DossierInput:
    """The finished vehicle, whose E002 shows a lock window, with a reading and further fields of its entry."""
    made = builders.finished()
    parts = (
        [{"id": "lock-window.E002", "subject": "p1", "reading": {"window": "w", **reading}}]
        if reading
        else []
    )
    manifest = Manifest.read({**made.manifest.document(), "windows": parts})
    document = made.record.document()
    entries = [{**one, **entry} if one["id"] == "E002" else one for one in document["exhibits"]]
    return replace(made, manifest=manifest, record=JobRecord.read({**document, "exhibits": entries}))


def told(source: DossierInput, exhibit: str = "E002") -> dict[str, str]:
    """Rows of a photo's card."""
    blocks = next(one["blocks"] for one in build(source, speak)["sections"] if one["id"] == "photos")
    card = next(one for one in blocks if one.get("picture") == exhibit)
    return {row["label"]: words(row["value"]) for row in card["rows"]}


def test_a_decided_reading_speaks_of_the_moment_and_of_its_open_photo() -> None:
    reading = {"state": "locked", "fractions": SHARES, "exhibits": ["E002", "E001"], "open_exhibit": "E001"}
    source = given(reading)

    assert told(source)["Indicator"].startswith(
        "The indicator shows the locked colour at this moment (97 % of its window). "
        "Locked colour 97 %, open colour 0 %, neither 3 %. Held against the open state in E001"
    )
    assert "Read by" not in told(source)
    assert "Indicator" not in told(source, "E001")


@pytest.mark.parametrize("shares", [SHARES, None])
def test_an_undecided_reading_says_why(shares: dict[str, str] | None) -> None:
    reason = {"code": "neutral-missing"}
    reading = {
        "state": "undecided",
        "reason": reason,
        "exhibits": ["E002"],
        **({"fractions": shares} if shares else {}),
    }
    found = told(given(reading))["Indicator"]

    assert found.startswith("The photo does not decide what the indicator shows. There is no neutral patch")
    assert ("neither 3 %" in found) == (shares is not None)


@pytest.mark.parametrize("state", ["locked", "open"])
def test_a_persons_reading_stands_with_who_saw_it(state: str) -> None:
    found = told(given(None, reads=state, by="w1"))

    assert found["Read by"].startswith("w1")
    assert found["Read by"].endswith(f", who saw the {state} state")
    assert "Indicator" not in found


def test_a_photo_without_reading_has_no_such_row() -> None:
    assert not {"Indicator", "Read by"} & set(told(given(None)))
