"""The order in which findings stand on paper: by basis, then the maker's manual, then practice; clauses by number."""

import re

from evidence.dossier._input import DossierInput
from evidence.model.finding import Finding
from evidence.model.names import Group

_GROUPS = {group: place for place, group in enumerate((Group.STANDARD, Group.PROFILE, Group.PRACTICE))}
_Key = list[tuple[int, int, str]]


def printed_order(source: DossierInput) -> tuple[Finding, ...]:
    """All findings of the manifest in the order of the matrix."""
    packs = pack_order(source)

    def key(finding: Finding) -> tuple[int, int, _Key, str, _Key]:
        place = packs.index(pack_of(finding)) if finding.group == Group.STANDARD else 0
        clause, subject = natural(finding.clause), natural(finding.subject)
        return _GROUPS[finding.group], place, clause, finding.requirement, subject

    return tuple(sorted(source.manifest.findings, key=key))


def pack_order(source: DossierInput) -> list[str]:
    """Packs with findings of standards, as the bases name them, then any other."""
    found = sorted(
        {pack_of(finding) for finding in source.manifest.findings if finding.group == Group.STANDARD}
    )
    named = [pack for basis in source.manifest.bases for pack in basis.packs if pack in found]
    return list(dict.fromkeys([*named, *found]))


def pack_of(finding: Finding) -> str:
    """``pack@version`` or ``profile.id@revision`` of a finding."""
    return finding.requirement.split("/", 1)[0]


def natural(text: str) -> _Key:
    """Sort key that puts clause 4.2 before 10.1 and p2 before p10."""
    parts = re.findall(r"[0-9]+|[^0-9]+", text)
    return [(0, int(part), "") if part[0] in "0123456789" else (1, 0, part) for part in parts]
