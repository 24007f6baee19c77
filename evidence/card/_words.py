"""The words of card and tickets: the only place of this stage that calls the catalogue."""

from evidence.dossier import Say
from evidence.model.names import CharacteristicName, CycleKind, InstrumentKind, Role

_TERMS = ("stretcher", "stretchers", "Stretcher")


class Words:
    """Says sentences in the language of ``say`` and in the words of the region."""

    def __init__(self, say: Say, *, north_american: bool) -> None:
        self._say = say
        region = "north-america" if north_american else "elsewhere"
        self._terms = {term: say(f"dossier-term-{term}-{region}", {}) for term in _TERMS}

    def __call__(self, code: str, **parameters: object) -> str:
        """The sentence of a code of the card's own table, without the prefix ``card-``."""
        return self._say(f"card-{code}", {**self._terms, **parameters})

    def role(self, role: Role) -> str:
        """A role in plain words."""
        return self._listed("role", role.value)

    def characteristic(self, name: str) -> str:
        """A recorded value in plain words."""
        return self._listed("characteristic-name", CharacteristicName(name).value)

    def cycles(self, name: str) -> str:
        """A kind of cycles in plain words."""
        return self._listed("cycle-kind", CycleKind(name).value)

    def instrument(self, kind: InstrumentKind) -> str:
        """A kind of instrument in plain words."""
        return self._listed("instrument-kind", kind.value)

    def _listed(self, family: str, entry: str) -> str:
        return self._say(f"dossier-word-{family}-{entry}", self._terms)
