"""Third-party papers of the demonstration, set from what the record says they claim; one of them only as a scan."""

import json
import tempfile
from pathlib import Path

import typst
from numpy.random import PCG64, Generator

from evidence.model.names import ClaimName, Role
from evidence.model.record import Claim, Document, JobRecord
from tests.demo import scans

LETTER = "AMB-0520"  # the North American job; its papers are on Letter
PLANTED_PAGES = {("AMB-0520", "d1", ClaimName.PATIENT_EXCURSION): 2}
"""Job, document and claim to the page on which the paper really writes it, where the record names another."""
TITLES = {("AMB-0417", "d8"): "Base vehicle finished and handed over"}
SCAN_PPI, SCAN_BYTES = 110, 120_000
SOURCE = """
#let d = json("d.json")
#set document(title: d.title, date: none)
#set page(paper: d.paper, margin: 25mm, footer: [#d.issuer #h(1fr) #context counter(page).display()])
#set text(font: "Source Sans Pro", size: 10.5pt, lang: "en")
#for (index, page) in d.pages.enumerate() [
  #if index > 0 { pagebreak() }
  #text(size: 16pt, weight: "bold")[#d.issuer] \\
  #text(fill: luma(90))[#d.notice]
  #v(6mm)
  #text(size: 13pt)[#d.title] \\
  #d.reference #h(1fr) #d.issued
  #v(4mm)
  #table(columns: (1fr, 2fr), stroke: 0.4pt + luma(160), inset: 6pt, ..page.flatten())
]
"""


def document_pdf(document: Document, record: JobRecord) -> bytes:
    """One invented paper as PDF: its text, or a picture of it where the record says that a person read it."""
    pages = _pages(document, record)
    printed = _printed(document, record, pages)
    if not any(claim.read_by for claim in document.claims):
        return printed
    rng = Generator(PCG64([int(document.id[1:]), len(pages)]))
    drawn = scans.pictures(printed, len(pages), SCAN_PPI)
    return scans.picture_pdf([scans.scanned(page, rng) for page in drawn], SCAN_PPI, SCAN_BYTES)


def _pages(document: Document, record: JobRecord) -> list[list[list[str]]]:
    pages: dict[int, list[list[str]]] = {1: []}
    for claim in document.claims:
        pages.setdefault(_page(claim, document, record), []).append(
            [claim.name.value.replace("-", " "), str(claim.value)]
        )
    if not document.claims:
        pages[1].append(["subject", _subject(document, record)])
        pages[1] += _qualified(document, record)
    return [pages[number] for number in sorted(pages)]


def _qualified(document: Document, record: JobRecord) -> list[list[str]]:
    """What a paper on a person's qualification says of it: for what, and from when until when."""
    held = [
        one for person in record.people for one in person.qualifications if one.exhibit == document.exhibit
    ]
    return [
        row
        for one in held
        for row in (
            ["qualified for", one.what.replace("-", " ")],
            ["from", str(one.from_)],
            ["until", str(one.until)],
        )
    ]


def _page(claim: Claim, document: Document, record: JobRecord) -> int:
    return PLANTED_PAGES.get((record.id, document.id, claim.name), claim.page or 1)


def _subject(document: Document, record: JobRecord) -> str:
    whole = document.role == Role.OTHER_DOCUMENT
    return f"build no. {record.vehicle.build}" if whole else document.subject


def _printed(document: Document, record: JobRecord, pages: list[list[list[str]]]) -> bytes:
    role = document.role.value.replace("-", " ").capitalize()
    data = {
        "title": TITLES.get((record.id, document.id), role),
        "issuer": document.issuer or "",
        "reference": document.reference or "",
        "issued": str(document.issued),
        "notice": "Invented for a demonstration; not a real document.",
        "paper": "us-letter" if record.id == LETTER else "a4",
        "pages": pages,
    }
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "d.typ").write_text(SOURCE, encoding="utf-8")
        (root / "d.json").write_text(json.dumps(data), encoding="utf-8")
        return bytes(
            typst.compile(
                str(root / "d.typ"),
                root=folder,
                font_paths=[str(scans.font_folder())],
                ignore_system_fonts=True,
            )
        )
