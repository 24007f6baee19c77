"""What a verification is given, and what its steps hand on to each other."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from evidence import jsondoc
from evidence.errors import InputError, Problem
from evidence.model.seal import Seal
from evidence.model.trust import Trust
from evidence.seal import layout
from evidence.seal.public_key import PublicKey
from evidence.seal.verdicts import VerdictCode, VerdictFinding


class BagView(Protocol):
    """A bag as a verifier sees it; it is never written to."""

    @property
    def sizes(self) -> Mapping[str, int]:
        """Regular files, relative path to bytes."""

    @property
    def empty_folders(self) -> Sequence[str]:
        """Folders that hold nothing."""

    @property
    def problems(self) -> Sequence[Problem]:
        """What the listing found: links, special files, names, too many entries."""

    def digests(self, paths: Sequence[str]) -> Mapping[str, str]:
        """SHA-256 of each file."""

    def read(self, path: str, cap: int) -> bytes:
        """Bytes of one file; InputError where it is larger than ``cap`` bytes."""


@dataclass(frozen=True)
class Caps:
    """Largest sizes that are looked at; bytes, except ``files``."""

    files: int = layout.MAX_FILES
    bag: int = layout.MAX_BAG_BYTES
    file: int = layout.MAX_FILE_BYTES
    tag: int = layout.MAX_TAG_BYTES
    signature: int = layout.MAX_SIGNATURE_BYTES
    json: int = jsondoc.MAX_BYTES
    dossier: int = layout.MAX_DOSSIER_BYTES

    def of(self, path: str) -> int:
        """The cap of one file, in bytes."""
        if path == layout.SIGNATURE_PATH:
            return self.signature
        if not path.startswith(layout.PAYLOAD):
            return self.tag
        if layout.is_own_json(path):
            return self.json
        return self.dossier if layout.is_dossier(path) else self.file


@dataclass(frozen=True)
class Question:
    """What the reader wants to know.

    Attributes:
        trust: pinned keys; None where there is no trust file.
        as_of: the reader's day, against which a key's term is held.
        judge: version of the judging rules of this program.
        integrity_only: leave out whose key it is.
        caps: sizes.
    """

    trust: Trust | None
    as_of: date
    judge: int
    integrity_only: bool = False
    caps: Caps = field(default_factory=Caps)


@dataclass(frozen=True)
class Helpers:
    """What verification needs from elsewhere.

    Attributes:
        attached: PDF bytes to its attachments by name; must raise InputError where two share a name.
        check: schema kind and decoded document to Problems; kinds as ``layout.document_kind`` names them.
        recompute: judges the bag again and answers what differs; None where nobody asked for it.
    """

    attached: Callable[[bytes], Mapping[str, bytes]]
    check: Callable[[str, jsondoc.Json], Iterable[Problem]]
    recompute: Callable[[BagView], Iterable[Problem]] | None = None


@dataclass
class Progress:
    """What the steps know so far.

    Attributes:
        tag_sums: content of the signed list, once it was read without fault.
        sums: content of the payload's list, likewise.
        key: public key that the bag carries.
        documents: decoded JSON files, after the signature held.
        seal: the checked seal.
        raw: the lists as read once: what was parsed is what is hashed and whose signature is checked.
        passed: names of the steps that found nothing wrong.
    """

    view: BagView
    question: Question
    helpers: Helpers
    tag_sums: dict[str, str] | None = None
    sums: dict[str, str] | None = None
    key: PublicKey | None = None
    documents: dict[str, jsondoc.Json] = field(default_factory=dict)
    seal: Seal | None = None
    raw: dict[str, bytes] = field(default_factory=dict)
    passed: set[str] = field(default_factory=set)

    def listed(self) -> dict[str, str]:
        """Path to digest of everything that the two lists name."""
        return {**(self.tag_sums or {}), **(self.sums or {})}

    def read_sealed(self, path: str) -> bytes:
        """Bytes that still have the listed digest, so that nothing was swapped since it was computed.

        Raises:
            InputError: changed-while-read, or as the view says.
        """
        content = self.view.read(path, self.question.caps.of(path))
        if jsondoc.digest(content) != self.listed()[path]:
            raise InputError.one("changed-while-read", path)
        return content


def finding(code: VerdictCode, where: str, pointer: str = "", **parameters: str) -> VerdictFinding:
    """A finding with its parameters as keywords."""
    return VerdictFinding(code, where, pointer, parameters)


Findings = list[VerdictFinding]
"""What one step hands back; empty where nothing is wrong."""
