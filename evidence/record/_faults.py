"""What pydantic found wrong, as problems with the exact place in the text."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from evidence.errors import Problem
from evidence.jsondoc import pointer
from evidence.model.criterion import CRITERION_TYPES
from evidence.record._fields import ModelType, keys_of, model_at
from evidence.record._syntax import MAX_SHOWN
from evidence.record.yamltext import Path, YamlText

MAX_PROBLEMS = 500  # problems of one file that are listed; after so many the file is not what it claims to be
MAX_LINE_TEXT = 255  # characters; what may be longer is free text, which can be split but not moved
_KEY_PART = "[key]"
_QUOTED = re.compile(r"'([^']*)'")
_KINDS: dict[type, str] = {dict: "mapping", list: "list", str: "text"}
# an example for each pattern a text field can have: a person copies a form, nobody reads a pattern
_FORMS = {
    "^[a-z]{2}$": "en",
    "^#[0-9a-f]{6}$": "#1f4fd8",
    "^[1-9][0-9]{0,5}$": "1",
    r"^-?[0-9]{1,9}(\.[0-9]{1,9})?$": "-12.5",
}
# what is already said of a place: an empty text stands for the value there, or the text does not print
_HIDING = frozenset(
    {
        "value-empty",
        "yaml-alias",
        "text-control-character",
        "comment-glued",
        "curly-quotes",
        "quantity-cut-by-comma",
    }
)
_NOT_FILLED_IN = "…"  # what `start` writes in lines to copy where a value is to be typed


@dataclass(frozen=True)
class _Fault:
    """One entry of ``ValidationError.errors()`` and where it is in the file.

    Attributes:
        context: pydantic's parameters of the fault.
        path: path in the data.
        in_key: the key is wrong, not its value.
        source: the text with places.
    """

    context: Mapping[str, Any]
    path: Path
    in_key: bool
    source: YamlText

    @property
    def value(self) -> Any:
        """What stands there: the key, or the value."""
        return str(self.path[-1]) if self.in_key else self.source.at(self.path)

    @property
    def limit(self) -> dict[str, str]:
        """How long the value is, and how long it may or must be."""
        bound = self.context.get("max_length", self.context.get("min_length"))
        return {"found": str(len(self.value)), "limit": str(bound)}

    def problem(self, code: str, **parameters: str) -> Problem:
        """A problem at this place."""
        return self.source.problem(code, self.path, key=self.in_key, **parameters)

    def refused(self, rule: str) -> Problem:
        """The value breaks a rule of its model, and nothing better is known."""
        return self.problem("value-not-accepted", rule=rule, found=str(self.value)[:MAX_SHOWN])

    def mismatch(self, expected: str) -> Problem:
        """The value is of another kind than expected."""
        return self.problem("type-mismatch", found=kind_of(self.value), expected=expected)


def problems_of(error: ValidationError, source: YamlText, model: ModelType) -> tuple[Problem, ...]:
    """Every fault of a failed validation, at its place, sorted; what a fault above explains is left out.

    Args:
        error: what validating ``source.data`` against ``model`` raised.
        source: the text with places.
        model: model of the root.
    """
    hidden = tuple(problem.pointer for problem in source.problems if problem.code in _HIDING)
    cut = {problem.where for problem in source.problems if problem.code == "quantity-cut-by-comma"}
    found: dict[tuple[str, str], Problem] = {}
    for entry in error.errors(include_url=False, include_input=False):
        problem = _translate(entry, source, model)
        if problem is None or any(f"{problem.pointer}/".startswith(f"{above}/") for above in hidden):
            continue
        if problem.code == "quantity-unit-missing" and problem.where in cut:
            continue
        place = problem.where, problem.pointer
        found[place] = _joined(found[place], problem) if place in found else problem
    return tuple(sorted(found.values(), key=Problem.order))


def capped(problems: tuple[Problem, ...], name: str) -> tuple[Problem, ...]:
    """At most ``MAX_PROBLEMS`` of them, and one that says how many more there are."""
    if len(problems) <= MAX_PROBLEMS:
        return problems
    more = Problem("problems-not-listed", name, "", {"found": str(len(problems) - MAX_PROBLEMS)})
    return (*problems[:MAX_PROBLEMS], more)


def kind_of(value: Any) -> str:
    """``mapping``, ``list`` or ``text``: what a person sees in the file."""
    return _KINDS[type(value)]


def closest(word: str, words: tuple[str, ...]) -> str | None:
    """The word somebody probably meant, or None."""
    if len(word) > MAX_SHOWN:
        return None
    by_form = {_folded(known): known for known in reversed(words)}
    close = get_close_matches(_folded(word), by_form, n=1, cutoff=0.7)
    return by_form[close[0]] if close else None


def _folded(word: str) -> str:
    return word.lower().replace("_", "-").replace(" ", "-")


def _path(loc: tuple[str | int, ...], data: Any) -> tuple[Path, bool]:
    """Path in the data; names of union branches, which stand in a loc but not in a file, are passed over."""
    path: list[str | int] = []
    for part in loc:
        if part == _KEY_PART:
            return tuple(path), True
        listed = isinstance(data, list) and isinstance(part, int) and part < len(data)
        keyed = isinstance(data, dict) and part in data and not _is_tag(part, data, path)
        if listed or keyed:
            data = data[part]
            path.append(part)
    return tuple(path), False


def _is_tag(part: str | int, data: Mapping[str, Any], path: list[str | int]) -> bool:
    inside_union = bool(path) and (isinstance(path[-1], int) or path[-1] == "criterion")
    return inside_union and part in CRITERION_TYPES and data.get("type") == part


def _joined(known: Problem, other: Problem) -> Problem:
    """Two branches of one union refuse the same word: the words of both are allowed."""
    if not (known.code.startswith("word-") and other.code.startswith("word-")):
        return known
    words = (*known.parameters["expected"].split(", "), *other.parameters["expected"].split(", "))
    return _word(known.parameters["found"], words, known.where, known.pointer)


def _translate(entry: Mapping[str, Any], source: YamlText, model: ModelType) -> Problem | None:
    kind = str(entry["type"])
    path, in_key = _path(entry["loc"], source.data)
    fault = _Fault(entry.get("ctx") or {}, path, in_key, source)
    if kind == "missing":
        return _missing(str(entry["loc"][-1]), fault)
    if kind == "extra_forbidden":
        return _unknown(fault, model)
    translate = _TRANSLATIONS.get(kind)
    if translate is None:
        return fault.refused(kind)
    return translate(fault)


def _missing(field: str, fault: _Fault) -> Problem:
    first = next(iter(fault.value), None)
    source, path = fault.source, fault.path
    where = source.where(path) if first is None else source.where_key((*path, first))
    return Problem("field-missing", where, pointer((*path, field)), {"key": field})


def _unknown(fault: _Fault, model: ModelType) -> Problem:
    source, path = fault.source, fault.path
    holder = model_at(model, path[:-1], source.data)
    allowed = keys_of(holder) if holder is not None else ()
    key = str(path[-1])
    meant = closest(key, tuple(word for word in allowed if word not in source.at(path[:-1])))
    parameters = {"found": key[:MAX_SHOWN], "expected": ", ".join(allowed)}
    if meant is None:
        return source.problem("field-unknown", path, key=True, **parameters)
    return source.problem("field-misspelt", path, key=True, **parameters, meant=meant)


def _ours(fault: _Fault) -> Problem:
    code, parameters = fault.context["code"], dict(fault.context["parameters"])
    path = (*fault.path, *fault.context.get("at", ()))
    while path not in fault.source.values:
        path = path[:-1]
    if code == "text-expected":
        return fault.mismatch("text")
    if code == "quantity-unit-missing" and (whole := _cut_by_comma(fault.source, path)):
        return fault.source.problem("quantity-cut-by-comma", path, found=whole)
    if not fault.in_key and isinstance(typed := fault.source.at(path), str) and _NOT_FILLED_IN in typed:
        return fault.source.problem("placeholder-value", path, found=typed[:MAX_SHOWN])
    return fault.source.problem(code, path, key=fault.in_key, **parameters)


def _cut_by_comma(source: YamlText, path: Path) -> str | None:
    """``24,5 N·m`` where a list in brackets was typed with decimal commas: the comma parted one value into two."""
    if not isinstance(path[-1], int):
        return None
    following = source.values.get((*path[:-1], path[-1] + 1))
    place = source.values[path]
    glued = following is not None and source.text[place.end : following.start] == ","
    if following is None or not glued or not source.text[following.start].isdigit():
        return None
    return source.text[place.start : following.end][:MAX_SHOWN]


def _long(fault: _Fault) -> Problem:
    code = "text-too-long" if fault.context["max_length"] <= MAX_LINE_TEXT else "prose-too-long"
    return fault.problem(code, **fault.limit)


def _word(found: str, allowed: tuple[str, ...], where: str, at: str) -> Problem:
    parameters = {"found": found, "expected": ", ".join(allowed)}
    meant = closest(found, allowed)
    if meant is None:
        return Problem("word-not-allowed", where, at, parameters)
    return Problem("word-misspelt", where, at, {**parameters, "meant": meant})


def _words(fault: _Fault) -> Problem:
    if not isinstance(fault.value, str):
        return fault.mismatch("text")
    place = fault.problem("word-not-allowed")
    allowed = tuple(_QUOTED.findall(fault.context["expected"]))
    return _word(fault.value[:MAX_SHOWN], allowed, place.where, place.pointer)


def _tag(fault: _Fault) -> Problem:
    if "expected_tags" not in fault.context:
        return _missing("type", fault)
    context = {"expected": fault.context["expected_tags"]}
    return _words(_Fault(context, (*fault.path, "type"), in_key=False, source=fault.source))


def _form(fault: _Fault) -> Problem:
    example = _FORMS[fault.context["pattern"]]
    return fault.problem("text-form", found=fault.value[:MAX_SHOWN], example=example)


def _few(fault: _Fault) -> Problem | None:
    if len(fault.value) >= fault.context["min_length"]:
        return None  # its entries failed one by one, and are reported one by one
    return fault.problem("list-too-short", **fault.limit)


_TRANSLATIONS: dict[str, Callable[[_Fault], Problem | None]] = {
    "sillmark": _ours,
    "enum": _words,
    "literal_error": _words,
    "union_tag_invalid": _tag,
    "union_tag_not_found": _tag,
    "model_type": lambda fault: fault.mismatch("mapping"),
    "dict_type": lambda fault: fault.mismatch("mapping"),
    "tuple_type": lambda fault: fault.mismatch("list"),
    "string_type": lambda fault: fault.mismatch("text"),
    # half a character, which the reader of the text has told at its place
    "string_unicode": lambda fault: None if fault.source.problems else fault.refused("string_unicode"),
    "string_too_short": lambda fault: fault.problem("text-empty"),
    "string_too_long": _long,
    "string_pattern_mismatch": _form,
    "too_short": _few,
    "too_long": lambda fault: fault.problem("list-too-long", **fault.limit),
}
