"""Items: one reading of any evidence file, and what the bundle stores of it."""

import hashlib
import re

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from evidence import exhibits, jsondoc
from evidence.errors import HostileInputError, InputError
from evidence.exhibits import Answer, reading
from evidence.exhibits._base import Reading
from evidence.model.exhibit import Item
from tests.exhibits.files import exif, jpeg, text_pdf, told

TABLE = b"time [s],force [N]\n0.0,1.5\n0.1,2.5\n"
FILES = {
    "photo": (jpeg(exif=exif({0x0110: "Model"}, {0x920A: 4.25})), "photos/E001.jpg"),
    "document": (text_pdf(), "documents/E002.pdf"),
    "table": (TABLE, "tests/E003.csv"),
}


def read(kind: str) -> Reading:
    data, where = FILES[kind]
    return reading.read(data, where, "E001", reader=exhibits.call)


@pytest.mark.parametrize("kind", sorted(FILES))
def test_item_names_its_bytes(kind: str) -> None:
    """Kind, size and digest are those of the file."""
    data, _ = FILES[kind]
    item = read(kind).item

    assert (kind, len(data), hashlib.sha256(data).hexdigest()) == (item.kind, item.bytes, item.sha256)


@pytest.mark.parametrize("kind", sorted(FILES))
def test_item_survives_its_own_document(kind: str) -> None:
    """Written canonically and read back it is the same, and it holds no float."""
    item = read(kind).item
    data = jsondoc.canonical(item.document())

    assert item == Item.read(jsondoc.decode_canonical(data, "items/E001.json"))


@pytest.mark.parametrize("kind", sorted(FILES))
def test_schema_accepts_what_the_model_writes(kind: str) -> None:
    """The schema and the model agree on good items."""
    validator = Draft202012Validator(Item.model_json_schema())
    Draft202012Validator.check_schema(Item.model_json_schema())

    assert [error.message for error in validator.iter_errors(read(kind).item.document())] == []


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "table"},
        {"photo": None},
        {"camera_serial": "1"},
        {"sha256": "A" * 64},
        {"bytes": "12"},
        {"format": "sillmark-item/1"},
        {"warnings": ["Has Spaces"]},
        {"table": {"columns": [{"name": "t"}], "rows": 1}},
    ],
)
def test_schema_and_model_refuse_the_same(change: dict[str, object]) -> None:
    """A part of another kind, a missing part, an unknown key, a wrong form: both say no."""
    document = read("photo").item.document() | change
    document = {key: value for key, value in document.items() if value is not None}

    with pytest.raises(ValidationError):
        Item.read(document)
    assert not Draft202012Validator(Item.model_json_schema()).is_valid(document)


@pytest.mark.parametrize(
    "field",
    [
        {"focal_length_mm": 4.25},
        {"focal_length_mm": "4,25"},
        {"orientation": 9},
        {"taken": "2026-03-04"},
        {"width": 0},
    ],
)
def test_photo_part_is_strict(field: dict[str, object]) -> None:
    """No float, no decimal comma, nothing out of range."""
    document = read("photo").item.document()
    document["photo"] |= field

    with pytest.raises(ValidationError):
        Item.read(document)


def test_table_keeps_values_out_of_the_item() -> None:
    """The numbers come beside the item, one tuple a column."""
    reading = read("table")

    assert reading.values == (("0.0", "0.1"), ("1.5", "2.5"))
    assert reading.item.document()["table"]["columns"] == [
        {"name": "time", "unit": "s"},
        {"name": "force", "unit": "N"},
    ]
    assert reading.page_texts == ()


def test_document_keeps_its_text_out_of_the_item() -> None:
    """Text of pages is for looking things up; the item has none of it."""
    reading = read("document")

    assert reading.page_texts == ("Certificate 4711",)
    assert b"4711" not in jsondoc.canonical(reading.item.document())


def test_unreadable_file_becomes_an_item_that_says_why() -> None:
    """A refused file can still be listed, with the code and nothing of its content."""
    data = jpeg()[:-40]
    with pytest.raises(InputError) as caught:
        reading.read(data, "photos/E009.jpg", "E009", reader=exhibits.call)

    item = reading.unreadable(data, caught.value, "E009")
    assert (item.kind, item.media_type) == ("unreadable", "image/jpeg")
    assert item.unreadable is not None
    assert item.unreadable.code == "exhibit-truncated"
    assert item == Item.read(item.document())


def test_unreadable_file_of_unknown_kind_is_octets() -> None:
    """A file of no kind that is read has no media type of its own."""
    with pytest.raises(InputError) as caught:
        reading.read(b"", "photos/E009.jpg", "E009", reader=exhibits.call)

    item = reading.unreadable(b"", caught.value, "E009")
    assert (item.media_type, item.bytes) == ("application/octet-stream", 0)


@pytest.mark.parametrize(
    "answer",
    [
        Answer(None),
        Answer({"photo": {"width": 1}, "warnings": []}),
        Answer({"photo": {"width": 1, "height": 1}, "warnings": "x"}),
        Answer({"photo": {"width": 1, "height": 1, "owner": "x"}, "warnings": []}),
        Answer({"photo": {"width": 1, "height": 1}, "warnings": []}, (b"\xff",)),
    ],
)
def test_nonsense_of_a_reader_is_refused(answer: Answer) -> None:
    """A reader taken over by an attack cannot put anything into an item but its own fields."""
    with pytest.raises(HostileInputError) as caught:
        reading.read(jpeg(), "photos/E001.jpg", "E001", reader=lambda _name, _data, _where: answer)

    (problem,) = caught.value.problems
    assert (problem.code, problem.parameters["cause"]) == ("reader-gave-up", "answer")
    assert told(problem)


@pytest.mark.parametrize("value", [None, {"names": "x"}, {"names": ["a", "b"]}, {"pages": "1"}])
def test_nonsense_about_attachments_and_pages_is_refused(value: object) -> None:
    """The two smaller questions are checked the same way."""

    def reader(_name: str, _data: bytes, _where: str) -> Answer:
        return Answer(value)

    with pytest.raises(HostileInputError):
        reading.attachments(b"", "x.pdf", reader=reader)
    with pytest.raises(HostileInputError):
        reading.page_count(b"", "x.pdf", reader=reader)


def test_every_kind_is_one_file_and_one_entry() -> None:
    """Each entry names a reader in a module of its own, and a kind that the model knows."""
    kinds = [kind.name for kind in exhibits.KINDS]

    assert len(kinds) == len(set(kinds))
    for kind in exhibits.KINDS:
        assert re.fullmatch(rf"evidence\.exhibits\.{kind.name}:answer", kind.target)
        assert callable(exhibits.resolve(kind.target))
    media = [media for kind in exhibits.KINDS for media in kind.media_types]
    assert len(media) == len(set(media))
