"""The fitting profile: what a maker's manual demands, as data, with the page of every demand."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from evidence.model._base import Id, Line, Model, Slug, at_field, refuse
from evidence.model._text import Count, Day, Length, Many, Months, Number, Some
from evidence.model.criterion import Criterion, Sentences, StretcherPair, Titles
from evidence.model.names import ProfileKind, Role, SubjectKind

PROFILE_FORMAT = "sillmark-profile/0"


class Manual(Model):
    """The manual a profile was made from; the revision in force on the day of fitting is the one that binds."""

    id: Line
    maker: Line
    issued: Day
    valid_from: Day
    valid_until: Day | None = None
    invented: Literal["yes"] | None = None


class Window(Model):
    """A lock window with its declared colours (sRGB), or an indicator that a person must read."""

    id: Slug
    shows: Literal["colour", "pin", "lever", "lamp"]
    locked: Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")] | None = None
    open: Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")] | None = None
    page: Count

    @model_validator(mode="after")
    def _colours(self) -> Self:
        if self.shows == "colour" and (self.locked is None or self.open is None):
            with at_field("locked" if self.locked is None else "open"):
                raise refuse("window-without-colours")
        return self


Prior = Annotated[str, Field(pattern=r"^[0-9]{1,2}([.,][0-9]{1,5})?$")]
"""A number from 0 to 99.99999, not negative."""


class HookDatum(Model):
    """From where to where the hook position is measured, and how high above the card's plane the hook is touched."""

    from_: Literal["outer-sill-face", "inner-lip-face", "floor-edge"] = Field(alias="from")
    to: Literal["sill-side-back", "throat", "centreline"]
    contact_height: Length
    contact_height_uncertainty: Length
    offset_to_functional_face: Length
    page: Count


class BenchTrial(Model):
    """What a workshop's own trial found in place of the tool's assumptions about photos of the gauge card.

    Each is a standard uncertainty, in mm where nothing else is said; DEVELOPERS.md describes the trial.

    Attributes:
        done: day.
        report: where it is written down.
        print_scale: relative. cut: of each cut edge. gap_mean, gap: by which each of two edges stays off what it should
            touch, and how uncertain that is. yaw: degrees. lift: of the slider. corner: of a place in the card's plane.
        click: pixels, of a clicked point. base: by which a clicked line lies off the card's plane. focal: relative.
    """

    done: Day
    report: Line
    print_scale: Prior | None = None
    cut: Prior | None = None
    gap_mean: Prior | None = None
    gap: Prior | None = None
    yaw: Prior | None = None
    lift: Prior | None = None
    corner: Prior | None = None
    click: Prior | None = None
    base: Prior | None = None
    focal: Prior | None = None

    @property
    def priors(self) -> dict[str, str]:
        """Name to decimal text with a point, of those that the trial found."""
        found = {name: getattr(self, name) for name in type(self).model_fields}
        return {
            name: text.replace(",", ".")
            for name, text in found.items()
            if name not in ("done", "report") and text
        }


class ProfileStep(Model):
    """A step of the manual and the steps that must be finished before it.

    Attributes:
        yields: values, cycles and evidence that the step gives, by the name of the characteristic, kind of cycles or
            role, or ``torque``; redoing a step that this one needs reopens them.
    """

    id: Slug
    title: Titles
    after: Many[Slug] = ()
    screws: Slug | None = None
    yields: Many[Slug] = ()
    page: Count


class NutFactor(Model):
    """The band of the nut factor K that a manual states for its torque, from which preload follows; never judged."""

    low: Number
    high: Number
    page: Count

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low.base <= 0:
            with at_field("low"):
                raise refuse("nut-factor-not-positive", found=self.low.text)
        if self.high.base < self.low.base:
            with at_field("high"):
                raise refuse("nut-factors-crossed", found=self.high.text, low=self.low.text)
        return self


class ProfileScrews(Model):
    """A screw group as the manual has it."""

    group: Slug
    thread: Line
    property_class: Line
    head: Slug | None = None
    count: Count
    nut_factor: NutFactor | None = None
    page: Count


class ExpectedExhibit(Model):
    """A photo or document that the profile wants, per position, screw group or vehicle."""

    role: Role
    per: SubjectKind


class Caution(Model):
    """A caution of the manual, in our own words."""

    text: Sentences
    page: Count


class Interval(Model):
    """Something the manual wants repeated."""

    what: Slug
    months: Months
    page: Count


class Silent(Model):
    """A kind of demand on which the manual says nothing, with the page where it should stand."""

    kind: ProfileKind
    page: Count


class ProfileItem(Model):
    """A demand of the manual: its section and the criterion that asks for it."""

    section: Line
    criterion: Criterion


class Profile(Model):
    """What one revision of a maker's manual demands of a fitting."""

    format: Literal["sillmark-profile/0"]
    id: Slug
    revision: Id
    manual: Manual
    system: Line
    pairs: Some[StretcherPair]
    windows: Many[Window] = ()
    hook: HookDatum | None = None
    bench_trial: BenchTrial | None = None
    steps: Some[ProfileStep]
    screws: Many[ProfileScrews] = ()
    expected: Many[ExpectedExhibit] = ()
    cautions: Many[Caution] = ()
    intervals: Many[Interval] = ()
    silent: Many[Silent] = ()
    items: Some[ProfileItem]

    @property
    def reference(self) -> str:
        """``id@revision`` as the record names it."""
        return f"{self.id}@{self.revision}"
