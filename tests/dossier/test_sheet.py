"""The front sheet's answers, the two pages for the vehicle's folder, and the mark of a copy on every page."""

import io
import re
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import Data, DossierInput, build, sheet
from evidence.dossier._sheet import MAX_CONTRADICTIONS, MAX_EXCEPTIONS, MAX_OPEN
from evidence.phrases.dossier_papers_en import PAPERS
from evidence.typeset import Typesetter
from tests.dossier import builders, hostile, judged, papers, records
from tests.dossier.papers import finished, printed, section, tables, with_finding

COPIED = "2026-03-06 16:00"
MARK = f"Copy printed {COPIED}; the sealed dossier is in the bundle"
MANY = 12  # contradictions
OPEN_POINTS = 53


def crowded() -> DossierInput:
    """Eight places, six exceptions, contradictions and 53 open points."""
    record = records.open_record()
    record["positions"] = [{**record["positions"][n % 2], "id": f"p{n + 1}"} for n in range(8)]
    conceded = judged.open_findings()[8]
    findings = judged.open_findings()
    for number in range(7):
        findings.append({**conceded, "requirement": f"{conceded['requirement']}-{number}"})
    still = [each for each in judged.open_findings() if each["outcome"] != "met" and "concession" not in each]
    number = 0
    while (
        sum(1 for each in findings if each["outcome"] != "met" and "concession" not in each)
        < OPEN_POINTS - MANY
    ):
        findings.append({**still[number % len(still)], "requirement": f"sae-j3027@1/9.{number}/report"})
        number += 1
    many = [{**judged.CONTRADICTIONS[0], "id": f"serial-differs:p1:{n:08x}"} for n in range(MANY)]
    manifest = builders.manifest_for(record, findings, many, builders.AMERICAN_PACKS)
    source = builders.source_from(record, manifest)
    assert source.manifest.open == OPEN_POINTS
    return source


def row(source: DossierInput, label: str) -> str:
    """What stands beside a label of the front sheet."""
    front = build(source, builders.say)["sections"][0]
    rows = [entry for block in front["blocks"] if block["kind"] == "facts" for entry in block["rows"]]
    return next(printed(entry["value"]) for entry in rows if entry["label"] == label)


def test_the_front_sheet_says_who_signs_and_when() -> None:
    said = "BW-2231-D1, 2026-03-05 10:00, Brackwater . To be signed by w3 Cleo Signs (signatory)."
    assert row(finished(), "Declaration") == said


@pytest.mark.parametrize(
    ("source", "words"),
    [
        (builders.open_(), "Withheld: 7 points are open . To be signed by w3 Cleo Signs (signatory)."),
        (finished(parties=[]), "Withheld: fields are missing . To be signed by w3 Cleo Signs (signatory)."),
        (
            finished(declaration=None, people=[*records.PEOPLE, {"id": "w5", "functions": ["signatory"]}]),
            "Withheld: fields are missing . Who signs is not stated.",
        ),
    ],
)
def test_a_withheld_declaration_says_why_on_the_front_sheet(source: DossierInput, words: str) -> None:
    assert row(source, "Declaration") == words


def test_the_front_sheet_leads_to_declaration_and_checklist() -> None:
    said = printed(build(finished(), builders.say)["sections"][0])

    assert "Declaration \u00b7 Requirement by requirement" in said
    assert "Delivery checklist" in said


def two_pages(source: DossierInput) -> Data:
    return sheet(replace(source, copied=COPIED), builders.say)


def test_no_link_leaves_the_two_pages() -> None:
    data = two_pages(builders.open_())

    assert [part["id"] for part in data["sections"]] == ["front", "sheet"]
    assert '"to"' not in repr(data).replace("'", '"')
    assert [entry["name"] for entry in data["attachments"]] == ["manifest.json"]
    assert data["pictures"] == []
    assert data["header"]["copy"] == MARK
    assert data["title"].startswith("Vehicle sheet")


