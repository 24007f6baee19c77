"""Documents: pages, text, attachments; encrypted, damaged and hostile ones end in a code."""

import io
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter

from evidence.errors import InputError
from evidence.exhibits import _pdf, attachment, document, reading
from evidence.guard import Guard
from evidence.model.exhibit import MAX_PAGES
from tests.exhibits.files import CATALOG, FONT, PAGE, inflating_pdf, page_tree, pdf, stream, text_pdf, told

WHERE = "documents/E012.pdf"
QPDF, PDFINFO, PDFDETACH = (shutil.which(name) for name in ("qpdf", "pdfinfo", "pdfdetach"))


def written(pages: int = 1, **options: Any) -> bytes:
    """A PDF of blank pages by another writer; ``user`` and ``owner`` are passwords."""
    writer = PdfWriter()
    for _ in range(pages):
        writer.add_blank_page(100, 100)
    for name, content in options.get("attached", ()):
        writer.add_attachment(name, content)
    if "information" in options:
        writer.add_metadata(options["information"])
    if "user" in options:
        writer.encrypt(
            options["user"], options.get("owner", "x"), algorithm=options.get("algorithm", "AES-256")
        )
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def codes(data: bytes) -> list[str]:
    with pytest.raises(InputError) as caught:
        document.parse(data, WHERE)
    assert all(told(problem) and problem.where == WHERE for problem in caught.value.problems)
    return [problem.code for problem in caught.value.problems]


def test_pages_and_text() -> None:
    """Text comes page by page, beside what is stored."""
    reading = document.parse(text_pdf(b"Serial 0012", pages=3), WHERE)

    assert (reading.document.pages, reading.document.has_text, reading.document.encrypted) == (3, True, False)
    assert reading.page_texts == ("Serial 0012",) * 3
    assert reading.warnings == ()


def test_scan_has_no_text() -> None:
    """Pages without text say so."""
    reading = document.parse(written(2), WHERE)

    assert (reading.document.pages, reading.document.has_text) == (2, False)
    assert reading.page_texts == ("", "")


def test_title_and_producer_stay_in_the_file() -> None:
    """People write names into them; the item counts pages."""
    information = {"/Title": "Report for Ada Fitter", "/Producer": "Lab 1", "/Author": "Ada Fitter"}
    value = document.answer(written(information=information), WHERE).value

    kept = {"pages": 1, "has_text": False, "encrypted": False, "pages_with_text": "", "pages_pictured": ""}
    assert value == {"document": kept, "warnings": ["pdf-scan"]}


def test_information_of_the_wrong_kind_is_left_out() -> None:
    """A title that is a number or points nowhere costs nothing."""
    data = pdf([CATALOG, page_tree(), PAGE, stream(b""), FONT]).replace(
        b"/Root 1 0 R", b"/Root 1 0 R/Info<</Title 7/Producer 99 0 R>>"
    )

    assert document.parse(data, WHERE).document.pages == 1


@pytest.mark.parametrize("algorithm", ["RC4-128", "AES-128", "AES-256"])
def test_password_is_needed(algorithm: str) -> None:
    """A PDF that needs a password is refused, whatever its cipher."""
    data = written(user="secret", algorithm=algorithm)

    assert codes(data) == ["pdf-encrypted"]
    for ask in (attachment.attachments, attachment.page_count):
        with pytest.raises(InputError, match="pdf-encrypted"):
            ask(data, WHERE)


@pytest.mark.parametrize("algorithm", ["RC4-128", "AES-256"])
def test_restricted_pdf_opens_with_a_warning(algorithm: str) -> None:
    """A PDF that only restricts printing is read, and says that it is encrypted."""
    reading = document.parse(written(2, user="", owner="secret", algorithm=algorithm), WHERE)

    assert (
        reading.document.pages,
        reading.document.encrypted,
        reading.warnings,
    ) == (2, True, ("pdf-restricted", "pdf-scan"))


def test_no_pages() -> None:
    """A PDF without pages is no document."""
    assert codes(pdf([CATALOG, b"<</Type/Pages/Kids[]/Count 0>>"])) == ["pdf-empty"]


def test_page_cap() -> None:
    """500 pages are read, 501 are not."""
    assert attachment.page_count(written(500), WHERE) == 500
    assert codes(written(501)) == ["pdf-too-many-pages"]


def test_false_count_is_not_believed() -> None:
    """The pages are counted, whatever the file claims."""
    data = pdf([CATALOG, b"<</Type/Pages/Kids[3 0 R]/Count 100000000>>", PAGE, stream(b""), FONT])

    assert attachment.page_count(data, WHERE) == 1


def test_size_caps() -> None:
    """Evidence is capped tighter than a dossier, which carries originals."""
    data = text_pdf() + bytes(document.MAX_BYTES)

    assert codes(data) == ["exhibit-too-large"]
    with pytest.raises(InputError, match="exhibit-too-large"):
        attachment.page_count(data + bytes(attachment.MAX_CARRIER_BYTES - document.MAX_BYTES), WHERE)


