"""An open contradiction stands beside what it is about, and the outcome there stays as it was judged."""

import json
from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data
from evidence.dossier._disputed import nothing_against
from evidence.dossier._index import Index
from evidence.dossier._words import Teller
from evidence.model.finding import Contradiction
from tests.dossier import builders, work
from tests.dossier.test_build import parts
from tests.dossier.test_vehicle import section, words
from tests.dossier.work import built

WITHIN = {
    "type": "within",
    "quantity": "characteristic.hook-position",
    "low": "118.0 mm",
    "decision": "simple",
}
CLAIMED = {"type": "within", "quantity": "document.displacement", "high": "80 mm", "decision": "simple"}
ROW, ENTRY = "Open contradiction about evidence used here:", "Open contradiction about this:"


def clash(*between: tuple[str, str], exhibits: tuple[str, ...] = (), number: int = 0, **more: Any) -> Data:
    """Two typings that disagree; what the sides are called is what a test is about."""
    return {
        "id": f"typed-twice-differs:v1:{number:08x}",
        "rule": "typed-twice-differs",
        "severity": "contradiction",
        "between": [{"where": where, "value": value} for where, value in between],
        "exhibits": list(exhibits),
        "reason": {
            "code": "typed-twice-differs",
            "parameters": {
                "subject": "v1",
                "place": "v1.value",
                "first": "1 mm",
                "second": "2 mm",
                "by": "w3",
            },
        },
        **more,
    }


TWICE = clash(("v1.value", "120.3 mm"), ("retyped.v1.value", "123.0 mm"))


def hook(outcome: str = "met", **more: Any) -> work.Asked:
    given: dict[str, Any] = {"records": ["i1", "v1"], "exhibits": ["E001"], "rests_on": ["recorded"], **more}
    return work.asked("hook-position", "p1", outcome, WITHIN, **given)


def row(*contradictions: Data, asked: work.Asked | None = None) -> Data:
    data = built(work.source(asked or hook(), contradictions=contradictions))
    (found,) = [part for part in parts(section(data, "matrix")) if "criterion" in part]
    return found


def links(part: Any) -> list[str]:
    return [span["to"] for span in parts(part) if "to" in span]


def test_a_row_names_what_disputes_its_evidence_and_keeps_its_outcome() -> None:
    found = row(TWICE)

    assert ROW in words(found["reason"])
    assert "contradiction-1" in links(found["reason"])
    assert found["outcome"] == row()["outcome"]
    assert "contradiction" not in words(row()["reason"])


@pytest.mark.parametrize(
    "other",
    [
        clash(("v9.value", "1 mm"), ("retyped.v9.value", "2 mm")),
        {**TWICE, "answered_by": "w3"},
        {**TWICE, "severity": "notice"},
        clash(("v1.value", "1 mm"), ("p2.serial", "2"), number=2),
    ],
    ids=("other entry", "answered", "notice", "other place"),
)
def test_what_is_about_something_else_or_settled_is_not_named(other: Data) -> None:
    data = built(work.source(hook(), contradictions=[other], positions=_positions()))
    (found,) = [part for part in parts(section(data, "matrix")) if "criterion" in part]

    assert "contradiction" not in words(found["reason"])


def _positions() -> list[Data]:
    (first,) = [each.document() for each in builders.finished().record.positions]
    return [first, {**first, "id": "p2"}]


def test_several_are_counted_and_all_linked() -> None:
    photo = clash(("E001.taken", "2026-03-19"), ("work", "2026-03-04"), exhibits=("E001",), number=1)
    found = row(TWICE, photo)

    assert "2 open contradictions about evidence used here:" in words(found["reason"])
    assert {"contradiction-1", "contradiction-2"} <= set(links(found["reason"]))


def test_a_disputed_claim_of_a_paper_touches_only_what_reads_that_claim() -> None:
    about: dict[str, Any] = {
        "records": [],
        "documents": ["d1"],
        "exhibits": ["E004"],
        "rests_on": ["document"],
    }
    other, same = (
        row(
            clash((f"d1.{claim}", "1"), ("t1.peak", "2"), exhibits=("E004",)),
            asked=work.asked("moved", "p1", "met", CLAIMED, **about),
        )
        for claim in ("velocity-change", "displacement")
    )

    assert ROW not in words(other["reason"])
    assert ROW in words(same["reason"])


def test_the_value_says_so_in_the_installation_record_and_on_the_hook_page() -> None:
    data = built(work.source(hook(), contradictions=[TWICE]))

    for name in ("installation", "hook_position"):
        assert words(section(data, name)).count(ENTRY) == 1
        assert "contradiction-1" in links(section(data, name))


def test_a_photo_s_card_says_so() -> None:
    photo = clash(("E001.taken", "2026-03-19"), ("work", "2026-03-04"), exhibits=("E001",))
    data = built(work.source(hook(), contradictions=[photo]))
    (card,) = [part for part in parts(section(data, "photos")) if part.get("picture") == "E001"]

    assert [entry for entry in card["rows"] if entry["label"] == "Disputed" and ENTRY in words(entry)]
    assert ENTRY in words(section(data, "hook_position"))


def test_the_headings_of_the_open_points_add_up() -> None:
    data = built(
        work.source(
            hook("not met"),
            contradictions=[TWICE, {**TWICE, "answered_by": "w3", "id": "typed-twice-differs:v1:00000009"}],
        )
    )
    headings = [block["text"] for block in section(data, "open")["blocks"] if block["kind"] == "heading"]

    assert [each for each in headings if "point" in each] == [
        "To be closed by: fitter (1 point)",
        "Contradictions, for the paperwork desk to clear up (1 point)",
    ]


def test_a_release_in_spite_of_open_points_says_so() -> None:
    one, two = (work.source(hook(outcome), contradictions=[TWICE]) for outcome in ("met", "not met"))

    assert "although 1 point is open" in words(section(built(one), "front"))
    assert "although 2 points are open" in words(section(built(two), "front"))
    assert "although" not in words(section(built(builders.finished()), "front"))


def test_answered_contradictions_alone_are_nobody_s_to_clear_up() -> None:
    data = built(work.source(hook("not met"), contradictions=[{**TWICE, "answered_by": "w3"}]))
    headings = [block["text"] for block in section(data, "open")["blocks"] if block["kind"] == "heading"]

    assert "Contradictions" in headings


def test_a_log_says_that_nothing_speaks_against_it_only_where_nothing_does() -> None:
    quiet, named = (_Named(contradictions) for contradictions in ((), (("E006", "g1"),)))

    assert "no contradiction" in quiet.told("E006")
    assert named.told("E006") == ""
    assert "no contradiction" in named.told("E007")


class _Named:
    """An index that holds contradictions about these entries."""

    def __init__(self, entries: tuple[tuple[str, ...], ...]) -> None:
        source = builders.open_()
        self._tell = Teller(source, builders.say)
        between = [
            Contradiction.model_validate_json(
                json.dumps(clash((f"{first}.rows", "1"), (f"{second}.torques", "2")))
            )
            for first, second in entries
        ]
        self._index = replace(Index.of(source), contradictions=tuple(between))

    def told(self, exhibit: str) -> str:
        """What stands beside a log."""
        return "".join(span["t"] for span in nothing_against((exhibit,), self._index, self._tell))
