"""The declaration: every field of the standard, exceptions named, withheld while something is missing."""

import io
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import DossierInput
from evidence.dossier._declaring import conceded, standing
from evidence.typeset import Typesetter
from tests.dossier import builders, hostile, judged, papers, records
from tests.dossier.papers import finished, labelled, printed, section, tables, with_finding

STATEMENT = "declares on its own responsibility"
FIELDS = {
    # from memory of ISO/IEC 17050-1: number, issuer with address, object, date and place, who signs
    "Number": "BW-2231-D1",
    "Issuer": "Brackwater Coachworks Quay 4, Brackwater",
    "Object": "Installation of a stretcher retention system in one ambulance "
    "VIN WXXZZZ00000402231, Build number BW-2231, Type B",
    "Fitted": "position p1: Heron 2, serial H2-004711, lot A17 delivered with Heron Carrier HC-2291 "
    "tested with Heron Carrier HC-0100",
    "Date, place": "2026-03-05 10:00, Brackwater",
    "Name": "Cleo Signs",
    "Function": "signatory",
    "For": "Brackwater Coachworks",
    "Place, date": "Brackwater, 2026-03-05 10:00",
}


def kinds(source: DossierInput) -> list[str]:
    return [block["kind"] for block in section(source, "declaration")["blocks"]]


def test_every_field_stands_on_the_page() -> None:
    part = section(finished(), "declaration")

    assert labelled(part) == FIELDS
    assert STATEMENT in printed(part)
    assert tables(part)["Requirements that the declaration lists"] == [
        ["EN 1789:2020", "4.5, 5.3", "none granted"],
        [
            "Maker's fitting manual AP-2207, Alder Point Handling (profile heron-2@C)",
            "7.2, 8.1",
            "none granted",
        ],
    ]
    assert "Type test report: Ferrow Test House, ref. FT-2024-118, d1" in printed(part)
    assert "Floor test report: d2 , held by Alder Point Handling" in printed(part)
    assert "Requirement by requirement" in printed(part)


def test_ink_is_bound_to_the_manifest_and_invented_numbers_say_so() -> None:
    source = finished()
    part = section(source, "declaration")
    (place,) = (place for block in part["blocks"] for place in block.get("places", []))

    assert printed(place["foot"]) == f"Signed for the manifest with SHA-256 {source.manifest_digest}"
    assert "invented for a demonstration" in printed(part)


def test_limits_of_validity_are_stated() -> None:
    source = with_finding(2, outcome="not met", concession="c1")
    said = printed(section(source, "declaration"))

    for words in (
        "Only this vehicle",
        "Only the clauses listed",
        "No longer after a crash",
        "ends first ends on 2027-03-12",
        "as of 2026-03-20",
    ):
        assert words in said
    assert "ends first" not in printed(section(finished(), "declaration"))


def test_a_taken_route_is_named_as_the_option_chosen() -> None:
    record = records.finished_record()
    manifest = builders.manifest_for(record, judged.finished_findings(), [], papers.PACKS)
    for clause in manifest["clauses"]:
        if clause["clause"] == "5.3":
            clause["route"] = "static-test"
    part = section(builders.source_from(record, manifest), "declaration")

    assert (
        tables(part)["Requirements that the declaration lists"][0][1] == "4.5, 5.3 5.3: by static test route"
    )


def test_a_clause_whose_number_is_not_known_is_told_by_its_title() -> None:
    part = section(with_finding(2, clause="set"), "declaration")

    # a title may have a comma, a number has none
    listed = tables(part)["Requirements that the declaration lists"]
    assert [cells[1] for cells in listed] == ["4.5; 5.3; section on report", "7.2, 8.1"]


def test_a_conceded_clause_is_a_stated_exception() -> None:
    source = with_finding(2, outcome="not met", concession="c1")
    part = section(source, "declaration")

    assert STATEMENT in printed(part)
    assert tables(part)["Requirements that the declaration lists"][0][2] == "TV-C-14"
    ((asked, reference, granted, terms),) = tables(part)["Exceptions"]
    assert asked == "A test report is there (position p1) en-1789-2020@1, 5.3 not met"
    assert reference == "TV-C-14 concession, after the fact"
    assert granted == "Agency w3 Cleo Signs (signatory), 2026-03-04"
    assert terms == "\u2265 4 mm until 2027-03-12"


def test_the_agency_cannot_concede_a_limit_of_the_maker() -> None:
    # the judge refuses such a concession; a page that is given one all the same does not declare what it is about
    source = with_finding(4, outcome="not met", concession="c1")
    part = section(source, "declaration")

    assert tables(part)["Not part of the declaration"] == [
        [
            "Maker's fitting manual AP-2207, Alder Point Handling (profile heron-2@C)",
            "departs under a concession of somebody who cannot grant it",
            "7.2",
        ]
    ]
    assert [row[0] for row in tables(part)["Requirements that the declaration lists"]] == ["EN 1789:2020"]


