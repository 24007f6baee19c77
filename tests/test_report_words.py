"""Words of ``check`` that are made of names: entries by what people know of them, parts by their steps, no digests."""

from pathlib import Path

import pytest

from evidence import jobs
from evidence.model.check import ToldFinding
from evidence.model.finding import Parameter, Place, Reason
from evidence.naming import Naming
from evidence.points import OpenPoint, merged, point_of
from evidence.report import sides
from tests.conftest import Run


@pytest.fixture
def naming(faulty_job: Path) -> Naming:
    """The entries of the demonstration's second vehicle, with one name known."""
    return Naming(jobs.load(faulty_job).record, {"w3": "Ines Harrow"})


def finding(code: str, parameters: dict[str, object], **changes: object) -> ToldFinding:
    """A finding that is open for one reason, which its parts share."""
    reason: dict[str, object] = {"code": code, "parameters": parameters}
    names = changes.pop("parts", ())
    assert isinstance(names, tuple)
    parts = [{"name": name, "outcome": "undecided", "reason": reason} for name in names]
    given: dict[str, object] = {
        "requirement": "a/b",
        "subject": "p1",
        "group": "profile",
        "clause": "1",
        "type": "ordered",
        "outcome": "undecided",
        "mark": "confirmed",
        "closes": "fitter",
        "title": "Order",
        "reason": {**reason, "text": "Text"},
        "parts": parts,
    }
    return ToldFinding.read({**given, **changes})


def redone(title: str, step: str, subject: str = "p1") -> ToldFinding:
    """A finding that only a redo keeps open."""
    parameters: dict[str, object] = {"redone": "witness-mark", "step": step}
    return finding(
        "reopened", parameters, title=title, requirement=f"a/{title}", subject=subject, outcome="not shown"
    )


@pytest.mark.parametrize(
    ("identity", "called"),
    [
        ("i2", "torque wrench TW-177 (i2)"),
        ("d1", "type test report MTH-15-031 (d1)"),
        ("g2", "floor plate screws (g2, p2)"),
        ("s21", "witness mark (s21, p1)"),
        ("v1", "hook position (v1, p1)"),
        ("t5", "load and unload, loaded (t5, p2)"),
        ("w3", "Ines Harrow (w3)"),
        ("w1", "w1"),
        ("p1", "p1"),
        ("E004", "E004"),
        ("vehicle", "the vehicle"),
    ],
)
def test_an_entry_is_called_by_what_people_know_of_it(naming: Naming, identity: str, called: str) -> None:
    assert naming.call(identity) == called


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("v1.value", "hook position (v1, p1)"),
        ("s21.at", "witness mark (s21, p1)"),
        ("g2.lot", "lot of floor plate screws (g2, p2)"),
        ("p2.system.serial", "serial of the fastening system of p2"),
        ("vehicle.vin", "VIN of the vehicle"),
        ("parties.1.finished", "day on which its part was finished of party 1"),
        ("elsewhere.at", "elsewhere.at"),
    ],
)
def test_a_place_of_the_record_is_told_in_words(naming: Naming, place: str, told: str) -> None:
    assert naming.place(place) == told


def test_a_sentence_names_entry_and_time_and_begins_with_a_capital(naming: Naming) -> None:
    reason = Reason(
        code="calibration-expired-on-work",
        parameters={"instrument": "i2", "used": "2026-05-12T08:10", "entry": "s17", "last_day": "2026-04-20"},
    )

    assert naming.told(reason).startswith(
        "Torque wrench TW-177 (i2) was used on 2026-05-12 08:10 for locker and torque (s17, p2); "
    )


def test_the_date_of_a_lot_is_that_of_the_thread_locker(naming: Naming) -> None:
    dates: dict[str, Parameter] = {"entry": "g1", "last_day": "2026-04-30", "day": "2026-05-11"}

    assert naming.told(Reason(code="expired-on-day", parameters=dates)).startswith(
        "Thread-locker of floor plate screws (g1, p1) was valid until 2026-04-30, but was needed on 2026-05-11."
    )


@pytest.mark.parametrize(
    ("entry", "begins"),
    [
        ("w1", "The qualification of w1 was valid on 2026-05-11."),
        ("i2", "The calibration of torque wrench TW-177 (i2) was valid on 2026-05-11."),
        ("i4", "Gauge card "),
    ],
)
def test_what_was_valid_of_a_person_or_tool_is_named(naming: Naming, entry: str, begins: str) -> None:
    valid: dict[str, Parameter] = {"entry": entry, "day": "2026-05-11"}

    assert naming.told(Reason(code="valid-on-day", parameters=valid)).startswith(begins)


