"""``present`` and ``complete``: what is filed, and what it states."""

from datetime import date
from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.exhibit import Unreadable
from evidence.model.names import Outcome, RestsOn
from tests.judge.builders import (
    ILLEGIBLE,
    NOT_FITTED,
    POSITION,
    PROMISED,
    TO_COME,
    UNKNOWN,
    ask,
    asking,
    broken,
    case,
    digest,
    document,
    entry,
    intake,
    paper,
    photo,
    record,
    screws,
)


def overview(*entries: dict[str, Any], **fields: object) -> Case:
    items = {str(one["id"]): photo(str(one["id"])) for one in entries if isinstance(one["file"], str)}
    return case(record(exhibits=list(entries)), **{"items": items, **fields})


def photo_entry(name: str = "E1", subject: str = "p1", file: object = None) -> dict[str, Any]:
    return entry(name, "overview", subject, file or f"photos/{name}.jpg")


def test_a_readable_photo_is_there_as_a_record_of_the_work() -> None:
    found = ask(asking("present"), overview(photo_entry()))

    assert (found.outcome, found.rests_on, found.exhibits) == ("met", (RestsOn.RECORDED,), ("E1",))


def test_a_photo_filed_for_the_vehicle_serves_its_position() -> None:
    assert ask(asking("present"), overview(photo_entry(subject="vehicle"))).outcome == Outcome.MET


def test_a_photo_of_a_screw_group_serves_its_position_but_not_another() -> None:
    positions = [POSITION, {**POSITION, "id": "p2"}]
    the_record = record(positions=positions, screws=[screws()], exhibits=[photo_entry(subject="g1")])
    the_case = case(the_record, items={"E1": photo("E1")})

    from evidence.judge import present  # noqa: PLC0415
    from tests.judge.builders import demand  # noqa: PLC0415

    found = [present.judge(demand(asking("present")), subject, the_case) for subject in ("p1", "p2")]
    assert [one.reason.code for one in found] == ["evidence-there", "missing-overview"]


@pytest.mark.parametrize(
    ("file", "outcome", "code"),
    [
        (TO_COME, "not shown", "evidence-open"),
        (PROMISED, "not shown", "evidence-promised"),
        (UNKNOWN, "not shown", "evidence-open"),
        (NOT_FITTED, "not shown", "evidence-open"),
        (ILLEGIBLE, "undecided", "exhibit-illegible"),
    ],
)
def test_a_place_without_a_file(file: object, outcome: str, code: str) -> None:
    found = ask(asking("present"), overview(photo_entry(file=file)))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_a_file_that_cannot_be_opened_is_undecided() -> None:
    found = ask(asking("present"), overview(photo_entry(), items={"E1": broken("E1")}))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "exhibit-unreadable")
    assert found.reason.parameters["cause"] == "exhibit-unknown"  # the reader's own code


def test_a_photo_that_needs_an_extra_says_so() -> None:
    """Getting the file again would not help, so the advice is another."""
    unread = broken("E1").model_copy(update={"unreadable": Unreadable(code="heic-extra-missing")})
    found = ask(asking("present"), overview(photo_entry(), items={"E1": unread}))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "exhibit-needs-extra")


def test_a_file_that_is_not_in_the_folder_is_not_shown() -> None:
    found = ask(asking("present"), overview(photo_entry(), items={}))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "file-missing")


@pytest.mark.parametrize(
    ("known_on", "code"),
    [(date(2026, 3, 4), "not-yet-known"), (date(2026, 3, 5), "evidence-there"), (None, "evidence-there")],
)
def test_a_file_counts_from_the_day_it_was_taken_in(known_on: date | None, code: str) -> None:
    assert ask(asking("present"), overview(photo_entry(), known_on=known_on)).reason.code == code


def test_a_file_replaced_later_was_not_known_before() -> None:
    log = intake(
        {"event": "add", "id": "E1", "sha256": digest("other"), "at": "2026-03-01T08:00+01:00"},
        {"event": "change", "id": "E1", "sha256": digest("E1"), "at": "2026-03-09T08:00+01:00"},
    )
    found = ask(asking("present"), overview(photo_entry(), intake=log, known_on=date(2026, 3, 5)))

    assert found.reason.code == "not-yet-known"


def test_a_file_that_no_log_knows_was_not_known_on_any_day() -> None:
    found = ask(asking("present"), overview(photo_entry(), intake=intake(), known_on=date(2026, 3, 5)))

    assert found.reason.code == "not-yet-known"


