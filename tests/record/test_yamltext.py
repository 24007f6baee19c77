"""YAML as text: nothing is guessed, nothing but InputError comes out."""

import contextlib
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.record.reader import read_job
from evidence.record.yamltext import read_yaml
from tests.record import support

SNIPPETS = st.lists(
    st.sampled_from(
        [
            "a",
            ":",
            " ",
            "\n",
            "  ",
            "- ",
            "[",
            "]",
            "{",
            "}",
            ",",
            "&x",
            "*x",
            "!",
            "!!str ",
            "|",
            ">",
            "'",
            '"',
            "\\",
            "\\ud800",
            "\\x0",
            "\\U00110000",
            "#",
            "%",
            "---",
            "...",
            "? ",
            "\t",
            "\r\n",
            "~",
            "<<",
            "@",
            "`",
            "é",
            "0",
        ]
    ),
    max_size=40,
).map("".join)


@given(
    data=st.one_of(
        SNIPPETS.map(str.encode),
        st.binary(max_size=200),
        st.text(max_size=200).map(lambda t: t.encode("utf-8", "surrogatepass")),
    )
)
@example(b'"\\U00110000"')
@example(b'a: "\\ud800"')
@example(b"%YAML 1.3\n---\na: b")
@example(b"!<a b> c")
@example(b"a: !%zz b")
@settings(max_examples=400, deadline=None)
def test_any_bytes_are_data_or_an_input_error(data: bytes) -> None:
    for read in (read_yaml, read_job):
        with contextlib.suppress(InputError):
            read(data, "job.yaml")


@given(
    data=st.dictionaries(
        st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=8),
        st.recursive(
            st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=12),
            lambda inner: (
                st.lists(inner, max_size=3)
                | st.dictionaries(st.text("abc", min_size=1, max_size=4), inner, max_size=3)
            ),
            max_leaves=8,
        ),
        min_size=1,
        max_size=4,
    )
)
@settings(max_examples=150, deadline=None)
def test_written_data_comes_back_with_its_places(data: dict[str, object]) -> None:
    """Expected text and places: by the tests' own writer; text comes back in composed form (NFC)."""
    normal = _composed(data)
    if len(normal) != len(data):
        return
    written = support.Written(normal)
    source = read_yaml(written.text.encode(), "job.yaml")

    assert source.data == normal
    assert {path: f"{place.line}:{place.column}" for path, place in source.values.items()} == written.values
    assert {path: f"{place.line}:{place.column}" for path, place in source.keys.items()} == written.keys
    assert source.problems == ()


def _composed(data: object) -> dict[str, object]:
    def walk(value: object) -> object:
        if isinstance(value, str):
            return unicodedata.normalize("NFC", value)
        if isinstance(value, list):
            return [walk(item) for item in value]
        assert isinstance(value, dict)
        return {unicodedata.normalize("NFC", key): walk(item) for key, item in value.items()}

    result = walk(data)
    assert isinstance(result, dict)
    return result


def test_every_scalar_is_the_text_that_was_typed() -> None:
    text = "a: 0012\nb: yes\nc: 1e3\nd: ~\ne: 2026-03-04\nf: 0x10\ng: .inf\nh: null\ni: '12'\nj: 12:30\n"

    assert list(read_yaml(text.encode(), "x").data.values()) == [
        "0012", "yes", "1e3", "~", "2026-03-04", "0x10", ".inf", "null", "12", "12:30",
    ]  # fmt: skip


def test_serial_with_leading_zeros_reaches_the_record() -> None:
    assert support.job().record.positions[0].system.serial == "0012"


def test_decomposed_text_is_composed() -> None:
    assert read_yaml("a: Cafe\u0301\n".encode(), "x").data == {"a": "Caf\u00e9"}


def test_carriage_returns_count_as_lines() -> None:
    text = "a: 1\r\nb:\r\n  c: 2\r\n"

    assert read_yaml(text.encode(), "x").where(("b", "c")) == "x:3:6"


def test_place_of_something_absent_is_that_of_what_would_hold_it() -> None:
    source = read_yaml(b"a:\n  b: 1\n", "x")

    assert source.where(("a", "zz", 3)) == "x:2:3"
    assert source.at(("a", "zz", 3)) is None


def test_byte_order_mark_in_front_is_read_past_and_moves_no_place() -> None:
    text = "a: 1\nb: MTH #5\n"
    plain, marked = read_yaml(text.encode(), "x"), read_yaml(text.encode("utf-8-sig"), "x")

    assert marked == plain
    assert (marked.where(("a",)), marked.problems[0].where) == ("x:1:4", "x:2:8")


@pytest.mark.parametrize(
    "text",
    [
        "a: b # c\n",
        "a: b #\tc\n",
        "a: b #\n",
        "a: b ##c\n",
        "a: b\n#c\n",
        "a: b\n  #c\n",
        "a: b#c\n",
        'a: "b" #c\n',
        "a: [b] #c\n",
        "#c\na: b\n",
        "a: 'b #c'\n",
        "a: |\n  b #c\n",
    ],
)
def test_what_is_a_comment_or_part_of_the_value_for_everybody_is_no_problem(text: str) -> None:
    assert read_yaml(text.encode(), "x").problems == ()


def test_comment_that_swallows_a_bracket_is_told_before_what_it_breaks() -> None:
    problems = support.problems(lambda: read_yaml(b"a: {b: MTH #24-118}\nc: d\n", "x"))

    assert [(p.code, p.where) for p in problems] == [
        ("comment-glued", "x:1:12"),
        ("yaml-bracket-open", "x:2:1"),
    ]


def test_curly_quotes_may_stand_inside_straight_ones() -> None:
    source = read_yaml('a: "\u201cB\u201d"\nb: the \u201cB\u201d latch\n'.encode(), "x")

    assert (source.problems, source.data) == (
        (),
        {"a": "\u201cB\u201d", "b": "the \u201cB\u201d latch"},
    )
