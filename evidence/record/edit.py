"""Small edits of YAML text that leave every other character, comment and line as it was.

Each edit is checked before it is given back: the new text must read as the old data with exactly this change.
"""

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

from evidence.errors import InputError, Problem
from evidence.model.pack import Confirmation
from evidence.model.people import FileName
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.record.yamltext import Path, YamlText, read_yaml

EXHIBIT_DIGITS = 3  # E001: sorts by name up to 999 files of one vehicle
MAX_FILE_NAME = 90  # characters kept of a file name; the middle of a longer one is cut out
_COMMENT = re.compile(r"(?:^|(?<=\s))#[^\r\n]*", re.MULTILINE)
_TO_COME = {"state": "to come"}
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


def file_exhibits(text: str, entries: Sequence[ExhibitEntry], name: str = "job.yaml") -> str:
    """Put the path of each exhibit into its open slot, or append the exhibit where the record has no slot for it.

    Args:
        text: job.yaml as it is; it is read once for all of them.
        entries: exhibits, each with an id of its own.
        name: file name for messages.

    Raises:
        InputError: slot-filled or edit-not-possible.
    """
    source = _read(text, name)
    known = _ids(source, "exhibits")
    new = [entry.document() for entry in entries if entry.id not in known]
    expected = _with_more(source, "exhibits", new)
    text = _with_entries(source, "exhibits", [_flow(entry) for entry in new]) if new else text
    places = {_slot(source, entry.id): entry for entry in entries if entry.id in known}
    # what was appended stands behind every slot, so places that were read before still hold, the last one first
    for at, entry in sorted(places.items(), reverse=True, key=lambda each: source.values[each[0]].start):
        text = _filled(text, source, at, str(entry.file))
        expected["exhibits"][at[1]]["file"] = entry.file
    return _checked(text, expected, source)


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
    return add_file_names(text, {exhibit_id: original}, name)


def add_file_names(text: str, originals: Mapping[str, str], name: str = "people.yaml") -> str:
    """The same for several files, by exhibit id; an exhibit that has a name there already gets the new one.

    Args:
        text: people.yaml as it is.
        originals: exhibit id to the file's name.
        name: file name for messages.

    Raises:
        InputError: as ``insert_exhibit``.
    """
    source = _read(text, name)
    named = [exhibit for exhibit in originals if exhibit in _ids(source, "file_names")]
    for exhibit in named:  # a slot that was emptied and is filled again
        source = _read(remove_entry(source.text, "file_names", exhibit, name), name)
    entries = [FileName(id=exhibit, name=_fitting(each)).document() for exhibit, each in originals.items()]
    expected = _with_more(source, "file_names", entries)
    return _checked(_with_entries(source, "file_names", [_flow(each) for each in entries]), expected, source)


def insert_confirmation(text: str, entry: Confirmation, name: str) -> str:
    """Append a confirmation to ``confirmations:`` of a confirmation pack.

    Args:
        text: the pack as it is.
        entry: what was confirmed.
        name: file name for messages.

    Raises:
        InputError: as ``insert_exhibit``.
    """
    return _appended(text, "confirmations", entry.document(), name)


def name_pack(text: str, basis: int, reference: str, name: str = "job.yaml") -> str:
    """Append a pack to those of a basis of a job record.

    Args:
        text: job.yaml as it is.
        basis: place of the basis in ``bases``, from 0.
        reference: ``id@version``.
        name: file name for messages.

    Raises:
        InputError: as ``insert_exhibit``.
    """
    source = _read(text, name)
    path: Path = ("bases", basis, "packs")
    packs = source.at(path)
    if not isinstance(packs, list) or not packs:
        raise _impossible(source)
    expected = _copy(source.data)
    expected["bases"][basis]["packs"].append(reference)
    place = source.values[path]
    if text[place.start] == "[":
        end = source.values[(*path, len(packs) - 1)].end
        return _checked(f"{text[:end]}, {_scalar(reference)}{text[end:]}", expected, source)
    line_end = "\r\n" if "\r\n" in text else "\n"
    line = f"{_indentation(source, path)}- {_scalar(reference)}"
    return _checked(_insert_line(text, place.end, line, line_end), expected, source)


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
    expected = _copy(source.data)
    expected["exhibits"][at[1]]["file"] = path
    return _checked(_filled(text, source, at, path), expected, source)


def change_exhibit(text: str, exhibit_id: str, changes: Mapping[str, str], name: str = "job.yaml") -> str:
    """Write other words where an exhibit has its role or subject.

    Args:
        text: job.yaml as it is.
        exhibit_id: id of the exhibit.
        changes: ``role`` or ``subject`` to the new word.
        name: file name for messages.

    Raises:
        InputError: slot-unknown or edit-not-possible.
    """
    source = _read(text, name)
    index = _index(source, "exhibits", exhibit_id)
    expected = _copy(source.data)
    places = {key: source.values["exhibits", index, key] for key in changes}
    for key, place in sorted(places.items(), reverse=True, key=lambda each: each[1].start):
        text = text[: place.start] + _scalar(changes[key]) + text[place.end :]
        expected["exhibits"][index][key] = changes[key]
    return _checked(text, expected, source)


def reopen_slot(text: str, exhibit_id: str, who: str, name: str = "job.yaml") -> str:
    """Write ``{state: to come, from: w1}`` where an exhibit has its file.

    Args:
        text: job.yaml as it is.
        exhibit_id: id of the exhibit.
        who: person who is to bring the file.
        name: file name for messages.

    Raises:
        InputError: slot-unknown or edit-not-possible.
    """
    source = _read(text, name)
    index = _index(source, "exhibits", exhibit_id)
    place = source.values["exhibits", index, "file"]
    expected = _copy(source.data)
    expected["exhibits"][index]["file"] = waits = {**_TO_COME, "from": who}
    return _checked(text[: place.start] + _flow(waits) + text[place.end :], expected, source)