def test_a_withdrawn_file_does_not_count() -> None:
    log = intake({"event": "withdraw", "id": "E1", "sha256": digest("E1"), "at": "2026-03-06T08:00+01:00"})
    found = ask(asking("present"), overview(photo_entry(), intake=log))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "file-withdrawn")


def test_a_file_that_a_move_left_behind_does_not_count() -> None:
    line = {"event": "move-out", "id": "E1", "sha256": digest("E1"), "at": "2026-03-06T08:00+01:00"}
    log = intake(line | {"reason": "wrong-vehicle", "job": "AMB-2", "other": "E7"})
    found = ask(asking("present"), overview(photo_entry(), intake=log))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "file-moved-out")
    assert found.reason.parameters == {"exhibits": ("E1",), "job": "AMB-2", "cause": "wrong-vehicle"}


def test_a_file_that_was_moved_in_counts_from_that_day() -> None:
    line = {"event": "move-in", "id": "E1", "sha256": digest("E1"), "at": "2026-03-04T08:00+01:00"}
    log = intake(line | {"reason": "wrong-vehicle", "job": "AMB-2", "other": "E7"})

    assert (
        ask(asking("present"), overview(photo_entry(), intake=log, known_on=date(2026, 3, 5))).outcome
        == Outcome.MET
    )
    before = ask(asking("present"), overview(photo_entry(), intake=log, known_on=date(2026, 3, 3)))
    assert before.reason.code == "not-yet-known"


def test_a_changed_file_is_undecided_until_somebody_answers() -> None:
    from evidence.judge.contradictions import contradictions  # noqa: PLC0415

    log = intake({"event": "add", "id": "E1", "sha256": digest("old"), "at": "2026-03-01T08:00+01:00"})
    open_case = overview(photo_entry(), intake=log, changed=frozenset({"E1"}))
    (changed,) = contradictions(open_case)
    answer = {"contradiction": changed.id, "by": "w2", "at": "2026-03-10"}
    answered = case(
        record(exhibits=[photo_entry()], answers=[answer]),
        items={"E1": photo("E1")},
        intake=log,
        changed=frozenset({"E1"}),
    )

    assert ask(asking("present"), open_case).reason.code == "file-changed"
    assert ask(asking("present"), open_case).outcome == Outcome.UNDECIDED
    assert ask(asking("present"), answered).outcome == Outcome.MET


@pytest.mark.parametrize(
    ("files", "outcome", "code"),
    [
        (["photos/E1.jpg"], "not shown", "too-few-files"),
        (["photos/E1.jpg", "photos/E2.jpg"], "met", "evidence-there"),
        (["photos/E1.jpg", ILLEGIBLE], "undecided", "exhibit-illegible"),
        (["photos/E1.jpg", TO_COME], "not shown", "evidence-open"),
        ([ILLEGIBLE], "not shown", "too-few-files"),
    ],
)
def test_at_least_two(files: list[object], outcome: str, code: str) -> None:
    entries = [photo_entry(f"E{number}", file=file) for number, file in enumerate(files, start=1)]
    found = ask(asking("present", at_least="2"), overview(*entries))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_nothing_of_several_roles() -> None:
    criterion = asking("present", evidence_from=["overview", "charging"])

    assert ask(criterion, case()).reason.code == "missing-evidence"


def test_a_held_document_is_a_statement_and_has_a_day() -> None:
    the_record = record(documents=[document("d1", "type-test-report")])
    criterion = asking("present", evidence_from=["type-test-report"])
    before = case(the_record, known_on=date(2026, 2, 28))

    assert ask(criterion, case(the_record)).rests_on == (RestsOn.STATEMENT,)
    assert ask(criterion, before).reason.code == "not-yet-known"


def test_a_persons_proof_must_be_about_that_person() -> None:
    criterion = asking("present", subject="person", evidence_from=["qualification"])
    entries = [entry("E1", "qualification", "vehicle"), entry("E2", "qualification", "w1")]

    def filed(*qualifications: dict[str, Any], files: list[dict[str, Any]]) -> Case:
        people = [{"id": "w1", "functions": ["fitter"], "qualifications": list(qualifications)}]
        return case(record(people=people, exhibits=files), items={"E1": paper("E1"), "E2": paper("E2")})

    named = {"what": "latch-course", "from": "2025-01-01", "exhibit": "E1"}
    assert ask(criterion, filed(files=entries[:1])).reason.code == "missing-qualification"
    assert ask(criterion, filed(files=entries[1:])).outcome == Outcome.MET
    assert ask(criterion, filed(named, files=entries[:1])).outcome == Outcome.MET


