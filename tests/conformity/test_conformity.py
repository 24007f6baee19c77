"""PDF/A-3b (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) by an independent validation core, with controls that fail."""

import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import typst

from evidence.dossier import sheet
from evidence.errors import SillmarkError
from evidence.phrases import catalogues
from evidence.typeset import Typesetter
from tests import rebuild_demo
from tests.conformity.validator import Validator
from tests.dossier import (
    builders,
    hostile,
    papers,
    sled,
    spoken,
    test_annex,
    test_claims_on_paper,
    test_hook_position,
    test_label_crops,
    test_lock_window,
)

FINISHED = rebuild_demo.DEMO / "expected" / "AMB-0417" / "0000-build"
MANY_CHECKS = 1_000  # a validator that looked at the pages makes thousands of checks


@pytest.fixture(scope="module")
def typesetter() -> Iterator[Typesetter]:
    with Typesetter() as made:
        yield made


def _write(path: Path, pdf: bytes) -> Path:
    path.write_bytes(pdf)
    return path


def test_every_dossier_passes_both_standards(
    validator: Validator, typesetter: Typesetter, tmp_path: Path
) -> None:
    # independent check: the veraPDF validation core, its own profiles for ISO 19005-3 and ISO 14289-1
    sources = {
        "finished": builders.finished(),
        "open": builders.open_(),
        "redacted": builders.open_(redacted=True),
        "hostile": hostile.source(),
        "measured": test_hook_position.source(),
        "windows": test_lock_window.source(test_lock_window.LOCKED, test_lock_window.OPEN),
        "pulses": sled.source(sled.FAULTY),
        "labels": test_label_crops.source("label-system", "HERON 2 SN H2-004711"),
    }
    files = [
        _write(
            tmp_path / f"{name}.pdf",
            typesetter.typeset(*builders.ready(source, test_hook_position.speak), builders.ISSUED),
        )
        for name, source in sources.items()
    ]
    files.append(_write(tmp_path / "pages.pdf", _with_pages(typesetter)))
    annexed = builders.ready(test_annex.with_pages(builders.finished()))
    files.append(_write(tmp_path / "annex.pdf", typesetter.typeset(*annexed, builders.ISSUED)))
    files += [_write(tmp_path / f"{name}.pdf", pdf) for name, pdf in _papers(typesetter).items()]
    files += [
        _write(tmp_path / f"copy.{language}.pdf", spoken.printed(FINISHED, language))
        for language in catalogues.TRANSLATED
    ]
    reports = validator.check(*files)
    assert len(reports) == 2 * len(files)
    for key, report in reports.items():
        assert report.verdict == "PASS", (key, report.broken)
        assert report.checks > MANY_CHECKS, key


def _papers(typesetter: Typesetter) -> dict[str, bytes]:
    """A copy with a declaration to sign, letter and report, and two sheets for the vehicle's folder."""
    copied = "2026-03-06 16:00"
    letter = replace(papers.with_letter(builders.open_()), copied=copied)
    made = {"letter": typesetter.typeset(*builders.ready(letter), builders.ISSUED)}
    declared = replace(papers.with_finding(2, outcome="not met", concession="c1"), copied=copied)
    made["declared"] = typesetter.typeset(*builders.ready(declared), builders.ISSUED)
    for name, source in {"sheet": letter, "hostile-sheet": replace(hostile.source(), copied=copied)}.items():
        manifest = {"manifest.json": builders.manifest_bytes(source.manifest)}
        made[name] = typesetter.typeset(sheet(source, builders.say), {}, manifest, builders.ISSUED)
    return made


def _with_pages(typesetter: Typesetter) -> bytes:
    """A dossier that shows a whole page and a flat part of one that a person read."""
    claims = [{"name": "lot", "value": "A7", "page": page, "read_by": "w2"} for page in ("1", "2")]
    plain = test_claims_on_paper.source(*claims)
    exhibit = test_claims_on_paper.exhibit_of(plain)
    shown = replace(plain, shown_pages=frozenset({f"{exhibit}.page-1", f"{exhibit}.page-2"}))
    data, pictures, attachments = builders.ready(shown)
    pages = {
        f"{exhibit}.page-1": builders.photo_bytes(1, (1240, 1754)),
        f"{exhibit}.page-2": builders.photo_bytes(2, (1240, 90)),
    }
    return typesetter.typeset(data, {**pictures, **pages}, attachments, builders.ISSUED)


PLAIN = '#set document(title: "Control")\n= Heading\nText with a #link("https://example.org")[link].\n'


def test_validator_rejects_a_pdf_made_without_the_standards(validator: Validator, tmp_path: Path) -> None:
    source = tmp_path / "control.typ"
    source.write_text(PLAIN, encoding="utf-8")
    typst.compile(str(source), output=str(tmp_path / "control.pdf"), pdf_tags=False, ignore_system_fonts=True)
    reports = validator.check(tmp_path / "control.pdf")
    assert {profile: report.verdict for (_, profile), report in reports.items()} == {
        "3b": "FAIL",
        "ua1": "FAIL",
    }
    assert all(report.broken for report in reports.values())


def test_validator_rejects_one_standard_where_only_the_other_was_asked_for(
    validator: Validator, tmp_path: Path
) -> None:
    source = tmp_path / "half.typ"
    source.write_text(PLAIN, encoding="utf-8")
    output = str(tmp_path / "half.pdf")
    typst.compile(
        str(source), output=output, pdf_standards=["a-3b"], pdf_tags=False, ignore_system_fonts=True
    )
    reports = validator.check(tmp_path / "half.pdf")
    assert {profile: report.verdict for (_, profile), report in reports.items()} == {
        "3b": "PASS",
        "ua1": "FAIL",
    }


def test_validator_rejects_a_dossier_whose_archive_mark_was_overwritten(
    validator: Validator, typesetter: Typesetter, tmp_path: Path
) -> None:
    pdf = typesetter.typeset(*builders.ready(builders.finished()), builders.ISSUED)
    assert b"<pdfaid:part>3</pdfaid:part>" in pdf
    spoilt = pdf.replace(b"<pdfaid:part>3</pdfaid:part>", b"<pdfaid:part>9</pdfaid:part>")
    reports = validator.check(_write(tmp_path / "spoilt.pdf", spoilt))
    assert reports["spoilt.pdf", "3b"].verdict == "FAIL"


def test_a_picture_without_alternative_text_stops_typesetting(typesetter: Typesetter) -> None:
    data, pictures, attachments = builders.ready(builders.finished())
    photos = next(section for section in data["sections"] if section["id"] == "photos")
    card = next(block for block in photos["blocks"] if block["kind"] == "photo")
    card["alt"] = None
    with pytest.raises(SillmarkError) as caught:
        typesetter.typeset(data, pictures, attachments, builders.ISSUED)
    assert caught.value.problems[0].code == "typeset-failed"
    assert "alt" in caught.value.problems[0].parameters["found"]


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="needs qpdf")
def test_a_second_reader_finds_no_fault(typesetter: Typesetter, tmp_path: Path) -> None:
    # independent check: qpdf --check
    for name, source in (("finished", builders.finished()), ("open", builders.open_())):
        pdf = typesetter.typeset(*builders.ready(source), builders.ISSUED)
        file = _write(tmp_path / f"{name}.pdf", pdf)
        answer = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False)
        assert answer.returncode == 0, answer.stdout + answer.stderr
        assert "No syntax or stream encoding errors found" in answer.stdout
