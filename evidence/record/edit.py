"""Small edits of YAML text that leave every other character, comment and line as it was.

Each edit is checked before it is given back: the new text must read as the old data with exactly this change.
"""

import json
import re
from typing import Any

from evidence.errors import InputError, Problem
from evidence.model.people import FileName
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record.yamltext import Path, YamlText, read_yaml

EXHIBIT_DIGITS = 3  # E001: sorts by name up to 999 files of one vehicle
MAX_FILE_NAME = 90  # characters kept of a file name; the middle of a longer one is cut out
_COMMENT = re.compile(r"(?:^|(?<=\s))#[^\r\n]*", re.MULTILINE)
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/@-]*", re.ASCII)


def next_id(record: JobRecord, letter: str) -> str:
    """The id after the highest one in use with that letter: ``E004``, ``p2``.

    Args:
        record: the job record.
        letter: letter of the ids; ``E`` counts with three digits.
    """
    pattern = re.compile(rf"{re.escape(letter)}([0-9]{{1,9}})", re.ASCII)
    numbers = [int(match[1]) for match in map(pattern.fullmatch, record.identified()) if match]
    number = max(numbers, default=0) + 1
    return f"{letter}{number:0{EXHIBIT_DIGITS}d}" if letter == "E" else f"{letter}{number}"


def insert_exhibit(text: str, entry: ExhibitEntry, name: str = "job.yaml") -> str:
    """Append an exhibit to ``exhibits:`` of a job record.

    Args:
        text: job.yaml as it is.
        entry: the exhibit, or an open slot.
        name: file name for messages.

    Raises:
        InputError: the text cannot be read, or is laid out so that nothing can be appended (edit-not-possible).
    """
    return _appended(text, "exhibits", entry.document(), name)


def add_file_name(text: str, exhibit_id: str, original: str, name: str = "people.yaml") -> str:
    """Append what a file was called to ``file_names:`` of people.yaml.

    Args:
        text: people.yaml as it is.
        exhibit_id: id of the exhibit.
        original: the file's name; characters that do not print are replaced, a long name loses its middle.
        name: file name for messages.

    Raises:
        InputError: as ``insert_exhibit``.
    """
    entry = FileName(id=exhibit_id, name=_fitting(original))
    return _appended(text, "file_names", entry.document(), name)


def fill_slot(text: str, exhibit_id: str, path: str, name: str = "job.yaml") -> str:
    """Put a file's path where an exhibit's ``file`` still says ``{state: ...}``.

    Args:
        text: job.yaml as it is.
        exhibit_id: id of the open slot.
        path: ``photos/E004.jpg``.
        name: file name for messages.

    Raises:
        InputError: slot-unknown, slot-filled or edit-not-possible.
    """
    source = _read(text, name)
    at = _slot(source, exhibit_id)
    place, key = source.values[at], source.keys[at]
    start, end = (
        (place.start, place.end) if text[place.start] == "{" else (_after_colon(text, key.end), place.end)
    )
    replaced = text[start:end]
    comments = _COMMENT.findall(replaced)
    new = (" " if start < place.start else "") + _scalar(path) + _kept(comments, key.column)
    expected = _copy(source.data)
    expected["exhibits"][at[1]]["file"] = path
    return _checked(text[:start] + new + text[end:], expected, source)


def _read(text: str, name: str) -> YamlText:
    source = read_yaml(text.encode(), name)
    problems = [problem for problem in source.problems if problem.code != "value-empty"]
    if problems:
        raise InputError(problems)
    return source


def _checked(text: str, expected: Any, source: YamlText) -> str:
    try:
        again = read_yaml(text.encode(), source.name)
    except InputError as error:
        raise _impossible(source) from error
    if again.data != expected or any(problem.code != "value-empty" for problem in again.problems):
        raise _impossible(source)
    return text


def _impossible(source: YamlText) -> InputError:
    return InputError((Problem("edit-not-possible", source.name),))


def _copy(data: Any) -> Any:
    return json.loads(json.dumps(data))


