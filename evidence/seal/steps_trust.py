"""Step 8: whose key it is. The bundle has no say in this; only the reader's own list of keys has."""

from evidence.errors import InputError
from evidence.model.trust import TrustedKey
from evidence.seal import layout
from evidence.seal.bag import Findings, Progress, finding
from evidence.seal.public_key import read_public_key
from evidence.seal.verdicts import VerdictCode

_OPEN_START, _OPEN_END = "0000-00-00", "9999-99-99"  # before and after every day, as text


def trust(progress: Progress) -> Findings:
    """8. The key is pinned, was not withdrawn and is in force, both when it signed and today."""
    if progress.key is None:
        raise ValueError("this step runs only after the signature was checked")
    key, pinned = progress.key.id, progress.question.trust
    if pinned is None or not pinned.keys:
        return [finding(VerdictCode.UNTRUSTED, layout.KEY_PATH, key=key)]
    entries = [entry for entry in pinned.keys if entry.key == key]
    if not entries or any(_own_id(entry) != key for entry in entries):
        return [finding(VerdictCode.UNKNOWN_KEY, layout.KEY_PATH, key=key)]
    # where a list names a key twice, the stricter entry counts
    return [found for entry in entries for found in _in_force(entry, progress)]


def _own_id(entry: TrustedKey) -> str:
    try:
        return read_public_key(entry.pem.encode("utf-8"), "trust.json").id
    except InputError:
        return ""


def _in_force(entry: TrustedKey, progress: Progress) -> Findings:
    if entry.revoked is not None:
        return [finding(VerdictCode.REVOKED, layout.KEY_PATH, key=entry.key, found=entry.revoked)]
    first, last = entry.valid_from or _OPEN_START, entry.valid_until or _OPEN_END
    days = [progress.question.as_of.isoformat()]
    if progress.seal is not None:
        days.append(progress.seal.issued[:10])
    term = f"{entry.valid_from or '…'} to {entry.valid_until or '…'}"
    return [
        finding(VerdictCode.EXPIRED, layout.KEY_PATH, key=entry.key, found=day, expected=term)
        for day in sorted(set(days))
        if not first <= day <= last
    ]
