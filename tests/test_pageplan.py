"""Which pages of papers become pictures of the annex: what is cited, how many, and in whose favour."""

from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from evidence import pageplan
from evidence.model.exhibit import Item
from evidence.model.record import JobRecord
from tests.dossier import records

PAGES = 300


def item(exhibit: str, pages: int = PAGES) -> Item:
    common: dict[str, Any] = {
        "id": exhibit,
        "sha256": "0" * 64,
        "bytes": 9,
        "kind": "document",
        "media_type": "application/pdf",
        "document": {"pages": pages, "has_text": True},
    }
    return Item.read({"format": "sillmark-item/0", **common})


def record(cited: Mapping[str, Sequence[int]], role: str = "data-sheet", **claim: str) -> JobRecord:
    """A record of papers, each with one claim on each of these pages."""
    made = records.finished_record()
    made["exhibits"] = [
        {"id": exhibit, "role": role, "subject": "vehicle", "file": f"documents/{exhibit}.pdf"}
        for exhibit in cited
    ]
    made["documents"] = [
        {
            "id": f"d{number}",
            "role": role,
            "subject": "vehicle",
            "exhibit": exhibit,
            "claims": [{"name": "lot", "value": "A7", "page": str(page), **claim} for page in pages],
        }
        for number, (exhibit, pages) in enumerate(cited.items(), 1)
    ]
    return JobRecord.read({name: part for name, part in made.items() if name != "concessions"})


def planned(cited: Mapping[str, Sequence[int]], **options: Any) -> dict[str, tuple[int, ...]]:
    items = {exhibit: item(exhibit) for exhibit in cited}
    return {one.exhibit: one.drawn for one in pageplan.papers(record(cited), items, **options)}


def test_page_one_and_the_cited_pages_of_a_paper_are_drawn() -> None:
    assert planned({"E100": (7, 3, 7), "E101": ()}) == {"E100": (1, 3, 7), "E101": (1,)}


def test_a_paper_has_room_for_six_pages_and_says_which_are_left_out() -> None:
    (paper,) = pageplan.papers(record({"E100": range(2, 300, 40)}), {"E100": item("E100")})

    assert paper.drawn == (1, 2, 42, 82, 122, 162)
    assert paper.left_out == (202, 242, 282)
    assert paper.pages == PAGES


def test_a_long_paper_takes_no_room_from_the_first_page_of_another() -> None:
    found = planned({f"E{100 + number}": range(2, 9) for number in range(10)})
    counts = [len(pages) for pages in found.values()]

    assert sum(counts) == pageplan.MAX_ANNEXED == 24
    assert all(pages[0] == 1 for pages in found.values())
    assert max(counts) - min(counts) == 1


def test_pages_beyond_the_end_are_not_cited() -> None:
    assert pageplan.papers(record({"E100": (2, 3)}), {"E100": item("E100", 2)})[0].cited == (1, 2)


@pytest.mark.parametrize("role", ["work-card", "cycle-log", "torque-log"])
def test_what_the_workshop_wrote_is_no_paper_of_others(role: str) -> None:
    assert pageplan.papers(record({"E100": (1,)}, role), {"E100": item("E100")}) == []


def test_files_that_are_no_readable_pdf_have_no_pages() -> None:
    lost = Item.read(
        {
            "format": "sillmark-item/0",
            "id": "E100",
            "sha256": "0" * 64,
            "bytes": 9,
            "kind": "unreadable",
            "media_type": "application/pdf",
            "unreadable": {"code": "pdf-password", "parameters": {}},
        }
    )

    assert pageplan.papers(record({"E100": (1,), "E101": (1,)}), {"E100": lost}) == []


def test_a_page_that_is_shown_whole_where_it_was_read_is_not_drawn_again() -> None:
    items = {"E100": item("E100")}
    (whole,) = pageplan.papers(record({"E100": (1, 2)}, read_by="w2"), items)
    (part,) = pageplan.papers(record({"E100": (1, 2)}, read_by="w2", crop="0 0 50 50"), items)

    assert (whole.whole, whole.drawn, whole.left_out) == ((1, 2), (), ())
    assert (part.whole, part.drawn) == ((), (1, 2))


def test_of_a_redacted_dossier_only_redacted_copies_are_drawn() -> None:
    assert planned({"E100": (2,), "E101": (2,)}, redacted=["E101"]) == {"E100": (), "E101": (1, 2)}


def test_names_tell_the_copy_from_the_original() -> None:
    found = pageplan.annexed(record({"E100": (2,)}), {"E100": item("E100")})

    assert found == {"E100.annex-1", "E100.annex-2"}
