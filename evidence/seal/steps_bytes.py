"""Steps that look at names, sums and signature and parse nothing but lists: 1 size, 2 listing, 3 sums, 4 signature."""

from evidence import jsondoc
from evidence.errors import InputError, Problem
from evidence.seal import layout
from evidence.seal.bag import Findings, Progress, finding
from evidence.seal.paths import shown
from evidence.seal.public_key import is_strict_der, read_public_key
from evidence.seal.tag import read_sums
from evidence.seal.verdicts import VerdictCode, of_problems

_DIGITS_SHOWN = 12  # hexadecimal digits of a digest in a message; enough to compare by eye


def size(progress: Progress) -> Findings:
    """1. Nothing is larger than an honest bundle, so that everything after this ends in time."""
    caps, sizes = progress.question.caps, progress.view.sizes
    too_many = [problem for problem in progress.view.problems if problem.code == "tree-too-large"]
    found = list(of_problems(too_many, VerdictCode.TOO_LARGE))
    totals = ((len(sizes), caps.files, "files"), (sum(sizes.values()), caps.bag, "bytes"))
    found += [
        finding(VerdictCode.TOO_LARGE, ".", found=f"{total} {unit}", limit=f"{cap} {unit}")
        for total, cap, unit in totals
        if total > cap
    ]
    return found + [
        finding(VerdictCode.TOO_LARGE, shown(path), found=f"{count} bytes", limit=f"{caps.of(path)} bytes")
        for path, count in sorted(sizes.items())
        if count > caps.of(path)
    ]


def listing(progress: Progress) -> Findings:
    """2. Plain files with safe names, exactly those that the lists name; and the lists themselves are in order."""
    view = progress.view
    found = list(of_problems(view.problems, VerdictCode.PATH_NOT_ALLOWED))
    found += [finding(VerdictCode.EXTRA_FILE, shown(folder) + "/") for folder in view.empty_folders]
    tag_sums, tag_problems = _read_list(progress, layout.TAG_SUMS_PATH)
    sums, problems = _read_list(progress, layout.SUMS_PATH)
    found += of_problems((*tag_problems, *problems), VerdictCode.MANIFEST_SYNTAX)
    found += _missing_tags(progress)
    if tag_problems or problems or tag_sums is None or sums is None:
        return found
    found += _list_content(tag_sums, sums)
    progress.tag_sums, progress.sums = tag_sums, sums
    return found + _against_lists(progress, tag_sums, sums)


def _read_list(progress: Progress, path: str) -> tuple[dict[str, str] | None, tuple[Problem, ...]]:
    if path not in progress.view.sizes:
        return None, ()
    data = progress.raw[path] = progress.view.read(path, progress.question.caps.tag)
    return read_sums(data, path)


def _unusable(progress: Progress) -> set[str]:
    """Paths that are there but as a link or special file; they are not also called missing."""
    return {problem.where for problem in progress.view.problems}


def _missing_tags(progress: Progress) -> Findings:
    there = set(progress.view.sizes) | _unusable(progress)
    wanted = (*layout.TAG_PATHS, layout.TAG_SUMS_PATH)
    return [finding(VerdictCode.FILE_MISSING, path) for path in wanted if path not in there]


def _list_content(tag_sums: dict[str, str], sums: dict[str, str]) -> Findings:
    found = [
        finding(VerdictCode.MANIFEST_SYNTAX, layout.TAG_SUMS_PATH, found=path, reason="not-listed")
        for path in layout.TAG_PATHS
        if path not in tag_sums
    ]
    found += [
        finding(VerdictCode.PATH_NOT_ALLOWED, shown(path), reason="outside-payload")
        for path in sums
        if not path.startswith(layout.PAYLOAD)
    ]
    if not sums:  # an empty list agrees with everything and proves nothing
        found.append(finding(VerdictCode.MANIFEST_SYNTAX, layout.SUMS_PATH, reason="empty-list"))
    return found


def _against_lists(progress: Progress, tag_sums: dict[str, str], sums: dict[str, str]) -> Findings:
    sizes = progress.view.sizes
    known = {*layout.TAG_PATHS, layout.TAG_SUMS_PATH, layout.SIGNATURE_PATH, *sums}
    # a name that the signed list has beyond the agreed ones is no part of a bundle, signed or not
    extra = (set(sizes) | (set(tag_sums) & set(sizes))) - known
    wanted = {layout.MANIFEST_PATH, *sums, *(set(tag_sums) - set(layout.TAG_PATHS))}
    missing = wanted - set(sizes) - _unusable(progress)
    return [finding(VerdictCode.EXTRA_FILE, shown(path)) for path in sorted(extra)] + [
        finding(VerdictCode.FILE_MISSING, shown(path)) for path in sorted(missing)
    ]


def sums(progress: Progress) -> Findings:
    """3. Every listed file still has its digest."""
    listed = progress.listed()
    present = sorted(path for path in listed if path in progress.view.sizes)
    # the list that was read is hashed as it was read: read again, it could be another by now
    own = {path: jsondoc.digest(data) for path, data in progress.raw.items() if path in present}
    actual = {**progress.view.digests([path for path in present if path not in own]), **own}
    return [
        finding(
            VerdictCode.DIGEST_MISMATCH,
            path,
            expected=listed[path][:_DIGITS_SHOWN],
            found=actual[path][:_DIGITS_SHOWN],
        )
        for path in present
        if actual[path] != listed[path]
    ]


def signature(progress: Progress) -> Findings:
    """4. The signature holds over the raw bytes of the signed list, under the key that the bag carries."""
    view, caps, where = progress.view, progress.question.caps, layout.SIGNATURE_PATH
    if where not in view.sizes:
        return [finding(VerdictCode.SIGNATURE_MISSING, where)]
    fault = _read_key(progress, view.read(layout.KEY_PATH, caps.tag))
    mark = view.read(where, caps.signature)
    signed = progress.raw.get(layout.TAG_SUMS_PATH) or view.read(layout.TAG_SUMS_PATH, caps.tag)
    if not fault and not is_strict_der(mark):
        fault = "not-der"
    if not fault and not (progress.key and progress.key.verifies(mark, signed)):
        fault = "wrong-key"
    return [finding(VerdictCode.SIGNATURE_INVALID, where, reason=fault)] if fault else []


def _read_key(progress: Progress, carried: bytes) -> str:
    """Read the public key; a spelling that other programs could read otherwise is none."""
    try:
        key = read_public_key(carried, layout.KEY_PATH)
    except InputError as error:
        return error.problems[0].code
    if carried != key.pem:
        return "key-malformed"
    progress.key = key
    return ""
