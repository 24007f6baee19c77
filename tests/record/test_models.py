"""Codes that only sealed documents or other models can raise, and the fallback for a fault nobody foresaw."""

import re
from pathlib import Path
from typing import Annotated, Any

import pytest
from pydantic import AfterValidator, TypeAdapter, ValidationError

from evidence.errors import InputError
from evidence.jsondoc import decode_canonical
from evidence.model import exhibit, person, seal, verdict
from evidence.model._base import Model
from evidence.model._text import Count
from evidence.model.pages import PageNumbers
from evidence.phrases.record_en import RECORD
from evidence.record.reader import read_model

TESTS = Path(__file__).resolve().parents[1]
PERSON = {"format": "sillmark-person/0", "id": "w1", "salt": "0" * 32}
FAULTS: list[tuple[str, Any, Any]] = [
    ("text-expected", Count, ["1"]),
    ("text-not-ascii", seal.Tool, "sillmark é"),
    ("instant-malformed", seal.Instant, "2026-03-04 10:40"),
    ("instant-malformed", seal.Instant, "2026-02-30T10:40+01:00"),
    ("date-unreadable", seal.CalendarDay, "2026-02-30"),
    ("time-malformed", exhibit.Taken, "2026:03:04"),
    ("offset-malformed", exhibit.Offset, "+1"),
    ("decimal-malformed", exhibit.Decimal, "1,5"),
    ("salt-malformed", person.Salt, "0" * 31),
    ("likeness-malformed", exhibit.Likeness, "0" * 63),
    ("pages-malformed", PageNumbers, "3 1-2"),
    ("language-malformed", person._Language, "english"),
    ("verdict-code", verdict._Code, "lower"),
]


def _code(error: ValidationError) -> tuple[str, dict[str, str]]:
    (fault,) = error.errors()
    context = fault["ctx"]
    return context["code"], context["parameters"]


@pytest.mark.parametrize(("code", "field", "value"), FAULTS)
def test_field_refuses_with_a_code_that_has_words(code: str, field: Any, value: Any) -> None:
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(field).validate_python(value)

    found, parameters = _code(caught.value)
    assert found == code
    assert RECORD[code][0].format_map(parameters)


def test_person_who_says_nothing_is_refused() -> None:
    with pytest.raises(ValidationError) as caught:
        person.Person.read(PERSON)

    assert _code(caught.value) == ("person-empty", {"found": "w1"})
    assert person.Person.read({**PERSON, "name": "Fitter One"}).name == "Fitter One"


def test_item_must_hold_the_part_of_its_kind() -> None:
    item = {"id": "E001", "kind": "photo", "media_type": "image/png", "sha256": "0" * 64, "bytes": 7}
    unreadable = {"code": "photo-broken", "parameters": {}}
    with pytest.raises(ValidationError) as caught:
        exhibit.Item.read({**item, "unreadable": unreadable})
    with pytest.raises(ValidationError) as odd:
        exhibit.Item.read(
            {**item, "kind": "unreadable", "unreadable": {**unreadable, "parameters": {"A b": "1"}}}
        )

    assert _code(caught.value) == ("item-part", {"found": "unreadable", "expected": "photo"})
    assert _code(odd.value) == ("parameter-name-malformed", {"found": "A b"})


def test_every_code_with_words_is_raised_by_a_test() -> None:
    words = {
        word
        for path in sorted(TESTS.rglob("*.py"))
        for word in re.findall(r"[\w-]+", path.read_text(encoding="utf-8"))
    }

    assert [code for code in RECORD if code not in words] == []


def test_json_in_another_form_than_the_agreed_one_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        decode_canonical(b'{"b":1, "a":2}', "data/manifest.json")

    assert [(p.code, p.where) for p in caught.value.problems] == [
        ("json-not-canonical", "data/manifest.json")
    ]


def _refused(_: str) -> str:
    raise ValueError("not this one")


class _Odd(Model):
    format: str
    field: Annotated[str, AfterValidator(_refused)] = ""


class _Whole(Model):
    format: str
    inner: _Odd


def test_fault_nobody_foresaw_still_has_its_place_and_words() -> None:
    text = b"format: sillmark-odd/0\ninner:\n  format: x\n  field: seven\n"
    with pytest.raises(InputError) as caught:
        read_model(text, "odd.yaml", _Whole, "sillmark-odd/0")

    (problem,) = caught.value.problems
    assert (problem.code, problem.where, problem.pointer) == (
        "value-not-accepted",
        "odd.yaml:4:10",
        "/inner/field",
    )
    assert problem.parameters == {"rule": "value_error", "found": "seven"}
    assert RECORD[problem.code][0].format_map(dict(problem.parameters))
