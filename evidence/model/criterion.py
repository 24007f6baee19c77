"""The ten criterion types: what a clause or a profile item may ask. Closed; there is no rule language."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from evidence.model._base import Id, Line, Model, Prose, Slug, at_field, refuse
from evidence.model._processing import Processing, check_processing
from evidence.model._text import Count, Duration, Flag, Many, Months, Some, read_quantity
from evidence.model.coverage import CoveredField
from evidence.model.names import (
    CHARACTERISTIC_DIMENSION,
    CLAIM_DIMENSION,
    LAB_DIMENSION,
    WINDOW_ROLES,
    ChannelUse,
    CharacteristicName,
    ClaimName,
    Closes,
    CycleKind,
    Fact,
    Function,
    InstrumentKind,
    LabDirection,
    LabQuantity,
    Mark,
    ProfileKind,
    Role,
    SubjectKind,
)
from evidence.quantity import Dimension, Quantity

Titles = Annotated[dict[Annotated[str, Field(pattern=r"^[a-z]{2}$")], Line], Field(min_length=1)]
"""Text per language, English at least."""
Sentences = Annotated[
    dict[Annotated[str, Field(pattern=r"^[a-z]{2}$")], Annotated[str, Field(min_length=1, max_length=400)]],
    Field(min_length=1),
]
"""A sentence or two per language, in our own words."""
Applies = dict[Fact, Many[Line]]
"""Facts that must each hold one of the listed values."""


class _Criterion(Model):
    """What all types share.

    Attributes:
        id: unique within its clause or profile.
        subject: what it is asked of; one finding for each.
        evidence_from: roles of exhibits and documents that may answer it.
        mark: where the whole demand comes from.
        source: name of the source, in our own words.
        page: page of the maker's manual (profiles only).
        limit: ``not-held`` where the demand's number is not known to us: it is then compared with nothing.
        answers: which of the kinds that every profile must answer (profiles only).
        closes: who can close it while it is open.
    """

    id: Slug
    title: Titles | None = None
    subject: SubjectKind
    evidence_from: Many[Role] = ()
    mark: Mark
    source: Prose
    page: Count | None = None
    limit: Literal["held", "not-held"] = "held"
    answers: ProfileKind | None = None
    applies: Applies = {}
    closes: Closes


class Present(_Criterion):
    """Evidence of a role is there and readable.

    Attributes:
        shows: colour that the indicator of a lock window must show in its photo, at that moment.
    """

    type: Literal["present"]
    at_least: Count = 1
    shows: Literal["locked", "open"] | None = None

    @model_validator(mode="after")
    def _window(self) -> Self:
        if self.shows is not None and self.evidence_from != (WINDOW_ROLES[self.shows],):
            with at_field("shows"):
                raise refuse(
                    "shows-without-window", expected=WINDOW_ROLES[self.shows].value, found=self.shows
                )
        return self


class Complete(_Criterion):
    """A document states each of the listed fields."""

    type: Literal["complete"]
    fields: Some[ClaimName]


def quantity_dimension(quantity: str) -> Dimension | None:
    """Dimension of ``characteristic.<name>``, ``document.<claim>``, ``test.<quantity>`` or ``screws.torque``."""
    source, _, name = quantity.partition(".")
    if source == "characteristic" and name in set(CharacteristicName):
        return CHARACTERISTIC_DIMENSION[CharacteristicName(name)]
    if source == "document" and name in set(ClaimName):
        return CLAIM_DIMENSION.get(ClaimName(name))
    if source == "test" and name in set(LabQuantity):
        return LAB_DIMENSION[LabQuantity(name)]
    return Dimension.TORQUE if quantity == "screws.torque" else None


class Within(_Criterion):
    """A quantity lies between limits.

    Attributes:
        quantity: ``characteristic.<name>``, ``document.<claim>``, ``test.<quantity>`` or ``screws.torque``.
        low, high: limits with unit; either may be open. ``nominal`` alone is no limit.
        direction: which way the tests of ``test.<quantity>`` load; every test of that way is judged.
        channel: which of a test's channels, where not the usual one of the quantity.
        processing: how the figure is computed; only for ``test.<quantity>``.
        decision: ``guarded`` (JCGM 106, guard band r = 1) or ``simple`` (limits inclusive).
        corroborated_by: roles of photos whose own measurement may agree or contradict.
    """

    type: Literal["within"]
    quantity: Line
    low: Line | None = None
    high: Line | None = None
    nominal: Line | None = None
    direction: LabDirection | None = None
    channel: ChannelUse | None = None
    processing: Processing | None = None
    decision: Literal["guarded", "simple"] = "guarded"
    corroborated_by: Many[Role] = ()

    @property
    def dimension(self) -> Dimension:
        """Dimension of the quantity."""
        dimension = quantity_dimension(self.quantity)
        if dimension is None:
            raise refuse("quantity-unknown", found=self.quantity)
        return dimension

    def bound(self, text: str | None) -> Quantity | None:
        """``low``, ``high`` or ``nominal`` as a quantity."""
        return None if text is None else read_quantity(text, self.dimension)

    @model_validator(mode="after")
    def _limits(self) -> Self:
        with at_field("quantity"):
            _ = self.dimension
        for field in ("low", "high", "nominal"):
            with at_field(field):
                self.bound(getattr(self, field))
        if self.limit == "held" and (self.low, self.high, self.nominal) == (None, None, None):
            raise refuse("criterion-without-limit")
        return self

    @property
    def lab_quantity(self) -> LabQuantity | None:
        """What is computed from a test's channels, or None where the quantity is of another source."""
        source, _, name = self.quantity.partition(".")
        return LabQuantity(name) if source == "test" else None

    @model_validator(mode="after")
    def _of_a_test(self) -> Self:
        quantity = self.lab_quantity
        if quantity is None:
            for field in ("direction", "channel", "processing"):
                if getattr(self, field) is not None:
                    with at_field(field):
                        raise refuse("only-for-tests", found=self.quantity)
            return self
        if self.direction is None:
            with at_field("direction"):
                raise refuse("direction-missing", found=self.quantity)
        with at_field("processing"):
            check_processing(quantity, self.processing or Processing())
        return self


