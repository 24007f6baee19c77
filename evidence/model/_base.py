"""What all models share: frozen, strict, nothing unknown accepted; and the text types their fields are made of."""

import json
import re
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Annotated, Any, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError

MAX_NAME = 90  # characters of a name, model or serial; long real ones reach about 60
MAX_LIST = 2000  # entries of one list in a record; a large order has fewer than 100 of anything


class Model(BaseModel):
    """Base of every model: immutable, no coercion between kinds, unknown keys are errors."""

    model_config = ConfigDict(
        frozen=True,
        strict=True,
        extra="forbid",
        allow_inf_nan=False,
        populate_by_name=True,
        serialize_by_alias=True,
        validate_default=False,
        defer_build=True,  # a command that needs five models need not build all of them
    )

    @classmethod
    def read(cls, document: object) -> Self:
        """The model of a decoded document (dicts, lists, text, integers).

        Raises:
            pydantic.ValidationError: with every place that does not fit.
        """
        # through JSON, because only there strict mode takes a list for a tuple and a word for an enumeration
        return cls.model_validate_json(json.dumps(document, ensure_ascii=False))

    def document(self, *, nulls: bool = False) -> dict[str, Any]:
        """The model as JSON values; fields without a value are left out, or written as null with ``nulls``."""
        return self.model_dump(mode="json", exclude_none=not nulls)


@contextmanager
def at_field(*path: str) -> Iterator[None]:
    """Name the field that a whole-model check found wrong, so that the message shows its exact place."""
    try:
        yield
    except PydanticCustomError as error:
        context = error.context or {}
        inner = context.get("at", ())  # a check inside a check names a field of that field
        raise PydanticCustomError("sillmark", "{code}", {**context, "at": (*path, *inner)}) from error


def refuse(code: str, **parameters: str) -> PydanticCustomError:
    """An error for a pydantic validator to raise, carrying a Problem code of ours and its parameters."""
    return PydanticCustomError("sillmark", "{code}", {"code": code, "parameters": parameters})


def _matching(pattern: str, code: str) -> Callable[[str], str]:
    compiled = re.compile(pattern, re.ASCII)

    def check(text: str) -> str:
        if compiled.fullmatch(text) is None:
            raise refuse(code, found=text[:60])
        return text

    return check


def printable_line(text: str) -> str:
    """The text in NFC; control and format characters (marks of direction, zero width) and separators are refused."""
    # what cannot be seen could make a serial number read differently from what it is
    unfit = ("Cc", "Cf", "Cs", "Zl", "Zp")
    if any(unicodedata.category(character) in unfit for character in text):
        raise refuse("text-control-character", found=text.encode("unicode_escape").decode()[:60])
    return unicodedata.normalize("NFC", text)


ID_PATTERN = r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}"
SLUG_PATTERN = r"[a-z0-9][a-z0-9-]{0,59}"
SHA256_PATTERN = r"[0-9a-f]{64}"


def text_of(pattern: str, code: str) -> tuple[AfterValidator, WithJsonSchema]:
    """Metadata of a text type: what it must match as a whole, and the code that says it does not."""
    # Python's `$` lets a trailing newline through; the look-ahead closes that for every JSON Schema reader.
    return AfterValidator(_matching(pattern, code)), WithJsonSchema(
        {"type": "string", "pattern": rf"^{pattern}(?!\n)$"}
    )


Id = Annotated[str, *text_of(ID_PATTERN, "id-malformed")]
ExhibitId = Annotated[str, *text_of(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}", "exhibit-id-malformed")]
"""An id without a dot: in a bundle, what stands before the first dot of a file's name says whose file it is."""
Slug = Annotated[str, *text_of(SLUG_PATTERN, "slug-malformed")]
Sha256 = Annotated[str, *text_of(SHA256_PATTERN, "digest-malformed")]
Line = Annotated[str, StringConstraints(min_length=1, max_length=MAX_NAME), AfterValidator(printable_line)]
"""One printable line: a name, a model, a serial, a reference. Raw text, never a number."""
Prose = Annotated[str, StringConstraints(min_length=1, max_length=4000)]
"""Free text typed by a person; lives in people.yaml and nowhere else."""
