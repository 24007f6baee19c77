"""Codes and their parameters become words here, and nowhere else; one catalogue per language.

A catalogue gives for each code a text with named fields. What a catalogue lacks is said in English, so a new language
can grow entry by entry. Values with units and days are written as the language writes them.
"""

import re
from collections.abc import Mapping
from decimal import Decimal

from evidence.errors import Problem
from evidence.phrases.catalogues import DEFAULT_LANGUAGE, LANGUAGES, hints, sentences
from evidence.phrases.figures import figures, number, short_day
from evidence.quantity import converted

__all__ = [
    "DEFAULT_LANGUAGE",
    "LANGUAGES",
    "UNKNOWN",
    "figures",
    "hint",
    "inside",
    "knows",
    "number",
    "path_in_words",
    "printable",
    "say",
    "short_day",
    "shown",
    "tell",
]
_TERMS = ("stretcher", "stretchers", "Stretcher")
_FAMILIES: Mapping[str, tuple[str, ...]] = {
    "fact": ("fact", "claim-name", "lab-quantity"),
    "claim": ("claim-name",),
    "fields": ("claim-name",),
    "function": ("function",),
    "mark": ("mark",),
    "compared": ("outcome",),
    "state": ("field-word",),
    "roles": ("role",),
    "kind": ("cycle-kind", "subject-kind"),
    "quantity": ("characteristic-name",),
    "statement": ("slug",),
    "event": ("event",),
}
"""Parameter name to the closed lists whose entries it may hold."""
_FAMILIES_OF: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "instrument-wrong-kind": {"found": ("instrument-kind",), "expected": ("instrument-kind",)},
    "concession-wrong-authority": {"authority": ("party-function",), "expected": ("party-function",)},
    "measure-not-photo": {"found": ("file-kind",)},
    "test-not-recorded": {"direction": ("lab-direction",)},
    "pull-not-recorded": {"direction": ("lab-direction",)},
    "test-channel-not-named": {"use": ("channel-use",)},
    "end-reading-beyond": {"end": ("end-name",)},
    "window-against-reading": {"found": ("window-state",), "recorded": ("window-state",)},
    "window-shows-other": {"asked": ("window-state",)},
    **dict.fromkeys(
        ("window-not-read", "window-read-by-person", "window-read-as-other"),
        dict.fromkeys(("asked", "reads"), ("window-state",)),
    ),
    "route-not-taken": {"taken": ("slug",)},
    **dict.fromkeys(
        ("fact-matches", "fact-differs", "fact-not-excluded", "fact-excluded", "not-for-this-vehicle"),
        dict.fromkeys(("found", "expected", "excluded"), ("loading", "orientation", "drive-side", "slug")),
    ),
    "anchorage-worst": {"direction": ("anchorage-direction",)},
    "anchorage-pattern": {"direction": ("anchorage-direction",)},
    "concession-authority-not-named": {"authority": ("party-function",)},
}
"""The same for parameters that hold such entries in the sentences of some codes only, where none begins one."""
UNKNOWN = "unknown"
"""Reason of a system that gives none."""
_NOTHING = ("", "\u2013")
"""Values that stand for no value at all."""
_COUNTED = {"evidence-there": "found"}
"""Codes with a second sentence for one thing, and the parameter that counts."""
_INSIDE = frozenset({"kind", "quantity"})
"""Parameters that never begin a sentence."""
_POSITION = re.compile(r":\d+:\d+$")
_PLACE = re.compile(r"[0-9]{1,9}", re.ASCII)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_BRACKETS = re.compile(r" \([^()]*\)")
_NAMED = frozenset({"entry", "document", "instrument", "person", "place", "screws", "subject"})
"""Parameters that hold an entry of the record: its id, or what people call it."""
_MADE_UP = frozenset({"before", "after", "step", "redone", "statement", "qualification"})
"""Parameters that hold a word which a profile or record made up."""
_WORDS = _MADE_UP | _FAMILIES.keys()
_POINTED = frozenset(
    {
        "allowed",
        "clause",
        "edition",
        "expected",
        "file",
        "found",
        "id",
        "lot",
        "name",
        "part",
        "property_class",
        "reference",
        "revision",
        "section",
        "serial",
        "standard",
        "version",
    }
)
"""Parameters in which a point between digits is no decimal point."""
_FIRST = re.compile(r"\{(\w+)\}")
_VEHICLE = "vehicle"
_LONG = re.compile(r"-?[0-9]+\.[0-9]+", re.ASCII)
_DIGITS = 6  # significant ones of a computed number, as people read it; data keep all
_PLAIN = 10**_DIGITS  # above it no decimals would be left


