"""Leaves: the payload files as two lists, those every reader gets and those a disclosure may withhold.

The class of a leaf follows from its path and, for an exhibit, from its kind. A signer cannot choose it.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from evidence.model.pages import annex_name, picture_name
from evidence.seal.tag import write_sums

PEOPLE = "data/people/"
ITEMS = "data/items/"
DERIVED = "data/derived/"
TWIN_KINDS = frozenset({"photo", "document"})  # tables and test sets never have a redacted twin
DOSSIER_KIND = "dossier"
_EXHIBIT_FOLDERS = ("data/files/", DERIVED)
_DERIVED_ENDINGS = {
    "photo": frozenset({".redacted.jpg"}),
    "document": frozenset({".redacted.pdf", ".redacted.json"}),
}
"""What is made from each kind; pictures of pages stand apart."""
_DOSSIER_PREFIX = "data/dossier."


@dataclass(frozen=True)
class Leaves:
    """Both lists, path to digest."""

    evidence: Mapping[str, str]
    personal: Mapping[str, str]

    def evidence_bytes(self) -> bytes:
        """``seal/leaves-evidence.sha256``."""
        return write_sums(self.evidence)

    def personal_bytes(self) -> bytes:
        """``seal/leaves-personal.sha256``; may be empty."""
        return write_sums(self.personal)


def kinds_of(items: Mapping[str, Any]) -> dict[str, str]:
    """Exhibit id to kind, from the decoded ``data/items/*.json``; what says no kind is left out."""
    return {
        _stem(path): document["kind"]
        for path, document in sorted(items.items())
        if path.startswith(ITEMS) and isinstance(document, dict) and isinstance(document.get("kind"), str)
    }


def split(digests: Mapping[str, str], kinds: Mapping[str, str]) -> Leaves:
    """Sort payload files into the two lists.

    Args:
        digests: every payload path with its digest.
        kinds: exhibit id to kind, see ``kinds_of``.
    """
    twins = _redacted_stems(digests, kinds)
    personal = {path: digest for path, digest in digests.items() if _is_personal(path, twins)}
    evidence = {path: digest for path, digest in digests.items() if path not in personal}
    return Leaves(evidence, personal)


def wrong_twins(paths: Iterable[str], kinds: Mapping[str, str]) -> tuple[str, ...]:
    """Redacted copies of something that never has one, such as a test table."""
    return tuple(
        sorted(path for path in paths if _is_redacted(path) and _kind(path, kinds) not in _ALLOWED_TWINS)
    )


def strange_derived(
    paths: Iterable[str], kinds: Mapping[str, str], pages: Collection[str]
) -> tuple[str, ...]:
    """Files below ``data/derived/`` that belong to no photo or document, or are of no sort that is made of that kind.

    Args:
        paths: payload paths.
        kinds: exhibit id to kind, see ``kinds_of``.
        pages: names, without ending, of pictures of pages, see ``page_pictures``.
    """
    return tuple(
        sorted(
            path
            for path in paths
            if path.startswith(DERIVED)
            and not (
                kinds.get(_stem(path)) in TWIN_KINDS
                and (
                    _name(path).removeprefix(_stem(path)) in _DERIVED_ENDINGS[kinds[_stem(path)]]
                    or _name(path).removesuffix(".jpg") in pages
                )
            )
        )
    )


def page_pictures(record: Any) -> frozenset[str]:
    """Names of the pictures of pages that may exist.

    One for each page of a file that a claim of the record says was read, one in the annex for each page that a claim
    names, and one there for page 1 of every file.
    """
    given = record if isinstance(record, dict) else {}
    named = [
        (str(document["exhibit"]), int(claim["page"]), "read_by" in claim)
        for document in given.get("documents") or ()
        for claim in document.get("claims") or ()
        if "exhibit" in document and "page" in claim
    ]
    first = [annex_name(str(entry["id"]), 1) for entry in given.get("exhibits") or ()]
    cited = [annex_name(exhibit, page) for exhibit, page, _ in named]
    return frozenset(
        [*first, *cited, *(picture_name(exhibit, page) for exhibit, page, read in named if read)]
    )


_ALLOWED_TWINS = TWIN_KINDS | {DOSSIER_KIND}


def _is_personal(path: str, twins: frozenset[str]) -> bool:
    if path.startswith(PEOPLE):
        return True
    return _family(path) in twins and not _is_redacted(path)


def _redacted_stems(paths: Iterable[str], kinds: Mapping[str, str]) -> frozenset[str]:
    return frozenset(
        _family(path) for path in paths if _is_redacted(path) and _kind(path, kinds) in _ALLOWED_TWINS
    )


def _family(path: str) -> str:
    """What the siblings of one exhibit, or of the dossier, have in common; empty for all other files."""
    if path.startswith(_DOSSIER_PREFIX):
        return DOSSIER_KIND
    return f"exhibit {_stem(path)}" if path.startswith(_EXHIBIT_FOLDERS) else ""


def _kind(path: str, kinds: Mapping[str, str]) -> str:
    return DOSSIER_KIND if path.startswith(_DOSSIER_PREFIX) else kinds.get(_stem(path), "")


def _is_redacted(path: str) -> bool:
    return bool(_family(path)) and ".redacted." in _name(path)


def _stem(path: str) -> str:
    return _name(path).split(".", 1)[0]


def _name(path: str) -> str:
    return path.rsplit("/", 1)[-1]
