"""What the YAML parser stumbled over, as our codes: its own words are those of the language's grammar."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from ruamel.yaml.error import MarkedYAMLError, YAMLError

FALLING_THROUGH = (
    YAMLError,
    ValueError,
    ArithmeticError,
    LookupError,
    AssertionError,
    TypeError,
    AttributeError,
)
"""What the scanner raises at some malformed escapes and directives in place of an error with a mark."""
MAX_SHOWN = 60  # characters of found text in a message
# the parser's words for the commonest slips, to our code
_SAID = (
    ("expected <block end>", "yaml-indented"),
    ("could not find expected ':'", "yaml-colon-missing"),
    ("expected ',' or", "yaml-bracket-open"),
    ("mapping values are not allowed", "yaml-colon-inside"),
    ("end of stream while scanning a quoted scalar", "yaml-quote-open"),
    ("that cannot start any token", "yaml-sign-first"),
    ("expected the node content, but found", "yaml-sign-first"),
    ("keys are not allowed here", "yaml-sign-first"),
    ("entries are not allowed here", "yaml-sign-first"),
    ("expected chomping or indentation", "yaml-sign-first"),
    ("expected a comment or a line break", "yaml-sign-first"),
    ("expected alphabetic or numeric", "yaml-sign-first"),
)
_SIGNS = "@`%?-}],|>&*"  # what a value without quotation marks cannot begin with
_FIRST_LINE_SET_IN = re.compile(r"(?:[ ]*(?:#[^\n]*)?\r?\n)*([ ]+)[^ #\r\n]")


@dataclass(frozen=True)
class Slip:
    """A problem of the text: its code, line and column counted from 1, and the parameters of its sentence."""

    code: str
    line: int
    column: int
    parameters: Mapping[str, str]


def slip_of(error: MarkedYAMLError, text: str) -> Slip:
    """The slip behind an error of the parser; one that is not known is told in the parser's words.

    Args:
        error: what parsing raised.
        text: the whole text.
    """
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    if mark and text[mark.index : mark.index + 1] == "\t":
        return Slip("yaml-tab", line, column, {})
    said = " ".join((error.problem or error.context or "").split())
    begun = error.context_mark
    code = next((code for words, code in _SAID if words in f"{said} {error.context or ''}"), "")
    if mark and code == "yaml-indented" and _is_behind(text, mark.index):
        return Slip("yaml-behind-quote", line, column, {})
    if mark and code == "yaml-sign-first":
        return _sign(text, mark.index, line, column, said)
    if said.startswith("expected '<document start>'") and (set_in := _FIRST_LINE_SET_IN.match(text)):
        first_line = text.count("\n", 0, set_in.start(1)) + 1
        return Slip("yaml-indented", line, column, {"first": f"{first_line}:{len(set_in[1]) + 1}"})
    if not code:
        return Slip("yaml-malformed", line, column, {"found": said[:MAX_SHOWN]})
    first = (begun.line + 1, begun.column + 1) if begun else (line, column)
    if code == "yaml-colon-missing":
        line, column = first  # where the text begins that lacks it
    return Slip(code, line, column, {"first": f"{first[0]}:{first[1]}"})


def _is_behind(text: str, index: int) -> bool:
    """Whether a closed quotation mark stands in front of a place, on the same line."""
    return text[text.rfind("\n", 0, index) + 1 : index].rstrip(" ").endswith(("'", '"'))


def _sign(text: str, index: int, line: int, column: int, said: str) -> Slip:
    """A value that begins with a sign of the language; the parser may have stopped one character behind it."""
    begun = text.rfind("\n", 0, index) + 1
    for at in range(index, max(begun, index - 2) - 1, -1):
        if text[at : at + 1] and text[at] in _SIGNS:
            return Slip("yaml-sign-first", line, column - (index - at), {"found": text[at]})
    return Slip("yaml-malformed", line, column, {"found": said[:MAX_SHOWN]})
