"""The card of a lock window's photo: one line on what it shows then; the figures are on the window's own page."""

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
    role = {"role": "lock-window-locked", "subject": "p1"}
    whole = made.manifest.document()
    photos = [{**one, **role} if one["id"] == "E002" else one for one in whole["exhibits"]]
    manifest = Manifest.read({**whole, "exhibits": photos, "windows": parts})
    document = made.record.document()
    entries = [{**one, **role, **entry} if one["id"] == "E002" else one for one in document["exhibits"]]
    return replace(made, manifest=manifest, record=JobRecord.read({**document, "exhibits": entries}))


def card(source: DossierInput, exhibit: str = "E002") -> Any:
    """A photo's card."""
    blocks = next(one["blocks"] for one in build(source, speak)["sections"] if one["id"] == "photos")
    return next(one for one in blocks if one.get("picture") == exhibit)


def told(source: DossierInput, exhibit: str = "E002") -> dict[str, str]:
    """Rows of a photo's card."""
    return {row["label"]: words(row["value"]) for row in card(source, exhibit)["rows"]}


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("locked", "locked colour at this moment"),
        ("open", "open colour at this moment"),
        ("undecided", "not decided by this photo"),
    ],
)
def test_a_reading_is_one_line_that_leads_to_the_figures(state: str, said: str) -> None:
    against = {"exhibits": ["E002", "E001"], "open_exhibit": "E001"} if state == "locked" else {}
    reason = {"reason": {"code": "neutral-missing"}} if state == "undecided" else {}
    source = given({"state": state, "fractions": SHARES, "exhibits": ["E002"], **reason, **against})
    found = told(source)

    assert found["Indicator"] == said
    assert "Told in" not in found
    (row,) = [row for row in card(source)["rows"] if row["label"] == "Indicator"]
    assert [part["to"] for part in row["value"]] == ["window-p1"]
    assert "Indicator" not in told(source, "E001")


def test_what_nobody_read_by_program_names_the_page_alone() -> None:
    """Who looked stands on that page too."""
    found = told(given(None, reads="locked", by="w1"))

    assert found["Told in"] == "lock window, position p1"
    assert not {"Indicator", "Read by"} & set(found)


def test_a_photo_of_something_else_has_no_such_row() -> None:
    assert not {"Indicator", "Told in"} & set(told(given(None), "E001"))