def _appended(text: str, key: str, entry: dict[str, Any], name: str) -> str:
    source = _read(text, name)
    if not isinstance(source.data, dict):
        raise _impossible(source)
    known = source.data.get(key) or []
    if not isinstance(known, list):
        raise _impossible(source)
    expected = {**_copy(source.data), key: [*_copy(known), entry]}
    return _checked(_with_entry(source, key, _flow(entry)), expected, source)


def _with_entry(source: YamlText, key: str, entry: str) -> str:
    text, path = source.text, (key,)
    line_end = "\r\n" if "\r\n" in text else "\n"
    if key not in source.data:
        return _insert_line(text, source.values[()].end, f"{key}:{line_end}  - {entry}", line_end)
    place = source.values[path]
    if source.data[key] == "":
        return _insert_line(text, _after_colon(text, source.keys[path].end), f"  - {entry}", line_end)
    if text[place.start] != "[":
        dash = _indentation(source, path)
        return _insert_line(text, place.end, f"{dash}- {entry}", line_end)
    if source.data[key]:
        end = source.values[(*path, len(source.data[key]) - 1)].end
        return f"{text[:end]}, {entry}{text[end:]}"
    if text[source.values[()].start] == "{":  # inside braces there are no lines to append
        return f"{text[: place.start + 1]}{entry}{text[place.start + 1 :]}"
    comments = _kept(_COMMENT.findall(text[place.start : place.end]), source.keys[path].column)
    start = _after_colon(text, source.keys[path].end)
    return _insert_line(
        text[:start] + comments + text[place.end :], start + len(comments), f"  - {entry}", line_end
    )


def _insert_line(text: str, after: int, line: str, line_end: str) -> str:
    """A new line below the one that holds an offset, whatever comment ends that one."""
    match = re.compile(r"\r\n|\r|\n").search(text, after)
    if match is None:
        return f"{text}{line_end}{line}{line_end}"
    return f"{text[: match.end()]}{line}{line_end}{text[match.end() :]}"


def _indentation(source: YamlText, path: Path) -> str:
    """What stands before the dash of the list's first entry."""
    start = source.values[path].start
    line_start = max(source.text.rfind("\n", 0, start), source.text.rfind("\r", 0, start)) + 1
    return source.text[line_start:start]


def _after_colon(text: str, key_end: int) -> int:
    return text.index(":", key_end) + 1


def _kept(comments: list[str], column: int) -> str:
    """Comments of a removed piece: the first behind what replaces it, the others on lines of their own."""
    if not comments:
        return ""
    # behind a plain value a comment needs its space: without one it reads as a slip of the value's author
    first = re.sub(r"^#(?=[^\s#])", "# ", comments[0])
    return f"  {first}" + "".join(f"\n{' ' * (column - 1)}{comment}" for comment in comments[1:])


def _slot(source: YamlText, exhibit_id: str) -> Path:
    entries = source.at(("exhibits",)) or []
    for index, entry in enumerate(entries):
        if isinstance(entry, dict) and entry.get("id") == exhibit_id:
            path: Path = ("exhibits", index, "file")
            if isinstance(entry.get("file"), dict):
                return path
            raise InputError((source.problem("slot-filled", path, found=exhibit_id),))
    raise InputError((source.problem("slot-unknown", ("exhibits",), found=exhibit_id),))


def _flow(entry: dict[str, Any]) -> str:
    pairs = (
        f"{key}: {_flow(value) if isinstance(value, dict) else _scalar(value)}"
        for key, value in entry.items()
    )
    return "{" + ", ".join(pairs) + "}"


def _scalar(value: str) -> str:
    """Plain where it reads as itself, else quoted as JSON, which YAML takes too."""
    return value if _PLAIN.fullmatch(value) or value == "to come" else json.dumps(value, ensure_ascii=False)


def _fitting(name: str) -> str:
    printable = "".join(character if character.isprintable() else "\ufffd" for character in name) or "\ufffd"
    if len(printable) <= MAX_FILE_NAME:
        return printable
    half = (MAX_FILE_NAME - 1) // 2
    return f"{printable[:half]}\u2026{printable[-half:]}"
