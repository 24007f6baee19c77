"""What the text of a code, or of a label that somebody typed, says: which vehicle, which thing, which lot.

Text in, values out. Nothing is guessed: a text that can be read in two ways is refused, and leading zeros stay.
"""

import re
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from evidence import gs1
from evidence.model._base import ID_PATTERN
from evidence.model._text import NONCE_PATTERN, VIN_PATTERN

MAX_TEXT = 200  # characters of the form that is kept
MIN_NUMBER = 6  # characters of a number that stands alone: a shorter one may count or name anything
Kind = Literal["ticket", "clock", "gs1", "vin", "serial", "plain"]

_TICKET = re.compile(rf"sillmark:({ID_PATTERN}):({ID_PATTERN}):({NONCE_PATTERN})", re.ASCII)
_CLOCK = re.compile(rf"sillmark-clock:({ID_PATTERN}):({NONCE_PATTERN})", re.ASCII)
_MODEL = r"[A-Za-z0-9][A-Za-z0-9 ./_-]{0,59}?"
_MARKER = r"(?:S/?N|SERIAL(?: ?(?:NO\.?|NUMBER|NR\.?))?)"
_SERIAL = re.compile(
    rf"(?:({_MODEL})[ ,;]+)?{_MARKER}(?:\s*[:#.]\s*|\s+)([A-Za-z0-9][A-Za-z0-9./_-]{{0,59}})",
    re.ASCII | re.IGNORECASE,
)
_PLAIN = re.compile(r"[A-Za-z0-9 ./_-]{1,64}", re.ASCII)
_VIN_WORD = re.compile(r"VIN(?: ?(?:NO\.?|NUMBER|NR\.?))?\s*[:#.]?\s*", re.ASCII | re.IGNORECASE)
_BUILD_WORD = re.compile(
    rf"BUILD(?: ?(?:NO\.?|NUMBER|NR\.?))?\s*[:#.]?\s*({ID_PATTERN})", re.ASCII | re.IGNORECASE
)
_VIN = re.compile(VIN_PATTERN, re.ASCII)
_VIN_END = 4  # characters at its end that are always digits (ISO 3779, from memory)
_FIELDS = re.compile(r"[,;|\s]+")


class LabelError(ValueError):
    """A text that is no label this program knows, or a wrong one.

    Attributes:
        reason: label-unknown, label-too-long, label-ambiguous, ticket-malformed, or a reason of ``gs1.Gs1Error``.
        position: index of the character where it goes wrong.
    """

    def __init__(self, reason: str, position: int = 0) -> None:
        super().__init__(f"{reason} at character {position + 1}")
        self.reason = reason
        self.position = position


@dataclass(frozen=True)
class Label:
    """What a label says; what it does not say is None.

    Attributes:
        kind: ticket of a job, ticket that shows the time, GS1 data, vehicle number, serial number, other identifier.
        text: the text in one form: reading it again gives the same label. Holds nothing beyond the other fields.
        job, subject, nonce: of a ticket; ``subject`` is a position or ``vehicle``.
        gtin: trade item number of 14 digits; of a medical device its device identifier.
        serial, lot: as written, leading zeros included.
        made_on, use_by: production and expiry date.
        vin, build: of a vehicle.
        model: words in front of a serial number.
    """

    kind: Kind
    text: str
    job: str | None = None
    subject: str | None = None
    nonce: str | None = None
    gtin: str | None = None
    serial: str | None = None
    lot: str | None = None
    made_on: date | None = None
    use_by: date | None = None
    vin: str | None = None
    build: str | None = None
    model: str | None = None


def read(text: str, *, year: int = gs1.REFERENCE_YEAR) -> Label:
    """What a text says.

    Args:
        text: of a code, ``]d2`` and the like in front where it is known, or as typed from a label.
        year: from which two-digit years of GS1 dates get their century.

    Raises:
        LabelError: it is none of the kinds, or says so and is wrong.
    """
    line = text.strip(" \t\r\n\0")
    label = _ticket(line) or _gs1(line, year) or _serial(line) or _vin(line) or _plain(line)
    if label is None:
        raise LabelError("label-unknown")
    if len(label.text) > MAX_TEXT:
        raise LabelError("label-too-long", MAX_TEXT)
    return label


def described(label: Label) -> tuple[str, dict[str, str]]:
    """Code of the words that tell a label on a page or screen, and the parameters that they name."""
    code: str = label.kind
    if label.kind == "vin" and label.build:
        code = "vin-build"
    elif label.kind == "serial" and label.model:
        code = "model-serial"
    named = ("text", "job", "subject", "serial", "model", "vin", "build")
    return f"code-{code}", {name: value for name in named if (value := getattr(label, name)) is not None}