def say(code: str, parameters: Mapping[str, object] | None = None, language: str = DEFAULT_LANGUAGE) -> str:
    """The sentence of a code with its parameters put in.

    Args:
        code: a code of findings, contradictions, problems, verdicts or page words.
        parameters: text, a quantity ``{"unit", "value"}``, or several texts.
        language: two-letter code.

    Raises:
        KeyError: no catalogue knows the code, or the sentence names a field that is not among the parameters.
    """
    if (parameters or {}).get(_COUNTED.get(code, "")) == "1":
        code = f"{code}-one"
    template = sentences(language).get(code) or sentences(DEFAULT_LANGUAGE)[code]
    terms = {term: _word(f"dossier-term-{term}-elsewhere", language) for term in _TERMS}
    given = {**terms, **(parameters or {})}
    told = {
        name: _figured(name, _told(name, value, given, language), language) for name, value in given.items()
    }
    told.update(_listed(code, given, language))
    if told.get("subject") == _VEHICLE:
        told["subject"] = _word("dossier-subject-the-vehicle", language)
    told |= {name: figures(text, language) for name, text in _in_the_limits_unit(given).items()}
    return _begun(template, template.format_map(told), told)


def hint(code: str, language: str = DEFAULT_LANGUAGE) -> str:
    """What to do about a problem or verdict; empty where there is nothing to add."""
    return hints(language).get(code) or hints(DEFAULT_LANGUAGE).get(code, "")


def knows(code: str) -> bool:
    """Whether the English catalogue has the code."""
    return code in sentences(DEFAULT_LANGUAGE)


def tell(problem: Problem, language: str = DEFAULT_LANGUAGE) -> str:
    """A problem as lines: place and sentence, then what to do."""
    # a line of the file is found sooner than a path through its data, which `--json` has
    known = not problem.pointer or _POSITION.search(problem.where)
    place = problem.where if known else f"{problem.where} ({path_in_words(problem.pointer, language)})"
    lines = [f"{place}: {say(problem.code, problem.parameters, language)}"]
    if advice := hint(problem.code, language):
        lines.append(f"    {advice}")
    return "\n".join(map(printable, lines))


def path_in_words(pointer: str, language: str = DEFAULT_LANGUAGE) -> str:
    """``/keys/0/pem`` as a person finds it in a file without line numbers: ``keys, entry 1, pem``."""
    parts = (part.replace("~1", "/").replace("~0", "~") for part in pointer.removeprefix("/").split("/"))
    entry = _word("place-entry", language)
    # a name in an untrusted document may hold any digits, also more than make a number
    return ", ".join(entry.format(number=int(part) + 1) if _PLACE.fullmatch(part) else part for part in parts)


def printable(text: str) -> str:
    """Text from elsewhere on one line: what could be a command for a terminal is shown, not obeyed."""
    return "".join(
        each if each.isprintable() else each.encode("unicode_escape", "surrogatepass").decode()
        for each in text
    )


def _told(name: str, value: object, given: Mapping[str, object], language: str) -> str:
    """A parameter in words: entries of closed lists by the catalogue, words that a profile made up with spaces."""
    if isinstance(value, list | tuple):
        return ", ".join(_told(name, item, given, language) for item in value)
    if not isinstance(value, str):
        return shown(value)
    if code_in_words := _coded(name, value, language):
        return code_in_words
    for family in _FAMILIES.get(name, ()):
        named = value.replace(" ", "-").removeprefix("document.").removeprefix("test.")
        word = _word(f"dossier-word-{family}-{named}", language)
        if word:
            word = word.format_map({term: str(given[term]) for term in _TERMS})
            return inside(word, language) if name in _INSIDE else word
    return value.replace("-", " ") if name in _MADE_UP and _DAY.match(value) is None else value


def _figured(name: str, told: str, language: str) -> str:
    """A parameter in words, with its figures as the language writes them; a clause or revision keeps its points."""
    return figures(told, language) if name in _POINTED else number(figures(told, language), language)


