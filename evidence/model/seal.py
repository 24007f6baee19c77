"""seal/seal.json: what one signature covers, who is said to have made it and when."""

from datetime import date, datetime
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, Field

from evidence.model._base import MAX_LIST, Model, Sha256, Slug, refuse, text_of
from evidence.model.names import Function

SEAL_FORMAT: Final = "sillmark-seal/0"
SCHEME: Final = "bagit-sha256-ecdsa-p256"
SEAL_PATH = "seal/seal.json"

_OFFSET_PATTERN = r"(Z|[+\-](0[0-9]|1[0-4]):[0-5][0-9])"
_MINUTE_PATTERN = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}"
_CALENDAR_DAY_PATTERN = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"


def _instant(text: str) -> str:
    # the pattern holds the form, this holds the calendar: there is no 30 February and no 25 o'clock
    try:
        datetime.fromisoformat(text)
    except ValueError as error:
        raise refuse("instant-malformed", found=text[:40]) from error
    return text


def _calendar_day(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError as error:
        raise refuse("date-unreadable", found=text[:40]) from error
    return text


_SECOND_PATTERN = rf"{_MINUTE_PATTERN}(:[0-9]{{2}})?{_OFFSET_PATTERN}"
_EXACT_MINUTE_PATTERN = rf"{_MINUTE_PATTERN}{_OFFSET_PATTERN}"

Instant = Annotated[str, *text_of(_SECOND_PATTERN, "instant-malformed"), AfterValidator(_instant)]
"""A minute or second with its offset from UTC, as text: ``2026-03-20T16:05+01:00``."""
Minute = Annotated[str, *text_of(_EXACT_MINUTE_PATTERN, "instant-malformed"), AfterValidator(_instant)]
"""A minute with its offset from UTC, as text: ``2026-03-04T10:40+01:00``."""
CalendarDay = Annotated[
    str, *text_of(_CALENDAR_DAY_PATTERN, "date-unreadable"), AfterValidator(_calendar_day)
]
"""A day as text: ``2026-03-04``."""
Tool = Annotated[str, *text_of(r"[!-~][ -~]{0,59}", "text-not-ascii")]
"""Program and version, printable ASCII: it is also a line of bag-info.txt."""


class LeafList(Model):
    """How many lines a list of leaves has, and the SHA-256 of its bytes."""

    count: Annotated[int, Field(ge=0, le=1_000_000)]
    sha256: Sha256


class Seal(Model):
    """The statement that is signed, through the list of files that names its digest.

    Attributes:
        chain: digest of the first bag's tagmanifest; none in bag 0.
        evidence: the leaves that every reader gets.
        function: what the signer states to be; none where it was not stated.
        issued: the signer's own word for the time of sealing.
        issued_from: where that time came from.
        judge: version of the judging rules that gave the outcomes.
        key: SHA-256 of the public key's DER (SubjectPublicKeyInfo).
        kind: why this bag was made.
        manifest: SHA-256 of data/manifest.json.
        personal: the leaves that a disclosure may withhold.
        prev: digest of the previous bag's tagmanifest; none in bag 0.
        reason: code for why a later bag was made.
        scheme: the only combination of container, hash and signature that this format knows.
        sequence: place in the vehicle's chain, from 0.
        supersedes: tagmanifest digests of bags that this one replaces.
        tool: program and version.
    """

    chain: Sha256 | None
    evidence: LeafList
    format: Literal["sillmark-seal/0"]
    function: Function | None
    issued: Instant
    issued_from: Literal["option", "epoch", "clock"]
    judge: Annotated[int, Field(ge=1, le=1_000_000)]
    key: Sha256
    kind: Literal["build"]
    manifest: Sha256
    personal: LeafList
    prev: Sha256 | None
    reason: Slug | None
    scheme: Literal["bagit-sha256-ecdsa-p256"]
    sequence: Annotated[int, Field(ge=0, le=9999)]
    supersedes: Annotated[tuple[Sha256, ...], Field(max_length=MAX_LIST)]
    tool: Tool

    def document(self, *, nulls: bool = True) -> dict[str, Any]:
        """The seal as JSON values; what is not given stands there as null, so that it cannot be added unseen."""
        return super().document(nulls=nulls)
