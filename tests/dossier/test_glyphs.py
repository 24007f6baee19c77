"""What a font can print, against an independent reader of the same fonts."""

import io
from importlib.resources import files

import pytest

from evidence.dossier._glyphs import check_names, coverage, printable, printable_text
from evidence.errors import InputError
from evidence.typeset import FONT_FILES

ttlib = pytest.importorskip("fontTools.ttLib", reason="the independent font reader is not installed")


def _font(name: str) -> bytes:
    return (files("font_source_sans_pro") / "files" / name).read_bytes()


@pytest.mark.parametrize("name", FONT_FILES)
def test_coverage_equals_that_of_another_reader(name: str) -> None:
    # computed independently with fontTools
    known = ttlib.TTFont(io.BytesIO(_font(name)))
    assert coverage(_font(name)) == set(known.getBestCmap())


def test_both_table_formats_agree_with_another_reader() -> None:
    # computed independently with fontTools: the format 4 table alone, then a font that has no other
    name = "SourceSansPro-It.ttf"
    known = ttlib.TTFont(io.BytesIO(_font(name)))
    assert {table.format for table in known["cmap"].tables if table.isUnicode()} == {4}
    assert coverage(_font(name)) == set(known.getBestCmap())


def test_a_font_without_a_character_map_is_refused() -> None:
    with pytest.raises(ValueError, match="no table cmap"):
        coverage(b"\0\1\0\0" + b"\0" * 8)


COVERED = frozenset(map(ord, "abcdefghijklmnopqrstuvwxyz \u00ad\u00e9"))


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("plain", "plain"),
        ("a\u202eb\u200bc\ufeff", "abc"),
        ("soft\u00adhyphen", "softhyphen"),
        ("bell\x07 tab\tend", "bell tab end"),
        ("e\u0301", "\u00e9"),
        ("smile \U0001f600", "smile \ufffd"),
        ("lone \ud800 half", "lone \ufffd half"),
        ("two\r\nlines\n", "two\nlines\n"),
        ("private \ue000", "private \ufffd"),
    ],
)
def test_text_is_made_printable(given: str, printed: str) -> None:
    assert printable_text(given, COVERED) == printed


def test_all_texts_of_a_document_are_made_printable_and_keys_stay() -> None:
    given = {"a\u200b": ["\u200bx", {"y": "\U0001f600"}], "n": 1, "none": None, "yes": True}
    assert printable(given, COVERED) == {"a\u200b": ["x", {"y": "\ufffd"}], "n": 1, "none": None, "yes": True}


def test_a_name_that_loses_letters_is_a_problem_with_its_characters() -> None:
    check_names([{"id": "w1", "text": "abe\u0301"}], COVERED)
    with pytest.raises(InputError) as caught:
        check_names([{"id": "w1", "text": "abc"}, {"id": "w2", "text": "a\u4e00\u202e"}], COVERED)
    assert [dict(problem.parameters) for problem in caught.value.problems] == [
        {"person": "w2", "found": "U+202E, U+4E00"}
    ]