LOOP = pdf([CATALOG, b"<</Type/Pages/Kids[2 0 R]/Count 1>>"])
MUTUAL = pdf(
    [
        CATALOG,
        b"<</Type/Pages/Kids[3 0 R 3 0 R]/Count 2>>",
        b"<</Type/Pages/Parent 2 0 R/Kids[2 0 R]/Count 2>>",
    ]
)
DEEP = pdf(
    [
        CATALOG,
        *(b"<</Type/Pages/Kids[%d 0 R]/Count 1>>" % (n + 3) for n in range(3000)),
        b"<</Type/Page/MediaBox[0 0 1 1]>>",
    ]
)
NESTED = pdf([b"<</Type/Catalog/Pages 2 0 R/X " + b"[" * 100_000 + b"]" * 100_000 + b">>", page_tree(0)])
MANY_KIDS = pdf([CATALOG, b"<</Type/Pages/Kids[" + b"3 0 R " * 300_000 + b"]>>", PAGE, stream(b""), FONT])


@pytest.mark.parametrize(
    "data",
    [
        LOOP,
        MUTUAL,
        DEEP,
        NESTED,
        b"%PDF-1.7\n" + bytes(range(256)) * 20,
        b"%PDF-",
        text_pdf()[:150],
        b"%PDF-1.7\nxref\n0 1\ntrailer<</Root 9 0 R>>",
    ],
    ids=["loop", "mutual", "deep", "nested", "garbage", "header", "cut", "no-root"],
)
def test_damaged_or_twisted_pdf(data: bytes) -> None:
    """Loops, depth, garbage and half a file end as damage, in time."""
    assert codes(data) == ["pdf-damaged"]


def test_page_listed_for_ever() -> None:
    """One page named three hundred thousand times is too many or damage."""
    assert codes(MANY_KIDS)[0] in ("pdf-damaged", "pdf-too-many-pages")


def test_content_that_inflates_hugely_is_not_followed() -> None:
    """A page of a hundred kilobytes that becomes seventy megabytes keeps its place and loses its text."""
    reading = document.parse(inflating_pdf(b"0 0 m 1 1 l S\n" * 5_000_000), WHERE)

    assert (
        reading.document.pages,
        reading.page_texts,
        reading.warnings,
    ) == (1, ("",), ("pdf-text-incomplete",))