class CorridorPoint(Model):
    """A break point of a corridor, decimals as text."""

    x: Annotated[str, Field(pattern=r"^-?[0-9]{1,9}(\.[0-9]{1,9})?$")]
    y: Annotated[str, Field(pattern=r"^-?[0-9]{1,9}(\.[0-9]{1,9})?$")]


class Inside(_Criterion):
    """A channel stays between two polylines at every sample that they span.

    Attributes:
        direction: which way the tests load whose channel is looked at; or
        x, y: column names of a table; their units must be ``x_unit`` and ``y_unit``.
        x_unit, y_unit: of the break points; of a test's channel x is in seconds.
        upper, lower: break points; either may be absent.
        channel: which of a test's channels.
        processing: what is done to a test's channel first.
    """

    type: Literal["inside"]
    direction: LabDirection | None = None
    channel: ChannelUse = ChannelUse.PULSE
    x: Line | None = None
    x_unit: Line = "s"
    y: Line | None = None
    y_unit: Line
    upper: Many[CorridorPoint] = ()
    lower: Many[CorridorPoint] = ()
    processing: Processing | None = None

    @model_validator(mode="after")
    def _which(self) -> Self:
        named = self.x is not None and self.y is not None
        if named == (self.direction is not None) or (self.x is None) != (self.y is None):
            with at_field("direction"):
                raise refuse("channel-or-columns")
        if named and self.processing is not None:
            with at_field("processing"):
                raise refuse("only-for-tests", found=str(self.y))
        if self.direction is not None and self.x_unit != "s":
            with at_field("x_unit"):
                raise refuse("test-time-in-seconds", found=self.x_unit)
        if self.processing is not None and (self.processing.kind, self.processing.level) != (None, None):
            with at_field("processing"):
                raise refuse("processing-unused", found="inside")
        return self

    @model_validator(mode="after")
    def _bounds(self) -> Self:
        if self.limit == "held" and not (self.upper or self.lower):
            raise refuse("criterion-without-limit")
        return self


