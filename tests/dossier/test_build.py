"""The dossier as data: order, words, links, what a redacted copy leaves out."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import SECTIONS, Data, build, paper_for
from evidence.dossier._words import spaced
from evidence.phrases.coverage_en import COVERAGE_PAGE
from evidence.phrases.dossier_en import DOSSIER
from evidence.phrases.dossier_measured_en import MEASURED_PAGE
from evidence.phrases.dossier_papers_en import PAPERS
from evidence.phrases.dossier_pull_en import PULL_PAGE
from evidence.phrases.dossier_pulses_en import PULSES_PAGE
from evidence.phrases.dossier_timeline_en import TIMELINE_PAGE
from evidence.phrases.dossier_work_en import WORK_PAGES
from evidence.phrases.sets_en import SETS_PAGE
from tests.dossier import builders, hostile, judged, papers, records

FORBIDDEN_ON_PAPER = re.compile(
    r"\b(exhibit|leaf|leaves|bag|tagmanifest|E_n|compliant|certified)\b", re.IGNORECASE
)


def parts(value: object) -> Iterator[Data]:
    """Every object inside a JSON value."""
    if isinstance(value, dict):
        yield value
        for entry in value.values():
            yield from parts(entry)
    elif isinstance(value, list):
        for entry in value:
            yield from parts(entry)


def texts(value: object) -> str:
    """Everything a JSON value prints, in a row."""
    return json.dumps(value, ensure_ascii=False)


def anchors_of(data: Data) -> list[str]:
    found = [f"section-{section['id']}" for section in data["sections"]]
    return found + [name for part in parts(data) for name in part.get("anchors", [])]


@pytest.mark.parametrize("make", [builders.finished, builders.open_, hostile.source])
@pytest.mark.parametrize("redacted", [False, True])
def test_every_internal_link_has_exactly_one_target(make: Any, redacted: bool) -> None:  # noqa: FBT001
    data = build(make(redacted=redacted), builders.say)
    anchors = anchors_of(data)
    wanted = {part["to"] for part in parts(data) if "to" in part}
    assert wanted
    assert wanted <= set(anchors)
    assert len(anchors) == len(set(anchors))


def test_sections_come_in_the_order_of_the_tuple() -> None:
    data = build(papers.with_letter(builders.open_()), builders.say)
    order = [make.__module__.rsplit(".", 1)[-1] for make in SECTIONS]
    known = {"open_points": "open"}
    wanted = [known.get(name, name) for name in order]
    found = [section["id"] for section in data["sections"]]
    assert found == [name for name in wanted if name in found]
    assert set(wanted) - set(found) == {"anchorage"}  # printed only where somebody put a sheet into the job


def test_a_section_without_content_is_left_out() -> None:
    data = build(builders.open_(redacted=True), builders.say)
    assert "notes" not in [section["id"] for section in data["sections"]]


def test_every_word_of_the_catalogue_is_said_and_every_said_code_is_in_it() -> None:
    said: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        said.add(code)
        return builders.say(code, parameters)

    for make in (builders.finished, builders.open_):
        for redacted in (False, True):
            build(make(redacted=redacted), listen)
    unsaid = {code for code in DOSSIER if code not in said and "-word-" not in code}
    # sentences that only other vehicles need
    rare = {
        "dossier-claim-mentioned", "dossier-claim-not-found", "dossier-claim-elsewhere", "dossier-claim-unread",
        "dossier-claim-read", "dossier-claim-picture", "dossier-claim-picture-redacted", "dossier-claim-picture-left-out",
        "dossier-claim-picture-failed", "dossier-pages-heading", "dossier-pages-lead", "dossier-pages-left-out",
        "dossier-pages-left-out-one", "dossier-page-title", "dossier-page-alt",
        "dossier-answered", "dossier-content-pages-one", "dossier-content-scan", "dossier-content-unknown",
        "dossier-content-unreadable", "dossier-documents-none", "dossier-footer-open-one", "dossier-typed-from", "dossier-typed-again", "dossier-loose-typed-once", "dossier-loose-clock-unread", "dossier-loose-card-row", "dossier-photo-clock", "dossier-photo-clock-read",
        "dossier-front-fleet-number", "dossier-without-end", "dossier-front-more-exceptions", "dossier-front-more-exceptions-one", "dossier-front-more-one",
        "dossier-front-more-positions", "dossier-front-more-positions-one", "dossier-no", "dossier-photo-no-offset",
        "dossier-photo-no-time", "dossier-photo-notes", "dossier-photos-none", "dossier-redo-of", "dossier-review-past",
        "dossier-route", "dossier-state-conceded", "dossier-state-open-one", "dossier-subject-document",
        "dossier-subject-step", "dossier-subject-value", "dossier-front-more-loose", "dossier-loose-overdue",
        "dossier-front-edition-replaced", "dossier-not-stated", "dossier-state-complete-but", "dossier-state-complete-but-one",
        "dossier-front-vin-bound", "dossier-vin-bound", "dossier-delivered-without", "dossier-delivered-none-of-its-own",
        "dossier-in-force", "dossier-party-people", "dossier-subject-party", "dossier-loose-party", "dossier-loose-loaner-overdue",
        # each is in test_disputed.py or test_known.py
        "dossier-disputed", "dossier-disputed-one", "dossier-disputed-used", "dossier-disputed-used-one", "dossier-photo-disputed",
        "dossier-contradiction-heading", "dossier-contradiction-open", "dossier-contradiction-open-one",
        "dossier-released-open", "dossier-released-open-one", "dossier-value-bare", "dossier-zero-check", "dossier-zero-none",
        "dossier-state-ask", "dossier-state-contradictions", "dossier-state-contradictions-one", "dossier-locker-of",
        # each is in test_parts.py
        "dossier-qualification-of", "dossier-calibration-of", "dossier-paper-vin-without-photo", "dossier-every-months-one",
            "dossier-parts-screws", "dossier-parts-screws-one", "dossier-source-confirmed",
            "dossier-confirmed-lead", "dossier-subject-the-vehicle",
            "dossier-head-party", "dossier-head-part", "dossier-head-finished", "dossier-head-handed-on", "dossier-installation-parties",
    }  # fmt: skip
    rare |= {code for code in DOSSIER if code.startswith("dossier-side-")}  # each is in test_sides.py
    # of dossiers that are not English, in test_languages.py; times that are known in part, in test_words.py
    rare |= {"dossier-translated", "dossier-footer-translated"}
    rare |= {f"dossier-time-{part}" for part in ("am", "pm", "before", "after")}
    # each is in test_hook_position.py or test_photo_quality.py
    rare |= {f"dossier-{code}" for code in MEASURED_PAGE}
    # each is in test_pull_test.py
    rare |= {f"dossier-{code}" for code in PULL_PAGE}
    # each is in test_pulses.py
    rare |= {f"dossier-{code}" for code in PULSES_PAGE}
    # each is in test_channel_sets.py or test_timeline.py
    rare |= {f"dossier-{code}" for code in (*SETS_PAGE, *TIMELINE_PAGE)}
    # each is in test_coverage.py
    rare |= {f"dossier-{code}" for code in COVERAGE_PAGE}
    # each is in test_functional_tests.py
    rare |= {f"dossier-{code}" for code in WORK_PAGES}
    # each is said in test_sheet.py or test_annex.py
    rare |= {f"dossier-{code}" for code in PAPERS}
    # each is in test_indicator.py
    rare |= {code for code in DOSSIER if code.startswith(("dossier-photo-indicator", "dossier-photo-read"))}
    # each is in test_photo_vehicle.py
    rare |= {code for code in DOSSIER if code.startswith("dossier-photo-vehicle")}
    assert unsaid <= rare


def test_paper_words_avoid_the_words_of_the_code() -> None:
    for code, text in DOSSIER.items():
        assert not FORBIDDEN_ON_PAPER.search(text), code
        assert not re.search(r"certif(y|ies)\b", text) or "does not certify" in text, code


def test_region_rules_the_word_for_the_stretcher_and_the_paper() -> None:
    european, american = builders.finished(), builders.open_()
    assert paper_for(european.manifest) == "a4"
    assert paper_for(american.manifest) == "us-letter"
    said = texts(build(american, builders.say)["sections"])
    assert "Cot" in said
    assert not re.search(r"\bstretchers?\b", said, re.IGNORECASE)
    assert "Stretcher" in texts(build(european, builders.say))


def test_redacted_copy_has_ids_with_functions_and_no_personal_value() -> None:
    whole, redacted = (texts(build(builders.open_(redacted=state), builders.say)) for state in (False, True))
    for value in ("Ada Fitter", "Cleo Signs", "TV-AM 417", "Zweite Schraube", "IMG_2044", "Ingrid Example"):
        assert value in whole
        assert value not in redacted
    assert "w1 (fitter)" in redacted
    assert "Redacted copy" in redacted


def test_a_redacted_dossier_with_people_is_refused() -> None:
    with pytest.raises(ValueError, match="without people"):
        replace(builders.finished(), redacted=True)


def test_attachments_of_the_redacted_copy_are_stubs() -> None:
    whole, redacted = (
        build(builders.finished(redacted=state), builders.say)["attachments"] for state in (False, True)
    )
    assert [entry["name"] for entry in whole] == ["manifest.json", "E004.pdf", "E005.pdf"]
    assert [entry["name"] for entry in redacted] == [
        "manifest.json",
        "E004.redacted.json",
        "E005.redacted.json",
    ]
    assert [entry["relationship"] for entry in whole] == ["source", "supplement", "supplement"]


def test_open_points_stand_worst_first_with_five_on_the_front_sheet() -> None:
    data = build(builders.open_(), builders.say)
    front = data["sections"][0]
    table = next(block for block in front["blocks"] if block["kind"] == "table")
    chips = [row["cells"][0][0].get("chip", "contradiction") for row in table["rows"]]
    assert chips == ["contradiction", "not-met", "not-shown", "not-shown", "not-shown"]
    assert "2 more open points" in texts(front)


def test_a_conceded_finding_keeps_its_outcome_and_is_named_as_an_exception() -> None:
    data = build(builders.open_(), builders.say)
    front = texts(data["sections"][0])
    assert "TV-C-14" in front
    for section in (front, texts(data["sections"][1:])):
        assert "within \u2265 4 mm" in section
        assert "until 2027-03-12" in section
    rows = [
        row
        for part in parts(data)
        if part.get("kind") == "matrix"
        for c in part["clauses"]
        for row in c["rows"]
    ]
    row = next(row for row in rows if row["criterion"] == "clearance")
    assert row["outcome"][0]["chip"] == "not-met"
    assert "Accepted under" in texts(row["reason"])


def test_practice_is_a_group_of_its_own_at_the_end() -> None:
    data = build(builders.finished(), builders.say)
    matrix = next(section for section in data["sections"] if section["id"] == "matrix")
    heads = [block["text"] for block in matrix["blocks"] if block["kind"] == "heading"]
    assert heads[-2:] == ["Common practice", "By place on the vehicle"]
    assert len(heads) == 4


def test_both_sides_of_a_contradiction_stand_with_their_places() -> None:
    data = build(builders.open_(), builders.say)
    blocks = [part for part in parts(data) if part.get("kind") == "contradiction"]
    sides = [(side["where"][0]["t"], side["value"][0]["t"]) for side in blocks[0]["sides"]]
    assert sides == [("job.yaml p1", "H2-004711"), ("E004 p. 2", "H2-004117")]


def test_limit_bars_come_from_record_and_demand() -> None:
    data = build(builders.open_(), builders.say)
    rows = [
        row
        for part in parts(data)
        if part.get("kind") == "matrix"
        for c in part["clauses"]
        for row in c["rows"]
    ]
    alts = {(row["criterion"], row["subject"][0]["t"]): row["bar"]["alt"] for row in rows if row["bar"]}
    assert (
        alts["hook-position", "position p2"]
        == "Limit bar: value 122.1 mm ± 0.2 mm; lower limit 118.0 mm, upper limit 122.0 mm"
    )
    assert alts["test-deceleration", "position p1"].endswith("lower limit 10 g, upper limit none")
    assert len(alts) == 4
    assert all(row["bar"]["svg"] in data["svg"] for row in rows if row["bar"])


def test_names_that_must_print_are_those_of_signatory_and_releaser() -> None:
    data = build(builders.finished(), builders.say)
    assert data["must_print"] == [{"id": "w3", "text": "Cleo Signs"}]


def test_a_vehicle_without_photos_documents_or_people_still_has_its_sections() -> None:
    record = records.finished_record() | {
        "exhibits": [], "documents": [], "steps": [], "screws": [], "characteristics": [], "cycles": [],
        "statements": [], "instruments": [], "release": None,
    }  # fmt: skip
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    data = build(builders.source_from(record, manifest, None), builders.say)
    assert data["pictures"] == []
    assert "There are no photos." in texts(data)
    wanted = {part["to"] for part in parts(data) if "to" in part}
    assert wanted <= set(anchors_of(data))


def test_the_same_input_gives_the_same_data() -> None:
    first, second = (json.dumps(build(builders.open_(), builders.say)) for _ in range(2))
    assert first == second


def test_rows_are_numbered_as_they_stand_and_clauses_count_upwards() -> None:
    record = records.finished_record()
    there = ("evidence-there", {"found": "1"})
    clauses = ["10.1", "4.2", "9.9", "4.11"]
    findings = [judged.finding(f"en-1789-2020@1/{clause}/identity", "p1", "met", there) for clause in clauses]
    manifest = builders.manifest_for(record, findings, [], builders.EUROPEAN_PACKS)
    data = build(builders.source_from(record, manifest), builders.say)
    matrix = next(part for part in parts(data) if part.get("kind") == "matrix")
    assert [clause["title"][0]["t"] for clause in matrix["clauses"]] == ["4.2", "4.11", "9.9", "10.1"]
    assert [clause["rows"][0]["label"] for clause in matrix["clauses"]] == ["#1", "#2", "#3", "#4"]


def test_at_most_two_contradictions_push_findings_off_the_front_sheet() -> None:
    record = records.open_record()
    many = [{**judged.CONTRADICTIONS[0], "id": f"serial-differs:p1:0000000{n}"} for n in range(6)]

    def chips(findings: list[Data]) -> list[str]:
        manifest = builders.manifest_for(record, findings, many, builders.AMERICAN_PACKS)
        front = build(builders.source_from(record, manifest), builders.say)["sections"][0]
        table = next(block for block in front["blocks"] if block["kind"] == "table")
        return [row["cells"][0][0].get("chip", "contradiction") for row in table["rows"]]

    assert chips(judged.open_findings()) == ["contradiction"] * 2 + ["not-met", "not-shown", "not-shown"]
    assert chips(judged.open_findings()[3:4]) == ["contradiction"] * 4 + ["undecided"]


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("2026-03-04T10:40", "2026-03-04 10:40"),
        ("2026-03-04 am", "2026-03-04 am"),
        ("SN-T10:40", "SN-T10:40"),
    ],
)
def test_times_lose_their_t_and_serials_do_not(given: str, printed: str) -> None:
    assert spaced(given) == printed


TO_COME = {"state": "to come", "from": "agency", "by": "2020-01-01"}


def with_holes(*, without: tuple[str, ...] = (), redacted: bool = False, **vehicle: Any) -> Data:
    """The front sheet's section, and all others, of a vehicle where everything demanded is met and fields are open."""
    record = records.finished_record()
    record["vehicle"] |= vehicle
    record["positions"] = [{**records.POSITION, "system": {"model": "Heron 2", "serial": TO_COME}}]
    record |= dict.fromkeys(without)
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    return build(builders.source_from(record, manifest, redacted=redacted), builders.say)


