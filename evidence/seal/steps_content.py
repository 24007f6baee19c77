"""Steps that read the signed content: 5 parse, 6 schema, 7 leaves, 9 chain, 10 dossier, 11 recompute."""

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from evidence import jsondoc
from evidence.errors import InputError, Problem
from evidence.model.seal import SCHEME, SEAL_FORMAT, SEAL_PATH, LeafList, Seal
from evidence.seal import layout, leaves
from evidence.seal.bag import Findings, Progress, finding
from evidence.seal.tag import read_sums
from evidence.seal.verdicts import VerdictCode, VerdictFinding, of_problems

RECORD = "data/inputs/record.json"
ATTACHED_NAME = "manifest.json"


def parse(progress: Progress) -> Findings:
    """5. Every document of this tool is strict, canonical JSON of a format and scheme that is known here."""
    found = _agreed_lines(progress)
    paths = [path for path in sorted(progress.sums or ()) if layout.is_own_json(path)]
    for path in (*paths, SEAL_PATH):
        try:
            document = jsondoc.decode_canonical(
                progress.read_sealed(path), path, cap=progress.question.caps.json
            )
        except InputError as error:
            found += of_problems(error.problems, VerdictCode.MALFORMED)
            continue
        progress.documents[path] = document
        found += _unsupported(path, document)
    return found


def _agreed_lines(progress: Progress) -> Findings:
    found: Findings = []
    if progress.read_sealed(layout.BAGIT_PATH) != layout.BAGIT_TEXT:
        found.append(finding(VerdictCode.MALFORMED, layout.BAGIT_PATH, reason="fixed-text"))
    payload = [progress.view.sizes[path] for path in progress.sums or ()]
    oxum = f"Payload-Oxum: {sum(payload)}.{len(payload)}".encode()
    if progress.read_sealed(layout.BAG_INFO_PATH).split(b"\n").count(oxum) != 1:
        found.append(finding(VerdictCode.MALFORMED, layout.BAG_INFO_PATH, reason="oxum-differs"))
    return found


def _unsupported(path: str, document: Any) -> Findings:
    kind = layout.document_kind(path)
    if kind in ("stub", "other") or not isinstance(document, dict):
        return []
    expected = (
        {"format": SEAL_FORMAT, "scheme": SCHEME} if path == SEAL_PATH else {"format": f"sillmark-{kind}/0"}
    )
    return [
        finding(
            VerdictCode.UNSUPPORTED_SCHEME, path, f"/{name}", found=str(document[name])[:60], expected=known
        )
        for name, known in expected.items()
        if name in document and document[name] != known
    ]


def schema(progress: Progress) -> Findings:
    """6. Every document has the fields of its format."""
    found: Findings = []
    for path, document in progress.documents.items():
        problems = progress.helpers.check(layout.document_kind(path), document)
        found += of_problems(
            (Problem(each.code, path, each.pointer, each.parameters) for each in problems),
            VerdictCode.SCHEMA_MISMATCH,
        )
    try:
        progress.seal = Seal.read(progress.documents[SEAL_PATH])
    except ValidationError as error:
        if not any(each.where == SEAL_PATH for each in found):
            found += [
                finding(
                    VerdictCode.SCHEMA_MISMATCH, SEAL_PATH, jsondoc.pointer(each["loc"]), rule=each["type"]
                )
                for each in error.errors(include_url=False, include_input=False)
            ]
    return found


def leaf_lists(progress: Progress) -> Findings:
    """7. The two lists of leaves are together the payload's list, each file in the list where it belongs."""
    sums, seal = progress.sums or {}, _seal(progress)
    contents = {path: progress.read_sealed(path) for path in (layout.EVIDENCE_PATH, layout.PERSONAL_PATH)}
    evidence, problems = read_sums(contents[layout.EVIDENCE_PATH], layout.EVIDENCE_PATH)
    personal, more = read_sums(contents[layout.PERSONAL_PATH], layout.PERSONAL_PATH)
    found = list(of_problems((*problems, *more), VerdictCode.MANIFEST_SYNTAX))
    if not evidence:  # a bag of nothing but withheld files would prove nothing
        found.append(finding(VerdictCode.LEAF_SET_WRONG, layout.EVIDENCE_PATH, reason="empty-list"))
    found += _placed(sums, evidence, personal, progress.documents)
    found += _counted("evidence", seal.evidence, contents[layout.EVIDENCE_PATH])
    found += _counted("personal", seal.personal, contents[layout.PERSONAL_PATH])
    if seal.manifest != sums.get(layout.MANIFEST_PATH):
        found.append(_wrong(SEAL_PATH, "digest-differs", "/manifest"))
    if progress.key is None or seal.key != progress.key.id:
        found.append(_wrong(SEAL_PATH, "key-differs", "/key"))
    return found


