"""Lock windows: a colour that is asked for, from the photo's own reading, else from a person, else not shown."""

from collections.abc import Mapping
from typing import Any

import pytest

from evidence.judge import Case
from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction, Finding
from evidence.model.measurement import WindowReading
from evidence.model.names import Outcome, RestsOn
from evidence.model.profile import Profile
from evidence.phrases import say
from tests.judge.builders import AS_OF, ask, asking, case, entry, photo, profile, record

COLOUR = {"id": "w", "shows": "colour", "locked": "#265cb2", "open": "#eca020", "page": "16"}
FRAME = "372,404,496,415,491,467,362,455"
SHARES = {
    "locked": {"locked": "0.972", "open": "0.004", "unknown": "0.024"},
    "open": {"locked": "0.000", "open": "1.000", "unknown": "0.000"},
    "undecided": {"locked": "0.510", "open": "0.470", "unknown": "0.020"},
}


def reading(
    state: str, exhibit: str = "E005", against: str | None = None, why: str = "window-between"
) -> WindowReading:
    parts: dict[str, Any] = {"state": state, "window": "w", "fractions": SHARES[state]}
    if state == "undecided":
        parts["reason"] = {"code": why}
    if against:
        parts["open_exhibit"] = against
    return WindowReading.read({**parts, "exhibits": [exhibit, *([against] if against else [])]})


def shot(name: str, role: str = "lock-window-locked", **fields: Any) -> dict[str, Any]:
    return {**entry(name, role, file=f"photos/{name}.jpg"), "by": "w2", **fields}


def with_windows(*windows: Mapping[str, Any]) -> Profile:
    return Profile.read({**profile().document(), "windows": list(windows)})


def filed(
    *entries: Mapping[str, Any],
    readings: tuple[WindowReading, ...] = (),
    windows: Any = (COLOUR,),
    **fields: Any,
) -> Case:
    items = {each["id"]: photo(each["id"]) for each in entries}
    return case(
        record(exhibits=list(entries)),
        items=items,
        profile=with_windows(*windows),
        windows={each.exhibits[0]: each for each in readings},
        **fields,
    )


def judged(the_case: Case, shows: str = "locked", **changes: Any) -> Finding:
    return ask(asking("present", evidence_from=[f"lock-window-{shows}"], shows=shows, **changes), the_case)


def of_rule(the_case: Case) -> list[Contradiction]:
    return [one for one in contradictions(the_case) if one.rule == "window-against-reading"]


@pytest.mark.parametrize("reads", [None, "locked"])
def test_the_colour_that_is_asked_is_met_by_the_photos(reads: str | None) -> None:
    said = {} if reads is None else {"reads": reads}
    found = judged(
        filed(
            shot("E004", "lock-window-open"),
            shot("E005", frame=FRAME, **said),
            readings=(reading("locked", against="E004"),),
        )
    )

    assert (found.outcome, found.rests_on) == (Outcome.MET, (RestsOn.MEASURED,))
    assert found.exhibits == ("E004", "E005")
    assert found.reason.code == "window-shows-locked"
    assert say(found.reason.code, found.reason.parameters) == (
        "The indicator shows the locked colour at this moment: 97 % of its window."
    )


def test_the_open_colour_is_asked_of_its_own_photo() -> None:
    the_case = filed(shot("E004", "lock-window-open", frame=FRAME), readings=(reading("open", "E004"),))
    found = judged(the_case, "open")

    assert (found.outcome, found.rests_on) == (Outcome.MET, (RestsOn.MEASURED,))
    assert found.reason.code == "window-shows-open"


@pytest.mark.parametrize(
    ("asked", "seen", "reads"),
    [("locked", "open", None), ("locked", "open", "locked"), ("open", "locked", "open")],
)
def test_the_other_colour_is_not_met_whatever_a_person_says(asked: str, seen: str, reads: str | None) -> None:
    said = {} if reads is None else {"reads": reads}
    the_case = filed(shot("E005", f"lock-window-{asked}", frame=FRAME, **said), readings=(reading(seen),))
    found = judged(the_case, asked)

    assert (found.outcome, found.rests_on) == (Outcome.NOT_MET, (RestsOn.MEASURED,))
    assert found.reason.code == "window-shows-other"
    assert found.reason.parameters["asked"] == asked
    assert len(of_rule(the_case)) == (reads is not None)


def test_one_photo_of_the_other_colour_outweighs_one_of_the_right_colour() -> None:
    shown = (reading("locked", "E005", "E004"), reading("open", "E006"))
    the_case = filed(shot("E004", "lock-window-open"), shot("E005"), shot("E006"), readings=shown)

    assert judged(the_case).outcome == Outcome.NOT_MET


