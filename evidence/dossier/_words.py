"""From codes and model values to the words of the page; the only place where the dossier calls the catalogue."""

import re
from collections.abc import Mapping
from datetime import date
from enum import StrEnum

from evidence.dossier._blocks import Inline, chip, plain
from evidence.dossier._input import DossierInput, Say
from evidence.model._text import FieldState
from evidence.model.finding import Reason
from evidence.model.names import FieldWord, InstrumentKind, Outcome
from evidence.model.record import (
    Audit,
    Characteristic,
    Cycles,
    Document,
    Instrument,
    Party,
    Person,
    Position,
    Screws,
    Step,
)
from evidence.model.times import Interval
from evidence.phrases import DEFAULT_LANGUAGE, figures, hint, inside, knows, number

_ENTRIES = frozenset(
    {
        "subject",
        "entry",
        "entries",
        "document",
        "documents",
        "instrument",
        "place",
        "screws",
        "use",
        "step",
        "earlier",
        "later",
    }
)
"""Parameters of reasons that hold ids of the record, or a field of what has one."""
_ITSELF = frozenset({"at", "value"})
"""Fields that are what their entry is about."""
_PEOPLE = frozenset({"by", "from", "person"})
_VALIDITY = frozenset({"valid-on-day", "expired-on-day", "not-yet-valid-on-day"})
"""Codes that name an entry and mean what runs out of it: thread-locker, qualification, calibration."""
_STEPS = frozenset({"before", "after", "step", "redone"})
_PARTLY = re.compile(
    r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2}) (?P<part>am|pm|before|after)(?: (?P<clock>[0-9]{2}:[0-9]{2}))?"
)
"""A time of which only the half of the day, or one end, is known."""
_ON_PAPER = frozenset({"vin-without-photo"})
"""Codes whose sentence elsewhere names fields of the record file."""
_PAPER_ADVICE = frozenset({"slider-not-seen", "focal-not-stated"})
"""Codes whose advice elsewhere names options of a command."""


