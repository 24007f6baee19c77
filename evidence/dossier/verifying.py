"""How a stranger checks this dossier with ordinary programs."""

from evidence.dossier._blocks import Inline, mono, new_line, numbered, paragraph, plain, section, strong
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text

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
    ("verify-tool", ("sillmark verify --trust trust.json .",)),
)


def build(source: DossierInput, say: Say) -> Data:
    """Plain steps with their commands, and the two digests to compare with."""
    tell = Teller(source, say)
    steps = [_step(tell(code), commands) for code, commands in _STEPS]
    steps[2] += [new_line(), plain(tell("front-key") + " "), mono(source.key_id)]
    steps[3] += [new_line(), plain(tell("front-digest") + " "), mono(source.manifest_digest)]
    blocks = [
        paragraph(text(tell("verify-lead"))),
        numbered(steps),
        paragraph([strong(tell("verify-meaning")), plain(" " + tell("sealing-time"))], "note"),
        paragraph(text(tell("verify-copy")), "muted"),
    ]
    return section("verifying", tell("title-verifying"), blocks, flows=True)


def _step(words: str, commands: tuple[str, ...]) -> Inline:
    spans: Inline = [plain(words)]
    for command in commands:
        spans += [new_line(), mono(command)]
    return spans
