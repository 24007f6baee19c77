"""A value, count or lot whose time is not known shows nothing yet: it may not have been done."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.judge.builders import ILLEGIBLE, TO_COME, ask, asking, case, cycles, record, screws, value

ASKED: dict[str, tuple[dict[str, Any], Callable[[Any], dict[str, Any]]]] = {
    "value": (asking("within"), lambda at: {"characteristics": [value(at=at)]}),
    "torque": (
        asking("within", quantity="screws.torque", low="20 N\u00b7m", high="30 N\u00b7m"),
        lambda at: {"screws": [screws(at=at)]},
    ),
    "cycles": (asking("counted"), lambda at: {"cycles": [cycles(at=at)]}),
    "screws": (asking("counted", count="screws", at_least="2"), lambda at: {"screws": [screws(at=at)]}),
    "lot": (
        asking("valid_on", subject="screws", what="lot", event="work"),
        lambda at: {"screws": [screws(at=at)]},
    ),
    "applied": (
        asking("valid_on", subject="screws", what="lot", event="release"),
        lambda at: {
            "screws": [screws(locker={**screws()["locker"], "applied": at})],
            "release": {"at": "2026-03-04T16:00", "by": "w2"},
        },
    ),
}


@pytest.mark.parametrize("what", ASKED)
@pytest.mark.parametrize(
    ("at", "outcome", "code"),
    [
        ("2026-03-04T11:00", "met", None),
        (TO_COME, "not shown", "time-open"),
        (ILLEGIBLE, "undecided", "time-illegible"),
    ],
)
def test_without_its_time_an_entry_decides_nothing(
    what: str, at: Any, outcome: str, code: str | None
) -> None:
    criterion, parts = ASKED[what]
    found = ask(criterion, case(record(**parts(at))))

    assert found.outcome == outcome
    assert code in (None, found.reason.code)


def test_of_several_cycles_the_undated_one_is_named() -> None:
    found = ask(asking("counted"), case(record(cycles=[cycles(), cycles("n2", at=TO_COME)])))

    assert (found.outcome, found.reason.parameters["part"]) == ("not shown", "n2")
