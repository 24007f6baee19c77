"""``valid_on``: instruments, qualifications, papers, lots and concessions, each to its last day."""

from datetime import date
from typing import Any

import pytest

from evidence.judge import Case
from evidence.model.names import Outcome, RestsOn
from evidence.model.times import add_months
from tests.judge.builders import (
    ILLEGIBLE,
    TO_COME,
    ask,
    asking,
    case,
    document,
    entry,
    paper,
    record,
    screws,
    step,
    value,
)


def tool(**changes: Any) -> dict[str, Any]:
    return {
        "id": "i1",
        "kind": "torque-wrench",
        "serial": "T",
        "calibrated": "2024-03-01",
        "interval_months": "12",
        **changes,
    }


def used(*days: Any, **changes: Any) -> Case:
    values = [value(f"v{number}", at=day) for number, day in enumerate(days, start=1)]
    return case(record(instruments=[tool(**changes)], characteristics=values))


def in_date(**changes: Any) -> dict[str, Any]:
    return asking("valid_on", subject="instrument", **changes)


# A torque tool calibrated 2024-03-01 with a 12-month interval, used 2025-03-02, is out of date; the last day counts.
# from memory of ISO 6789: 12 months or 5 000 cycles as the default interval
@pytest.mark.parametrize(
    ("day", "outcome", "code"),
    [
        ("2024-03-01", "met", "valid-on-day"),
        ("2025-03-01", "met", "valid-on-day"),
        ("2025-03-01 after 18:00", "met", "valid-on-day"),
        ("2025-03-02", "not met", "expired-on-day"),
        ("2025-03-02 before 06:00", "not met", "expired-on-day"),
        ("2024-02-29", "not shown", "calibration-after-use"),
        (TO_COME, "not shown", "time-open"),
        (ILLEGIBLE, "undecided", "time-illegible"),
    ],
)
def test_twelve_months_include_the_last_day(day: Any, outcome: str, code: str) -> None:
    found = ask(in_date(), used(day))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.expires == ("2025-03-01" if code in ("valid-on-day", "expired-on-day") else None)


@pytest.mark.parametrize(
    ("day", "months", "last"),
    [
        # the same day of the month, or the month's last day where it is shorter
        # computed independently with dateutil.relativedelta
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
        (date(2025, 12, 31), 2, date(2026, 2, 28)),
    ],
)
def test_month_ends_clamp(day: date, months: int, last: date) -> None:
    assert add_months(day, months) == last

    inside = used(last.isoformat(), calibrated=day.isoformat(), interval_months=str(months))
    assert ask(in_date(), inside).expires == last.isoformat()


def test_every_use_counts_and_each_is_a_part() -> None:
    found = ask(in_date(), used("2024-05-01", "2025-05-01"))

    assert found.outcome == Outcome.NOT_MET
    assert [(part.name, part.outcome) for part in found.parts] == [("i1.v1", "met"), ("i1.v2", "not met")]


@pytest.mark.parametrize(
    ("months", "interval", "outcome"),
    [("12", "24", "not met"), ("24", "12", "not met"), ("24", None, "met"), (None, None, "not shown")],
)
def test_the_shorter_interval_holds(months: str | None, interval: str | None, outcome: str) -> None:
    found = ask(in_date(months=months), used("2025-06-01", interval_months=interval))

    assert found.outcome == outcome
    assert (found.reason.code == "interval-not-recorded") == (outcome == "not shown")


@pytest.mark.parametrize(
    ("calibrated", "outcome", "code"),
    [
        (None, "not shown", "calibration-not-recorded"),
        (TO_COME, "not shown", "calibration-not-recorded"),
        (ILLEGIBLE, "undecided", "calibration-illegible"),
    ],
)
def test_a_calibration_that_is_not_known(calibrated: Any, outcome: str, code: str) -> None:
    found = ask(in_date(), used("2024-05-01", calibrated=calibrated))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_only_instruments_of_the_kind_that_were_used_are_asked() -> None:
    idle = case(record(instruments=[tool()]))
    caliper = used("2024-05-01", kind="caliper")

    assert ask(in_date(kinds=["torque-wrench"]), idle).reason.code == "nothing-recorded"
    assert ask(in_date(kinds=["torque-wrench"]), caliper).reason.code == "nothing-recorded"