def test_a_missing_file_is_told_with_its_path(naming: Naming) -> None:
    reason = Reason(code="file-missing", parameters={"exhibits": ("E004",)})

    assert naming.told(reason).startswith("The record names E004 (photos/E004.jpg), but the file")


def test_parts_that_say_it_stand_in_place_of_the_text_and_equal_ones_stand_once(naming: Naming) -> None:
    order: dict[str, object] = {"before": "mark-out", "after": "drill"}
    point = point_of(finding("order-undecided", order, parts=("g1/s1/s2", "g1/s1/s2/gap", "p1.3")), naming)

    (line,) = point.parts
    assert line.startswith(
        "Mark out, then drill (g1/s1/s2), wait from mark out to drill (g1/s1/s2), screw 3: The times"
    )
    assert point.text == ""


def test_the_only_bad_screw_is_named(naming: Naming) -> None:
    low, high = {"value": "22", "unit": "N·m"}, {"value": "26", "unit": "N·m"}
    torque: dict[str, object] = {"value": {"value": "28", "unit": "N·m"}, "low": low, "high": high}
    point = point_of(finding("outside-limits", torque, subject="g2", parts=("g2.6",)), naming)

    assert point.text.startswith("Screw 6: 28 N·m lies outside 22 N·m to 26 N·m.")
    assert point.parts == ()


def test_what_a_redo_takes_back_is_one_point_for_each_place(naming: Naming) -> None:
    findings = (redone("One", "v1"), redone("Two", "E006"), redone("One", "v2", "p2"))
    first, second = merged((point_of(each, naming) for each in findings), "en")

    assert [item.label for item in first.items] == ["One (v1)", "Two (E006)"]
    assert first.text.startswith("These were recorded before step witness mark was done again")
    assert (second.places, [item.label for item in second.items]) == (("p2",), ["One"])
    assert second.text.endswith("Do it again and record it: hook position (v2, p2).")


def test_one_demand_with_one_reason_at_two_places_is_one_point(naming: Naming) -> None:
    claim: dict[str, object] = {"document": "d1", "claim": "floor"}
    here, there = (
        point_of(finding("claim-not-stated", claim, subject=each), naming) for each in ("p1", "p2")
    )

    assert merged((here, there), "en") == [
        OpenPoint(
            here.outcome,
            ("p1", "p2"),
            here.items,
            "Type test report MTH-15-031 (d1) does not state floor. "
            "Read the paper again, or ask its issuer for it.",
        )
    ]


def test_practice_that_is_only_compared_says_what_was_found(naming: Naming) -> None:
    seen: dict[str, object] = {"faults": "1", "found": "12", "allowed": "0"}
    compared = {"compared": "not met", "compared_code": "faults-seen", "mark": "practice"}
    point = point_of(finding("practice-compared", {**seen, **compared}, outcome="not shown"), naming)

    assert point.outcome == "not shown, by practice alone not met"
    assert point.text.startswith("1 of 12 went wrong; allowed: 0.")


def test_a_digest_is_left_out_and_other_numbers_stay(naming: Naming) -> None:
    same = [Place(where=f"E00{n}", value="0123456789abcdef" * 4) for n in (1, 2)]
    assert sides(same, naming) == ""
    assert sides([Place(where="vin", value="0BW2231T4RN000417")], naming) == "vin: 0BW2231T4RN000417"


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("2026-05-19T10:10:29-05:00", "2026-05-19 10:10:29 -05:00"),
        ("2026-05-12T15:30", "2026-05-12 15:30"),
        ("2026-05-12", "2026-05-12"),
        ("2026-05-11/2026-05-12", "2026-05-11 to 2026-05-12"),
        ("10.1133373 mph", "10.1133 mph"),
        ("4 7/8 in", "4 7/8 in"),
        ("17.7 lbf·ft \u2013 19.6 lbf·ft", "17.7 lbf·ft \u2013 19.6 lbf·ft"),
        ("0012", "0012"),
        ("HT-2026-05-11T08", "HT-2026-05-11T08"),
    ],
)
def test_what_a_side_says_is_told_as_people_write_it(naming: Naming, value: str, told: str) -> None:
    assert sides([Place(where="E004.taken", value=value)], naming) == f"E004.taken: {told}"


def test_practice_that_says_a_piece_of_an_open_point_is_not_told_again(run: Run, faulty_job: Path) -> None:
    """Before the tool's count was read, the manual asks more of the torque tool than practice does."""
    text = run("check", "--as-of", "2026-05-11", faulty_job).stdout

    expired = "The calibration of torque wrench TW-177 (i2) was valid until 2026-04-20"
    told = [line for line in text.splitlines() if expired in line]
    assert [("(g1, p1)" in line, "(g2, p2)" in line) for line in told] == [(True, False), (False, True)]
