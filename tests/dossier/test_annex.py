"""The annex: papers of others with pictures of pages, links both ways, caps, and what a redacted copy shows."""

import io
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw

from evidence.dossier import Data, DossierInput, build
from evidence.dossier._input import Paper
from evidence.model.exhibit import Document, Item, Unreadable
from evidence.model.manifest import ManifestExhibit
from evidence.model.pages import annex_name, picture_name
from evidence.model.papers import Claim
from evidence.pageplan import annexed, papers, read_pages
from evidence.phrases.dossier_papers_en import _ANNEX
from evidence.typeset import Typesetter
from tests.dossier import builders, hard
from tests.dossier.sheets import POINT, needs_poppler, sheets, squeezed
from tests.dossier.test_build import anchors_of, parts
from tests.dossier.test_pages import BOTTOM, LEFT, RIGHT, SLACK, TOP

A4_AT_130 = (1075, 1520)


def with_pages(made: DossierInput, pages: int = 12) -> DossierInput:
    """With pictures of all pages that its annex may show, of papers of so many pages."""
    items = {
        one.id: one
        if one.pdf is None
        else one.model_copy(update={"pdf": Document(pages=pages, has_text=True)})
        for one in made.items.values()
    }
    copies = [one.id for one in made.manifest.exhibits if str(one.redacted).endswith(".redacted.pdf")]
    found = papers(made.record, items, copies if made.redacted else None)
    names = {annex_name(one.exhibit, page, redacted=made.redacted) for one in found for page in one.drawn}
    if not made.redacted:
        names |= {picture_name(one.exhibit, one.page) for one in read_pages(made.record, items)}
    return replace(made, items=items, shown_pages=frozenset(names))


def claiming(made: DossierInput, claims: Iterable[dict[str, Any]]) -> DossierInput:
    """With these claims of its first paper that is here."""
    paper = next(one for one in made.record.documents if one.exhibit is not None)
    changed = paper.model_copy(update={"claims": tuple(Claim.read(claim) for claim in claims)})
    documents = tuple(changed if one.id == paper.id else one for one in made.record.documents)
    return replace(made, record=made.record.model_copy(update={"documents": documents}))


def changed(made: DossierInput, exhibit: str, **fields: Any) -> DossierInput:
    """With other facts about a file in its manifest."""
    exhibits = tuple(
        one.model_copy(update=fields) if one.id == exhibit else one for one in made.manifest.exhibits
    )
    return replace(made, manifest=made.manifest.model_copy(update={"exhibits": exhibits}))


def annex(made: DossierInput) -> Data:
    data = build(made, builders.say)
    return next(part for part in data["sections"] if part["id"] == "annex")


def words(value: object) -> str:
    """Everything that is said, in a row, one space between two pieces."""
    return " ".join(" ".join(str(part["t"]) for part in parts(value) if "t" in part).split())


def cards(section: Data) -> list[Data]:
    return [block for block in section["blocks"] if block["kind"] == "annexed"]


def links(value: object) -> set[str]:
    return {part["to"] for part in parts(value) if "to" in part}


def test_page_one_and_cited_pages_are_shown_under_their_paper() -> None:
    made = with_pages(builders.finished())
    section = annex(made)
    shown = [card["picture"] for card in cards(section)]

    assert shown == [
        "E004.annex-1", "E004.annex-2", "E004.annex-7", "E004.annex-9", "E005.annex-1",
    ]  # fmt: skip
    heads = [block["text"] for block in section["blocks"] if block["kind"] == "heading"]
    assert heads == ["E004, Type test report", "E005, Calibration certificate"]
    facts = {row["label"]: words(row["value"]) for row in cards(section)[0]["facts"]}
    digest = next(one.sha256 for one in made.manifest.exhibits if one.id == "E004")
    assert "Ferrow Test House, ref. FT-2024-118, issued 2024-05-17" in facts["Record"]
    assert facts["SHA-256"] == digest
    assert facts["Pages"] == "p. 1-2, 7, 9 of 12 shown here"
    assert facts["Attached"] == "whole, as E004.pdf"
    assert "5 pages of 2 papers are shown here." in words(section)
    assert "1 paper stays elsewhere and is not shown: d2" in words(section)
    assert set(shown) <= set(build(made, builders.say)["pictures"])


