"""A report that arrives as a scan, from filing it to a stranger's verification; and what ``add`` says of a text."""

import io
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader

from tests.conftest import AT, Run
from tests.exhibits.files import text_pdf

CLAIM = re.compile(r"(      - \{name: [a-z-]+, value: .*?page: [12])\}")


def scan(pages: int = 2) -> bytes:
    """A PDF of nothing but pictures of a page."""
    drawn = []
    for number in range(1, pages + 1):
        page = Image.new("L", (1240, 1754), 245)
        ImageDraw.Draw(page).text((120, 150), f"Millrace Test House, page {number}", fill=20, font_size=44)
        drawn.append(page)
    out = io.BytesIO()
    drawn[0].save(out, "PDF", resolution=150, save_all=True, append_images=drawn[1:])
    return out.getvalue()


@pytest.fixture
def scanned(job: Path) -> Path:
    """The demonstration job, whose test report is still to come."""
    (job / "documents/E009.pdf").unlink()
    text = (job / "job.yaml").read_text(encoding="utf-8")
    (job / "job.yaml").write_text(
        text.replace("file: documents/E009.pdf", "file: {state: to come}"), encoding="utf-8"
    )
    log = (job / "intake.jsonl").read_text(encoding="utf-8").splitlines(keepends=True)
    (job / "intake.jsonl").write_text("".join(line for line in log if '"E009"' not in line), encoding="utf-8")
    return job


def read_by(job: Path, more: str) -> None:
    """Write who read each claim of the report."""
    text = (job / "job.yaml").read_text(encoding="utf-8")
    report, rest = text.split("  - id: d2", 1)
    (job / "job.yaml").write_text(CLAIM.sub(rf"\1{more}}}", report) + "  - id: d2" + rest, encoding="utf-8")


def reasons(run: Run, job: Path) -> set[str]:
    answer = json.loads(run("check", job, "--json").stdout)
    counted = [one for one in answer["findings"] if one["group"] != "practice"]
    return {one["reason"]["code"] for one in counted if one["outcome"] == "undecided"}


def test_a_scan_counts_once_somebody_read_it(run: Run, scanned: Path, tmp_path: Path) -> None:
    arrived = tmp_path / "report.pdf"
    arrived.write_bytes(scan())
    added = run("add", scanned, arrived, "--as", "type-test-report", "--for", "vehicle", "--at", AT)
    assert added.exit_code == 0, added.output
    assert "No page of the PDF holds text" in added.stdout
    assert "who read it and on which page" in added.stdout

    unread = run("check", scanned)
    assert unread.exit_code == 1
    assert "holds no text that a program can read, and nobody is named who read there" in unread.stdout
    assert "claim-nobody-read" in reasons(run, scanned)

    read_by(scanned, ", read_by: w3, crop: 5 5 95 20")
    checked = run("check", scanned)
    assert checked.exit_code == 0, checked.output

    made = run("assemble", scanned, "-o", tmp_path / "out", "--at", AT)
    assert made.exit_code == 0, made.output
    bag = tmp_path / "out/AMB-0417/0000-build"
    names = [f"data/derived/E009.page-{number}.jpg" for number in (1, 2)]
    personal = (bag / "seal/leaves-personal.sha256").read_text(encoding="utf-8")
    assert all(name in personal for name in names)
    verified = run("verify", bag, "--recompute")
    assert verified.exit_code == 0, verified.output

    whole, redacted = (bag / f"data/dossier.en{part}.pdf" for part in ("", ".redacted"))
    assert "Pages read by a person" in _text(whole)
    told = _text(redacted)
    assert "read by w3" in told
    assert "page not shown in this copy" in told
    assert "Pages read by a person" not in told
    assert _pictures(whole) == _pictures(redacted) + len(list((bag / "data/derived").glob("E*.[ap]*-*.jpg")))
    manifest = json.loads((bag / "data/manifest.json").read_bytes())
    assert not [each for each in manifest["mentions"] if each["document"] == "d1"]
    resting = [
        one["rests_on"]
        for one in manifest["findings"]
        if one["outcome"] == "met" and "d1" in one["documents"]
    ]
    assert any({"document", "statement"} <= set(each) for each in resting)


def _text(path: Path) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)


def _pictures(path: Path) -> int:
    """Pictures that the pages of a PDF may draw; each counts once."""
    return len(set().union(*(_drawn(page) for page in PdfReader(path).pages)))


def _drawn(holder: Any) -> set[int]:
    """Object numbers of pictures among the resources of a page or form, and of the forms in it."""
    held = holder.get("/Resources", {}).get("/XObject", {})
    found: set[int] = set()
    for name in held:
        one = held[name]
        found |= {held.raw_get(name).idnum} if one["/Subtype"] == "/Image" else _drawn(one)
    return found


def test_add_says_what_the_text_mentions(run: Run, scanned: Path, tmp_path: Path) -> None:
    arrived = tmp_path / "report.pdf"
    arrived.write_bytes(text_pdf(b"EN 1789:2020, tested 28 May 2024 with 10,6 g, sample PROTO-3"))
    added = run("add", scanned, arrived, "--as", "type-test-report", "--for", "vehicle", "--at", AT)

    assert added.exit_code == 0, added.output
    (mentioned,) = (line for line in added.stdout.splitlines() if "its text mentions" in line)
    for words in ("test standard on p. 1", "test date on p. 1", "sample serial on p. 1"):
        assert words in mentioned
    (absent,) = (line for line in added.stdout.splitlines() if "not found in its text" in line)
    assert "report date" in absent
    assert "signature" not in absent


def test_mentions_that_were_made_up_do_not_survive_judging_again(run: Run, job: Path, tmp_path: Path) -> None:
    """The manifest's list follows from the files: a job whose text changed gives another list."""
    first, second = tmp_path / "a", tmp_path / "b"
    assert run("assemble", job, "-o", first, "--at", AT).exit_code == 0
    shutil.copy(job / "documents/E010.pdf", job / "documents/E009.pdf")
    run("assemble", job, "-o", second, "--at", AT)
    told = [
        json.loads((out / "AMB-0417/0000-build/data/manifest.json").read_bytes())["mentions"]
        for out in (first, second)
    ]

    pages = [{(one["claim"], one["pages"]) for one in each if one["document"] == "d1"} for each in told]
    assert ("peak-deceleration", "2") in pages[0]
    assert ("peak-deceleration", "") in pages[1]