class Teller:
    """Says sentences in the dossier's language and in the words of its region."""

    def __init__(self, source: DossierInput, say: Say) -> None:
        self._source = source
        self._say = say
        self._entries = source.record.identified()
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
        """The sentence of a finding's or contradiction's reason, ids of the record with what they stand for."""
        parameters = {name: self._readable(name, value, reason) for name, value in reason.parameters.items()}
        code = f"dossier-paper-{reason.code}" if reason.code in _ON_PAPER else reason.code
        sentence = self._say(code, {**self._terms, **parameters})
        # a raw id keeps its letters
        return sentence if sentence.split(" ", 1)[0] in self._entries else capital(sentence)

    def notice(self, code: str, parameters: Mapping[str, object] | None = None) -> str:
        """The sentence of something that was noticed about a file."""
        return self._say(code, parameters or {})

    def advice(self, code: str) -> str:
        """What to do about something that was noticed; empty where there is nothing to add."""
        return self(f"advice-{code}") if code in _PAPER_ADVICE else hint(code, self._source.language)

    def _readable(self, name: str, value: object, reason: Reason) -> object:
        if isinstance(value, tuple):
            return tuple(self._readable(name, each, reason) for each in value)
        if not isinstance(value, str):
            return value
        if name in _PEOPLE and isinstance(self._entries.get(value), Person):
            return self.subject(value)
        identifier, _, field = value.partition(".")
        if name not in _ENTRIES or identifier not in self._entries:
            return self._elsewhere(name, value)
        words = self.subject(identifier)
        if reason.code in _VALIDITY and (part := _running_out(self._entries[identifier])):
            return self(part, subject=words)
        return words if not field or field in _ITSELF else f"{words} ({self.slug(field.replace('.', ' '))})"

    def _elsewhere(self, name: str, value: str) -> str:
        """A parameter that is no entry of the record."""
        if name == "requirement":
            return self._requirement(value)
        return self.step(value) if name in _STEPS else self.time(value)

    def _requirement(self, requirement: str) -> str:
        """Title and id of what a concession is about; the id alone where nothing asks for it."""
        asked = (each for each in self._source.demands.criteria if each.requirement == requirement)
        titles = next(((each.criterion.title or each.title) for each in asked), {})
        title = self.title(titles)
        return f"{title} ({requirement})" if title else requirement

    def title(self, titles: Mapping[str, str]) -> str:
        """The text in the dossier's language, else in English, else in the first language there is."""
        for language in (self._source.language, "en", *sorted(titles)):
            if language in titles:
                return titles[language]
        return ""

    def outcome(self, outcome: Outcome) -> Inline:
        """The chip of an outcome."""
        return [chip(outcome, self.word(outcome))]

    def inside(self, words: str) -> str:
        """Words of a list as they stand inside a sentence of this language."""
        return inside(words, self._source.language)

    def time(self, value: str) -> str:
        """A time as this language writes it, with words for what is known of it only; every other text as it is."""
        if (known := _PARTLY.fullmatch(value)) is None:
            return figures(spaced(value), self._source.language)
        return self(f"time-{known['part']}", day=known["day"], clock=known["clock"] or "")

    def number(self, value: str) -> str:
        """A bare number as this language writes it; every other text as it is."""
        return number(value, self._source.language)

    def step(self, slug: str) -> str:
        """A step of the manual: its title where that is written in this language, else its name made readable."""
        titles = next((step.title for step in self._source.profile.steps if step.id == slug), {})
        own = titles.get(self._source.language) if self._source.language != DEFAULT_LANGUAGE else None
        return own or self.slug(slug)

    def slug(self, slug: str) -> str:
        """A word that profile or record made up, made readable: ``floor-anchor`` becomes ``floor anchor``."""
        code = f"word-slug-{slug}"
        return self(code) if knows(f"dossier-{code}") else slug.replace("-", " ").replace("_", " ")

    def stated(self, value: object) -> str:
        """A value as the page prints it, or why there is none."""
        if value is None:
            return self("none")
        if isinstance(value, FieldState):
            return self.state(value.state, value.from_, value.by)
        if isinstance(value, Interval):
            return self.time(value.text)
        if isinstance(value, bool):
            return self("yes") if value else self("no")
        return figures(str(value), self._source.language)

    def state(self, word: FieldWord, source: str | None, by: date | None) -> str:
        """Why there is no value: ``to come from agency, by 2026-04-20``."""
        words = self.word(word)
        if source is not None:
            named = self.subject(source) if isinstance(self._entries.get(source), Person) else source
            words += self("state-from" if word == FieldWord.TO_COME else "state-ask", source=named)
        if by is not None:
            words += self("state-by", day=str(by))
        return words

    def person(self, identifier: str) -> str:
        """Id, name where this dossier may print it, and functions: ``w1, A. Fitter (fitter)``."""
        words = self.functions(identifier)
        name = self.name(identifier)
        text = f"{identifier} {name}" if name else identifier
        return f"{text} ({words})" if words else text

    def functions(self, identifier: str) -> str:
        """What a person does on the job: ``fitter, supervisor``; empty where the record does not have the person."""
        functions = next((p.functions for p in self._source.record.people if p.id == identifier), ())
        return ", ".join(self.word(function, "function") for function in functions)

    def name(self, identifier: str) -> str:
        """A person's name, or nothing where it is not known or not to be printed."""
        people = self._source.people
        named = () if people is None else people.people
        return next((person.name for person in named if person.id == identifier), "")

    def knows(self, identifier: str) -> bool:
        """Whether the record has an entry of this id."""
        return identifier in self._entries

    def subject(self, identifier: str) -> str:
        """What a finding is about, in words: ``position p1``, ``torque wrench i2``, ``w1 Edda Quill``."""
        if identifier == "vehicle":
            return self("subject-vehicle")
        entry = self._entries.get(identifier)
        if isinstance(entry, Party):
            return self("subject-party", name=entry.name)
        if isinstance(entry, Person):
            return f"{identifier} {self.name(identifier)}".rstrip()
        for kind, code in _SUBJECTS:
            if isinstance(entry, kind):
                return self(code, id=identifier)
        listed = _listed(entry)
        return identifier if listed is None else f"{self.inside(self.word(listed))} {identifier}"


_SUBJECTS: tuple[tuple[type, str], ...] = (
    (Position, "subject-position"),
    (Screws, "subject-screws"),
    (Step, "subject-step"),
    (Audit, "subject-audit"),
)


def _running_out(entry: object) -> str:
    """What of an entry holds until a day, as a code; empty where it is the entry itself."""
    if isinstance(entry, Screws):
        return "locker-of"
    if isinstance(entry, Person):
        return "qualification-of"
    calibrated = isinstance(entry, Instrument) and entry.kind != InstrumentKind.GAUGE_CARD
    return "calibration-of" if calibrated else ""


def _listed(entry: object) -> StrEnum | None:
    """The word of a closed list that says what an entry is, for those that have one."""
    if isinstance(entry, Document):
        return entry.role
    if isinstance(entry, Instrument | Cycles):
        return entry.kind
    return entry.name if isinstance(entry, Characteristic) else None


def _family(entry: StrEnum | str) -> str:
    # PartyFunction -> party-function: the catalogue's keys follow the names of the lists
    name = type(entry).__name__
    return "".join(f"-{letter.lower()}" if letter.isupper() else letter for letter in name).lstrip("-")


def text(value: str) -> Inline:
    """An inline of one plain span."""
    return [plain(value)]


def capital(words: str) -> str:
    """Words as they begin a sentence or a cell."""
    return words[:1].upper() + words[1:]


def spaced(value: str) -> str:
    """A time with a space where the machine's form has a ``T``; every other text as it is."""
    return re.sub(r"^([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}:[0-9]{2})", r"\1 \2", value)
