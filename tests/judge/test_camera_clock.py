"""A camera's clock that was set in between: told where readings or filing leave no other way, and only there.

Every difference below is computed independently by hand from the times that stand beside it.
"""

from typing import Any

import pytest

from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.phrases import say
from tests.judge.builders import case, entry, intake, record
from tests.judge.test_clock_tickets import by_phone

# at 07:48:10 the phone says 08:00:00: 11 min 50 s ahead, give or take a second
FIRST = {"exhibit": "E8", "shown": "2026-03-04T07:48:10", "by": "w1"}


def found(
    shots: dict[str, tuple[str, str | None]],
    readings: tuple[dict[str, str], ...] = (FIRST,),
    *,
    filed: str = "2026-03-05T08:00+01:00",
    first: str | None = None,
    role: str = "hook-position",
) -> list[Contradiction]:
    """Notices on photos, given as camera time and camera by exhibit; those that were read show a clock ticket."""
    read = {reading["exhibit"] for reading in readings}
    items = {name: by_phone(name, at, camera=camera) for name, (at, camera) in shots.items()}
    exhibits = [
        entry(
            name,
            "clock-ticket" if name in read else role,
            "vehicle" if name in read else "p1",
            f"photos/{name}.jpg",
        )
        for name in sorted(shots)
    ]
    lines = [
        {
            "event": "add",
            "id": name,
            "sha256": item.sha256,
            "at": filed,
            **({"first": first} if first else {}),
        }
        for name, item in items.items()
    ]
    the_case = case(record(exhibits=exhibits, clocks=list(readings)), items=items, intake=intake(*lines))
    return [each for each in contradictions(the_case) if each.rule.value == "camera-clock-jumped"]


def twice(shown: str, claimed: str, camera: str | None = "Demo Phone") -> list[Contradiction]:
    """Two photos of a clock ticket: the first as above, the second as given."""
    shots = {"E8": ("2026-03-04T08:00:00", "Demo Phone"), "E9": (claimed, camera)}
    return found(shots, (FIRST, {"exhibit": "E9", "shown": shown, "by": "w1"}))


def test_two_readings_that_cannot_both_be_of_one_clock_are_a_notice() -> None:
    (told,) = twice("2026-03-04T15:00:00", "2026-03-04T15:00:30")  # 30 s ahead: 11 min 18 s less, at least

    assert told.severity == Severity.NOTICE
    assert told.exhibits == ("E8", "E9")
    assert told.reason.code == "camera-clock-jumped"
    assert told.reason.parameters["minutes"] == "11"
    assert [place.value for place in told.between] == [
        "2026-03-04T15:00:30 at 2026-03-04T15:00:00",
        "2026-03-04T08:00:00 at 2026-03-04T07:48:10",
    ]
    sentence = say(told.reason.code, told.reason.parameters)
    for named in ("E8", "E9", "07:48:10", "15:00:30", "or two phones of one kind"):
        assert named in sentence


@pytest.mark.parametrize(
    ("shown", "claimed", "fires"),
    [
        ("2026-03-04T15:00:00", "2026-03-04T15:11:50", False),
        (
            "2026-03-04T15:00:00",
            "2026-03-04T15:01:46",
            False,
        ),  # 604 s less, a second on each side: 602; drift 2.6
        ("2026-03-04T15:00:00", "2026-03-04T15:01:45", True),  # 603
        ("2026-03-18T15:00:00", "2026-03-18T15:01:00", False),  # 648, of which two weeks explain 122
        ("2026-03-04T15:00:00", "2026-03-04T15:22:53", True),  # 661 s more, at least
        ("2026-03-04T15:00", "2026-03-04T15:22:53", False),  # a clock without seconds leaves a minute
        ("2026-03-04T15:00:00", "2026-03-05T15:00:00", True),
    ],
)
def test_what_drift_and_the_clocks_own_steps_explain_is_none(
    shown: str, claimed: str, *, fires: bool
) -> None:
    assert bool(twice(shown, claimed)) == fires


@pytest.mark.parametrize("camera", ["Demo Other", None])
def test_another_kind_of_camera_is_another_clock(camera: str | None) -> None:
    assert twice("2026-03-04T15:00:00", "2026-03-04T15:00:30", camera) == []


@pytest.mark.parametrize(
    ("claimed", "fires"),
    [
        ("2026-03-05T08:30:00", True),  # filed by 08:01: 29 min ahead at least, and 11 min 51 s were read
        ("2026-03-05T08:20:00", False),  # less than ten minutes between them
        ("2026-03-05T07:00:00", False),  # taken before it was filed: no more is known
    ],
)
def test_a_photo_that_claims_to_be_younger_than_its_filing(claimed: str, *, fires: bool) -> None:
    told = found({"E8": ("2026-03-04T08:00:00", "Demo Phone"), "E1": (claimed, "Demo Phone")})

    assert bool(told) == fires
    for each in told:
        assert each.reason.code == "camera-clock-after-filing"
        assert "was filed at 2026-03-05T08:00+01:00 already" in say(each.reason.code, each.reason.parameters)


def test_a_moved_photo_counts_from_when_it_first_came_in() -> None:
    shots: dict[str, tuple[str, str | None]] = {
        "E8": ("2026-03-04T08:00:00", "Demo Phone"),
        "E1": ("2026-03-05T08:30:00", "Demo Phone"),
    }

    assert found(shots, filed="2026-03-09T08:00+01:00") == []
    assert len(found(shots, filed="2026-03-09T08:00+01:00", first="2026-03-05T07:50+01:00")) == 1


def test_without_a_reading_filing_alone_is_no_jump() -> None:
    """A clock that is always ahead was never set; and the order of filing says nothing."""
    shots: dict[str, tuple[str, str | None]] = {
        "E1": ("2026-03-06T08:00:00", "Demo Phone"),
        "E2": ("2026-03-04T08:00:00", "Demo Phone"),
    }

    assert found(shots, readings=()) == []


def test_a_clock_that_nobody_read_in_that_photo_says_nothing() -> None:
    reading: dict[str, Any] = {**FIRST, "exhibit": "E1"}
    shots: dict[str, tuple[str, str | None]] = {
        "E1": ("2026-03-04T08:00:00", "Demo Phone"),
        "E8": ("2026-03-04T15:00:30", "Demo Phone"),
    }

    assert found(shots, (reading,)) == []


def test_of_many_pairs_the_one_furthest_apart_is_told() -> None:
    readings = tuple(
        {"exhibit": name, "shown": f"2026-03-04T{hour}:00:00", "by": "w1"}
        for name, hour in (("E7", "10"), ("E8", "11"), ("E9", "12"))
    )
    (told,) = found(
        {
            "E7": ("2026-03-04T10:00:00", "Demo Phone"),
            "E8": ("2026-03-04T11:20:00", "Demo Phone"),
            "E9": ("2026-03-04T13:00:00", "Demo Phone"),
        },
        readings,
    )

    assert told.exhibits == ("E7", "E9")
    assert told.reason.parameters["minutes"] == "59"
