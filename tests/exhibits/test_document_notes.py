"""Documents as they really come: cut off, mended, scanned, full of other things, or numbered in their own way."""

import io
from time import process_time

import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.constants import PageLabelStyle

from evidence.errors import InputError
from evidence.exhibits import document, reading
from evidence.guard import Guard
from evidence.model.exhibit import Document
from evidence.phrases.exhibits_en import PROBLEMS
from tests.exhibits.files import CATALOG, FONT, PAGE, inflating_pdf, page_tree, pdf, stream, text_pdf

WHERE = "documents/E012.pdf"
LONG = b"Certificate 4711 of a torque wrench with the serial number TW-204, calibrated in the workshop"


def noticed(data: bytes) -> tuple[str, ...]:
    return document.parse(data, WHERE).warnings


def scan(size: tuple[int, int] = (1240, 1754), pages: int = 1) -> bytes:
    """A PDF of nothing but pictures."""
    out = io.BytesIO()
    pictures = [Image.new("L", size, 250 - number) for number in range(pages)]
    pictures[0].save(out, "PDF", resolution=150, save_all=True, append_images=pictures[1:])
    return out.getvalue()


def catalogued(entries: bytes, page: bytes = PAGE) -> bytes:
    """A PDF of one page of text with more entries in its catalogue."""
    catalogue = b"<</Type/Catalog/Pages 2 0 R" + entries + b">>"
    return pdf([catalogue, page_tree(), page, stream(b"BT /F1 12 Tf (" + LONG + b") Tj ET"), FONT])


def test_a_file_that_lost_its_end_is_refused() -> None:
    data = text_pdf(LONG)
    with pytest.raises(InputError, match="pdf-damaged"):
        document.parse(data[: data.index(b"xref")], WHERE)


def test_a_file_without_its_table_is_mended_and_told() -> None:
    data = text_pdf(LONG)
    lost = data[: data.index(b"xref\n")] + data[data.index(b"trailer") :]
    found = document.parse(lost, WHERE)

    assert (found.document.pages, found.page_texts[0], found.warnings) == (1, LONG.decode(), ("pdf-mended",))


def test_a_table_that_points_elsewhere_is_mended_and_told() -> None:
    data = text_pdf(LONG)
    start = data.rindex(b"startxref\n") + len(b"startxref\n")
    moved = data[:start] + b"7" + data[data.index(b"\n", start) :]

    assert noticed(moved) == ("pdf-mended",)
    assert document.parse(moved, WHERE).page_texts == (LONG.decode(),)


def test_a_broken_stream_costs_the_text_of_its_page_only() -> None:
    data = inflating_pdf(b"BT /F1 12 Tf (" + LONG + b") Tj ET")
    at = data.index(b"stream\n") + len(b"stream\n")
    broken = data[: at + 4] + b"\xff" * 20 + data[at + 24 :]
    found = document.parse(broken, WHERE)

    assert (found.document.pages, found.document.has_text) == (1, False)
    assert found.warnings in (("pdf-text-incomplete",), ("pdf-scan",))


def test_a_line_before_the_header_is_passed_over_and_told() -> None:
    data = b"printed by scanner 3\r\n" + text_pdf(LONG)
    with Guard() as guard:
        found = reading.read(data, WHERE, "E012", reader=guard.run)

    assert found.item.warnings == ("pdf-leading-bytes",)
    assert found.page_texts == (LONG.decode(),)


def test_a_wrong_ending_is_told() -> None:
    with Guard() as guard:
        found = reading.read(text_pdf(LONG), "photos/IMG_1.jpg", "E012", reader=guard.run)

    assert (found.item.kind, found.item.warnings) == ("document", ("exhibit-extension",))


def test_a_password_is_asked_to_be_taken_off() -> None:
    assert "save a copy without password" in PROBLEMS["pdf-encrypted"][1]


def test_a_scan_says_that_somebody_must_read_it() -> None:
    found = document.parse(scan(pages=2), WHERE)

    assert found.warnings == ("pdf-scan",)
    assert found.document == Document(pages=2, has_text=False, pages_with_text="", pages_pictured="1-2")


def test_a_stamp_on_a_scan_is_not_the_text_of_the_paper() -> None:
    """A fax prints its number on every page; a page of real text beside a picture keeps its text."""
    for line, kept in ((b"Fax 2026-03-04 p. 1", False), (LONG, True)):
        writer = PdfWriter()
        page = writer.add_page(PdfReader(io.BytesIO(scan())).pages[0])
        page.merge_page(PdfReader(io.BytesIO(text_pdf(line))).pages[0])
        out = io.BytesIO()
        writer.write(out)
        found = document.parse(out.getvalue(), WHERE).document

        assert (found.has_text, found.pages_pictured) == (kept, "1")


def test_a_logo_is_no_scan() -> None:
    assert document.parse(scan((200, 100)), WHERE).document.pages_pictured == ""