def names_nothing(label: Label) -> bool:
    """Whether a label is a short number alone, with no model or trade item number that says of what."""
    if label.kind not in ("plain", "serial", "gs1") or label.model is not None or label.gtin is not None:
        return False
    return len(label.serial or label.text) < MIN_NUMBER


def same_serial(recorded: str, found: str) -> bool:
    """Whether two serial numbers are the same: as text, or as what a label or UDI says; never nearly.

    Case and spacing are slips of the pen; every other character counts, leading zeros first of all.

    Args:
        recorded: as in the record: a number, a label's text or a whole UDI.
        found: the same of another place.
    """
    one, other = _identity(recorded), _identity(found)
    if one.gtin and other.gtin and one.gtin != other.gtin:
        return False
    return _fold(one.serial or "") == _fold(other.serial or "") != ""


def same_vin(recorded: str, found: str) -> bool:
    """Whether two texts give the same vehicle identification number."""
    one, other = vin_in(recorded), vin_in(found)
    return one is not None and one == other


def vin_in(text: str) -> str | None:
    """The one vehicle identification number in a text of a door label or its code; None where none or several are."""
    marked = _VIN_WORD.match(text)
    rest = text[marked.end() :] if marked else text
    whole = _candidate(re.sub(r"[\s*-]", "", rest))
    if whole:
        return whole
    fields = [field for field in _FIELDS.split(rest.strip(" \t\r\n*,;|")) if field]
    found = [_candidate(_VIN_WORD.sub("", field).replace("-", "").strip("*")) for field in fields]
    several = {vin for vin in found if vin}
    # without the word in front, a number further back may be anything
    if len(several) == 1 and (marked or found[0] or _VIN_WORD.search(text)):
        return next(iter(several))
    return None


def _candidate(text: str) -> str | None:
    upper = text.upper()
    if len(upper) == 18 and upper.startswith("I"):  # noqa: PLR2004 - the I of imported vehicles and 17 characters
        upper = upper[1:]
    fits = _VIN.fullmatch(upper) is not None and upper[-_VIN_END:].isdigit()
    return upper if fits else None


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())


def _identity(text: str) -> Label:
    try:
        label = read(text)
    except LabelError:
        return Label("plain", text, serial=text)
    return label if label.serial else replace(label, serial=text)


def _ticket(line: str) -> Label | None:
    if match := _TICKET.fullmatch(line):
        return Label("ticket", line, job=match[1], subject=match[2], nonce=match[3])
    if match := _CLOCK.fullmatch(line):
        return Label("clock", line, job=match[1], nonce=match[2])
    if line.startswith(("sillmark:", "sillmark-clock:")):
        raise LabelError("ticket-malformed", line.index(":") + 1)
    return None


def _gs1(line: str, year: int) -> Label | None:
    try:
        parts = gs1.elements(line) if gs1.is_marked(line) else gs1.link_elements(line)
    except gs1.Gs1Error as error:
        raise LabelError(error.reason, error.position) from error
    if not parts:
        return None
    values = {part.identifier: part.value for part in parts}
    text = gs1.bracketed(parts)
    if {part.identifier: part.value for part in gs1.elements(text)} != values:
        raise LabelError("label-ambiguous")  # a value that holds a bracketed number itself
    return Label(
        "gs1",
        text,
        gtin=values.get("01"),
        serial=values.get("21"),
        lot=values.get("10"),
        made_on=gs1.day(values["11"], year) if "11" in values else None,
        use_by=gs1.day(values["17"], year) if "17" in values else None,
    )


def _serial(line: str) -> Label | None:
    match = _SERIAL.fullmatch(line)
    if match is None:
        return None
    model = " ".join(match[1].split()) if match[1] else None
    text = f"{model} SN {match[2]}" if model else f"SN {match[2]}"
    return Label("serial", text, serial=match[2], model=model)


def _vin(line: str) -> Label | None:
    vin = vin_in(line)
    if vin is None:
        return None
    named = _BUILD_WORD.search(line)
    build = named[1] if named else None
    return Label("vin", f"VIN {vin} BUILD {build}" if build else f"VIN {vin}", vin=vin, build=build)


def _plain(line: str) -> Label | None:
    return Label("plain", line) if _PLAIN.fullmatch(line) else None
