"""Evidence files, bytes in and values out: one module per kind, named in ``KINDS``.

A kind is one file with a function ``answer(data, where) -> Answer`` and one entry here. Readers of hostile formats
are named, not imported: the program runs them in the guard's child process and takes only JSON and bytes back.
"""

from dataclasses import dataclass
from importlib import import_module
from typing import Any, NoReturn, TypeGuard

from pydantic import ValidationError

from evidence.errors import HostileInputError, InputError, Problem
from evidence.exhibits import sniff
from evidence.exhibits._base import Answer, Reader, Reading
from evidence.jsondoc import Json, digest
from evidence.model.exhibit import Item

__all__ = [
    "GUARDED",
    "KINDS",
    "Answer",
    "Kind",
    "Reader",
    "Reading",
    "attachments",
    "call",
    "page_count",
    "read",
    "resolve",
    "unreadable",
]


@dataclass(frozen=True)
class Kind:
    """One kind of evidence.

    Attributes:
        name: as in ``Item.kind``.
        media_types: what content it is.
        target: ``module:function`` of its reader.
        guarded: whether the reader runs in the guard's child.
    """

    name: str
    media_types: tuple[str, ...]
    target: str
    guarded: bool


KINDS: tuple[Kind, ...] = (
    Kind("photo", (sniff.JPEG, sniff.PNG), "evidence.exhibits.photo:answer", guarded=True),
    Kind("document", (sniff.PDF,), "evidence.exhibits.document:answer", guarded=True),
    Kind("table", (sniff.CSV,), "evidence.exhibits.table:answer", guarded=False),
)

GUARDED: dict[str, str] = {kind.name: kind.target for kind in KINDS if kind.guarded} | {
    "attachments": "evidence.exhibits.document:attachments_answer",
    "page-count": "evidence.exhibits.document:page_count_answer",
}
"""Readers that the guard's child may run: name to ``module:function``."""


def call(name: str, data: bytes, where: str) -> Answer:
    """Run a reader by name in this process: for the guard's child, and for input that is trusted.

    Raises:
        InputError: what the reader found wrong with the bytes.
        KeyError: no reader of that name.
    """
    targets = GUARDED | {kind.name: kind.target for kind in KINDS}
    answer: Answer = resolve(targets[name])(data, where)
    return answer


def resolve(target: str) -> Any:
    """The function that ``module:function`` names."""
    module, _, function = target.partition(":")
    return getattr(import_module(module), function)


def read(data: bytes, where: str, exhibit: str, *, reader: Reader) -> Reading:
    """Read one evidence file, whatever it is.

    Args:
        data: the whole file.
        where: name for messages, ``photos/E001.jpg``; its ending is compared with the content.
        exhibit: id of the exhibit.
        reader: runs the guarded kinds; the guard's ``run``.

    Raises:
        InputError: the file is of no kind that is read, or its reader found it wrong.
        HostileInputError: the reader gave up, or answered nonsense.
    """
    media = sniff.media_type(data, where)
    kind = next(kind for kind in KINDS if media in kind.media_types)
    answer = reader(kind.name, data, where) if kind.guarded else call(kind.name, data, where)
    value = answer.value if isinstance(answer.value, dict) else {}
    warnings = value.get("warnings")
    if not _are_texts(warnings):
        _nonsense(where)
    noticed = set(warnings) | (set() if sniff.fits_extension(media, where) else {"exhibit-extension"})
    part = {"kind": kind.name, kind.name: value.get(kind.name), "warnings": sorted(noticed)}
    return _reading(kind.name, _item(exhibit, media, data, part, where), answer, where)


def unreadable(data: bytes, error: InputError, exhibit: str) -> Item:
    """The item of a file that ``read`` refused, so that a bundle can say why nothing rests on it."""
    problem = error.problems[0]
    parameters = {name: value[:90] for name, value in sorted(problem.parameters.items())}
    part = {"code": problem.code, "parameters": parameters}
    fields = {"kind": "unreadable", "unreadable": part}
    return _item(exhibit, _media_or_unknown(data, problem.where), data, fields, problem.where)


def attachments(data: bytes, where: str, *, reader: Reader) -> dict[str, bytes]:
    """Files attached to a PDF, by name.

    Raises:
        InputError: as ``document.attachments``.
    """
    answer = reader("attachments", data, where)
    names = answer.value.get("names") if isinstance(answer.value, dict) else None
    if not _are_texts(names) or len(names) != len(answer.blobs):
        _nonsense(where)
    return dict(zip(names, answer.blobs, strict=True))


def page_count(data: bytes, where: str, *, reader: Reader) -> int:
    """Number of pages of a PDF.

    Raises:
        InputError: as ``document.page_count``.
    """
    answer = reader("page-count", data, where)
    pages = answer.value.get("pages") if isinstance(answer.value, dict) else None
    if not isinstance(pages, int):
        _nonsense(where)
    return pages


def _are_texts(value: Json) -> TypeGuard[list[str]]:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _nonsense(where: str) -> NoReturn:
    # only a reader that an attack has taken over answers outside its own form
    raise HostileInputError((Problem("reader-gave-up", where, "", {"cause": "answer"}),))


def _media_or_unknown(data: bytes, where: str) -> str:
    try:
        return sniff.media_type(data, where)
    except InputError:
        return sniff.UNKNOWN


def _item(exhibit: str, media: str, data: bytes, fields: dict[str, Any], where: str) -> Item:
    identity = {"id": exhibit, "media_type": media, "sha256": digest(data), "bytes": len(data)}
    try:
        return Item.read({**fields, **identity})
    except ValidationError:
        _nonsense(where)


def _reading(kind: str, item: Item, answer: Answer, where: str) -> Reading:
    try:
        texts = tuple(blob.decode("utf-8") for blob in answer.blobs)
    except UnicodeError:
        _nonsense(where)
    if kind == "table":
        return Reading(item, values=tuple(tuple(text.split("\n")) for text in texts))
    return Reading(item, page_texts=texts)
