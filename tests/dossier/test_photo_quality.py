"""How good the photos are: a row for each, with what its file and its measurement gave rise to say."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.model.exhibit import Code
from tests.dossier import builders
from tests.dossier.test_hook_position import MEASURED, UNMEASURABLE, VIEW, source, speak, words

STRIPES = "55" * 32
OTHER = "33" * 32
CODE = {"symbology": "qr", "corners": (100, 100, 200, 100, 200, 200, 100, 200)}


def changed(
    given: DossierInput, exhibit: str, *, warnings: tuple[str, ...] = (), **photo: Any
) -> DossierInput:
    """The input with another description of one photo."""
    item = given.items[exhibit]
    assert item.photo is not None
    described = item.photo.model_copy(update=photo)
    items = {**given.items, exhibit: item.model_copy(update={"photo": described, "warnings": warnings})}
    return replace(given, items=items)


def rows(given: DossierInput) -> dict[str, list[str]]:
    """Cells of each row by the photo's id."""
    data = build(given, speak)
    table = next(
        part for one in data["sections"] if one["id"] == "photo_quality" for part in one["blocks"]
        if part["kind"] == "table"
    )  # fmt: skip
    cells: list[list[Data]] = [entry["cells"] for entry in table["rows"]]
    return {words(row[0]).split(" ")[0]: [words(cell) for cell in row] for row in cells}


def test_each_photo_has_its_size_time_and_sharpness() -> None:
    found = rows(source())
    assert list(found) == ["E001", "E002", "E003"]
    assert found["E001"][1].startswith("4000 \u00d7 3000 px")
    assert found["E001"][2] == "2026-03-04 10:42:10 +01:00"
    assert found["E001"][3] == "5.07 px/mm at the hook; edges 0.95 px wide"
    assert found["E002"][3:] == ["too few edges to tell", "nothing noticed"]


def test_any_photo_has_the_width_of_its_edges_and_what_is_plain() -> None:
    """The gauge card's own edges, where they were measured, come first."""
    seen: dict[str, Any] = {"blur": "1.07", "white": "2.50", "black": "0.00"}
    given = changed(changed(source(), "E002", **seen), "E001", **seen)

    cell = " ".join(rows(given)["E002"][3].split())
    assert cell == "edges 1.07 px wide white 2.50 %, black 0.00 %"
    assert rows(given)["E001"][3].startswith("5.07 px/mm at the hook; edges 0.95 px wide")
    assert "white 2.50 %" in rows(given)["E001"][3]


def test_a_photo_too_small_for_what_it_shows_says_so() -> None:
    given = changed(source(), "E001", width=1280, height=960)

    assert "has 1280 pixels on its longer side" in rows(given)["E001"][4]
    assert "at least 2000 are good" in rows(given)["E001"][4]


@pytest.mark.parametrize(
    ("code", "words_of_it"),
    [("photo-unsharp", "Even the sharpest edges"), ("photo-clipped", "plain white or plain black")],
)
def test_what_was_seen_in_the_picture_is_told(code: str, words_of_it: str) -> None:
    assert words_of_it in rows(changed(source(), "E002", warnings=(code,)))["E002"][4]


def test_a_photo_without_time_says_so() -> None:
    assert rows(changed(source(), "E002", taken=None))["E002"][2] == "none in the file"
    assert rows(changed(source(), "E002", taken_offset=None))["E002"][2].endswith("without offset")


@pytest.mark.parametrize(
    ("count", "expected"),
    [(1, "1 byte behind the picture belongs"), (4096, "4096 bytes behind the picture belong")],
)
def test_bytes_behind_the_picture_are_told(count: int, expected: str) -> None:
    assert expected in rows(changed(source(), "E002", trailing_bytes=count))["E002"][4]


def test_what_was_noticed_is_told_in_words() -> None:
    warning = {"code": "photo-soft", "parameters": {"found": "1.7", "limit": "1.5"}, "exhibit": "E001"}
    given = changed(source({**MEASURED, "warnings": [warning]}), "E001", warnings=("photo-messenger-copy",))
    remarks = rows(given)["E001"][4]
    assert "looks like a copy that a messenger made smaller" in remarks
    assert "The photo is a little soft: edges are 1.7 pixels wide" in remarks


def test_why_a_photo_could_not_be_measured_is_told_there_too() -> None:
    assert "The slider's tag was not found." in rows(source(UNMEASURABLE))["E001"][4]
    reason = {"code": "slider-off-plane", "parameters": {"found": "0.2", "expected": "6.0"}}
    whole = {**UNMEASURABLE, "reason": reason}
    assert "0.2 mm above the card's plane" in rows(source(whole))["E001"][4]
    both = {**whole, "exhibits": ["E001", "E002"]}  # it concerns neither photo alone
    assert rows(source(both))["E001"][4] == "nothing noticed"


def test_near_copies_name_each_other() -> None:
    given = changed(changed(source(), "E001", likeness=STRIPES, codes=()), "E002", likeness=STRIPES, codes=())
    found = rows(changed(given, "E003", likeness=OTHER, codes=()))
    assert found["E001"][4] == "Looks nearly like E002 ."
    assert found["E002"][4] == "Looks nearly like E001 ."
    assert found["E003"][4] == "nothing noticed"


@pytest.mark.parametrize(
    ("likeness", "codes"), [("00" * 32, ("", "")), (STRIPES, ("SN 0012", "SN 0013")), (None, ("", ""))]
)
def test_plain_areas_and_different_labels_are_no_copies(likeness: str | None, codes: tuple[str, str]) -> None:
    given = source()
    for exhibit, text in zip(("E001", "E002"), codes, strict=True):
        shown = (Code.read({**CODE, "text": text}),) if text else ()
        given = changed(given, exhibit, likeness=likeness, codes=shown)
    assert rows(given)["E001"][4] == "nothing noticed"


def test_a_photo_whose_item_is_missing_is_told() -> None:
    given = source()
    found = rows(replace(given, items={name: item for name, item in given.items.items() if name != "E002"}))
    assert found["E002"][1].startswith("could not be read")
    assert found["E002"][2] == ""


def test_several_views_have_their_own_sharpness() -> None:
    second = {**VIEW, "exhibit": "E002", "sharpness": "3.11"}
    both = {**MEASURED, "exhibits": ["E001", "E002"], "views": [VIEW, second]}
    assert rows(source(both))["E002"][3].startswith("3.11 px/mm")


def test_without_photos_there_is_no_table() -> None:
    plain = builders.finished()
    exhibits = tuple(each for each in plain.manifest.exhibits if each.kind != "photo")
    given = replace(plain, manifest=plain.manifest.model_copy(update={"exhibits": exhibits}))
    assert "photo_quality" not in [one["id"] for one in build(given, speak)["sections"]]
