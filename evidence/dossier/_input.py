"""What a dossier is made from: the checked manifest and what it stands on, nothing else."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from evidence.anchoring import Sheet
from evidence.model.exhibit import Item
from evidence.model.manifest import Manifest
from evidence.model.measurement import Marks
from evidence.model.names import Region
from evidence.model.people import People
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.pulling import Course
from evidence.pulsing import DrawnCurve
from evidence.register.demand import Demands
from evidence.register.editions import Editions

Say = Callable[[str, Mapping[str, object]], str]
"""Turns a code with parameters into a sentence of the wanted language."""
Data = dict[str, Any]
"""A JSON object: text, whole numbers, true and false, lists and objects all the way down."""
Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True)
class DossierInput:
    """Everything that one dossier prints.

    Attributes:
        manifest: the checked manifest.
        manifest_digest: SHA-256 of its bytes, 64 lower-case hexadecimal digits.
        key_id: SHA-256 of the public key's DER, likewise.
        record: the job record that the manifest names.
        profile: the fitting profile that the manifest names.
        people: names, notes and file names; None in a redacted dossier.
        items: exhibit id to what its file says of itself.
        demands: what was asked, with titles and limits.
        language: two letters; the language of everything that the program says.
        redacted: whether this is the copy without personal values.
        paper: size of the page.
        shown_pages: names of the pictures of pages that a person read or cited, as far as this copy shows them.
        left_out_pages: names of read ones that a dossier has no room for.
        marks: exhibit id of a measured photo to where the measurement's lines lie in it.
        pulls: id of a static pull to its course, as far as it can be drawn.
        pulses: id of a sled run to those of its curves that are drawn.
        anchorages: anchorage sheets of the job, computed.
        editions: the register, by which a report to an edition that was replaced is labelled.
        copied: when this copy of a sealed dossier was printed, in words; empty in the dossier itself.
    """

    manifest: Manifest
    manifest_digest: str
    key_id: str
    record: JobRecord
    profile: Profile
    people: People | None
    items: Mapping[str, Item]
    demands: Demands
    language: str = "en"
    redacted: bool = False
    paper: Paper = "a4"
    shown_pages: frozenset[str] = frozenset()
    left_out_pages: frozenset[str] = frozenset()
    marks: Mapping[str, Marks] = field(default_factory=dict)
    pulls: Mapping[str, Course] = field(default_factory=dict)
    pulses: Mapping[str, tuple[DrawnCurve, ...]] = field(default_factory=dict)
    editions: Editions | None = None
    anchorages: tuple[Sheet, ...] = ()
    copied: str = ""

    def __post_init__(self) -> None:
        if self.redacted and self.people is not None:
            # a forgotten argument here would print every name, so it is refused, not ignored
            raise ValueError("a redacted dossier is made without people")

    @property
    def north_american(self) -> bool:
        """Whether a basis comes from North America, which rules words and paper."""
        return is_north_american(self.manifest)

    @property
    def invented(self) -> bool:
        """Whether a pack or the profile holds numbers that were invented for a demonstration."""
        packs = any(pack.invented for pack in self.manifest.packs)
        return packs or self.manifest.profile.invented


def is_north_american(manifest: Manifest) -> bool:
    """Whether any pack of the manifest belongs to North America."""
    return any(pack.region == Region.NORTH_AMERICA for pack in manifest.packs)


def paper_for(manifest: Manifest) -> Paper:
    """The paper that readers of these bases use: Letter in North America, else A4."""
    return "us-letter" if is_north_american(manifest) else "a4"
