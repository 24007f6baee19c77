"""Read an evidence file, whatever it is, and make the item that the bundle will store."""

from typing import Any, NoReturn, TypeGuard

from pydantic import ValidationError

from evidence.errors import HostileInputError, InputError, Problem, SillmarkError
from evidence.exhibits import KINDS, call, sniff
from evidence.exhibits._answer import Answer, Reader
from evidence.exhibits._base import Reading
from evidence.exhibits._channel_item import fields_of, warnings_of
from evidence.exhibits.channels import ChannelSet, of_table, set_of_answer
from evidence.jsondoc import Json, digest
from evidence.model.exhibit import Item
from evidence.model.names import CODE_ROLES, Role

CODES_UNREAD = "photo-codes-unread"


def code_reader(role: Role) -> str | None:
    """Which reader looks for codes in a photo of a role; None where none is expected, so that no time is spent."""
    if role not in CODE_ROLES:
        return None
    # what stands small in an overview is not worth searching every pixel
    return "codes" if role == Role.OVERVIEW else "codes-expected"


def read(
    data: bytes, where: str, exhibit: str, *, reader: Reader, photo: str = "photo", codes: str | None = None
) -> Reading:
    """Read one evidence file, whatever it is.

    Args:
        data: the whole file.
        where: name for messages, ``photos/E001.jpg``; its ending is compared with the content.
        exhibit: id of the exhibit.
        reader: runs the guarded kinds; the guard's ``run``.
        photo: which reader takes photos: ``photo``, or one that also gives the picture as printed.
        codes: which reader looks for codes where it is a photo, ``code_reader(role)``: ``codes`` at half size,
            ``codes-expected`` at full size as well where half the size shows none.

    Raises:
        InputError: the file is of no kind that is read, or its reader found it wrong.
        HostileInputError: the reader gave up, or answered nonsense.
    """
    media = sniff.media_type(data, where)
    kind = next(kind for kind in KINDS if media in kind.media_types)
    name = photo if kind.name == "photo" else kind.name
    answer = reader(name, data, where) if kind.guarded else call(name, data, where)
    if kind.makes == "channels":
        return _channels(exhibit, media, data, set_of_answer(answer, where), where)
    value = answer.value if isinstance(answer.value, dict) else {}
    warnings = value.get("warnings")
    if not _are_texts(warnings):
        _nonsense(where)
    noticed = set(warnings) | _of_the_name(media, where)
    content = value.get(kind.makes)
    if kind.name == "photo" and codes is not None and isinstance(content, dict):
        shown = _codes(codes, data, where, reader)
        content, noticed = {**content, **shown}, noticed | (set() if shown else {CODES_UNREAD})
    part = {"kind": kind.makes, kind.makes: content, "warnings": sorted(noticed)}
    item = _item(exhibit, media, data, part, where)
    if kind.name == "photo":
        return Reading(item, printed=_picture(answer.blobs, where, asked=photo != "photo"))
    return _reading(kind.makes, item, answer, where)


def channel_set(reading: Reading) -> ChannelSet:
    """The channels of a file that was read: of a set as they are, of a table those of its columns.

    Raises:
        InputError: no-channels where the file is neither, else as ``channels.of_table``.
    """
    if reading.channels is not None:
        return reading.channels
    where = reading.item.id
    if reading.item.table is None:
        raise InputError.one("no-channels", where, found=reading.item.kind)
    return of_table(reading.item.table, reading.values, where)


def unreadable(data: bytes, error: SillmarkError, exhibit: str) -> Item:
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


def _codes(name: str, data: bytes, where: str, reader: Reader) -> dict[str, Json]:
    """The fields of a photo that say which codes it shows; none where the search gave up, which spoils no photo."""
    try:
        answer = reader(name, data, where)
    except HostileInputError:
        return {}
    value = answer.value
    if not isinstance(value, dict) or set(value) != {"codes", "left_out"} or answer.blobs:
        _nonsense(where)
    return {"codes": value["codes"], "codes_left_out": value["left_out"]}


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


def _of_the_name(media: str, where: str) -> set[str]:
    return set() if sniff.fits_extension(media, where) else {"exhibit-extension"}


def _channels(exhibit: str, media: str, data: bytes, found: ChannelSet, where: str) -> Reading:
    warnings = sorted(warnings_of(found) | _of_the_name(media, where))
    part = {"kind": "channels", "channels": fields_of(found), "warnings": warnings}
    return Reading(_item(exhibit, media, data, part, where), channels=found)


def _item(exhibit: str, media: str, data: bytes, fields: dict[str, Any], where: str) -> Item:
    identity = {"id": exhibit, "media_type": media, "sha256": digest(data), "bytes": len(data)}
    try:
        return Item.read({**fields, **identity})
    except ValidationError:
        _nonsense(where)


def _picture(blobs: tuple[bytes, ...], where: str, *, asked: bool) -> bytes | None:
    """The one JPEG that was asked for, or none where none was."""
    if not asked and not blobs:
        return None
    if (
        not asked
        or len(blobs) != 1
        or not blobs[0].startswith(b"\xff\xd8\xff")
        or not blobs[0].endswith(b"\xff\xd9")
    ):
        _nonsense(where)
    return blobs[0]


def _reading(kind: str, item: Item, answer: Answer, where: str) -> Reading:
    try:
        texts = tuple(blob.decode("utf-8") for blob in answer.blobs)
    except UnicodeError:
        _nonsense(where)
    if kind == "table":
        return Reading(item, values=tuple(tuple(text.split("\n")) for text in texts))
    return Reading(item, page_texts=texts)
