"""How packs and requirements are named."""

from dataclasses import dataclass

from evidence.errors import InputError, Problem

PROFILE_PREFIX = "profile."


@dataclass(frozen=True)
class PackReference:
    """``<id>@<version>``."""

    id: str
    version: int

    def __str__(self) -> str:
        return f"{self.id}@{self.version}"


@dataclass(frozen=True)
class RequirementId:
    """``<source>/<clause>/<criterion>``; the source is a pack or a profile with its version."""

    source: str
    clause: str
    criterion: str

    def __str__(self) -> str:
        return f"{self.source}/{self.clause}/{self.criterion}"

    @property
    def of_profile(self) -> bool:
        """Whether a fitting profile asks it, not a pack."""
        return self.source.startswith(PROFILE_PREFIX)


def parse_reference(text: str, where: str = "") -> PackReference:
    """Read ``en-1789-2020@1``.

    Args:
        text: the reference.
        where: place for the message.

    Raises:
        InputError: pack-reference-malformed.
    """
    identity, _, version = text.partition("@")
    if not identity or not version.isascii() or not version.isdigit() or version.startswith("0"):
        raise InputError((Problem("pack-reference-malformed", where, "", {"found": text[:60]}),))
    return PackReference(identity, int(version))


def parse_requirement(text: str, where: str = "") -> RequirementId:
    """Read ``en-1789-2020@1/5.3/test-deceleration``.

    Raises:
        InputError: requirement-malformed.
    """
    parts = text.split("/")
    if len(parts) != 3 or not all(parts) or "@" not in parts[0]:  # noqa: PLR2004 - source, clause, criterion
        raise InputError((Problem("requirement-malformed", where, "", {"found": text[:90]}),))
    return RequirementId(*parts)
