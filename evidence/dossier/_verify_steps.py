"""How a stranger checks a bundle with ordinary programs: the steps that the dossier and the short sheet both print."""

from evidence.dossier._blocks import Block, Inline, mono, new_line, numbered, plain
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller

# what VERIFY.txt in the bundle gives in full; commands are the same in every language
_STEPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "verify-sums",
        ("sha256sum -c --strict tagmanifest-sha256.txt", "sha256sum -c --strict manifest-sha256.txt"),
    ),
    (
        "verify-signature",
        (
            "openssl dgst -sha256 -verify seal/key.pem \\",
            "-signature tagmanifest-sha256.txt.sig tagmanifest-sha256.txt",
        ),
    ),
    ("verify-key", ("openssl pkey -pubin -in seal/key.pem -outform DER | sha256sum",)),
    ("verify-manifest", ("sha256sum data/manifest.json",)),
    ("verify-tool", ("sillmark verify . --trust trust.json",)),
)


def verify_steps(source: DossierInput, tell: Teller) -> Block:
    """Plain steps with their commands, and the two digests to compare with."""
    steps = [_step(tell(code), commands) for code, commands in _STEPS]
    steps[2] += [new_line(), plain(tell("front-key") + " "), mono(source.key_id)]
    steps[3] += [new_line(), plain(tell("front-digest") + " "), mono(source.manifest_digest)]
    return numbered(steps)


def _step(words: str, commands: tuple[str, ...]) -> Inline:
    spans: Inline = [plain(words)]
    for command in commands:
        spans += [new_line(), mono(command)]
    return spans
