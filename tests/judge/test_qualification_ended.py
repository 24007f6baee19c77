"""Work after a qualification that the record names had ended: told, and never counted."""

from typing import Any

import pytest

from evidence.judge.contradictions import contradictions
from evidence.model.finding import Contradiction
from evidence.model.names import Severity
from evidence.phrases import say
from tests.judge.builders import TO_COME, case, record, value


def told(day: Any, *spells: dict[str, str], by: str = "w1") -> list[Contradiction]:
    people = [
        {"id": "w1", "functions": ["fitter"], "qualifications": list(spells)},
        {"id": "w2", "functions": ["supervisor"]},
        {"id": "w3", "functions": ["signatory"]},
    ]
    found = contradictions(case(record(people=people, characteristics=[value(at=day, by=by)])))
    return [one for one in found if one.rule == "qualification-ended"]


def spell(first: str, last: str | None = None, what: str = "heron-2-fitting") -> dict[str, str]:
    return {"what": what, "from": first, **({"until": last} if last else {})}


@pytest.mark.parametrize(
    ("day", "spells", "fires"),
    [
        ("2026-03-04", [spell("2024-03-04", "2026-03-04")], False),  # the last day counts
        ("2026-03-05", [spell("2024-03-04", "2026-03-04")], True),
        ("2026-03-05", [spell("2024-03-04", "2026-03-04"), spell("2026-03-05", "2028-03-05")], False),
        (
            "2026-03-05",
            [spell("2024-03-04", "2026-03-04"), spell("2026-03-06")],
            True,
        ),  # a gap between the two
        ("2026-03-05", [spell("2024-03-04", "2026-03-04"), spell("2024-03-04", what="first-aid")], True),
        ("2026-03-05", [spell("2024-03-04")], False),
        ("2026-03-05", [spell("2026-03-06")], False),  # not begun is for a demand to ask
        (TO_COME, [spell("2024-03-04", "2026-03-04")], False),
        ("2026-03-05", [], False),
    ],
)
def test_work_after_the_last_day(day: Any, spells: list[dict[str, str]], *, fires: bool) -> None:
    found = told(day, *spells)

    assert len(found) == fires
    for one in found:
        assert one.severity == Severity.NOTICE
        words = say(one.reason.code, one.reason.parameters)
        assert words.startswith("w1 worked on 2026-03-05")
        assert "heron 2 fitting" in words
        assert "ended after 2026-03-04." in words


def test_work_of_somebody_else_is_not_told() -> None:
    assert told("2026-03-05", spell("2024-03-04", "2026-03-04"), by="w2") == []