Known = tuple[tuple[WindowReading, ...], dict[str, Any], tuple[dict[str, Any], ...], str]
CAUSES: list[Known] = [
    ((reading("undecided"),), {"frame": FRAME}, (COLOUR,), "window-between"),
    ((reading("undecided", why="colours-too-close"),), {"frame": FRAME}, (COLOUR,), "colours-too-close"),
    ((reading("undecided", why="neutral-missing"),), {"frame": FRAME}, (COLOUR,), "neutral-missing"),
    ((), {}, (COLOUR,), "window-frame-missing"),
    ((), {"frame": FRAME}, (COLOUR,), "window-unread"),
    ((), {"frame": FRAME}, (COLOUR, {**COLOUR, "id": "x"}), "window-several"),
    ((), {"frame": FRAME}, (), "window-not-in-profile"),
    ((), {}, ({"id": "w", "shows": "pin", "page": "1"},), "window-pin"),
    ((), {}, ({"id": "w", "shows": "lever", "page": "1"},), "window-lever"),
    ((), {}, ({"id": "w", "shows": "lamp", "page": "1"},), "window-lamp"),
]


@pytest.mark.parametrize("known", CAUSES, ids=[each[-1] for each in CAUSES])
@pytest.mark.parametrize(
    ("reads", "outcome", "code"),
    [
        ("locked", Outcome.MET, "window-read-by-person"),
        ("open", Outcome.NOT_MET, "window-read-as-other"),
        (None, Outcome.NOT_SHOWN, "window-not-read"),
    ],
)
def test_where_the_photo_decides_nothing_a_person_does(
    known: Known, reads: str | None, outcome: Outcome, code: str
) -> None:
    readings, fields, windows, cause = known
    said = {} if reads is None else {"reads": reads}
    the_case = filed(shot("E005", **fields, **said), readings=readings, windows=windows)
    found = judged(the_case)

    assert (found.outcome, found.reason.code) == (outcome, code)
    assert found.reason.parameters["cause"] == cause
    assert found.rests_on == (() if reads is None else (RestsOn.RECORDED,))
    assert found.exhibits == ("E005",)
    assert cause not in say(code, found.reason.parameters)  # words, and not a code
    assert of_rule(the_case) == []


def test_an_open_photo_that_cannot_be_used_bears_nothing_out() -> None:
    """The reading stands in the manifest; it rests on a photo that was changed since it was taken in."""
    the_case = filed(
        shot("E004", "lock-window-open"),
        shot("E005", frame=FRAME),
        readings=(reading("locked", against="E004"),),
        changed=frozenset({"E004"}),
    )
    found = judged(the_case)

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "window-not-read")
    assert found.reason.parameters["cause"] == "window-open-photo-missing"


def test_fewer_readings_than_are_asked() -> None:
    the_case = filed(
        shot("E004", "lock-window-open"),
        shot("E005", frame=FRAME),
        shot("E006"),
        readings=(reading("locked", against="E004"),),
    )
    found = judged(the_case, at_least="2")

    assert (found.outcome, found.reason.code) == (Outcome.NOT_SHOWN, "window-not-read")
    assert found.reason.parameters["cause"] == "window-photos-few"


def test_without_a_photo_it_is_missing_and_not_read() -> None:
    assert judged(filed()).reason.code == "missing-lock-window-locked"


def test_without_shows_a_photo_that_is_there_is_enough() -> None:
    the_case = filed(shot("E005", frame=FRAME), readings=(reading("open"),))
    found = ask(asking("present", evidence_from=["lock-window-locked"]), the_case)

    assert (found.outcome, found.reason.code) == (Outcome.MET, "evidence-there")


@pytest.mark.parametrize(
    ("reads", "seen", "fires"),
    [
        ("locked", "open", True),
        ("open", "locked", True),
        ("locked", "locked", False),
        ("open", "open", False),
        ("locked", "undecided", False),
        (None, "open", False),
    ],
)
def test_a_person_against_the_photo(reads: str | None, seen: str, *, fires: bool) -> None:
    said = {} if reads is None else {"reads": reads}
    found = of_rule(filed(shot("E005", frame=FRAME, **said), readings=(reading(seen),)))

    assert bool(found) == fires
    if fires:
        assert found[0].open
        assert [(each.where, each.value) for each in found[0].between] == [
            ("E005.reads", reads),
            ("E005.measured", seen),
        ]
        assert found[0].reason.parameters == {
            "exhibit": "E005",
            "found": seen,
            "person": "w2",
            "recorded": reads,
        }


def test_a_photo_that_cannot_be_used_contradicts_nobody() -> None:
    the_case = filed(
        shot("E005", frame=FRAME, reads="locked"), readings=(reading("open"),), changed=frozenset({"E005"})
    )

    assert of_rule(the_case) == []


def test_what_was_not_known_on_a_day_shows_nothing() -> None:
    the_case = filed(
        shot("E005", frame=FRAME, reads="locked"), readings=(reading("open"),), known_on=AS_OF.replace(day=1)
    )

    assert judged(the_case).reason.code == "not-yet-known"
    assert of_rule(the_case) == []