def test_open_points_stand_worst_first_and_the_rest_is_counted() -> None:
    page = two_pages(crowded())["sections"][1]
    found = tables(page)

    rows = found[f"{OPEN_POINTS} points are open"]
    assert len(rows) == MAX_OPEN
    assert [cells[0] for cells in rows[: MAX_CONTRADICTIONS + 1]] == [
        "Contradiction"
    ] * MAX_CONTRADICTIONS + ["not met"]
    assert f"{OPEN_POINTS - MAX_OPEN} more open points" in printed(page)
    assert len(found["Exceptions"]) == MAX_EXCEPTIONS
    assert "2 more" in printed(page)
    who = re.search(r"To be closed by: (.*?)\.", printed(page))
    assert who is not None
    assert sum(map(int, re.findall(r"[0-9]+", who[1]))) == OPEN_POINTS - MANY


def test_a_vehicle_without_open_points_says_so_and_how_to_verify() -> None:
    source = finished()
    said = printed(two_pages(source)["sections"][1])

    for words in (
        "Nothing demanded is open.",
        "none granted",
        "openssl dgst",
        source.manifest_digest,
        source.key_id,
    ):
        assert words in said


@pytest.mark.parametrize("make", [finished, builders.open_, crowded, hostile.source])
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_two_pages_whatever_the_record_holds(typesetter: Typesetter, make: Any, paper: Any) -> None:
    # independent reader: pypdf
    source = replace(make(), copied=COPIED, paper=paper)
    manifest = {"manifest.json": builders.manifest_bytes(source.manifest)}
    pdf = typesetter.typeset(sheet(source, builders.say), {}, manifest, builders.ISSUED)
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]

    assert len(pages) == 2
    assert all(MARK in page for page in pages)
    assert source.manifest_digest in pages[0].replace(" ", "")


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_front_sheet_stays_one_page(typesetter: Typesetter, paper: Any) -> None:
    data, pictures, attachments = builders.ready(replace(crowded(), paper=paper))
    pdf = typesetter.typeset(data, pictures, attachments, builders.ISSUED)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]

    assert "Where to look next" in pages[0]
    assert pages[1].split("\n")[2].startswith("Contents") or "Contents" in pages[1]
    assert not any(MARK in page for page in pages)


def test_every_word_of_the_papers_is_said() -> None:
    said: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        said.add(code.removeprefix("dossier-"))
        return builders.say(code, parameters)

    unconfirmed = {"outcome": "not shown", "mark": "memory", "concession": "c1"}
    two = [*records.PEOPLE, {"id": "w5", "functions": ["signatory"]}]
    routed = builders.manifest_for(records.finished_record(), judged.finished_findings(), [], papers.PACKS)
    routed["clauses"] = [{**clause, "route": "report"} for clause in routed["clauses"]]
    nobody = {"id": "D1", "at": "2026-03-05T10:00", "place": "Quay", "by": "w1"}
    limitless = {name: value for name, value in papers.CONCESSION.items() if name != "low"}
    sources = [
        papers.with_letter(builders.open_()),
        papers.with_letter(finished()),
        builders.source_from(records.finished_record(), routed),
        with_finding(2, outcome="not met", concession="c1"),
        with_finding(2, **unconfirmed),
        with_finding(4, outcome="not met", concession="c1"),
        finished(judged.finished_findings()[4:]),
        finished(declaration=None, people=two),
        finished(parties=[]),
        finished(parties=[{"function": "builder", "name": "Hull Works"}], vehicle={"build": "BW-1"}),
        finished(declaration=nobody),
        hostile.source(),
    ]
    findings = judged.finished_findings()
    findings[2] = {**findings[2], "outcome": "not met", "concession": "c1"}
    sources.append(finished(findings, concessions=[limitless]))
    one = [{**judged.open_findings()[0], "outcome": "not shown"}]
    sources.append(finished(one))
    for source in sources:
        build(source, listen)
        sheet(replace(source, copied=COPIED), listen)

    # the annex is in test_annex.py
    own = {code for code in PAPERS if not code.startswith(("annex", "title-annex"))}
    assert own - said == set()


def test_a_section_of_the_papers_has_no_word_of_the_code() -> None:
    for source in (papers.with_letter(builders.open_()), finished()):
        for name in ("declaration", "delivery"):
            said = printed(section(source, name))
            assert not re.search(r"\b(exhibit|bag|leaf|compliant|certified)\b", said, re.IGNORECASE)
