"""What the YAML parser stumbled over, as our codes: its own words are those of the language's grammar."""

from collections.abc import Mapping
from dataclasses import dataclass

from ruamel.yaml.error import MarkedYAMLError

MAX_SHOWN = 60  # characters of found text in a message
# the parser's words for the commonest slips, to our code
_SAID = (
    ("expected <block end>", "yaml-indented"),
    ("could not find expected ':'", "yaml-colon-missing"),
    ("expected ',' or", "yaml-bracket-open"),
    ("mapping values are not allowed", "yaml-colon-inside"),
    ("end of stream while scanning a quoted scalar", "yaml-quote-open"),
)


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
    if not code:
        return Slip("yaml-malformed", line, column, {"found": said[:MAX_SHOWN]})
    first = (begun.line + 1, begun.column + 1) if begun else (line, column)
    if code == "yaml-colon-missing":
        line, column = first  # where the text begins that lacks it
    return Slip(code, line, column, {"first": f"{first[0]}:{first[1]}"})