@pytest.mark.parametrize(
    ("mode", "unseen"), [(b"0", ""), (b"2", ""), (b"3", "1"), (b"7", "1"), (b"0.3", ""), (b"17", "")]
)
def test_text_that_a_scanner_guessed_is_marked(mode: bytes, unseen: str) -> None:
    """Neither fill nor stroke: modes 3 and 7, from memory of ISO 32000-1; also inside what the page draws."""
    drawn = b"BT " + mode + b" Tr /F1 12 Tf (" + LONG + b") Tj ET"
    data = pdf([CATALOG, page_tree(), PAGE, stream(drawn), FONT])

    assert document.parse(data, WHERE).document.pages_pictured == unseen
    inside = (
        b"/Type/XObject/Subtype/Form/BBox[0 0 600 800]/Resources<</Font<</F1 5 0 R>>/XObject<</Y 7 0 R>>>>"
    )
    page = PAGE.replace(b"/Font", b"/XObject<</X 6 0 R>>/Font")
    for forms in ([stream(drawn, inside)], [stream(b"/Y Do", inside), stream(drawn, inside)]):
        data = pdf([CATALOG, page_tree(2), page, stream(b"/X Do"), FONT, *forms])
        expected = "1-2" if unseen else ""
        assert document.parse(data, WHERE).document.pages_pictured == expected


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        (b"", ()),
        (b"/OpenAction<</S/JavaScript/JS(app.alert(1))>>", ("pdf-script",)),
        (b"/OpenAction<</S/Launch/F(calc.exe)>>", ("pdf-script",)),
        (b"/OpenAction<</S/GoTo/D[3 0 R/Fit]>>", ()),
        (b"/Names<</JavaScript<</Names[(a)<</S/JavaScript/JS(1)>>]>>>>", ("pdf-script",)),
        (b"/AA<</WC<</S/JavaScript/JS(1)>>>>", ("pdf-script",)),
        (b"/Names<</EmbeddedFiles<</Names[]>>>>", ("pdf-attachments",)),
        (b"/Collection<</View/T>>/Names<</EmbeddedFiles<</Names[]>>>>", ("pdf-attachments", "pdf-portfolio")),
        (b"/Names 99 0 R/OpenAction 98 0 R/PageLabels 97 0 R", ()),
        (b"/PageLabels<</Nums[0<</S/D>>]>>", ()),
        (b"/PageLabels<</Nums[0<</S/r>>]>>", ("pdf-page-labels",)),
        (b"/PageLabels<</Nums[0<</S/D/St 7>>]>>", ("pdf-page-labels",)),
        (b"/PageLabels<</Nums[0<</S/r>>4<</S/D>>]>>", ("pdf-page-labels",)),
        (b"/PageLabels<</Nums[0]>>", ("pdf-page-labels",)),
    ],
)
def test_what_a_file_carries_is_told_and_not_followed(entries: bytes, expected: tuple[str, ...]) -> None:
    assert noticed(catalogued(entries)) == expected


@pytest.mark.parametrize(
    ("annotation", "expected"),
    [
        (b"<</Subtype/FileAttachment/FS<<>>>>", ("pdf-attachments",)),
        (b"<</Subtype/Link/A<</S/JavaScript/JS(1)>>>>", ("pdf-script",)),
        (b"<</Subtype/Link/A<</S/URI/URI(https://example.org)>>>>", ()),
    ],
)
def test_what_a_page_carries_is_told(annotation: bytes, expected: tuple[str, ...]) -> None:
    page = PAGE[:-2] + b"/Annots[" + annotation + b"]>>"

    assert noticed(catalogued(b"", page)) == expected


def test_page_labels_of_another_writer_are_seen() -> None:
    writer = PdfWriter(clone_from=io.BytesIO(text_pdf(LONG, pages=3)))
    writer.set_page_label(0, 1, style=PageLabelStyle.LOWERCASE_ROMAN)
    out = io.BytesIO()
    writer.write(out)

    assert noticed(out.getvalue()) == ("pdf-page-labels",)


def test_three_hundred_dense_pages_end_within_the_guards_limits() -> None:
    """Measured: 300 pages of 3000 letters need 1.4 s and 3 MB beyond the reader's own 50; the guard gives 45 s."""
    lines = b" T* ".join(b"(" + LONG[:80] + b") Tj" for _ in range(38))
    data = inflating_pdf(b"BT /F1 9 Tf 12 TL 50 800 Td " + lines + b" ET", pages=300)
    before = process_time()
    with Guard() as guard:
        found = reading.read(data, WHERE, "E012", reader=guard.run)

    assert found.item.pdf is not None
    assert (found.item.pdf.pages, found.item.pdf.pages_with_text) == (300, "1-300")
    assert sum(map(len, found.page_texts)) > 800_000
    assert process_time() - before < 20  # of this process; the child has its own limit


def test_no_pages_and_no_end_is_refused() -> None:
    with pytest.raises(InputError, match="pdf-empty"):
        document.parse(pdf([CATALOG, b"<</Type/Pages/Kids[]/Count 0>>"]), WHERE)