def test_the_annex_stands_between_the_photo_log_and_how_to_verify() -> None:
    order = [part["id"] for part in build(with_pages(builders.finished()), builders.say)["sections"]]

    assert order.index("photos") < order.index("annex") == order.index("verifying") - 1


def test_claims_lead_to_their_page_and_pages_to_what_judges_them() -> None:
    made = with_pages(builders.finished())
    data = build(made, builders.say)
    documents = next(part for part in data["sections"] if part["id"] == "documents")
    pages = {card["picture"]: card for card in cards(annex(made))}

    assert {"page-E004.annex-1", "page-E004.annex-2", "page-E004.annex-7", "page-E004.annex-9"} <= links(
        documents
    )
    assert words(pages["E004.annex-7"]["claims"]).startswith("Peak deceleration : 10.4 g")
    assert "document-d1" in links(pages["E004.annex-7"]["claims"])
    assert links(data) <= set(anchors_of(data))
    assert len(anchors_of(data)) == len(set(anchors_of(data)))


def test_a_claim_names_the_finding_that_asks_for_it() -> None:
    made = with_pages(builders.finished())
    wanted = next(each for each in made.demands.criteria if each.criterion.type == "within")
    asked = replace(
        wanted, criterion=wanted.criterion.model_copy(update={"quantity": "document.peak-deceleration"})
    )
    criteria = tuple(asked if each is wanted else each for each in made.demands.criteria)
    findings = tuple(
        one.model_copy(update={"documents": ("d1",)}) if one.requirement == wanted.requirement else one
        for one in made.manifest.findings
    )
    made = replace(
        made,
        demands=replace(made.demands, criteria=criteria),
        manifest=made.manifest.model_copy(update={"findings": findings}),
    )
    pages = {card["picture"]: card for card in cards(annex(made))}

    judged = {to for to in links(pages["E004.annex-7"]["claims"]) if to.startswith("finding-")}
    assert judged
    assert not [to for to in links(pages["E004.annex-9"]["claims"]) if to.startswith("finding-")]
    assert judged <= links(cards(annex(made))[0]["facts"])


def test_what_is_left_out_is_said_with_numbers() -> None:
    many = [{"name": "lot", "value": "A7", "page": str(page)} for page in (*range(2, 9), 200)]
    said = words(annex(with_pages(claiming(builders.finished(), many), 300)))
    one = words(annex(with_pages(claiming(builders.finished(), many[:6]), 300)))

    assert "p. 1-6 of 300 shown here ; p. 7-8, 200 also named by the record, no room here" in said
    assert (
        "3 more pages are named by the record and not shown here: there is room for 6 pages of one paper and 24 of all."
        in said
    )
    assert "1 more page is named by the record" in one


def test_a_page_that_could_not_be_drawn_is_told() -> None:
    made = with_pages(builders.finished())
    less = replace(made, shown_pages=made.shown_pages - {"E004.annex-2"})
    nothing = replace(made, shown_pages=frozenset({"E005.annex-1"}))

    assert "p. 1, 7, 9 of 12 shown here ; p. 2 could not be made into a picture" in words(annex(less))
    assert "none of 12 shown here ; p. 1-2, 7, 9 could not be made" in words(annex(nothing))
    assert "1 page of 2 papers is shown here." in words(annex(nothing))
    documents = next(part for part in build(less, builders.say)["sections"] if part["id"] == "documents")
    assert "page-E004.annex-2" not in links(documents)


def test_a_page_that_is_shown_where_it_was_read_is_not_shown_twice() -> None:
    read = [{"name": "lot", "value": "A7", "page": page, "read_by": "w2"} for page in ("1", "3")]
    one = with_pages(claiming(builders.finished(), read[:1]))
    two = with_pages(claiming(builders.finished(), read))
    part = with_pages(claiming(builders.finished(), [{**read[0], "crop": "0 0 50 50"}]))

    assert "1 page is shown whole where a person read it, and not again here." in words(annex(one))
    assert "2 pages are shown whole where a person read them" in words(annex(two))
    assert "none of 12 shown here ; shown whole where it was read: p. 1 , 3" in words(annex(two))
    assert "page-E004.page-3" in links(annex(two))
    lost = replace(two, shown_pages=two.shown_pages - {"E004.page-3"})
    assert "page-E004.page-3" not in links(annex(lost))
    # a part is shown there, the page here, and each leads to the other
    (card,) = (card for card in cards(annex(part)) if card["picture"] == "E004.annex-1")
    assert "the part that was read" in words(card["claims"])
    assert "page-E004.page-1" in links(card["claims"])