def test_content_of_many_pages_is_capped_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages within the cap one by one may still be too much together; the pages stay, the text stops."""
    monkeypatch.setattr(document, "MAX_CONTENT", 100_000)
    raw = b"BT /F1 9 Tf (x) Tj ET " + b"0 0 m 1 1 l S " * 2_000
    reading = document.parse(inflating_pdf(raw, pages=10), WHERE)

    assert reading.page_texts == ("x",) * 4 + ("",) * 6
    assert reading.warnings == ("pdf-text-incomplete",)


def test_text_of_one_page_is_capped() -> None:
    """A page of endless text is cut at the cap."""
    reading = document.parse(text_pdf(b"x" * 30_000), WHERE)

    assert (len(reading.page_texts[0]), reading.warnings) == (20_000, ("pdf-text-incomplete",))


def test_form_that_draws_itself_ends() -> None:
    """A drawing that contains itself does not hang the reader."""
    form = stream(
        b"/X Do /X Do", b"/Type/XObject/Subtype/Form/BBox[0 0 1 1]/Resources<</XObject<</X 6 0 R>>>>"
    )
    page = PAGE.replace(b"/Font", b"/XObject<</X 6 0 R>>/Font")
    data = pdf([CATALOG, page_tree(), page, stream(b"BT /F1 12 Tf (seen) Tj ET /X Do"), FONT, form])

    with Guard() as guard:
        found = reading.read(data, WHERE, "E012", reader=guard.run)
    assert found.page_texts[0].strip() in ("seen", "")


def test_broken_page_costs_only_its_text() -> None:
    """A page whose content points nowhere is still a page."""
    page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Contents 4 0 R/Resources<</Font 7>>>>"
    reading = document.parse(
        pdf([CATALOG, page_tree(), page, stream(b"BT /F1 (x Tj", b"/Filter/None"), FONT]), WHERE
    )

    assert (reading.document.pages, reading.warnings) == (1, ("pdf-text-incomplete",))


FILES = (("manifest.json", b'{"a":1}'), ("E012.pdf", text_pdf()), ("empty.txt", b""))


def test_attachments_come_whole() -> None:
    """Name and bytes are those that were attached."""
    data = written(attached=FILES)

    assert dict(FILES) == attachment.attachments(data, WHERE)
    with Guard() as guard:
        assert dict(FILES) == reading.attachments(data, WHERE, reader=guard.run)
        assert reading.page_count(data, WHERE, reader=guard.run) == 1


def test_no_attachments() -> None:
    """A PDF without attachments has none."""
    assert attachment.attachments(text_pdf(), WHERE) == {}


def test_two_attachments_of_one_name_are_refused() -> None:
    """Where programs would show different files under one name, none is believed."""
    with pytest.raises(InputError) as caught:
        attachment.attachments(written(attached=[("manifest.json", b"1"), ("manifest.json", b"2")]), WHERE)

    (problem,) = caught.value.problems
    assert (problem.code, problem.parameters["found"]) == ("pdf-attachment-twice", "manifest.json")
    assert told(problem)


def test_attachments_are_capped(monkeypatch: pytest.MonkeyPatch) -> None:
    """Number and bytes of attachments have an end."""
    monkeypatch.setattr(attachment, "MAX_ATTACHED_BYTES", 10)
    with pytest.raises(InputError) as caught:
        attachment.attachments(written(attached=[("a", b"123456"), ("b", b"123456")]), WHERE)
    (problem,) = caught.value.problems
    assert problem.code == "pdf-attachments-too-large"
    assert told(problem)

    monkeypatch.setattr(attachment, "MAX_ATTACHMENTS", 1)
    with pytest.raises(InputError, match="pdf-attachments-too-large"):
        attachment.attachments(written(attached=[("a", b"1"), ("b", b"1")]), WHERE)


def test_name_tree_loop_ends() -> None:
    """A list of attachments that contains itself is damage or empty, in time."""
    catalogue = b"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles 6 0 R>>>>"
    data = pdf([catalogue, page_tree(), PAGE, stream(b""), FONT, b"<</Kids[6 0 R 6 0 R]>>"])
    try:
        assert attachment.attachments(data, WHERE) == {}
    except InputError as error:
        assert [problem.code for problem in error.problems] == ["pdf-damaged"]  # noqa: PT017


SAMPLE = written(2, attached=FILES, information={"/Title": "x"})


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 100_000), st.integers(0, 255)), min_size=1, max_size=30))
def test_changed_bytes_end_in_a_reading_or_a_code(changes: list[tuple[int, int]]) -> None:
    """Damage anywhere gives either a document or an InputError, never anything else."""
    data = bytearray(SAMPLE)
    for at, value in changes:
        data[at % len(data)] = value
    for ask in (document.parse, attachment.attachments, attachment.page_count):
        try:
            ask(bytes(data), WHERE)
        except InputError as error:
            assert all(told(problem) for problem in error.problems)  # noqa: PT017


@pytest.mark.skipif(PDFINFO is None, reason="pdfinfo is not installed")
@pytest.mark.parametrize(
    "data", [written(1), written(7), text_pdf(), SAMPLE], ids=["one", "seven", "text", "sample"]
)
def test_pdfinfo_counts_the_same_pages(tmp_path: Path, data: bytes) -> None:
    """Pages are computed independently with pdfinfo."""
    path = tmp_path / "a.pdf"
    path.write_bytes(data)
    out = subprocess.run([str(PDFINFO), str(path)], check=True, capture_output=True, text=True).stdout
    theirs = next(int(line.split()[1]) for line in out.splitlines() if line.startswith("Pages:"))

    assert theirs == document.parse(data, WHERE).document.pages


@pytest.mark.skipif(QPDF is None, reason="qpdf is not installed")
def test_qpdf_accepts_the_samples_and_counts_the_same(tmp_path: Path) -> None:
    """The hand-written samples are real PDFs by another program (computed independently with qpdf)."""
    for number, data in enumerate((text_pdf(), written(3), SAMPLE)):
        path = tmp_path / f"{number}.pdf"
        path.write_bytes(data)
        subprocess.run([str(QPDF), "--check", str(path)], check=True, capture_output=True)
        out = subprocess.run(
            [str(QPDF), "--show-npages", str(path)], check=True, capture_output=True, text=True
        ).stdout
        assert int(out) == attachment.page_count(data, WHERE)


@pytest.mark.skipif(PDFDETACH is None, reason="pdfdetach is not installed")
def test_pdfdetach_saves_the_same_files(tmp_path: Path) -> None:
    """Another program takes out the same bytes under the same names (computed independently with pdfdetach)."""
    path = tmp_path / "a.pdf"
    path.write_bytes(SAMPLE)
    (tmp_path / "out").mkdir()
    subprocess.run(
        [str(PDFDETACH), "-saveall", "-o", str(tmp_path / "out"), str(path)], check=True, capture_output=True
    )

    assert attachment.attachments(SAMPLE, WHERE) == {
        one.name: one.read_bytes() for one in (tmp_path / "out").iterdir()
    }


def test_samples_are_what_they_claim() -> None:
    """The tests' own writer makes PDFs that the library reads without repair."""
    assert len(PdfReader(io.BytesIO(text_pdf(pages=4)), strict=True).pages) == 4


def test_both_caps_on_pages_are_one() -> None:
    """The light reader and the model must not disagree about how long a document may be."""
    assert _pdf.MAX_PAGES == MAX_PAGES
