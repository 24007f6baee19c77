"""people.yaml: every personal value and every free text of a job, by id, apart from the record."""

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from evidence.model._base import Id, Line, Model, Prose, printable_line
from evidence.model._text import Many

PEOPLE_FORMAT = "sillmark-people/0"
MAX_FILE_NAME = 255  # characters; the limit of common file systems


class NamedPerson(Model):
    """A person's name and badge."""

    id: Id
    name: Line
    badge: Line | None = None


class Note(Model):
    """Free text that somebody typed, in its own language."""

    id: Id
    about: Id
    language: Annotated[str, Field(pattern=r"^[a-z]{2}$")]
    text: Prose


class FileName(Model):
    """What a file was called when it came in."""

    id: Id
    name: Annotated[str, Field(min_length=1, max_length=MAX_FILE_NAME), AfterValidator(printable_line)]


class People(Model):
    """The personal side of a job."""

    format: Literal["sillmark-people/0"]
    people: Many[NamedPerson] = ()
    plate: Line | None = None
    site: Line | None = None
    notes: Many[Note] = ()
    file_names: Many[FileName] = ()
