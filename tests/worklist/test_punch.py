"""The punch list: every open point once for each who could close it, urgent ones first."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from evidence.model.names import Outcome
from evidence.worklist.punch import punch_list
from evidence.worklist.told import point_view
from tests.worklist.conftest import Judge


def test_by_trade_every_open_point_stands_once(judge: Judge, faulty_job: Path) -> None:
    vehicle = judge(faulty_job)

    sheets = punch_list([vehicle])

    told = [point.told for sheet in sheets for point in sheet.points if point.outcome != "to come"]
    keys = [(item.key, place) for each in told for item in each.items for place in each.places]
    assert len(keys) == len(set(keys)) == vehicle.check.open
    assert len(told) < vehicle.check.open
    assert [sheet.who for sheet in sheets][:2] == ["For the fitter", "For the paperwork desk"]


def test_by_person_a_promise_stands_under_who_made_it(judge: Judge, faulty_job: Path) -> None:
    vehicle = judge(faulty_job)

    sheets = {sheet.who: sheet.points for sheet in punch_list([vehicle], "person")}

    name = vehicle.names["w2"]
    title, place = "Photo of the locked window", "p2"
    (promised,) = (point for point in sheets[name] if point.title == title and point.due is not None)
    assert (promised.due, promised.place) == (date(2026, 5, 20), place)
    others = [point for who in sheets if who != name for point in sheets[who]]
    assert all(point.title != title or point.place != place for point in others)


def test_by_person_work_stands_under_who_did_it(judge: Judge, faulty_job: Path) -> None:
    vehicle = judge(faulty_job)

    sheets = {sheet.who: sheet.points for sheet in punch_list([vehicle], "person")}

    assert "Final torque of every floor screw" in {point.title for point in sheets[vehicle.names["w1"]]}


def test_one_name_in_two_jobs_gets_one_sheet(judge: Judge, job: Path, faulty_job: Path) -> None:
    slot = "role: overview, subject: p1, file: photos/E002.jpg, by: w1"
    promised = "role: overview, subject: p1, file: {state: to come, from: w1}, by: w1"
    people = faulty_job / "people.yaml"
    first = judge(job, (slot, promised)) if slot in (job / "job.yaml").read_text() else judge(job)
    name = judge(faulty_job).names["w1"]
    text = people.read_text(encoding="utf-8").replace(name, first.names["w1"])
    people.write_text(text, encoding="utf-8")

    sheets = punch_list([first, judge(faulty_job)], "person")

    assert [sheet.who for sheet in sheets].count(first.names["w1"]) == 1


def test_without_a_name_a_person_is_told_by_job(judge: Judge, faulty_job: Path) -> None:
    people = faulty_job / "people.yaml"
    lines = people.read_text(encoding="utf-8").splitlines(keepends=True)
    people.write_text("".join(line for line in lines if "{id: w1," not in line), encoding="utf-8")

    sheets = punch_list([judge(faulty_job)], "person")

    assert "w1 (AMB-0520)" in [sheet.who for sheet in sheets]


def test_what_was_due_comes_first(judge: Judge, faulty_job: Path) -> None:
    late = "file: {state: to come, from: w2, by: 2026-05-01}"
    vehicle = judge(faulty_job, ("file: {state: to come, from: w2, by: 2026-05-20}", late))

    (fitter, *_) = punch_list([vehicle])

    assert fitter.points[0].title == "Photo of the locked window"
    assert fitter.points[0].overdue


def test_what_a_redo_takes_back_is_one_thing_to_do(judge: Judge, faulty_job: Path) -> None:
    (fitter, *_) = punch_list([judge(faulty_job)])

    (again,) = (point for point in fitter.points if point.told.redone)
    shown = point_view(again)
    assert (again.place, shown["title"]) == ("p1", "Do again: 14 points")
    assert shown["text"].startswith("These were recorded before step witness mark was done again")
    assert "; Photo of the locked window (E006); " in shown["text"]


def test_every_part_of_a_point_is_told(judge: Judge, faulty_job: Path) -> None:
    points = {point.title: point.text for sheet in punch_list([judge(faulty_job)]) for point in sheet.points}

    assert points["Final torque of every floor screw"].startswith("Screw 6: 20.5 ")
    rear = points["Report covers the rear test"]
    assert "under test standard it gives" in rear
    assert "under directions it gives" in rear


def test_a_value_that_cannot_be_read_stands_once_under_who_promised_it(
    judge: Judge, faulty_job: Path
) -> None:
    vehicle = judge(faulty_job)

    sheets = punch_list([vehicle], "person")

    found = [
        (sheet.who, point.text) for sheet in sheets for point in sheet.points if "(v4, p2)" in point.text
    ]
    told = "The value of play, lengthwise (v4, p2) cannot be read. Measure it again."
    assert found == [(vehicle.names["w2"], told)]


def test_a_finished_vehicle_has_nothing_to_do(judge: Judge, job: Path) -> None:
    assert punch_list([judge(job)]) == ()


def test_what_several_demands_want_in_the_same_words_is_one_thing_to_do(judge: Judge, job: Path) -> None:
    vehicle = judge(job)
    twin = next(each for each in vehicle.check.findings if each.group == "profile")
    told = [
        twin.model_copy(update={"outcome": Outcome.NOT_SHOWN, "title": title, "requirement": f"x/{title}"})
        for title in ("One", "Two")
    ]
    opened = replace(vehicle, check=vehicle.check.model_copy(update={"findings": tuple(told)}))

    points = [point for sheet in punch_list([opened]) for point in sheet.points if point.key.startswith("x/")]

    assert [(point.title, point.key) for point in points] == [("One; Two", "x/One, x/Two")]
