"""What readers of evidence share: what was read, and how text that a file claims is cleaned."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from evidence.exhibits._channel import ChannelSet
from evidence.jsondoc import Json
from evidence.model._base import MAX_NAME
from evidence.model.exhibit import Item


@dataclass(frozen=True)
class Reading:
    """An evidence file read.

    Attributes:
        item: what the bundle stores about it.
        printed: of a photo, where it was asked for: JPEG of the picture as printed, without metadata.
        page_texts: of a document: text of each page, first page first; transient, never stored.
        values: of a table: one tuple of decimal strings per column, as ``item.table.columns`` names them.
        channels: of a set of measured channels: the channels with their samples.
    """

    item: Item
    printed: bytes | None = None
    page_texts: tuple[str, ...] = ()
    values: tuple[tuple[str, ...], ...] = ()
    channels: ChannelSet | None = None


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
