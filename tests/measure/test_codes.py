"""Every code of measuring has a sentence and what to do next, and those of the lock window are named by a test."""

import ast
from pathlib import Path
from string import Formatter
from typing import get_args

import pytest

from evidence.measure import window
from evidence.phrases import hint, say
from evidence.phrases.en import HINTS, SENTENCES
from evidence.phrases.measure_en import MEASURE, MEASURE_WORDS

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "evidence" / "measure").glob("*.py"))
OF_WINDOWS = ("window.py", "_cells.py")
TESTS = [path for path in sorted((ROOT / "tests").rglob("test_*.py")) if path.name != Path(__file__).name]


def given(path: Path) -> dict[str, set[str]]:
    """Each literal code that is refused or noticed, with the parameters that go with it as keywords or keys."""
    found: dict[str, set[str]] = {}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args):
            continue
        first = node.args[0]
        if node.func.id not in {"refuse", "Noticed", "Unmeasurable"} or not isinstance(first, ast.Constant):
            continue
        keys = {keyword.arg for keyword in node.keywords if keyword.arg}
        for extra in node.args[1:]:
            if isinstance(extra, ast.Dict):
                keys |= {str(key.value) for key in extra.keys if isinstance(key, ast.Constant)}
        found[str(first.value)] = found.get(str(first.value), set()) | keys
    return found


ALL = {code: keys for path in SOURCES for code, keys in given(path).items()}
WINDOWS = {code: keys for path in SOURCES if path.name in OF_WINDOWS for code, keys in given(path).items()}


def test_catalogue_and_code_agree() -> None:
    """No code of the window without words, no words without a code."""
    assert set(MEASURE) == set(WINDOWS)
    assert len(WINDOWS) > 15


@pytest.mark.parametrize("code", sorted(ALL))
def test_every_code_has_a_sentence_and_what_to_do(code: str) -> None:
    assert SENTENCES[code].endswith(".")
    assert SENTENCES[code][0] in "{ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    assert HINTS[code].endswith(".")
    assert HINTS[code][0].isupper()
    assert "{" not in HINTS[code]


@pytest.mark.parametrize("code", sorted(WINDOWS))
def test_sentences_use_what_is_given(code: str) -> None:
    """Fields of the sentence are given where the code is raised; shares in per cent come as one dictionary."""
    shares = {"locked", "open", "unknown"} if code in {"window-between", "window-unclear"} else set()
    fields = {name for _, name, _, _ in Formatter().parse(SENTENCES[code]) if name}

    assert fields <= WINDOWS[code] | shares


@pytest.mark.parametrize("code", sorted(MEASURE))
def test_code_is_named_by_a_test(code: str) -> None:
    assert any(f'"{code}"' in path.read_text(encoding="utf-8") for path in TESTS)


def test_a_colour_is_never_called_a_lock() -> None:
    """What is printed speaks of the indicator, its colour and the moment."""
    for state in ("locked", "open"):
        text = say(f"window-{state}", {"locked": "97", "open": "97"})
        assert text == f"The indicator shows the {state} colour at this moment (97 % of its window)."
    assert set(MEASURE_WORDS) == {"window-locked", "window-open", "window-undecided"}
    assert hint("window-between") is not None


def test_the_sentence_of_each_state_exists() -> None:
    assert {f"window-{state}" for state in get_args(window.State)} == set(MEASURE_WORDS)
