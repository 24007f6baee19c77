"""Strict JSON at the door, canonical JSON at the exit, digests by the standard."""

import json
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from evidence import jsondoc
from evidence.errors import InputError
from evidence.phrases import say

# published: RFC 8785, JSON Canonicalization Scheme, 2020, section 3.2.2 (input) and 3.2.4 (bytes)
SAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
SAMPLE_BYTES = bytes.fromhex(
    "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a"
    "5b3333333333333333332e333333333333332c31652b33302c342e352c302e3030322c31652d32375d"
    "2c22737472696e67223a22e282ac245c75303030665c6e4127425c225c5c5c5c5c222f227d"
)
# published: RFC 8785, JSON Canonicalization Scheme, 2020, section 3.2.3: names in the order that they must have
SORTED_NAMES = ("\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33")


def test_encoder_gives_the_published_bytes() -> None:
    assert rfc8785.dumps(json.loads(SAMPLE)) == SAMPLE_BYTES


def test_encoder_sorts_as_published() -> None:
    written = rfc8785.dumps(dict.fromkeys(sorted(SORTED_NAMES), 1))
    assert tuple(json.loads(written)) == SORTED_NAMES


def test_our_part_of_the_published_sample() -> None:
    """Source: published as SAMPLE; its numbers are floats, which no document here may hold."""
    value = {key: part for key, part in json.loads(SAMPLE).items() if key != "numbers"}
    before, after = SAMPLE_BYTES.split(b'"numbers":')
    assert jsondoc.canonical(value) == before + after.split(b"],", 1)[1]


