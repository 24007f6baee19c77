"""Letter and report after KKK-A-1822E: only where it binds, every field of the clause, empty ones named."""

from evidence.dossier import build
from tests.dossier import builders, judged, records
from tests.dossier.papers import section, tables, with_letter

# published: KKK-A-1822E, clauses 4.3.5 and 4.3.6, 2002, Washington; as claims are named here
LETTER = (
    "To whom it is addressed",
    "Report date",
    "Units or items",
    "Maker",
    "Maker's address",
    "Test date",
    "Model number",
    "Specification data",
    "Test standard",
    "Requirement tested",
    "Summary of the test report",
    "Certifying statement",
    "Signature",
)
REPORT = (
    "Tested for",
    "Report date",
    "Sample",
    "Maker's address",
    "Sample serial",
    "Model number",
    "Test standard",
    "Amendment",
    "Requirement tested",
    "Test facility",
    "Place of test",
    "Equipment",
    "Procedure",
    "Result",
    "Data",
    "Photographs",
    "Conclusion",
    "Witness",
    "Signature",
)


def test_a_vehicle_under_another_basis_has_no_such_page() -> None:
    assert "certification" not in [
        part["id"] for part in build(builders.finished(), builders.say)["sections"]
    ]


def test_every_field_of_both_papers_stands_with_what_is_said() -> None:
    found = tables(section(with_letter(builders.open_()), "certification"))
    letter, report = (
        found["Certification letter, clause 4.3.5"],
        found["Verification data report, clause 4.3.6"],
    )

    assert tuple(name for name, _ in letter) == LETTER
    assert tuple(name for name, _ in report) == REPORT
    assert {said for _, said in letter} == {"not stated"}
    said = dict(report)
    assert said["Test standard"] == "EN 1789:2020 , p. 1"
    assert said["Witness"] == "Ingrid Example , p. 9"
    assert said["Amendment"] == "not stated"


def test_a_redacted_copy_names_no_witness() -> None:
    found = tables(section(with_letter(builders.open_(redacted=True)), "certification"))

    assert dict(found["Verification data report, clause 4.3.6"])["Witness"] == "stated (left out here)"


def test_each_paper_of_a_sort_has_a_table_of_its_own() -> None:
    record = records.open_record()
    second = {"id": "d9", "role": "type-test-report", "subject": "p2", "exhibit": "E004", "claims": []}
    record["documents"] = [*record["documents"], second]
    findings = judged.open_findings()
    manifest = builders.manifest_for(record, findings, [], builders.AMERICAN_PACKS)
    found = tables(section(with_letter(builders.source_from(record, manifest)), "certification"))

    assert len(found["Verification data report, clause 4.3.6"]) == 2 * len(REPORT)
