"""What the ids of a record mean, for people who never saw it: a torque wrench by its serial, a person by the name."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from evidence.model.finding import Parameter, Reason
from evidence.model.names import InstrumentKind
from evidence.model.record import (
    Audit,
    Characteristic,
    Cycles,
    Document,
    Instrument,
    JobRecord,
    Party,
    Person,
    Screws,
    Step,
)
from evidence.phrases import DEFAULT_LANGUAGE, figures, inside, knows, say, shown

_HOLD_IDS = frozenset(
    {
        "subject",
        "entry",
        "entries",
        "document",
        "documents",
        "instrument",
        "screws",
        "person",
        "by",
        "from",
        "place",
        "use",
        "step",
        "earlier",
        "later",
    }
)
"""Parameters that hold ids of the record, alone or with the name of a field behind: ``v1.value``."""
_VALIDITY = frozenset({"valid-on-day", "expired-on-day", "not-yet-valid-on-day"})
"""Reasons that name an entry and mean what runs out of it: thread-locker, qualification, calibration."""
_SELF_EVIDENT = frozenset({"at", "value"})
"""Fields that need no name of their own: the time of a step, the value of a measurement."""
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_TIME = re.compile(rf"^({_DAY})T([0-9]{{2}}:[0-9]{{2}}(?::[0-9]{{2}})?)([+\-][0-9]{{2}}:[0-9]{{2}}$)?")
_SPAN = re.compile(rf"({_DAY})/({_DAY})")
_WHOLE = "vehicle"


def readable(value: str) -> str:
    """A time as people read it, its offset apart: ``2026-03-04 15:00 +01:00``; every other text as it is."""
    return _TIME.sub(lambda found: " ".join(filter(None, found.groups())), value)


@dataclass(frozen=True)
class Naming:
    """Calls the entries of one record by what people know of them.

    Attributes:
        record: whose ids they are.
        names: person id to name, as far as they may be told here.
        language: two-letter code.
        titles: requirement id to title, where they are known.
    """

    record: JobRecord
    names: Mapping[str, str] = field(default_factory=dict)
    language: str = DEFAULT_LANGUAGE
    titles: Mapping[str, str] = field(default_factory=dict)

    def told(self, reason: Reason) -> str:
        """The sentence of a reason with its ids and times as people read them."""
        return say(reason.code, self.parameters(reason), self.language)

    def parameters(self, reason: Reason) -> dict[str, Parameter]:
        """The parameters of a reason, with words for the ids of the record."""
        return {name: self._worded(name, value, reason.code) for name, value in reason.parameters.items()}

    def call(self, identity: str) -> str:
        """``torque wrench TW-177 (i2)``; an id that says enough, such as a place or a file, stays as it is."""
        if identity == _WHOLE:
            return self._say("named-vehicle")
        entry = self.record.identified().get(identity)
        if isinstance(entry, Screws | Step | Characteristic | Cycles):
            return self._say("named-of", words=self._work(entry), id=identity, place=entry.subject)
        if isinstance(entry, Instrument):
            serial = entry.serial if isinstance(entry.serial, str) else ""
            return self._joined(self._word("instrument-kind", entry.kind.value), serial, identity)
        if isinstance(entry, Document):
            return self._joined(self._word("role", entry.role.value), entry.reference or "", identity)
        if isinstance(entry, Party):
            return self._joined(entry.name, "", identity)
        name = self._say("named-audit") if isinstance(entry, Audit) else self.names.get(identity, "")
        return self._joined(name, "", identity)

    def _work(self, entry: Screws | Step | Characteristic | Cycles) -> str:
        if isinstance(entry, Screws):
            return self._say("named-screws", group=entry.group.replace("-", " "))
        if isinstance(entry, Step):
            return entry.step.replace("-", " ")
        if isinstance(entry, Cycles):
            return self._word("cycle-kind", entry.kind.value)
        return self._word("characteristic-name", entry.name.value)

    def place(self, where: str) -> str:
        """Where something stands in the record: ``lot of floor plate screws (g2, p2)``."""
        holder, *fields = where.split(".")
        if holder == "parties" and fields:
            holder = f"party {fields.pop(0)}"
        elif holder not in self.record.identified() and holder != _WHOLE:
            return where
        if not fields or fields in ([one] for one in _SELF_EVIDENT):
            return self.call(holder)
        key = "-".join(each.replace("_", "-") for each in fields if not each.isdigit())
        words = self._word("place", key) or " ".join(fields).replace("_", " ").replace("-", " ")
        return self._say("named-field", field=words, holder=self.call(holder))

    def side(self, value: str) -> str:
        """What one side of a contradiction says: times and spans of days readable, computed numbers short."""
        if span := _SPAN.fullmatch(value):
            return self._say("dossier-side-span", first=span[1], last=span[2])
        number, blank, unit = value.partition(" ")
        return figures(shown({"value": number, "unit": unit}) if blank else readable(value), self.language)

    def part(self, name: str, subject: str) -> str:
        """The name of a part of a finding: ``screw 6``, ``locker and torque (s17, p2)``."""
        _, _, last = name.rpartition(".")
        if last.isdigit():
            return self._say("named-screw", number=last)
        if name.startswith(f"{subject}."):
            return self.call(last)
        return self._word("claim-name", name) or self.call(name)

    def _worded(self, name: str, value: Parameter, code: str) -> Parameter:
        if isinstance(value, tuple):
            return tuple(str(self._worded(name, each, code)) for each in value)
        if not isinstance(value, str):
            return value
        if code == "file-missing":
            return self._with_path(value)
        if name == "requirement":
            value = self._joined(self.titles.get(value, ""), "", value)
        if name not in _HOLD_IDS:
            return readable(value)
        if code in _VALIDITY and (part := self._running_out(value)):
            return self._say(part, holder=self.call(value))
        return self.place(value)

    def _running_out(self, identity: str) -> str:
        """What of an entry holds until a day, as a code; empty where it is the entry itself."""
        entry = self.record.identified().get(identity)
        if isinstance(entry, Screws):
            return "named-locker"
        if isinstance(entry, Person):
            return "named-qualification"
        calibrated = isinstance(entry, Instrument) and entry.kind != InstrumentKind.GAUGE_CARD
        return "named-calibration" if calibrated else ""

    def _with_path(self, exhibit: str) -> str:
        paths = (one.file for one in self.record.exhibits if one.id == exhibit and isinstance(one.file, str))
        path = next(paths, "")
        return self._joined(exhibit, "", path) if path else exhibit

    def _joined(self, *words: str) -> str:
        *known, identity = words
        told = " ".join(word for word in known if word)
        return self._say("named-entry", words=told, id=identity) if told else identity

    def _word(self, family: str, entry: str) -> str:
        code = f"dossier-word-{family}-{entry}"
        return inside(say(code, {}, self.language), self.language) if knows(code) else ""

    def _say(self, code: str, **parameters: str) -> str:
        return say(code, parameters, self.language)
