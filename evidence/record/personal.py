"""Whether a text holds a personal value of a job: a person's name, the registration plate, the site.

These live in people.yaml and nowhere else, because a bundle must stay whole when they are withheld.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from evidence.model.people import People

MIN_CHARACTERS = 5  # shorter names are words of other texts as well
_SEPARATORS = re.compile(r"[\s.,;_\-\u2010-\u2015]+")
_LETTER = r"[^\W\d_]"


@dataclass(frozen=True)
class Personal:
    """What must not stand outside people.yaml, folded for comparison.

    Attributes:
        names: every person's name, also with the last word first.
        plate: registration plate; empty where there is none that could be told from other words.
        site: where the work was done, likewise.
    """

    names: tuple[str, ...]
    plate: str
    site: str

    @classmethod
    def of(cls, people: People) -> "Personal":
        """The personal values of people.yaml; badges are numbers that mean nothing to others."""
        names = (form for person in people.people for form in _forms(folded(person.name)))
        return cls(tuple(dict.fromkeys(filter(_long, names))), _kept(people.plate), _kept(people.site))

    def within(self, text: str) -> str | None:
        """``name``, ``plate`` or ``site``: the first of them that stands in the text; None where none does."""
        wanted = folded(text)
        kinds = (*(("name", name) for name in self.names), ("plate", self.plate), ("site", self.site))
        return next((kind for kind, value in kinds if value and _stands(value, wanted)), None)


def folded(text: str) -> str:
    """Text without case, with one space for every run of spaces, points, commas, hyphens and underscores."""
    return _SEPARATORS.sub(" ", unicodedata.normalize("NFKC", text).casefold()).strip()


def _kept(value: str | None) -> str:
    short = folded(value or "")
    return short if _long(short) else ""


def _long(value: str) -> bool:
    return len(value) >= MIN_CHARACTERS


def _forms(name: str) -> Iterator[str]:
    yield name
    words = name.split(" ")
    yield " ".join((words[-1], *words[:-1]))


def _stands(value: str, text: str) -> bool:
    """Whether the value stands in the text as whole words: ``Marie`` is no part of ``Marienberg``."""
    return re.search(rf"(?<!{_LETTER}){re.escape(value)}(?!{_LETTER})", text) is not None
