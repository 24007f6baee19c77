"""An evidence file as the bundle describes it: what its bytes say of themselves, and nothing about a person.

Serial number, owner and position of a camera are never kept; the text of a document stays out. Everything here
is a claim of the file: a camera's clock can be wrong, a scan can be of another document.
"""

from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, ConfigDict, Field, StringConstraints, model_validator

from evidence.model._base import MAX_NAME, Id, Line, Model, Sha256, Slug, printable_line, refuse, text_of
from evidence.model.pages import PageNumbers, numbers

ITEM_FORMAT = "sillmark-item/0"
MAX_SIDE = 65_535  # pixels; what a JPEG header can say
MAX_ITEM_BYTES = 2**40  # bytes; only keeps the integer exact in JSON
MAX_TABLE_COLUMNS = 64
MAX_TABLE_ROWS = 250_000
MAX_PAGES = 500
MAX_CHANNELS = 999  # of one set
MAX_SAMPLES = 2_000_000  # of one channel
MAX_UNIT = 20  # characters
MAX_WARNINGS = 20
MAX_CODES = 40  # of one photo
MAX_PICTURES = 1000  # in one file
EXTRA_MISSING = "heic-extra-missing"  # code of a file that an optional extra would read
MAX_CODE_TEXT = 200  # characters

DECIMAL_PATTERN = r"[0-9]{1,6}(?:\.[0-9]{1,4})?"
TAKEN_PATTERN = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}"
OFFSET_PATTERN = r"[+\-][0-9]{2}:[0-9]{2}"
SALT_PATTERN = r"[0-9a-f]{32}"
LIKENESS_PATTERN = r"[0-9a-f]{64}"


Kind = Literal["photo", "document", "table", "channels", "unreadable"]
MediaType = Literal[
    "image/jpeg",
    "image/png",
    "image/heic",
    "application/pdf",
    "text/csv",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/vnd.oasis.opendocument.spreadsheet",
    "application/zip",
    "application/octet-stream",
]
ColumnKind = Literal["text", "time"]
Decimal = Annotated[str, *text_of(DECIMAL_PATTERN, "decimal-malformed")]
Taken = Annotated[str, *text_of(TAKEN_PATTERN, "time-malformed")]
Offset = Annotated[str, *text_of(OFFSET_PATTERN, "offset-malformed")]
Seconds = Annotated[str, *text_of(r"-?[0-9]{1,31}(?:\.[0-9]{1,15})?", "decimal-malformed")]
Salt = Annotated[str, *text_of(SALT_PATTERN, "salt-malformed")]
Side = Annotated[int, Field(ge=1, le=MAX_SIDE)]
Parameter = Annotated[str, StringConstraints(max_length=MAX_NAME)]
Symbology = Literal["qr", "micro-qr", "data-matrix", "code-39", "code-128", "ean-13"]
CodeText = Annotated[
    str, StringConstraints(min_length=1, max_length=MAX_CODE_TEXT), AfterValidator(printable_line)
]
PerMille = Annotated[int, Field(ge=0, le=1000)]
Corners = Annotated[tuple[PerMille, ...], Field(min_length=8, max_length=8)]
Likeness = Annotated[str, *text_of(LIKENESS_PATTERN, "likeness-malformed")]


class Code(Model):
    """A machine-readable code that a photo shows.

    Attributes:
        symbology: kind of code.
        text: what it says, in the form of ``evidence.labels``: a GS1 element string stands with brackets.
        corners: x and y of its four corners, from its own top left clockwise, in per mille of the upright picture.
    """

    symbology: Symbology
    text: CodeText
    corners: Corners


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
        trailing_bytes: bytes of the file behind the picture that belong to no further picture or film.
        pictures: pictures in the file; the first, or the one an HEIC file names as primary, is the photo.
        codes: codes that the photo shows and that say what a thing is, by place; only roles that expect one are read.
        codes_left_out: number of codes whose text is of no such kind, or personal; the text itself is not kept.
        likeness: 256 bits that stay nearly the same when a picture is saved again; see ``exhibits.likeness``.
        blur: standard deviation of the blur at the strongest edges, pixels at full size, two decimals; absent where
            there are too few edges; see ``exhibits.clearness``.
        white: share of pixels at full scale, percent with two decimals.
        black: share of pixels at zero, likewise.
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
    pictures: Annotated[int, Field(ge=1, le=MAX_PICTURES)] = 1
    codes: Annotated[tuple[Code, ...], Field(max_length=MAX_CODES)] = ()
    codes_left_out: Annotated[int, Field(ge=0, le=MAX_ITEM_BYTES)] = 0
    likeness: Likeness | None = None
    blur: Decimal | None = None
    white: Decimal | None = None
    black: Decimal | None = None


