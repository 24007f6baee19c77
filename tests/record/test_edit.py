"""Edits keep comments and layout, and change exactly one entry."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.model.record import ExhibitEntry
from evidence.record.edit import add_file_name, fill_slot, insert_exhibit, next_id
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
