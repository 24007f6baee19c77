"""When two values of a record or paper are the same, by what they are: a serial, a lot, a vehicle number, a text.

The value of a label or of a whole device identifier (UDI) is taken out of it first. Case and spacing are slips of the
pen; every other difference counts, leading zeros first of all.
"""

import re
from collections.abc import Iterable
from enum import Enum

from evidence.judge._certificates import is_one_of
from evidence.judge._scope import fold
from evidence.labels import Label, LabelError, read, same_serial, same_vin

_LOT_WORD = re.compile(
    r"(?:lot|batch)(?: ?(?:no\.?|number|nr\.?))?(?:\s*[:#.]\s*|\s+)", re.ASCII | re.IGNORECASE
)


class Meaning(Enum):
    """What a value is."""

    SERIAL = "serial"
    LOT = "lot"
    VIN = "vin"
    CERTIFICATE = "certificate-kind"
    TEXT = "text"


_MEANINGS = {
    "lot": Meaning.LOT,
    "system-lot": Meaning.LOT,
    "locker-lot": Meaning.LOT,
    "system-serial": Meaning.SERIAL,
    "stretcher-serial": Meaning.SERIAL,
    "sample-serial": Meaning.SERIAL,
    "instrument-serial": Meaning.SERIAL,
    "module-serial": Meaning.SERIAL,
    "vin": Meaning.VIN,
    "certificate-kind": Meaning.CERTIFICATE,
}


def meaning(*names: str | None) -> Meaning:
    """What the values of these facts or claims are; a device identifier is what it is compared with."""
    found = [
        _MEANINGS[name.rpartition(".")[2]] for name in names if name and name.rpartition(".")[2] in _MEANINGS
    ]
    if found:
        return found[0]
    return Meaning.SERIAL if any(name and name.endswith("udi") for name in names) else Meaning.TEXT


def fits(value: str, allowed: Iterable[str], means: Meaning) -> bool:
    """Whether a value is one of the allowed ones."""
    wanted = tuple(allowed)
    if means == Meaning.CERTIFICATE and is_one_of(value, wanted):
        return True
    return any(same(value, one, means) for one in wanted)


def same(one: str, other: str, means: Meaning) -> bool:
    """Whether two values are the same."""
    if fold(one) == fold(other):
        return True
    if means == Meaning.SERIAL:
        return same_serial(one, other)
    if means == Meaning.VIN:
        return same_vin(one, other)
    return means == Meaning.LOT and _same_lot(one, other)


def entries(texts: Iterable[str]) -> tuple[str, ...]:
    """The entries of lists as papers write them: whole texts, and what commas or semicolons part."""
    pieces = [piece.strip() for text in texts for piece in (text, *re.split(r"[;,]", text))]
    return tuple(dict.fromkeys(piece for piece in pieces if piece))


def lot_in(text: str) -> str | None:
    """The lot that a text names: the text itself, what follows the word, or the lot of a device identifier.

    None where the text is a label or device identifier that names no lot, or one that cannot be read.
    """
    label = label_in(text)
    if label is None:
        return None
    if label.kind == "gs1":
        return label.lot
    return _LOT_WORD.sub("", text.strip(), count=1) if _LOT_WORD.match(text.strip()) else text.strip()


def label_in(text: str) -> Label | None:
    """What a text says as a label; None where it is meant as a device identifier or ticket and is wrong."""
    try:
        return read(text)
    except LabelError as error:
        return Label("plain", text) if error.reason in ("label-unknown", "label-too-long") else None


def _same_lot(one: str, other: str) -> bool:
    lots = lot_in(one), lot_in(other)
    return None not in lots and fold(lots[0] or "") == fold(lots[1] or "") != ""