def test_a_redacted_dossier_shows_only_pages_of_redacted_copies() -> None:
    plain = builders.finished(redacted=True)
    copied = changed(plain, "E004", redacted="derived/E004.redacted.pdf")
    stubs, copy = annex(with_pages(plain)), annex(with_pages(copied))

    assert [card["picture"] for card in cards(stubs)] == [None, None]
    assert "12 pages; none is shown, for there is no redacted copy" in words(stubs)
    assert "a description with pages and claims, as E004.redacted.json" in words(stubs)
    assert "1 page; it is not shown" in words(annex(with_pages(plain, 1)))
    shown = [card["picture"] for card in cards(copy) if card["picture"]]
    assert shown == [f"E004.redacted.annex-{page}" for page in (1, 2, 7, 9)]
    assert "the redacted copy, as E004.redacted.pdf" in words(copy)
    assert "stated (left out here)" in words(copy)
    assert "Ingrid Example" not in words(copy)
    assert "only pages of redacted copies" in words(copy)


def test_pictures_of_originals_do_nothing_in_a_redacted_dossier() -> None:
    made = builders.finished(redacted=True)
    wrong = replace(made, shown_pages=annexed(made.record, made.items))

    assert wrong.shown_pages
    assert [card["picture"] for card in cards(annex(wrong))] == [None, None]


def test_every_picture_says_document_page_and_original() -> None:
    (first, *_) = cards(annex(with_pages(builders.finished())))
    copied = changed(builders.finished(redacted=True), "E004", redacted="derived/E004.redacted.pdf")
    (copy, *_) = cards(annex(with_pages(copied)))

    assert first["alt"] == (
        "Picture of page 1 of E004, Type test report; the original is attached whole as E004.pdf"
    )
    assert copy["alt"] == (
        "Picture of page 1 of the redacted copy of E004, Type test report; the copy is attached as E004.redacted.pdf"
    )


def unopened() -> DossierInput:
    """With a file that nobody can open, and a photo of a paper."""
    made = with_pages(builders.finished())
    photo = made.items["E001"].model_copy(update={"id": "E005"})
    lost = Item(
        id="E004",
        sha256="0" * 64,
        bytes=9,
        kind="unreadable",
        media_type="application/pdf",
        unreadable=Unreadable(code="pdf-password"),
    )
    made = replace(made, items={**made.items, "E004": lost, "E005": photo})
    return changed(changed(made, "E004", kind="unreadable"), "E005", kind="photo")


def test_a_photo_of_a_paper_and_a_file_that_nobody_can_open_are_told() -> None:
    made = unopened()

    assert "The file could not be opened. It lies in the bundle as files/E004.pdf." in words(annex(made))
    assert "A photo of the paper; see E005" in words(annex(made))
    assert [card["picture"] for card in cards(annex(made))] == [None, None]


def test_without_papers_of_others_there_is_no_annex() -> None:
    made = builders.finished()
    own: tuple[ManifestExhibit, ...] = tuple(one for one in made.manifest.exhibits if one.kind != "document")
    made = replace(made, manifest=made.manifest.model_copy(update={"exhibits": own}))

    assert "annex" not in [part["id"] for part in build(made, builders.say)["sections"]]


def told_of(*sources: DossierInput) -> set[str]:
    """Codes of the annex that these dossiers say."""
    said: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        said.add(code.removeprefix("dossier-"))
        return builders.say(code, parameters)

    for made in sources:
        build(made, listen)
    return said & set(_ANNEX)


