"""Claims of documents on paper: where the text mentions them, who read them, and the pictures of those pages."""

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import DossierInput, build
from evidence.model.exhibit import Document
from evidence.model.manifest import ManifestMention
from evidence.model.papers import Claim
from evidence.phrases import say as real_say
from evidence.typeset import typeset
from tests.dossier import builders

READ = {"name": "lot", "value": "A7", "page": "2", "read_by": "w2"}


def source(
    *claims: dict[str, Any], mentions: tuple[str, ...] = (), redacted: bool = False, **more: Any
) -> DossierInput:
    """A dossier whose first filed document makes these claims; ``mentions`` are the pages of each in turn."""
    made = builders.open_(redacted=redacted)
    paper = next(one for one in made.record.documents if one.exhibit is not None)
    changed = paper.model_copy(update={"claims": tuple(Claim.read(claim) for claim in claims)})
    documents = tuple(changed if one.id == paper.id else one for one in made.record.documents)
    listed = tuple(
        ManifestMention(paper=paper.id, number=number, claim=claim.name, pages=pages)
        for number, (claim, pages) in enumerate(zip(changed.claims, mentions, strict=False), start=1)
    )
    item = made.items[str(paper.exhibit)]
    part = Document(pages=3, has_text=True, pages_with_text="1-2", pages_pictured="3")
    return replace(
        made,
        manifest=made.manifest.model_copy(update={"mentions": listed}),
        record=made.record.model_copy(update={"documents": documents}),
        items={**made.items, item.id: item.model_copy(update={"pdf": part})},
        **more,
    )


def exhibit_of(made: DossierInput) -> str:
    return next(one.exhibit for one in made.record.documents if one.exhibit is not None)


def texts(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        if "t" in value:
            yield str(value["t"])
        for each in value.values():
            yield from texts(each)
    if isinstance(value, list):
        for each in value:
            yield from texts(each)


def section(made: DossierInput) -> dict[str, Any]:
    data = build(made, builders.say)
    return next(part for part in data["sections"] if part["id"] == "documents")


def told(made: DossierInput) -> str:
    return "".join(texts(section(made)))


@pytest.mark.parametrize(
    ("claim", "pages", "expected"),
    [
        ({"name": "lot", "value": "A7", "page": "2"}, "1-2", "A7, mentioned on p. 2"),
        ({"name": "lot", "value": "A7"}, "1-2", "A7, mentioned on p. 1-2"),
        ({"name": "lot", "value": "A7"}, "1 3 5 7 9", "A7, mentioned on p. 1, 3, 5, 7 …"),
        (
            {"name": "lot", "value": "A7", "page": "1"},
            "2",
            "A7, not found in the text of p. 1; it stands on p. 2",
        ),
        ({"name": "lot", "value": "A7", "page": "1"}, "", "A7, p. 1, not found in the text"),
        ({"name": "lot", "value": "A7"}, "", "A7, not found in the text"),
        (
            {"name": "lot", "value": "A7", "page": "3"},
            "",
            "A7, p. 3, no text there, and nobody is named who read it",
        ),
    ],
)
def test_where_a_claim_stands_is_told(claim: dict[str, str], pages: str, expected: str) -> None:
    assert expected in told(source(claim, mentions=(pages,)))


def test_words_that_no_paper_writes_are_not_missed() -> None:
    found = told(source({"name": "signature", "value": "signed", "page": "1"}, mentions=("",)))

    assert "signed, p. 1" in found
    assert "not found" not in found


def test_who_read_a_claim_is_named_with_the_picture() -> None:
    plain = source(READ)
    name = f"{exhibit_of(plain)}.page-2"
    shown = replace(plain, shown_pages=frozenset({name}))
    data = build(shown, builders.say)
    (card,) = (block for block in section(shown)["blocks"] if block["kind"] == "page")

    assert "A7, read by w2 Bo Éclair-Łukasz (inspector, witness), p. 2 picture" in told(shown)
    assert name in data["pictures"]
    assert (card["picture"], card["title"]) == (name, f"{exhibit_of(plain)}, p. 2")
    assert card["alt"].endswith("on which a person read: lot: A7")


def test_a_missing_picture_is_told() -> None:
    plain = source(READ)
    name = f"{exhibit_of(plain)}.page-2"
    many = told(replace(plain, left_out_pages=frozenset({name})))

    assert "could not be made into a picture" in told(plain)
    assert "page not shown, there are too many" in many
    assert "1 more page is not shown here" in many


def test_the_redacted_copy_names_an_id_and_shows_no_page() -> None:
    hidden = source(READ, redacted=True)

    assert "A7, read by w2 (inspector, witness), p. 2; page not shown in this copy" in told(hidden)
    assert not [block for block in section(hidden)["blocks"] if block["kind"] == "page"]


def test_a_claim_of_a_paper_held_elsewhere_names_its_reader() -> None:
    made = source()
    held = next(one for one in made.record.documents if one.held is not None)
    documents = (held.model_copy(update={"claims": (Claim.read(READ),)}),)
    made = replace(made, record=made.record.model_copy(update={"documents": documents}))

    assert "A7, read by w2" in told(made)
    assert "could not be made" not in told(made)


def test_a_page_is_printed_with_its_caption(tmp_path: Path) -> None:
    plain = source(READ)
    name = f"{exhibit_of(plain)}.page-2"
    data, pictures, attachments = builders.ready(replace(plain, shown_pages=frozenset({name})))
    page = builders.photo_bytes(3, (1240, 1754))
    pdf = typeset(data, {**pictures, name: page}, attachments, builders.ISSUED)
    (tmp_path / "a.pdf").write_bytes(pdf)
    found = [one.extract_text() for one in PdfReader(io.BytesIO(pdf)).pages]

    assert any("Pages read by a person" in text and "read by w2" in text for text in found)


def test_every_sentence_of_a_claim_is_in_the_catalogue() -> None:
    assert real_say("dossier-claim-read", {"who": "w2", "n": "2"}) == "read by w2, p. 2"
