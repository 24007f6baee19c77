"""``inside`` for a plain table beside the channels of tests: those share its role and show nothing of it."""

from typing import Any

from evidence.judge import Case
from evidence.model.exhibit import Item
from evidence.model.names import Outcome
from tests.judge.builders import ask, case, entry, record, table
from tests.judge.test_inside import INSIDE, corridor

COLUMNS = tuple(x for x, _ in INSIDE), tuple(y for _, y in INSIDE)
OUTSIDE = COLUMNS[0], tuple("99" for _ in INSIDE)
CHANNEL = {
    "name": "S0SLED000000ACX0",
    "samples": 1,
    "interval_s": "1",
    "start_s": "0",
    "recorded": "unfiltered",
}


def channels(name: str) -> Item:
    return Item.read(
        {
            "id": name,
            "kind": "channels",
            "media_type": "application/zip",
            "sha256": "0" * 64,
            "bytes": 1,
            "channels": {"channels": [CHANNEL]},
        }
    )


def a_test(exhibit: str) -> dict[str, Any]:
    used = {"use": "force", "name": "force"}
    what = {"kind": "static-pull", "subject": "p1", "direction": "frontal", "channels": [used]}
    return {"id": f"t-{exhibit}", "exhibit": exhibit, **what}


def judged(items: dict[str, Item], tested: list[str], **tables: Any) -> Case:
    entries = [entry(name, "test-channel", file=f"tests/{name}.csv") for name in items]
    return case(record(exhibits=entries, tests=[a_test(name) for name in tested]), items=items, tables=tables)


def test_a_set_of_channels_is_no_bad_table() -> None:
    items = {"E1": table("E1", time="ms", a="g"), "E2": channels("E2")}

    assert ask(corridor(), judged(items, [], E1=COLUMNS)).outcome == Outcome.MET
    alone = ask(corridor(), judged({"E2": channels("E2")}, ["E2"]))
    assert (alone.outcome, alone.reason.code) == (Outcome.NOT_SHOWN, "missing-test-channel")


def test_a_table_of_a_test_without_the_columns_is_another_matter() -> None:
    items = {"E1": table("E1", time="ms", a="g"), "E2": table("E2", time="s", force="N")}

    assert ask(corridor(), judged(items, ["E2"], E1=COLUMNS, E2=COLUMNS)).outcome == Outcome.MET
    assert ask(corridor(), judged(items, [], E1=COLUMNS, E2=COLUMNS)).outcome == Outcome.UNDECIDED


def test_nobody_takes_a_bad_table_out_of_sight_by_calling_it_a_test() -> None:
    items = {"E1": table("E1", time="ms", a="g"), "E2": table("E2", time="ms", a="g")}

    assert ask(corridor(), judged(items, ["E2"], E1=COLUMNS, E2=OUTSIDE)).outcome == Outcome.NOT_MET
