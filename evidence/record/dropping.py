"""Take keys out of an exhibit's entry in job.yaml; every other character and every comment stays.

The edit is checked before it is given back: the new text must read as the old data without these keys.
"""

import json
import re
from collections.abc import Iterable

from evidence.errors import InputError, Problem
from evidence.record.yamltext import Path, YamlText, read_yaml

_COMMENT = re.compile(r"(?:^|(?<=\s))#[^\r\n]*", re.MULTILINE)
_LINE_END = re.compile(r"\r\n|\r|\n")


def drop_keys(text: str, exhibit_id: str, keys: Iterable[str], name: str = "job.yaml") -> str:
    """The text without some keys of an exhibit.

    Args:
        text: job.yaml as it is.
        exhibit_id: id of the exhibit.
        keys: what its entry holds and shall hold no more; never all of it.
        name: file name for messages.

    Raises:
        InputError: slot-unknown or edit-not-possible.
    """
    for key in keys:
        source = read_yaml(text.encode(), name)
        index = _index(source, exhibit_id)
        expected = json.loads(json.dumps(source.data))
        del expected["exhibits"][index][key]
        text = _without(source, ("exhibits", index, key))
        try:
            again = read_yaml(text.encode(), name).data
        except InputError as error:
            raise InputError((Problem("edit-not-possible", name),)) from error
        if again != expected:
            raise InputError((Problem("edit-not-possible", name),))
    return text


def _index(source: YamlText, exhibit_id: str) -> int:
    for index, entry in enumerate(source.at(("exhibits",)) or []):
        if isinstance(entry, dict) and entry.get("id") == exhibit_id:
            return index
    raise InputError((source.problem("slot-unknown", ("exhibits",), found=exhibit_id),))


def _without(source: YamlText, path: Path) -> str:
    text, entry = source.text, path[:-1]
    order = sorted(source.at(entry), key=lambda key: source.keys[*entry, key].start)
    at, key = order.index(path[-1]), source.keys[path]
    in_braces = text[source.values[entry].start] == "{"
    if at and not in_braces:
        return _without_lines(text, key.start, source.values[path].end)
    if at == len(order) - 1:
        start, end = source.values[*entry, order[at - 1]].end, source.values[path].end
    else:  # up to the next key, so that the comma before, or the dash, is the next one's
        start, end = key.start, source.keys[*entry, order[at + 1]].start
    comments = _COMMENT.findall(text[start:end])
    line_end = "\r\n" if "\r\n" in text else "\n"
    kept = "".join(f"{comment}{line_end}{' ' * (key.column - 1)}" for comment in comments)
    apart = "  " if kept and not text[start - 1].isspace() else ""
    return text[:start] + apart + kept + text[end:]


def _without_lines(text: str, start: int, end: int) -> str:
    """Without the lines from one offset to another, but for their comments, each then on a line of its own."""
    begin = max(text.rfind("\n", 0, start), text.rfind("\r", 0, start)) + 1
    last = _LINE_END.search(text, max(end - 1, start))
    stop = last.end() if last else len(text)
    line_end = last.group() if last else "\n"
    kept = "".join(
        f"{text[begin:start]}{comment}{line_end}" for comment in _COMMENT.findall(text[begin:stop])
    )
    return text[:begin] + kept + text[stop:]
