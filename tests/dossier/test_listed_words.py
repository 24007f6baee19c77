"""Every entry of a closed list that the dossier prints has its word, so that no rare finding stops the printing."""

from enum import StrEnum

import pytest

from evidence.model import names
from evidence.phrases.en import SENTENCES

PRINTED: dict[str, type[StrEnum]] = {
    "contradiction": names.ContradictionRule,
    "role": names.Role,
    "characteristic-name": names.CharacteristicName,
    "claim-name": names.ClaimName,
    "cycle-kind": names.CycleKind,
    "instrument-kind": names.InstrumentKind,
    "party-function": names.PartyFunction,
    "function": names.Function,
    "outcome": names.Outcome,
}


@pytest.mark.parametrize("family", sorted(PRINTED))
def test_every_entry_has_its_word(family: str) -> None:
    missing = [
        entry.value
        for entry in PRINTED[family]
        if f"dossier-word-{family}-{entry.value.replace(' ', '-')}" not in SENTENCES
    ]

    assert missing == []
