"""The dossier as PDF: read again by independent readers."""

import io
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier._blocks import column, link, paragraph, plain, row, table
from evidence.errors import InputError, SillmarkError
from evidence.files import packaged
from evidence.typeset import Typesetter
from tests.dossier import builders, hostile, judged, records

ALLOWED_SCHEMES: frozenset[str] = frozenset()  # the first form links only inside itself
SHEETS = {
    "a4": (595.3, 841.9),
    "letter": (612.0, 792.0),
}  # points; published: ISO 216, 2007, Geneva; common practice, no source


@cache
def text_of(pdf: bytes) -> str:
    """Text of all pages, by an independent reader."""
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def squeezed(text: str) -> str:
    """Text without white space, since lines break anywhere."""
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize(("typed", "printed"), list(hostile.STRINGS.items()))
def test_hostile_text_prints_as_it_stands(pdfs: dict[str, bytes], typed: str, printed: str) -> None:
    text = squeezed(text_of(pdfs["hostile"]))
    # independent reader: pypdf
    assert squeezed(printed) in text
    if typed != printed:
        assert squeezed(typed) not in text


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
def test_a_second_reader_sees_long_serials_whole_and_on_the_page(
    pdfs: dict[str, bytes], tmp_path: Path
) -> None:
    file = tmp_path / "hostile.pdf"
    file.write_bytes(pdfs["hostile"])
    # independent reader: pdftotext of poppler, whose boxes are in points
    boxes = subprocess.run(
        ["pdftotext", "-bbox", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    words = [
        tuple(map(float, found))
        for found in re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', boxes)
    ]
    assert len(words) > 1000
    left, right = 20 / 25.4 * 72, SHEETS["letter"][0] - 18 / 25.4 * 72  # margins of the page in points
    assert min(x for x, _, _, _ in words) >= left - 1
    assert max(x for _, _, x, _ in words) <= right + 1
    raw = subprocess.run(
        ["pdftotext", "-raw", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert hostile.LONG in squeezed(raw)


def test_links_lead_only_inside(pdfs: dict[str, bytes]) -> None:
    for name, pdf in pdfs.items():
        reader = PdfReader(io.BytesIO(pdf))
        schemes, inside = set(), 0
        for page in reader.pages:
            for reference in page.get("/Annots") or []:
                entry: Any = reference.get_object()
                assert entry["/Subtype"] == "/Link", name
                action = entry.get("/A")
                if action is not None and "/URI" in action:
                    schemes.add(str(action["/URI"]).split(":", 1)[0])
                else:
                    inside += 1
                    assert _resolves(entry, reader), name
        assert schemes <= ALLOWED_SCHEMES, name
        assert inside > 20, name


def _resolves(entry: Mapping[str, Any], reader: PdfReader) -> bool:
    target = entry["/Dest"] if "/Dest" in entry else entry["/A"]["/D"]
    if isinstance(target, str):
        return target in reader.named_destinations
    pages = {page.indirect_reference for page in reader.pages}
    return target[0] in pages or target.get_object()[0] in pages


@pytest.mark.usefixtures("afresh")
def test_the_same_input_gives_the_same_bytes(pdfs: dict[str, bytes]) -> None:
    with Typesetter(compiles_per_worker=1) as other:
        again = other.typeset(*builders.ready(builders.open_()), builders.ISSUED)
    assert again == pdfs["open"]
    assert again.endswith(b"%%EOF\n")


def test_manifest_and_documents_are_attached_byte_for_byte(pdfs: dict[str, bytes]) -> None:
    for name, source in (("open", builders.open_()), ("redacted", builders.open_(redacted=True))):
        _, _, given = builders.ready(source)
        attached = PdfReader(io.BytesIO(pdfs[name])).attachments
        assert {key: value[0] for key, value in attached.items()} == given


def test_the_document_says_title_language_and_time_of_issue(pdfs: dict[str, bytes]) -> None:
    reader = PdfReader(io.BytesIO(pdfs["finished"]))
    metadata = reader.metadata
    assert metadata is not None
    assert metadata.title == "Evidence dossier, BW-2231 · WXXZZZ00000402231"
    assert metadata.creation_date == builders.ISSUED
    assert _root(reader)["/Lang"] == "en"


def test_paper_follows_the_region(pdfs: dict[str, bytes]) -> None:
    for name, sheet in (("finished", "a4"), ("open", "letter")):
        box = PdfReader(io.BytesIO(pdfs[name])).pages[0].mediabox
        assert (round(float(box.width), 1), round(float(box.height), 1)) == SHEETS[sheet]


@pytest.mark.parametrize("name", ["finished", "open", "redacted", "hostile"])
def test_the_front_sheet_is_one_page_and_the_rest_follows(pdfs: dict[str, bytes], name: str) -> None:
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdfs[name])).pages]
    assert "does not certify" in pages[0]
    assert "Contents" in pages[1]
    assert 6 <= len(pages) <= 22
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
        assert "invented for a demonstration" in page
        assert ("Open: 7 points" in page) == (name != "finished")


def test_a_note_keeps_its_language(pdfs: dict[str, bytes]) -> None:
    reader = PdfReader(io.BytesIO(pdfs["finished"]))
    contents = b"".join(page.get_contents().get_data() for page in reader.pages)  # type: ignore[union-attr]
    marked = set(re.findall(rb"/Lang ?\((\w+)\)", contents)) | {
        str(entry["/Lang"]).encode() for entry in _structure(_root(reader)["/StructTreeRoot"])
    }
    assert b"de" in marked


def _root(reader: PdfReader) -> Any:
    return reader.trailer["/Root"]


def _structure(element: Any) -> Iterator[Any]:
    """Structure elements with a language of their own."""
    element = element.get_object()
    if isinstance(element, list):
        for child in element:
            yield from _structure(child)
    elif isinstance(element, dict):
        if "/Lang" in element:
            yield element
        if "/K" in element:
            yield from _structure(element["/K"])


def test_a_signatory_whose_name_cannot_print_stops_the_run(typesetter: Typesetter) -> None:
    people = {**builders.PEOPLE, "people": [{"id": "w3", "name": "漢 Signs"}]}
    record = records.finished_record()
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    ready = builders.ready(builders.source_from(record, manifest, people))
    with pytest.raises(InputError) as caught:
        typesetter.typeset(*ready, builders.ISSUED)
    problem = caught.value.problems[0]
    assert (problem.code, problem.where) == ("name-cannot-print", "people.yaml")
    assert problem.parameters == {"person": "w3", "found": "U+6F22"}


def test_a_compile_that_takes_too_long_is_ended() -> None:
    ready = builders.ready(builders.finished())
    with Typesetter(limit_seconds=0.0001) as hasty:
        with pytest.raises(SillmarkError) as caught:
            hasty.typeset(*ready, builders.ISSUED)
        assert caught.value.problems[0].code == "typeset-too-slow"
    with Typesetter(limit_seconds=60) as patient:
        assert patient.typeset(*ready, builders.ISSUED).startswith(b"%PDF-")


@pytest.mark.usefixtures("afresh")
def test_a_worker_is_replaced_after_its_share(pdfs: dict[str, bytes]) -> None:
    ready = builders.ready(builders.open_())
    with Typesetter(compiles_per_worker=2) as worker:
        seen = []
        for _ in range(3):
            assert worker.typeset(*ready, builders.ISSUED) == pdfs["open"]
            assert worker._guard._child is not None
            seen.append(worker._guard._child.process.pid)
    assert seen[0] == seen[1] != seen[2]


def test_missing_pictures_and_attachments_are_named(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    with pytest.raises(ValueError, match=r"photos/E001\.jpg"):
        typesetter.typeset(data, {}, attachments, builders.ISSUED)
    with pytest.raises(ValueError, match=r"attachments/E004\.pdf"):
        typesetter.typeset(data, pictures, {"manifest.json": b"{}"}, builders.ISSUED)


def test_a_link_to_a_place_that_is_not_there_is_refused(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    data["sections"][-1]["blocks"].append(paragraph([link("item-E999", "E999", page=True)]))
    with pytest.raises(ValueError, match="item-E999"):
        typesetter.typeset(data, pictures, attachments, builders.ISSUED)


def test_links_lead_to_the_very_row_and_name_its_page(pdfs: dict[str, bytes]) -> None:
    reader = PdfReader(io.BytesIO(pdfs["open"]))
    heights = set()
    for page in reader.pages:
        for entry in (reference.get_object() for reference in page.get("/Annots") or []):
            target = entry["/Dest"] if "/Dest" in entry else entry["/A"]["/D"]
            if not isinstance(target, str):
                heights.add(round(float(target[3])))
    assert len(heights) > 30


def test_no_row_of_a_table_ends_it_alone_on_another_page(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    heads = [column("Name"), column("What is said", share=3)]
    # of so many tables some end a page after each of their rows
    data["sections"][-1]["blocks"] = [
        table(
            heads, [row([[plain(f"t{number}r{place}.")], [plain("said")]]) for place in range(6 + number % 4)]
        )
        for number in range(70)
    ]
    pages = PdfReader(io.BytesIO(typesetter.typeset(data, pictures, attachments, builders.ISSUED))).pages
    found = [re.findall(r"t(\d+)r(\d+)\.", page.extract_text()) for page in pages]
    assert sum(map(len, found)) == sum(len(each["rows"]) for each in data["sections"][-1]["blocks"])
    over = [[place for table_, place in page if table_ == page[0][0]] for page in found if page]
    assert len({rows[0] for rows in over}) > 3
    assert [rows for rows in over if len(rows) < 2] == []


def test_a_row_longer_than_a_page_goes_on_overleaf(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    many = [plain(f"n{number}. ") for number in range(900)]
    data["sections"][-1]["blocks"] = [
        table([column("Name", mm=120), column("All")], [row([[plain("long")], many])])
    ]
    pages = PdfReader(io.BytesIO(typesetter.typeset(data, pictures, attachments, builders.ISSUED))).pages
    found = [len(re.findall(r"n\d+\.", page.extract_text())) for page in pages]
    assert sum(found) == len(many)
    assert sum(count > 100 for count in found) >= 2


def test_names_that_leave_the_folder_are_refused(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    data["svg"]["../evil.svg"] = "<svg/>"
    with pytest.raises(ValueError, match="plain file name"):
        typesetter.typeset(data, pictures, attachments, builders.ISSUED)


def test_a_time_without_offset_is_refused(typesetter: Typesetter) -> None:
    with pytest.raises(ValueError, match="offset"):
        typesetter.typeset(*builders.ready(builders.finished()), datetime(2026, 3, 5))  # noqa: DTZ001


FONTS = {"Source Sans Pro", "DejaVu Sans Mono"}


LETTER = re.compile(r"[^\W\d_]")
"""Of any alphabet."""


def test_the_sources_hold_no_words() -> None:
    for source in sorted(packaged("templates", "dossier").glob("*.typ")):
        assert words_of(source.read_text(encoding="utf-8")) == [], source.name


@pytest.mark.parametrize(
    ("markup", "found"),
    [
        ('#text("Photo")', ["Photo"]),
        ('#text("seen by")', ["seen by"]),
        ('#text("über")', ["über"]),
        ('#text("да")', ["да"]),
        ('#text(" 3 mm")', [" 3 mm"]),
        ("#block[Remarks #x]", ["Remarks #x"]),
        ("#block[#x mm]", ["#x mm"]),
        ('#text(" \u2192 ") #image("photos/" + name + ".jpg") #h(2mm) // a Comment', []),
    ],
)
def test_a_word_in_a_source_would_be_noticed(markup: str, found: list[str]) -> None:
    assert words_of(markup) == found


def words_of(source: str) -> list[str]:
    """What a source would print by itself: literals that are no names, and letters in markup."""
    code = re.sub(r"//[^\n]*", "", source)
    literals = re.findall(r'"([^"\n]*)"', code)
    contents = re.findall(r"\[([^\[\]]*)\]", re.sub(r'"[^"\n]*"', "", code))
    return [
        *(each for each in literals if not is_name(each)),
        *(each for each in contents if LETTER.search(without_code(each))),
    ]


def is_name(literal: str) -> bool:
    """Whether it may be a key, a kind, a path or a font; anything shown would have a space, a capital or an accent.

    What has no letter of any alphabet says no word.
    """
    known = literal in FONTS or re.fullmatch(r"[a-z0-9./_-]*|\[\^\\s\]\{\d+,\}", literal)
    return bool(known) or not LETTER.search(literal)


def without_code(content: str) -> str:
    """Markup without its embedded expressions: ``#name``, calls and fields after it, escapes."""
    content = re.sub(r"\\u\{[0-9a-f]+\}", "", content)
    while "(" in content:
        shorter = re.sub(r"\([^()]*\)", "", content)
        assert shorter != content, content
        content = shorter
    return re.sub(r"#[a-z][\w-]*(\.[a-z][\w-]*)*", "", content)


@pytest.mark.parametrize(
    ("markup", "left"), [("#h(0.1em)\\u{2009}→#counter(page).at(f.g()).first()", "→"), ("#x of #y", " of ")]
)
def test_words_between_expressions_are_noticed(markup: str, left: str) -> None:
    assert without_code(markup) == left
