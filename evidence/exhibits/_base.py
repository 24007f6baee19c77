"""What every reader of evidence shares: how it answers, how it refuses, how it cleans text that a file claims."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NoReturn, Protocol

from evidence.errors import InputError, Problem
from evidence.jsondoc import Json
from evidence.model._base import MAX_NAME
from evidence.model.exhibit import Item

MAX_FOUND = 60  # characters of foreign text quoted in a message


@dataclass(frozen=True)
class Answer:
    """What a reader hands back across a process border: one JSON value and any number of byte strings.

    Attributes:
        value: JSON value without floats.
        blobs: byte strings, in an order that ``value`` explains.
    """

    value: Json
    blobs: tuple[bytes, ...] = ()


class Reader(Protocol):
    """Runs a reader by name; the guard's ``run`` in the program, ``exhibits.call`` where input is trusted."""

    def __call__(self, name: str, data: bytes, where: str, /) -> Answer:
        """Answer of the reader ``name`` for ``data``, which messages call ``where``."""


@dataclass(frozen=True)
class Reading:
    """An evidence file read.

    Attributes:
        item: what the bundle stores about it.
        page_texts: of a document: text of each page, first page first; transient, never stored.
        values: of a table: one tuple of decimal strings per column, as ``item.table.columns`` names them.
    """

    item: Item
    page_texts: tuple[str, ...] = ()
    values: tuple[tuple[str, ...], ...] = ()


def refuse(code: str, where: str, **parameters: str) -> NoReturn:
    """Raise an InputError that carries one Problem."""
    raise InputError((Problem(code, where, "", parameters),))


def quoted(text: str) -> str:
    """Foreign text made fit for a message: one printable line, at most ``MAX_FOUND`` characters."""
    return text[: MAX_FOUND * 4].encode("unicode_escape").decode("ascii")[:MAX_FOUND]


def claimed(text: object) -> str | None:
    """Text that a file claims, as one printable line of at most ``MAX_NAME`` characters; None where nothing is left.

    Control, format, surrogate, private and unassigned characters become spaces, so that no claim can steer a page.
    """
    if not isinstance(text, str):
        return None
    kept = "".join(" " if unicodedata.category(one)[0] in "CZ" else one for one in text[: MAX_NAME * 8])
    line = " ".join(unicodedata.normalize("NFC", kept).split())
    return line[:MAX_NAME].rstrip() or None


def given(fields: Mapping[str, Json]) -> dict[str, Json]:
    """The fields that hold a value, in order."""
    return {name: value for name, value in fields.items() if value is not None}