class Document(Model):
    """A PDF; its title, author and program stay in the file, because people write names into them.

    Attributes:
        pages: number of pages.
        has_text: whether any page holds text that a program can read; a bare scan holds none.
        encrypted: whether the file is encrypted; it opened without a password all the same.
        pages_with_text: pages that hold such text; absent where only ``has_text`` is known.
        pages_pictured: pages that show a picture large enough to hold writing, or text that a scanner's program
            guessed; what is not in their text may still stand on them.
    """

    pages: Annotated[int, Field(ge=1, le=MAX_PAGES)]
    has_text: bool
    encrypted: bool = False
    pages_with_text: PageNumbers | None = None
    pages_pictured: PageNumbers | None = None

    def reads(self, page: int | None) -> bool:
        """Whether a program can read the page, counted from 1; with None, whether it can read any."""
        if page is None or self.pages_with_text is None:
            return self.has_text
        return page in numbers(self.pages_with_text)

    @model_validator(mode="after")
    def _within_its_pages(self) -> Self:
        named = [numbers(text)[-1] for text in (self.pages_with_text, self.pages_pictured) if text]
        if any(last > self.pages for last in named):
            raise refuse("pages-malformed", found=str(max(named)))
        return self


class Column(Model):
    """One column of a table.

    Attributes:
        name: heading without its unit.
        unit: unit as headed; the symbol of the unit table where it is known, absent where none is given.
        kind: ``text`` where its cells are words, ``time`` where they are dates or times of day; absent for numbers.
    """

    name: Line
    unit: Annotated[str, StringConstraints(min_length=1, max_length=MAX_UNIT)] | None = None
    kind: ColumnKind | None = None


class Table(Model):
    """A table, mostly of numbers; no cell below its heading is kept here."""

    columns: Annotated[tuple[Column, ...], Field(min_length=1, max_length=MAX_TABLE_COLUMNS)]
    rows: Annotated[int, Field(ge=1, le=MAX_TABLE_ROWS)]


class ChannelEntry(Model):
    """One channel of a laboratory's set; no sample is kept here.

    Attributes:
        name: its code.
        unit: symbol of the unit table where it is known, else as spelt; absent where none is given.
        samples: how many.
        interval_s, start_s: sampling interval and time of the first sample, seconds.
        recorded: what it was filtered with before it was written.
        axes: sign convention that the file names; absent where it names none.
        doubts: codes of what contradicts in its file; no verdict rests on such a channel.
    """

    name: Line
    unit: Annotated[str, StringConstraints(min_length=1, max_length=MAX_UNIT)] | None = None
    samples: Annotated[int, Field(ge=1, le=MAX_SAMPLES)]
    interval_s: Seconds
    start_s: Seconds
    recorded: Slug
    axes: Line | None = None
    doubts: Annotated[tuple[Slug, ...], Field(max_length=MAX_WARNINGS)] = ()


class Channels(Model):
    """A set of measured channels (ISO/TS 13499), zipped.

    Attributes:
        channels: in the order of the set.
        problems: codes of what contradicts, is missing or unreadable in the set, sorted.
    """

    channels: Annotated[tuple[ChannelEntry, ...], Field(min_length=1, max_length=MAX_CHANNELS)]
    problems: Annotated[tuple[Slug, ...], Field(max_length=MAX_WARNINGS)] = ()


class Unreadable(Model):
    """A file that no reader accepts, with the reason as a Problem code and its parameters."""

    code: Slug
    parameters: dict[
        Annotated[str, *text_of(r"[a-z][a-z0-9_]{0,29}", "parameter-name-malformed")], Parameter
    ] = Field(default_factory=dict)


def _one_of_each(schema: dict[str, Any]) -> None:
    # `if kind then require the part of that name` gives exact error places in every validator, `oneOf` does not
    kinds = ("photo", "document", "table", "channels", "unreadable")
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
        kind: which of the five parts is present.
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
    channels: Channels | None = None
    unreadable: Unreadable | None = None

    @model_validator(mode="after")
    def _part_of_its_kind(self) -> Self:
        parts = {
            "photo": self.photo,
            "document": self.pdf,
            "table": self.table,
            "channels": self.channels,
            "unreadable": self.unreadable,
        }
        present = sorted(name for name, part in parts.items() if part is not None)
        if present != [self.kind]:
            raise refuse("item-part", found=", ".join(present) or "none", expected=self.kind)
        return self
