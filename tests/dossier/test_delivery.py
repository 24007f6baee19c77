"""The delivery checklist: squares for ink, links only where the evidence is, two places to sign."""

import io

from pypdf import PdfReader

from evidence.typeset import Typesetter
from tests.dossier import builders, records
from tests.dossier.papers import finished, labelled, printed, section, tables

PAPERS, BESIDE = "Papers about the fitting", "What goes with the vehicle beside this dossier"


def where(part: object) -> dict[str, str]:
    assert isinstance(part, dict)
    return {item: said for _, item, said in tables(part)[PAPERS]}


def test_evidence_is_linked_where_it_is_and_named_where_it_is_not() -> None:
    said = where(section(finished(), "delivery"))

    assert said == {
        "Declaration of conformity, signed": "in this dossier",
        "Type-test report or certificate": "in this dossier: d1",
        "Report on the floor": "not in this dossier, held by Alder Point Handling: d2",
        "Why the report covers this vehicle": "not in this dossier",
        "Installation record": "in this dossier",
        "Serial numbers and lots": "in this dossier",
        "Torque record": "in this dossier: g1",
        "Certificates of the measuring tools": "in this dossier: E005",
        "Qualification of the fitters": "not in this dossier",
        "Photos of the fitting": "in this dossier",
        "Inspection schedule": "in this dossier",
        "Delivery notes": "not in this dossier",
        "Exceptions granted": "none granted",
        "Open points, known to both sides": "Nothing demanded is open.",
        "Manifest and how to verify": "in this dossier attached to this file",
    }


def test_the_schedule_is_linked_where_it_stands_itself() -> None:
    rows = [
        row
        for block in section(finished(), "delivery")["blocks"]
        if block["kind"] == "table"
        for row in block["rows"]
        if row["cells"][1][0]["t"] == "Inspection schedule"
    ]
    headings = [
        block["text"]
        for block in section(finished(), "cautions")["blocks"]
        if block.get("anchors") == ["schedule"]
    ]

    assert [[span["to"] for span in row["cells"][2]] for row in rows] == [["schedule"]]
    assert headings == ["What the manual wants repeated"]


def test_a_withheld_declaration_and_open_points_are_told() -> None:
    said = where(section(builders.open_(), "delivery"))

    assert said["Declaration of conformity, signed"] == "Withheld. See"
    assert said["Open points, known to both sides"] == "7 points are open"
    assert said["Exceptions granted"] == "TV-C-14"


def test_no_square_is_ticked_by_the_program() -> None:
    part = section(finished(), "delivery")
    squares = [
        row["cells"][0] for block in part["blocks"] if block["kind"] == "table" for row in block["rows"]
    ]

    assert len(squares) == len(tables(part)[PAPERS]) + len(tables(part)[BESIDE])
    assert all(cell == [{"tick": True}] for cell in squares)


def test_the_incomplete_vehicle_document_is_asked_for_in_north_america_only() -> None:
    american, european = (
        [item for _, item, _ in tables(section(source, "delivery"))[BESIDE]]
        for source in (builders.open_(), finished())
    )

    assert [item for item in american if item not in european] == [
        "Incomplete vehicle document; weights held against it"
    ]


def test_both_sides_sign_for_the_manifest() -> None:
    people = [*records.PEOPLE, {"id": "w4", "functions": ["agency-officer"]}]
    source = finished(people=people)
    part = section(source, "delivery")
    places = [place for block in part["blocks"] for place in block.get("places", [])]

    assert [place["title"] for place in places] == ["Handed over by the builder", "Taken over by the agency"]
    said = [{row["label"]: printed(row["value"]) for row in place["rows"]} for place in places]
    assert said[0] == {
        "For": "Brackwater Coachworks",
        "Name": "Cleo Signs",
        "Function": "signatory",
        "Place": "",
        "Date": "",
    }
    assert said[1]["For"] == "Tarn Valley Ambulance Trust"
    assert (said[1]["Name"], said[1]["Function"]) == ("", "agency officer")
    assert all(source.manifest_digest in printed(place["foot"]) for place in places)
    assert "Scan the signed pages" in printed(part)


def test_nobody_is_named_where_the_record_names_nobody() -> None:
    part = section(
        finished(
            parties=[],
            people=records.PEOPLE[:2],
            declaration=None,
            release=None,
            bases=[{"standard": "EN 1789:2020", "packs": ["en-1789-2020@1"], "stated_by": "w2"}],
        ),
        "delivery",
    )

    assert set(labelled(part).values()) == {""}


def test_the_list_and_the_digest_are_on_the_printed_page(typesetter: Typesetter) -> None:
    # independent reader: pypdf
    source = finished()
    pdf = typesetter.typeset(*builders.ready(source), builders.ISSUED)
    text = "".join("".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())

    for words in ("Tick in ink what goes", "Recall check by VIN", "Taken over by the agency"):
        assert "".join(words.split()) in text
    assert text.count(source.manifest_digest) >= 5
