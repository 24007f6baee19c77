"""Strict JSON at the door, canonical JSON (RFC 8785) at the exit.

What is decoded here has no duplicate keys, no floats, no integers beyond +-(2^53-1), no lone surrogates and no
deeper nesting than ``MAX_DEPTH``. What is encoded here has one byte sequence per value.
"""

import hashlib
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from itertools import accumulate
from typing import Any, NoReturn

from evidence.errors import InputError, Problem

MAX_BYTES = 16 * 1024 * 1024  # bytes of one JSON document
MAX_DEPTH = 64  # nested arrays and objects
MAX_INTEGER = 2**53 - 1
MAX_DIGITS = 17  # characters of an integer, sign included

Json = Any  # a decoded document: None, bool, int, str, list or dict all the way down

# the closing quote is optional so that text which never ends is passed over once, not again from each inner quote
_STRING = re.compile(rb'"(?:[^"\\]|\\.)*+"?+', re.DOTALL)
# an escaped backslash and a whole pair are passed over; half a pair is what remains
_SURROGATES = re.compile(
    rb"\\\\|\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}|(\\u[dD][89a-fA-F][0-9a-fA-F]{2})"
)
_NO_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_ONE_KIND = bytes.maketrans(b"{}", b"[]")
_STEP = {ord("["): 1, ord("]"): -1}
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))


def decode(data: bytes, where: str, cap: int = MAX_BYTES) -> Json:
    """Decode one JSON document, or say what is wrong with it.

    Args:
        data: the bytes as stored.
        where: name for messages.
        cap: largest size accepted, in bytes.

    Raises:
        InputError: with code json-too-large, json-too-deep, json-malformed, json-duplicate-key or
            json-number-not-allowed.
    """
    if len(data) > cap:
        _refuse("json-too-large", where, found=str(len(data)), limit=str(cap))
    _check_depth(data, where)
    try:
        text = data.decode("utf-8")
        value = json.loads(
            text,
            object_pairs_hook=lambda pairs: _object(pairs, where),
            parse_float=lambda literal: _refuse("json-number-not-allowed", where, found=literal[:40]),
            parse_constant=lambda literal: _refuse("json-number-not-allowed", where, found=literal),
            parse_int=lambda literal: _integer(literal, where),
        )
        if b"\\u" in data:  # only an escape can bring in a lone surrogate, and that cannot be encoded
            json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeDecodeError as error:
        _refuse("json-malformed", where, found=error.reason, **_place(data, error.start))
    except UnicodeEncodeError as error:
        lone = next(match.start(1) for match in _SURROGATES.finditer(data) if match[1])
        _refuse("json-malformed", where, found=error.reason, **_place(data, lone))
    except json.JSONDecodeError as error:
        _refuse("json-malformed", where, found=error.msg, line=str(error.lineno), column=str(error.colno))
    return value


def decode_canonical(data: bytes, where: str, cap: int = MAX_BYTES) -> Json:
    """Decode a document that must already be in canonical form (RFC 8785, NFC).

    Raises:
        InputError: as ``decode``, or json-not-canonical.
    """
    value = decode(data, where, cap)
    if not _is_canonical(value, data):
        _refuse("json-not-canonical", where)
    return value


def canonical(value: Json) -> bytes:
    """RFC 8785 bytes of a value, without final newline.

    Raises:
        ValueError: a float, an integer beyond +-(2^53-1), a key that is not ASCII, or text that is not NFC: the
            program built a document that no reader would accept.
    """
    _assert_encodable(value)
    return _encoded(value)


def digest(data: bytes) -> str:
    """SHA-256 as 64 lower-case hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def check_schema(document: Json, schema: Mapping[str, Any], where: str) -> tuple[Problem, ...]:
    """Every place where a document departs from a JSON Schema (2020-12), sorted.

    Returns:
        Problems with code schema-mismatch and a JSON pointer each; empty when the document conforms.
    """
    from jsonschema import Draft202012Validator  # noqa: PLC0415 - 60 ms that most commands never need

    errors = Draft202012Validator(schema).iter_errors(document)
    problems = [
        Problem(
            "schema-mismatch",
            where,
            pointer(tuple(error.absolute_path)),
            {"rule": str(error.validator), "found": _shown(error.instance)},
        )
        for error in errors
    ]
    return tuple(sorted(problems, key=Problem.order))


def pointer(path: tuple[str | int, ...]) -> str:
    """JSON pointer (RFC 6901) of a path of keys and indices."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in path)


def _shown(value: Json) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, sort_keys=True)
    return text[:60]


def _place(data: bytes, at: int) -> dict[str, str]:
    """Line and column of a byte, counted from 1; a column is a byte."""
    return {"line": str(data.count(b"\n", 0, at) + 1), "column": str(at - data.rfind(b"\n", 0, at))}


def _refuse(code: str, where: str, **parameters: str) -> NoReturn:
    raise InputError((Problem(code, where, "", parameters),))


def _check_depth(data: bytes, where: str) -> None:
    brackets = _STRING.sub(b"", data).translate(_ONE_KIND, _NO_BRACKETS)
    left, levels = brackets, 0
    while b"[]" in left and levels < MAX_DEPTH:  # each round takes the innermost level of every branch away
        left, levels = left.replace(b"[]", b""), levels + 1
    # what is left over is too deep or not balanced, and only then is it counted bracket by bracket
    if left and max(accumulate(map(_STEP.__getitem__, brackets)), default=0) > MAX_DEPTH:
        _refuse("json-too-deep", where, limit=str(MAX_DEPTH))


def _object(pairs: list[tuple[str, Json]], where: str) -> dict[str, Json]:
    result = dict(pairs)
    if len(result) != len(pairs):
        _refuse("json-duplicate-key", where, found=_twice(key for key, _ in pairs)[:60])
    return result


def _twice(keys: Iterable[str]) -> str:
    """The first key that was there before."""
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            return key
        seen.add(key)
    return ""


def _integer(literal: str, where: str) -> int:
    if len(literal) > MAX_DIGITS or abs(int(literal)) > MAX_INTEGER:
        _refuse("json-number-not-allowed", where, found=literal[:40])
    return int(literal)


def _is_canonical(value: Json, data: bytes) -> bool:
    try:
        # pure ASCII has no other normal form, and decoding let no wrong number in: nothing is left to assert
        return (_encoded(value) if data.isascii() else canonical(value)) == data
    except ValueError:
        return False


def _encoded(value: Json) -> bytes:
    # with ASCII keys and neither floats nor large integers the standard encoder writes RFC 8785's form, twelve times
    # as fast as a library for the general case; a test holds it against that library
    return _ENCODER.encode(value).encode("utf-8")


def _assert_encodable(value: Json) -> None:
    if isinstance(value, dict):
        for key, item in value.items():
            if not key.isascii():
                raise ValueError(f"key is not ASCII: {key!r}")
            _assert_encodable(item)
    elif isinstance(value, list | tuple):
        for item in value:
            _assert_encodable(item)
    elif isinstance(value, str):
        if not unicodedata.is_normalized("NFC", value):
            raise ValueError(f"text is not NFC: {value!r}")
    elif isinstance(value, float) or (isinstance(value, int) and abs(value) > MAX_INTEGER):
        raise ValueError(f"number not allowed: {value!r}")
