"""data/people/*.json: one personal value or free text each, so that each can be withheld alone."""

from typing import Annotated, Final, Literal, Self

from pydantic import StringConstraints, model_validator

from evidence.model._base import Id, Line, Model, Prose, refuse, text_of

PERSON_FORMAT: Final = "sillmark-person/0"
MAX_FILE_NAME = 255  # characters; the limit of common file systems

Salt = Annotated[str, *text_of(r"[0-9a-f]{32}", "salt-malformed")]
"""32 lower-case hexadecimal digits that keep a short value from being guessed by its digest."""
_Language = Annotated[str, *text_of(r"[a-z]{2}", "language-malformed")]
_FileName = Annotated[str, StringConstraints(min_length=1, max_length=MAX_FILE_NAME)]
_VALUES = ("name", "badge", "plate", "site", "text", "file_name")


class Person(Model):
    """What an id of the record stands for, or what somebody typed about it.

    Attributes:
        id: the id that the record and the manifest use.
        salt: see ``Salt``.
        name: a person's name.
        badge: a person's badge, as text.
        plate: registration plate of the vehicle.
        site: where the work was done.
        text: a note in its own language.
        language: of the note.
        about: id that the note is about.
        file_name: what the exhibit's file was called when it came in.
    """

    format: Literal["sillmark-person/0"]
    id: Id
    salt: Salt
    name: Line | None = None
    badge: Line | None = None
    plate: Line | None = None
    site: Line | None = None
    text: Prose | None = None
    language: _Language | None = None
    about: Id | None = None
    file_name: _FileName | None = None

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if all(getattr(self, value) is None for value in _VALUES):
            raise refuse("person-empty", found=self.id)
        return self