def front_text(data: Data) -> str:
    """What the front sheet's spans and labels print, in a row."""
    front = data["sections"][0]
    return re.sub(r"\s+", " ", " ".join(part["t"] for part in parts(front) if "t" in part))


@pytest.mark.parametrize("redacted", [False, True])
def test_states_of_identifying_fields_stand_on_the_front_sheet_in_words(redacted: bool) -> None:  # noqa: FBT001
    data = with_holes(redacted=redacted, vin=TO_COME, module_serial=TO_COME)

    identity = {entry["label"]: entry["value"][0]["t"] for entry in data["sections"][0]["hero"]["identity"]}
    assert identity["VIN"] == "to come from agency, by 2020-01-01"
    assert identity["Module serial"] == "to come from agency, by 2020-01-01"
    assert "serial to come from agency, by 2020-01-01" in front_text(data)
    assert "not stated" not in front_text(data)


def test_complete_with_fields_that_nobody_knows_does_not_read_as_complete() -> None:
    data = with_holes(vin=TO_COME, without=("release", "declaration"))

    state = data["sections"][0]["hero"]["state"]
    assert state["words"] == "Nothing demanded is open; 4 fields are not known or not checked yet"
    assert state["chip"] != "met"
    one = with_holes()["sections"][0]["hero"]["state"]
    assert one["words"] == "Nothing demanded is open; 1 field is not known or not checked yet"
    whole = build(builders.finished(), builders.say)["sections"][0]["hero"]["state"]
    assert (whole["chip"], whole["words"]) == ("met", "Complete: nothing is open")


