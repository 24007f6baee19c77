"""How a reader answers across a process border, and how it refuses; light, because a child starts with it."""

from dataclasses import dataclass
from typing import NoReturn, Protocol

from evidence.errors import InputError, Problem
from evidence.jsondoc import Json

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


def refuse(code: str, where: str, **parameters: str) -> NoReturn:
    """Raise an InputError that carries one Problem."""
    raise InputError((Problem(code, where, "", parameters),))


def quoted(text: str) -> str:
    """Foreign text made fit for a message: one printable line, at most ``MAX_FOUND`` characters."""
    return text[: MAX_FOUND * 4].encode("unicode_escape").decode("ascii")[:MAX_FOUND]