class Matches(_Criterion):
    """A fact is one of the allowed values, or equals another fact.

    Attributes:
        fact: a fact of the record, or ``document.<claim>``.
        allowed: values that fit; or
        equals: the fact it must agree with; or
        excluded: values that must not be there, such as a withdrawn lot.
    """

    type: Literal["matches"]
    fact: Line
    allowed: Many[Line] = ()
    equals: Line | None = None
    excluded: Many[Line] = ()

    @model_validator(mode="after")
    def _facts(self) -> Self:
        for field in ("fact", "equals"):
            name = getattr(self, field)
            with at_field(field):
                if name is not None and not is_fact(name):
                    raise refuse("fact-unknown", found=name)
        if [bool(self.allowed), self.equals is not None, bool(self.excluded)].count(True) != 1:
            raise refuse("criterion-without-limit")
        return self


def is_fact(name: str) -> bool:
    """Whether a rule may read the name: a fact of the record or ``document.<claim>``."""
    source, _, claim = name.partition(".")
    return name in set(Fact) or (source == "document" and claim in set(ClaimName))


class Counted(_Criterion):
    """Something was done or is there often enough, without more faults than allowed.

    Attributes:
        count: a kind of cycles, or ``screws`` for the screws of a group.
    """

    type: Literal["counted"]
    count: CycleKind | Literal["screws"]
    at_least: Count
    faults_allowed: Count = 0


class ValidOn(_Criterion):
    """Something was valid at an event.

    Attributes:
        what: what must be valid. ``instrument`` takes its calibration date and months; ``qualification`` a span of
            a person of ``function``; ``document`` its claim use-by; ``lot`` the locker's use-by date.
        event: ``work`` (each use), ``release``, ``declaration`` or ``as-of``.
        months: interval where neither record nor certificate is to rule.
        cycles: most cycles since the calibration, where the maker's manual limits them; not with ``as-of``.
    """

    type: Literal["valid_on"]
    what: Literal["instrument", "qualification", "document", "lot", "concession"]
    kinds: Many[InstrumentKind] = ()
    qualification: Slug | None = None
    function: Function | None = None
    event: Literal["work", "release", "declaration", "as-of"]
    months: Months | None = None
    cycles: Count | None = None

    @model_validator(mode="after")
    def _countable(self) -> Self:
        # a count holds for a use by a reading taken after it, and none is known that came after the day judged
        if self.cycles is not None and self.event == "as-of":
            raise refuse("cycles-without-use")
        return self


class Gap(Model):
    """Least time from the end of one step to the start of a later one."""

    before: Slug
    after: Slug
    at_least: Duration


class Ordered(_Criterion):
    """Steps were done in an order, with gaps, and a redo reopens what depends on it.

    Attributes:
        steps: step ids of the profile, each before the next.
        gaps: least times between two of them.
    """

    type: Literal["ordered"]
    steps: Many[Slug] = ()
    gaps: Many[Gap] = ()

    @model_validator(mode="after")
    def _something(self) -> Self:
        if len(self.steps) == 1 or not (self.steps or self.gaps):
            raise refuse("criterion-without-limit")
        return self


class Covers(_Criterion):
    """A test report covers this vehicle, field by field.

    Attributes:
        argued_by: functions of a person whose recorded argument may stand for a field that the report does not cover.
    """

    type: Literal["covers"]
    fields: Some[CoveredField]
    argued_by: Many[Function] = ()


class Attested(_Criterion):
    """A person of a function has said it."""

    type: Literal["attested"]
    statement: Slug
    function: Function


Criterion = Annotated[
    Present | Complete | Within | Inside | Matches | Counted | ValidOn | Ordered | Covers | Attested,
    Field(discriminator="type"),
]
CRITERION_TYPES = (
    "present",
    "complete",
    "within",
    "inside",
    "matches",
    "counted",
    "valid_on",
    "ordered",
    "covers",
    "attested",
)


class Rule(Model):
    """Which criteria make the clause: all of them, or one of several named routes.

    Attributes:
        all: criteria that every route needs too.
        routes: route name to criteria; a clause with routes is met by any one of them.
    """

    all: Many[Slug] = ()
    routes: dict[Slug, Some[Slug]] = {}


class StretcherPair(Model):
    """An approved pair of stretcher and fastening system, by the manual's page."""

    stretcher: Line
    system: Line
    page: Count


__all__ = ["CRITERION_TYPES", "CoveredField", "Criterion", "Flag", "Id", "Processing", "Rule"]