def test_a_limit_that_nobody_confirmed_keeps_its_standard_out_even_where_it_is_conceded() -> None:
    reason = {"code": "limit-not-confirmed", "parameters": {"mark": "memory", "compared": "met"}}
    source = with_finding(2, outcome="not shown", mark="memory", concession="c1", reason=reason)
    part = section(source, "declaration")

    assert standing(source).missing == ("standards",)
    assert STATEMENT not in printed(part)
    assert "A standard to declare" in printed(part)
    assert tables(part)["Not part of the declaration"] == [
        ["EN 1789:2020", "rests on limits that nobody has confirmed from a copy", "5.3"]
    ]


def test_a_standard_of_which_nothing_was_judged_is_not_declared() -> None:
    manual = judged.finished_findings()[4:]
    source = finished(manual)

    assert [(entry.name, entry.why_not) for entry in standing(source).listed] == [
        ("EN 1789:2020", "not-judged"),
        ("", ""),
    ]
    assert STATEMENT not in printed(section(source, "declaration"))


def test_common_practice_is_no_part_of_it() -> None:
    findings = judged.finished_findings()
    findings[6] = {**findings[6], "concession": "c1"}
    source = finished(findings, concessions=[papers.CONCESSION])

    assert conceded(source) == []
    assert "w.2" not in printed(section(source, "declaration"))


def test_while_a_point_is_open_there_is_neither_statement_nor_place_to_sign() -> None:
    part = section(builders.open_(), "declaration")
    said = printed(part)

    assert said.startswith("Withheld. There is nothing to sign yet.")
    assert "7 points are open" in said
    assert STATEMENT not in said
    assert "signatures" not in kinds(builders.open_())
    assert (labelled(part)["Number"], labelled(part)["Signs"]) == ("not stated", "w3 Cleo Signs (signatory)")
    assert [row[1] for row in tables(part)["Not part of the declaration"]] == ["points are open"] * 2


ISSUER = {"function": "builder", "name": "Brackwater Coachworks"}


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        ({"declaration": None}, "declaration", "Number, date, place and signatory"),
        ({"parties": []}, "issuer", "neither a builder nor a fitting company"),
        ({"parties": [ISSUER]}, "issuer-address", "The address of the issuer"),
        ({"vehicle": {"build": "BW-2231"}}, "vin", "The VIN"),
        (
            {"declaration": {"id": "D1", "at": "2026-03-05T10:00", "place": "Brackwater", "by": "w1"}},
            "function",
            "not recorded as signatory",
        ),
    ],
)
def test_a_missing_field_withholds_and_is_named(changes: dict[str, Any], code: str, words: str) -> None:
    source = finished(**changes)
    part = section(source, "declaration")

    assert standing(source).missing == (code,)
    assert words in printed(part)
    assert STATEMENT not in printed(part)
    assert "signatures" not in kinds(source)


def test_the_company_of_the_signatory_is_the_issuer() -> None:
    people = [*records.PEOPLE[:2], {"id": "w3", "functions": ["signatory"], "party": "b2"}]
    parties = [
        {"id": "b1", "function": "builder", "name": "Hull Works", "address": "Quay 9"},
        {"id": "b2", "function": "fitting-company", "name": "Latch Fitters", "address": "Quay 5"},
    ]
    part = section(finished(people=people, parties=parties), "declaration")

    assert labelled(part)["Issuer"] == "Latch Fitters Quay 5"


def test_a_name_that_is_not_known_is_left_to_the_pen() -> None:
    record = records.finished_record()
    manifest = builders.manifest_for(record, judged.finished_findings(), [], papers.PACKS)
    part = section(builders.source_from(record, manifest, None), "declaration")

    assert labelled(part)["Name"] == ""
    assert STATEMENT in printed(part)


def test_long_and_empty_fields_print_whole(typesetter: Typesetter) -> None:
    source = hostile.source()
    said = printed(section(source, "declaration"))

    assert said.count(hostile.LONG) >= 5
    assert "address not stated" in said
    pdf = typesetter.typeset(*builders.ready(source), builders.ISSUED)
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    assert "The address of the issuer" in text


def test_statement_and_place_to_sign_are_on_one_page(typesetter: Typesetter) -> None:
    # independent reader: pypdf
    pdf = typesetter.typeset(*builders.ready(finished()), builders.ISSUED)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]

    (page,) = (text for text in pages if "Statement of the issuer" in text and "BW-2231-D1" in text)
    assert STATEMENT in " ".join(page.split())
    assert "To be signed in ink for the issuer, declaration BW-2231-D1" in page
    assert "Nothing demanded is open" not in page
