"""A certificate of three hundred pages, from the job folder to a stranger's verification."""

import io
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader, PdfWriter
from pypdf.generic import RectangleObject

from tests.conftest import AT, Run
from tests.exhibits.files import text_pdf

PAGES = 300
CITED = (7, 150, 151, 299, 300)


def certificate() -> bytes:
    """Three hundred pages; page 150 is five metres wide and ten millimetres high, page 299 lies on its side."""
    writer = PdfWriter()
    for number in range(1, PAGES + 1):
        page = PdfReader(io.BytesIO(text_pdf(b"Certificate 4711 sheet %d" % number))).pages[0]
        writer.add_page(page)
    writer.pages[149].mediabox = RectangleObject((0, 0, 14173, 28))
    writer.pages[298].rotate(90)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def blackened() -> bytes:
    """A redacted copy: one page with a black field."""
    page = Image.new("L", (620, 877), 255)
    ImageDraw.Draw(page).rectangle((50, 50, 400, 120), fill=0)
    out = io.BytesIO()
    page.save(out, "PDF", resolution=75)
    return out.getvalue()


@pytest.fixture
def long(job: Path) -> Path:
    """The demonstration job with that certificate, and a redacted copy of another paper."""
    (job / "documents/E030.pdf").write_bytes(certificate())
    (job / "documents/E010.redacted.pdf").write_bytes(blackened())
    path = job / "job.yaml"
    text = path.read_text(encoding="utf-8").rstrip("\n")
    claims = "".join(f'      - {{name: lot, value: "4711", page: {page}}}\n' for page in CITED)
    entry = f"  - id: d30\n    role: other-document\n    subject: vehicle\n    exhibit: E030\n    claims:\n{claims}"
    text = text.replace("documents:\n", f"documents:\n{entry}", 1)
    filed = "  - {id: E030, role: other-document, subject: vehicle, file: documents/E030.pdf}\n"
    path.write_text(f"{text}\n{filed}", encoding="utf-8")
    return job


def test_a_certificate_of_three_hundred_pages(run: Run, long: Path, tmp_path: Path) -> None:
    made = run("assemble", long, "-o", tmp_path / "out", "--at", AT)
    assert made.exit_code in (0, 1), made.output
    bag = tmp_path / "out/AMB-0417/0000-build"
    whole, redacted = (PdfReader(bag / f"data/dossier.en{part}.pdf") for part in ("", ".redacted"))

    # computed independently with pypdf: the attachment is the original, byte for byte, with all of its pages
    attached = whole.attachments["E030.pdf"][0]
    assert attached == (long / "documents/E030.pdf").read_bytes()
    assert len(PdfReader(io.BytesIO(attached)).pages) == PAGES
    names = {path.name for path in (bag / "data/derived").glob("E030.annex-*.jpg")}
    assert names == {f"E030.annex-{page}.jpg" for page in (1, 7, 151, 299, 300)}
    text = said(whole)
    assert "p. 1, 7, 151, 299-300 of 300 shown here; p. 150 could not be made into a picture" in text
    assert "E030, page 300 of 300" in text
    # what the page says is not set again as text
    assert "4711 sheet" not in text

    hidden = said(redacted)
    assert "300 pages; none is shown, for there is no redacted copy" in hidden
    assert "the redacted copy, as E010.redacted.pdf" in hidden
    assert redacted.attachments["E010.redacted.pdf"][0] == (long / "documents/E010.redacted.pdf").read_bytes()
    assert not list((bag / "data/derived").glob("*.redacted.annex-*"))
    assert "E030.pdf" not in redacted.attachments

    verified = run("verify", bag, "--recompute")
    assert verified.exit_code == 0, verified.output
    copy = run("print", bag, "-o", tmp_path / "copy.pdf", "--at", AT)
    assert copy.exit_code == 0, copy.output
    copied = reversed(PdfReader(tmp_path / "copy.pdf").pages)
    assert any("E030, page 300 of 300" in " ".join(page.extract_text().split()) for page in copied)
    if shutil.which("qpdf"):
        subprocess.run(["qpdf", "--check", bag / "data/dossier.en.pdf"], check=True, capture_output=True)


def said(pdf: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
