"""What a verifier can say: one constant each. Sentences and hints stand in ``phrases``."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from evidence.errors import Problem


class VerdictCode(StrEnum):
    """One thing that can be wrong with a bundle, or that its reader should know."""

    TOO_LARGE = "TOO_LARGE"
    SYMLINK = "SYMLINK"
    NOT_REGULAR_FILE = "NOT_REGULAR_FILE"
    PATH_NOT_ALLOWED = "PATH_NOT_ALLOWED"
    PATH_COLLISION = "PATH_COLLISION"
    MANIFEST_SYNTAX = "MANIFEST_SYNTAX"
    EXTRA_FILE = "EXTRA_FILE"
    FILE_MISSING = "FILE_MISSING"
    DIGEST_MISMATCH = "DIGEST_MISMATCH"
    SIGNATURE_MISSING = "SIGNATURE_MISSING"
    SIGNATURE_INVALID = "SIGNATURE_INVALID"
    MALFORMED = "MALFORMED"
    JSON_DUPLICATE_KEY = "JSON_DUPLICATE_KEY"
    TOO_DEEP = "TOO_DEEP"
    NUMBER_NOT_ALLOWED = "NUMBER_NOT_ALLOWED"
    NOT_CANONICAL = "NOT_CANONICAL"
    UNSUPPORTED_SCHEME = "UNSUPPORTED_SCHEME"
    SCHEMA_MISMATCH = "SCHEMA_MISMATCH"
    LEAF_SET_WRONG = "LEAF_SET_WRONG"
    UNTRUSTED = "UNTRUSTED"
    UNKNOWN_KEY = "UNKNOWN_KEY"
    REVOKED = "REVOKED"
    EXPIRED = "EXPIRED"
    CHAIN_BROKEN = "CHAIN_BROKEN"
    PDF_MANIFEST_DIFFERS = "PDF_MANIFEST_DIFFERS"
    RECOMPUTE_DIFFERS = "RECOMPUTE_DIFFERS"
    JUDGE_DIFFERS = "JUDGE_DIFFERS"
    ITEM_NOT_RECOMPUTED = "ITEM_NOT_RECOMPUTED"
    ITEM_SEALED_UNREAD = "ITEM_SEALED_UNREAD"
    ITEM_PERSONAL_WITHHELD = "ITEM_PERSONAL_WITHHELD"
    ITEM_CODES_UNREAD = "ITEM_CODES_UNREAD"


SIGNER_ONLY = frozenset(
    {VerdictCode.UNTRUSTED, VerdictCode.UNKNOWN_KEY, VerdictCode.REVOKED, VerdictCode.EXPIRED}
)
"""What speaks about the signer and not about the bytes."""


NOT_RECOMPUTED = frozenset(
    {
        VerdictCode.ITEM_NOT_RECOMPUTED,
        VerdictCode.ITEM_SEALED_UNREAD,
        VerdictCode.ITEM_PERSONAL_WITHHELD,
        VerdictCode.ITEM_CODES_UNREAD,
    }
)
"""What could not be compared, which is neither agreement nor difference."""


class BottomLine(StrEnum):
    """The last line of an answer."""

    VALID = "VALID"
    INTACT = "INTACT"
    INTACT_SIGNER_UNKNOWN = "INTACT_SIGNER_UNKNOWN"
    INTACT_KEY_NOT_VALID = "INTACT_KEY_NOT_VALID"
    NOT_VERIFIED = "NOT_VERIFIED"


@dataclass(frozen=True)
class VerdictFinding:
    """One verdict with its place.

    Attributes:
        code: the verdict.
        where: file inside the bundle, with a line number for a list; empty for the bundle itself.
        pointer: JSON pointer of the field, or empty.
        parameters: text values for the sentence.
        notice: the reader should know it, but it does not make the bundle wrong.
    """

    code: VerdictCode
    where: str
    pointer: str = ""
    parameters: Mapping[str, str] = field(default_factory=dict)
    notice: bool = False

    def order(self) -> tuple[object, ...]:
        """Sort key: file first, then line number, then field."""
        return (*Problem("", self.where, self.pointer).order(), self.code.value)


_C = VerdictCode
_OF_PROBLEM: dict[str, VerdictCode] = {
    "tree-too-large": _C.TOO_LARGE,
    "file-too-large": _C.TOO_LARGE,
    "file-symlink": _C.SYMLINK,
    "file-not-regular": _C.NOT_REGULAR_FILE,
    "file-absent": _C.FILE_MISSING,
    "file-vanished": _C.FILE_MISSING,
    "path-not-allowed": _C.PATH_NOT_ALLOWED,
    "path-collision": _C.PATH_COLLISION,
    "sums-syntax": _C.MANIFEST_SYNTAX,
    "sums-order": _C.MANIFEST_SYNTAX,
    "sums-duplicate": _C.MANIFEST_SYNTAX,
    "key-malformed": _C.SIGNATURE_INVALID,
    "key-not-p256": _C.SIGNATURE_INVALID,
    "json-too-large": _C.TOO_LARGE,
    "json-too-deep": _C.TOO_DEEP,
    "json-malformed": _C.MALFORMED,
    "json-duplicate-key": _C.JSON_DUPLICATE_KEY,
    "json-number-not-allowed": _C.NUMBER_NOT_ALLOWED,
    "json-not-canonical": _C.NOT_CANONICAL,
    "recompute-extra-missing": _C.ITEM_NOT_RECOMPUTED,
    "recompute-sealed-unread": _C.ITEM_SEALED_UNREAD,
    "recompute-people-withheld": _C.ITEM_PERSONAL_WITHHELD,
    "recompute-codes-unread": _C.ITEM_CODES_UNREAD,
}


def of_problems(problems: Iterable[Problem], default: VerdictCode) -> tuple[VerdictFinding, ...]:
    """Verdicts for Problems of readers and listings.

    Args:
        problems: what was found.
        default: verdict for a code that belongs to the step that asks, such as a schema's.

    Returns:
        In the given order; the Problem's code stays among the parameters as ``problem``.
    """
    return tuple(
        VerdictFinding(
            _OF_PROBLEM.get(problem.code, default),
            problem.where,
            problem.pointer,
            {**problem.parameters, "problem": problem.code},
            notice=_OF_PROBLEM.get(problem.code) in NOT_RECOMPUTED,
        )
        for problem in problems
    )