def _coded(name: str, value: str, language: str) -> str:
    """A parameter that is a code of its own, or no value at all, in words; empty where the catalogue has none."""
    if value in _NOTHING:
        return _word(f"none-{name}", language)
    if name == "reason":
        return _system(value, language) or _word(f"reason-{value}", language)
    if name == "rule":
        return _word(f"kept-rule-{value}", language) or _word("kept-rule-sillmark", language)
    if name == "cause" and (knows(value) or knows(f"cause-{value}")):
        return _cause(value, language)
    return ""


def _system(reason: str, language: str) -> str:
    """Why a system refused something, with the name that it gives it; empty for what is no reason of a system."""
    words = _word(f"system-{reason.lower()}", language)
    return f"{words}; {reason}" if words and reason != UNKNOWN else words


def _listed(code: str, given: Mapping[str, object], language: str) -> dict[str, str]:
    """Parameters that hold entries of a closed list in the sentence of this code only, in words."""
    lists = _FAMILIES_OF.get(code, {})
    return {
        name: _entries(given[name], families, given, language)
        for name, families in lists.items()
        if name in given
    }


def _entries(value: object, families: tuple[str, ...], given: Mapping[str, object], language: str) -> str:
    if isinstance(value, Mapping):
        return figures(shown(value), language)
    listed = value if isinstance(value, list | tuple) else str(value).split(", ")
    if len(listed) > 1:
        return ", ".join(_entries(each, families, given, language) for each in listed)
    value = listed[0] if listed else ""
    words = (_word(f"dossier-word-{family}-{value}", language) for family in families)
    word = next(filter(None, words), "")
    if not word:
        return figures(shown(value), language)
    return inside(word.format_map({term: str(given[term]) for term in _TERMS}), language)


def _begun(template: str, sentence: str, told: Mapping[str, str]) -> str:
    """A sentence whose first word comes from a list or a profile with a capital letter; ids stay as they are."""
    first = _FIRST.match(template)
    if first is None or not template.endswith("."):
        return sentence
    named = first[1] in _NAMED and " " in told[first[1]]  # an id has no space
    return sentence[:1].upper() + sentence[1:] if named or first[1] in _WORDS else sentence


def _cause(code: str, language: str) -> str:
    """The sentence of a problem's code as words in brackets, where only the code is known; else the code itself."""
    template = _word(f"cause-{code}", language) or _word(code, language)
    bare = _BRACKETS.sub("", template)
    return code if "{" in bare else inside(bare, language).rstrip(".")


def inside(word: str, language: str = DEFAULT_LANGUAGE) -> str:
    """A word as it stands inside a sentence; abbreviations stay, and so does German, whose nouns keep their capital."""
    return word if language == "de" or word[1:2].isupper() else word[:1].lower() + word[1:]


def _in_the_limits_unit(given: Mapping[str, object]) -> dict[str, str]:
    """A value that was typed in another unit than its limit, with what that is in the limit's unit."""
    value, limit = given.get("value"), given.get("low") or given.get("high")
    if not isinstance(value, Mapping) or not isinstance(limit, Mapping) or value["unit"] == limit["unit"]:
        return {}
    same = converted(value["value"], value["unit"], limit["unit"])
    return {"value": f"{shown(value)} ({same} {limit['unit']})"} if same is not None else {}


def _word(key: str, language: str) -> str:
    return sentences(language).get(key) or sentences(DEFAULT_LANGUAGE).get(key, "")


def shown(value: object) -> str:
    """A parameter as text: a quantity with its unit, several texts with commas."""
    if isinstance(value, Mapping):
        return f"{_short(value['value'])} {value['unit']}".rstrip()
    if isinstance(value, list | tuple):
        return ", ".join(str(item) for item in value)
    return str(value)


def _short(number: str) -> str:
    """A number with the digits that people read; what somebody typed, and every limit, has fewer and stays."""
    if _LONG.fullmatch(number) is None or sum(one.isdigit() for one in number.lstrip("-0.")) <= _DIGITS:
        return number
    return format(Decimal(f"{Decimal(number):.{_DIGITS}g}"), "f") if abs(Decimal(number)) < _PLAIN else number
