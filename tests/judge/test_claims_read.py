"""Claims on pages that no program can read, on pages that are not there, and on pages that say something else."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.mentions import of_record
from evidence.model.exhibit import Document, Item
from evidence.model.finding import Finding
from evidence.model.names import Outcome, RestsOn, Severity
from tests.judge.builders import ask, asking, case, document, entry, paper, photo, record

ROLE = "calibration-certificate"


def filed(pages: int = 2, with_text: str = "", pictured: str = "") -> Item:
    """A PDF with text on some of its pages."""
    part = Document(pages=pages, has_text=bool(with_text), pages_with_text=with_text, pages_pictured=pictured)
    return paper("E1").model_copy(update={"pdf": part})


def the_case(item: Item, *claims: dict[str, Any], texts: tuple[str, ...] = ()) -> Case:
    """A case around one paper with these claims."""
    paper_of_tool = {**document("d1", ROLE, "E1", subject="vehicle"), "claims": list(claims)}
    parts = record(documents=[paper_of_tool], exhibits=[entry("E1", ROLE, "vehicle")])
    made = case(parts, items={"E1": item})
    return replace(made, mentions=of_record(parts, {"E1": texts}))


def claim(name: str = "lot", value: Any = "A7", **more: str) -> dict[str, Any]:
    return {"name": name, "value": value, **more}


def matching(the: Case) -> Finding:
    criterion = asking(
        "matches", subject="vehicle", fact="document.lot", allowed=["A7"], evidence_from=[ROLE]
    )
    return ask(criterion, the)


CRITERIA: dict[str, dict[str, Any]] = {
    "matches": {"fact": "document.lot", "allowed": ["A7"]},
    "complete": {"fields": ["lot"]},
    "covers": {"fields": [{"claim": "lot", "how": "one-of", "values": ["A7"]}]},
}


@pytest.mark.parametrize("kind", CRITERIA)
def test_a_claim_on_a_page_without_text_is_undecided_until_somebody_read_it(kind: str) -> None:
    criterion = asking(kind, subject="vehicle", evidence_from=[ROLE], **CRITERIA[kind])
    unread = ask(criterion, the_case(filed(with_text="1"), claim(page="2")))
    read = ask(criterion, the_case(filed(with_text="1"), claim(page="2", read_by="w2")))

    assert (unread.outcome, unread.reason.code) == (Outcome.UNDECIDED, "claim-nobody-read")
    assert unread.reason.parameters["document"] == "d1"
    assert (read.outcome, read.rests_on) == (Outcome.MET, (RestsOn.DOCUMENT, RestsOn.STATEMENT))
    assert read.records == ("w2",)


def test_a_quantity_of_a_scan_is_undecided_until_somebody_read_it() -> None:
    criterion = asking(
        "within",
        subject="vehicle",
        quantity="document.test-mass",
        low="200 kg",
        high=None,
        decision="simple",
        evidence_from=[ROLE],
    )
    unread = ask(criterion, the_case(filed(), claim("test-mass", "255 kg", page="1")))
    read = ask(criterion, the_case(filed(), claim("test-mass", "255 kg", page="1", read_by="w2")))

    assert (unread.outcome, unread.reason.code) == (Outcome.UNDECIDED, "claim-nobody-read")
    assert (read.outcome, read.rests_on) == (Outcome.MET, (RestsOn.DOCUMENT, RestsOn.STATEMENT))


def test_a_use_by_day_of_a_scan_is_undecided_until_somebody_read_it() -> None:
    criterion = asking("valid_on", subject="vehicle", what="document", event="as-of", evidence_from=[ROLE])
    unread = ask(criterion, the_case(filed(), claim("use-by", "2027-01-01", page="1")))
    read = ask(criterion, the_case(filed(), claim("use-by", "2027-01-01", page="1", read_by="w2")))

    assert (unread.outcome, unread.reason.code) == (Outcome.UNDECIDED, "claim-nobody-read")
    assert (read.outcome, RestsOn.STATEMENT in read.rests_on) == (Outcome.MET, True)


def test_a_claim_without_page_needs_a_reader_only_where_no_page_has_text() -> None:
    scan, partly = matching(the_case(filed(), claim())), matching(the_case(filed(with_text="2"), claim()))

    assert (scan.outcome, scan.reason.parameters["page"]) == (Outcome.UNDECIDED, "1-2")
    assert (partly.outcome, partly.rests_on) == (Outcome.MET, (RestsOn.DOCUMENT,))


def test_a_photo_of_a_paper_needs_a_reader() -> None:
    unread = matching(the_case(photo("E1"), claim(page="1")))
    read = matching(the_case(photo("E1"), claim(page="1", read_by="w2")))

    assert (unread.outcome, unread.reason.code) == (Outcome.UNDECIDED, "claim-nobody-read")
    assert read.outcome == Outcome.MET


def test_a_reader_of_a_page_with_text_adds_nothing() -> None:
    assert matching(the_case(filed(with_text="1"), claim(page="1", read_by="w2"))).rests_on == (
        RestsOn.DOCUMENT,
    )


@pytest.mark.parametrize("reader", [{}, {"read_by": "w2"}])
def test_a_page_beyond_the_file_is_undecided_whoever_read_it(reader: dict[str, str]) -> None:
    found = matching(the_case(filed(with_text="1-2"), claim(page="3", **reader)))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "claim-page-beyond")
    assert found.reason.parameters["pages"] == "2"


def test_an_item_that_knows_only_whether_there_is_text_is_believed() -> None:
    assert matching(the_case(paper("E1"), claim(page="1"))).outcome == Outcome.MET


def test_fields_that_nobody_read_are_named_together() -> None:
    criterion = asking("complete", subject="vehicle", fields=["lot", "result"], evidence_from=[ROLE])
    found = ask(criterion, the_case(filed(), claim(page="1"), claim("result", "good", page="2")))

    assert found.reason.code == "claim-nobody-read"
    assert found.reason.parameters["claim"] == ("lot", "result")
    assert found.reason.parameters["page"] == ("1", "2")


def test_a_value_that_a_mention_finds_decides_nothing() -> None:
    found = matching(the_case(filed(with_text="1"), claim(value="B9", page="1"), texts=("lot A7", "")))

    assert found.outcome == Outcome.NOT_MET


def told(the: Case) -> list[tuple[str, Severity]]:
    rule = "claim-not-on-page"
    return [(one.reason.code, one.severity) for one in contradictions(the) if one.rule == rule]


def test_a_value_that_its_page_does_not_write_is_told() -> None:
    nowhere = the_case(filed(with_text="1-2"), claim(page="1"), texts=("lot B9", "more"))
    elsewhere = the_case(filed(with_text="1-2"), claim(page="1"), texts=("lot B9", "lot A7"))

    assert told(nowhere) == [("claim-not-on-page", Severity.NOTICE)]
    assert told(elsewhere) == [("claim-on-other-page", Severity.NOTICE)]


@pytest.mark.parametrize(
    ("item", "typed", "text"),
    [
        (filed(with_text="1"), claim(page="1"), "lot A7"),
        (filed(with_text="1"), claim(page="1", read_by="w2"), "lot B9"),
        (filed(with_text="1", pictured="1"), claim(page="1"), "lot B9"),
        (filed(with_text="1"), claim("result", "good", page="1"), "bad"),
        (filed(with_text="1"), claim(), "lot B9"),
        (
            filed(with_text="1").model_copy(update={"warnings": ("pdf-text-incomplete",)}),
            claim(page="1"),
            "B9",
        ),
        (paper("E1"), claim(page="1"), "lot B9"),
    ],
    ids=["there", "read", "picture", "free-words", "no-page", "cut", "pictures-unknown"],
)
def test_nothing_is_told_where_it_is_not_certain(item: Item, typed: dict[str, Any], text: str) -> None:
    assert told(the_case(item, typed, texts=(text, ""))) == []


def test_a_paper_that_cannot_be_used_is_not_compared_with_its_text() -> None:
    the = the_case(filed(with_text="1"), claim(page="1"), texts=("lot B9", ""))

    assert told(the) != []
    assert told(replace(the, changed=frozenset({"E1"}))) == []
