"""YAML 1.2 text to plain data in which every scalar is text, with the place of every key and value.

Nothing is guessed from how a scalar looks: ``0012``, ``yes`` and ``1e3`` stay the text that somebody typed, and the
type of the field that receives it decides. Anchors, aliases, tags and directives are refused: they make one text
mean another, and a job record is read by people.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from evidence.errors import InputError, Problem
from evidence.jsondoc import pointer
from evidence.record._syntax import FALLING_THROUGH, MAX_SHOWN, slip_of

MAX_BYTES = 1024 * 1024  # bytes of one file; a large real record stays below a tenth of it
MAX_DEPTH = 20  # nested lists and mappings
MAX_NODES = 50_000  # scalars, lists and mappings of one file
MAX_LINE = 20_000  # characters of one line; some faults of a line take the scanner the square of its length

Path = tuple[str | int, ...]
"""Keys and list indices from the root to a value."""

_BYTE_ORDER_MARK = "\ufeff"
# what YAML allows as printable, less the rarer line breaks, which editors do not count as lines
_UNPRINTABLE = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
_LEADING_TAB = re.compile(r"^[ ]*\t", re.MULTILINE)
_DIRECTIVE = re.compile(r"(?:[ ]*(?:#[^\r\n]*)?(?:\r\n|\r|\n))*%")
_LINE_BREAK = re.compile(r"\r\n|\r|\n")
# `MTH #24-118`: YAML reads a comment where the person who typed it meant a number
_GLUED = re.compile(r":?[ \t]+(?P<comment>#[^\s#][^\r\n]*)")
_LANGUAGE_TAG = "tag:yaml.org,2002:"  # what the parser makes of !!
_CURLY = re.compile("[\u2018-\u201f\u2039\u203a\xab\xbb].*[\u2018-\u201f\u2039\u203a\xab\xbb]", re.DOTALL)


@dataclass(frozen=True)
class Place:
    """Where something starts and ends in the text.

    Attributes:
        line, column: of the first character, counted from 1.
        start, end: offsets into the text, end exclusive.
    """

    line: int
    column: int
    start: int
    end: int


@dataclass(frozen=True)
class YamlText:
    """One file as text and as data.

    Attributes:
        name: file name for messages.
        text: the text as stored, without the byte order mark that some editors put in front.
        data: dicts, lists and NFC text all the way down; an empty value is the empty text.
        values: path of a value to its place; a list or mapping ends where its last value ends.
        keys: path of a value to the place of its key, for values of a mapping.
        problems: everything wrong that did not stop the reading, sorted.
    """

    name: str
    text: str
    data: Any
    values: Mapping[Path, Place]
    keys: Mapping[Path, Place]
    problems: tuple[Problem, ...]

    def where(self, path: Path) -> str:
        """``job.yaml:41:7`` of the value at the path, or of the nearest value around it that exists."""
        while path not in self.values and path:
            path = path[:-1]
        place = self.values.get(path)
        return self.name if place is None else f"{self.name}:{place.line}:{place.column}"

    def where_key(self, path: Path) -> str:
        """Place of the key that holds the value, or of the value where it stands in a list."""
        place = self.keys.get(path)
        return self.where(path) if place is None else f"{self.name}:{place.line}:{place.column}"

    def at(self, path: Path) -> Any:
        """The data at a path, or None where the path leads nowhere."""
        value = self.data
        for part in path:
            try:
                value = value[part]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def problem(self, code: str, path: Path, *, key: bool = False, **parameters: str) -> Problem:
        """A problem at the value of a path, or at its key."""
        where = self.where_key(path) if key else self.where(path)
        return Problem(code, where, pointer(path), parameters)


def read_yaml(data: bytes, name: str) -> YamlText:
    """Read one YAML document.

    Args:
        data: bytes as stored, UTF-8.
        name: file name for messages.

    Returns:
        The data with places; problems that do not hide the rest (anchors, tags, duplicate keys, empty values) are
        in ``problems`` and must be reported by the caller.

    Raises:
        InputError: the text is too large, too deep, not UTF-8 or not one YAML document.
    """
    text = _decode(data, name)
    builder = _Builder(name, text)
    line, column = 1, 1  # up to where the text was read
    try:
        for event in YAML(typ="base", pure=True).parse(text):
            builder.take(event)
            line, column = event.end_mark.line + 1, event.end_mark.column + 1
    except MarkedYAMLError as error:
        # a comment by mistake can swallow the bracket that is then missed
        glued = (problem for problem in builder.problems if problem.code == "comment-glued")
        raise InputError((*glued, *_syntax(error, text, name).problems)) from error
    except FALLING_THROUGH as error:
        raise _fail("yaml-malformed", name, line, column, found=type(error).__name__) from error
    if builder.documents == 0 or (builder.root == "" and not builder.root_quoted):
        raise _fail("yaml-empty", name, 1, 1)
    problems = tuple(sorted(builder.problems, key=Problem.order))
    return YamlText(name, text, builder.root, builder.values, builder.keys, problems)


def _fail(code: str, name: str, line: int, column: int, **parameters: str) -> InputError:
    return InputError((Problem(code, f"{name}:{line}:{column}", "", parameters),))


def _decode(data: bytes, name: str) -> str:
    if len(data) > MAX_BYTES:
        raise InputError.one("yaml-too-large", name, found=str(len(data)), limit=str(MAX_BYTES))
    try:
        text = data.decode("utf-8").removeprefix(_BYTE_ORDER_MARK)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _fail("yaml-not-utf8", name, line, 1, found=f"0x{data[error.start]:02x}") from error
    for match in _UNPRINTABLE.finditer(text):
        raise _unprintable(match, text, name)
    for match in _LEADING_TAB.finditer(text):
        line, column = _position(text, match.end() - 1)
        raise _fail("yaml-tab", name, line, column)
    directive = _DIRECTIVE.match(text)
    if directive is not None:
        raise _fail("yaml-directive", name, *_position(text, directive.end() - 1))
    for line, content in enumerate(_LINE_BREAK.split(text), start=1):
        if len(content) > MAX_LINE:
            raise _fail("yaml-line-too-long", name, line, MAX_LINE + 1, limit=str(MAX_LINE))
    return text


def _unprintable(match: re.Match[str], text: str, name: str) -> InputError:
    line, column = _position(text, match.start())
    code = {_BYTE_ORDER_MARK: "yaml-byte-order-mark", "\0": "yaml-nul"}.get(
        match[0], "yaml-control-character"
    )
    return _fail(code, name, line, column, found=f"U+{ord(match[0]):04X}")


def _position(text: str, offset: int) -> tuple[int, int]:
    breaks = [match.end() for match in _LINE_BREAK.finditer(text, 0, offset)]
    return len(breaks) + 1, offset - (breaks[-1] if breaks else 0) + 1


def _syntax(error: MarkedYAMLError, text: str, name: str) -> InputError:
    slip = slip_of(error, text)
    return _fail(slip.code, name, slip.line, slip.column, **slip.parameters)


@dataclass
class _Open:
    """A list or mapping that has started: its path, its data, and the key that waits for a value."""

    path: Path
    data: Any
    start: Event
    key: str | None = None
    key_event: ScalarEvent | None = None
    twice: bool = False


class _Builder:
    """Puts events together, without recursion, and keeps the place of everything."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.text = text
        self.root: Any = None
        self.root_quoted = False
        self.documents = 0
        self.values: dict[Path, Place] = {}
        self.keys: dict[Path, Place] = {}
        self.problems: list[Problem] = []
        self._open: list[_Open] = []
        self._nodes = 0

    def take(self, event: Event) -> None:
        """Take the next event of the parser."""
        if isinstance(event, DocumentStartEvent):
            self._document(event)
        elif isinstance(event, NodeEvent):
            self._node(event)
        elif isinstance(event, MappingEndEvent | SequenceEndEvent):
            self._close(event)

    def _stop(self, code: str, event: Event, **parameters: str) -> InputError:
        mark = event.start_mark
        return _fail(code, self.name, mark.line + 1, mark.column + 1, **parameters)

    def _note(self, code: str, event: Event, path: Path, *, at_end: bool = False, **parameters: str) -> None:
        mark = event.end_mark if at_end else event.start_mark
        where = f"{self.name}:{mark.line + 1}:{mark.column + 1}"
        self.problems.append(Problem(code, where, pointer(_shown(path)), parameters))

    def _document(self, event: DocumentStartEvent) -> None:
        self.documents += 1
        if self.documents > 1:
            raise self._stop("yaml-several-documents", event)

    def _node(self, event: NodeEvent) -> None:
        self._nodes += 1
        if self._nodes > MAX_NODES:
            raise self._stop("yaml-too-many-values", event, limit=str(MAX_NODES))
        holder = self._open[-1] if self._open else None
        if holder is not None and isinstance(holder.data, dict) and holder.key is None:
            self._key(event, holder)
            return
        path = self._path(holder)
        self._refuse_references(event, path)
        if isinstance(event, ScalarEvent | AliasEvent):
            self._put(holder, path, self._scalar(event, holder, path), event)
        else:
            self._start(event, holder, path)

    def _path(self, holder: _Open | None) -> Path:
        if holder is None:
            return ()
        part = len(holder.data) if isinstance(holder.data, list) else holder.key
        return (*holder.path, part if part is not None else "")

    def _refuse_references(self, event: NodeEvent, path: Path) -> None:
        if isinstance(event, AliasEvent):
            self._note("yaml-alias", event, path, found=str(event.anchor)[:MAX_SHOWN])
        elif event.anchor is not None:
            self._note("yaml-anchor", event, path, found=str(event.anchor)[:MAX_SHOWN])
        tag = getattr(event, "tag", None)
        if tag is not None:
            self._note("yaml-tag", event, path, found=str(tag).replace(_LANGUAGE_TAG, "!!")[:MAX_SHOWN])

    def _refuse_unprintable(self, event: NodeEvent, path: Path, text: str) -> None:
        bad = _UNPRINTABLE.search(text)
        if bad is not None:
            self._note("text-control-character", event, path, found=bad[0].encode("unicode_escape").decode())

    def _key(self, event: NodeEvent, holder: _Open) -> None:
        if not isinstance(event, ScalarEvent) or (event.value == "" and event.style is None):
            raise self._stop("yaml-key-not-text", event)
        key = _text(event.value)
        path = (*holder.path, key)
        self._refuse_references(event, path)
        self._refuse_unprintable(event, path, key)
        holder.key, holder.key_event, holder.twice = key, event, key in holder.data
        if holder.twice:
            first = self.keys[path]
            self._note(
                "yaml-duplicate-key", event, path, found=key[:MAX_SHOWN], first=f"{first.line}:{first.column}"
            )
            # kept apart, so that the places of the first stay and nothing of the second is read
            holder.key = f"{key}\0"
            return
        self.keys[path] = _place(event)

    def _scalar(self, event: ScalarEvent | AliasEvent, holder: _Open | None, path: Path) -> str:
        if isinstance(event, AliasEvent):
            return ""
        if event.value == "" and event.style is None and event.anchor is None and event.tag is None:
            if holder is not None:
                self._empty(event, holder, path)
            return ""
        self.root_quoted = True
        text = _text(event.value)
        if event.style is None:
            self._glued(event, path)
            if _CURLY.fullmatch(text):
                self._note("curly-quotes", event, path, found=text[:MAX_SHOWN])
        self._refuse_unprintable(event, path, text)
        return text

    def _glued(self, event: ScalarEvent, path: Path) -> bool:
        """Note a comment that was probably meant as part of the value before it; whether there is one."""
        mark = event.end_mark
        match = _GLUED.match(self.text, mark.index)
        if match is None:
            return False
        column = mark.column + match.start("comment") - mark.index + 1
        where = f"{self.name}:{mark.line + 1}:{column}"
        found = {"found": match["comment"][:MAX_SHOWN]}
        self.problems.append(Problem("comment-glued", where, pointer(_shown(path)), found))
        return True

    def _empty(self, event: ScalarEvent, holder: _Open, path: Path) -> None:
        if self._glued(holder.key_event or event, path) or self._cut(holder):
            return
        if holder.key_event is not None:
            self._note(
                "value-empty", holder.key_event, path, at_end=True, key=str(_shown(path)[-1])[:MAX_SHOWN]
            )
        else:
            self._note("value-empty", event, path, key=f"entry {int(path[-1]) + 1}")

    def _cut(self, holder: _Open) -> bool:
        """Note `{value: 120,3 mm}`, in which the comma parts the value and a key without one follows; whether it does."""
        key = holder.key
        if key is None or not isinstance(holder.data, dict) or not key[:1].isdigit() or not holder.data:
            return False
        path: Path = (*holder.path, list(holder.data)[-1])
        place, cut = self.values.get(path), self.keys.get((*holder.path, key))
        if place is None or cut is None or self.text[place.end : cut.start] != ",":
            return False
        where = f"{self.name}:{place.line}:{place.column}"
        found = {"found": self.text[place.start : cut.end][:MAX_SHOWN]}
        self.problems.append(Problem("quantity-cut-by-comma", where, pointer((*holder.path, key)), found))
        return True

    def _start(self, event: NodeEvent, holder: _Open | None, path: Path) -> None:
        if len(self._open) >= MAX_DEPTH:
            raise self._stop("yaml-too-deep", event, limit=str(MAX_DEPTH))
        data: Any = [] if isinstance(event, SequenceStartEvent) else {}
        if not isinstance(
            event, SequenceStartEvent | MappingStartEvent
        ):  # pragma: no cover - no other node exists
            raise self._stop("yaml-malformed", event, found=type(event).__name__)
        self._put(holder, path, data, event)
        self._open.append(_Open(path, data, event))

    def _put(self, holder: _Open | None, path: Path, value: Any, event: NodeEvent) -> None:
        self.values[path] = self._value_place(event, holder)
        if holder is None:
            self.root = value
        elif isinstance(holder.data, list):
            holder.data.append(value)
        else:
            if not holder.twice:
                holder.data[path[-1]] = value
            holder.key = holder.key_event = None

    def _value_place(self, event: NodeEvent, holder: _Open | None) -> Place:
        empty = isinstance(event, ScalarEvent) and event.value == "" and event.style is None
        if not empty or holder is None or holder.key_event is None:
            return _place(event)
        mark = holder.key_event.end_mark
        return Place(mark.line + 1, mark.column + 1, mark.index, mark.index)

    def _close(self, event: MappingEndEvent | SequenceEndEvent) -> None:
        opened = self._open.pop()
        place = self.values[opened.path]
        end = event.end_mark.index
        if (
            end == event.start_mark.index
        ):  # a block ends where its last value does, not where the next thing starts
            end = max(self._ends(opened), default=place.end)
        self.values[opened.path] = Place(place.line, place.column, place.start, end)

    def _ends(self, opened: _Open) -> Iterator[int]:
        parts = range(len(opened.data)) if isinstance(opened.data, list) else opened.data
        for part in parts:
            yield self.values[(*opened.path, part)].end


def _place(event: Event) -> Place:
    start, end = event.start_mark, event.end_mark
    return Place(start.line + 1, start.column + 1, start.index, end.index)


def _shown(path: Path) -> Path:
    return tuple(part.rstrip("\0") if isinstance(part, str) else part for part in path)


def _text(value: str) -> str:
    return unicodedata.normalize("NFC", value)