def test_every_loose_end_is_listed_with_its_state() -> None:
    data = with_holes(vin=TO_COME, without=("release", "declaration"))

    listed = next(section for section in data["sections"] if section["id"] == "open")
    rows = [[cell[0]["t"] for cell in row["cells"]] for part in parts(listed) for row in part.get("rows", [])]
    overdue = "to come from agency, by 2020-01-01 (overdue)"
    assert rows[-4:] == [
        ["VIN", overdue],
        ["Position p1: serial of the fastening system", overdue],
        ["Release", "not yet"],
        ["Declaration", "none"],
    ]
    assert all(cell in front_text(data) for row in rows[-4:] for cell in row)


def test_missing_release_and_declaration_are_said_and_given_ones_are_named() -> None:
    def basis(data: Data) -> dict[str, str]:
        found = next(part for part in parts(data["sections"][0]) if part.get("kind") == "facts")
        return {entry["label"]: entry["value"][0]["t"] for entry in found["rows"]}

    missing = basis(with_holes(without=("release", "declaration")))
    assert (missing["Released"], missing["Declaration"]) == ("not yet", "Withheld: fields are missing")
    given = basis(build(builders.finished(), builders.say))
    assert given["Declaration"] == "BW-2231-D1, 2026-03-05 10:00, Brackwater"


