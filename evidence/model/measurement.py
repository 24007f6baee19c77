"""A measurement from photos: value, uncertainty, what it rests on; numbers as decimal text, reasons as codes."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from evidence.model._base import Line, Model, Slug, refuse, text_of
from evidence.model.finding import Reason

NUMBER_PATTERN = r"-?[0-9]{1,12}(?:\.[0-9]{1,9})?"
MAX_VIEWS = 8

Number = Annotated[str, *text_of(NUMBER_PATTERN, "decimal-malformed")]
"""A decimal with a point."""
Share = Annotated[str, *text_of(r"(?:0\.[0-9]{3}|1\.000)", "decimal-malformed")]
"""A part of one, to three decimals."""
Pixels = tuple[Number, Number]
"""x and y in the upright picture, the centre of its first pixel at (0, 0)."""
Stroke = tuple[Pixels, Pixels]


def measurement_id(quantity: str, subject: str) -> str:
    """How findings name it: ``hook-position.p1`` for ``characteristic.hook-position``."""
    return f"{quantity.rpartition('.')[2]}.{subject}"


class Term(Model):
    """One contribution to the uncertainty.

    Attributes:
        name: of the input.
        standard: its standard uncertainty as it acts on the value, in the value's unit.
        kind: ``A`` from the scatter in the picture, ``B`` from elsewhere.
    """

    name: Slug
    standard: Number
    kind: Literal["A", "B"]


class View(Model):
    """What one photo gave.

    Attributes:
        exhibit: its id, or its name where no job is.
        tags: number of the card's tags that carried the plane.
        obliqueness: degrees along the measured direction from straight above, positive from the sill's side.
        camera_height: mm of the camera above the card's plane.
        focal: whether the file or the user states the focal length that gave it, or the usual one was assumed.
        scale_disagreement: percent by which the slider's size differs from the card's; absent without a slider.
        turn: degrees of the slider, or of the clicked line, against the card.
        residual: pixels, of the card's corners from its plane.
        blur: pixels, standard deviation of the edges' blur.
        sharpness: pixels per mm where the hook is.
    """

    exhibit: Line
    tags: Annotated[int, Field(ge=1)]
    obliqueness: Number
    camera_height: Number
    focal: Literal["stated", "given", "assumed"]
    scale_disagreement: Number | None = None
    turn: Number
    residual: Number
    blur: Number
    sharpness: Number


class Notice(Reason):
    """Something to know about a measurement, or about one of its photos.

    Attributes:
        exhibit: the photo; absent where it concerns the whole.
    """

    exhibit: Line | None = None


class Measurement(Model):
    """A quantity measured from photos of one set-up, or why it could not be measured.

    Attributes:
        state: whether there is a value.
        value, unit, expanded_uncertainty, coverage: rounded once, to about a hundredth of the uncertainty.
        method: id of the procedure; another number where it changes.
        terms: contributions to the uncertainty, largest first.
        contact_height: mm of the slider's plane above the card's, as used.
        plane_margin: mm by which the value could be wrong if the slider were as far off the plane as its size allows.
        decides: whether the views allow a verdict; else a further photo from beside the hook is needed.
        reason: why there is no value, and the photo where it is one's own.
        warnings: what to know, in the order of the photos.
        exhibits: photos that were looked at, in their order.
        priors: assumptions of the tool that the workshop's own trial replaced, by name.
        views: photos that gave the value, in their order.
    """

    state: Literal["measured", "unmeasurable"]
    quantity: Literal["hook position"] = "hook position"
    value: Number | None = None
    unit: Literal["mm"] | None = None
    expanded_uncertainty: Number | None = None
    coverage: Literal["95 %"] | None = None
    method: Literal["gauge-card-plane/1", "gauge-card-points/1"]
    terms: tuple[Term, ...] = ()
    contact_height: Number | None = None
    plane_margin: Number | None = None
    decides: bool = False
    reason: Notice | None = None
    warnings: tuple[Notice, ...] = ()
    exhibits: Annotated[tuple[Line, ...], Field(min_length=1, max_length=MAX_VIEWS)]
    priors: dict[Slug, Number] = {}
    views: tuple[View, ...] = ()

    @model_validator(mode="after")
    def _whole(self) -> Self:
        parts = (self.value, self.unit, self.expanded_uncertainty, self.coverage, self.plane_margin)
        measured = self.state == "measured"
        if any((part is not None) != measured for part in parts) or (self.reason is None) != measured:
            raise refuse("measurement-incomplete")
        return self


def window_id(exhibit: str) -> str:
    """How findings name what a photo of a lock window shows: ``lock-window.E005``."""
    return f"lock-window.{exhibit}"


class Fractions(Model):
    """Shares of a lock window's frame in the locked colour, the open one, and neither."""

    locked: Share
    open: Share
    unknown: Share


class WindowReading(Model):
    """Which declared colour the indicator of a lock window shows in a photo, at that moment.

    Attributes:
        state: the colour; ``undecided`` where a person must look.
        window: id of the window in the profile.
        fractions: absent where the photo was refused before its frame was looked at.
        reason: why it is undecided.
        method: id of the procedure; another number where it changes.
        exhibits: the photo, and behind it the one of the open state that it was held against.
        open_exhibit: that second photo, or None.
    """

    state: Literal["locked", "open", "undecided"]
    window: Slug
    fractions: Fractions | None = None
    reason: Reason | None = None
    method: Literal["lock-window-colour/1"] = "lock-window-colour/1"
    exhibits: Annotated[tuple[Line, ...], Field(min_length=1, max_length=2)]
    open_exhibit: Line | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        decided = self.state != "undecided"
        if decided == (self.reason is not None) or (decided and self.fractions is None):
            raise refuse("measurement-incomplete")
        if self.exhibits[1:] != (() if self.open_exhibit is None else (self.open_exhibit,)):
            raise refuse("measurement-incomplete")
        return self


class Marks(Model):
    """Where in one upright picture a measurement's lines are, for drawings over it.

    Attributes:
        exhibit: the photo.
        width, height: of the upright picture, pixels.
        tags: outlines of the tags that were used, from the upper left corner clockwise, by id.
        datum: u = 0 opposite the hook.
        front: the slider's front edge, or the clicked line.
        limits: lines where the front would be at each limit that is known, ``low`` and ``high``.
    """

    exhibit: Line
    width: Annotated[int, Field(ge=1)]
    height: Annotated[int, Field(ge=1)]
    tags: tuple[tuple[Pixels, Pixels, Pixels, Pixels], ...]
    datum: Stroke
    front: Stroke
    limits: dict[Literal["low", "high"], Stroke] = {}