def _placed(
    sums: Mapping[str, str],
    evidence: Mapping[str, str],
    personal: Mapping[str, str],
    documents: Mapping[str, Any],
) -> Findings:
    kinds = leaves.kinds_of(documents)
    right = leaves.split(sums, kinds)
    twins = leaves.wrong_twins(sums, kinds)
    found = [_wrong(path, "no-twin-allowed") for path in twins]
    pages = leaves.page_pictures(documents.get(RECORD))
    strange = leaves.strange_derived(set(sums) - set(twins), kinds, pages)
    found += [_wrong(path, "derived-from-nothing") for path in strange]
    found += [_wrong(path, "not-listed") for path in sums if path not in evidence and path not in personal]
    for listed, members in ((evidence, right.evidence), (personal, right.personal)):
        found += [_wrong(path, "not-in-bundle") for path in listed if path not in sums]
        found += [_wrong(path, "wrong-class") for path in listed if path in sums and path not in members]
        found += [
            _wrong(path, "digest-differs") for path in listed if path in sums and listed[path] != sums[path]
        ]
    return found


def _counted(name: str, stated: LeafList, content: bytes) -> Findings:
    facts = (
        ("count", "count-differs", stated.count == content.count(b"\n")),
        ("sha256", "digest-differs", stated.sha256 == jsondoc.digest(content)),
    )
    return [_wrong(SEAL_PATH, reason, f"/{name}/{field}") for field, reason, agrees in facts if not agrees]


def _wrong(path: str, reason: str, pointer: str = "") -> VerdictFinding:
    return finding(VerdictCode.LEAF_SET_WRONG, path, pointer, reason=reason)


def _seal(progress: Progress) -> Seal:
    if progress.seal is None:
        raise ValueError("this step runs only after the seal was checked")
    return progress.seal


def chain(progress: Progress) -> Findings:
    """9. A first bag names no predecessor; a later one cannot be checked alone."""
    seal = _seal(progress)
    if seal.sequence:
        return [finding(VerdictCode.CHAIN_BROKEN, SEAL_PATH, "/sequence", reason="later-bundle")]
    return [
        finding(VerdictCode.CHAIN_BROKEN, SEAL_PATH, f"/{name}", reason="predecessor-named")
        for name, value in (
            ("chain", seal.chain),
            ("prev", seal.prev),
            ("reason", seal.reason),
            ("supersedes", seal.supersedes or None),
        )
        if value is not None
    ]


def dossier(progress: Progress) -> Findings:
    """10. Every dossier carries the manifest of this bag, byte for byte."""
    paths = [path for path in sorted(progress.sums or ()) if layout.is_dossier(path)]
    if not paths:
        return [finding(VerdictCode.PDF_MANIFEST_DIFFERS, "data/dossier.*.pdf", reason="no-dossier")]
    manifest = progress.read_sealed(layout.MANIFEST_PATH)
    faults = ((path, _attachment_fault(progress, path, manifest)) for path in paths)
    return [finding(VerdictCode.PDF_MANIFEST_DIFFERS, path, reason=fault) for path, fault in faults if fault]


def _attachment_fault(progress: Progress, path: str, manifest: bytes) -> str:
    content = progress.read_sealed(path)
    try:
        attached = progress.helpers.attached(content).get(ATTACHED_NAME)
    except InputError as error:
        return error.problems[0].code
    if attached is None:
        return "attachment-missing"
    return "" if attached == manifest else "attachment-differs"


def recompute(progress: Progress) -> Findings:
    """11. Judging again from the bag alone gives the same; under other rules a difference is only told.

    What the picture of a page shows is not made again: a signer could have put another one there, so whoever relies
    on it opens the file itself.
    """
    if progress.helpers.recompute is None:
        raise ValueError("this step runs only where it was asked for")
    stated, ours = _seal(progress).judge, progress.question.judge
    problems = progress.helpers.recompute(progress.view)
    found = list(of_problems(problems, VerdictCode.RECOMPUTE_DIFFERS))
    if stated == ours:
        return found
    found.append(
        finding(VerdictCode.JUDGE_DIFFERS, SEAL_PATH, "/judge", found=str(stated), expected=str(ours))
    )
    return [
        VerdictFinding(each.code, each.where, each.pointer, each.parameters, notice=True) for each in found
    ]