def test_more_loose_ends_than_fit_lead_to_the_section_that_has_them_all() -> None:
    record = records.finished_record()
    instruments = [{"id": f"j{n}", "kind": "caliper", "serial": {"state": "illegible"}} for n in range(9)]
    record["instruments"] = [*record["instruments"], *instruments]
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    data = build(builders.source_from(record, manifest), builders.say)

    more = [part for part in parts(data["sections"][0]) if part.get("to") == "section-open"]
    assert [part["t"] for part in more] == ["3 more", "Open points"]
    listed = next(section for section in data["sections"] if section["id"] == "open")
    assert texts(listed).count("Caliper j") == 9


def test_vehicle_without_a_vin_says_so() -> None:
    record = records.finished_record()
    record["vehicle"] = {"build": "BW-2231"}
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    identity = build(builders.source_from(record, manifest), builders.say)["sections"][0]["hero"]["identity"]

    assert {"label": "VIN", "value": [{"t": "not stated"}]} in identity


def test_model_and_serial_of_full_length_are_printed_whole() -> None:
    record = records.finished_record()
    model, serial = "M" * 90, "S" * 90
    stretchers = {"tested_with": [{"model": model, "serial": serial}]}
    record["positions"] = [{**records.POSITION, "stretchers": stretchers}]
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    manifest["positions"][0]["stretchers_tested_with"] = [f"{model} {serial}"]

    assert f"{model} {serial}" in front_text(build(builders.source_from(record, manifest), builders.say))
