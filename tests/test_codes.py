"""Every code that the program can raise has a sentence, a hint where one helps, and a test that names it."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from string import Formatter

import pytest

from evidence.phrases import en
from evidence.phrases.en import HINTS, SENTENCES
from evidence.phrases.shell_en import SHELL

PACKAGE = Path(__file__).resolve().parents[1] / "evidence"
CODE = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)+")
RAISERS = {"Problem", "one", "refuse", "QuantityError", "problem", "_refuse", "VerdictFinding"}


def raised() -> Iterator[tuple[str, str]]:
    """Code and place of every literal code that is handed to something that raises."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and node.args and _name(node.func) in RAISERS:
                first = node.args[0]
                if (
                    isinstance(first, ast.Constant)
                    and isinstance(first.value, str)
                    and CODE.fullmatch(first.value)
                ):
                    yield first.value, f"{path.relative_to(PACKAGE)}:{node.lineno}"


def _name(called: ast.expr) -> str:
    if isinstance(called, ast.Attribute):
        return called.attr
    return called.id if isinstance(called, ast.Name) else ""


RAISED = sorted(set(raised()))


def test_there_are_many_codes() -> None:
    assert len({code for code, _ in RAISED}) > 60


@pytest.mark.parametrize(("code", "place"), RAISED)
def test_every_raised_code_has_a_sentence(code: str, place: str) -> None:
    assert code in SENTENCES, place


def test_no_two_tables_hold_the_same_code() -> None:
    """The later one would hide the earlier, with fields that whoever raises it does not give."""
    held: dict[str, object] = {}
    for table in (*en._WITH_HINTS, *en._PLAIN):
        assert [code for code, text in table.items() if held.setdefault(code, text) != text] == []


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_sentences_name_their_fields(code: str) -> None:
    """A field without a name would take whatever comes first."""
    fields = [name for _, name, _, _ in Formatter().parse(SENTENCES[code]) if name is not None]

    assert [name for name in fields if not re.fullmatch(r"[A-Za-z0-9_]+", name)] == []


@cache
def of_all_tests() -> str:
    """Text of every test but this one."""
    tests = Path(__file__).parent
    return "".join(
        path.read_text(encoding="utf-8") for path in tests.rglob("test_*.py") if path.name != "test_codes.py"
    )


@pytest.mark.parametrize("code", sorted(SHELL))
def test_every_code_of_the_shell_is_named_by_a_test(code: str) -> None:
    assert f'"{code}"' in of_all_tests()


@pytest.mark.parametrize("code", sorted(SHELL))
def test_every_problem_of_the_shell_says_what_to_do(code: str) -> None:
    assert HINTS[code].endswith(".")