def remove_entry(text: str, key: str, entry_id: str, name: str = "job.yaml") -> str:
    """Take the entry with an id out of a list, with the comments inside it.

    Args:
        text: the file as it is.
        key: of the list, ``exhibits`` or ``file_names``.
        entry_id: id of the entry.
        name: file name for messages.

    Raises:
        InputError: slot-unknown or edit-not-possible.
    """
    source = _read(text, name)
    index = _index(source, key, entry_id)
    expected = _copy(source.data)
    del expected[key][index]
    return _checked(_without(source, key, index), expected, source)


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
    expected = _with_more(source, key, [entry])
    return _checked(_with_entries(source, key, [_flow(entry)]), expected, source)


def _with_more(source: YamlText, key: str, entries: list[dict[str, Any]]) -> dict[str, Any]:
    """The data with entries at the end of a list."""
    if not isinstance(source.data, dict):
        raise _impossible(source)
    known = source.data.get(key) or []
    if not isinstance(known, list):
        raise _impossible(source)
    return {**_copy(source.data), key: [*_copy(known), *entries]}


def _with_entries(source: YamlText, key: str, entries: list[str]) -> str:
    """The text with entries at the end of a list."""
    text, path = source.text, (key,)
    line_end = "\r\n" if "\r\n" in text else "\n"
    lines, listed = line_end.join(f"  - {entry}" for entry in entries), ", ".join(entries)
    if key not in source.data:
        return _insert_line(text, source.values[()].end, f"{key}:{line_end}{lines}", line_end)
    place = source.values[path]
    if source.data[key] == "":
        return _insert_line(text, _after_colon(text, source.keys[path].end), lines, line_end)
    if text[place.start] != "[":
        dash = _indentation(source, path)
        lines = line_end.join(f"{dash}- {entry}" for entry in entries)
        return _insert_line(text, place.end, lines, line_end)
    if source.data[key]:
        end = source.values[(*path, len(source.data[key]) - 1)].end
        return f"{text[:end]}, {listed}{text[end:]}"
    if text[source.values[()].start] == "{":  # inside braces there are no lines to append
        return f"{text[: place.start + 1]}{listed}{text[place.start + 1 :]}"
    comments = _kept(_COMMENT.findall(text[place.start : place.end]), source.keys[path].column)
    start = _after_colon(text, source.keys[path].end)
    return _insert_line(text[:start] + comments + text[place.end :], start + len(comments), lines, line_end)


def _without(source: YamlText, key: str, index: int) -> str:
    """The text without one entry of a list."""
    text, path, last = source.text, (key,), len(source.data[key]) - 1
    place = source.values[*path, index]
    whole = source.values[path]
    if text[whole.start] == "[":
        if index < last:
            return text[: place.start] + text[source.values[*path, index + 1].start :]
        start = source.values[*path, index - 1].end if index else place.start
        return text[:start] + text[place.end :]
    if not last:
        return text[: _after_colon(text, source.keys[path].end)] + " []" + text[whole.end :]
    begin = max(text.rfind("\n", 0, place.start), text.rfind("\r", 0, place.start)) + 1
    line_end = re.compile(r"\r\n|\r|\n").search(text, place.end)
    return text[:begin] + (text[line_end.end() :] if line_end else "")


def _filled(text: str, source: YamlText, at: Path, path: str) -> str:
    """The text with a path where a slot's state stood; comments of the state stay."""
    place, key = source.values[at], source.keys[at]
    start, end = (
        (place.start, place.end) if text[place.start] == "{" else (_after_colon(text, key.end), place.end)
    )
    comments = _COMMENT.findall(text[start:end])
    new = (" " if start < place.start else "") + _scalar(path) + _kept(comments, key.column)
    return text[:start] + new + text[end:]


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


def _slot(source: YamlText, exhibit_id: str) -> tuple[str, int, str]:
    path = ("exhibits", _index(source, "exhibits", exhibit_id), "file")
    if isinstance(source.at(path), dict):
        return path
    raise InputError((source.problem("slot-filled", path, found=exhibit_id),))


def _index(source: YamlText, key: str, entry_id: str) -> int:
    for index, entry in enumerate(source.at((key,)) or []):
        if isinstance(entry, dict) and entry.get("id") == entry_id:
            return index
    raise InputError((source.problem("slot-unknown", (key,), found=entry_id),))


def _ids(source: YamlText, key: str) -> frozenset[str]:
    entries = source.at((key,)) or []
    return frozenset(entry["id"] for entry in entries if isinstance(entry, dict) and "id" in entry)


def _flow(entry: dict[str, Any]) -> str:
    pairs = (f"{key}: {_inline(value)}" for key, value in entry.items())
    return "{" + ", ".join(pairs) + "}"


def _inline(value: Any) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(map(_inline, value)) + "]"
    return _flow(value) if isinstance(value, dict) else _scalar(value)


def _scalar(value: str) -> str:
    """Plain where it reads as itself, else quoted as JSON, which YAML takes too."""
    return value if _PLAIN.fullmatch(value) or value == "to come" else json.dumps(value, ensure_ascii=False)


def _fitting(name: str) -> str:
    printable = "".join(character if character.isprintable() else "\ufffd" for character in name) or "\ufffd"
    if len(printable) <= MAX_FILE_NAME:
        return printable
    half = (MAX_FILE_NAME - 1) // 2
    return f"{printable[:half]}\u2026{printable[-half:]}"
