"""The page on the register: marks with their sources, and who read which number where, and how it came in."""

from dataclasses import replace
from typing import Any

from evidence.dossier import register
from evidence.dossier._input import DossierInput
from evidence.model.names import Group, Mark
from evidence.model.pack import Confirmation
from tests.dossier import builders

DECELERATION = "test-deceleration"


def _source(typed: str | None, *, invented: bool = False, redacted: bool = False) -> DossierInput:
    source = builders.finished(redacted=redacted)
    read = {
        "confirms": "en-1789-2020@1/5.3/test-deceleration",
        "edition": "EN 1789:2020",
        "page": "23",
        "by": "w3",
        **({"typed": typed} if typed else {}),
    }
    criteria = tuple(
        replace(demand, confirmation=Confirmation.read(read), invented=invented)
        if demand.criterion.id == DECELERATION
        else demand
        for demand in source.demands.criteria
    )
    return replace(source, demands=replace(source.demands, criteria=criteria))


def _tables(source: DossierInput) -> dict[str, list[list[str]]]:
    """Text of every table of the section, by the heading above it."""
    found: dict[str, list[list[str]]] = {}
    title = ""
    for block in register.build(source, builders.say)["blocks"]:
        title = block["text"] if block["kind"] == "heading" else title
        if block["kind"] == "table":
            found[title] = [[_text(cell) for cell in line["cells"]] for line in block["rows"]]
    return found


def _text(cell: list[dict[str, Any]]) -> str:
    return " ".join(span.get("t", "") for span in cell).strip()


def test_a_number_typed_blind_is_told_from_one_written_by_hand() -> None:
    typed = _tables(_source("blind-twice"))["Read in the company's own copy"]
    written = _tables(_source(None))["Read in the company's own copy"]

    assert (len(typed), typed[0][1], typed[0][3]) == (1, "EN 1789:2020, p. 23", "typed twice, unseen")
    assert "en-1789-2020@1/5.3/test-deceleration" in typed[0][0]
    assert written[0][3] == "written by hand"


def test_an_invented_number_says_so_beside_its_edition() -> None:
    line = _tables(_source("blind-twice", invented=True))["Read in the company's own copy"][0]

    assert line[3].split("  ") == ["typed twice, unseen", "Numbers invented for a demonstration"]


def test_who_read_is_an_id_in_the_redacted_copy() -> None:
    whole, redacted = (
        _tables(_source("blind-twice", redacted=state))["Read in the company's own copy"][0][2]
        for state in (False, True)
    )

    assert "Cleo Signs" in whole
    assert redacted.startswith("w3 (")
    assert "Cleo" not in redacted


def test_every_mark_and_source_of_the_packs_stands_once_with_its_clauses() -> None:
    source = _source(None)
    rows = _tables(source)["Where the demands come from"]

    wanted = {
        (demand.source, demand.criterion.mark, demand.criterion.source)
        for demand in source.demands.criteria
        if demand.group != Group.PROFILE
    }
    assert len(rows) == len(wanted)
    assert {row[3].split("  ")[0] for row in rows} == {words for _, _, words in wanted}
    # one demand of the first pack was read in a copy, and only its row says so
    assert [row[3].endswith("since read in the company's own copy, see below") for row in rows] == [
        row[0] == "en-1789-2020@1" for row in rows
    ]
    assert all(row[1] for row in rows)
    assert all(Mark(row[2]) in Mark for row in rows if row[2] != "from memory")


def test_without_confirmations_the_page_says_that_there_is_none() -> None:
    section = register.build(builders.finished(), builders.say)
    words = [_text(block["text"]) for block in section["blocks"] if block["kind"] == "paragraph"]

    assert "No demand was confirmed from a copy." in words
