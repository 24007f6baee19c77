"""What a calibration paper is: read from the usual writings of its kind, never compared letter by letter.

ISO 6789 was split in 2017: part 1 is about the design of hand torque tools and ends in the maker's declaration of
conformance, part 2 is about calibration and ends in a certificate with an uncertainty. The first is not the second.
"""

import re
from collections.abc import Iterable
from enum import Enum

from evidence.judge._evidence import legible
from evidence.judge._scope import fold
from evidence.model.names import ClaimName
from evidence.model.record import Document


class Kind(Enum):
    """What a paper says it is."""

    DECLARATION = "ISO 6789-1"
    TOOL_CALIBRATION = "ISO 6789-2"
    ACCREDITED = "ISO/IEC 17025"


_PART = r"(?:part|pt\.?)\s*"
_WRITINGS: tuple[tuple[str, Kind], ...] = (
    (rf"6789(?:\s*[-/,]\s*|\s+)(?:{_PART})?1(?!\d)", Kind.DECLARATION),
    (rf"6789(?:\s*[-/,]\s*|\s+)(?:{_PART})?2(?!\d)", Kind.TOOL_CALIBRATION),
    (rf"(?<![a-z0-9]){_PART}1(?!\d)", Kind.DECLARATION),
    (rf"(?<![a-z0-9]){_PART}2(?!\d)", Kind.TOOL_CALIBRATION),
    (r"declaration of conform(?:ance|ity)|conform(?:ance|ity) declaration", Kind.DECLARATION),
    (r"(?<!\d)17025(?!\d)", Kind.ACCREDITED),
)
"""Writing, on folded text with every dash made a hyphen, to the kind it names. ``ISO 6789:2003`` names none: it was
not split yet."""
_DASHES = re.compile("[\u2010-\u2015\u2212]")
_DENIAL = re.compile(r"\b(?:not|non|without|instead)\b")


def kinds_named(text: str) -> frozenset[Kind]:
    """Every kind that the text names; none where it is written otherwise, or denies one."""
    plain = _DASHES.sub("-", fold(text))
    if _DENIAL.search(plain):
        return frozenset()
    return frozenset(kind for writing, kind in _WRITINGS if re.search(writing, plain))


def is_one_of(text: str, allowed: Iterable[str]) -> bool:
    """Whether a writing names an allowed kind of paper, and no other kind beside it."""
    named = kinds_named(text)
    return bool(named) and named <= frozenset(kind for one in allowed for kind in kinds_named(one))


def is_declaration(paper: Document) -> bool:
    """Whether a paper certainly is a maker's declaration and no calibration certificate."""
    stated = [kinds_named(text) for text in legible(paper, ClaimName.CERTIFICATE_KIND)]
    return bool(stated) and all(kinds == {Kind.DECLARATION} for kinds in stated)


def only_declarations(papers: Iterable[Document]) -> tuple[Document, ...]:
    """The papers where every one of them is a declaration; none where one of them may be a calibration."""
    found = tuple(papers)
    return found if all(is_declaration(paper) for paper in found) else ()
