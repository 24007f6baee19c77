"""Dossier inputs that the papers are tested with, and what a section prints."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from evidence import library
from evidence.dossier import Data, DossierInput, build
from evidence.model.names import Group
from evidence.register.demand import Demand, Demands
from tests.dossier import builders, judged, records

STANDARD, CONFIRMING = builders.EUROPEAN_PACKS[0], builders.EUROPEAN_PACKS[1:]
PACKS = [{**STANDARD, "standard": "EN 1789:2020"}, *CONFIRMING]
CONCESSION: Data = {
    "id": "c1",
    "kind": "concession",
    "requirement": "en-1789-2020@1/5.3/report",
    "subject": "p1",
    "authority": "agency",
    "reference": "TV-C-14",
    "by": "w3",
    "at": "2026-03-04",
    "until": "2027-03-12",
    "low": "4 mm",
}


def finished(findings: Sequence[Data] = (), **changes: Any) -> DossierInput:
    """The European vehicle with other findings, or fields of its record changed."""
    record = records.finished_record() | changes
    found = list(findings) or judged.finished_findings()
    return builders.source_from(record, builders.manifest_for(record, found, [], PACKS))


def with_finding(number: int, **changes: Any) -> DossierInput:
    """The same with one of its findings changed, and a concession in the record."""
    findings = judged.finished_findings()
    findings[number] = {**findings[number], **changes}
    return finished(findings, concessions=[CONCESSION])


def with_letter(source: DossierInput) -> DossierInput:
    """The same, asked for the letter and the report of KKK-A-1822E as the shipped pack asks for them."""
    loaded = library.shipped("kkk-a-1822e@1")
    assert loaded is not None
    pack = loaded.text.pack
    asked = [
        Demand(
            f"{pack.reference}/{clause.no}/{criterion.id}",
            pack.reference,
            clause.no,
            criterion,
            Group.STANDARD,
            {},
            clause.title,
        )
        for clause in pack.clauses
        for criterion in clause.criteria
    ]
    return replace(source, demands=Demands((*source.demands.criteria, *asked), source.demands.clauses))


def section(source: DossierInput, name: str) -> Data:
    """One section of the dossier, with the words that ``builders`` has."""
    return next(part for part in build(source, builders.say)["sections"] if part["id"] == name)


def spans(value: object) -> Iterator[str]:
    """Every text that a part of a page prints."""
    if isinstance(value, dict):
        if "t" in value:
            yield value["t"]
        if isinstance(value.get("text"), str):
            yield value["text"]
        yield from (text for name, each in value.items() if name != "t" for text in spans(each))
    elif isinstance(value, list):
        for each in value:
            yield from spans(each)


def printed(value: object) -> str:
    """The same in a row."""
    return " ".join(" ".join(spans(value)).split())


def labelled(part: Data) -> dict[str, str]:
    """Labels of facts and places to sign with what stands beside them."""
    rows = [row for block in part["blocks"] for row in block.get("rows", []) if "label" in row]
    rows += [row for block in part["blocks"] for place in block.get("places", []) for row in place["rows"]]
    return {row["label"]: printed(row["value"]) for row in rows}


def tables(part: Data) -> dict[str, list[list[str]]]:
    """Tables by the heading above them, each cell as it is printed."""
    found: dict[str, list[list[str]]] = {}
    title = ""
    for block in part["blocks"]:
        if block["kind"] == "heading":
            title = block["text"]
        if block["kind"] == "table":
            found.setdefault(title, [])
            found[title] += [[printed(cell) for cell in row["cells"]] for row in block["rows"]]
    return found
