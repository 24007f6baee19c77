"""``covers``: whether a report is about this vehicle, field by field."""

from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.names import Outcome, RestsOn
from tests.judge.builders import ILLEGIBLE, POSITION, TO_COME, ask, asking, case, document, record


def covering(*fields: dict[str, Any]) -> dict[str, Any]:
    return asking("covers", evidence_from=["type-test-report"], fields=list(fields))


PAIR = covering(
    {"claim": "system-model", "fact": "position.system-model"},
    {"claim": "stretcher-model", "fact": "position.stretcher-delivered-with", "how": "listed"},
    {"claim": "orientation", "fact": "position.orientation"},
    {"claim": "directions", "how": "stated"},
)
FITTING = {
    "system_model": "heron  2",
    "stretcher_model": "Heron Carrier XL; Heron Carrier",
    "orientation": "head-forward",
    "directions": "forward, rearward",
}


def reported(**claims: Any) -> Case:
    return case(record(documents=[document("d1", "type-test-report", **claims)]))


def test_a_report_on_the_fitted_pair_covers_it_field_by_field() -> None:
    found = ask(PAIR, reported(**FITTING))

    assert found.outcome == Outcome.MET
    assert [part.name for part in found.parts] == [
        "system-model",
        "stretcher-model",
        "orientation",
        "directions",
    ]
    assert found.rests_on == (RestsOn.RECORDED, RestsOn.STATEMENT)


@pytest.mark.parametrize(
    ("changed", "outcome", "code"),
    [
        ({"system_model": "Heron 1"}, "not met", "covers-other"),
        ({"stretcher_model": "Heron Carrier XL"}, "not met", "covers-other"),
        ({"orientation": ILLEGIBLE}, "undecided", "claim-illegible"),
        ({"orientation": TO_COME}, "not shown", "claim-open"),
        ({"orientation": []}, "not shown", "claim-not-stated"),
        ({"orientation": ["feet-forward", ILLEGIBLE]}, "undecided", "claim-illegible"),
        ({"orientation": ["head-forward", ILLEGIBLE]}, "met", "all-parts-met"),
    ],
)
def test_one_field_of_the_report_differs(changed: dict[str, Any], outcome: str, code: str) -> None:
    found = ask(PAIR, reported(**{**FITTING, **changed}))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_a_fact_that_the_record_does_not_state() -> None:
    bare = {key: value for key, value in POSITION.items() if key != "orientation"}
    the_record = record(positions=[bare], documents=[document("d1", "type-test-report", **FITTING)])

    assert ask(PAIR, case(the_record)).reason.code == "fact-not-stated"


def test_a_serial_that_cannot_be_read_on_the_part() -> None:
    worn = {**POSITION, "system": {"model": "Heron 2", "serial": ILLEGIBLE}}
    the_record = record(
        positions=[worn], documents=[document("d1", "type-test-report", system_serial="0012")]
    )
    found = ask(covering({"claim": "system-serial", "fact": "position.system-serial"}), case(the_record))

    assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "fact-illegible")


def test_the_tested_model_stands_on_the_makers_list() -> None:
    criterion = covering({"claim": "stretcher-model", "fact": "position.stretcher-approved", "how": "listed"})

    assert ask(criterion, reported(stretcher_model="Heron Carrier XL")).outcome == Outcome.MET
    assert ask(criterion, reported(stretcher_model="Heron Light")).outcome == Outcome.NOT_MET


# The 2014 edition has frontal and side tests only; the rear test came with 2016.
# published: front-matter rationale of SAE J3027, revised 2016-11, Warrendale; SAE news page on the 2014 edition
REAR = covering({"claim": "directions", "how": "one-of", "values": ["rear"]})
EDITION_WITH_REAR = covering(
    {"claim": "test-standard", "how": "one-of", "values": ["SAE J3027_201611", "SAE J3027_202206"]}
)


@pytest.mark.parametrize("criterion", [REAR, EDITION_WITH_REAR], ids=["direction", "edition"])
def test_a_report_to_the_2014_edition_shows_nothing_about_the_rear(criterion: dict[str, Any]) -> None:
    found = ask(criterion, reported(test_standard="SAE J3027_201407", directions=["frontal", "side"]))

    assert (found.outcome, found.reason.code, found.rests_on) == ("not shown", "outside-report", ())


@pytest.mark.parametrize("criterion", [REAR, EDITION_WITH_REAR], ids=["direction", "edition"])
def test_a_report_to_the_2016_edition_does(criterion: dict[str, Any]) -> None:
    found = ask(criterion, reported(test_standard="SAE J3027_201611", directions="frontal, side, rear"))

    assert found.outcome == Outcome.MET


def test_two_reports_are_judged_both() -> None:
    the_record = record(
        documents=[
            document("d1", "type-test-report", system_model="Heron 2"),
            document("d2", "type-test-report", system_model="Heron 1"),
        ]
    )
    found = ask(covering({"claim": "system-model", "fact": "position.system-model"}), case(the_record))

    assert found.outcome == Outcome.NOT_MET
    assert [part.name for part in found.parts] == ["d1.system-model", "d2.system-model"]


def test_no_report_at_all() -> None:
    assert ask(PAIR, case()).reason.code == "missing-type-test-report"
