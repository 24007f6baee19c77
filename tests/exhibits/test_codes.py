"""Every code of this stage has a sentence and advice, is raised somewhere, and is raised by a test."""

import ast
import re
from pathlib import Path

import pytest

from evidence.phrases.exhibits_en import EXHIBITS, NOTICED, PROBLEMS

ROOT = Path(__file__).parents[2]
SOURCES = [
    *sorted((ROOT / "evidence" / "exhibits").glob("*.py")),
    ROOT / "evidence" / "guard.py",
    ROOT / "evidence" / "picture.py",
]
TESTS = [path for path in sorted((ROOT / "tests").rglob("test_*.py")) if path.name != Path(__file__).name]
CODE = re.compile(r"(?:exhibit|heic|personal|photo|pdf|picture|reader|table|workbook)-[a-z-]+")
XML_NAMES = {"table-cell", "table-column", "table-row"}  # parts of an ODS sheet, no codes


def literals(paths: list[Path]) -> set[str]:
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in paths]
    constants = (node.value for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return {value for value in constants if isinstance(value, str)}


RAISED = {text for text in literals(SOURCES) if CODE.fullmatch(text)} - XML_NAMES


def test_catalogue_and_code_agree() -> None:
    """No code without words, no words without a code."""
    assert set(EXHIBITS) == RAISED
    assert not set(PROBLEMS) & set(NOTICED)


@pytest.mark.parametrize("code", sorted(EXHIBITS))
def test_code_is_raised_by_a_test(code: str) -> None:
    """Some test names the code that it expects."""
    assert code in literals(TESTS)


@pytest.mark.parametrize("code", sorted(EXHIBITS))
def test_words_are_sentences(code: str) -> None:
    """A sentence that says what is wrong, and one that says what to do, without fields in the advice."""
    sentence, advice = EXHIBITS[code]

    assert sentence.endswith(".")
    assert advice.endswith(".")
    assert "{" not in advice
