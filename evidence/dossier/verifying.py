"""How a stranger checks this dossier with ordinary programs."""

from evidence.dossier._blocks import paragraph, plain, section, strong
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._verify_steps import verify_steps
from evidence.dossier._words import Teller, text


def build(source: DossierInput, say: Say) -> Data:
    """Plain steps with their commands, and the two digests to compare with."""
    tell = Teller(source, say)
    blocks = [
        paragraph(text(tell("verify-lead"))),
        verify_steps(source, tell),
        paragraph([strong(tell("verify-meaning")), plain(" " + tell("sealing-time"))], "note"),
        paragraph(text(tell("verify-copy")), "muted"),
    ]
    return section("verifying", tell("title-verifying"), blocks, flows=True)
