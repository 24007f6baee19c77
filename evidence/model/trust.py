"""trust.json: the public keys that a reader has decided to believe, and until when."""

from typing import Annotated, Any, Final, Literal

from pydantic import Field, StringConstraints

from evidence.model._base import Model, Sha256
from evidence.model.seal import CalendarDay

TRUST_FORMAT: Final = "sillmark-trust/0"
ALGORITHM: Final = "ecdsa-p256-sha256"
MAX_KEYS = 1000  # an agency with many builders pins about twenty


class TrustedKey(Model):
    """One pinned key.

    Attributes:
        key: SHA-256 of the public key's DER.
        pem: the public key, SubjectPublicKeyInfo as PEM.
        algorithm: how signatures of this key are checked; the bundle has no say in it.
        valid_from: first day on which the key may have signed, where known.
        valid_until: last day, where known.
        revoked: day on which its owner withdrew it, where that happened.
        successor: id of the key that replaces it, where named.
    """

    key: Sha256
    pem: Annotated[str, StringConstraints(min_length=1, max_length=2000)]
    algorithm: Literal["ecdsa-p256-sha256"]
    valid_from: CalendarDay | None = None
    valid_until: CalendarDay | None = None
    revoked: CalendarDay | None = None
    successor: Sha256 | None = None


class Trust(Model):
    """All pinned keys of one reader."""

    format: Literal["sillmark-trust/0"]
    keys: Annotated[tuple[TrustedKey, ...], Field(max_length=MAX_KEYS)]

    def document(self, *, nulls: bool = True) -> dict[str, Any]:
        """The file as JSON values; unknown dates stand there as null, so that a person sees what could be filled."""
        return super().document(nulls=nulls)

    def find(self, key: str) -> TrustedKey | None:
        """The entry of a key id, or none."""
        return next((entry for entry in self.keys if entry.key == key), None)