def test_where_a_certificate_is_asked_for_it_must_be_there() -> None:
    criterion = in_date(evidence_from=["calibration-certificate"])
    filed = record(
        instruments=[tool()],
        characteristics=[value(at="2024-05-01")],
        documents=[document("d1", "calibration-certificate", "E1", subject="i1")],
        exhibits=[entry("E1", "calibration-certificate", "i1")],
    )

    assert ask(criterion, used("2024-05-01")).reason.code == "missing-calibration-certificate"
    assert ask(criterion, case(filed)).reason.code == "file-missing"
    found = ask(criterion, case(filed, items={"E1": paper("E1")}))
    assert (found.outcome, found.rests_on) == ("met", (RestsOn.DOCUMENT, RestsOn.RECORDED))


@pytest.mark.parametrize(
    ("event", "parts", "outcome", "code"),
    [
        ("release", {}, "not shown", "event-not-recorded"),
        ("release", {"release": {"at": "2025-03-01", "by": "w2"}}, "met", "valid-on-day"),
        ("release", {"release": {"at": "2025-03-02", "by": "w2"}}, "not met", "expired-on-day"),
        ("declaration", {}, "not shown", "event-not-recorded"),
        (
            "declaration",
            {"declaration": {"id": "D", "at": "2025-03-02", "place": "Here", "by": "w3"}},
            "not met",
            "expired-on-day",
        ),
        ("as-of", {}, "not met", "expired-on-day"),
    ],
)
def test_other_events(event: str, parts: dict[str, Any], outcome: str, code: str) -> None:
    found = ask(in_date(event=event), case(record(instruments=[tool()], **parts)))

    assert (found.outcome, found.reason.code) == (outcome, code)


def fitter(*qualifications: dict[str, Any]) -> Case:
    people = [
        {"id": "w1", "functions": ["fitter"], "qualifications": list(qualifications)},
        {"id": "w3", "functions": ["signatory"]},
    ]
    return case(record(people=people, steps=[step("s1", "clean", "2026-03-04")]))


def held(from_: str, until: str | None = None, **changes: Any) -> dict[str, Any]:
    return {"what": "latch-course", "from": from_, **({"until": until} if until else {}), **changes}


QUALIFIED = asking(
    "valid_on", subject="person", what="qualification", qualification="latch-course", function="fitter"
)


@pytest.mark.parametrize(
    ("qualifications", "outcome", "code", "expires"),
    [
        ([held("2026-03-04", "2026-03-04")], "met", "valid-on-day", "2026-03-04"),
        ([held("2026-03-04")], "met", "valid-on-day", None),
        ([held("2025-01-01", "2026-12-31"), held("2026-01-01")], "met", "valid-on-day", None),
        ([held("2025-01-01", "2026-03-03")], "not met", "expired-on-day", "2026-03-03"),
        ([held("2026-03-05")], "not met", "not-yet-valid-on-day", None),
        ([held("2025-01-01", what="welding")], "not shown", "qualification-not-recorded", None),
        ([], "not shown", "qualification-not-recorded", None),
        ([held("2025-01-01", exhibit="E9")], "not shown", "file-missing", None),
    ],
)
def test_qualification_on_the_day_of_the_work(
    qualifications: list[dict[str, Any]], outcome: str, code: str, expires: str | None
) -> None:
    found = ask(QUALIFIED, fitter(*qualifications))

    assert (found.outcome, found.reason.code, found.expires) == (outcome, code, expires)


def test_nobody_of_the_function_worked() -> None:
    assert ask(QUALIFIED, case()).reason.code == "nothing-recorded"


