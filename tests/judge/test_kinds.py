"""Files, instruments and papers that cannot be what they are filed as: of another kind, or of a later day."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from evidence.judge.concessions import binds
from evidence.model.exhibit import Item
from evidence.model.finding import Finding
from evidence.model.names import INSTRUMENT_DIMENSION, ROLE_KINDS, InstrumentKind, Outcome, Role
from evidence.quantity import Dimension
from tests.judge.builders import (
    TOOLS,
    ask,
    asking,
    case,
    document,
    entry,
    paper,
    photo,
    record,
    screws,
    table,
    value,
)


def table_of_times(name: str) -> Item:
    return table(name, time="s")


FILES: dict[str, Callable[[str], Item]] = {"photo": photo, "document": paper, "table": table_of_times}


def filed(role: str, kind: str, **parts: Any) -> Finding:
    criterion = asking("present", evidence_from=[role])
    the_record = record(exhibits=[entry("E1", role)], **parts)
    return ask(criterion, case(the_record, items={"E1": FILES[kind]("E1")}))


@pytest.mark.parametrize("kind", FILES)
@pytest.mark.parametrize("role", Role)
def test_a_file_counts_only_for_roles_that_its_kind_can_show(role: Role, kind: str) -> None:
    found = filed(role.value, kind)

    if kind in ROLE_KINDS[role]:
        assert (found.outcome, found.reason.code) == (Outcome.MET, "evidence-there")
    else:
        assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "exhibit-wrong-kind")
        assert found.reason.parameters == {
            "exhibits": ("E1",),
            "found": kind,
            "expected": tuple(sorted(ROLE_KINDS[role])),
        }


@pytest.mark.parametrize(
    ("role", "kind"),
    [("hook-position", "document"), ("lock-window-locked", "table"), ("type-test-report", "photo")],
)
def test_what_users_filed_by_mistake_is_no_proof(role: str, kind: str) -> None:
    assert filed(role, kind).outcome == Outcome.UNDECIDED


def test_what_a_paper_says_counts_only_from_a_paper() -> None:
    papers = [document("d1", "type-test-report", "E1", result="passed")]
    criterion = asking("complete")
    for role, kind, code in (
        ("type-test-report", "document", "fields-complete"),
        ("type-test-report", "photo", "exhibit-wrong-kind"),
        ("other-photo", "photo", "exhibit-wrong-kind"),  # right for the file's own role, not for the paper's
    ):
        the_record = record(exhibits=[entry("E1", role)], documents=papers)
        assert ask(criterion, case(the_record, items={"E1": FILES[kind]("E1")})).reason.code == code


def test_a_qualification_is_shown_by_its_paper() -> None:
    held = {"what": "latch-course", "from": "2025-01-01", "exhibit": "E1"}
    people = [{"id": "w1", "functions": ["fitter"], "qualifications": [held]}]
    criterion = asking("valid_on", subject="person", what="qualification", event="as-of")

    def shown(role: str, kind: str) -> str:
        the_record = record(people=people, exhibits=[entry("E1", role, "w1")])
        return ask(criterion, case(the_record, items={"E1": FILES[kind]("E1")})).reason.code

    assert shown("qualification", "document") == "valid-on-day"
    assert shown("qualification", "photo") == "valid-on-day"
    assert shown("test-channel", "table") == "exhibit-wrong-kind"


def test_a_concession_does_not_bind_by_a_photo() -> None:
    granted = {
        "id": "c1",
        "kind": "concession",
        "requirement": "en@1/1/ask-present",
        "subject": "p1",
        "authority": "agency",
        "reference": "C-1",
        "by": "w2",
        "at": "2026-03-10",
        "exhibit": "E1",
    }
    for kind, binding in (("document", True), ("photo", False)):
        the_record = record(concessions=[granted], exhibits=[entry("E1", "concession")])
        the_case = case(the_record, items={"E1": FILES[kind]("E1")})
        finding = ask(asking("present"), the_case)
        assert binds(the_record.concessions[0], finding, the_case) == binding


def tool(kind: str) -> dict[str, Any]:
    return {"id": "i1", "kind": kind, "serial": "K-1", "deviation": "1 %"}


@pytest.mark.parametrize("kind", InstrumentKind)
def test_a_length_is_measured_with_what_measures_lengths(kind: InstrumentKind) -> None:
    found = ask(asking("within"), case(record(instruments=[tool(kind.value)], characteristics=[value()])))

    if INSTRUMENT_DIMENSION[kind] == Dimension.LENGTH or kind == InstrumentKind.GO_NO_GO:
        assert (found.outcome, found.reason.code) == (Outcome.MET, "within-limits")
    else:
        assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "instrument-wrong-kind")
        assert found.reason.parameters == {
            "entry": "v1",
            "instrument": "i1",
            "found": kind.value,
            "expected": ("caliper", "gauge-card", "go-no-go", "steel-rule"),
        }


def test_an_uncertainty_of_its_own_makes_no_length_of_a_torque_wrench() -> None:
    values = [value(uncertainty="0.1 mm")]
    found = ask(asking("within"), case(record(instruments=[tool("torque-wrench")], characteristics=values)))

    assert found.reason.code == "instrument-wrong-kind"


@pytest.mark.parametrize("kind", InstrumentKind)
def test_a_screw_is_tightened_with_a_torque_wrench(kind: InstrumentKind) -> None:
    criterion = asking(
        "within", subject="screws", quantity="screws.torque", low="24 N\u00b7m", high="26 N\u00b7m"
    )
    groups = [screws(instrument="i1")]
    found = ask(criterion, case(record(instruments=[tool(kind.value)], screws=groups)))

    if kind == InstrumentKind.TORQUE_WRENCH:
        assert found.outcome == Outcome.MET
    else:
        assert (found.outcome, found.reason.code) == (Outcome.UNDECIDED, "instrument-wrong-kind")
        assert found.reason.parameters["entry"] == "g1.1"
        assert found.reason.parameters["expected"] == ("torque-wrench",)


def test_a_value_that_is_not_there_yet_asks_nothing_of_its_instrument() -> None:
    values = [value(text={"state": "to come"})]
    found = ask(asking("within"), case(record(instruments=[TOOLS[1] | {"id": "i1"}], characteristics=values)))

    assert found.reason.code == "value-open"


def held(seen: str, issued: str | None = None) -> dict[str, Any]:
    paper_elsewhere = document("d1", "type-test-report", result="passed")
    paper_elsewhere["held"]["seen_on"] = seen
    return {**paper_elsewhere, **({"issued": issued} if issued else {})}


# cases are judged for 2026-03-20
@pytest.mark.parametrize(
    ("seen", "issued", "late"),
    [
        ("2026-03-20", None, None),
        ("2026-03-21", None, "2026-03-21"),
        ("2099-01-01", None, "2099-01-01"),
        ("2026-03-20", "2026-03-20", None),
        ("2026-03-20", "2026-03-21", "2026-03-21"),
        ("2026-03-22", "2026-03-21", "2026-03-22"),
    ],
)
@pytest.mark.parametrize("kind", ["present", "complete"])
def test_a_paper_of_a_later_day_does_not_count_yet(
    kind: str, seen: str, issued: str | None, late: str | None
) -> None:
    criterion = asking(kind, evidence_from=["type-test-report"])
    found = ask(criterion, case(record(documents=[held(seen, issued)])))

    if late is None:
        assert found.outcome == Outcome.MET
    else:
        assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "document-later")
        assert found.reason.parameters == {"entry": "d1", "found": late, "day": "2026-03-20"}


def test_a_paper_without_a_legible_day_is_taken_as_it_is() -> None:
    the_paper = {**held("2026-03-01"), "issued": {"state": "illegible"}}
    found = ask(asking("complete"), case(record(documents=[the_paper])))

    assert found.outcome == Outcome.MET


def test_the_day_asked_about_goes_before_the_day_judged() -> None:
    the_case = case(record(documents=[held("2099-01-01")]), known_on=date(2026, 3, 2))

    assert ask(asking("complete"), the_case).reason.code == "not-yet-known"


def test_a_filed_paper_of_a_later_day_does_not_count_yet_either() -> None:
    def there(*issued: str) -> Finding:
        papers = [
            {**document(f"d{number}", "type-test-report", "E1", result="passed"), "issued": day}
            for number, day in enumerate(issued, start=1)
        ]
        the_record = record(exhibits=[entry("E1", "type-test-report")], documents=papers)
        criterion = asking("present", evidence_from=["type-test-report"])
        return ask(criterion, case(the_record, items={"E1": paper("E1")}))

    assert there("2026-03-20").outcome == Outcome.MET
    assert there("2027-03-20").reason.code == "document-later"
    # of two papers in one file one is there
    assert there("2027-03-20", "2026-03-01").outcome == Outcome.MET