def test_a_tools_certificate_must_be_about_that_tool() -> None:
    criterion = asking("present", subject="instrument", evidence_from=["calibration-certificate"])
    filed = {
        subject: case(
            record(
                instruments=[{"id": "i1", "kind": "caliper", "serial": "K"}],
                documents=[document("d1", "calibration-certificate", subject=subject)],
            )
        )
        for subject in ("i1", "vehicle")
    }
    named = record(
        instruments=[{"id": "i1", "kind": "caliper", "serial": "K", "certificate": "d1"}],
        documents=[document("d1", "calibration-certificate", subject="vehicle")],
    )

    assert ask(criterion, filed["i1"]).outcome == Outcome.MET
    assert ask(criterion, filed["vehicle"]).reason.code == "missing-calibration-certificate"
    assert ask(criterion, case(named)).outcome == Outcome.MET


# Fields of a verification data report. published: KKK-A-1822E, clause 4.3.6, 2002, Washington (public domain)
KKK_REPORT = [
    "tested_for",
    "report_date",
    "sample_name",
    "manufacturer_address",
    "sample_serial",
    "system_model",
    "test_standard",
    "amendment",
    "test_requirement",
    "test_place",
    "test_equipment",
    "test_procedure",
    "result",
    "verifying_data",
    "photographs",
    "conclusion",
    "witness",
    "signature",
]
DATES = {"report_date": "2002-07-01"}


def kkk(*without: str, **changed: Any) -> Case:
    claims = {field: DATES.get(field, "yes") for field in KKK_REPORT if field not in without} | changed
    return case(record(documents=[document("d1", "type-test-report", **claims)]))


KKK = asking("complete", fields=[field.replace("_", "-") for field in KKK_REPORT])


def test_a_verification_report_with_every_field_is_complete() -> None:
    found = ask(KKK, kkk())

    assert (found.outcome, found.reason.code) == (Outcome.MET, "fields-complete")


@pytest.mark.parametrize("field", KKK_REPORT)
def test_a_verification_report_without_one_field_is_not_shown(field: str) -> None:
    found = ask(KKK, kkk(field))

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "fields-missing")
    assert found.reason.parameters["fields"] == (field.replace("_", "-"),)


def test_missing_goes_before_illegible() -> None:
    illegible = ask(KKK, kkk(witness=ILLEGIBLE))
    both = ask(KKK, kkk("amendment", witness=ILLEGIBLE))

    assert (illegible.outcome, illegible.reason.code) == (Outcome.UNDECIDED, "fields-illegible")
    assert (both.outcome, both.reason.parameters["fields"]) == (Outcome.NOT_SHOWN, ("amendment",))


def test_a_file_nobody_has_transcribed_and_an_open_place() -> None:
    filed = record(exhibits=[entry("E1", "type-test-report")])
    promised = record(exhibits=[entry("E1", "type-test-report", file=PROMISED)])

    assert ask(KKK, case(filed, items={"E1": paper("E1")})).reason.code == "claims-not-recorded"
    assert ask(KKK, case(promised)).reason.code == "evidence-promised"
    assert ask(KKK, case()).reason.code == "missing-type-test-report"


def test_claims_of_a_file_that_cannot_be_opened_do_not_count() -> None:
    the_record = record(
        documents=[document("d1", "type-test-report", "E1", result="passed")],
        exhibits=[entry("E1", "type-test-report")],
    )
    found = ask(asking("complete"), case(the_record, items={"E1": broken("E1")}))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "exhibit-unreadable")


def test_every_document_of_the_role_must_be_complete() -> None:
    the_record = record(
        documents=[document("d1", "type-test-report", result="x"), document("d2", "type-test-report")]
    )
    found = ask(asking("complete"), case(the_record))

    assert found.outcome == Outcome.NOT_SHOWN
    assert [(part.name, part.outcome) for part in found.parts] == [("d1", "met"), ("d2", "not shown")]


def test_a_document_of_the_very_position_goes_before_one_of_the_vehicle() -> None:
    the_record = record(
        documents=[
            document("d1", "type-test-report", subject="vehicle"),
            document("d2", "type-test-report", result="passed"),
        ]
    )
    found = ask(asking("complete"), case(the_record))

    assert (found.outcome, found.documents) == (Outcome.MET, ("d2",))
