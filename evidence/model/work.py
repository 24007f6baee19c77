"""The work of a job: instruments, steps, screws, recorded values, cycles; who, when, with what."""

from typing import Literal, Self

from pydantic import Field, model_validator

from evidence.model._base import Id, Line, Model, Slug, at_field, refuse
from evidence.model._text import (
    Count,
    Day,
    FieldState,
    Flag,
    Length,
    Many,
    Mass,
    Months,
    Ratio,
    Stated,
    Subject,
    Torque,
    When,
    read_quantity,
)
from evidence.model.names import (
    CHARACTERISTIC_DIMENSION,
    INSTRUMENT_DIMENSION,
    CharacteristicName,
    CycleKind,
    InstrumentKind,
)
from evidence.quantity import Quantity


class CounterReading(Model):
    """Cycles since the calibration, as counted or as a tool's counter shows."""

    at: When
    count: Count


class ZeroCheck(Model):
    """A known length that a gauge card was laid against, and what it read.

    Attributes:
        at: day.
        known: length of the block.
        known_uncertainty: expanded uncertainty (95 %) of it, from its certificate or the caliper that measured it.
        reading: what the photo gave.
        uncertainty: expanded uncertainty (95 %) of that reading.
        exhibit: the photo.
    """

    at: Day
    known: Length
    known_uncertainty: Length | None = None
    reading: Length
    uncertainty: Length | None = None
    exhibit: Id | None = None


class Instrument(Model):
    """What values were taken with; its calibration is judged on the day of each use.

    A gauge card has zero checks instead, and ``use_until``, the last day that is printed on it.
    """

    id: Id
    kind: InstrumentKind
    serial: Stated[Line]
    calibrated: Stated[Day] | None = None
    interval_months: Months | None = None
    certificate: Id | None = None
    uncertainty: Line | None = None
    deviation: Ratio | None = None
    range_low: Line | None = None
    range_high: Line | None = None
    indicating: Flag | None = None
    counter: Many[CounterReading] = ()
    zero: Many[ZeroCheck] = ()
    use_until: Day | None = None

    @model_validator(mode="after")
    def _zero_of_a_card(self) -> Self:
        if self.zero and self.kind != InstrumentKind.GAUGE_CARD:
            with at_field("zero"):
                raise refuse("zero-check-of-other-instrument", found=self.kind.value)
        return self

    @model_validator(mode="after")
    def _dimensions(self) -> Self:
        for field in ("uncertainty", "range_low", "range_high"):
            with at_field(field):
                self.quantity(getattr(self, field))
        return self

    def quantity(self, text: str | None) -> Quantity | None:
        """``uncertainty``, ``range_low`` or ``range_high`` as a quantity of what the instrument measures."""
        return None if text is None else read_quantity(text, INSTRUMENT_DIMENSION[self.kind])


class CardRow(Model):
    """Row of a work card from which an entry was typed; rows of one card have an order of their own."""

    exhibit: Id
    page: Count
    row: Count


class Step(Model):
    """One thing that was done, in the words of the profile."""

    id: Id
    step: Slug
    subject: Subject
    at: Stated[When]
    by: Id
    with_: Many[Id] = Field(default=(), alias="with")
    screws: Id | None = None
    card_row: CardRow | None = None
    redo_of: Id | None = None
    note: Id | None = None


class Locker(Model):
    """Thread-locker of a screw group."""

    product: Line
    lot: Stated[Line]
    use_by: Stated[Day] | None = None
    applied: Stated[When]


class Screws(Model):
    """One group of like screws, tightened together."""

    id: Id
    group: Slug
    subject: Id
    thread: Line
    length: Length | None = None
    property_class: Line
    head: Slug | None = None
    lot: Stated[Line] | None = None
    count: Count
    torques: Many[Stated[Torque]] = ()
    instrument: Id
    by: Id
    at: Stated[When]
    locker: Locker | None = None
    witness_marked: Flag | None = None
    card_row: CardRow | None = None


class Audit(Model):
    """Torques found when a tightened group was checked, without loosening it.

    Attributes:
        screws: the group.
        torques: found torque of each screw, in the order of the group.
        moved: whether any screw turned before the audit torque was reached.
        instrument, by, at: with what, who, when.
    """

    id: Id
    screws: Id
    torques: Many[Stated[Torque]] = ()
    moved: Flag | None = None
    instrument: Id
    by: Id
    at: Stated[When]
    card_row: CardRow | None = None


class EndReading(Model):
    """Play found at one end of the stretcher while the hand shakes it.

    Attributes:
        end: of the stretcher, as it stands.
        way: in which it was shaken.
        play: what was found.
    """

    end: Literal["head", "foot"]
    way: Literal["lengthwise", "crosswise", "vertical"]
    play: Stated[Length]


class Characteristic(Model):
    """A recorded value with its instrument, hand and time."""

    id: Id
    name: CharacteristicName
    subject: Id
    value: Stated[Line]
    instrument: Id
    by: Id
    at: Stated[When]
    uncertainty: Line | None = None
    card_row: CardRow | None = None

    @property
    def quantity(self) -> Quantity | None:
        """The value, or None where only a state is recorded."""
        if isinstance(self.value, FieldState):
            return None
        return read_quantity(self.value, CHARACTERISTIC_DIMENSION[self.name])

    @property
    def expanded_uncertainty(self) -> Quantity | None:
        """The uncertainty (k = 2) recorded with the value, or None."""
        if self.uncertainty is None:
            return None
        return read_quantity(self.uncertainty, CHARACTERISTIC_DIMENSION[self.name])

    @model_validator(mode="after")
    def _dimension(self) -> Self:
        with at_field("value"):
            _ = self.quantity
        with at_field("uncertainty"):
            _ = self.expanded_uncertainty
        return self


class Cycles(Model):
    """A function repeated and watched.

    Attributes:
        done, without_fault: how often, and how often nothing was wrong.
        outcomes: each cycle in its order, ``ok`` or a word for the fault; as many as ``done``.
        ends: readings at both ends, of the kind ``both-ends``.
        log: exhibit that holds the log.
    """

    id: Id
    kind: CycleKind
    subject: Id
    done: Count
    without_fault: Count
    load: Mass | None = None
    outcomes: Many[Slug] = ()
    ends: Many[EndReading] = ()
    log: Id | None = None
    by: Id
    at: Stated[When]
    card_row: CardRow | None = None

    @model_validator(mode="after")
    def _each(self) -> Self:
        good = sum(outcome == "ok" for outcome in self.outcomes)
        if self.outcomes and (len(self.outcomes), good) != (self.done, self.without_fault):
            with at_field("outcomes"):
                raise refuse(
                    "outcomes-miscounted",
                    found=f"{good} of {len(self.outcomes)}",
                    expected=f"{self.without_fault} of {self.done}",
                )
        if self.ends and self.kind != CycleKind.BOTH_ENDS:
            with at_field("ends"):
                raise refuse("ends-of-other-cycles", found=self.kind.value)
        return self

    @model_validator(mode="after")
    def _counts(self) -> Self:
        if self.without_fault > self.done:
            with at_field("without_fault"):
                raise refuse("more-faultless-than-done", found=str(self.without_fault), limit=str(self.done))
        return self