@pytest.mark.parametrize(
    ("locker", "outcome", "code"),
    [
        ({}, "met", "valid-on-day"),
        ({"use_by": "2026-03-03"}, "not met", "expired-on-day"),
        ({"use_by": TO_COME}, "not shown", "use-by-not-recorded"),
        ({"use_by": ILLEGIBLE}, "undecided", "use-by-illegible"),
        ({"applied": TO_COME}, "not shown", "time-open"),
        ({"applied": ILLEGIBLE}, "undecided", "time-illegible"),
    ],
)
def test_the_thread_lockers_use_by_day_when_it_was_applied(
    locker: dict[str, Any], outcome: str, code: str
) -> None:
    whole = {**screws()["locker"], **locker}
    criterion = asking("valid_on", subject="screws", what="lot")
    found = ask(criterion, case(record(screws=[screws(locker=whole)])))

    assert (found.outcome, found.reason.code) == (outcome, code)


def test_screws_without_thread_locker() -> None:
    criterion = asking("valid_on", what="lot")

    assert ask(criterion, case(record(screws=[screws(locker=None)]))).reason.code == "locker-not-recorded"
    assert ask(criterion, case()).reason.code == "value-not-recorded"


def sheet(*days: Any, work: bool = True) -> Case:
    steps = [step("s1", "clean", "2026-03-04")] if work else []
    return case(record(documents=[document("d1", "data-sheet", use_by=list(days))], steps=steps))


@pytest.mark.parametrize(
    ("days", "work", "outcome", "code"),
    [
        (["2026-03-04"], True, "met", "valid-on-day"),
        (["2026-03-03"], True, "not met", "expired-on-day"),
        (["2026-12-31", "2026-03-03"], True, "not met", "expired-on-day"),
        ([], True, "not shown", "claim-not-stated"),
        ([ILLEGIBLE], True, "undecided", "claim-illegible"),
        (["2026-12-31", ILLEGIBLE], True, "undecided", "claim-illegible"),
        (["2026-03-03", ILLEGIBLE], True, "not met", "expired-on-day"),
        (["2026-03-04"], False, "not shown", "event-not-recorded"),
    ],
)
def test_a_paper_with_a_use_by_day(days: list[Any], work: bool, outcome: str, code: str) -> None:  # noqa: FBT001
    criterion = asking("valid_on", what="document", evidence_from=["data-sheet"])
    found = ask(criterion, sheet(*days, work=work))

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert ask(criterion, case()).reason.code == "missing-data-sheet"


@pytest.mark.parametrize(
    ("until", "outcome", "code"),
    [
        ("2026-03-20", "met", "valid-on-day"),
        ("2026-03-19", "not met", "expired-on-day"),
        (None, "met", "valid-on-day"),
    ],
)
def test_a_concession_on_the_day_judged(until: str | None, outcome: str, code: str) -> None:
    granted = {
        "id": "c1",
        "kind": "concession",
        "requirement": "en@1/1/x",
        "subject": "p1",
        "authority": "agency",
        "reference": "C-1",
        "by": "w2",
        "at": "2026-03-10",
        **({"until": until} if until else {}),
    }
    criterion = asking("valid_on", what="concession", event="as-of")
    found = ask(criterion, case(record(concessions=[granted])))

    assert (found.outcome, found.reason.code) == (outcome, code)
    none = ask(criterion, case())
    assert (none.outcome, none.reason.code) == (Outcome.NOT_APPLICABLE, "no-concession")
    assert (
        ask({**criterion, "event": "work"}, case(record(concessions=[granted]))).reason.code
        == "event-not-recorded"
    )


@pytest.mark.parametrize(
    ("at", "outcome", "code"),
    [("2026-03-20", "met", "valid-on-day"), ("2026-03-21", "not met", "not-yet-valid-on-day")],
)
def test_a_concession_is_valid_from_the_day_it_was_granted(at: str, outcome: str, code: str) -> None:
    granted = {
        "id": "c1",
        "kind": "concession",
        "requirement": "en@1/1/x",
        "subject": "p1",
        "authority": "agency",
        "reference": "C-1",
        "by": "w2",
        "at": at,
    }
    found = ask(asking("valid_on", what="concession", event="as-of"), case(record(concessions=[granted])))

    assert (found.outcome, found.reason.code) == (outcome, code)