@pytest.mark.parametrize(
    ("message", "digest"),
    [
        # published: FIPS 180-2, Secure Hash Standard, 2002, appendix B.1, B.2 and B.3 (examples for FIPS 180-4 too)
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
        (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    ],
    ids=["one block", "two blocks", "long"],
)
def test_published_digests(message: bytes, digest: str) -> None:
    assert jsondoc.digest(message) == digest


def refusal(content: bytes, **caps: int) -> tuple[str, dict[str, str]]:
    with pytest.raises(InputError) as caught:
        jsondoc.decode(content, "doc.json", **caps)
    (problem,) = caught.value.problems
    assert problem.where == "doc.json"
    return problem.code, dict(problem.parameters)


@pytest.mark.parametrize(
    ("content", "code", "found"),
    [
        (b'{"a":1,"a":1}', "json-duplicate-key", "a"),
        (b'[{"x":{"b":1,"b":2}}]', "json-duplicate-key", "b"),
        (rb'{"a":1,"\u0061":2}', "json-duplicate-key", "a"),
        (b"1.0", "json-number-not-allowed", "1.0"),
        (b"[1e3]", "json-number-not-allowed", "1e3"),
        (b"NaN", "json-number-not-allowed", "NaN"),
        (b"[-Infinity]", "json-number-not-allowed", "-Infinity"),
        (b"9007199254740992", "json-number-not-allowed", "9007199254740992"),
        (b"-9007199254740993", "json-number-not-allowed", "-9007199254740993"),
        (b"9" * 5000, "json-number-not-allowed", "9" * 40),
        (b"\xef\xbb\xbf{}", "json-malformed", None),
        (rb'"\ud800"', "json-malformed", None),
        (b'"\xff"', "json-malformed", None),
        (b"\xff\xfe{\x00}\x00", "json-malformed", None),
        (b"", "json-malformed", None),
        (b"{} {}", "json-malformed", None),
        (b"[1,]", "json-malformed", None),
        (b"{'a':1}", "json-malformed", None),
        (b'"a\nb"', "json-malformed", None),
        (b"01", "json-malformed", None),
    ],
)
def test_strictness(content: bytes, code: str, found: str | None) -> None:
    refused, parameters = refusal(content)
    assert refused == code
    if found is not None:
        assert parameters["found"] == found


def test_largest_numbers_pass() -> None:
    assert jsondoc.decode(b"[9007199254740991,-9007199254740991,-0]", "x") == [2**53 - 1, 1 - 2**53, 0]


@pytest.mark.parametrize("content", [b"[" * 200_000, b'{"a":' * 200_000, b"[" * 65 + b"]" * 65])
def test_depth(content: bytes) -> None:
    assert refusal(content) == ("json-too-deep", {"limit": "64"})


def test_depth_allowed_and_brackets_in_text() -> None:
    assert jsondoc.decode(b"[" * 64 + b"]" * 64, "x")
    assert jsondoc.decode(b'["' + b"[" * 1000 + rb"\"[[" + b'"]', "x")


def test_size() -> None:
    assert refusal(b"[1,2]", cap=4) == ("json-too-large", {"found": "5", "limit": "4"})
    assert jsondoc.decode(b"[1,2]", "x", cap=5) == [1, 2]


@pytest.mark.parametrize(
    ("content", "line", "column"),
    [
        (b'{"a": 1,\n "b": x}', "2", "7"),
        (b'{"a": 1,\n "b": "\xff"}', "2", "8"),
        # half a pair behind a backslash that is no escape and behind a whole pair
        (rb'["\\ud800", "\ud83d\ude00\udc00"]', "1", "26"),
    ],
)
def test_place_of_a_fault(content: bytes, line: str, column: str) -> None:
    parameters = refusal(content)[1]

    assert (parameters["line"], parameters["column"]) == (line, column)


def test_a_fault_is_told_in_words_of_ours() -> None:
    told = say("json-malformed", refusal(b"[1,]")[1])

    assert told == "Line 1, column 4 does not follow the rules of JSON, the form that this file must have."


def test_text_that_never_ends_is_one_text() -> None:
    """A depth check that began anew at each quotation mark of such a text would take hours for 16 MiB."""
    assert refusal(b'"' + b"[" * 1000)[0] == "json-malformed"
    assert refusal(b'"' + b'\\"[' * 1000)[0] == "json-malformed"


@pytest.mark.parametrize(
    "content",
    [
        b'{"b":1,"a":2}',
        b"{} ",
        b"[1, 2]",
        rb'"\u0041"',
        b"-0",
        rb'"\/"',
        '"e\u0301"'.encode(),
        '{"é":1}'.encode(),
    ],
)
def test_other_spellings_are_not_canonical(content: bytes) -> None:
    jsondoc.decode(content, "x")
    with pytest.raises(InputError, match="x: json-not-canonical"):
        jsondoc.decode_canonical(content, "x")


@pytest.mark.parametrize("value", [1.5, [2**53], {"é": 1}, "e\u0301", {"a": [{"b": float("nan")}]}])
def test_what_no_reader_accepts_is_not_written(value: Any) -> None:
    with pytest.raises(ValueError, match=r"not ASCII|not NFC|not allowed"):
        jsondoc.canonical(value)


names = st.text(st.characters(max_codepoint=126, min_codepoint=32), max_size=5)
values = st.recursive(
    st.none() | st.booleans() | st.integers(1 - 2**53, 2**53 - 1) | st.text(st.characters(max_codepoint=255)),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=4),
    max_leaves=12,
)


@given(values)
def test_what_is_written_is_read_again(value: Any) -> None:
    written = jsondoc.canonical(value)
    assert jsondoc.decode_canonical(written, "x") == value


@given(values)
def test_what_is_written_is_the_librarys_form(value: Any) -> None:
    """Source: computed independently with rfc8785."""
    assert jsondoc.canonical(value) == rfc8785.dumps(value)


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        value = jsondoc.decode_canonical(content, "x")
    except InputError:
        return
    assert jsondoc.canonical(value) == content


def test_pointer_escapes() -> None:
    """Source: published: RFC 6901, JavaScript Object Notation (JSON) Pointer, 2013, section 5 (a/b and m~n)."""
    assert jsondoc.pointer(("a/b",)) == "/a~1b"
    assert jsondoc.pointer(("m~n", 0)) == "/m~0n/0"
    assert jsondoc.pointer(()) == ""


def test_schema_names_every_place() -> None:
    schema = {
        "type": "object",
        "properties": {"a": {"type": "string"}, "b": {"type": "array", "items": {"type": "integer"}}},
        "required": ["c"],
    }
    problems = jsondoc.check_schema({"a": 1, "b": [1, "x"]}, schema, "doc.json")
    assert [(p.code, p.pointer, p.parameters["rule"]) for p in problems] == [
        ("schema-mismatch", "", "required"),
        ("schema-mismatch", "/a", "type"),
        ("schema-mismatch", "/b/1", "type"),
    ]
    assert jsondoc.check_schema({"c": 1}, schema, "doc.json") == ()
