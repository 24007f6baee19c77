"""An evidence file as the bundle describes it: what its bytes say of themselves, and nothing about a person.

Serial number, owner and position of a camera are never kept; the text of a document stays out. Everything here
is a claim of the file: a camera's clock can be wrong, a scan can be of another document.
"""

from typing import Annotated, Any, Literal, Self

from pydantic import ConfigDict, Field, StringConstraints, model_validator

from evidence.model._base import MAX_NAME, Id, Line, Model, Sha256, Slug, refuse, text_of

ITEM_FORMAT = "sillmark-item/0"
MAX_SIDE = 65_535  # pixels; what a JPEG header can say
MAX_ITEM_BYTES = 2**40  # bytes; only keeps the integer exact in JSON
MAX_TABLE_COLUMNS = 64
MAX_TABLE_ROWS = 250_000
MAX_PAGES = 500
MAX_UNIT = 20  # characters
MAX_WARNINGS = 20

DECIMAL_PATTERN = r"[0-9]{1,6}(?:\.[0-9]{1,4})?"
TAKEN_PATTERN = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}"
OFFSET_PATTERN = r"[+\-][0-9]{2}:[0-9]{2}"
SALT_PATTERN = r"[0-9a-f]{32}"


Kind = Literal["photo", "document", "table", "unreadable"]
MediaType = Literal["image/jpeg", "image/png", "application/pdf", "text/csv", "application/octet-stream"]
Decimal = Annotated[str, *text_of(DECIMAL_PATTERN, "decimal-malformed")]
Taken = Annotated[str, *text_of(TAKEN_PATTERN, "time-malformed")]
Offset = Annotated[str, *text_of(OFFSET_PATTERN, "offset-malformed")]
Salt = Annotated[str, *text_of(SALT_PATTERN, "salt-malformed")]
Side = Annotated[int, Field(ge=1, le=MAX_SIDE)]
Parameter = Annotated[str, StringConstraints(max_length=MAX_NAME)]


class Photo(Model):
    """A picture; every camera field is a claim of the file.

    Attributes:
        width: pixels, after turning the picture upright by its orientation.
        height: pixels, likewise.
        orientation: EXIF orientation 1 to 8 as stored; 1 where the file says none or nonsense.
        taken: camera time ``YYYY-MM-DDTHH:MM:SS``, local time of wherever the camera's clock was set.
        taken_offset: offset of that time, ``+01:00``, where the camera wrote one.
        camera: make and model.
        focal_length_mm: focal length in mm, decimal string with at most four decimals.
        focal_35mm: focal length in mm on a 35 mm frame.
        software: program that wrote the file.
        has_position: whether the file carries a latitude or longitude; the position itself is not kept.
        trailing_bytes: bytes after the end of the picture.
    """

    width: Side
    height: Side
    orientation: Annotated[int, Field(ge=1, le=8)] = 1
    taken: Taken | None = None
    taken_offset: Offset | None = None
    camera: Line | None = None
    focal_length_mm: Decimal | None = None
    focal_35mm: Annotated[int, Field(ge=1, le=10_000)] | None = None
    software: Line | None = None
    has_position: bool = False
    trailing_bytes: Annotated[int, Field(ge=0, le=MAX_ITEM_BYTES)] = 0


class Document(Model):
    """A PDF; its title, author and program stay in the file, because people write names into them.

    Attributes:
        pages: number of pages.
        has_text: whether any page holds text that a program can read; a bare scan holds none.
        encrypted: whether the file is encrypted; it opened without a password all the same.
    """

    pages: Annotated[int, Field(ge=1, le=MAX_PAGES)]
    has_text: bool
    encrypted: bool = False


class Column(Model):
    """One column of a table.

    Attributes:
        name: heading without its unit.
        unit: unit as headed; the symbol of the unit table where it is known, absent where none is given.
    """

    name: Line
    unit: Annotated[str, StringConstraints(min_length=1, max_length=MAX_UNIT)] | None = None


class Table(Model):
    """A table of numbers; the numbers themselves stay in the file."""

    columns: Annotated[tuple[Column, ...], Field(min_length=1, max_length=MAX_TABLE_COLUMNS)]
    rows: Annotated[int, Field(ge=1, le=MAX_TABLE_ROWS)]


class Unreadable(Model):
    """A file that no reader accepts, with the reason as a Problem code and its parameters."""

    code: Slug
    parameters: dict[
        Annotated[str, *text_of(r"[a-z][a-z0-9_]{0,29}", "parameter-name-malformed")], Parameter
    ] = Field(default_factory=dict)


def _one_of_each(schema: dict[str, Any]) -> None:
    # `if kind then require the part of that name` gives exact error places in every validator, `oneOf` does not
    kinds = ("photo", "document", "table", "unreadable")
    schema["allOf"] = [
        {
            "if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]},
            "then": {
                "required": [kind],
                "properties": {other: {"type": "null"} for other in kinds if other != kind},
            },
        }
        for kind in kinds
    ]


class Item(Model):
    """What the bundle says about one evidence file, stored as ``items/<id>.json``.

    Attributes:
        id: id of the exhibit in the job record.
        kind: which of the four parts is present.
        media_type: by content, never by name.
        sha256: digest of the file's bytes.
        bytes: size of the file.
        salt: added by the sealer.
        warnings: codes of what a reader noticed and passed over, sorted.
    """

    model_config = ConfigDict(json_schema_extra=_one_of_each)

    format: Literal["sillmark-item/0"] = "sillmark-item/0"
    id: Id
    kind: Kind
    media_type: MediaType
    sha256: Sha256
    bytes: Annotated[int, Field(ge=0, le=MAX_ITEM_BYTES)]
    salt: Salt | None = None
    warnings: Annotated[tuple[Slug, ...], Field(max_length=MAX_WARNINGS)] = ()
    photo: Photo | None = None
    pdf: Annotated[Document | None, Field(alias="document")] = None
    table: Table | None = None
    unreadable: Unreadable | None = None

    @model_validator(mode="after")
    def _part_of_its_kind(self) -> Self:
        parts = {
            "photo": self.photo,
            "document": self.pdf,
            "table": self.table,
            "unreadable": self.unreadable,
        }
        present = sorted(name for name, part in parts.items() if part is not None)
        if present != [self.kind]:
            raise refuse("item-part", found=", ".join(present) or "none", expected=self.kind)
        return self
