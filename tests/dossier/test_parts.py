"""Parts of a finding: what says the same stands together, and what row and part would both say is said once."""

from typing import Any

from evidence.dossier import matrix
from evidence.dossier._parts import told_parts
from evidence.dossier._words import Teller
from evidence.model.finding import Finding, Reason
from evidence.phrases import say
from tests.dossier import builders, judged, records

LOW, HIGH = {"unit": "N·m", "value": "22"}, {"unit": "N·m", "value": "26"}


def torque(number: int, value: str, outcome: str = "met") -> dict[str, Any]:
    code = "within-limits" if outcome == "met" else "outside-limits"
    parameters = {"value": {"unit": "N·m", "value": value}, "low": LOW, "high": HIGH}
    return {"name": f"g1.{number}", "outcome": outcome, "reason": {"code": code, "parameters": parameters}}


def finding(parts: list[dict[str, Any]], reason: dict[str, Any], **more: Any) -> Finding:
    worst = "not met" if any(part["outcome"] == "not met" for part in parts) else "met"
    return Finding.read(
        {
            **judged.finished_findings()[0],
            "subject": "g1",
            "type": "within",
            "outcome": worst,
            "parts": parts,
            "reason": reason,
            **more,
        }
    )


def printed(entry: Finding) -> dict[str, Any]:
    record = records.finished_record()
    manifest = builders.manifest_for(record, [entry.document()], [], builders.EUROPEAN_PACKS)
    section = matrix.build(builders.source_from(record, manifest), say)
    rows = [
        row
        for block in section["blocks"]
        if block["kind"] == "matrix"
        for clause in block["clauses"]
        for row in clause["rows"]
    ]
    assert len(rows) == 1
    return {
        "reason": "".join(span["t"] for span in rows[0]["reason"]),
        "parts": ["".join(span["t"] for span in part["text"]) for part in rows[0]["parts"]],
    }


def test_screws_that_all_say_the_same_make_one_sentence() -> None:
    every = finding(
        [torque(n, "24") for n in range(1, 9)], {"code": "all-parts-met", "parameters": {"count": "8"}}
    )

    row = printed(every)
    assert row["reason"].startswith("Screws 1\u20138: 24 N·m lies between 22 N·m and 26 N·m.")
    assert row["parts"] == []


def test_the_one_that_differs_is_told_apart_and_its_reason_once() -> None:
    parts = [torque(n, "24") for n in (1, 2, 4)]
    wrong = torque(3, "27", "not met")

    row = printed(finding([*parts, wrong], wrong["reason"]))
    assert row["parts"] == [
        "Screws 1\u20132, 4: 24 N·m lies between 22 N·m and 26 N·m.",
        "Screw 3: 27 N·m lies outside 22 N·m to 26 N·m. Correct the fitting and measure again.",
    ]
    assert "27 N·m" not in row["reason"]


def test_ids_of_parts_stand_behind_and_names_that_the_sentence_has_nowhere() -> None:
    order = {"code": "in-order", "parameters": {"before": "drill", "after": "dry-fit"}}
    covered = {"code": "covered", "parameters": {"claim": "floor", "found": ["plywood-22"]}}
    parts = [
        {"name": "g1/s2/s3", "outcome": "met", "reason": order},
        {"name": "floor", "outcome": "met", "reason": covered},
    ]
    entry = finding(parts, {"code": "all-parts-met", "parameters": {"count": "2"}}, type="ordered")

    assert printed(entry)["parts"] == [
        "Step drill was done before step dry fit. (g1: s2, s3)",
        "Floor in the report: plywood-22, which fits.",
    ]


def test_an_id_in_a_reason_is_told_with_what_it_stands_for() -> None:
    tell = Teller(builders.finished(), say)

    def told(code: str, **parameters: Any) -> str:
        return tell.reason(Reason(code=code, parameters=parameters))

    assert told("fields-complete", document="d1") == "Type test report d1 states everything that is asked."
    assert told("valid-on-day", entry="g1", day="2026-03-04").startswith(
        "The thread-locker of screw group g1 was"
    )
    assert told("valid-on-day", entry="i1", day="2026-03-04").startswith("The calibration of caliper i1 was")
    assert told("valid-on-day", entry="w3", day="2026-03-04").startswith(
        "The qualification of w3 Cleo Signs was valid"
    )
    stated = told("stated", by="w3", function="paperwork")
    assert stated == "Stated by w3 Cleo Signs, who is recorded as paperwork lead."
    bound = told("vin-without-photo", vin="WXX", build="BW-1")
    assert "vin_bound" not in bound
    assert [tell.count("every-months", n) for n in (1, 6)] == ["every month", "every 6 months"]
    assert "WXX stands beside build number BW-1" in bound
    assert "for the vehicle." in told("missing-delivery-note", subject="vehicle")
    assert told("evidence-promised", exhibits=("E009",), **{"from": "w2", "by": "2026-05-01"}).startswith(
        "E009 is to come from w2 Bo Éclair-Łukasz by 2026-05-01."
    )
    last = told("declaration-before-last-test", declared="2026-05-12T12:00", entry="v1.at", tested="x")
    assert "is dated 2026-05-12 12:00, but the record has x for hook position v1" in last
    assert told("typed-twice-differs", place="p1.system.serial", first="1", second="2", by="w3").startswith(
        "Position p1 (system serial) was typed as 1; w3 Cleo Signs typed"
    )
    assert "E999 states" in told("fields-complete", document="E999")


def test_the_redacted_copy_names_nobody_in_a_reason() -> None:
    tell = Teller(builders.finished(redacted=True), say)

    said = tell.reason(Reason(code="stated", parameters={"by": "w3", "function": "signatory"}))
    assert said == "Stated by w3, who is recorded as signatory."


def test_parts_keep_their_order_and_numbers() -> None:
    entry = finding(
        [torque(2, "24"), torque(1, "25")], {"code": "all-parts-met", "parameters": {"count": "2"}}
    )

    assert [each.names for each in told_parts(entry, Teller(builders.finished(), say))] == [("2",), ("1",)]


def pieces(count: int, words: str = "g1") -> list[dict[str, Any]]:
    parts = [
        {
            "name": f"{words}{number}/s1/s{number}",
            "outcome": "met",
            "reason": {"code": "in-order", "parameters": {"before": f"a{number}", "after": "b"}},
        }
        for number in range(count)
    ]
    entry = finding(parts, {"code": "all-parts-met", "parameters": {"count": str(count)}}, type="ordered")
    record = records.finished_record()
    manifest = builders.manifest_for(record, [entry.document()], [], builders.EUROPEAN_PACKS)
    (block,) = [
        each
        for each in matrix.build(builders.source_from(record, manifest), say)["blocks"]
        if each["kind"] == "matrix"
    ]
    found: list[dict[str, Any]] = block["clauses"][0]["rows"][0]["pieces"]
    return found


def test_a_long_row_breaks_between_its_parts_and_leaves_none_alone() -> None:
    assert [each["parts"] for each in pieces(matrix.MAX_PARTS)] == [matrix.MAX_PARTS]
    assert [each["parts"] for each in pieces(matrix.MAX_PARTS + 1)] == [2, *[1] * 5, 2]
    assert all(each["keep"] for each in pieces(matrix.MAX_PARTS + 1))


def test_a_piece_that_might_not_fit_a_page_may_break_within() -> None:
    assert not any(each["keep"] for each in pieces(3, "g" * matrix.MAX_PIECE))
