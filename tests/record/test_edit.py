"""Edits keep comments and layout, and change exactly one entry."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.model.record import ExhibitEntry
from evidence.record.edit import (
    add_file_name,
    add_file_names,
    change_exhibit,
    file_exhibits,
    fill_slot,
    insert_exhibit,
    next_id,
    remove_entry,
    reopen_slot,
)
from evidence.record.yamltext import read_yaml
from tests.record import support

ENTRY = {"id": "E014", "role": "overview", "subject": "p1", "file": "photos/E014.jpg", "by": "w1"}
LINE = "{id: E014, role: overview, subject: p1, file: photos/E014.jpg, by: w1}"
LAYOUTS = [
    ("a: b\n", f"a: b\nexhibits:\n  - {LINE}\n"),
    ("a: b", f"a: b\nexhibits:\n  - {LINE}\n"),
    ("a: b # c\n# end", f"a: b # c\nexhibits:\n  - {LINE}\n# end"),
    ("a: b\nexhibits: []  # none yet\n", f"a: b\nexhibits:  # none yet\n  - {LINE}\n"),
    (
        "exhibits:\n- id: E001\n  file: x # hi\n\n# tail\n",
        f"exhibits:\n- id: E001\n  file: x # hi\n- {LINE}\n\n# tail\n",
    ),
    ("exhibits:\r\n    - {id: E001} # one\r\n", f"exhibits:\r\n    - {{id: E001}} # one\r\n    - {LINE}\r\n"),
    ("exhibits:\n  - {id: E001}\n...\n", f"exhibits:\n  - {{id: E001}}\n  - {LINE}\n...\n"),
    ("exhibits: [{id: E001}, ]\n", f"exhibits: [{{id: E001}}, {LINE}, ]\n"),
    ("{exhibits: []}", f"{{exhibits: [{LINE}]}}"),
    ("exhibits:", f"exhibits:\n  - {LINE}\n"),
    ("\ufeffa: b\n", f"a: b\nexhibits:\n  - {LINE}\n"),
]


@pytest.mark.parametrize(("before", "after"), LAYOUTS)
def test_exhibit_is_appended_in_the_layout_of_the_file(before: str, after: str) -> None:
    assert insert_exhibit(before, ExhibitEntry.read(ENTRY)) == after


def test_appending_to_the_base_record_changes_that_entry_only() -> None:
    text = support.base("job.yaml")
    edited = insert_exhibit(text, ExhibitEntry.read(ENTRY))

    before, after = support.job(text).record, support.job(edited).record
    assert after.exhibits == (*before.exhibits, ExhibitEntry.read(ENTRY))
    assert after.model_copy(update={"exhibits": ()}) == before.model_copy(update={"exhibits": ()})
    assert [line for line in edited.splitlines() if line not in text.splitlines()] == [f"  - {LINE}"]


def test_open_slot_is_written_with_its_state() -> None:
    slot = ExhibitEntry.read({**ENTRY, "file": {"state": "to come", "from": "w1", "by": "2026-03-20"}})
    edited = insert_exhibit("a: b\n", slot)

    assert "file: {state: to come, from: w1, by: 2026-03-20}" in edited
    assert read_yaml(edited.encode(), "x").data["exhibits"] == [slot.document()]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("exhibits:\n  - {id: E001, file: {state: to come, from: w1}, by: w1} # x\n", "exhibits:\n  - {id: E001, file: photos/E001.jpg, by: w1} # x\n"),
        ("exhibits:\n  - id: E001\n    file: # why\n      state: to come # when\n    by: w1\n", "exhibits:\n  - id: E001\n    file: photos/E001.jpg  # why # when\n    by: w1\n"),
        ("exhibits:\n  - file:\n      state: unknown\n    id: E001\n", "exhibits:\n  - file: photos/E001.jpg\n    id: E001\n"),
    ],
)  # fmt: skip
def test_slot_is_filled_in_place(before: str, after: str) -> None:
    assert fill_slot(before, "E001", "photos/E001.jpg") == after


def test_filling_a_slot_of_the_base_record_changes_that_file_only() -> None:
    text = support.base("job.yaml")
    edited = fill_slot(text, "E013", "documents/E013.pdf")

    before, after = support.job(text).record, support.job(edited).record
    assert after.exhibits[-1].file == "documents/E013.pdf"
    assert after.exhibits[:-1] == before.exhibits[:-1]
    assert after.model_copy(update={"exhibits": ()}) == before.model_copy(update={"exhibits": ()})
    assert "# the certificate is in the post" in edited


@pytest.mark.parametrize(
    ("code", "text", "exhibit"),
    [
        ("slot-unknown", "exhibits:\n  - {id: E001, file: x}\n", "E002"),
        ("slot-unknown", "a: b\n", "E002"),
        ("slot-filled", "exhibits:\n  - {id: E001, file: x}\n", "E001"),
        ("edit-not-possible", "exhibits: [{id: E001, file: {state: # c\n to come}}]\n", "E001"),
        ("yaml-duplicate-key", "a: 1\na: 2\n", "E001"),
    ],
)
def test_slot_that_cannot_be_filled_is_named(code: str, text: str, exhibit: str) -> None:
    problems = support.problems(lambda: fill_slot(text, exhibit, "photos/E001.jpg"))

    assert [problem.code for problem in problems] == [code]


@pytest.mark.parametrize("text", ["- a\n", "exhibits: x\n", "{a: b}", "exhibits: {a: b}\n"])
def test_layout_that_takes_no_entry_is_refused(text: str) -> None:
    problems = support.problems(lambda: insert_exhibit(text, ExhibitEntry.read(ENTRY)))

    assert [problem.code for problem in problems] == ["edit-not-possible"]


def test_next_id_follows_the_highest_in_use() -> None:
    record = support.job().record

    assert next_id(record, "E") == "E014"
    assert next_id(record, "p") == "p2"
    assert next_id(record, "q") == "q1"


@given(name=st.text(min_size=1, max_size=120))
@settings(max_examples=60, deadline=None)
def test_any_file_name_can_be_kept(name: str) -> None:
    text = support.base("people.yaml")
    edited = add_file_name(text, "E010", name)

    people = support.people(edited).people
    assert [entry.id for entry in people.file_names] == ["E003", "E010"]
    assert len(people.file_names[1].name) <= 90
    assert edited.startswith(text)


def test_long_file_name_loses_its_middle() -> None:
    edited = add_file_name(support.base("people.yaml"), "E010", "a" * 100 + "\x07.jpg")
    name = support.people(edited).people.file_names[1].name

    assert name == "a" * 44 + "\u2026" + "a" * 39 + "\ufffd.jpg"


def test_printable_short_file_name_is_kept_to_the_letter() -> None:
    edited = add_file_name(support.base("people.yaml"), "E010", 'Zoë\'s "photo": 1, {2} #3.jpg')

    assert support.people(edited).people.file_names[1].name == 'Zoë\'s "photo": 1, {2} #3.jpg'


@given(
    entries=st.lists(st.sampled_from(["- {id: E001, file: x} # c", "- id: E002\n  file: {state: unknown}", "- [a, b]", "# note", ""]), max_size=5),
    indent=st.sampled_from(["", "  ", "    "]),
    line_end=st.sampled_from(["\n", "\r\n"]),
    final=st.sampled_from(["\n", ""]),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_appending_adds_one_entry_and_no_other_line(
    entries: list[str], indent: str, line_end: str, final: str
) -> None:
    lines = ["a: b # first", "exhibits:", *(indent + line for entry in entries for line in entry.split("\n"))]
    text = line_end.join(lines) + (line_end if final else "")
    before = read_yaml(text.encode(), "x").data

    try:
        edited = insert_exhibit(text, ExhibitEntry.read(ENTRY))
    except InputError as error:
        assert [problem.code for problem in error.problems] == ["edit-not-possible"]  # noqa: PT017
        return

    assert read_yaml(edited.encode(), "x").data == {
        **before,
        "exhibits": [*(before["exhibits"] or []), ENTRY],
    }
    kept = edited.split(line_end)
    kept.remove(next(line for line in kept if LINE in line))
    assert [line for line in kept if line] == [line for line in text.split(line_end) if line]


def exhibit(number: int, **other: str) -> ExhibitEntry:
    name = f"E{number:03d}"
    fields = {"id": name, "role": "overview", "subject": "p1", "file": f"photos/{name}.jpg"}
    return ExhibitEntry.read({**fields, **other})


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            "exhibits:\n  - {id: E001, role: overview, subject: p1, file: {state: to come}} # one\n  - id: E002\n    file: # two\n      state: to come\n# end\n",
            "exhibits:\n  - {id: E001, role: overview, subject: p1, file: photos/E001.jpg} # one\n  - id: E002\n    file: photos/E002.jpg  # two\n  - {id: E003, role: overview, subject: p1, file: photos/E003.jpg}\n  - {id: E004, role: overview, subject: p1, file: photos/E004.jpg}\n# end\n",
        ),
        (
            "exhibits: [{id: E002, file: {state: to come}}, {id: E001, file: {state: to come}}]\n",
            "exhibits: [{id: E002, file: photos/E002.jpg}, {id: E001, file: photos/E001.jpg}, {id: E003, role: overview, subject: p1, file: photos/E003.jpg}, {id: E004, role: overview, subject: p1, file: photos/E004.jpg}]\n",
        ),
    ],
)
def test_slots_and_new_lines_are_written_in_one_go(before: str, after: str) -> None:
    assert file_exhibits(before, [exhibit(number) for number in (1, 2, 3, 4)]) == after


def test_a_slot_that_is_filled_is_not_filled_again() -> None:
    with pytest.raises(InputError) as caught:
        file_exhibits("exhibits:\n  - {id: E001, file: photos/E001.jpg}\n", [exhibit(1)])

    assert [problem.code for problem in caught.value.problems] == ["slot-filled"]


def test_role_and_subject_change_and_nothing_else() -> None:
    before = "exhibits:\n  - {id: E001, role: overview, subject: p1, file: x} # why\n  - id: E002\n    subject: p1 # s\n    role: screws # r\n"

    assert change_exhibit(before, "E001", {"role": "hook-position"}) == before.replace(
        "overview", "hook-position"
    )
    assert change_exhibit(before, "E002", {"subject": "g1", "role": "witness-marks"}) == before.replace(
        "subject: p1 # s\n    role: screws", "subject: g1 # s\n    role: witness-marks"
    )


def test_a_slot_waits_again() -> None:
    before = "exhibits:\n  - {id: E001, file: photos/E001.jpg, by: w1} # x\n  - id: E002\n    file: photos/E002.jpg # y\n"
    after = before.replace("photos/E001.jpg", "{state: to come, from: w1}").replace(
        "photos/E002.jpg", "{state: to come, from: w2}"
    )

    assert reopen_slot(reopen_slot(before, "E001", "w1"), "E002", "w2") == after


@pytest.mark.parametrize(
    ("before", "gone", "after"),
    [
        (
            "exhibits:\n  - {id: E001}\n  - {id: E002} # b\n  # c\n",
            "E001",
            "exhibits:\n  - {id: E002} # b\n  # c\n",
        ),
        (
            "exhibits:\n  - {id: E001} # a\n  - {id: E002} # b\n  # c\n",
            "E002",
            "exhibits:\n  - {id: E001} # a\n  # c\n",
        ),
        (
            "exhibits:\n- id: E001\n  file: x\n- id: E002\n  file: y",
            "E002",
            "exhibits:\n- id: E001\n  file: x\n",
        ),
        ("exhibits:\n  - {id: E001}\n# end\n", "E001", "exhibits: []\n# end\n"),
        ("exhibits: [{id: E001}, {id: E002}]\n", "E001", "exhibits: [{id: E002}]\n"),
        ("exhibits: [{id: E001}, {id: E002}]\n", "E002", "exhibits: [{id: E001}]\n"),
        ("exhibits: [{id: E001}]\n", "E001", "exhibits: []\n"),
        ("exhibits:\r\n  - {id: E001}\r\n  - {id: E002}\r\n", "E001", "exhibits:\r\n  - {id: E002}\r\n"),
    ],
)
def test_an_entry_is_taken_out_with_its_lines(before: str, gone: str, after: str) -> None:
    assert remove_entry(before, "exhibits", gone) == after


def test_an_entry_that_is_not_there_is_told() -> None:
    with pytest.raises(InputError) as caught:
        remove_entry("exhibits: []\n", "exhibits", "E001")

    assert [problem.code for problem in caught.value.problems] == ["slot-unknown"]


def test_a_slot_filled_again_has_the_new_name_of_its_file() -> None:
    before = "file_names:\n  - {id: E001, name: old.jpg}\n  - {id: E002, name: b.jpg}\n"
    after = "file_names:\n  - {id: E002, name: b.jpg}\n  - {id: E001, name: new.jpg}\n  - {id: E003, name: c.jpg}\n"

    assert add_file_names(before, {"E001": "new.jpg", "E003": "c.jpg"}) == after