def test_every_sentence_of_the_annex_is_said() -> None:
    plain, hidden = builders.finished(), builders.finished(redacted=True)
    many = [{"name": "lot", "value": "A7", "page": str(page)} for page in range(2, 10)]
    read = [{"name": "lot", "value": "A7", "page": page, "read_by": "w2"} for page in ("1", "3")]
    held = [one for one in plain.record.documents if one.held is not None]
    two_held = (*plain.record.documents, *(one.model_copy(update={"id": "d9"}) for one in held))
    manifest = plain.manifest.model_copy(
        update={
            "documents": (
                *plain.manifest.documents,
                plain.manifest.documents[-1].model_copy(update={"id": "d9"}),
            )
        }
    )
    sources = (
        with_pages(plain),
        replace(plain, shown_pages=frozenset({"E005.annex-1"})),
        with_pages(claiming(plain, many)),
        with_pages(claiming(plain, many[:6])),
        with_pages(claiming(plain, read)),
        with_pages(claiming(plain, read[:1])),
        with_pages(claiming(plain, [{**read[0], "crop": "0 0 50 50"}])),
        replace(plain, manifest=manifest, record=plain.record.model_copy(update={"documents": two_held})),
        with_pages(hidden),
        with_pages(hidden, 1),
        with_pages(changed(hidden, "E004", redacted="derived/E004.redacted.pdf")),
        unopened(),
    )

    assert set(_ANNEX) - told_of(*sources) == set()


def page(size: tuple[int, int]) -> bytes:
    """A page with a frame, as a picture."""
    picture = Image.new("RGB", size, "white")
    ImageDraw.Draw(picture).rectangle((4, 4, size[0] - 5, size[1] - 5), outline="black", width=4)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=75)
    return out.getvalue()


def crowded() -> DossierInput:
    """More claims on a page than it is high, and a paper with long names."""
    claims = [
        {"name": "lot", "value": f"{hard.serial(number, 60)} and words {number}", "page": "1"}
        for number in range(40)
    ]
    made = claiming(builders.finished(), claims)
    documents = tuple(
        one.model_copy(update={"issuer": hard.serial(1), "reference": hard.serial(2)})
        for one in made.record.documents
    )
    return replace(made, record=made.record.model_copy(update={"documents": documents}))


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize(
    ("make", "size"),
    [
        (builders.finished, A4_AT_130),
        (builders.finished, (1105, 1430)),  # Letter
        (builders.finished, A4_AT_130[::-1]),
        (builders.finished, (1520, 40)),
        (builders.finished, (40, 2150)),
        (crowded, A4_AT_130),
    ],
    ids=["a4", "letter", "lying", "wide", "high", "crowded"],
)
def test_pages_stay_inside_the_margins_under_their_headings(
    typesetter: Typesetter, tmp_path: Path, paper: Paper, make: Any, size: tuple[int, int]
) -> None:
    made = replace(with_pages(make()), paper=paper)
    data, pictures, attachments = builders.ready(made)
    drawn = {name: page(size) if ".annex-" in name else data for name, data in pictures.items()}
    found = sheets(typesetter.typeset(data, drawn, attachments, builders.ISSUED), tmp_path)
    figures = [
        (number, one, sheet) for number, sheet in enumerate(found) for one in sheet.figures
        if one.text.startswith("Picture of page")
    ]  # fmt: skip

    assert len(figures) == len(made.shown_pages)
    for number, one, sheet in figures:
        assert LEFT - SLACK <= one.left < one.right <= sheet.width - RIGHT + SLACK, number
        assert TOP - SLACK <= one.top < one.bottom <= sheet.height - BOTTOM + SLACK, number
        for word in sheet.words:
            assert LEFT - SLACK <= word.left <= word.right <= sheet.width - RIGHT + SLACK, (number, word)
            # no word lies on a page's picture
            across = word.left < one.right - 1 and word.right > one.left + 1
            assert not (across and word.top < one.bottom - 1 and word.bottom > one.top + 1), (number, word)
    for sheet in found:
        rows = [row for row in sheet.rows() if row.bottom < sheet.height - BOTTOM]
        under = max((one.bottom for one in sheet.figures), default=0.0) > rows[-1].bottom
        assert under or squeezed(rows[-1].text) not in {"E004,Typetestreport", "E005,Calibrationcertificate"}
    first = next(number for number, sheet in enumerate(found) if sheet.rows()[1].text.startswith("Annex:"))
    assert first == figures[0][0]  # the section's first page is not left empty
    if size == A4_AT_130 and make is builders.finished:
        widths = [one.right - one.left for _, one, _ in figures[1:]]
        assert min(widths) >= 100 * POINT  # print of 10 points is then 4.8 points high or more
