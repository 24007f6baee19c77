"""Make the tag files of a bag around a payload, and have them signed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from evidence import jsondoc
from evidence.model.names import Function
from evidence.model.seal import SCHEME, SEAL_FORMAT, SEAL_PATH, LeafList, Seal
from evidence.seal import layout, leaves, salt, tag
from evidence.seal.layout import FileDigest
from evidence.seal.paths import path_problems
from evidence.seal.public_key import read_public_key

Sign = Callable[[bytes], bytes]
"""Signs bytes with ECDSA P-256 and SHA-256 and answers the signature in DER."""


@dataclass(frozen=True)
class SealRequest:
    """What a first bag says of itself.

    Attributes:
        public_pem: the signer's public key.
        seed: the job's 32 secret bytes.
        issued: time of sealing, a minute or second with offset.
        issued_from: where that time came from.
        judge: version of the judging rules.
        tool: program and version, printable ASCII.
        function: what the signer states to be, where stated.
    """

    public_pem: bytes
    seed: bytes
    issued: str
    issued_from: Literal["option", "epoch", "clock"]
    judge: int
    tool: str
    function: Function | None = None


def tag_files(
    payload: Mapping[str, FileDigest],
    kinds: Mapping[str, str],
    request: SealRequest,
    recipe: bytes,
    sign: Sign,
) -> dict[str, bytes]:
    """Every file of the bag outside ``data/``, the signature included.

    Args:
        payload: ``data/`` paths with digest and size.
        kinds: exhibit id to kind, see ``leaves.kinds_of``.
        request: what the bag says of itself.
        recipe: bytes of VERIFY.txt.
        sign: see ``Sign``.

    Raises:
        ValueError: a payload that the strict verifier would refuse, or a signature of another key than the one
            named: the program built a wrong bag.
        InputError: the public key cannot be read.
    """
    _assert_sealable(payload, kinds)
    digests = {path: file.sha256 for path, file in payload.items()}
    lists = leaves.split(digests, kinds)
    key = read_public_key(request.public_pem, layout.KEY_PATH)
    sums = tag.write_sums(digests)
    seal = _seal(lists, digests[layout.MANIFEST_PATH], key.id, request)
    files = {
        layout.RECIPE_PATH: recipe,
        layout.BAG_INFO_PATH: _bag_info(payload, sums, request),
        layout.BAGIT_PATH: layout.BAGIT_TEXT,
        layout.SUMS_PATH: sums,
        layout.KEY_PATH: key.pem,
        layout.EVIDENCE_PATH: lists.evidence_bytes(),
        layout.PERSONAL_PATH: lists.personal_bytes(),
        SEAL_PATH: jsondoc.canonical(seal.document()),
    }
    signed = tag.write_sums({path: jsondoc.digest(content) for path, content in files.items()})
    signature = sign(signed)
    if not key.verifies(signature, signed):
        raise ValueError("the signature was not made by the key that the seal names")
    return {**files, layout.TAG_SUMS_PATH: signed, layout.SIGNATURE_PATH: signature}


def _assert_sealable(payload: Mapping[str, FileDigest], kinds: Mapping[str, str]) -> None:
    problems = [f"{problem.where}: {problem.code}" for problem in path_problems(payload)]
    problems += [f"{path}: outside data/" for path in payload if not path.startswith(layout.PAYLOAD)]
    problems += [f"{path}: redacted copy of what has none" for path in leaves.wrong_twins(payload, kinds)]
    if layout.MANIFEST_PATH not in payload:
        problems.append(f"{layout.MANIFEST_PATH}: missing")
    if not any(map(layout.is_dossier, payload)):
        problems.append("data/dossier.<language>.pdf: missing")
    if problems:
        raise ValueError("; ".join(sorted(problems)))


def _seal(lists: leaves.Leaves, manifest: str, key: str, request: SealRequest) -> Seal:
    return Seal(
        chain=None,
        evidence=_leaf_list(lists.evidence_bytes()),
        format=SEAL_FORMAT,
        function=request.function,
        issued=request.issued,
        issued_from=request.issued_from,
        judge=request.judge,
        key=key,
        kind="build",
        manifest=manifest,
        personal=_leaf_list(lists.personal_bytes()),
        prev=None,
        reason=None,
        scheme=SCHEME,
        sequence=0,
        supersedes=(),
        tool=request.tool,
    )


def _leaf_list(content: bytes) -> LeafList:
    return LeafList(count=content.count(b"\n"), sha256=jsondoc.digest(content))


def _bag_info(payload: Mapping[str, FileDigest], sums: bytes, request: SealRequest) -> bytes:
    octets = sum(file.size for file in payload.values())
    lines = (
        f"Bag-Software-Agent: {request.tool}",
        f"Bagging-Date: {request.issued[:10]}",
        f"Payload-Oxum: {octets}.{len(payload)}",
        # without it the digest of this file would confirm a guess of number and size of the withheld files
        f"Nonce: {salt.nonce(layout.BAG_INFO_PATH, sums, request.seed)}",
    )
    return "".join(f"{line}\n" for line in lines).encode("ascii")
