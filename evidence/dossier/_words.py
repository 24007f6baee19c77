"""From codes and model values to the words of the page; the only place where the dossier calls the catalogue."""

import re
from collections.abc import Mapping
from datetime import date
from enum import StrEnum

from evidence.dossier._blocks import Inline, chip, plain
from evidence.dossier._input import DossierInput, Say
from evidence.model._text import FieldState
from evidence.model.finding import Reason
from evidence.model.names import FieldWord, Outcome
from evidence.model.record import Characteristic, Document, Instrument, Party, Position, Screws, Step
from evidence.model.times import Interval
from evidence.quantity import Quantity


class Teller:
    """Says sentences in the dossier's language and in the words of its region."""

    def __init__(self, source: DossierInput, say: Say) -> None:
        self._source = source
        self._say = say
        region = "north-america" if source.north_american else "elsewhere"
        # North American readers call a stretcher a cot; every sentence may name these three fields
        self._terms = {
            term: say(f"dossier-term-{term}-{region}", {})
            for term in ("stretcher", "stretchers", "Stretcher")
        }

    def __call__(self, code: str, **parameters: object) -> str:
        """The sentence of a code of the dossier's own catalogue, without the prefix ``dossier-``."""
        return self._say(f"dossier-{code}", {**self._terms, **parameters})

    def count(self, code: str, number: int, **parameters: object) -> str:
        """The sentence for a number of things; one thing has a sentence of its own."""
        return self(f"{code}-one" if number == 1 else code, n=str(number), **parameters)

    def word(self, entry: StrEnum | str, kind: str = "") -> str:
        """The word of a closed list, ``kind`` telling equal words of different lists apart."""
        family = kind or _family(entry)
        return self(f"word-{family}-{str(entry).replace(' ', '-').replace('_', '-')}")

    def reason(self, reason: Reason) -> str:
        """The sentence of a finding's or contradiction's reason."""
        parameters: Mapping[str, object] = reason.parameters
        return self._say(reason.code, {**self._terms, **parameters})

    def title(self, titles: Mapping[str, str]) -> str:
        """The text in the dossier's language, else in English, else in the first language there is."""
        for language in (self._source.language, "en", *sorted(titles)):
            if language in titles:
                return titles[language]
        return ""

    def outcome(self, outcome: Outcome) -> Inline:
        """The chip of an outcome."""
        return [chip(outcome, self.word(outcome))]

    def slug(self, slug: str) -> str:
        """A word that profile or record made up, made readable: ``floor-anchor`` becomes ``floor anchor``."""
        return slug.replace("-", " ").replace("_", " ")

    def stated(self, value: object) -> str:
        """A value as the page prints it, or why there is none."""
        if value is None:
            return self("none")
        if isinstance(value, FieldState):
            return self.state(value.state, value.from_, value.by)
        if isinstance(value, Interval):
            return spaced(value.text)
        if isinstance(value, bool):
            return self("yes") if value else self("no")
        if isinstance(value, Quantity):
            return str(value)
        return str(value)

    def state(self, word: FieldWord, source: str | None, by: date | None) -> str:
        """Why there is no value: ``to come from agency, by 2026-04-20``."""
        words = self.word(word)
        if source is not None:
            words += " " + self("state-from", source=source)
        if by is not None:
            words += self("state-by", day=str(by))
        return words

    def person(self, identifier: str) -> str:
        """Id, name where this dossier may print it, and functions: ``w1, A. Fitter (fitter)``."""
        functions = next((p.functions for p in self._source.record.people if p.id == identifier), ())
        words = ", ".join(self.word(function, "function") for function in functions)
        name = self.name(identifier)
        text = f"{identifier} {name}" if name else identifier
        return f"{text} ({words})" if words else text

    def name(self, identifier: str) -> str:
        """A person's name, or nothing where it is not known or not to be printed."""
        people = self._source.people
        named = () if people is None else people.people
        return next((person.name for person in named if person.id == identifier), "")

    def subject(self, identifier: str) -> str:
        """What a finding is about, in words: ``position p1``, ``screw group g1``."""
        if identifier == "vehicle":
            return self("subject-vehicle")
        entry = self._source.record.identified().get(identifier)
        if isinstance(entry, Party):
            return self("subject-party", name=entry.name)
        for kind, code in _SUBJECTS:
            if isinstance(entry, kind):
                return self(code, id=identifier)
        return identifier


_SUBJECTS: tuple[tuple[type, str], ...] = (
    (Position, "subject-position"),
    (Screws, "subject-screws"),
    (Instrument, "subject-instrument"),
    (Document, "subject-document"),
    (Step, "subject-step"),
    (Characteristic, "subject-value"),
)


def _family(entry: StrEnum | str) -> str:
    # PartyFunction -> party-function: the catalogue's keys follow the names of the lists
    name = type(entry).__name__
    return "".join(f"-{letter.lower()}" if letter.isupper() else letter for letter in name).lstrip("-")


def text(value: str) -> Inline:
    """An inline of one plain span."""
    return [plain(value)]


def spaced(value: str) -> str:
    """A time with a space where the machine's form has a ``T``; every other text as it is."""
    return re.sub(r"^([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}:[0-9]{2})", r"\1 \2", value)
